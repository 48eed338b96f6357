"""The elimination plan: what is late comes last, at no price; and what need not be tried to find a second rest."""

import pytest

import kit
from kit.machines.library import machine_ids
from kit.solve import AT_REST, kernel, turning
from kit.solve.branches import network
from kit.solve.case import Case, plan
from kit.solve.movers import throw
from kit.solve.ordering import order


@pytest.mark.parametrize("machine_id", machine_ids())
def test_what_no_device_adds_to_is_eliminated_first_and_no_edge_is_paid_for_it(machine_id):
    net = network(kit.machine(machine_id).circuit)
    late = turning.lively(net)
    laid, place = plan(net, late)
    reached = {place[terminal] for terminal in late}
    for k in range(laid.n - 1):
        if k in reached:
            reached |= set(laid.col[laid.row[k] : laid.row[k + 1]])
    first = min(reached)
    assert reached == set(range(first, laid.n)) and first > laid.n / 3
    assert len(laid.col) <= len(plan(net)[0].col)


def test_two_late_nodes_at_the_ends_of_a_line():
    """Four nodes in a line to the reference, the far one late: all hang on it, so it keeps the order it would have."""
    edges = frozenset({(0, 1), (1, 2), (2, 3), (3, 4)})
    assert order(5, 4, edges, frozenset({0})).place == order(5, 4, edges).place == (0, 1, 2, 3, 4)
    # With the near one late, those behind it come first; a side branch that adds nothing to a late node does, too.
    assert order(6, 4, edges | {(4, 5)}, frozenset({3})).place == (0, 1, 2, 4, 5, 3)


def all_pulled_in(n, a, b, kind, p0, shut, coil, second, contact, rest, drop, live, pulled):
    """``kernel._all_moved`` as it would be without looking which coils no amps can reach."""
    for r in range(len(coil)):
        throw(shut, contact[r], rest[r], pulled)


@pytest.mark.parametrize("machine_id", ["orchard-bike", "harbour-tender", "compact-loader", "site-generator"])
def test_relays_no_amps_can_reach_are_let_go_at_once_and_nothing_is_missed(machine_id, monkeypatch):
    """Tried both ways: with every relay pulled in at first, and with those let go that would let go first."""
    machine, found, saved = kit.machine(machine_id), [], 0
    faults = [None, *list(machine.faults.values())[::7]]
    positions = list(machine.all_positions())
    for number, fault in enumerate(faults):
        circuit = machine.circuit.plant(*([fault] if fault else []))
        for where in positions[number % 5 :: 1 + len(positions) // 7]:
            answers = []
            for looked in (None, all_pulled_in):
                case = Case(network(circuit), machine.closed_switches(where), AT_REST)
                if case.run() != kernel.SETTLED:
                    continue
                laps = []
                with monkeypatch.context() as patch:
                    approach = kernel._approach
                    patch.setattr(kernel, "_approach", lambda *a, go=approach, laps=laps: laps.append(1) or go(*a))
                    if looked:
                        patch.setattr(kernel, "_all_moved", looked)
                    answers.append((case.rests_elsewhere(), len(laps)))
            if answers:
                (mine, few), (all_of_them, many) = answers
                assert mine == all_of_them and few <= many, (fault, where)
                found.append(mine)
                saved += many - few
    assert len(found) > 50 and saved > 0
