"""Twenty thousand random circuits and states, compiled: every one has an outcome, and none breaks a law.

``tests/benchmarks/robust.py`` does a million.
"""

from collections import Counter

import numpy as np
import pytest
from random_circuits import all_sources, wild_circuits

from kit.circuit import Battery, Diode, Fuse, Lamp, Motor, Relay
from kit.instruments import Multimeter, TestLamp
from kit.solve import Outcome, probes, settle
from kit.solve.branches import network
from kit.solve.probes import probe
from kit.solve.sweep import sweep

CASES = 20_000
WILD = tuple(wild_circuits(1, CASES // 80))
TOOLS = [TestLamp(clip="N0.t", tip="N1.t", watts=watts).body()[0] for watts in (3.0, 21.0)]
TOOLS.append(Multimeter("volts", black="N0.t", red="N1.t").body()[0])


@pytest.fixture(scope="module")
def swept():
    return [sweep(wild.circuits, wild.switch_sets, wild.before) for wild in WILD]


def test_they_are_as_wild_as_they_should_be():
    parts = Counter(type(part) for wild in WILD for part in wild.circuits[0].parts)
    assert all(parts[kind] >= 50 for kind in (Battery, Diode, Fuse, Lamp, Motor, Relay)), parts
    planted = [fault for wild in WILD for circuit in wild.circuits for fault in circuit.faults]
    faults = Counter(type(fault.edit).__name__ for fault in planted)
    assert all(faults[edit] >= 30 for edit in ("Open", "Ohms", "ShortTo", "Change", "Reversed")), faults
    nets = [network(wild.circuits[0]) for wild in WILD]
    assert sum(any(relay.second for relay in net.relays) for net in nets) >= 50
    assert sum(any(relay.rest for relay in net.relays) for net in nets) >= 50


def test_every_one_has_an_outcome(swept):
    """A case with none raises SolveError; and all three kinds of outcome are among them, with islands and melting."""
    counts = Counter(found.outcome(c, s) for found in swept for c, s in np.ndindex(found.codes.shape))
    assert counts.total() == CASES and min(counts[outcome] for outcome in Outcome) >= 100, counts
    assert sum(np.isnan(found.volts).any() for found in swept) >= 50
    assert sum(found.melted.any() for found in swept) >= 20


def test_nothing_stands_higher_than_all_sources_in_series(swept):
    for number, (wild, found) in enumerate(zip(WILD, swept, strict=True)):
        for c, circuit in enumerate(wild.circuits):
            most = all_sources(circuit) * (1 + 1e-9) + 1e-9
            assert np.nanmax(np.abs(found.volts[c])) <= most, (number, c)
            assert np.nanmax(np.abs(found.across[c])) <= most, (number, c)


def test_no_current_is_lost(swept):
    """Into every node as much as out of it. Volts are good to 1e-12, so amps to that times the siemens around."""
    for number, (wild, found) in enumerate(zip(WILD, swept, strict=True)):
        for c in (0, len(wild.circuits) - 1):
            net = network(wild.circuits[c])
            into = {terminal: 0.0 for terminal in net.terminals}
            most = {terminal: 0.0 for terminal in net.terminals}
            for branch in net.branches:
                amps = found.amps[c, :, found.paths.index(branch.name)]
                for end, sign in ((branch.a, -1), (branch.b, 1)):
                    into[end] = into[end] + sign * amps
                    most[end] = most[end] + np.abs(amps)
            for terminal, amps in into.items():
                # A microhm lead carries a megasiemens: 1e-12 V there are a microamp.
                assert (np.abs(amps) <= 2e-5 + 1e-9 * most[terminal]).all(), (number, c, terminal)


def test_one_at_a_time_says_the_same(swept):
    for number in range(0, len(WILD), 5):
        wild, found = WILD[number], swept[number]
        c, s = number % len(wild.circuits), number % len(wild.switch_sets)
        one = settle(wild.circuits[c], closed_switches=wild.switch_sets[s], before=wild.before)
        assert one.outcome is found.outcome(c, s), number
        for name, volts in zip(found.terminals, found.volts[c, s], strict=True):
            assert (one.volts[name] is None) == bool(np.isnan(volts)), (number, name)
            assert one.volts[name] is None or volts == pytest.approx(one.volts[name], abs=1e-7), (number, name)


def test_every_reading_shortcut_is_within_two_millivolts_there_too(monkeypatch):
    asked, quick = [], []
    for number, wild in enumerate(WILD[::2]):
        terminals = wild.circuits[0].terminals
        leads = [(terminals[(7 * number + 3 * k) % len(terminals)], terminals[(5 * k + 1) % len(terminals)])
                 for k in range(12)]
        asked.append((wild.circuits[:4], wild.switch_sets[:3], TOOLS, leads, wild.before))
        quick.append(probe(*asked[-1]))
    monkeypatch.setattr(probes, "FELT", -1.0)
    checked = 0
    for each, found in zip(asked, quick, strict=True):
        full = probe(*each)
        short = ~found.in_full
        assert full.in_full.all()
        checked += short.sum()
        assert (np.abs(found.volts - full.volts)[short] < 2e-3).all()
        assert np.isnan(full.other_volts[short]).all()
    assert checked > 40_000
