"""The demonstration class: what was planted in invented learners is what is reported, through the kit's own doors."""

import pytest

from kit.bay import MachineBay, QuestionSheet
from kit.cli.demonstration import COURSE, answer_course, demonstrate, work_job
from kit.cli.invented import COPIES, answer_of, invented_class
from kit.cli.invented_work import worked
from kit.errors import RecordError
from kit.exercises import question, variant
from kit.exercises.acts import fields_from_act
from kit.exercises.cards import card
from kit.marking.feedback import named_ideas
from kit.records import Record, read_record

LESSONS = ("01", "02", "06", "10")


@pytest.fixture(scope="module")
def shown(tmp_path_factory):
    return demonstrate(tmp_path_factory.mktemp("demo") / "out", lessons=LESSONS, learners=6)


def test_the_planted_ideas_are_the_ones_reported_and_no_others(shown):
    planted = {one.name: set(one.ideas) for one in shown.learners}
    assert sum(map(bool, planted.values())) >= 3 and sum(not ideas for ideas in planted.values()) >= 2
    assert {one.learner: {each.idea.id for each in named_ideas(one)} for one in shown.book.learners} == planted


def test_nothing_is_left_over_and_the_report_is_there(shown):
    assert not shown.book.troubles
    names = {path.name for path in shown.page.parent.iterdir()}
    assert {"index.html", "class.html", "criteria.html", "questions.html", "criteria.csv", "marks.csv"} <= names
    # J2 of lesson 10; the first card keeps the rules of its first version, which know no such cap.
    jobs = {one.learner: row for one in shown.book.learners for row in one.rows if row.card == "J2"}
    found = {one.way: jobs[one.name] for one in shown.learners}
    assert {way: row.passed for way, row in found.items()} == {
        "thorough": True, "hasty": False, "guessing": False, "unsafe": False}
    assert [cap[0] for cap in found["unsafe"].caps] == ["A"]


def test_a_folder_with_records_in_it_is_left_alone(shown):
    with pytest.raises(RecordError, match="not empty"):
        demonstrate(shown.page.parents[1])


def entries(path):
    return [(entry.kind, dict(entry.fields)) for entry in read_record(path).entries if entry.kind in ("answer", "act")]


def test_the_records_are_those_the_question_sheet_writes(tmp_path):
    one = invented_class(11)[1]
    written = {found["question"]: found for _kind, found in entries(answer_course(one, ("01",), tmp_path / "one"))}
    record = Record.open(course=COURSE, learner=one.name, folder=tmp_path / "other")
    for name in ("01.2", "01.4", "01.6"):
        asked = question(name)
        raw = answer_of(one, asked, variant(asked, COURSE, one.name))
        QuestionSheet(asked, record=record)._handle_custom_msg({"number": 1, "page": "p", "raw": raw}, [])
    sheets = {found["question"]: found for _kind, found in entries(record.path)}
    assert sheets == {name: written[name] for name in sheets} and len(sheets) == 3


def test_the_records_are_those_the_bay_writes(tmp_path):
    one = invented_class(11)[0]
    mine = Record.open(course=COURSE, learner=one.name, folder=tmp_path / "one")
    work_job(one, "J1", mine)
    record = Record.open(course=COURSE, learner=one.name, folder=tmp_path / "other")
    job = card("J1")
    faults = job.faults(one.name, COURSE)
    bay = MachineBay(job.machine, record=record, card=job, faults=faults)
    done = [found for _kind, found in entries(mine.path)]
    for number, found in enumerate(done, 1):
        sent = {name: value for name, value in found.items() if name not in ("job", "version", "shown")}
        bay._handle_custom_msg({"number": number, "page": "p", **sent}, [])
    assert entries(record.path) == entries(mine.path)
    assert fields_from_act(worked(job, faults, one.way)[0]).items() <= done[0].items()


def test_the_class_has_believers_and_others_and_one_who_copies():
    found = invented_class(11)
    assert len(found) == 30 and len({one.name for one in found}) == 30
    assert sum(bool(one.ideas) for one in found) >= 10
    assert [one.name for one in found if one.works_as != one.name] == [found[place].name for place in COPIES]
