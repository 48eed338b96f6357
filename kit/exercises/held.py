"""A control held for some seconds, in time: what an instrument that was on has recorded of it.

A press is run from how the machine stood before it (``kit.solve.time``). Its engine fires in it if the operation says
so, as in the workshop: whoever wants nothing but cranking leaves the fuel or the spark off.
"""

from collections.abc import Mapping, Sequence
from dataclasses import replace

from kit.exercises.situation import Situation
from kit.exercises.tray import OWN_FUSES, TRAY
from kit.instruments import attach, course_with
from kit.machines import Operation
from kit.machines.course import MachineCourse
from kit.machines.engine import EngineState
from kit.machines.firing import fire
from kit.solve import State
from kit.solve.time import set_off


def in_time(before: Situation, moves: Sequence[tuple[float, Mapping[str, str]]], seconds: float) -> MachineCourse:
    """The machine's course from how it stands, its instrument on it; ``moves`` are moments and controls moved then."""
    machine, probe = before.machine, before.probe
    body, melted = (), frozenset()
    if probe is not None and TRAY[probe.instrument].loads:
        taken = TRAY[probe.instrument]
        body = taken.make(machine, probe.leads).body()
        melted = frozenset({OWN_FUSES[taken.spends]} if taken.spends in before.spent else ())
    operation = replace(before, probe=None).operation()
    positions, full = operation.positions, [(0.0, operation.positions)]
    for at, moved in moves:
        positions = machine.moved(positions, **moved)
        full.append((at, positions))
    if full[1:] and full[1][0] == 0.0:
        del full[0]
    found = ()
    if machine.engine is None:
        course = course_with(operation, body, moves, seconds, melted=melted)
    else:
        state = replace(operation.state, melted=operation.state.melted | melted)

        def stands(positions: Mapping[str, str], state: State, was: EngineState) -> Operation:
            return replace(before, positions=positions, state=state, engine=was).operation()

        going = set_off(attach(operation.circuit, *body), operation.closed_switches, state)
        found = fire(machine, going, full, seconds, stands, state, before.engine)
        course = going.course()
    return MachineCourse(
        machine=machine, moves=tuple(full), conditions=operation.showing, course=course, engine=found,
    )
