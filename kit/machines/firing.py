"""A machine's course in time whose engine may fire: it overruns its starter, moves its switches, and runs by itself.

Whether it fires, and whether it goes on running after a move, is what the operations say (``kit.machines.engine``); the
course says when. A cold diesel fires only once its plugs glow, which takes them their seconds. Those an engine takes to
die are not in it.
"""

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import replace
from itertools import pairwise

from kit.circuit import Fault
from kit.errors import OperationError
from kit.machines.course import MachineCourse, Moment, in_order
from kit.machines.engine import OVERRUN_SHARE, STILL, Engine, EngineState, told
from kit.machines.machine import Machine
from kit.machines.operation import Operation, operate
from kit.solve import AT_REST, State
from kit.solve.time import Runner, set_off

# Turned fast enough it fires after so many seconds: two or three compressions of a warm engine (common practice).
FIRES_AFTER = 0.4
LOOK = 0.02  # seconds between two looks at its speed
GLOWS_FROM = 0.85  # of its hot ohms a plug has once it glows (common practice: orange after some seconds)

# A machine solved with its controls in these positions, going on from a state and from how its engine stood.
Stands = Callable[[Mapping[str, str], State, EngineState], Operation]


def fire_over_time(
    machine: Machine, moves: Sequence[tuple[float, Mapping[str, str]]], seconds: float,
    faults: Collection[str | Fault] = (), runner: type[Runner] = Runner,
) -> MachineCourse:
    """As ``kit.machines.course.over_time``, but the engine fires if it can. OperationError where there is none."""
    if machine.engine is None:
        raise OperationError(f"{machine.id} has no engine that could fire.")
    full = in_order(machine, moves, seconds)
    planted = tuple(machine.fault(fault) if isinstance(fault, str) else fault for fault in faults)

    def stands(positions: Mapping[str, str], state: State, was: EngineState) -> Operation:
        return operate(machine, positions, planted, state, engine=was)

    going = set_off(machine.circuit.plant(*planted), (), AT_REST, runner)
    found = fire(machine, going, full, seconds, stands)
    return MachineCourse(machine=machine, moves=full, conditions=planted, course=going.course(), engine=found)


def fire(
    machine: Machine, going: Runner, moves: Sequence[tuple[float, Mapping[str, str]]], seconds: float, stands: Stands,
    state: State = AT_REST, was: EngineState = STILL,
) -> tuple[Moment, ...]:
    """Take what is ``going`` through these moves (all positions each) to ``seconds``; what is noticed of its engine.

    ``stands`` says whether it would fire, from the ``state`` and from how its engine ``was``; ``going`` is as that has
    it: with an engine that ran, its starter overrun.
    """
    engine = machine.engine
    starter = next(part for part in going.net.parts if part.id == engine.cranked_by)
    runs, hot, found = was.free, was.warm, []
    load = starter.load_amps / OVERRUN_SHARE if runs else starter.load_amps
    for (at, positions), (end, _) in pairwise((*moves, (seconds, {}))):
        now = stands(positions, state, was)
        if runs and not now.running:
            runs = False
            going.load(starter.id, load)
            found.append(Moment(at, told(now.engine)))
        going.switch(machine.closed_switches(positions, running=runs))
        clock, turned = at, 0.0
        while clock < end:
            fires = now.running and not runs
            step = min(end, clock + LOOK) if fires else end
            going.run(step)
            hot |= _glowing(engine, going)
            turned = turned + step - clock if going.speed(starter.id) >= engine.fires_from else 0.0
            clock = step
            if fires and turned >= FIRES_AFTER and (hot or not engine.plugs):
                runs = True
                going.load(starter.id, OVERRUN_SHARE * load)
                going.switch(machine.closed_switches(positions, running=True))
                found.append(Moment(round(clock, 3), told(engine.started(hot))))
        # One that is let go before it has fired stands.
        state, was = now.state, replace(now.engine if runs else STILL, warm=hot)
    return tuple(found)


def _glowing(engine: Engine, going: Runner) -> frozenset[str]:
    """The glow plugs that are hot enough by now."""
    plugs = {going.net.branches[i].name: (k, i) for k, i in enumerate(going.lamp)}
    return frozenset(
        plug for plug in engine.plugs if plug in plugs
        and going.warm[plugs[plug][0]] >= GLOWS_FROM * (1 + going.case.p2[plugs[plug][1]]) ** 0.225
    )
