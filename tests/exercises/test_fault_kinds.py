"""Faults for a room: kinds that leave none out, random ones that show themselves, and one a day for everybody."""

from datetime import date, timedelta

import pytest

from kit.errors import OperationError
from kit.exercises.fault_kinds import SOMETIMES, at_random, kind_of, kinds, of_the_day, shows
from kit.machines import machine, machine_ids

BIKE = machine("orchard-bike")


@pytest.mark.parametrize("name", machine_ids())
def test_every_fault_has_a_kind_and_few_have_none_of_their_own(name):
    there = machine(name)
    found = kinds(there)
    assert sum(found.values()) == len(there.faults)
    assert found.get("anything else", 0) < 0.08 * len(there.faults)


@pytest.mark.parametrize(("fault", "kind"), [
    ("F1 blown", "fuse blown"), ("W7 open", "open"), ("W3 shorted to ground", "short to ground"),
    ("G1 flat", "battery"), ("X1 high resistance 0.5 ohm", "high resistance"), ("W7 open when wiggled", SOMETIMES),
    ("K1 contacts burnt 0.5 ohm", "contacts of a switch or relay"), ("S1 stuck open", "contacts of a switch or relay"),
])
def test_faults_are_of_the_kind_a_hand_would_say(fault, kind):
    known = next(each for each in BIKE.faults if each.startswith(fault))
    assert kind_of(BIKE, known) == kind


def test_a_random_fault_is_of_the_kinds_asked_for_and_a_start_shows_it():
    order = iter(range(1000))
    for chosen in (("open",), ("short to ground", "fuse blown"), ()):
        for pair in (False, True):
            found = at_random(BIKE, chosen, pair=pair, pick=lambda faults: faults[7 * next(order) % len(faults)])
            assert len({BIKE.faults[fault].part for fault in found}) == 1 + pair
            assert not chosen or {kind_of(BIKE, fault) for fault in found} <= set(chosen)
            for fault in found:
                assert kind_of(BIKE, fault) == SOMETIMES or shows(BIKE, [fault]) != shows(BIKE, ())


def test_kinds_that_never_show_themselves_or_do_not_exist_are_said():
    with pytest.raises(OperationError, match="it has"):
        at_random(BIKE, ("gremlins",), pair=False, pick=lambda faults: faults[0])
    silent = next(fault for fault in BIKE.faults if "wrong spare" in fault and shows(BIKE, [fault]) == shows(BIKE, ()))
    with pytest.raises(OperationError, match="choose more kinds"):
        at_random(BIKE, ("wrong spare fitted",), pair=False, pick=lambda _faults: silent)


def test_the_fault_of_the_day_is_the_same_for_a_course_and_goes_through_the_cases():
    days = [(date(2031, 1, 1) + timedelta(days=n)).isoformat() for n in range(60)]
    mine = [of_the_day(BIKE, "autumn", day).name for day in days]
    assert mine == [of_the_day(BIKE, "autumn", day).name for day in days]
    assert set(mine) == set(BIKE.cases)
    assert mine != [of_the_day(BIKE, "spring", day).name for day in days]
    # Each case of the book is seen at a start, or comes only now and then.
    for nonsense in ("today", "2031-5-4", "", "2031-05-04\n"):
        with pytest.raises(OperationError, match="no day"):
            of_the_day(BIKE, "autumn", nonsense)


def test_what_a_start_shows_is_what_a_person_notices():
    assert any("cranks at full speed" in text for text in shows(BIKE, ()))
    assert not any("cranks" in text for text in shows(BIKE, ("F1 blown",)))
    assert any("clatters" in text for text in shows(BIKE, ("G1 flat",)))
