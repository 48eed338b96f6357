"""Controls held by hand: how long is recorded, springs back where it does, and is judged."""

import pytest

from kit.errors import OperationError
from kit.exercises.acts import Operate, Press, act_from_fields, fields_from_act
from kit.exercises.caps import crank_seconds, judge
from kit.exercises.work import apply, begin
from kit.machines import machine

BIKE = machine("orchard-bike")


def caps_of(*acts):
    """What each act earned, about what."""
    here, found = begin(BIKE), []
    for act in acts:
        step = apply(here, act)
        found.append({cap.about for cap in judge(here, step)})
        here = step.situation
    return found


@pytest.mark.parametrize(("held", "too_long"), [(2.0, False), (9.0, True)])
def test_a_starter_held_too_long_by_hand_is_the_same_as_pressed_too_long(held, too_long):
    assert 2.0 < crank_seconds(BIKE) < 9.0
    on, down = Operate(control="key", position="on"), Operate(control="start_button", position="pressed")
    *_, let_go = caps_of(on, down, Operate(control="start_button", position="released", held=held))
    *_, press = caps_of(on, Press(control="start_button", position="pressed", seconds=held))
    assert ("over-long crank" in let_go) == ("over-long crank" in press) == too_long


def test_what_was_held_without_cranking_is_no_matter():
    *_, last = caps_of(
        Operate(control="start_button", position="pressed"),
        Operate(control="start_button", position="released", held=20.0),
    )
    assert "over-long crank" not in last


def test_an_act_of_an_old_record_was_held_for_no_counted_time():
    old = {"act": "operate", "control": "key", "position": "on"}
    assert act_from_fields(old) == Operate(control="key", position="on", held=0.0)
    assert fields_from_act(act_from_fields(old | {"held": 3})) == old | {"held": 3.0}
    for nonsense in (-1, 61, float("nan"), True, "3"):
        with pytest.raises(OperationError, match="held"):
            act_from_fields(old | {"held": nonsense})


@pytest.mark.parametrize(("name", "on"), [("ride-on-mower", "run"), ("site-generator", "on")])
def test_a_key_pressed_to_start_springs_back_to_on_from_wherever_it_was(name, on):
    for before in ("off", on):
        here = apply(begin(machine(name)), Operate(control="key", position=before)).situation
        step = apply(here, Press(control="key", position="start", seconds=1))
        assert step.situation.positions["key"] == on
