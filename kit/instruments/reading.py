"""A reading, and the one way an instrument meets a circuit: attached, and the whole solved again."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from kit.circuit import Circuit, Instrument, Part, Terminal
from kit.errors import OperationError
from kit.machines import Operation
from kit.machines.engine import touched
from kit.machines.notices import Notice, notice
from kit.solve import Solution, settle
from kit.solve.branches import network
from kit.solve.case import Case
from kit.solve.kernel import COLD, SETTLED
from kit.solve.solution import State
from kit.solve.time import Course, run

COLD_SHARE = COLD**0.225  # of its hot ohms, what a filament has that has not been lit


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """What an instrument shows with its leads at two terminals, and nothing it does not show.

    ``accepts`` are the words or texts that would be as right to a person reading it (near the edge of a band, either
    neighbour); ``value`` is the number on a meter's display, None where there is none. ``meter_fuse_blown`` is no part
    of what is shown: it is what the meter is left with, and its owner finds out later.
    """

    instrument: str
    leads: tuple[str, str]
    shown: str
    accepts: tuple[str, ...]
    value: float | None = None
    meter_fuse_blown: bool = field(default=False, repr=False)

    def __str__(self) -> str:
        return self.shown


def attach(circuit: Circuit, *body: Part) -> Circuit:
    """The circuit with an instrument's body between its leads. Raises OperationError for a lead on no terminal."""
    own = {part.id for part in body}
    for part in body:
        ends = (part.start, part.end) if isinstance(part, Instrument) else ()
        for end in ends:
            if end.part not in own and end not in circuit.terminals:
                raise OperationError(f"there is no terminal {end}: {circuit.explain_missing(end)}")
    return circuit.add(body)


def put_on(operation: Operation, body: Sequence[Part], *, melted: frozenset[str] = frozenset()) -> Operation:
    """The machine with an instrument on it, solved again: what it does now, whatever the instrument shows.

    Relays and fuses go on from where they stand. A filament goes on cold: first the relays answer its inrush (so short
    that no fuse melts), then the whole settles with it hot, and hysteresis may hold what the inrush pulled in.
    Common practice: a 21 W lamp on a relay coil can crank an engine through an open interlock. The inrush leaves out
    the few milliseconds a coil's current needs to rise, so it is on the side of caution. ``melted`` names fuses of the
    instrument's own that have gone before.
    """
    circuit, before = attach(operation.circuit, *body), operation.state
    closed_switches = operation.closed_switches
    struck = before.closed
    if any(isinstance(part, Instrument) and part.watts for part in body):
        struck = _struck(attach(operation.circuit, *cold(body)), closed_switches, before)
    start = replace(before, closed=struck, melted=before.melted | melted)
    solution = settle(circuit, closed_switches=closed_switches, before=start)
    noticed = notice(operation.circuit, solution, before, running=operation.engine.free)
    kicked = struck - before.closed - solution.state.closed - solution.chattering
    if kicked:
        noticed = tuple(
            Notice(seen.part, seen.word, f"The {circuit[seen.part].title} clicks and lets go at once.")
            if seen.part in kicked else seen
            for seen in noticed
        )
    if operation.machine.engine is None:
        return replace(operation, solution=solution, noticed=noticed)
    engine, seen = touched(operation.machine.engine, operation.engine, solution, noticed)
    return replace(operation, solution=solution, noticed=(*noticed, seen), engine=engine)


def cold(body: Sequence[Part]) -> tuple[Part, ...]:
    """An instrument's body in the moment it is put on: its filaments as plain ohms, a thirteenth of the hot ones."""
    return tuple(
        replace(part, watts=0.0, ohms=part.volts**2 / part.watts * COLD_SHARE)
        if isinstance(part, Instrument) and part.watts else part
        for part in body
    )


def _struck(circuit: Circuit, closed_switches: frozenset[str], before: State) -> frozenset[str]:
    """The relays pulled in by the inrush; as before where it decides nothing within its moment (they chatter)."""
    net = network(circuit)
    if not net.relays:
        return before.closed
    case = Case(net, closed_switches, before)
    return case.state().closed if case.run(melts=False) == SETTLED else before.closed


def across(operation: Operation, body: Sequence[Part]) -> tuple[float, ...]:
    """Volts across an attached instrument's first part, start to end: one figure, or two while a relay chatters."""
    return tuple(swing.across[body[0].id] for swing in swings(put_on(operation, body).solution))


def swings(solution: Solution) -> tuple[Solution, ...]:
    """The solution, or the two it swings between while a relay chatters."""
    return (solution,) if solution.other_swing is None else (solution, solution.other_swing)


def course_with(
    operation: Operation, body: Sequence[Part], moves: Sequence[tuple[float, Mapping[str, str]]], seconds: float,
    *, melted: frozenset[str] = frozenset(),
) -> Course:
    """The machine's course in time with an instrument on it.

    ``moves`` are moments in seconds and the controls moved then, on top of the operation's positions; everything
    starts cold and still at 0 s (``kit.solve.time.run``). ``melted`` as in ``put_on``.
    """
    positions, steps = operation.positions, []
    for at, moved in moves:
        positions = operation.machine.moved(positions, **moved)
        steps.append((at, operation.machine.closed_switches(positions)))
    if not steps or steps[0][0] > 0:
        steps.insert(0, (0.0, operation.machine.closed_switches(operation.positions)))
    before = replace(operation.state, melted=operation.state.melted | melted)
    return run(attach(operation.circuit, *body), steps, seconds, before)


def lead(text: str) -> Terminal:
    """A lead's terminal from its text, such as ``F1.2``."""
    return Terminal.read(text)
