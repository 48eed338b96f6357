"""Courses in time whose engine may fire: when, what the starter feels of it, and what goes on."""

import pytest

import kit
from kit.errors import OperationError
from kit.machines.firing import FIRES_AFTER, fire_over_time
from kit.solve.fast_time import FastRunner

BIKE, TENDER = kit.machine("orchard-bike"), kit.machine("harbour-tender")
PRESS, LET_GO = dict(BIKE.engine.start[0]), {"start_button": "released"}
HELD, FREE = 0.3, 1.8


def started(machine, *faults, let_go=FREE):
    moves = [(0.0, {}), (HELD, dict(machine.engine.start[0])), (let_go, LET_GO)]
    return fire_over_time(machine, moves, 3.0, faults, runner=FastRunner)


def at(course, figures, moment):
    return figures[min(range(len(course.seconds)), key=lambda k: abs(course.seconds[k] - moment))]


def test_a_bike_fires_unloads_its_starter_and_runs_on():
    """trade.md, starters of the fleet: free running they draw 18 to 35 % of what they draw cranking."""
    course = started(BIKE)
    (fired,) = course.engine
    assert fired.notice.word == "runs" and HELD + FIRES_AFTER < fired.at < HELD + FIRES_AFTER + 0.2
    cranking, overrun = (at(course, course.amps("M1"), moment) for moment in (fired.at - 0.05, FREE - 0.1))
    assert 0.18 < overrun / cranking < 0.35
    volts = course.volts("G1.+", "G1.-")
    assert at(course, volts, FREE - 0.1) > at(course, volts, fired.at) + 0.5
    assert [moment.notice.text for moment in course.noticed if moment.notice.part == "M1"] == [
        "The engine cranks at full speed."
    ]


def test_it_charges_once_it_runs():
    """trade.md, harbour tender: 11.3 V at the battery while it cranks, and regulated at 13.8 to 14.5 V."""
    course = started(TENDER)
    assert course.engine[-1].notice.word == "runs"
    volts = course.volts("G1.+", "G1.-")
    assert at(course, volts, HELD + 0.3) < 12.0 and 13.8 <= at(course, volts, 2.9) <= 14.5


@pytest.mark.parametrize(("faults", "let_go"), [
    (("G1 sulphated",), FREE), (("S1 stuck open",), FREE), ((), HELD + 0.2),
])
def test_one_that_is_not_turned_long_enough_does_not_fire(faults, let_go):
    course = started(BIKE, *faults, let_go=let_go)
    assert not course.engine and at(course, course.amps("M1"), 2.9) == pytest.approx(0.0, abs=0.01)
    if not faults:
        assert "The engine stops turning." in [moment.notice.text for moment in course.noticed]


def test_it_stops_where_what_it_needs_is_taken_away():
    moves = [(0.0, {}), (HELD, PRESS), (FREE, LET_GO), (2.4, {"key": "off"})]
    course = fire_over_time(BIKE, moves, 3.0, runner=FastRunner)
    assert [moment.notice.word for moment in course.engine] == ["runs", "stops"]
    assert course.engine[1].at == 2.4 and not course.runs(2.9)


@pytest.mark.parametrize(("glowed", "fires"), [(0.2, 1.5), (8.0, 0.8)])
def test_a_cold_diesel_fires_once_its_plugs_glow(glowed, fires):
    """Key to start too soon, it turns over until they do: a second and more later than with plugs that have glowed."""
    generator = kit.machine("site-generator")
    moves = [(0.0, {"key": "on"}), (glowed, {"key": "start"}), (glowed + 3.0, {"key": "on"})]
    course = fire_over_time(generator, moves, glowed + 3.5, runner=FastRunner)
    (fired,) = course.engine
    assert fired.notice.word == "runs"
    assert fired.at - glowed > fires if glowed < 1 else fired.at - glowed < fires


def test_a_diesel_whose_plugs_get_nothing_turns_over_for_nothing():
    generator = kit.machine("site-generator")
    moves = [(0.0, {"key": "on"}), (4.0, {"key": "start"}), (6.0, {"key": "on"})]
    assert not fire_over_time(generator, moves, 6.5, ["F2 blown"], runner=FastRunner).engine


def test_a_board_has_no_engine_to_fire():
    with pytest.raises(OperationError, match="bench-board has no engine"):
        fire_over_time(kit.machine("bench-board"), [(0.0, {})], 1.0)
