"""A bay with a wrong drawing beside it: the paper moves as it claims to, the readings are the machine's."""

import pytest

from kit.bay import MachineBay, QuestionSheet, bay
from kit.errors import QuestionError
from kit.exercises import question, right_answer, variant
from kit.exercises.mark_up import drawn, wrong_drawing
from kit.exercises.question import variant as variant_of
from kit.machines import machine
from kit.machines.misdrawn import misdrawn, read_mistake

MOWER = machine("ride-on-mower")


def a_bay(record, text, stage="start request"):
    return MachineBay(MOWER, record=record, stage=stage, drawn=misdrawn(MOWER, read_mistake(text)))


def test_the_contact_is_drawn_as_the_paper_has_it_and_read_as_the_machine_has_it(record):
    here = a_bay(record, "B1 other way")
    assert "B1" in here.view["closed"]
    here.operate(key="start")
    assert here.lamp(clip="G1.-", tip="B1.1") == "bright"
    assert here.lamp(clip="G1.-", tip="B1.2") == "out"
    here.operate(key="off", brake_pedal="down")
    assert "B1" not in here.view["closed"]


def test_its_sheets_are_the_wrong_ones_and_no_word_of_it_tells_where_a_wire_really_goes(record):
    here = a_bay(record, "W21 from F2.1", "loads")
    assert "W21 BN 1 mm² runs from F2.1 to S4.1." in here.setting["pictures"]["loads"]["svg"]
    assert "runs from F2.1 to S4.1." in here.setting["whole"]["svg"]
    assert here.setting["parts"]["W21"]["title"] == "lamp and panel fuse to light switch"
    assert "S4.1" in here.setting["along"]["F2.1"] and "S4.1" not in here.setting["along"]["F2.2"]


def test_the_bay_of_a_question_has_that_learners_drawing(record, monkeypatch):
    monkeypatch.setattr("kit.bay.doors.kernel_record", lambda: record)
    item = question("17.4")
    one = variant(item, record.course, record.learner)
    here = bay("ride-on-mower", stage="start request", drawing="17.4")
    at_rest = drawn(item, one).closed_switches(MOWER.positions())
    assert here.view["closed"] == sorted(at_rest)
    with pytest.raises(QuestionError, match="has a drawing of ride-on-mower"):
        bay("orchard-bike", drawing="17.4")
    assert wrong_drawing(item, MOWER, record.course, record.learner) is drawn(item, one)


def test_a_sheet_locks_what_is_said_and_tells_line_by_line(record):
    sheet = QuestionSheet(question("17.3"), record=record)
    one = variant_of(question("17.3"), record.course, record.learner)
    whole = right_answer(question("17.3"), one)
    assert sheet.view["truth"] is None and "wrong" not in str(sheet.form["svg"])
    letter = next(key for key, said in whole.items() if said == "wrong")
    assert f"{letter}, you said right" in sheet.answer({**whole, letter: "right"})
    assert sheet.view["locked"] and sheet.view["right"][letter] == [False]
    assert sheet.view["truth"][letter] == ["wrong"]


def test_a_fresh_variant_brings_its_own_drawing(record):
    sheet = QuestionSheet(question("17.3"), record=record)
    one = variant_of(question("17.3"), record.course, record.learner)
    sheet.answer(right_answer(question("17.3"), one))
    first = sheet.form["svg"]
    seen = set()
    item = question("17.3")
    for number in range(1, 8):
        sheet._handle_custom_msg({"number": sheet.view["number"] + 1, "fresh": True}, [])
        seen.add(sheet.form["svg"])
        sheet.answer(right_answer(item, variant_of(item, record.course, record.learner, number)))
    assert seen - {first}
