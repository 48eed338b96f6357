"""Practicals on paper: each has its four papers, the learner's tells nothing, the figures are the solver's."""

import csv
import re
from html import unescape

import pytest
from click.testing import CliRunner

import kit
from kit.cli.commands import kit as command
from kit.diagnose.decisive import perform
from kit.errors import PaperError
from kit.exercises.criteria import CRITERIA
from kit.exercises.practicals import practicals
from kit.exercises.practicals_board import NEVER
from kit.paper.board import FILE, line, training_board
from kit.paper.practical import practical_papers


def text_of(html):
    return " ".join(unescape(re.sub(r"<style.*?</style>|<svg.*?</svg>|<[^>]+>", " ", html, flags=re.S)).split())


@pytest.fixture(scope="module")
def papers():
    return {lesson: {paper.name: text_of(paper.html) for paper in practical_papers(lesson)} for lesson in practicals()}


@pytest.mark.parametrize("lesson", practicals())
def test_a_practical_has_four_papers(papers, lesson):
    assert list(papers[lesson]) == [f"practical-{lesson}-{kind}" for kind in (
        "instructor.html", "learner.html", "observation.html", "results.csv")]


@pytest.mark.parametrize("lesson", practicals())
def test_the_instructors_page_has_each_planting_with_what_it_shows(papers, lesson):
    page = papers[lesson][f"practical-{lesson}-instructor.html"]
    for planting in practicals()[lesson].plantings:
        here = page[page.index(f"{planting.id} {planting.title}"):]
        for step in (*planting.put_in, planting.take_out, planting.machine, planting.owner, planting.caution):
            assert step in here
        for test in planting.tests:
            shown = perform(training_board(), planting.faults, test).shown
            assert shown in here.replace("\u00a0", " ")
    assert all(one in page for one in (*NEVER, *practicals()[lesson].never, *practicals()[lesson].goes_wrong))
    assert page.index("NEVER") < page.index(practicals()[lesson].plantings[0].title)


@pytest.mark.parametrize("lesson", practicals())
def test_the_learners_page_has_the_task_and_no_fault(papers, lesson):
    one, page = practicals()[lesson], papers[lesson][f"practical-{lesson}-learner.html"]
    assert all(step in page for step in (*one.task, *one.cautions))
    for planting in one.plantings:
        assert planting.owner in page
        assert planting.id not in page and planting.title not in page
        assert not any(fault in page for fault in planting.faults)
        assert not any(step in page for step in planting.put_in if len(step) > 20)


@pytest.mark.parametrize("lesson", practicals())
def test_the_observation_sheet_has_every_criterion_stop_and_signature(papers, lesson):
    one, page = practicals()[lesson], papers[lesson][f"practical-{lesson}-observation.html"]
    for each in one.watched:
        assert f"{each.criterion} – {CRITERIA[each.criterion].does}" in page
        assert all(text in page for text in each.seen)
    assert all(text in page for text in one.stops)
    for wanted in ("met", "not yet", "not seen", "Assessor", "Learner, signed", "Supervised", "Date", "my own work"):
        assert wanted in page


def test_a_sheet_and_lines_for_each_learner_named():
    made = {paper.name: paper.html for paper in practical_papers("08", ("wren", "=heron"))}
    assert made["practical-08-observation.html"].count("observation sheet</h1>") == 2
    assert "Learner: <b>wren</b>" in made["practical-08-observation.html"]
    rows = list(csv.DictReader(made["practical-08-results.csv"].splitlines()))
    assert [(row["learner"], row["criterion"]) for row in rows] == [
        (name, criterion) for name in ("wren", "'=heron") for criterion in practicals()["08"].criteria]
    assert {row["practical"] for row in rows} == {"08"} and {row["outcome"] for row in rows} == {""}


def test_nothing_is_fetched_run_or_coloured():
    for paper in (*practical_papers("06"), *practical_papers("board")):
        html = re.sub(r'xmlns(:\w+)?="[^"]*"', "", paper.html)
        assert "<script" not in html and "http" not in html.replace("http-equiv", "")
        for colour in re.findall(r"#[0-9a-fA-F]{3,6}\b", html if paper.name.endswith(".html") else ""):
            # A grey prints; a hue is not needed.
            digits = colour[1:] if len(colour) == 7 else "".join(sign * 2 for sign in colour[1:])
            assert len({digits[0:2].lower(), digits[2:4].lower(), digits[4:6].lower()}) == 1


def test_the_board_is_printed_and_its_file_opens_again(tmp_path):
    result = CliRunner().invoke(command, ["print", "practical", "board", "--out", str(tmp_path)])
    assert result.exit_code == 0, result.output
    assert sorted(path.name for path in tmp_path.iterdir()) == [
        "training-board-drawing.html", "training-board-whole.html", "training-board.html", "training-board.yaml"]
    again = kit.machine(str(tmp_path / "training-board.yaml"))
    assert again.digest == training_board().digest and FILE.name == "training-board.yaml"
    drawing = (tmp_path / "training-board-drawing.html").read_text(encoding="utf-8")
    assert all(f"<b>{stage}</b>" in drawing for stage in training_board().stages)
    assert drawing.count('class="drawing"') == len(training_board().stages)


def test_what_there_is_no_practical_for_is_said_in_a_line(tmp_path):
    with pytest.raises(PaperError, match=r"no practical beside lesson '02'.*\"board\""):
        practical_papers("02")
    result = CliRunner().invoke(command, ["print", "practical", "02", "--out", str(tmp_path)])
    assert result.exit_code != 0 and "Traceback" not in result.output and not any(tmp_path.iterdir())


def test_conditions_in_few_words():
    said = {
        line(test).condition for each in practicals().values() for one in each.plantings
        if one.id in ("13a", "09b", "15a") for test in one.tests
    }
    moved = "key on, in first, clutch in, start held, S2 moved by hand"
    assert {"key on, unit unplugged", "W12, W13 off", moved} < said
