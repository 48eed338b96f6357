"""Five boxes, two of whose outputs are read: which of them, alone or together, could be the fault.

The board is the published one (de Kleer & Williams, Artificial Intelligence 32, 1987): three boxes multiply, two add;
the middle one feeds both outputs. A box at fault may put out anything.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import chain, combinations

BOXES = ("M1", "M2", "M3", "A1", "A2")


@dataclass(frozen=True, slots=True, kw_only=True)
class BoxesAlone:
    """How many of the five boxes could, each by itself, show these two readings; figures as text."""

    inputs: str
    first: str
    second: str


def sound_readings(inputs: tuple[float, ...]) -> tuple[float, float]:
    """What the sound board shows at its two outputs.

    >>> sound_readings((3, 2, 2, 3, 3))
    (12, 12)
    """
    a, b, c, d, e = inputs
    return a * c + b * d, b * d + c * e


def explains(inputs: tuple[float, ...], first: float, second: float, bad: frozenset[str]) -> bool:
    """Whether the board could show this with just these boxes free to put out anything."""
    a, b, c, d, e = inputs
    # Each sound adder that is fed by a sound outer box asks one figure of the middle box; that box has its own.
    asked = {first - a * c} if not bad & {"M1", "A1"} else set()
    asked |= {second - c * e} if not bad & {"M3", "A2"} else set()
    asked |= {b * d} if "M2" not in bad else set()
    return len(asked) <= 1


def least(inputs: tuple[float, ...], first: float, second: float) -> Iterator[frozenset[str]]:
    """The smallest sets of boxes that explain the readings, none of them within another; smaller ones first."""
    found: list[frozenset[str]] = []
    for bad in map(frozenset, chain.from_iterable(combinations(BOXES, size) for size in range(len(BOXES) + 1))):
        if explains(inputs, first, second, bad) and not any(one <= bad for one in found):
            found.append(bad)
            yield bad


def boxes_alone(inputs: tuple[float, ...], first: float, second: float) -> float:
    """How many boxes explain the readings each by itself."""
    return float(sum(len(bad) == 1 for bad in least(inputs, first, second)))


def wrong_boxes(inputs: tuple[float, ...], first: float, second: float) -> dict[str, float]:
    """What slips would answer: all boxes on a wrong output's way, pairs counted as well, all five."""
    right = sound_readings(inputs)
    ways = ({"M1", "M2", "A1"}, {"M2", "M3", "A2"})
    on_the_way = set().union(*(way for way, reading, sound in zip(ways, (first, second), right, strict=True)
                               if reading != sound))
    return {
        "on the way": float(len(on_the_way)), "with pairs": float(len(list(least(inputs, first, second)))),
        "all five": float(len(BOXES)),
    }


def figures_of_boxes(filled: Mapping[str, str]) -> tuple[tuple[float, ...], float, float]:
    """Inputs and readings of a ``BoxesAlone`` whose texts are filled."""
    return tuple(map(float, filled["inputs"].split())), float(filled["first"]), float(filled["second"])
