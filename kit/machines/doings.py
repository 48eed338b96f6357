"""What a machine does in each position of its controls, told once for all positions in which a person notices the same.

"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import product

from kit.machines.machine import Machine
from kit.machines.operation import Operation

Way = Mapping[str, tuple[str, ...]]


@dataclass(frozen=True, slots=True, kw_only=True)
class Doing:
    """What is noticed, sentence by sentence, in all positions of some ways the controls may stand.

    A way gives each control the positions it may have, any with any. ``number`` is how many positions that is together.
    """

    noticed: tuple[str, ...]
    ways: tuple[Way, ...]
    number: int


def doings(machine: Machine, operations: Iterable[Operation]) -> tuple[Doing, ...]:
    """What the machine does in these operations, each from rest; the first is what it does at rest.

    Of the others only the sentences are told that are not noticed at rest; all of them where none is new.
    """
    names = tuple(machine.controls)
    found: dict[tuple[str, ...], list[tuple[str, ...]]] = {}
    for now in operations:
        noticed = tuple(notice.text for notice in now.noticed if notice.text)
        found.setdefault(noticed, []).append(tuple(now.positions[name] for name in names))
    at_rest = tuple(control.rest for control in machine.controls.values())
    order = sorted(found, key=lambda noticed: (at_rest not in found[noticed], found[noticed][0] != at_rest))
    first = set(order[0]) if order else set()
    told = []
    for noticed in order:
        new = tuple(text for text in noticed if text not in first)
        told.append(Doing(
            noticed=(new or noticed) if noticed is not order[0] else noticed, number=len(found[noticed]),
            ways=ways([machine.controls[name].positions for name in names], names, found[noticed]),
        ))
    return tuple(told)


def ways(
    known: Sequence[tuple[str, ...]], names: Sequence[str], members: Sequence[tuple[str, ...]]
) -> tuple[Way, ...]:
    """A few ways that hold exactly these positions, the widest that can be found from each position on.

    >>> [dict(way) for way in ways([("off", "on"), ("up", "down")], ["key", "lever"], [("on", "up"), ("on", "down")])]
    [{'key': ('on',), 'lever': ('up', 'down')}]
    """
    inside, left, found = set(members), dict.fromkeys(members), []
    while left:
        start = next(iter(left))
        orders = (range(len(names)), range(len(names) - 1, -1, -1))
        wide = max((_widened(start, known, inside, order) for order in orders), key=_size)
        for position in product(*wide):
            left.pop(position, None)
        found.append(dict(zip(names, wide, strict=True)))
    return tuple(found)


def way_in_words(machine: Machine, way: Way) -> str:
    """A way as a person would say it: controls that may stand anyhow are left out.

    What stands at rest is named only where the control has to: "key on, stand up or down" leaves nothing open.
    """
    said = [
        f"{machine.controls[name].title} {' or '.join(positions)}" for name, positions in way.items()
        if len(positions) < len(machine.controls[name].positions)
    ]
    return ", ".join(said) or "whatever is moved"


def _widened(
    start: tuple[str, ...], known: Sequence[tuple[str, ...]], inside: set[tuple[str, ...]], order: Iterable[int]
) -> list[tuple[str, ...]]:
    wide = [(position,) for position in start]
    for at in order:
        for more in known[at]:
            if more in wide[at]:
                continue
            slice_ = [*wide[:at], (more,), *wide[at + 1:]]
            if all(position in inside for position in product(*slice_)):
                wide[at] = tuple(position for position in known[at] if position in (*wide[at], more))
    return wide


def _size(wide: Sequence[tuple[str, ...]]) -> int:
    number = 1
    for positions in wide:
        number *= len(positions)
    return number
