"""What is joined to what on a machine as it stands: along wires and joints, and through contacts that are shut."""

from collections.abc import Iterator, Mapping
from dataclasses import replace
from functools import lru_cache

from kit.circuit import (
    Battery,
    Circuit,
    ControlUnit,
    Joint,
    Magneto,
    Motor,
    Relay,
    StarterSolenoid,
    Switch,
    Terminal,
    Wire,
)
from kit.exercises.situation import Situation
from kit.machines import Machine


def tied(situation: Situation, lead: str) -> frozenset[Terminal]:
    """Every terminal that wires and joints alone tie to a lead, with what is unplugged off."""
    return reached(situation.machine, Terminal.read(lead), situation.off)


@lru_cache(maxsize=4096)
def reached(machine: Machine, start: Terminal, off: frozenset[str]) -> frozenset[Terminal]:
    """Every terminal that wires and joints alone tie to this one."""
    pairs = [
        (part.start, part.end) for part in machine.circuit.parts
        if isinstance(part, (Wire, Joint)) and part.id not in off
    ]
    found = {start}
    while grown := [pair for pair in pairs if (pair[0] in found) != (pair[1] in found)]:
        found.update(end for pair in grown for end in pair)
    return frozenset(found)


def kills_at(situation: Situation, lead: str) -> frozenset[Terminal]:
    """The kill terminals of magnetos that a contact joins to this point as the controls stand, up to either post.

    The contacts are the sound machine's: nobody can know beforehand that one sticks.
    """
    machine, off = situation.machine, situation.off
    kills = frozenset(Terminal(part.id, "kill") for part in machine.circuit.parts if isinstance(part, Magneto))
    rails = frozenset().union(*(reached(machine, post, off) for post in posts_of(machine.circuit)))
    if not kills or Terminal.read(lead) in rails:
        return frozenset()
    joined = tied(situation, lead)
    pairs = [pair for pair in shut(situation) if not rails & set(pair)]
    while grown := [pair for pair in pairs if (pair[0] in joined) != (pair[1] in joined)]:
        joined = joined.union(*(reached(machine, end, off) for pair in grown for end in pair))
    return joined & kills


def shut(situation: Situation) -> Iterator[tuple[Terminal, Terminal]]:
    """The two sides of every contact that is shut on the sound machine as this one stands."""
    state = replace(situation.state, melted=frozenset())
    now = replace(situation, faults=(), probe=None, state=state).operation()
    for part in situation.machine.circuit.parts:
        if part.id in situation.off:
            continue
        if isinstance(part, Switch) and part.id in now.closed_switches:
            yield part.terminals[0], part.terminals[1]
        elif isinstance(part, Relay):
            pulled = part.id in now.state.closed
            if pulled or part.contacts == "change-over":
                yield Terminal(part.id, "30"), Terminal(part.id, "87" if pulled else "87a")


def meet(situation: Situation, pair: set[Terminal], contact: set[Terminal]) -> bool:
    """Whether the two leads stand at the two sides of a contact, there or along its wires."""
    there = [reached(situation.machine, lead, situation.off) & contact for lead in pair]
    return len(there) == 2 and all(there) and there[0] != there[1]


def posts_of(circuit: Circuit) -> frozenset[Terminal]:
    return frozenset(
        Terminal(part.id, name) for part in circuit.parts if isinstance(part, Battery) for name in "+-"
    )


def feeds_starter(situation: Situation, part: Relay | StarterSolenoid) -> bool:
    """Whether a relay's or solenoid's contact leads straight to a starter."""
    _, out = part.makes
    return any(isinstance(situation.machine.circuit[end.part], Motor)
               for end in reached(situation.machine, out, situation.off))


def signal_pins(situation: Situation) -> frozenset[Terminal]:
    """Pins that are made for signals, of units that are plugged in; a magneto's kill terminal is one."""
    pins: set[Terminal] = set()
    for part in situation.machine.circuit.parts:
        if part.id in situation.off:
            continue
        if isinstance(part, ControlUnit):
            pins |= {terminal for terminal in part.terminals if terminal.name not in ("supply", "ground")}
        elif isinstance(part, Magneto):
            pins.add(Terminal(part.id, "kill"))
    return frozenset(pins)


def outputs(situation: Situation) -> frozenset[Terminal]:
    units = (part for part in situation.machine.circuit.parts if isinstance(part, ControlUnit))
    return frozenset(Terminal(unit.id, name) for unit in units for name, _ in unit.outputs)


def isolates(machine: Machine, switch: str) -> bool:
    return switch in machine.circuit and "isolator" in machine.circuit[switch].title


@lru_cache(maxsize=32)
def clamps_of(machine: Machine) -> Mapping[str, frozenset[str]]:
    """What takes the battery off, by post: whatever is joined to its plus, and to its minus.

    Between the two of a pair there is a link, which is neither.
    """
    at: dict[str, set[str]] = {"+": set(), "-": set()}
    posts = posts_of(machine.circuit)
    for part in machine.circuit.parts:
        if not isinstance(part, (Joint, Wire)):
            continue
        for post in posts & {part.start, part.end}:
            if len({end.name for end in reached(machine, post, frozenset()) & posts}) == 1:
                at[post.name].add(part.id)
    return {name: frozenset(parts) for name, parts in at.items()}
