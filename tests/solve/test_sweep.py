"""Sweeps: the same answers as one case at a time, from any state, watched while they run."""

from dataclasses import replace

import numpy as np
import pytest
from networks import between, circuit, node, resistor, source

import kit
from kit.circuit import Battery, Change, Fault, Joint, Lamp, Ohms, Open, Relay, ShortTo, Terminal
from kit.errors import SolveError
from kit.instruments import Multimeter, TestLamp
from kit.solve import Outcome, State, probes, settle
from kit.solve.probes import probe
from kit.solve.sweep import sweep

BIKE = kit.machine("orchard-bike")
POSITIONS = tuple(BIKE.all_positions())
SETS = tuple(BIKE.closed_switches(positions) for positions in POSITIONS)
LAMP = TestLamp(clip="G1.-", tip="G1.+").body()[0]
METER = Multimeter("volts", black="G1.-", red="G1.+").body()[0]
SAME = 1e-10  # volts: what is left of where Newton started


def test_the_first_circuit_is_solved_to_the_last_bit_as_alone():
    for start in (BIKE.circuit, BIKE.circuit.plant(BIKE.fault("W7 high resistance 5 ohm"))):
        found = sweep([start], SETS)
        for s, closed in enumerate(SETS):
            one = settle(start, closed_switches=closed)
            assert one.outcome is found.outcome(0, s)
            volts = dict(zip(found.terminals, found.volts[0, s], strict=True))
            assert {name: None if np.isnan(value) else value for name, value in volts.items()} == {
                name: one.volts[name] for name in volts
            }
            assert dict(zip(found.paths, found.amps[0, s], strict=True)) == one.amps


def test_where_it_starts_from_changes_nothing():
    """Every fault from the sound machine's volts, and from its own."""
    circuits = [BIKE.circuit, *(BIKE.circuit.plant(fault) for fault in BIKE.faults.values())]
    together = sweep(circuits, SETS[::3])
    for c in range(0, len(circuits), 9):
        alone = sweep([circuits[c]], SETS[::3])
        columns = [together.paths.index(path) for path in alone.paths]
        np.testing.assert_allclose(together.volts[c], alone.volts[0], rtol=0, atol=SAME)
        np.testing.assert_allclose(together.amps[c][:, columns], alone.amps[0], rtol=1e-7, atol=1e-9)
        assert (together.codes[c] == alone.codes[0]).all() and (together.closed[c] == alone.closed[0]).all()
        assert (together.melted[c] == alone.melted[0]).all()


def test_two_faults_at_once_are_as_alone():
    ids = list(BIKE.faults)
    pairs = [(ids[(17 * k) % len(ids)], ids[(29 * k + 5) % len(ids)]) for k in range(60)]
    circuits = [BIKE.circuit.plant(BIKE.fault(one), BIKE.fault(two)) for one, two in pairs if one != two]
    found = sweep([BIKE.circuit, *circuits], SETS)
    for c, both in enumerate(circuits[::4], start=0):
        s = (13 * c + 40) % len(SETS)
        one = settle(both, closed_switches=SETS[s])
        assert one.outcome is found.outcome(1 + 4 * c, s)
        for name, volts in zip(found.terminals, found.volts[1 + 4 * c, s], strict=True):
            assert (one.volts[name] is None) == np.isnan(volts)
            assert one.volts[name] is None or volts == pytest.approx(one.volts[name], abs=SAME)


def test_work_is_watched():
    told = []
    weak, blown = BIKE.fault("K1 pulls in weakly"), BIKE.fault("F1 blown")
    circuits = [BIKE.circuit, BIKE.circuit.plant(weak), BIKE.circuit.plant(weak, blown)]
    sweep(circuits, SETS[:2], progress=lambda *now: told.append(now))
    assert told == [(1, 3, "no fault"), (2, 3, "K1 pulls in weakly"), (3, 3, "K1 pulls in weakly + F1 blown")]
    told.clear()
    lead = BIKE.circuit.terminals[0], BIKE.circuit.terminals[1]
    probe(circuits[:2], SETS[:2], [METER], [lead], progress=lambda *now: told.append(now))
    assert told == [(1, 2, "no fault"), (2, 2, "K1 pulls in weakly")]


def test_a_fault_that_brings_a_relay_or_a_node_of_its_own():
    """Surface charge is a state of its own inside the battery; the sound battery has none."""
    charged = BIKE.circuit.plant(Fault(id="charged", part="G1", edit=Change(field="surface_volts", value=0.8)))
    found = sweep([BIKE.circuit, charged], [frozenset(), SETS[-1]])
    assert found.relays == ("K1", "G1.surface")
    assert not found.closed[0, :, 1].any()
    one = settle(charged, closed_switches=SETS[-1])
    plus = found.terminals.index("G1.+")
    assert found.volts[1, 1, plus] == pytest.approx(one.volts["G1.+"], abs=SAME)
    assert found.volts[1, 0, plus] == pytest.approx(found.volts[0, 0, plus] + 0.8, abs=1e-6)


# --- instruments


def every_pair(every: int = 1):
    points = list(BIKE.points)
    return [(a, b) for k, a in enumerate(points) for b in points[k + 1:]][::every]


@pytest.fixture
def all_in_full(monkeypatch):
    """No shortcut is taken."""
    def switch():
        monkeypatch.setattr(probes, "FELT", -1.0)
    return switch


@pytest.mark.parametrize("watts", [3.0, 21.0])
def test_every_shortcut_is_within_two_millivolts_of_the_full_solve(all_in_full, watts):
    """Six faults in seven, a third of the positions, a pair of leads in eight: more than half a million readings."""
    faults = [fault for number, fault in enumerate(BIKE.faults.values()) if number % 7]
    circuits = [BIKE.circuit, *(BIKE.circuit.plant(fault) for fault in faults[::2])]
    lamp = TestLamp(clip="G1.-", tip="G1.+", watts=watts).body()[0]
    asked = circuits, SETS[::3], [lamp, METER], every_pair(8)
    quick = probe(*asked)
    all_in_full()
    full = probe(*asked)
    short = ~quick.in_full
    assert short.sum() > 200_000 and 0.9 < short.mean() < 1.0
    assert full.in_full.all()
    assert np.abs(quick.volts - full.volts)[short].max() < 2e-3
    # And none of them missed a relay that the instrument sets chattering.
    assert np.isnan(full.other_volts[short]).all()


def test_without_the_check_shortcuts_lie(monkeypatch):
    """What the check is for: with it off some readings are far out, so the test above can fail."""
    circuits = [BIKE.circuit, *(BIKE.circuit.plant(fault) for fault in BIKE.faults.values())][::4]
    asked = circuits, SETS[::3], [LAMP, METER], every_pair(8)
    quick = probe(*asked)
    for name in ("UNFELT", "STIRRED"):
        monkeypatch.setattr(probes, name, 1e12)
    monkeypatch.setattr(probes, "NEAR", -1e12)
    blind = probe(*asked)
    assert np.nanmax(np.abs(quick.volts - blind.volts)) > 0.5


def relay_at(volts_short: float):
    """A relay so many volts short of pulling in, its coil's ground side free for a lamp."""
    coil = Relay(id="K1", title="relay", coil_ohms=80.0, pull_in_volts=9.0 + volts_short, drop_out_volts=3.0,
                 contact_ohms=1e-3)
    ends = (("86", 1), ("85", 2), ("30", 1), ("87", 3))
    leads = [between_one(f"K1:{end}", coil, end, number) for end, number in ends]
    rest = resistor("R1", 3, 0, 10.0), resistor("R2", 2, 0, 1e6)
    return circuit(source("G1", 0, 1, 12.0, 0.02), [coil, *leads], *rest)


def between_one(name, part, end, number):
    return Joint(id=name, title=name, start=Terminal(part.id, end), end=node(number), ohms=1e-6)


@pytest.mark.parametrize("volts_short", [-0.2, 0.0, 2.5, 2.9])
def test_a_lamp_that_moves_a_relay_is_solved_in_full(volts_short):
    """A 3 W lamp as the coil's ground, 11.3 V for it while it is cold: below that the coil pulls in, and holds."""
    here = relay_at(volts_short)
    leads = [(node(2), node(0))]
    found = probe([here], [frozenset()], [LAMP, METER], leads)
    assert found.in_full[0, 0, 0, 0] == (volts_short < 2.3) and not found.in_full[0, 0, 1, 0]
    assert found.volts[0, 0, 1, 0] == pytest.approx(12.0, abs=0.01)
    # Pulled in, the relay feeds 10 ohms and the battery sags: the lamp's volts tell.
    lit = settle(here.add([replace(LAMP, start=node(2), end=node(0))]),
                 before=State(closed=frozenset({"K1"} if volts_short < 2.3 else ())))
    assert found.volts[0, 0, 0, 0] == pytest.approx(lit.across[LAMP.id], abs=1e-4)


def test_both_leads_on_one_terminal_or_on_two_islands():
    apart = circuit(source("G1", 0, 1, 12.0, 0.02), resistor("R1", 1, 0, 10.0), source("G2", 2, 3, 9.0, 0.1),
                    resistor("R2", 3, 2, 5.0))
    leads = [(node(1), node(1)), (node(1), node(3)), (node(3), node(2))]
    found = probe([apart], [frozenset()], [LAMP, METER], leads)
    assert found.volts[0, 0, :, :2] == pytest.approx(0.0, abs=1e-9)
    assert found.volts[0, 0, 1, 2] == pytest.approx(9.0 * 5.0 / 5.1, abs=1e-4)


def test_a_probe_on_nothing():
    with pytest.raises(SolveError, match=r"there is no terminal N9\.t in this circuit"):
        probe([BIKE.circuit], SETS[:1], [LAMP], [(node(9), BIKE.circuit.reference)])


def test_a_plan_with_one_more_edge_is_the_plan_of_the_network_with_that_edge(monkeypatch):
    """Laid out in the base's order, and solved: as good as with an order of its own."""
    lamp = Lamp(id="E1", title="lamp", watts=21.0, volts=13.5)
    grid = circuit(
        source("G1", 0, 1, 12.0, 0.05), *(resistor(f"R{k}", k, k + 1, 0.5 + k) for k in range(1, 7)),
        *(resistor(f"S{k}", k, 0, 3.0 * k) for k in (3, 5, 7)), between(lamp, 4, 7),
    )
    terminals = [node(number) for number in range(8)]
    leads = [(a, b) for a in terminals for b in terminals if a != b]
    heavy = TestLamp(clip="N0.t", tip="N1.t", watts=55.0).body()[0]
    quick = probe([grid], [frozenset()], [heavy], leads)
    monkeypatch.setattr(probes, "FELT", -1.0)
    found = probe([grid], [frozenset()], [heavy], leads)
    assert found.in_full.all() and not quick.in_full.any()
    for k, (start, end) in enumerate(leads):
        one = settle(grid.add([replace(heavy, start=start, end=end)]))
        assert found.volts[0, 0, 0, k] == pytest.approx(one.across[heavy.id], abs=1e-6)
        assert quick.volts[0, 0, 0, k] == pytest.approx(one.across[heavy.id], abs=2e-3)


def test_no_case_that_rests_is_called_endless_for_having_many_relays():
    """Twelve relays, each fed by the one before: every one must pull in, and the path is longer than the twelve."""
    groups = [source("G1", 0, 1, 12.0, 0.001)]
    for number in range(1, 13):
        relay = Relay(id=f"K{number}", title="relay", coil_ohms=80.0, pull_in_volts=7.0, drop_out_volts=3.0,
                      contact_ohms=1e-3)
        ends = (("86", number), ("85", 0), ("30", number), ("87", number + 1))
        groups.append([relay, *(between_one(f"{relay.id}:{end}", relay, end, at) for end, at in ends)])
    chain = circuit(*groups, resistor("R1", 13, 0, 10.0))
    assert settle(chain).state == State(closed=frozenset(f"K{number}" for number in range(1, 13)))
    assert sweep([chain], [frozenset()]).closed.all()


def test_a_sweep_of_edits_of_every_kind():
    battery = Battery(id="G1", title="battery", volts=12.0, ohms=0.02)
    here = circuit(between(battery, 1, 0), resistor("R1", 1, 2, 1.0), resistor("R2", 2, 0, 2.0))
    edits = [
        Fault(id="open", part="R1", edit=Open()), Fault(id="more", part="R1", edit=Ohms(ohms=3.0)),
        Fault(id="less", part="G1", edit=Change(field="volts", value=6.0)),
        Fault(id="short", part="R2", edit=ShortTo(start=node(2), end=node(0), ohms=0.5)),
    ]
    circuits = [here, *(here.plant(edit) for edit in edits), here.plant(*edits)]
    found = sweep(circuits, [frozenset()])
    for c, one in enumerate(circuits):
        alone = settle(one)
        assert alone.outcome is found.outcome(c, 0) is Outcome.SETTLED
        for path, amps in alone.amps.items():
            assert found.amps[c, 0, found.paths.index(path)] == pytest.approx(amps, abs=1e-9), (c, path)
    assert np.isnan(found.amps[:4, 0, found.paths.index("fault short")]).all()


def test_a_relay_that_would_hold_but_not_pull_in_is_latched():
    holding = BIKE.circuit.plant(BIKE.fault("W7 high resistance 5 ohm"))
    asking = BIKE.closed_switches(BIKE.positions(key="on", start_button="pressed"))
    assert sweep([holding], [asking]).outcome(0, 0) is Outcome.LATCHED
    assert sweep([BIKE.circuit], [asking]).outcome(0, 0) is Outcome.SETTLED
