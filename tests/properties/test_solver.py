"""What must hold for any circuit: exact volts, currents that sum to zero, power in balance, names that do not matter.

The oracle is plain elimination in fractions (``networks.exact_volts``); it shares no line with the kernel.
"""

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from networks import between, circuit, exact_volts, node, resistor, source

import kit
from kit.circuit import Circuit, Diode, Fault, Joint, Lamp, Motor, Open, Terminal, Wire
from kit.solve import AT_REST, kernel, settle
from kit.solve.branches import network
from kit.solve.case import Case

BIKE = kit.machine("orchard-bike")
POSITIONS = tuple(BIKE.all_positions())
EXACT = 1e-12  # volts

OHMS = st.floats(-3, 7).map(lambda power: 10.0**power)  # milliohms to ten megohms
SOURCE_OHMS = st.floats(-3, 1).map(lambda power: 10.0**power)
NODES = st.integers(0, 8)


@st.composite
def resistive_networks(draw) -> Circuit:
    """Up to nine nodes in any number of islands; resistors, some broken, and batteries, none of them tied to ground."""
    groups, faults = [], []
    for number in range(draw(st.integers(1, 16))):
        start = draw(NODES)
        end = draw(NODES.filter(lambda other, start=start: other != start))
        if draw(st.integers(0, 4)) == 0:
            volts = draw(st.sampled_from([1.5, 9.0, 12.8, 25.6]))
            groups.append(source(f"G{number}", start, end, volts, draw(SOURCE_OHMS)))
        else:
            groups.append(resistor(f"R{number}", start, end, draw(OHMS)))
            if draw(st.integers(0, 5)) == 0:
                faults.append(Fault(id=f"R{number} open", part=f"R{number}", edit=Open()))
    return circuit(*groups).plant(*faults)


@st.composite
def device_networks(draw) -> Circuit:
    """A battery, resistors, and diodes, lamps and a motor thrown in anywhere."""
    groups = [source("G0", 0, 1, draw(st.sampled_from([6.0, 12.8, 25.6])), draw(SOURCE_OHMS))]
    for number in range(draw(st.integers(2, 10))):
        start = draw(st.integers(0, 5))
        end = draw(st.integers(0, 5).filter(lambda other, start=start: other != start))
        match draw(st.integers(0, 5)):
            case 0:
                part = Diode(id=f"R{number}", title="diode", saturation_amps=3e-7, emission=1.8)
                groups.append(between(part, start, end))
            case 1:
                part = Lamp(id=f"E{number}", title="lamp", watts=draw(st.sampled_from([3.0, 21.0, 55.0])), volts=13.5)
                groups.append(between(part, start, end))
            case 2:
                part = Motor(
                    id=f"M{number}", title="motor", ohms=0.038, load_amps=89.5, drag=0.07, cranking_emf=7.0
                )
                groups.append(between(part, start, end))
            case _:
                groups.append(resistor(f"R{number}", start, end, draw(OHMS)))
    return circuit(*groups)


def settled_case(net_of: Circuit, closed_switches=()) -> Case:
    case = Case(network(net_of), closed_switches, AT_REST)
    assert case.run() in (kernel.SETTLED, kernel.CHATTERS)
    return case


def exact(case: Case) -> list[Fraction | None]:
    """The accepted linearised system of a solved case, in fractions."""
    edges = [
        (case.a[i], case.b[i], Fraction(case.g[i]), Fraction(case.j[i])) for i in range(len(case.a))
    ]
    return exact_volts(case.plan.n, case.plan.n - 1, edges)


def worst_volts(case: Case) -> float:
    return max(abs(float(Fraction(x) - v)) for x, v in zip(case.x, exact(case), strict=True) if v is not None)


def imbalances(case: Case) -> tuple[float, float]:
    """The largest sum of currents into any node, and the power that goes nowhere."""
    into = [0.0] * case.plan.n
    power = 0.0
    for a, b, amps in zip(case.a, case.b, case.amps, strict=True):
        into[a] -= amps
        into[b] += amps
        power += amps * (case.x[a] - case.x[b])
    return max(abs(amps) for amps in into), abs(power)


def assert_balanced(case: Case, loosest_siemens: float) -> None:
    # Volts are good to 1e-12, so the amps of a branch are good to that times its siemens.
    amps, watts = imbalances(case)
    allowed = 4 * EXACT * max([loosest_siemens, *case.g])
    assert amps <= allowed
    assert watts <= allowed * 100


@given(resistive_networks())
@settings(max_examples=300)
def test_resistive_networks_are_exact(wild):
    case = settled_case(wild)
    assert worst_volts(case) <= EXACT


def test_a_battery_tied_to_ground_by_a_megohm_only():
    # Paid into its two nodes, the battery's 256,000 A would have to cancel to the last digit; this was 4 µV out once.
    wild = circuit(source("G1", 1, 2, 25.6, 1e-4), resistor("R1", 1, 0, 5e6), resistor("R2", 2, 0, 7e6))
    assert worst_volts(settled_case(wild)) <= EXACT


@given(resistive_networks())
def test_currents_and_power_balance(wild):
    assert_balanced(settled_case(wild), 1.0)


@given(device_networks())
@settings(max_examples=200)
def test_the_accepted_linear_system_of_any_devices_is_exact_and_balances(wild):
    case = settled_case(wild)
    # Between two blocking diodes a node stands by their leaks: 3e-7 A of saturation, to its last digit, over 2e-11 S.
    assert worst_volts(case) <= 10 * EXACT
    assert_balanced(case, 1.0)


@given(device_networks())
def test_devices_obey_their_own_laws(wild):
    """Amps come from the last linearised system; put the volts into each law itself and get the same amps."""
    case = settled_case(wild)
    for branch, a, b, amps in zip(case.net.branches, case.a, case.b, case.amps, strict=True):
        u = case.x[a] - case.x[b]
        slack = 1e-8 * max(abs(amps), 1e-3) + 1e-11 + 2e-9 * slope(branch, u)
        assert amps == pytest.approx(law(branch, u), abs=slack), branch.name


def law(branch, u: float) -> float:
    """Each device's amps at u volts, written afresh from its description."""
    if branch.kind == kernel.DIODE:
        return branch.p0 * (2.718281828459045 ** (u / branch.p1) - 1) + 1e-11 * u
    if branch.kind == kernel.LAMP:
        hot = branch.p1 / branch.p0
        cold_per_hot = (u / branch.p1) ** 2 + 13 ** (-2 / 0.45)
        return hot * (u / branch.p1) / cold_per_hot**0.225
    if branch.kind == kernel.MOTOR:
        ohms, load, drag = branch.p0, branch.p1, branch.p2
        if abs(u) <= ohms * load:
            return u / ohms
        emf = (abs(u) - ohms * load) / (1 + ohms * drag)
        return (load + drag * emf) * (1 if u > 0 else -1)
    return branch.p0 * u + branch.p1


def slope(branch, u: float) -> float:
    return max(abs(law(branch, u + step) - law(branch, u)) for step in (1e-6, -1e-6)) / 1e-6


# --- the bike: every fault in a few positions each, and every position with a few faults


def sampled_cases():
    faults = [(), *((fault,) for fault in BIKE.faults.values())]
    for number, planted in enumerate(faults):
        for k in range(3):
            yield planted, POSITIONS[(11 * number + 23 * k + 40) % len(POSITIONS)]
    for number, positions in enumerate(POSITIONS):
        yield faults[(7 * number + 3) % len(faults)], positions


CASES = tuple(sampled_cases())


def test_the_sample_meets_every_fault_and_every_position():
    assert {fault.id for planted, _ in CASES for fault in planted} == set(BIKE.faults)
    assert {tuple(positions.values()) for _, positions in CASES} == {tuple(p.values()) for p in POSITIONS}


def test_the_bike_is_exact_and_balances_whatever_is_wrong_with_it():
    worst = 0.0
    for planted, positions in CASES:
        case = settled_case(BIKE.circuit.plant(*planted), BIKE.closed_switches(positions))
        worst = max(worst, worst_volts(case))
        assert worst <= EXACT, (planted, dict(positions))
        assert_balanced(case, 1.0)
    assert worst > 0, "not one digit was ever rounded: the check is not looking"


def renamed(whole: Circuit, names: dict[str, str]) -> Circuit:
    def moved(terminal: Terminal) -> Terminal:
        return Terminal(names[terminal.part], terminal.name)

    parts = []
    for part in whole.parts:
        fresh = replace(part, id=names[part.id])
        if isinstance(part, (Wire, Joint)):
            fresh = replace(fresh, start=moved(part.start), end=moved(part.end))
        parts.append(fresh)
    return Circuit(parts=tuple(parts), reference=moved(whole.reference))


@given(st.randoms(use_true_random=False), st.sampled_from(POSITIONS))
@settings(max_examples=40)
def test_names_and_order_of_parts_change_nothing(rng, positions):
    usual = settle(BIKE.circuit, closed_switches=BIKE.closed_switches(positions))
    ids = [part.id for part in BIKE.circuit.parts]
    fresh = [f"Z{number}" for number in range(len(ids))]
    rng.shuffle(fresh)
    names = dict(zip(ids, fresh, strict=True))
    shuffled = list(BIKE.circuit.parts)
    rng.shuffle(shuffled)
    other = settle(
        renamed(replace(BIKE.circuit, parts=tuple(shuffled)), names),
        closed_switches={names[switch] for switch in BIKE.closed_switches(positions)},
    )
    assert other.outcome is usual.outcome
    assert other.state.closed == {names[relay] for relay in usual.state.closed}
    for terminal, volts in usual.volts.items():
        part, _, name = terminal.partition(".")
        theirs = other.volts[f"{names[part]}.{name}"]
        assert (theirs is None) == (volts is None), terminal
        if volts is not None:
            assert theirs == pytest.approx(volts, abs=EXACT), terminal


# --- floating


@given(resistive_networks())
def test_floating_is_no_conducting_path_to_the_reference(wild):
    solution = settle(wild)
    broken = {fault.part for fault in wild.faults}
    joined = {str(wild.reference)}
    paths = [
        (str(branch.a), str(branch.b)) for branch in network(wild).branches if branch.name not in broken
    ]
    while grown := [(a, b) for a, b in paths if (a in joined) != (b in joined)]:
        joined.update(end for pair in grown for end in pair)
    assert solution.floating == {str(terminal) for terminal in wild.terminals} - joined


def diode(name: str, anode: int, cathode: int):
    return between(Diode(id=name, title="diode", saturation_amps=3e-7, emission=1.8), anode, cathode)


def test_a_reversed_diode_counts_as_open():
    # Node 2 hangs on the cathode of a diode whose anode is grounded: nothing can flow either way, but it is no wire to
    # a meter: what hangs there floats. Behind the anode of a diode to plus it floats as well.
    grounded_anode = settle(circuit(source("G1", 0, 1, 12.8), diode("R1", 0, 2), resistor("R2", 2, 3, 10.0)))
    assert grounded_anode.volts[str(node(2))] is None
    to_plus = settle(circuit(source("G1", 0, 1, 12.8), diode("R1", 2, 1), resistor("R2", 2, 3, 10.0)))
    assert to_plus.volts[str(node(2))] is None


def test_a_dead_end_behind_a_forward_diode_is_live():
    fed = settle(circuit(source("G1", 0, 1, 12.8), diode("R1", 1, 2), resistor("R2", 2, 3, 10.0)))
    assert fed.volts[str(node(3))] == pytest.approx(12.8, abs=1e-6)
    sunk = settle(circuit(source("G1", 0, 1, 12.8), diode("R1", 2, 0), resistor("R2", 2, 3, 10.0)))
    assert sunk.volts[str(node(3))] == pytest.approx(0.0, abs=1e-6)


def test_the_node_between_two_conducting_diodes_is_tied():
    fed = settle(circuit(source("G1", 0, 1, 12.8), diode("R1", 1, 2), diode("R2", 2, 3), resistor("R3", 3, 0, 10.0)))
    assert 11.8 < fed.volts[str(node(2))] < 12.4


def test_differences_inside_a_floating_island_are_exact():
    apart = settle(circuit(
        source("G1", 0, 1, 12.0), resistor("R1", 1, 0, 10.0),
        source("G2", 2, 3, 9.0, 1.0), resistor("R2", 3, 4, 3.0), resistor("R3", 4, 2, 5.0),
    ))
    assert apart.volts[str(node(4))] is None
    assert apart.drop(str(node(3)), str(node(2))) == pytest.approx(8.0, abs=1e-5)
    assert apart.drop(str(node(3)), str(node(1))) is None
