"""The assessor's desk: rubric, marks by hand, adjustments, work in several processes, going on after a kill, the audit.

The sums were worked out by hand from the rubric printed beside each.
"""

import csv
import json
import os
import subprocess
import sys
from multiprocessing import get_all_start_methods

import openpyxl
import pytest
from click.testing import CliRunner

from kit.cli.commands import kit
from kit.errors import RecordError, RubricError
from kit.exercises import questions
from kit.marking import mark_folder, read_rubric, task, together, write_audit, write_sheet, write_tables, write_workbook
from kit.marking.by_hand import read_tables
from kit.marking.marks import LearnerMarks, as_line
from kit.marking.pages import Total
from kit.marking.rubric import default_rubric, rubric_from
from kit.marking.state import NAME, State

TEXT = "An open circuit has the whole battery's volts across it, current or none."
EXPLAIN = next(item for item in questions().values() if item.kind == "explain")


def ruled(text):
    return rubric_from("test.toml", text)


def row(book, question, name="wren"):
    (rows,) = [marks.rows for marks in book.learners if marks.learner == name]
    return next(one for one in rows if one.question == question)


def read(path, how=csv.reader):
    with path.open(encoding="utf-8-sig", newline="") as file:
        return list(how(file))


def table(path, *lines):
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path


def test_what_a_spreadsheet_makes_of_a_question_is_taken_for_what_it_was(tmp_path):
    """A cell that holds 05.10 and may be a number is kept as 5.1 (the number's value; RFC 4180 knows no types)."""
    head = "learner,question,points,marker"
    lines = ("wren,0.7,3,Ann", "wren,5.1,2,Ann", "heron,05.10,1,Ann", "heron,01. Aug,4,Ann")
    given, troubles = read_tables([table(tmp_path / "by-hand.csv", head, *lines)])
    assert {name: one.points for name, one in given["wren"].marks.items()} == {"00.7": 3, "05.10": 2}
    assert list(given["heron"].marks) == ["05.10"]
    assert [(one.line, "keep that column as text" in one.text) for one in troubles] == [(5, True)]


def test_an_adjustment_for_no_lesson_or_question_is_told_and_one_for_6_is_for_06(tmp_path):
    lines = ("wren,attempts,2,6", "wren,time,3,6.3", "wren,time,3,lesson six", "wren,reader,,has a reader")
    given, troubles = read_tables(adjustments=table(tmp_path / "codes.csv", "learner,code,amount,about", *lines))
    assert [one.about for one in given["wren"].adjustments] == ["06", "06.3", "has a reader"]
    assert [(one.line, one.text[:29]) for one in troubles] == [(4, "there is no question or lesso")]


# --- the rubric


def test_the_rubric_that_is_printed_is_the_one_that_marks(tmp_path):
    printed = CliRunner().invoke(kit, ["rubric"])
    (tmp_path / "ours.toml").write_text(printed.stdout, encoding="utf-8")
    mine, usual = read_rubric(tmp_path / "ours.toml"), default_rubric()
    assert [getattr(mine, name) for name in mine.__dataclass_fields__ if name not in ("name", "text")] == [
        getattr(usual, name) for name in usual.__dataclass_fields__ if name not in ("name", "text")]


@pytest.mark.parametrize(("text", "says"), [
    ("cut = 101", "cut is '101'"), ("cut = 50.5", "whole number"), ("cutt = 50", "cutt"),
    ("[hints]\nper = 1", "hints.per"),
    ("[weights.kinds]\nchoise = 2", "weights.kinds.choise"), ("[attempts]\ncounts = 'worst'", "first, last, best"),
    ("[late]\ndue = 'tomorrow'", "a moment in UTC"), ("[late]\ndue = '2031-05-04T16:00:00'", "a moment in UTC"),
    ("[jobs]\ncaps = 1", "true or false"), ("= =", "line 1 is not TOML"), ("[weights]\nlessons = 3", "a table"),
    ("[weights.lessons]\n6 = 2", "line 2: nothing is called weights.lessons.6; there are 00, 01"),
    ("[weights.questions]\n'06.99' = 2", "line 2: nothing is called weights.questions.06.99; there are 00.1"),
    ("asked = '06'", "a list such as"),
    ("asked = ['06', 'sixth']", "asked is 'sixth'"),
    ("title = 'ours'\n\n[late]\n# soon\ndue = 3", "line 5: late.due is '3'"),
])
def test_a_slip_in_a_rubric_is_named_and_nothing_is_marked_under_it(text, says):
    with pytest.raises(RubricError, match=says) as found:
        ruled(text)
    assert "\n" not in str(found.value)


def test_the_question_s_weight_wins_over_the_lesson_s_and_the_kind_s(handed_in, learner):
    one = learner("wren")
    one.right("06.1")
    one.say("06.3", "0 V")
    one.right("06.6")
    rubric = ruled("[weights.kinds]\nchoice = 5\njob = 0\n[weights.lessons]\n'06' = 2\n[weights.questions]\n'06.1' = 3")
    book = mark_folder(handed_in, rubric=rubric)
    found = [row(book, name) for name in ("06.1", "06.3", "06.6")]
    assert [(one.points, one.of) for one in found] == [(12, 12), (0, 8), (8, 8)]
    # 3 × 4 + 2 × (10 + 4 + 10 + 4 + 4 + 100): the lesson's weight stands before the kind's.
    assert (book.learners[0].points, book.learners[0].of) == (20, 276)
    assert row(book, "06.1").steps[-1] == "counts 3 times: 12 of 12"


def test_a_lesson_the_rubric_asks_for_counts_whether_it_was_begun_or_not(handed_in, learner, tmp_path):
    one = learner("wren")
    one.right("06.1")
    begun = mark_folder(handed_in).learners[0]
    asked = mark_folder(handed_in, rubric=ruled("asked = ['06', '05']")).learners[0]
    fifth = [each for each in asked.rows if each.question.startswith("05.")]
    assert fifth and all((each.points, each.attempts) == (0, 0) for each in fifth)
    assert (asked.points, asked.of) == (begun.points, begun.of + sum(each.of for each in fifth))
    assert {each.question for each in begun.rows} == {each.question for each in asked.rows} - {
        each.question for each in fifth}
    assert Total.of_learner(asked).lessons == 1


@pytest.mark.parametrize(("counts", "points"), [("last", 2), ("first", 0), ("best", 4)])
def test_which_attempt_counts_is_the_rubric_s_but_not_where_the_truth_was_shown(handed_in, learner, counts, points):
    from kit.exercises import truth

    one = learner("wren")
    one.say("06.3", "lots of volts")
    one.say("06.3", "0 V")
    one.right("06.3")
    one.say("06.3", f"{-truth(*one.asked('06.3'))} V")
    wrong = {point: ["out", "out"] for point in truth(*one.asked("06.2"))}
    one.say("06.2", wrong)
    one.right("06.2")
    book = mark_folder(handed_in, rubric=ruled(f"[attempts]\ncounts = '{counts}'"))
    assert row(book, "06.3").points == points
    assert row(book, "06.3").note == f"3 answers, the {counts} one counts; 1 could not be read"
    assert row(book, "06.2").points < 10 and "the first one counts" in row(book, "06.2").note


def test_hints_cost_what_the_rubric_says_and_only_those_before_the_answer(handed_in, learner):
    one = learner("wren")
    for name, before in (("06.3", 3), ("06.5", 1)):
        asked, mine = one.asked(name)
        for _ in range(before):
            one.record.append("hint", question=name, version=asked.version, variant=mine.key)
        one.right(name)
    asked, mine = one.asked("06.5")
    one.record.append("hint", question="06.5", version=asked.version, variant=mine.key)
    free = mark_folder(handed_in)
    assert (row(free, "06.3").points, row(free, "06.3").hints, row(free, "06.5").hints) == (4, 3, 1)
    charged = mark_folder(handed_in, rubric=ruled("[hints]\npoints_each = 1\npoints_most = 2"))
    # 4 − min(2, 3 × 1); 4 − 1: the hint after the answer is free.
    assert (row(charged, "06.3").points, row(charged, "06.5").points) == (2, 3)


def test_a_cap_can_be_taken_off_the_points_and_never_off_the_pass(handed_in, learner):
    one = learner("wren")
    one.do("operate", control="key", position="on")
    one.do("fuse", part="F1", to="bigger")
    one.do("hand back")
    capped = row(mark_folder(handed_in, stories=False), "06.7")
    text = "[jobs]\ncaps = false\npass = 0\njustified = 0\n[jobs.lines]\nreproduced = 1000\nprepared = 0"
    free = row(mark_folder(handed_in, rubric=ruled(text), stories=False), "06.7")
    assert capped.points <= 40 and "bigger fuse" in capped.reason
    # 500 of 1,000 for the complaint seen and nothing looked at; 1,000 + 30 + 15 + 15 + 5 + 10 in all.
    assert free.of == 1075 and 500 <= free.points <= 505
    assert not free.passed and free.caps and "bigger fuse" in free.reason


# --- any card


def test_work_on_any_card_is_marked_by_its_own_name_and_by_a_lesson_s_where_one_has_it(handed_in, learner):
    one = learner("wren")
    for job in ("J8", "J12", "J99"):
        one.record.append("act", job=job, version=1, act="prepare", step="secure")
        one.record.append("act", job=job, version=1, act="operate", control="key", position="on")
    book = mark_folder(handed_in)
    found = {one.question: one for one in book.learners[0].rows if one.kind == "job"}
    in_lesson = next(item for item in questions().values() if item.kind == "job" and item.card == "J12")
    assert set(found) == {in_lesson.id, "J8"}
    assert found["J8"].title == "Job card J8" and found["J8"].attempts == 1 and "find" in found["J8"].criteria
    assert found["J8"].of == 100 and 0 < found["J8"].points < 60 and found["J8"].lines[0].points > 0
    assert [one.question for one in book.troubles] == ["J99"]


# --- by hand, and adjusted


def test_the_audit_does_not_hang_on_a_computers_last_digits(handed_in, learner, monkeypatch):
    from kit.marking import audit

    learner("wren").right("06.3")
    mine, found = mark_folder(handed_in).learners[0], []
    for right in (0.3, 0.1 + 0.2, 0.3000001):
        monkeypatch.setattr(audit, "right_answer", lambda *_, right=right: right)
        audit._rights.clear()
        found.append(audit.mark_audited(mine, next(each for each in mine.rows if each.question == "06.3"))["right"])
    audit._rights.clear()
    assert found == [0.3, 0.3, 0.3000001]


@pytest.fixture
def explained(learner):
    one = learner("wren")
    one.say(EXPLAIN.id, TEXT)
    return one


def test_what_is_explained_waits_for_a_person_and_counts_once_marked(explained, handed_in, tmp_path):
    out = tmp_path / "marks"
    result = CliRunner().invoke(kit, ["mark", str(handed_in), "--out", str(out), "--quiet"])
    assert result.exit_code == 0, result.output
    lines = read((out / "by-hand.csv"), csv.reader)
    place = next(n for n, line in enumerate(lines) if line[1] == EXPLAIN.id)
    assert lines[place][:3] == ["wren", EXPLAIN.id, ""] and TEXT in lines[place]
    lines[place][2], lines[place][4], lines[place][6] = "3", "AB", "=clear; names the break"
    seen = next(n for n, line in enumerate(lines) if line[1] == "safe")
    lines[seen][2], lines[seen][4], lines[seen][5] = "met", "AB", "2031-05-04"
    with (out / "by-hand.csv").open("w", encoding="utf-8", newline="") as file:
        # As a spreadsheet of half of Europe saves it.
        csv.writer(file, delimiter=";").writerows(lines)
    for _ in range(2):
        result = CliRunner().invoke(kit, ["mark", str(handed_in), "--out", str(out), "--quiet"])
        assert result.exit_code == 0, result.output
    marks = read((out / "marks.csv"), csv.DictReader)
    mine = next(line for line in marks if line["question"] == EXPLAIN.id)
    assert (mine["points"], mine["of"], mine["by hand"], mine["marker"]) == ("3", str(EXPLAIN.by_hand), "3", "AB")
    kept = read((out / "by-hand.csv"), csv.reader)
    assert kept[place][2:7] == ["3", str(EXPLAIN.by_hand), "AB", "", "'=clear; names the break"]
    audit = [json.loads(line) for line in (out / "audit.jsonl").read_text().splitlines()]
    total = next(line for line in audit if "observed" in line)
    assert total["observed"] == [{"criterion": "safe", "met": True, "marker": "AB", "date": "2031-05-04"}]


def test_marks_by_hand_that_do_not_fit_are_named_and_left_out(explained, handed_in, tmp_path):
    given = table(
        tmp_path / "hand.csv", "learner,question,points,marker", f"wren,{EXPLAIN.id},2,AB", f"wren,{EXPLAIN.id},3,CD",
        f"wren,{EXPLAIN.id},99,AB", "wren,06.1,4,AB", "wren,nonsense,4,AB", "wren,safe,maybe,AB",
        f"heron,{EXPLAIN.id},1,AB", f"wren,{EXPLAIN.id},1,",
    )
    before = given.read_bytes()
    book = mark_folder(handed_in, by_hand=[given])
    assert row(book, EXPLAIN.id).hand is None
    said = "\n".join(one.text for one in book.troubles)
    for part in ("neither counts", "from 0 to", "the kit marks this question", "no question or criterion", "met",
                 "who marked", "handed nothing in"):
        assert part in said
    assert given.read_bytes() == before


@pytest.mark.parametrize(("content", "says"), [
    (b"name,points\n", "no column"), (b"", "no column"),
    ("learner,question,points,marker\nw\xe9,1,2,3".encode("latin-1"), "not UTF-8"),
])
def test_a_table_of_the_assessor_s_that_cannot_be_read_stops_the_marking(explained, handed_in, tmp_path, content, says):
    (tmp_path / "hand.csv").write_bytes(content)
    result = CliRunner().invoke(kit, ["mark", str(handed_in), "--out", str(tmp_path / "out"), "--by-hand",
                                      str(tmp_path / "hand.csv")])
    assert result.exit_code == 2 and says in result.output and "Traceback" not in result.output


def test_adjustments_are_by_reason_code_and_change_time_and_attempts_only(handed_in, learner, tmp_path):
    names = ("wren", "heron")
    for name in names:
        one = learner(name)
        one.say("06.3", "0 V")
        one.right("06.3")
    late = "[late]\ndue = '2020-01-01T00:00:00Z'\npercent_a_day = 25\npercent_most = 50\n[attempts]\nmost = 1\n"
    codes = table(
        tmp_path / "codes.csv", "learner;code;amount;about", "heron;attempts;1;06", "heron;time;1000;",
        "heron;time;1000;", "heron;time;1000;06.3", "heron;reader;;", "wren;dyslexia;;",
    )
    book = mark_folder(handed_in, rubric=ruled(late), adjustments=codes)
    plain, adjusted = row(book, "06.3"), row(book, "06.3", "heron")
    assert plain.points == 0 and "the last of the first 1 counts" in plain.note
    assert adjusted.attempts == 2 and adjusted.points in (2, 4)
    assert [one.adjusted for one in book.learners] == [("attempts", "reader", "time"), ()]
    assert ["no reason code" in one.text for one in book.troubles] == [True]


def test_days_late_by_hand(handed_in, learner):
    one = learner("wren")
    one.right("06.3")
    at = one.record.entries[-1].at
    day = int(at[8:10])
    due = at[:8] + f"{day:02d}T00:00:00Z"
    # Begun on the day it was due at midnight: one day begun, a quarter of 4 points.
    book = mark_folder(handed_in, rubric=ruled(f"[late]\ndue = '{due}'\npercent_a_day = 25"))
    assert row(book, "06.3").points == 3 and "1 days late" in row(book, "06.3").steps[1]


# --- several processes, kills, disks


def class_of(learner, size):
    for n in range(size):
        one = learner(f"learner-{n:02d}", sub=f"desk {n % 3}")
        one.right("06.1")
        one.say("06.3", f"{n / 7:.2f} V")
        one.right("06.6")


@pytest.mark.parametrize("way", [way for way in together.WORTH if way in get_all_start_methods()])
def test_several_processes_give_the_same_marks_to_the_byte(way, handed_in, learner, tmp_path, monkeypatch):
    class_of(learner, 9)
    monkeypatch.setattr(together, "WORTH", {way: 0})
    monkeypatch.setattr(together, "_way", lambda: way)
    for name, jobs in (("one", 1), ("two", 2)):
        result = CliRunner().invoke(
            kit, ["mark", str(handed_in), "--out", str(tmp_path / name), "--quiet", "--jobs", str(jobs)])
        assert result.exit_code == 0, result.output
    for path in sorted((tmp_path / "one").rglob("*")):
        twin = tmp_path / "two" / path.relative_to(tmp_path / "one")
        assert path.is_dir() or path.read_bytes() == twin.read_bytes()


def test_a_marking_that_was_killed_goes_on_where_it_was(handed_in, learner, tmp_path, monkeypatch):
    class_of(learner, 6)
    out = tmp_path / "marks"
    whole = mark_folder(handed_in)
    done = []

    def killed(task, rubric, mark=together.mark_task):
        if len(done) == 3:
            raise KeyboardInterrupt
        done.append(task.learner)
        return mark(task, rubric)

    monkeypatch.setattr("kit.marking.together.mark_task", killed)
    with pytest.raises(KeyboardInterrupt):
        mark_folder(handed_in, out=out)
    with (out / NAME).open("ab") as file:
        file.write(b"0123 {\"learner\": \"torn off in the mid")
    monkeypatch.undo()
    seen = []

    def counted(records, *more, mark=task.mark_learner, **named):
        seen.append(records[0].learner)
        return mark(records, *more, **named)

    monkeypatch.setattr(task, "mark_learner", counted)
    book = mark_folder(handed_in, out=out)
    assert seen == [f"learner-{n:02d}" for n in (3, 4, 5)]
    assert tuple(book.learners) == whole.learners and len(book.learners) == 6
    seen.clear()
    mark_folder(handed_in, out=out, rubric=ruled("[weights.lessons]\n'06' = 2"))
    assert len(seen) == 6


def test_a_record_that_changed_since_is_marked_again(handed_in, learner, tmp_path):
    one = learner("wren")
    one.say("06.3", "0 V")
    assert row(mark_folder(handed_in, out=tmp_path), "06.3").points == 0
    one.right("06.3")
    assert row(mark_folder(handed_in, out=tmp_path), "06.3").points == 4


def test_a_full_disk_is_said_and_what_was_there_stays_whole(handed_in, learner, tmp_path):
    class_of(learner, 6)
    out = tmp_path / "marks"
    command = ["mark", str(handed_in), "--out", str(out), "--quiet"]
    assert CliRunner().invoke(kit, command).exit_code == 0
    before = {path: path.read_bytes() for path in out.rglob("*") if path.is_file()}
    learner("late").right("06.1")
    program = (
        "import resource, sys\nfrom kit.cli.commands import kit\n"
        "resource.setrlimit(resource.RLIMIT_FSIZE, (int(sys.argv[1]), resource.RLIM_INFINITY))\nkit(sys.argv[2:])"
    )
    # First there is no room for what is kept on the way, then none for the largest of what is written.
    for room in (3000, max(map(len, before.values())) - 100):
        ran = subprocess.run(
            [sys.executable, "-c", program, str(room), *command], capture_output=True, text=True, check=False)
        assert ran.returncode == 2 and "cannot be written" in ran.stderr and "Traceback" not in ran.stderr
        assert ran.stderr.count("\n") == 1
        assert not [path for path in out.rglob("*.part")]
        after = {path: path.read_bytes() for path in out.rglob("*") if path.is_file() and path.name != NAME}
        assert all(len(after[path]) >= 1 for path in before)
        if room == 3000:
            assert after == before
    assert CliRunner().invoke(kit, command).exit_code == 0
    assert "late" in (out / "marks.csv").read_text(encoding="utf-8-sig")


def test_what_is_kept_on_the_way_is_only_believed_where_it_rests_on_the_same(tmp_path):
    one = LearnerMarks(learner="wren", rows=(), troubles=())
    first = State(tmp_path, "rubric one")
    first.add("wren", "abc", as_line(one))
    first.finish(["wren"])
    assert list(first) == [first[0]] == [one]
    (tmp_path / NAME).write_bytes((tmp_path / NAME).read_bytes() + b"junk\n")
    for rubric, known in (("rubric one", "abc"), ("rubric two", "")):
        again = State(tmp_path, rubric)
        again.close()
        assert again.known("wren") == known
    assert (tmp_path / NAME).read_bytes().count(b"\n") == 1
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(RecordError, match="cannot be written"):
        State(tmp_path / "file", "rubric one")


# --- what is written


def test_each_mark_can_be_worked_by_hand_from_the_audit(handed_in, learner, tmp_path):
    one = learner("wren")
    asked, mine = one.asked("06.3")
    one.record.append("hint", question="06.3", version=asked.version, variant=mine.key)
    one.right("06.3")
    one.do("operate", control="key", position="on")
    rubric = ruled("[hints]\npoints_each = 1\n[weights.questions]\n'06.3' = 3")
    book = mark_folder(handed_in, rubric=rubric)
    head, *lines = map(json.loads, write_audit(book, rubric, tmp_path).read_text().splitlines())
    assert "points_each = 1" in head["text"]
    three = next(line for line in lines if line.get("question") == "06.3")
    # 4 for the answer, 1 off for the hint, three times.
    assert (three["kit_points"], three["points"], three["of"]) == (4, 9, 12)
    assert three["steps"] == ["the kit gives 4 of 4", "hints before it: 1; 1 off, 3 of 4", "counts 3 times: 9 of 12"]
    assert three["entry"] == {"file": one.record.path.name, "n": 2, "at": one.record.entries[2].at}
    assert abs(float(three["answer"].split()[0]) - three["right"]) < 0.01
    job = next(line for line in lines if line.get("question") == "06.7")
    assert job["points"] == sum(line["points"] for line in job["lines"])
    assert any(fault.startswith("F1") for fault in job["right"])
    total = lines[-1]
    for what in ("points", "of"):
        assert total[what] == sum(line[what] for line in lines[:-1])


def test_the_workbook_holds_what_the_tables_hold_and_is_the_same_each_time(handed_in, learner, tmp_path):
    class_of(learner, 3)
    book = mark_folder(handed_in)
    write_tables(book, tmp_path)
    first = write_workbook(book, tmp_path).read_bytes()
    assert write_workbook(book, tmp_path).read_bytes() == first
    found = openpyxl.load_workbook(tmp_path / "marks.xlsx")
    assert found.sheetnames == ["Totals", "Marks", "Problems"]
    for sheet, name in (("Totals", "totals.csv"), ("Marks", "marks.csv")):
        lines = found[sheet].iter_rows(values_only=True)
        there = [["" if cell is None else str(cell) for cell in line] for line in lines]
        assert there == read((tmp_path / name), csv.reader)


def test_a_sheet_that_cannot_be_read_is_left_as_it_is(handed_in, learner, tmp_path):
    learner("wren").right("06.1")
    (tmp_path / "by-hand.csv").write_bytes(b"all my marks, in a way of my own")
    with pytest.raises(RubricError, match="no column"):
        write_sheet(mark_folder(handed_in), tmp_path)
    assert (tmp_path / "by-hand.csv").read_bytes() == b"all my marks, in a way of my own"
    assert os.listdir(tmp_path)
