"""Which test points follow one another along the wire: where the arrow keys lead."""

from kit.circuit import Terminal
from kit.machines import Machine


def along(machine: Machine) -> dict[str, list[str]]:
    """For each test point, those reached through parts without passing another test point, in the file's order."""
    joined: dict[Terminal, list[Terminal]] = {}
    for part in machine.circuit.parts:
        ends = [*part.terminals, *filter(None, (getattr(part, "start", None), getattr(part, "end", None)))]
        for end in ends:
            joined.setdefault(end, []).extend(other for other in ends if other != end)
    return {str(point): [str(other) for other in _next(point, joined, machine)] for point in machine.points}


def _next(point: Terminal, joined: dict[Terminal, list[Terminal]], machine: Machine) -> list[Terminal]:
    seen, ends, found = {point}, [point], []
    while ends:
        for other in joined.get(ends.pop(0), ()):
            if other in seen:
                continue
            seen.add(other)
            (found if other in machine.points else ends).append(other)
    return found
