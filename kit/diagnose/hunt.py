"""The order of work on a fault that comes and goes: which thing to stir next, and what that is worth.

At rest all such suspects look alike, so an outcome table has nothing to tell them apart by. What tells is to move or
warm one after another, and the best order of that is known: most chance a minute first (two causes: Heckerman, Breese
and Rommelse 1995; for more, the same rule pair by pair).
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

import numpy as np

from kit.diagnose.worth import Judged


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Stirred:
    """Suspects that come and go, as an account needs them: names, shares, minutes to stir each."""

    suspects: tuple[str, ...]
    priors: np.ndarray
    minutes: np.ndarray


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Hunt:
    """V̂ and Q̂ of a hunt: what stirring one suspect after another takes, most chance a minute first."""

    table: Stirred
    parts: tuple[str, ...] = field(default=())

    def value(self, weight: np.ndarray) -> float:
        """Minutes to be expected until one part is met, or the last is left; nought where one part is left.

        >>> two = Stirred(suspects=("a", "b"), priors=np.array([0.9, 0.1]), minutes=np.array([10.0, 4.0]))
        >>> Hunt(table=two).value(np.array([0.9, 0.1])), Hunt(table=two).value(np.array([0.9, 0.0]))
        (4.0, 0.0)
        """
        found: dict[object, tuple[float, float]] = {}
        for n in np.flatnonzero(weight > 0):
            part = self.parts[n] if self.parts else n
            chance, minutes = found.get(part, (0.0, 0.0))
            found[part] = (chance + float(weight[n]), max(minutes, float(self.table.minutes[n])))
        if len(found) <= 1:
            return 0.0
        # Whichever is kept for the end need not be stirred: it is what is left. The others go by chance a minute.
        order = sorted(found.values(), key=lambda each: (-each[0] / each[1], each))
        return min(mean_minutes(order[:n] + order[n + 1 :], order[n][0]) for n in range(len(order)))

    def judged(self, weight: np.ndarray, parts: Iterable[np.ndarray], shown: int, minutes: float) -> Judged:
        """Weigh an act as ``Worth.judged`` does; the least Q̂ is that of the order above, never said to be proved."""
        pieces = list(parts)
        total = sum(float(part.sum()) for part in pieces) or 1.0
        worth = minutes + sum(float(part.sum()) / total * self.value(part) for part in pieces)
        value = self.value(weight)
        return Judged(minutes=minutes, value=value, best=min(value, worth), worth=worth,
                      left=self.value(pieces[shown]), instead=None, proved=False)


def mean_minutes(order: Sequence[tuple[float, float]], kept: float) -> float:
    """Mean minutes of stirring these (chance, minutes) in their order, one of chance ``kept`` left for the end."""
    spent = mean = 0.0
    for chance, minutes in order:
        spent += minutes
        mean += chance * spent
    return (mean + kept * spent) / (kept + sum(chance for chance, _ in order))


def hunt(names: Sequence[str], parts: Sequence[str], shares: Sequence[float], minutes: Sequence[float]) -> Hunt:
    """A hunt for one of these suspects, in these parts, from their usual shares and the minutes to stir each."""
    chances = np.array(shares, dtype=float)
    table = Stirred(suspects=tuple(names), priors=chances / chances.sum(), minutes=np.array(minutes, dtype=float))
    return Hunt(table=table, parts=tuple(parts))
