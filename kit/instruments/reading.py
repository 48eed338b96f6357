"""A reading, and the one way an instrument meets a circuit: attached, and the whole solved again."""

from dataclasses import dataclass

from kit.circuit import Circuit, Instrument, Terminal
from kit.errors import OperationError
from kit.machines import Operation
from kit.solve import Solution, settle


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """What an instrument shows with its leads at two terminals, and nothing it does not show.

    ``accepts`` are the words or texts that would be as right to a person reading it (near the edge of a band, either
    neighbour); ``value`` is the number on a meter's display, None where there is none.
    """

    instrument: str
    leads: tuple[str, str]
    shown: str
    accepts: tuple[str, ...]
    value: float | None = None

    def __str__(self) -> str:
        return self.shown


def attach(circuit: Circuit, body: Instrument) -> Circuit:
    """The circuit with an instrument's body between its two leads."""
    for lead in (body.start, body.end):
        if lead not in circuit.terminals:
            raise OperationError(f"there is no terminal {lead}: {circuit.explain_missing(lead)}")
    return circuit.add([body])


def across(operation: Operation, body: Instrument) -> tuple[float, ...]:
    """Volts across an attached instrument, from ``start`` to ``end``: one figure, or two while a relay chatters."""
    solution = settled(operation, body)
    swings = [solution] if solution.other_swing is None else [solution, solution.other_swing]
    return tuple(swing.across[body.id] for swing in swings)


def settled(operation: Operation, body: Instrument) -> Solution:
    """The machine solved again with the instrument on it, its relays and fuses going on from where they stand."""
    return settle(
        attach(operation.circuit, body),
        closed_switches=operation.machine.closed_switches(operation.positions),
        before=operation.state,
    )


def lead(text: str) -> Terminal:
    """A lead's terminal from its text, such as ``F1.2``."""
    return Terminal.read(text)
