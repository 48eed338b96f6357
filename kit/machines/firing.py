"""A machine's course in time whose engine may fire: it overruns its starter, moves its switches, and runs by itself.

Whether it fires, and whether it goes on running after a move, is what the operations say (``kit.machines.engine``); the
course says when. So the seconds a glow plug needs, and those an engine takes to die, are not in it.
"""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import replace
from itertools import pairwise

from kit.circuit import Fault
from kit.errors import OperationError
from kit.machines.course import MachineCourse, Moment, in_order
from kit.machines.engine import OVERRUN_SHARE, STILL, told
from kit.machines.machine import Machine
from kit.machines.operation import operate
from kit.solve import AT_REST
from kit.solve.time import Runner

# Turned fast enough it fires after so many seconds: two or three compressions of a warm engine (common practice).
FIRES_AFTER = 0.4
LOOK = 0.02  # seconds between two looks at its speed


def fire_over_time(
    machine: Machine, moves: Sequence[tuple[float, Mapping[str, str]]], seconds: float,
    faults: Collection[str | Fault] = (), runner: type[Runner] = Runner,
) -> MachineCourse:
    """As ``kit.machines.course.over_time``, but the engine fires if it can. OperationError where there is none."""
    engine = machine.engine
    if engine is None:
        raise OperationError(f"{machine.id} has no engine that could fire.")
    full = in_order(machine, moves, seconds)
    planted = tuple(machine.fault(fault) if isinstance(fault, str) else fault for fault in faults)
    starter = machine.circuit.plant(*planted)[engine.cranked_by]
    going = runner(machine.circuit.plant(*planted), (), AT_REST)
    state, was, runs, found = AT_REST, STILL, False, []
    for (at, positions), (end, _) in pairwise((*full, (seconds, {}))):
        now = operate(machine, positions, planted, state, engine=was)
        if runs and not now.running:
            runs = False
            going.load(starter.id, starter.load_amps)
            found.append(Moment(at, told(now.engine)))
        going.switch(machine.closed_switches(positions, running=runs))
        clock, turned = at, 0.0
        while clock < end:
            fires = now.running and not runs
            step = min(end, clock + LOOK) if fires else end
            going.run(step)
            turned = turned + step - clock if going.speed(starter.id) >= engine.fires_from else 0.0
            clock = step
            if fires and turned >= FIRES_AFTER:
                runs = True
                going.load(starter.id, OVERRUN_SHARE * starter.load_amps)
                going.switch(machine.closed_switches(positions, running=True))
                found.append(Moment(round(clock, 3), told(now.engine)))
        # One that is let go before it has fired stands.
        state, was = now.state, now.engine if runs else replace(STILL, warm=now.engine.warm)
    return MachineCourse(
        machine=machine, moves=full, conditions=planted, course=going.course(), engine=tuple(found),
    )
