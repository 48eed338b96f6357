"""The way of the current: from battery plus, through what is in between, through a load, to battery minus.

The way is looked for in the sound circuit, so that it is the same with a fault as without: where a fault stops the
current, the volts along the way say so.
"""

import heapq
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from kit.circuit import (
    LED,
    Alternator,
    Battery,
    Circuit,
    Diode,
    FloatCharger,
    FuelSolenoid,
    Fuse,
    GlowPlug,
    Joint,
    Lamp,
    Motor,
    Part,
    RegulatorRectifier,
    Relay,
    Resistor,
    StarterSolenoid,
    Stator,
    Switch,
    Terminal,
    Wire,
)
from kit.draw.net import CHANGE_OVER, changes_over, pieces_of
from kit.errors import DrawingError
from kit.machines.operation import Operation

# What passing a part adds to a way's length. Shut contacts are as good as wire; open ones are passed where nothing else
# leads on, loads and the wrong way through a diode only at the very last.
PLAIN, OPEN_CONTACT, UNUSED, LOAD, BACKWARDS = 1.0, 6.0, 4.0, 400.0, 1000.0
LOADS = (Lamp, LED, Motor, Resistor, GlowPlug, FuelSolenoid)
SOURCES = (Battery, Stator, RegulatorRectifier, FloatCharger)


@dataclass(frozen=True, slots=True)
class Step:
    """One part of a way, or one path through it (``K1.coil``), from the higher terminal to the lower."""

    name: str
    part: str
    start: Terminal
    end: Terminal


def steps_of(part: Part) -> tuple[Step, ...]:
    """The ways through a part: one, or one for each coil and contact; none through a body of metal.

    None through a source either, but for an alternator's rotor, which the charge lamp feeds.
    """
    if isinstance(part, Alternator):
        return (Step(f"{part.id}.rotor", part.id, Terminal(part.id, "D+"), Terminal(part.id, "body")),)
    if isinstance(part, SOURCES) or not (isinstance(part, (Wire, Joint)) or len(part.terminals) > 1):
        return ()
    if isinstance(part, (Wire, Joint)):
        return (Step(part.id, part.id, part.start, part.end),)
    if pieces_of(part):
        more = (("contact", *CHANGE_OVER[:2]), ("rest", CHANGE_OVER[0], CHANGE_OVER[2])) if changes_over(part) else ()
        return tuple(
            Step(f"{part.id}.{piece}", part.id, Terminal(part.id, first), Terminal(part.id, second))
            for piece, first, second in (*pieces_of(part), *more)
        )
    return (Step(part.id, part.id, *part.terminals[:2]),)


def find_way(now: Operation, load: str) -> tuple[Step, ...]:
    """The steps from battery plus to battery minus through a load: a part (``M1``), or a path in one (``K1.coil``).

    Where current runs, the way follows the most of it. Raises DrawingError for no such part, one that is no load, or
    one that no way leads through.
    """
    circuit = now.machine.circuit
    steps = [step for part in circuit.parts for step in steps_of(part)]
    wanted = [step for step in steps if load in (step.name, step.part)]
    if not wanted:
        raise DrawingError(f"{now.machine.id}: '{load}' is no load; name a part such as M1 or a path such as K1.coil.")
    here = next((step for step in wanted if step.name.endswith((".coil", ".hold"))), wanted[0])
    plus, minus = _posts(circuit)
    lengths = {step.name: _lengths(circuit[step.part], step, now, here) for step in steps if step.name != here.name}
    others = [step for step in steps if step.name != here.name]
    best: tuple[float, tuple[Step, ...]] | None = None
    for first, last, own in ((here.start, here.end, here), (here.end, here.start, _turned(here))):
        to = _shortest(others, lengths, plus, first, {minus, last})
        if to is None:
            continue
        passed = {end for step in to[1] for end in (step.start, step.end)} - {first}
        back = _shortest(others, lengths, last, minus, passed | {first})
        if back is not None and (best is None or to[0] + back[0] < best[0]):
            best = (to[0] + back[0], (*to[1], own, *back[1]))
    if best is None:
        raise DrawingError(f"{now.machine.id}: no way leads from battery plus through {load} to battery minus.")
    return best[1]


def read_way(now: Operation, terminals: Sequence[str]) -> tuple[Step, ...]:
    """The steps between terminals given one after another; raises DrawingError where two are not joined by one part."""
    circuit = now.machine.circuit
    named = [Terminal.read(text) for text in terminals]
    for terminal in named:
        if terminal not in circuit.terminals:
            raise DrawingError(f"{now.machine.id}: {circuit.explain_missing(terminal)}")
    steps = [step for part in circuit.parts for step in steps_of(part)]
    way = []
    for one, other in pairwise(named):
        found = next((step for step in steps if {step.start, step.end} == {one, other}), None)
        if found is None:
            raise DrawingError(f"{now.machine.id}: no one part lies between {one} and {other}; name every terminal.")
        way.append(found if found.start == one else _turned(found))
    if not way:
        raise DrawingError("a way needs two terminals or more, such as [\"G1.+\", \"X1.clamp\"].")
    return tuple(way)


def _turned(step: Step) -> Step:
    return Step(step.name, step.part, step.end, step.start)


def _posts(circuit: Circuit) -> tuple[Terminal, Terminal]:
    """The highest and the lowest post: of two batteries in series, the plus and the minus no other is joined to."""
    batteries = [part for part in circuit.parts if isinstance(part, Battery)]
    if not batteries:
        raise DrawingError("this circuit has no battery, so no current runs.")
    near = {
        battery.id: _reach(circuit, battery.terminals[1], {other.terminals[0] for other in batteries})
        for battery in batteries
    }
    fed = set().union(*near.values())
    first = next((battery for battery in batteries if battery.terminals[0] not in fed), batteries[0])
    last = next((battery for battery in batteries if not near[battery.id]), batteries[-1])
    return first.terminals[0], last.terminals[1]


def _reach(circuit: Circuit, start: Terminal, wanted: Collection[Terminal]) -> set[Terminal]:
    """Which of the posts wanted are joined to a terminal by nothing but wires and joints."""
    seen, todo = {start}, [start]
    while todo:
        here = todo.pop()
        for part in circuit.parts:
            if isinstance(part, (Wire, Joint)) and here in (part.start, part.end):
                far = part.end if here == part.start else part.start
                if far not in seen:
                    seen.add(far)
                    todo.append(far)
    return seen & set(wanted)


def _lengths(part: Part, step: Step, now: Operation, load: Step) -> tuple[float, float]:
    """What a step adds to a way's length, taken forwards and backwards."""
    if isinstance(part, LOADS) or not isinstance(part, (Wire, Joint, Fuse, Switch, Diode, Relay, StarterSolenoid)):
        return LOAD, LOAD
    if step.name.endswith((".coil", ".pull", ".hold")):
        return LOAD, LOAD
    length = PLAIN
    if isinstance(part, (Switch, Relay, StarterSolenoid)):
        shut = part.id in now.state.closed or part.id in now.machine.closed_switches(now.positions)
        shut = shut != step.name.endswith(".rest")
        length = PLAIN if shut else OPEN_CONTACT
    amps = abs(now.amps.get(load.name, 0.0))
    if amps > 1e-3:
        share = min(1.0, abs(now.amps.get(step.name, 0.0)) / amps)
        length += UNUSED * (1 - share)
    return length, BACKWARDS if isinstance(part, Diode) else length


def _shortest(
    steps: Sequence[Step], lengths: Mapping[str, tuple[float, float]], start: Terminal, goal: Terminal,
    avoid: Collection[Terminal],
) -> tuple[float, tuple[Step, ...]] | None:
    """The shortest way from one terminal to another past none of some others; None where there is none."""
    touching: dict[Terminal, list[Step]] = {}
    for step in steps:
        touching.setdefault(step.start, []).append(step)
        touching.setdefault(step.end, []).append(_turned(step))
    number = {id(step): n for n, step in enumerate(step for near in touching.values() for step in near)}
    forwards = {(step.name, step.start) for step in steps}
    queue: list[tuple[float, int, Terminal, tuple[Step, ...]]] = [(0.0, -1, start, ())]
    done: set[Terminal] = set(avoid) - {goal, start}
    while queue:
        length, _, here, way = heapq.heappop(queue)
        if here == goal:
            return length, way
        if here in done:
            continue
        done.add(here)
        for step in touching.get(here, ()):
            if step.end not in done:
                more = lengths[step.name][0 if (step.name, step.start) in forwards else 1]
                heapq.heappush(queue, (length + more, number[id(step)], step.end, (*way, step)))
    return None
