"""Observation sheets typed in and merged: lines read exactly, the newest counting, the matrix, the pages, the audit."""

import csv
import json

import pytest
from click.testing import CliRunner

from kit.cli.commands import kit
from kit.errors import RubricError
from kit.exercises.practicals import practicals
from kit.marking import default_rubric, mark_folder, write_pages, write_sheet
from kit.marking.marks import LearnerMarks, MarkBook, Observed, Row, as_line, from_line
from kit.marking.matrix import Proposal, standings
from kit.marking.sheet_by_hand import MOST_WITH_PRACTICALS
from kit.paper.practical import OUTCOMES, RESULTS, practical_papers

HEAD = ",".join(RESULTS)
GOOD = "wren,06,safe,met,rook,2031-05-04,training board,calm and quick"
RUBRIC = default_rubric()


def table(path, *lines):
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path


def read_lines(tmp_path, *lines, head=HEAD):
    from kit.marking.by_hand import read_tables

    return read_tables([table(tmp_path / "seen.csv", head, *lines)])


def row(name, points, machine, criteria=("measure",)):
    return Row(
        question=name, version=1, title="t", prompt="p", answer="a", points=points, of=4, attempts=1, note="",
        reason="", ideas=(), kind="number", variant="v", kit_points=points, kit_of=4, criteria=criteria,
        machine=machine,
    )


def standing(criterion, *observed, rows=()):
    one = LearnerMarks(learner="wren", rows=tuple(rows), troubles=(), observed=observed)
    return next(each for each in standings(one, RUBRIC) if each.criterion.id == criterion)


def saw(*, criterion="measure", met=True, practical="06", date="2031-05-04", machine="training board"):
    return Observed(
        criterion=criterion, met=met, marker="rook", date=date, practical=practical, machine=machine)


# --- the table


def test_a_line_of_an_observation_sheet(tmp_path):
    # A spreadsheet where dates have dots makes 04.05.2031 of the day; with strokes nobody knows which is the month.
    not_yet = "wren,6,repair,Not  Yet,rook,04.05.2031,mower 3,"
    given, troubles = read_lines(tmp_path, GOOD, not_yet, "wren,06,prove,,,,,")
    assert troubles == ()
    assert given["wren"].observed == (
        Observed(criterion="safe", met=True, marker="rook", date="2031-05-04", practical="06",
                 machine="training board", note="calm and quick"),
        Observed(criterion="repair", met=False, marker="rook", date="2031-05-04", practical="06", machine="mower 3"),
    )


def test_the_same_in_a_line_of_by_hand_csv(tmp_path):
    """One column for both, in whatever letters, and 6 for 06 as a spreadsheet has it."""
    head = "learner,question,points,marker,date,machine"
    given, troubles = read_lines(tmp_path, "wren,p6.Safe,YES,rook,2031-05-04,board", head=head)
    (seen,) = given["wren"].observed
    assert (seen.practical, seen.criterion, seen.met, seen.machine) == ("06", "safe", True, "board") and not troubles


def test_what_was_not_seen_is_no_evidence_and_no_trouble(tmp_path):
    assert read_lines(tmp_path, "wren,06,safe,not seen,,,,") == ({}, ())


@pytest.mark.parametrize(("line", "says"), [
    ("wren,02,safe,met,rook,2031-05-04,board,", "no practical '02'; there are 03, 04"),
    ("wren,06,drop,met,rook,2031-05-04,board,", "practical 06 does not watch 'drop'; it watches safe, prove"),
    ("wren,06,,met,rook,2031-05-04,board,", "practical 06 does not watch ''; it watches safe"),
    ("wren,06,safe,good,rook,2031-05-04,board,", "the outcome 'good' should be \"met\", \"not yet\" or \"not seen\""),
    ("wren,06,safe,met,,2031-05-04,board,", "fill in the assessor"),
    ("wren,06,safe,met,rook,4/5/2031,board,", "the date '4/5/2031' should be a day written like 2031-05-04"),
    ("wren,06,safe,met,rook,31.2.2031,board,", "the date '2031-02-31' should be a day written like 2031-05-04"),
    ("wren,06,safe,met,rook,2031-02-30,board,", "the date '2031-02-30'"),
    ("wren,06,safe,met,rook,,board,", "the date ''"),
    ("wren,06,safe,met,rook,2031-05-04,,", "fill in the machine"),
    (",06,safe,met,rook,2031-05-04,board,", "which learner"),
    ("wren,x,safe,met,rook,2031-05-04,board,", "no practical '0X'; there are 03"),
])
def test_a_wrong_line_is_named_with_file_and_line_and_what_to_do(tmp_path, line, says):
    given, (trouble,) = read_lines(tmp_path, GOOD, line)
    assert says in trouble.text and (trouble.file, trouble.line) == ("seen.csv", 3)
    # And the good one beside it counts all the same.
    assert len(given["wren"].observed) == 1


@pytest.mark.parametrize("missing", ["criterion", "outcome", "assessor", "date", "machine", "learner"])
def test_a_table_that_lacks_a_column_stops_the_marking(tmp_path, missing):
    head = ",".join(name for name in RESULTS if name != missing)
    with pytest.raises(RubricError, match=f"seen.csv has no column \"{missing}\""):
        read_lines(tmp_path, GOOD, head=head)


def test_of_several_days_the_newest_counts_and_two_of_one_day_that_differ_neither(tmp_path):
    early = GOOD.replace("met,rook,2031-05-04", "not yet,rook,2031-04-01")
    given, troubles = read_lines(tmp_path, GOOD, early)
    assert [each.met for each in given["wren"].observed] == [True] and troubles == ()
    given, (trouble,) = read_lines(tmp_path, GOOD, GOOD.replace("met", "not yet"), GOOD, early)
    assert given == {} or given["wren"].observed == ()
    assert trouble.learner == "wren" and "P06.safe" in trouble.question
    assert "not yet in seen.csv line 3, met on the same day in seen.csv line 2: neither counts" in trouble.text


def test_the_same_line_twice_is_one(tmp_path):
    given, troubles = read_lines(tmp_path, GOOD, GOOD)
    assert len(given["wren"].observed) == 1 and troubles == ()


# --- the matrix


FOUR = (row("04.1", 4, "a"), row("05.1", 4, "a"), row("06.1", 4, "b"))


def test_what_needs_a_persons_eye_is_met_with_a_practical_and_not_without():
    assert standing("measure", rows=FOUR).proposal is Proposal.TOO_LITTLE
    found = standing("measure", saw(), rows=FOUR)
    assert found.proposal is Proposal.MET
    assert found.why == "4 of 4 pieces speak for it, and rook saw it done in practical 06, 2031-05-04."
    assert [piece.question for piece in found.pieces][-1] == "P06"


def test_the_newest_sighting_decides_whichever_practical_it_was_in():
    bad, good = saw(met=False, practical="04", date="2031-04-01"), saw(practical="08", date="2031-06-01")
    assert standing("measure", bad, good, rows=FOUR).proposal is Proposal.MET
    later = saw(met=False, practical="10", date="2031-07-01")
    found = standing("measure", bad, good, later, rows=FOUR)
    assert found.proposal is Proposal.NOT_YET and "practical 10, 2031-07-01" in found.why


def test_of_one_day_not_yet_outweighs_and_what_bears_no_day_is_oldest():
    found = standing("measure", saw(), saw(met=False, practical="07"), rows=FOUR)
    assert found.proposal is Proposal.NOT_YET
    undated = Observed(criterion="measure", met=False, marker="old")
    assert standing("measure", undated, saw(), rows=FOUR).proposal is Proposal.MET


def test_practicals_are_pieces_on_the_machines_they_were_done_on():
    """Three practicals on two machines are enough by the rubric; on one machine, in whatever letters, they are not."""
    board = [saw(practical=lesson, machine=name) for lesson, name in
             (("04", "Training board"), ("05", "training  board"), ("06", "TRAINING BOARD"))]
    assert standing("measure", *board).proposal is Proposal.TOO_LITTLE
    found = standing("measure", *board[:2], saw(machine="mower 3"))
    assert found.proposal is Proposal.MET and len(found.pieces) == 3
    # A practical that was not yet met speaks against it: one of three is 33 %, and the newest was met.
    failed = [saw(met=False, practical=lesson, date="2031-01-01") for lesson in ("03", "04")]
    assert standing("measure", *failed, saw(machine="mower 3")).proposal is Proposal.NOT_YET


def test_an_unsafe_act_on_a_job_is_not_outweighed_by_a_practical():
    from dataclasses import replace

    from kit.marking.marks import JobLine

    line = (JobLine(what="l", points=15, of=15, why=""),)
    job = replace(row("06.7", 60, "b", ("safe",)), kind="job", lines=line, caps=("A: cranked unsecured",), raw=(
        {"act": "hand back"},))
    found = standing("safe", saw(criterion="safe"), rows=(*FOUR, job))
    assert found.proposal is Proposal.NOT_YET and "averaged" in found.why


def test_what_was_seen_goes_through_the_file_of_marks():
    one = LearnerMarks(learner="wren", rows=(), troubles=(), observed=(saw(),))
    line = as_line(one)
    assert from_line(line.text, line.rows.__getitem__) == one


# --- from the printed table to the pages


def test_the_printed_table_filled_in_is_merged_and_never_written_to(handed_in, learner, tmp_path):
    learner("wren").right("06.1")
    paper = next(each for each in practical_papers("06", ("wren", "heron")) if each.name.endswith(".csv"))
    lines = list(csv.reader(paper.html.splitlines()))
    assert tuple(lines[0]) == RESULTS and [line[2] for line in lines[1:7]] == list(practicals()["06"].criteria)
    for line in lines[1:7]:
        line[3:] = ["met", "rook", "2031-05-04", "training board", "=SUM(A1) by ear"]
    path = tmp_path / "practical-06-results.csv"
    with path.open("w", encoding="utf-16", newline="") as file:
        csv.writer(file, delimiter="\t").writerows(lines)
    before = path.read_bytes()
    out = tmp_path / "out"
    result = CliRunner().invoke(
        kit, ["mark", str(handed_in), "--out", str(out), "--quiet", "--by-hand", str(path)])
    assert result.exit_code == 0, result.output
    assert path.read_bytes() == before
    wrong = table(tmp_path / "wrong.csv", HEAD, GOOD, GOOD.replace("met", "fine"))
    result = CliRunner().invoke(
        kit, ["mark", str(handed_in), "--out", str(tmp_path / "again"), "--quiet", "--by-hand", str(wrong)])
    assert result.exit_code == 1 and "wrong.csv line 3: the outcome 'fine' should be" in result.output
    page = (out / "wren.html").read_text(encoding="utf-8")
    assert "What was seen on real metal" in page and "rook, 2031-05-04, training board" in page
    assert page.count("Practical 06") == 6 and "=SUM(A1) by ear" in page
    audit = [json.loads(line) for line in (out / "audit.jsonl").read_text().splitlines()]
    seen = next(line for line in audit if "observed" in line)["observed"]
    assert seen[0] == {"criterion": "safe", "met": True, "marker": "rook", "date": "2031-05-04", "practical": "06",
                       "machine": "training board", "note": "=SUM(A1) by ear"}
    criteria = {line["criterion"]: line for line in csv.DictReader(
        (out / "criteria.csv").read_text(encoding="utf-8-sig").splitlines())}
    assert criteria["repair"]["exercises"] == "1"


def test_by_hand_csv_has_the_practicals_of_lessons_begun_and_keeps_what_is_filled_in(handed_in, learner, tmp_path):
    learner("wren").right("06.1")
    out = tmp_path / "out"
    out.mkdir()
    book = mark_folder(handed_in)
    path = write_sheet(book, out)
    lines = list(csv.DictReader(path.read_text(encoding="utf-8-sig").splitlines()))
    practised = [line for line in lines if line["question"].startswith("P")]
    assert [line["question"] for line in practised] == [f"P06.{one}" for one in practicals()["06"].criteria]
    assert {line["of"] for line in practised} == {" / ".join(OUTCOMES)}
    first = practised[0]
    first.update(points="not seen", marker="rook", date="2031-05-04", machine="mower 3", note="no occasion")
    practised[1].update(points="not yet", marker="rook", date="2031-05-04", machine="mower 3")
    with path.open("w", encoding="utf-8", newline="") as file:
        writer = csv.DictWriter(file, list(lines[0]))
        writer.writeheader()
        writer.writerows(lines)
    book = mark_folder(handed_in, by_hand=[path])
    assert book.troubles == ()
    assert [(each.practical, each.criterion, each.met) for each in book.learners[0].observed] == [
        ("06", "prove", False)]
    write_sheet(book, out)
    again = list(csv.DictReader(path.read_text(encoding="utf-8-sig").splitlines()))
    assert again == lines


def test_a_class_too_large_for_it_has_no_lines_of_practicals_but_those_filled_in(tmp_path):
    many = tuple(
        LearnerMarks(learner=f"l{n:03d}", rows=(row("06.1", 4, "b"),), troubles=())
        for n in range(MOST_WITH_PRACTICALS + 1)
    )
    (tmp_path / "by-hand.csv").write_text(
        "learner,question,points,marker,machine\nl007,P06.safe,met,rook,board\n", encoding="utf-8")
    path = write_sheet(MarkBook(learners=many, troubles=()), tmp_path)
    lines = csv.DictReader(path.read_text(encoding="utf-8-sig").splitlines())
    kept = [line for line in lines if line["question"].startswith("P")]
    assert [(line["learner"], line["question"], line["machine"]) for line in kept] == [("l007", "P06.safe", "board")]


def test_who_was_not_watched_has_no_such_section(handed_in, learner, tmp_path):
    learner("wren").right("06.1")
    write_pages(mark_folder(handed_in), tmp_path)
    assert "seen on real metal</h2>" not in (tmp_path / "wren.html").read_text(encoding="utf-8")
