"""Questions without a browser: answers in, reasons out, and the record between the two."""

import errno
import json
import os

import pytest

from kit.bay import QuestionSheet
from kit.draw import draw
from kit.exercises import question, truth, variant
from kit.machines import machine
from kit.records import Record, read_record


def a_sheet(record, question_id):
    return QuestionSheet(question(question_id), record=record)


def right(record, question_id):
    return truth(question(question_id), variant(question(question_id), record.course, record.learner))


def send(sheet, **fields):
    sheet._handle_custom_msg({"number": sheet.view["number"] + 1, **fields}, [])
    return sheet.view


def kinds(record):
    return [entry.kind for entry in read_record(record.path).entries if entry.kind != "opened"]


def table(record, question_id, change=lambda words: words):
    return {point: change(list(words)) for point, words in right(record, question_id).items()}


def test_an_answer_is_on_the_disk_before_its_mark_is_shown(record):
    sheet, found = a_sheet(record, "06.3"), []
    sheet.observe(lambda change: found.append((change.new["mark"], kinds(record))), "view")
    send(sheet, raw="0 V")
    send(sheet, raw=f"{right(record, '06.3'):.2f} V")
    assert found == [({"points": 0, "of": 4}, ["answer"]), ({"points": 4, "of": 4}, ["answer", "answer"])]


def test_a_row_whose_point_is_on_another_sheet_says_which(record):
    rows = {row["point"]: row["where"] for row in a_sheet(record, "06.2").form["rows"]}
    drawn = draw(machine("orchard-bike"), stage="main feed").points
    assert {point for point, where in rows.items() if where.endswith("(sheet: key feed)")} == rows.keys() - drawn.keys()
    assert 0 < len(rows.keys() - drawn.keys()) < len(rows)


def test_what_cannot_be_recorded_is_not_marked_and_said_in_words(record, monkeypatch):
    sheet = a_sheet(record, "06.2")

    def full(*_):
        raise OSError(errno.ENOSPC, "no space left")

    with monkeypatch.context() as broken:
        broken.setattr(os, "write", full)
        view = send(sheet, raw=table(record, "06.2"))
    assert view["said"].startswith("Not taken: ") and "full" in view["said"]
    assert view["mark"] is None and view["truth"] is None and not view["locked"] and kinds(record) == []
    assert send(sheet, raw=table(record, "06.2"))["locked"]


def test_a_prediction_tells_nothing_before_it_is_locked_and_takes_nothing_after(record):
    sheet = a_sheet(record, "06.4")
    assert sheet.view["truth"] is None
    view = send(sheet, raw={"F1.1": ["out", "out"]})
    assert view["mark"] is None and view["truth"] is None and not view["locked"]
    wrong = table(record, "06.4", lambda words: ["out" if words[0] != "out" else "bright", *words[1:]])
    view = send(sheet, raw=wrong)
    assert view["locked"] and view["truth"] == table(record, "06.4")
    assert view["mark"]["points"] * 2 == view["mark"]["of"]
    before = kinds(record)
    view = send(sheet, raw=table(record, "06.4"))
    assert view["mark"]["points"] * 2 == view["mark"]["of"] and "locked" in view["said"] and kinds(record) == before


def test_locked_stays_locked_in_the_next_kernel(record, tmp_path):
    sheet = a_sheet(record, "06.2")
    send(sheet, raw=table(record, "06.2"))
    again = a_sheet(Record.open(folder=tmp_path, course="autumn", learner="wren"), "06.2")
    assert again.view["locked"] and again.view["raw"] == sheet.view["raw"] and again.view["mark"] == sheet.view["mark"]
    other = a_sheet(Record.open(folder=tmp_path, course="autumn", learner="robin"), "06.2")
    assert not other.view["locked"] and other.view["truth"] is None


def test_help_is_recorded_and_stays(record):
    sheet = a_sheet(record, "06.5")
    assert sheet.view["hints"] == [] and sheet.view["more_hints"] and sheet.form["has_hint"]
    assert len(send(sheet, hint=True)["hints"][0].split()) > 8 and kinds(record) == ["hint"]
    assert not sheet.view["more_hints"]
    assert a_sheet(record, "06.5").view["hints"] == sheet.view["hints"]


def test_help_is_offered_after_two_misses_and_a_fresh_variant_after_the_last_hint(record):
    sheet = a_sheet(record, "06.5")
    assert not send(sheet, raw="77 V")["offers_help"]
    assert send(sheet, raw="78 V")["offers_help"] and not sheet.view["fresh"]
    assert send(sheet, hint=True)["fresh"]
    before = sheet.form
    send(sheet, fresh=True)
    assert sheet.form["edition"] and sheet.form["prompt"] != before["prompt"]
    assert (sheet.view["mark"], sheet.view["hints"], sheet.view["raw"]) == (None, [], None)
    send(sheet, raw="79 V")
    answers = [entry.fields["variant"] for entry in record.about(question="06.5") if entry.kind == "answer"]
    assert answers == [before["variant"]] * 2 + [sheet.form["variant"]]


def test_a_fresh_variant_is_not_to_be_had_before_an_answer(record):
    sheet = a_sheet(record, "06.5")
    before = sheet.form
    send(sheet, fresh=True)
    assert sheet.form == before and kinds(record) == []


@pytest.mark.parametrize("question_id", ["06.1", "06.2", "06.3", "06.4", "06.5", "06.6"])
def test_the_form_is_the_same_whatever_is_right(record, question_id):
    """Nothing sent before the answer holds the truth: no option is marked, no word of a reading stands there."""
    sheet = a_sheet(record, question_id)
    sent = json.dumps({"form": {**sheet.form, "svg": ""}, "view": sheet.view})
    found = right(record, question_id)
    if isinstance(found, float):
        assert f"{found:.2f} V" not in sent or f"{abs(found):.2f} V" in sheet.form["prompt"]
    elif isinstance(found, str):
        assert {"key", "text"} == {name for option in sheet.form["options"] for name in option}
    assert sheet.view["truth"] is None and sheet.view["mark"] is None and sheet.view["hints"] == []


@pytest.mark.parametrize("nonsense", [
    None, 7, "b", [], {}, {"raw": None}, {"raw": []}, {"raw": {"x": 1}}, {"raw": "x" * 5000}, {"raw": True},
    {"raw": "\ud800"}, {"hint": False}, {"number": "7"},
])
@pytest.mark.parametrize("question_id", ["06.1", "06.2", "06.3"])
def test_nonsense_marks_nothing(record, question_id, nonsense):
    sheet = a_sheet(record, question_id)
    sheet._handle_custom_msg(nonsense, [])
    assert sheet.view["mark"] is None and sheet.view["truth"] is None and "Traceback" not in sheet.view["said"]


def test_without_a_kernel_a_sentence_and_the_drawing_stand_in(record):
    data, _ = a_sheet(record, "06.1")._repr_mimebundle_()
    assert data["text/plain"] == (
        "Question 06.1: Which stage first? To answer it, press the button at the top of this page.")
    assert data["text/html"].startswith(f'<p>{data["text/plain"]}</p><div style="overflow-x:auto"><img alt=')


def test_beside_a_locked_table_the_cells_are_not_told_a_second_time(record):
    """The sheet shows in each cell what was said and what is so; under it stand only the reasons, each once."""
    sheet = a_sheet(record, "06.4")
    said = sheet.answer(table(record, "06.4", lambda words: ["glow"] * len(words)))
    assert "you said glow" in said and "you said" not in sheet.view["said"]
    reasons = [line.partition(": ")[2] for line in said.split(". ") if line.startswith("At ")]
    assert reasons and all(sheet.view["said"].count(reason) == 1 for reason in set(reasons))
