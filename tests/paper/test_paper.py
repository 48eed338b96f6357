"""What is printed: right, the same every time, telling no learner the answer, and fitting the paper."""

import re
import subprocess
import sys
from html.parser import HTMLParser
from pathlib import Path

import pytest

from kit.circuit import When
from kit.draw.labels import SIZES
from kit.draw.sheet import draw_sheet
from kit.draw.widths import text_width
from kit.errors import KitError, PaperError
from kit.exercises import mark, question, questions, variant
from kit.exercises.cards import card, card_ids
from kit.exercises.explain import Explain
from kit.exercises.job_question import JobQuestion
from kit.exercises.library import KINDS, answer_form, hints_of
from kit.instruments import TestLamp
from kit.machines import machine
from kit.machines.library import machine_ids
from kit.paper import Pictures, answers, asked, press, write_papers
from kit.paper.charts import chart
from kit.paper.data_sheet import data_sheet, limits
from kit.paper.job_cards import card_answer, job_cards
from kit.paper.worksheets import read_learners, worksheets

COURSE, LEARNER = "autumn", "wren"
LESSONS = tuple(dict.fromkeys(item.lesson for item in questions().values()))


class Tags(HTMLParser):
    """The page as a list of (tag, attributes, text up to the next tag), and the text of what is marked ``given``."""

    def __init__(self, html):
        super().__init__()
        self.tags, self.given, self.section, self._open = [], {}, "", None
        self.feed(html)

    def handle_starttag(self, tag, attrs):
        found = dict(attrs)
        self.tags.append((tag, found, ""))
        self.section = found.get("data-question", self.section)
        if "given" in (found.get("class") or "").split():
            self._open = (self.section, found.get("data-row", ""))
            self.given.setdefault(self._open, []).append("")

    def handle_endtag(self, tag):
        if tag in ("b", "td"):
            self._open = None

    def handle_data(self, data):
        if self._open:
            self.given[self._open][-1] += data
        if self.tags:
            tag, found, text = self.tags[-1]
            self.tags[-1] = (tag, found, text + data)

    def count(self, tag, name):
        return sum(name in (found.get("class") or "").split() for each, found, _ in self.tags if each == tag)


def text_of(html):
    from html import unescape
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", re.sub(r"<style>.*?</style>", " ", html, flags=re.S))).split())


@pytest.fixture(scope="module")
def printed():
    """Each lesson's worksheet and answers for one learner, made when first asked for."""
    made = {}

    def of(lesson):
        if lesson not in made:
            made[lesson] = worksheets(lesson, (LEARNER,), COURSE)
        return made[lesson]

    return of


@pytest.mark.parametrize("lesson", LESSONS)
def test_the_printed_answer_read_off_the_page_earns_every_point(lesson, printed):
    given = Tags(printed(lesson)[1].html).given
    for item in questions().values():
        if item.lesson != lesson or isinstance(item, (Explain, JobQuestion)):
            continue
        read = {row: cells for (of, row), cells in given.items() if of == item.id}
        assert read, item.id
        if "" in read:
            raw = read[""][0]
        elif "tip" in read:
            raw = {name: "" if cells == ["none"] else cells[0] for name, cells in read.items()}
        else:
            raw = read
        found = mark(item, variant(item, COURSE, LEARNER), raw)
        assert found.understood and found.points == found.of, (item.id, raw, found.reason)


@pytest.mark.parametrize("lesson", LESSONS)
def test_a_learners_sheet_asks_what_the_screen_asks_and_tells_nothing_more(lesson, printed):
    sheet, answers = (text_of(paper.html) for paper in printed(lesson))
    for item in questions().values():
        if item.lesson != lesson:
            continue
        mine = variant(item, COURSE, LEARNER)
        prompt = re.sub(r" The table locks[^.]*\.", "", str(answer_form(item, mine)["prompt"]))
        assert " ".join(prompt.split()) in sheet, item.id
        secret = [getattr(item, "why", ""), getattr(item, "next", ""), getattr(item, "model", ""), *hints_of(item)]
        secret += [option.feedback for option in getattr(item, "options", ())] + list(getattr(item, "rubric", ()))
        secret += [slip.reason for slip in getattr(item, "slips", {}).values()]
        for text in secret:
            plain = re.split(r"[{}]", text)
            # The longest stretch no variant fills says enough to be known again.
            piece = " ".join(max(plain, key=len).split())
            if len(piece) > 25 and piece not in prompt:
                assert piece not in sheet, (item.id, piece)
    assert "class=\"given\"" not in printed(lesson)[0].html and "for the instructor" in answers.lower()


def test_no_card_gives_its_fault_away_and_its_answers_do():
    ids = card_ids()
    (cards, answers) = job_cards(ids, (), COURSE, answers=True)
    learner, instructor = text_of(cards.html), text_of(answers.html)
    for each in ids:
        chosen = card(each)
        assert chosen.complaint in learner
        for fault in chosen.faults("variant A", COURSE):
            assert fault not in learner and fault in instructor, (each, fault)
        behind = card_answer(each, "variant A", COURSE)
        for text in (behind.cause, behind.repair, behind.mistaken_for, behind.shows):
            if len(text) > 20:
                assert text not in learner and text in instructor, (each, text)


def test_a_card_has_its_twelve_parts_and_a_blank_test_sheet():
    (paper,) = job_cards(("j12",), (), COURSE, answers=False)
    page = Tags(paper.html)
    heads = [int(text.split()[0]) for tag, _, text in page.tags if tag == "h2"]
    assert heads == list(range(1, 13))
    assert page.count("td", "write") == 7 * 8
    assert "seat" in text_of(paper.html)


def test_answers_to_a_card_follow_the_learners_own_fault():
    """J1 hides one of two faults; a learner of each kind gets the answer that marking goes by."""
    found = {}
    for number in range(20):
        name = f"learner-{number}"
        found.setdefault(card("J1").faults(name, COURSE), name)
    assert len(found) == 2
    for faults, name in found.items():
        assert card_answer("J1", name, COURSE).faults[0].startswith(faults[0])


@pytest.mark.parametrize("kind", KINDS, ids=lambda kind: kind.__name__)
def test_every_kind_has_a_form_with_the_boxes_and_lines_it_wants(kind):
    assert kind in asked.FORMS, f"say in kit/paper/asked.py how a {kind.__name__} is printed, and draw it in forms.html"
    for item in [one for one in questions().values() if type(one) is kind][:3]:
        mine = variant(item, COURSE, LEARNER)
        fields = answer_form(item, mine)
        made = asked.Asking(Pictures()).ask(item, mine)
        sheets = [{"learner": LEARNER, "sheet": "0", "asked": [made], "cards": []}]
        values = {"lesson": "00", "course": COURSE, "suspect_rows": 3, "sheets": sheets}
        page = Tags(press.press("worksheet.html", "one.html", title="one", **values).html)
        boxes, cells = page.count("span", "box"), page.count("td", "write")
        match made.form:
            case "choice" | "several":
                assert boxes == len(fields["options"])
            case "ordered":
                assert page.count("span", "wide") == len(fields["options"])
            case "words_table" | "volts_table":
                assert cells == len(fields["rows"]) * len(fields["columns"])
            case "next_test":
                assert boxes == len(fields["tips"]) + 2 * len(fields["options"])
            case "number":
                assert page.count("span", "blank") == 3  # name and date, and the answer
            case "explain":
                assert page.count("div", "lines") == 1
            case "mark_up":
                if fields["rows"][0]["options"] == fields["rows"][-1]["options"]:
                    assert cells == len(fields["rows"])
                else:
                    assert boxes == sum(len(row["options"]) for row in fields["rows"])
            case "job":
                assert fields["card"] in {word for _, _, text in page.tags for word in text.split()}
            case other:
                pytest.fail(f"nobody has said what a printed {other} must have")


def test_a_kind_nobody_has_laid_out_is_printed_for_the_screen(monkeypatch):
    item = question("06.3")
    left = {kind: form for kind, form in asked.FORMS.items() if kind is not type(item)}
    monkeypatch.setattr(asked, "FORMS", left)
    monkeypatch.setattr(answers, "FORMS", left)
    mine = variant(item, COURSE, LEARNER)
    assert asked.Asking(Pictures()).ask(item, mine).form == "other"
    assert answers.answer(item, mine).given is None


def test_wrong_answers_that_mean_something_are_named_and_earn_what_they_say():
    """06.3: no volts where nothing flows (Engelhardt & Beichner 2004) stands on the answer sheet with its idea."""
    item = question("06.3")
    page = text_of(worksheets("06", (LEARNER,), COURSE)[1].html)
    assert "0 V it may be the idea “no current, so no volts”" in page
    assert mark(item, variant(item, COURSE, LEARNER), "0 V").ideas == ("no-current-no-volts",)


def test_the_same_bytes_again_in_another_process():
    code = (
        "import hashlib; from kit.paper.worksheets import worksheets; from kit.paper.data_sheet import data_sheet; "
        f"papers = (*worksheets('06', ('wren', 'finch'), '{COURSE}'), data_sheet('bench-board')); "
        "print(hashlib.sha256(''.join(paper.html for paper in papers).encode()).hexdigest())"
    )
    seen = {
        subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True,
                       env={"PYTHONHASHSEED": seed, "PATH": ""}).stdout
        for seed in ("1", "2")
    }
    assert len(seen) == 1


def test_two_learners_have_sheets_of_their_own_and_a_drawing_is_kept_once():
    (sheet, _) = worksheets("06", ("wren", "finch"), COURSE)
    seals = re.findall(r"sheet ([0-9a-f]{6})", sheet.html)
    assert len(set(seals)) == 2
    assert sheet.html.count("<symbol") == 1 and sheet.html.count("<use ") == 2


def test_pages_need_nothing_from_outside_and_no_colour():
    cards = job_cards(("J1",), (), COURSE, answers=True)
    papers = [*worksheets("05", (LEARNER,), COURSE), data_sheet("orchard-bike"), *cards]
    for paper in papers:
        assert "<script" not in paper.html and "<link" not in paper.html and "<img" not in paper.html
        assert not re.search(r"url\(|https?://(?!www\.w3\.org/2000/svg)", paper.html)
        colours = set(re.findall(r"(?:fill|stroke|color|background|border[a-z-]*)[=:]\s*\"?[^;\"]*?(#[0-9A-Fa-f]{3,8})",
                                 paper.html))
        assert {colour.lower() for colour in colours} <= {"#000", "#fff", "#000000", "#ffffff"}, paper.name
        # Nothing that a browser would repaint is left in, with the names it goes by.
        assert "data-part" not in paper.html and "data-when" not in paper.html


def test_a_data_sheet_has_all_of_the_machine():
    for name in ("bench-board", "compact-loader"):
        there, page = machine(name), data_sheet(name)
        text = text_of(page.html)
        for part in (*there.data.values(), *there.cautions.values(), *(point.where for point in there.points.values())):
            assert " ".join(part.split()) in text
        for terminal in there.points:
            assert f"<th>{terminal}</th>" in page.html
    # trade.md: 0.1, 0.2, 0.3 and 0.5 V on 12 V, and twice that on 24 V.
    assert [volts for _, volts in limits(machine("bench-board"))] == ["0.1 V", "0.2 V", "0.3 V", "0.5 V"]
    assert [volts for _, volts in limits(machine("compact-loader"))] == ["0.2 V", "0.4 V", "0.6 V", "1 V"]


def test_what_a_page_holds_is_less_than_a4_and_letter_have():
    """A4 is 210 × 297 mm (ISO 216), Letter 215.9 × 279.4 mm (ASME Y14.1: 8.5 × 11 in); a px is 1/96 in (CSS)."""
    style = (Path(press.__file__).parent / "style.html").read_text(encoding="utf-8")
    top, side, bottom = map(float, re.search(r"@page \{ margin: (\d+)mm (\d+)mm (\d+)mm", style).groups())
    for wide, high in ((210.0, 297.0), (215.9, 279.4)):
        assert (wide - 2 * side) / 25.4 * 96 > press.PAGE_WIDE
        # A caption and the foot stand under a drawing that fills the page.
        assert (high - top - bottom) / 25.4 * 96 > press.PAGE_HIGH + 80


@pytest.mark.parametrize("name", machine_ids())
def test_a_drawing_over_several_pages_shows_each_word_whole_on_one_of_them(name):
    there = draw_sheet(machine(name), None)
    longest = max(
        text_width(line, SIZES[label.role], bold=label.role == "id") for label in there.labels for line in label.lines
    )
    assert longest < press.OVERLAP
    scale, across, down, _ = press._tiling(there.width, there.height)
    assert scale >= press.LEAST_SCALE and across * down <= press.MOST_TILES


def steps_of(html):
    """The chart as a hand reads it: by number, the test and its outcomes with what each says to do."""
    found = {}
    for number, body in re.findall(r'<section class="step" id="step(\d+)">(.*?)</section>', html, re.S):
        test = text_of(re.search(r"<th colspan=\"2\">(.*?)</th>", body, re.S)[1]).partition(": ")[2].partition(" – ")[0]
        rows = re.findall(r"<tr><td>(.*?)</td><td class=\"go\">(.*?)</td></tr>", body, re.S)
        found[int(number)] = (test, {text_of(shown): text_of(go) for shown, go in rows})
    return found


def shown_by(there, fault, test):
    """What a person with the fault before them sees in this test of the chart, done on the machine itself."""
    what, _, where = test.partition("; ")
    moved = {}
    for control in there.controls.values():
        for position in control.positions:
            if f"{control.title} {position}" in (where or what):
                moved[control.id] = position
    now = there.operate(fault, **moved)
    if lamp := re.fullmatch(r"Lamp clipped to (\S+), tip on (\S+)", what):
        return TestLamp(clip=lamp[1], tip=lamp[2], volts=there.volts).read(now).shown
    if look := re.match(r"Look at (\S+)", what):
        notes = there.notes.get(fault)
        return notes.looks if fault.startswith(f"{look[1]} ") and notes else ""
    words = [f"{notice.part} {notice.word}" for notice in now.noticed]
    return "; ".join(words)


@pytest.mark.parametrize("fault", ["S1 stuck open", "W2 open", "E1 open", "X2 open", "W5 open", "X3 open"])
def test_a_hand_that_follows_the_chart_finds_the_fault(fault):
    there = machine("bench-board")
    steps = steps_of(chart("bench-board", "switch open").html)
    number, walked = 1, 0
    while True:
        walked += 1
        assert walked <= len(steps)
        test, ways = steps[number]
        shown = shown_by(there, fault, test)
        if test.startswith("Try it"):
            said = [way for way in ways if all(word in shown for word in way.split("; ") if "at rest" not in word)]
            said = [max(said, key=len)] if said else []
        elif test.startswith("Look"):
            said = [way for way in ways if way == shown] or [way for way in ways if way.startswith("Nothing to see")]
        else:
            said = [way for way in ways if way == shown]
        assert said, (number, test, shown, ways)
        go = ways[said[0]]
        if go.startswith("go to"):
            number = int(go.split()[-1])
            continue
        assert fault in go, (number, go)
        return


def test_a_chart_says_how_good_it_is_and_reaches_everybody():
    from kit.diagnose.plan import plan
    from kit.diagnose.trials import job_table

    page = chart("bench-board")
    table = job_table(machine("bench-board")).joined().worth_keeping()
    found, text = plan(table), text_of(page.html)
    assert found.standing() in text
    assert ("nobody says that it is the best" in text) == (not found.certified)
    said = [go for _, ways in steps_of(page.html).values() for go in ways.values()]
    ends = " ".join(said)
    named = [name for name in table.suspects if name in ends]
    # At most four are named at an end, the others counted.
    assert len(named) >= 0.9 * len(table.suspects)
    targets = [int(go.split()[-1]) for go in said if go.startswith("go")]
    assert sorted(targets) == list(range(2, len(steps_of(page.html)) + 1))


def test_the_standing_of_a_plan_tells_what_could_be_saved():
    """3.0 minutes where none can take less than 1.5: half of it at most could be saved."""
    from dataclasses import replace

    from kit.diagnose.plan import plan
    from kit.diagnose.table import OutcomeTable

    found = plan(OutcomeTable.from_arrays([[0], [1]]))
    far = replace(found, minutes=3.0, bound=1.5, certified=False)
    assert "at most 50 % of that could still be saved" in far.standing()


def test_a_case_that_comes_and_goes_has_no_chart():
    comes = [
        (name, case.name) for name in machine_ids() for case in machine(name).cases.values()
        if any(machine(name).fault(fault).when is not When.ALWAYS for fault in case.faults)
    ]
    assert comes
    for name, case in comes:
        with pytest.raises(PaperError, match="comes and goes"):
            chart(name, case)


@pytest.mark.parametrize(
    ("text", "names"),
    [("wren", ("wren",)), ("wren, finch,wren", ("wren", "finch")), (" a  b ", ("a b",))],
)
def test_learners_are_read_from_names(text, names):
    assert read_learners(text) == names


def test_learners_are_read_from_a_file(tmp_path):
    path = tmp_path / "names.csv"
    path.write_text("\ufeffpseudonym,name\nwren,\nfinch,Somebody\n\n", encoding="utf-8")
    assert read_learners(str(path)) == ("wren", "finch")


def test_real_names_behind_a_pseudonym_stay_off_the_sheets(tmp_path):
    """A spreadsheet set to a country with a decimal comma puts semicolons between the cells of a CSV file."""
    path = tmp_path / "names.csv"
    path.write_text('pseudonym;name\nwren;"Somebody, A."\nfinch;\n', encoding="utf-8")
    assert read_learners(str(path)) == ("wren", "finch")


@pytest.mark.parametrize("text", ["", " , ", "gone.txt", "x/y", "gone.xlsx", "."])
def test_no_learners_is_said(text):
    with pytest.raises(PaperError):
        read_learners(text)


def test_what_cannot_be_written_is_said(tmp_path):
    (tmp_path / "file").write_text("", encoding="utf-8")
    with pytest.raises(KitError, match="--out"):
        write_papers(job_cards(("J1",), (), COURSE, answers=False), tmp_path / "file")
