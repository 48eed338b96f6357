"""What the solver hands back: states that carry over, and the settled circuit."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import Enum
from functools import cached_property


@dataclass(frozen=True, slots=True, kw_only=True)
class State:
    """What a circuit remembers: the ids of relays pulled in and of fuses melted."""

    closed: frozenset[str] = frozenset()
    melted: frozenset[str] = frozenset()


AT_REST = State()


class Outcome(Enum):
    """How a case ends.

    SETTLED: one more full pass flips no relay and moves no device by more than 1 µV. LATCHED: settled too, but another
    relay state would be just as consistent: history decided. CHATTERS: no relay state is consistent.
    """

    SETTLED = "settled"
    LATCHED = "latched"
    CHATTERS = "chatters"


@dataclass(frozen=True, kw_only=True)
class Solution:
    """A settled circuit.

    ``volts``: terminal text → volts against the reference, None where it floats. ``island``: terminal text → label;
    terminals with one label conduct to each other. ``amps``: path → amps from its start to its end (a battery's: out
    of plus). ``across``: path → volts across it, 0 where the path itself is broken. ``speeds``: motor → share of
    healthy cranking speed. While a relay chatters the figures are those of one half of the swing; ``other_swing``
    holds the other, and ``chattering`` the relays that move. Where something turns the figures are means over a turn,
    and ``alternates`` has the effective volts of what alternates about them across each path (left out: none).
    ``outside_ohms``: magneto → ohms from its kill terminal to its ground through everything but itself.
    """

    volts: Mapping[str, float | None]
    island: Mapping[str, int]
    amps: Mapping[str, float]
    across: Mapping[str, float]
    speeds: Mapping[str, float]
    state: State
    outcome: Outcome
    chattering: frozenset[str] = frozenset()
    other_swing: "Solution | None" = None
    raw: Mapping[str, float]
    alternates: Mapping[str, float] = field(default_factory=dict)
    outside_ohms: Mapping[str, float] = field(default_factory=dict)

    def drop(self, start: str, end: str) -> float | None:
        """Volts of ``start`` against ``end``: exact inside one island, None across two."""
        if self.island[start] != self.island[end]:
            return None
        return self.raw[start] - self.raw[end]

    def effective(self, path: str) -> float:
        """Volts across a path as a filament feels them: mean and alternating together, without a sign."""
        return math.hypot(self.across[path], self.alternates.get(path, 0.0))

    @cached_property
    def floating(self) -> frozenset[str]:
        """The terminals with no conducting path to the reference."""
        return frozenset(name for name, value in self.volts.items() if value is None)
