"""The case library without a browser: what is sent, what is not, and what opening a case does."""

import json

import pytest

import kit
from kit.bay import CaseBook, MachineBay
from kit.bay.sight import Sight
from kit.errors import OperationError
from kit.exercises.cards import card, case_ids
from kit.exercises.case_fronts import behind, fronts
from kit.exercises.case_library import lesson_cards
from kit.records import Record, read_record


def send(book, number, **fields):
    book._handle_custom_msg({"number": number, "page": "p", **fields}, [])


def everything(book):
    """All that a browser or a cell's output could hold of it."""
    sent = {name: getattr(book, name) for name in ("setting", "view", "told")}
    return json.dumps([sent, repr(book), dir(book), book._repr_mimebundle_()[0]["text/html"]])


def secrets_of(card_id):
    """What would give a case away; words of the complaint itself aside."""
    machine_id, name = behind(card_id)
    case = kit.machine(machine_id).cases[name]
    known = json.dumps(fronts()[card_id].complaint)
    return [text for text in (*case.faults, case.cause, case.repair, case.why, name) if text not in known
            and len(text.split()) > 1]


def test_nothing_of_a_case_is_sent_before_it_is_opened(record):
    book = CaseBook(record=record)
    words = everything(book).lower()
    for card_id in case_ids():
        assert secrets_of(card_id)
        for text in secrets_of(card_id):
            assert text.lower() not in words, (card_id, text)


def test_no_search_draws_it_out(record):
    book = CaseBook(record=record)
    for typed in ("sulphated", "brushes", "K1", "G1", "corroded", "armature", "shorted"):
        assert book.look(typed) == () and "No case knows" in book.view["help"], typed
    # Nor does the list of stages: of cases that are not open none is told.
    for machine_id in kit.machine_ids():
        for stage in book.setting["stages"][machine_id]:
            assert book.look(machine=machine_id, stage=stage) == () and "open cases only" in book.view["help"]


def test_marked_work_is_not_opened_and_leaves_no_trace(record):
    book = CaseBook(record=record)
    for number, card_id in enumerate(sorted(lesson_cards()), 1):
        send(book, number, open=card_id)
        assert f"Work card {card_id} first (lesson {lesson_cards()[card_id]})" in book.view["said"]
    assert book.told == {} and [entry.kind for entry in record.entries] == ["opened"]


def test_another_case_is_opened_once_it_is_asked_for_and_that_is_help_on_its_card(record):
    book = CaseBook(record=record)
    assert book.view["standing"]["J8"] == "folded"
    send(book, 1, open="J8")
    send(book, 1, open="J8")
    assert list(book.told) == ["J8"]
    assert list(book.told["J8"]["faults"]) == ["X1 high resistance 0.5 ohm (plus clamp on its post)"]
    assert book.told["J8"]["name"] == "Clamp loose" and book.view["standing"]["J8"] == "open"
    send(book, 2, open="J8")
    hints = [dict(entry.fields) for entry in read_record(record.path).entries if entry.kind == "hint"]
    assert hints == [{"job": "J8", "read": "case"}]
    assert book.look("post clamp") == ("J8",)
    # Another kernel of the same learner finds it open, another learner does not.
    same = Record.open(folder=record.path.parent, course="autumn", learner="wren")
    other = Record.open(folder=record.path.parent, course="autumn", learner="finch")
    assert CaseBook(record=same).view["standing"]["J8"] == "open"
    assert CaseBook(record=other).view["standing"]["J8"] == "folded"
    assert CaseBook(record=same).look(machine="orchard-bike", stage="main feed") == ("J8",)


def worked(record, card_id="J53"):
    """A card of lesson 03 worked and handed back."""
    chosen = card(card_id)
    bay = MachineBay(chosen.machine, record=record, card=chosen, faults=chosen.faults(record.learner, record.course))
    bay.act("note", text="the lamp")
    bay.operate(switch="on")
    bay.volts(black="G1.-", red="E1.2")
    bay.find("X3", "open", readings=(2,))
    bay.repair("X3")
    bay.verify()
    bay.hand_back()
    return bay


def test_handing_back_opens_the_case_while_the_library_lies_open(record):
    book = CaseBook(record=record)
    book.read("J53")
    assert book.told == {}
    worked(record)
    book.look("")
    assert book.view["standing"]["J53"] == "open"
    assert book.read("J53") == "" and book.told["J53"]["name"] == "Holder minus open"


def test_a_finished_card_joins_as_the_learners_own_with_the_marks_it_had(record):
    bay = worked(record)
    book = CaseBook(record=record)
    assert book.look("12 V dead")[:2] == ("J53 yours", "J53")
    assert book.setting["cases"]["J53 yours"]["yours"] == record.entries[-1].at[:10]
    send(book, 1, look={"mine": True})
    assert book.view["found"] == ["J53 yours"]
    send(book, 2, marks="J53 yours")
    assert "once it is open" in book.view["said"]
    send(book, 3, open="J53 yours")
    assert book.told["J53 yours"]["first"] == "the lamp" and book.told["J53 yours"]["marks"] is None
    send(book, 4, marks="J53 yours")
    marks = book.told["J53 yours"]["marks"]
    assert (marks["points"], marks["of"], marks["passed"]) == tuple(
        bay.view["review"][name] for name in ("points", "of", "passed"))


def test_tell_all_has_every_case_open_and_writes_nothing(record):
    book = CaseBook(record=record, sight=Sight.TELL_ALL)
    assert set(book.view["standing"].values()) == {"open"}
    assert book.read("J1") == "" and book.told["J1"]["faults"][0].startswith("W3 shorted to ground")
    assert book.look("sulphated", machine="orchard-bike") == ("J3",)
    assert set(book.look(machine="bench-board", stage="lamp circuit")) >= {"J51", "J53"}
    assert [entry.kind for entry in record.entries] == ["opened"]


def test_nonsense_is_answered_in_a_line(record):
    book = CaseBook(record=record)
    for number, fields in enumerate((
        {"open": "J61"}, {"open": None}, {"open": ["J8"]}, {"look": {"kind": "loud"}}, {"look": {"typed": 7}},
        {"look": {"machine": "ship"}}, {"marks": "J8"},
    ), 1):
        send(book, number, **fields)
        assert book.view["said"].endswith((".", "lists.")), fields
    send(book, 8, look="all")
    assert len(book.view["found"]) == 60 and book.told == {}
    book._handle_custom_msg("nonsense", [])


def test_the_call_of_a_lesson(record):
    with pytest.raises(OperationError, match="no view 'open'"):
        kit.cases(view="open")
    with pytest.raises(OperationError, match="two views"):
        kit.cases(view="after-the-fact")
    assert repr(kit.cases()) == "<CaseBook: 60 cases>"
    bundle, _ = kit.cases()._repr_mimebundle_()
    assert bundle["text/plain"].startswith("The case library: 60 old jobs")
