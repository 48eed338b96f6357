"""Every single fault of the bike in every position of its controls has an outcome; the counts are pinned.

The sweep is compiled and starts each circuit from the first one's volts; the single solve does neither. On a sample
they must agree within a microvolt, and in every word.
"""

from collections import Counter

import numpy as np
import pytest

import kit
from kit.circuit import Change, Circuit, Fault, When
from kit.errors import SolveError
from kit.solve import Outcome, State, settle
from kit.solve.sweep import sweep

BIKE = kit.machine("orchard-bike")
FAULTS = tuple(fault for fault in BIKE.faults.values() if fault.when is When.ALWAYS)
POSITIONS = tuple(BIKE.all_positions())
MICROVOLT = 1e-6
SETS = tuple(BIKE.closed_switches(positions) for positions in POSITIONS)


@pytest.fixture(scope="module")
def whole():
    return sweep([BIKE.circuit.plant(fault) for fault in FAULTS], SETS)


def test_counts_of_faults_positions_and_outcomes(whole):
    assert (len(FAULTS), len(POSITIONS)) == (163, 64)
    counts = Counter(whole.outcome(c, s) for c in range(163) for s in range(64))
    assert counts == {Outcome.SETTLED: 10328, Outcome.LATCHED: 79, Outcome.CHATTERS: 25}


def test_which_faults_latch_or_chatter(whole):
    """Read through by eye: each is what a hand would expect.

    Chatter: a battery of 160 mohm (sulphated, or flat), a dead cell driven backwards, or half an ohm at a battery
    clamp, feeds the coil as well as the starter; pulling in takes the coil's own volts away. It happens in the five
    positions that ask for the starter, and in no other.
    Latched: the coil has between its drop-out and its pull-in volts (5 ohm too many in its path, a sticky armature or a
    24 V coil that wants 13 V, a dead short ahead of the fuse that drags the battery down to 7 V): it would hold, but
    will not pull in. So too where a live wire touches the coil's ground side: plus meets ground through the diode and
    the switches, and what those drop, 3.4 to 6.2 V, is left for the coil (with
    the key off and the button pressed the lamps are its ground, and it has them the other way round).
    """
    found = {Outcome.LATCHED: Counter(), Outcome.CHATTERS: Counter()}
    for c, fault in enumerate(FAULTS):
        for s in range(len(SETS)):
            if whole.outcome(c, s) in found:
                found[whole.outcome(c, s)][fault.id] += 1
    both_ways, ground_switches, neutral = 5, 1, 3
    assert found[Outcome.CHATTERS] == {
        "G1 flat": both_ways, "G1 sulphated": both_ways, "G1 dead cell": both_ways,
        **{f"{clamp} high resistance 0.5 ohm": both_ways for clamp in ("X1", "X2")},
    }
    assert found[Outcome.LATCHED] == {
        **{f"{part} high resistance 5 ohm": both_ways for part in ("F2", "W5", "S2", "W6", "S3", "W7")},
        "K1 pulls in weakly": both_ways, "K1 wrong spare 24 V coil": both_ways, "W1 shorted to ground": both_ways,
        **{f"{part} high resistance 5 ohm": ground_switches for part in ("W12", "B1", "W13", "B3", "W14")},
        **{f"{part} high resistance 5 ohm": neutral for part in ("B2", "X13", "W17", "W18")},
        # What the short itself leads to ground counts, wherever the ground switches stand.
        "W12 shorted to supply": 8, "W13 shorted to supply": 3, "W17 shorted to supply": 6,
    }


@pytest.mark.parametrize("offset", range(5))
def test_the_sweep_and_the_single_solve_agree_within_a_microvolt(whole, offset):
    special = np.argwhere(whole.codes != 0)
    sample = [(7 * k % 163, (13 * k + offset) % 64) for k in range(offset, 400, 5)]
    for c, s in [*sample, *map(tuple, special[offset::5])]:
        one = settle(BIKE.circuit.plant(FAULTS[c]), closed_switches=SETS[s])
        assert one.outcome is whole.outcome(c, s)
        assert volts(whole.terminals, whole.volts[c, s]) == near(one.volts)
        for path, amps, across in zip(whole.paths, whole.amps[c, s], whole.across[c, s], strict=True):
            if path in one.amps:
                assert amps == pytest.approx(one.amps[path], abs=1e-5), path
                assert across == pytest.approx(one.across[path], abs=MICROVOLT), path
            else:
                assert np.isnan(amps) and path.startswith("fault ")
        assert {r for r, on in zip(whole.relays, whole.closed[c, s], strict=True) if on} == one.state.closed
        assert {f for f, on in zip(whole.fuses, whole.melted[c, s], strict=True) if on} == one.state.melted
        assert {r for r, on in zip(whole.relays, whole.chattering[c, s], strict=True) if on} == one.chattering
        if one.other_swing is None:
            assert np.isnan(whole.other_volts[c, s]).all()
        else:
            assert volts(whole.terminals, whole.other_volts[c, s]) == near(one.other_swing.volts)


def near(volts: dict):
    """Every terminal within a microvolt, and floating where it floats."""
    return {name: value if value is None else pytest.approx(value, abs=MICROVOLT) for name, value in volts.items()}


def volts(terminals, row) -> dict:
    return {name: None if np.isnan(value) else value for name, value in zip(terminals, row, strict=True)}


def test_a_sweep_goes_on_from_a_state():
    pressed = BIKE.closed_switches(BIKE.positions(key="on", start_button="pressed"))
    weak = BIKE.circuit.plant(BIKE.fault("S3 high resistance 5 ohm"))
    held = State(closed=frozenset({"K1"}), melted=frozenset({"F3"}))
    found = sweep([weak], [pressed], before=held)
    one = settle(weak, closed_switches=pressed, before=held)
    assert found.closed[0, 0, found.relays.index("K1")] and one.state == held
    assert volts(found.terminals, found.volts[0, 0]) == one.volts
    assert found.outcome(0, 0) is one.outcome is Outcome.LATCHED


def test_a_sweep_takes_one_machine():
    smaller = Circuit(parts=BIKE.circuit.parts[:1], reference=BIKE.circuit.reference)
    with pytest.raises(SolveError, match="a sweep takes one machine"):
        sweep([BIKE.circuit, smaller], SETS[:1])
    with pytest.raises(SolveError, match="at least one circuit"):
        sweep([], SETS[:1])


def test_every_pair_of_main_feed_faults_has_an_outcome_too():
    ids = [fault.id for fault in FAULTS if fault.part in BIKE.stages["main feed"].parts]
    pairs = [(a, b) for number, a in enumerate(ids) for b in ids[number + 1:]]
    circuits = [BIKE.circuit.plant(BIKE.fault(a), BIKE.fault(b)) for a, b in pairs]
    found = sweep(circuits, SETS)
    assert found.codes.shape == (len(pairs), 64)
    assert not np.isnan(found.volts[:, :, found.terminals.index("G1.-")]).any()


def test_a_healthy_machine_settles_everywhere():
    found = sweep([BIKE.circuit], SETS)
    assert (found.codes == 0).all() and not found.melted.any() and not found.chattering.any()


@pytest.mark.parametrize("ohms", [0.02, 0.05, 0.08, 0.1, 0.13, 0.16, 0.5, 1.0, 1.5, 2.0, 6.0])
def test_any_battery_has_an_outcome_and_speed_only_falls(ohms):
    def speed(at):
        worn = Fault(id="G1 worn", part="G1", edit=Change(field="ohms", value=at))
        return BIKE.operate(worn, key="on", start_button="pressed").solution.speeds["M1"]

    assert speed(ohms) >= speed(ohms * 1.2)
