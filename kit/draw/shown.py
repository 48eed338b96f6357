"""What a drawing may show: the states of switches, relays and fuses, and of the conductors."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

from kit.circuit import Circuit, Fault, Fuse, Open, Relay, ShortTo, StarterSolenoid, Switch, Terminal
from kit.machines.machine import Machine
from kit.machines.operation import Operation
from kit.machines.standing import standing
from kit.solve import Solution

# While a relay chatters, a conductor whose volts swing by this share of the machine's or more chatters with it.
SWING_FROM = 1 / 12


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """What may be seen. Ids of parts, and a state for each terminal by its text; no nodes: all conductors in ink.

    ``closed``: switches closed and relays pulled in; ``blown``: fuses seen blown; ``out``: fuses pulled out of their
    holder; ``nodes``: ``live``, ``ground``, ``floating`` or ``chattering`` for texts such as ``K1.86``.
    """

    closed: frozenset[str] = frozenset()
    blown: frozenset[str] = frozenset()
    out: frozenset[str] = frozenset()
    nodes: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))


AT_REST = Shown()


def at_rest(machine: Machine) -> Shown:
    """A machine nobody has touched: its controls at rest, and what they close in that position closed."""
    return Shown(closed=machine.closed_switches(machine.positions()))


def plain(operation: Operation) -> Shown:
    """What anyone can see of an operation: how its controls stand. Relays are drawn at rest and fuses sound."""
    return Shown(closed=operation.closed_switches)


def tell_all(operation: Operation) -> Shown:
    """Everything: switches stuck, relays pulled in or welded, fuses blown, and the state of every conductor."""
    machine, solution = operation.machine, operation.solution
    opened = {fault.part for fault in operation.showing if isinstance(fault.edit, Open) and not fault.edit.at}
    bridged = {fault.part for fault in operation.showing if _bridges_contact(fault, operation.circuit)}
    closed = operation.closed_switches | solution.state.closed
    return Shown(
        closed=(closed - opened) | bridged,
        blown=solution.state.melted | {part for part in opened if isinstance(operation.circuit[part], Fuse)},
        nodes=MappingProxyType(_node_states(solution, machine.volts)),
    )


def _bridges_contact(fault: Fault, circuit: Circuit) -> bool:
    """Whether a fault joins the two ends of a switch or of a relay's contact: stuck closed, welded."""
    if not isinstance(fault.edit, ShortTo) or fault.part not in circuit:
        return False
    part = circuit[fault.part]
    ends = ("30", "M") if isinstance(part, StarterSolenoid) else part.terminal_names
    return isinstance(part, (Switch, Relay, StarterSolenoid)) and {fault.edit.start, fault.edit.end} == {
        Terminal(part.id, name) for name in ends[:2]
    }


def _node_states(solution: Solution, machine_volts: float) -> dict[str, str]:
    """The state of every terminal; chattering where the two halves of a chatter's swing lie far apart."""
    states = {text: standing(volts, machine_volts) for text, volts in solution.volts.items()}
    if solution.other_swing is None:
        return states
    for text, one in solution.volts.items():
        if _swings(one, solution.other_swing.volts[text], machine_volts):
            states[text] = "chattering"
    return states


def _swings(one: float | None, other: float | None, machine_volts: float) -> bool:
    if one is None or other is None:
        return one is not other
    return abs(one - other) >= machine_volts * SWING_FROM
