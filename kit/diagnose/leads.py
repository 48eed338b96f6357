"""Where a workshop hand would put two leads on a machine, and how its controls are set meanwhile."""

from collections.abc import Iterator, Mapping

from kit.circuit import Battery, ControlUnit, Terminal
from kit.machines import Machine
from kit.machines.engine import ENGINE

MOST_POSITIONS = 10
MOVE_MINUTES = 0.2


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
    """A filament lamp goes nowhere near a control unit's signals; on its unplugged supply and ground it may."""
    part = machine.circuit[Terminal.read(terminal).part]
    return not isinstance(part, ControlUnit) or terminal.split(".")[1] in ("supply", "ground")


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


def in_words(machine: Machine, positions: Mapping[str, str]) -> str:
    """The controls that are not at rest, in words; "at rest" if all are."""
    moved = [f"{machine.controls[name].title} {position}" for name, position in positions.items()
             if position != machine.controls[name].rest]
    return ", ".join(moved) or "at rest"


def _does(machine: Machine, positions: Mapping[str, str]) -> Iterator[tuple[str, str]]:
    return ((seen.part, seen.word) for seen in machine.operate(**positions).noticed if seen.part != ENGINE or seen.text)
