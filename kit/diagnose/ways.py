"""The way from plus to a point, and where on it a fault is first felt: what an instructor shows with a finger."""

import heapq
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from kit.circuit import Fault, Ohms
from kit.machines import Machine, Operation
from kit.solve.branches import network

FELT_VOLTS = 0.1
WEIGHT_OF_A_PART = 0.05  # volts a way may lose rather than go through one more part
NUDGE_OHMS = 1e-3


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """Parts from the plus post to a point, in order, and the terminals between them, one more than there are parts."""

    parts: tuple[str, ...]
    terminals: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Felt:
    """The first part of a way that loses more with a fault: the volts behind it when sound and with the fault.

    ``volts`` is None where nothing leads there any more. ``part`` is empty where the way does not feel it at all.
    """

    part: str
    sound: float
    volts: float | None
    before: tuple[str, ...]


def way_to(now: Operation, start: str, point: str) -> Way:
    """The way current takes from ``start`` to a point as things stand: the one that loses least; empty if none.

    Only paths that conduct count: closed contacts, whole wires, diodes that let it through.
    """
    solution, edges = now.solution, {}
    for branch in network(now.circuit).branches:
        one, other = str(branch.a), str(branch.b)
        if _leads(now, branch.name, one, other):
            edges.setdefault(one, []).append((other, branch.name.split(".")[0]))
            edges.setdefault(other, []).append((one, branch.name.split(".")[0]))
    best: dict[str, tuple[float, tuple[str, ...], tuple[str, ...]]] = {}
    queue: list[tuple[float, tuple[str, ...], tuple[str, ...]]] = [(0.0, (), (start,))]
    while queue:
        cost, parts, terminals = heapq.heappop(queue)
        here = terminals[-1]
        if here in best:
            continue
        best[here] = cost, parts, terminals
        if here == point:
            return Way(parts=parts, terminals=terminals)
        for other, part in edges.get(here, ()):
            if other not in best:
                lost = abs(solution.raw[here] - solution.raw[other])
                heapq.heappush(queue, (cost + lost + WEIGHT_OF_A_PART, (*parts, part), (*terminals, other)))
    return Way(parts=(), terminals=())


def felt(machine: Machine, faults: Sequence[Fault], positions: Mapping[str, str], start: str, point: str) -> Felt:
    """Where on the way to a point these faults first show: the first part that loses a tenth of a volt more than when
    sound, or behind which the way ends."""
    sound = machine.operate(**positions)
    faulty = machine.operate(*faults, **positions)
    way = way_to(sound, start, point)
    for number, part in enumerate(way.parts):
        first, second = way.terminals[number], way.terminals[number + 1]
        lost, now_lost = sound.solution.drop(first, second), faulty.solution.drop(first, second)
        if now_lost is None or abs(now_lost) > abs(lost) + FELT_VOLTS:
            return Felt(
                part=part, sound=sound.volts.get(second) or 0.0,
                volts=None if now_lost is None else faulty.volts.get(second), before=way.parts[:number],
            )
    return Felt(part="", sound=sound.volts.get(point) or 0.0, volts=faulty.volts.get(point), before=way.parts)


def sensitivity(
    machine: Machine, positions: Mapping[str, str], point: str, parts: Sequence[str]
) -> Mapping[str, float]:
    """Volts at a point for each ohm more in each of some parts: which of them the reading there depends on.

    A part whose path cannot be named as one (a relay, a unit) is left out. Found by solving with a milliohm more.
    """
    before = machine.operate(**positions).solution.raw[point]
    found = {}
    for part in parts:
        if machine.circuit[part].inside != ("",):
            continue
        more = Fault(id=f"{part} nudged", part=part, edit=Ohms(ohms=NUDGE_OHMS))
        found[part] = (machine.operate(more, **positions).solution.raw[point] - before) / NUDGE_OHMS
    return found


def _leads(now: Operation, path: str, here: str, other: str) -> bool:
    """Whether a path conducts: it carries something, or has nothing to carry and loses nothing."""
    if now.solution.volts.get(here) is None or now.solution.volts.get(other) is None:
        return False
    carried, lost = abs(now.solution.amps.get(path, 0.0)), abs(now.solution.raw[here] - now.solution.raw[other])
    # An open contact stands between volts and carries nothing; a whole wire with nothing in it loses nothing.
    return carried > 1e-9 or lost < 1e-6
