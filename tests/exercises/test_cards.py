"""Job cards: sixty with neutral numbers, each built from a case of its machine, and one with two faults; none gives its
faults away."""

import json

import pytest

import kit
from kit.errors import QuestionError
from kit.exercises.acts import ACTS, Look
from kit.exercises.cards import JobCard, begun, card, card_ids, case_ids, cranks, form, unseal
from kit.exercises.owners import QUESTIONS
from kit.exercises.sealed import SEALED
from kit.exercises.work import apply

ALL = card_ids()


def test_there_are_sixty_ten_a_machine_in_no_telling_order():
    assert tuple(f"J{number}" for number in range(1, 61)) == case_ids() == ALL[:60]
    for name in kit.machine_ids():
        mine = case_ids(name)
        hidden = [unseal(SEALED[each])[1] for each in mine if each in SEALED]
        told = [case for case in kit.machine(name).cases if case in hidden]
        assert len(mine) == 10 and sorted(hidden) == sorted(told), name
        # In the order of the file the numbers would tell.
        assert hidden != told, name


def test_an_unknown_card_is_one_line():
    with pytest.raises(QuestionError, match="no job card 'J62'; there are J1 to J61"):
        card("J62")


@pytest.mark.parametrize("card_id", ALL)
def test_a_card_can_be_worked_and_tells_nothing(card_id):
    found = card(card_id)
    faults = found.faults("wren", "autumn")
    machine = found.machine
    assert all(fault in machine.faults for fault in faults)
    # What it shows and what its repr holds name neither the fault nor the case.
    case = found.case()
    rows = [list(row) for row in form(found)]
    shown = json.dumps([found.complaint, dict(found.answers), dict(found.preparations), rows])
    for text in (shown, repr(found)):
        assert not [fault for fault in faults if fault in text]
        assert case is None or f"'{case.name}'" not in text
    # Under its fault the machine does something else than the sound one, there where the owner was.
    if case is not None:
        assert set(found.healthy) == set(case.does) and dict(found.healthy) != dict(case.does)
        assert found.causes.count(case.cause) == 1 and len(found.causes) >= 5
        assert tuple(found.answers) == QUESTIONS


def test_an_interlock_holds_on_the_sound_machine_and_is_one_move_from_cranking():
    for name in ("orchard-bike", "ride-on-mower"):
        machine = kit.machine(name)
        interlocks = card(card_ids(name)[1]).interlocks
        assert len(interlocks) >= 2
        for positions in interlocks:
            assert not cranks(machine.operate(**positions))


def test_a_close_look_shows_what_the_case_says_of_its_root_cause():
    found = next(each for each in map(card, card_ids("orchard-bike")) if "turns over slowly" in each.complaint)
    start = begun(found, found.faults("wren", "autumn"))
    assert "paint" in apply(start, Look(part="X8")).shown.lower()
    assert apply(begun(found, ()), Look(part="X8")).shown == "Nothing to see from outside."


def test_the_form_is_the_same_for_every_card_and_names_acts_that_exist():
    forms = [[heading for heading, _, _ in form(card(each))] for each in ("J1", "J2", "J51")]
    assert forms[0] == forms[1] == forms[2] and len(forms[0]) == 12
    assert {act for _, _, acts in form(card("J2")) for act in acts} <= set(ACTS)


def test_the_first_card_is_as_it_was():
    first = card("J1")
    assert isinstance(first, JobCard) and (first.version, first.rules, len(first.preparations)) == (1, 1, 3)
    assert first.faults("wren", "autumn") in {(f"{wire} shorted to ground", "F1 blown") for wire in ("W2", "W3")}
