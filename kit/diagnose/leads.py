"""Where a workshop hand would put two leads on a machine, and how its controls are set meanwhile."""

import re
from collections.abc import Iterator, Mapping
from functools import lru_cache

from kit.circuit import Battery, ControlUnit, Joint, Magneto, Part, Relay, Switch, Terminal, Wire
from kit.machines import Machine
from kit.machines.engine import ENGINE

MOST_POSITIONS = 10
MOVE_MINUTES = 0.2
CRANK_MINUTES = 0.1  # besides, where the starter turns: announced, hands clear, and nobody cranks who need not


def posts(machine: Machine) -> tuple[str, str]:
    """The machine's minus and plus post: the lowest and the highest of its batteries, at rest."""
    volts = machine.operate().solution.raw
    ends = [str(terminal) for part in machine.circuit.parts if isinstance(part, Battery) for terminal in part.terminals]
    reach = [end for end in ends if Terminal.read(end) in machine.points] or ends
    return min(reach, key=lambda end: volts[end]), max(reach, key=lambda end: volts[end])


def drops(machine: Machine) -> tuple[tuple[str, str], ...]:
    """Pairs of test points with no other test point between them: the ends of a part, a wire, a joint, a contact."""
    neighbours: dict[Terminal, set[Terminal]] = {}
    for part in machine.circuit.parts:
        own = [end for end in (getattr(part, "start", None), getattr(part, "end", None)) if isinstance(end, Terminal)]
        ends = [*part.terminals, *own]
        for one in ends:
            neighbours.setdefault(one, set()).update(other for other in ends if other != one)
    found = []
    order = {terminal: number for number, terminal in enumerate(machine.points)}
    for point in machine.points:
        met, front = {point}, [point]
        while front:
            near = {other for at in front for other in neighbours.get(at, ())} - met
            met |= near
            found += [(str(point), str(other)) for other in sorted(near & set(order), key=order.get)
                      if order[other] > order[point]]
            front = [other for other in near if other not in order]
    return tuple(dict.fromkeys(found))


def lamp_may_touch(machine: Machine, terminal: str) -> bool:
    """A filament lamp goes on no control unit's signals, nor on any wire of theirs, nor on a magneto's kill circuit.

    On a unit's supply and ground it may, and along the wire of an output, which is made to drive something. Of the kill
    circuit whatever a contact may join to the kill wire counts: a lamp from plus would put battery volts on it.
    """
    for part in machine.circuit.parts:
        if isinstance(part, Magneto):
            pins = kill_side(machine, part.id)
        elif isinstance(part, ControlUnit):
            outputs = {f"{part.id}.{name}" for name, _ in part.outputs} - {terminal}
            pins = {str(pin) for pin in part.terminals if pin.name not in ("supply", "ground")} - outputs
        else:
            continue
        if pins & tied(machine, terminal):
            return False
    return True


def kill_circuits(machine: Machine) -> frozenset[str]:
    """The terminals of every magneto's kill circuit; none on a machine that has no magneto."""
    magnetos = (part.id for part in machine.circuit.parts if isinstance(part, Magneto))
    return frozenset().union(*(kill_side(machine, magneto) for magneto in magnetos))


@lru_cache(maxsize=20)
def kill_side(machine: Machine, magneto: str) -> frozenset[str]:
    """The terminals that wires, joints and contacts, open or shut, may join to a magneto's kill terminal, up to ground.
    """
    ground = tied(machine, posts(machine)[0])
    pairs = [ends(part) for part in machine.circuit.parts if can_come_off(part) or isinstance(part, Switch)]
    relays = [part.id for part in machine.circuit.parts if isinstance(part, Relay)]
    pairs += [(f"{relay}.30", f"{relay}.{other}") for relay in relays for other in ("87", "87a")]
    found = {f"{magneto}.kill"}
    while grown := [pair for pair in pairs if (pair[0] in found) != (pair[1] in found) and not ground & set(pair)]:
        found.update(end for pair in grown for end in pair)
    return frozenset(found)


@lru_cache(maxsize=500)
def tied(machine: Machine, terminal: str) -> frozenset[str]:
    """The terminals that wires and joints alone tie to this one, itself among them."""
    pairs = [ends(part) for part in machine.circuit.parts if can_come_off(part)]
    found = {terminal}
    while grown := [pair for pair in pairs if (pair[0] in found) != (pair[1] in found)]:
        found.update(end for pair in grown for end in pair)
    return frozenset(found)


def to_try(machine: Machine, more: tuple[Mapping[str, str], ...] = ()) -> tuple[Mapping[str, str], ...]:
    """Positions of the controls worth trying: at rest, then those the machine's own rules tell apart.

    Of the rules' positions those in which the sound machine does most that it does nowhere earlier come first, at most
    MOST_POSITIONS in all; ``more`` come last in any case.
    """
    rules = [machine.positions(**rule.when) for rule in machine.truth]
    chosen: list[Mapping[str, str]] = [machine.positions()]
    seen = set(_does(machine, chosen[0]))
    does = {tuple(positions.items()): set(_does(machine, positions)) for positions in rules}
    while len(chosen) < MOST_POSITIONS:
        rest = [positions for positions in rules if positions not in chosen]
        if not rest:
            break
        best = max(rest, key=lambda where: (len(does[tuple(where.items())] - seen), -moves(machine, where)))
        chosen.append(best)
        seen |= does[tuple(best.items())]
    wanted = [machine.positions(**given) for given in more]
    return (*chosen, *(positions for positions in wanted if positions not in chosen))


def moves(machine: Machine, positions: Mapping[str, str]) -> int:
    """How many controls are moved from rest."""
    return sum(position != machine.controls[name].rest for name, position in positions.items())


def minutes(machine: Machine, positions: Mapping[str, str]) -> float:
    """What it takes to set the controls so, from rest; a little more where the sound machine cranks then."""
    crank = CRANK_MINUTES if _cranks(machine, tuple(positions.items())) else 0.0
    return round(MOVE_MINUTES * moves(machine, positions) + crank, 3)


@lru_cache(maxsize=500)
def _cranks(machine: Machine, positions: tuple[tuple[str, str], ...]) -> bool:
    return machine.engine is not None and machine.operate(**dict(positions)).word(
        machine.engine.cranked_by).startswith("cranks")


def in_words(machine: Machine, positions: Mapping[str, str]) -> str:
    """The controls that are not at rest, in words; "at rest" if all are."""
    return ", ".join(machine.in_words(positions, unlike=machine.positions())) or "at rest"


def ends(part: Part) -> tuple[str, ...]:
    """The terminals a part has, or the two it joins."""
    own = (getattr(part, "start", None), getattr(part, "end", None))
    return tuple(map(str, part.terminals if None in own else own))


def at(machine: Machine, terminal: str) -> tuple[Part, ...]:
    """Everything that is joined at a terminal but the part it belongs to."""
    own = Terminal.read(terminal).part
    return tuple(part for part in machine.circuit.parts if part.id != own and terminal in ends(part))


def can_come_off(part: Part) -> bool:
    """Whether a hand takes it off and puts it on again: a wire with its plug or lug, a clamp."""
    return isinstance(part, (Wire, Joint))


def reach(machine: Machine, part: Part, least: float) -> float:
    """Minutes to get at a part: those of its nearest test point, ``least`` where none is nearer than that."""
    there = {*ends(part), *map(str, part.terminals)}
    near = [point.minutes for terminal, point in machine.points.items() if str(terminal) in there]
    return max(least, min(near, default=least))


def cold_cranking_amps(machine: Machine) -> float | None:
    """What a battery's label says by the machine's data sheet; None where it says nothing of the kind."""
    found = (re.search(r"(\d+) A cold cranking", str(text)) for text in machine.data.values())
    return next((float(each[1]) for each in found if each), None)


def _does(machine: Machine, positions: Mapping[str, str]) -> Iterator[tuple[str, str]]:
    return ((seen.part, seen.word) for seen in machine.operate(**positions).noticed if seen.part != ENGINE or seen.text)
