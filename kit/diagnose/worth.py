"""What an act was worth: the value of a state, of an act in it, and where a job's minutes went.

One stated value runs through all of it. V̂ of a state is what the rule "most bits a minute" takes from there on average,
small states at their proved optimum; Q̂ of an act is its minutes and the mean V̂ of what it may leave. Then, whatever
was done and shown,

    minutes spent = V̂ at the start − V̂ at the end + Σ regret + Σ luck + Σ gap

holds exactly: regret is Q̂ of the act less the least Q̂, luck what was left less what was to be expected, and the gap the
least Q̂ less V̂: nought where V̂ is proved, and otherwise the measure of how far V̂ can be trusted. Nothing is clamped.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from kit.diagnose import gain
from kit.diagnose.search import Search
from kit.diagnose.table import OutcomeTable
from kit.errors import DiagnosisError

FAIR_SHARE, FAIR_MINUTES = 0.15, 2.0  # within these of the best an act is as good (trade.md: fairness)
SUMS = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """One act, weighed: ``value`` V̂ before, ``left`` V̂ after, ``worth`` Q̂ of the act, ``best`` the least Q̂.

    ``instead`` is the test with the least Q̂, by number; None where the act itself was best or nothing was left to do.
    """

    minutes: float
    value: float
    best: float
    worth: float
    left: float
    instead: int | None
    proved: bool

    @property
    def regret(self) -> float:
        """Minutes the act was worse than the best one; never below nought."""
        return self.worth - self.best

    @property
    def luck(self) -> float:
        """Minutes what was shown left more (or, below nought, less) to do than was to be expected."""
        return self.left - (self.worth - self.minutes)

    @property
    def gap(self) -> float:
        """The least Q̂ less V̂."""
        return self.best - self.value

    @property
    def counted(self) -> float:
        """The regret that counts: none for an act within 15 % or 2 minutes of the best."""
        return 0.0 if self.regret <= max(FAIR_SHARE * self.best, FAIR_MINUTES) else self.regret


@dataclass(frozen=True, slots=True, kw_only=True)
class Account:
    """Where the minutes of a job went."""

    acts: tuple[Judged, ...]

    @property
    def spent(self) -> float:
        return sum(act.minutes for act in self.acts)

    @property
    def expected(self) -> float:
        """V̂ at the start."""
        return self.acts[0].value if self.acts else 0.0

    @property
    def left(self) -> float:
        """V̂ at the end: nought if the fault was pinned down."""
        return self.acts[-1].left if self.acts else 0.0

    @property
    def regret(self) -> float:
        return sum(act.regret for act in self.acts)

    @property
    def luck(self) -> float:
        return sum(act.luck for act in self.acts)

    @property
    def gap(self) -> float:
        return sum(act.gap for act in self.acts)

    @property
    def efficiency(self) -> float:
        """V̂ at the start over itself and the regret that counts; 1 where there was nothing to find out."""
        counted = sum(act.counted for act in self.acts)
        return self.expected / (self.expected + counted) if self.expected + counted > 0 else 1.0


class Worth:
    """V̂ and Q̂ over one table. Remembers what it has worked out; ask one Worth for a whole class."""

    def __init__(self, table: OutcomeTable, search: Search | None = None) -> None:
        self.table = table
        self.search = search or Search(table)

    def value(self, weight: np.ndarray) -> float:
        """V̂: minutes still to go on average from these weights, nought where one unit or ambiguity group is left."""
        return self.search.greedy(weight) if weight.any() else 0.0

    def of_test(self, weight: np.ndarray, test: int, minutes: float | None = None) -> float:
        """Q̂ of a test of the table; ``minutes`` as things stood, the table's unless given."""
        return self.of_parts(
            [rest for _, rest in self.search.parts(weight, test)],
            float(self.table.minutes[test]) if minutes is None else minutes,
        )

    def of_parts(self, parts: Sequence[np.ndarray], minutes: float) -> float:
        """Q̂ of any act that splits the weights into ``parts``, one for each thing it may show."""
        total = sum(float(part.sum()) for part in parts)
        return minutes + sum(float(part.sum()) / total * self.value(part) for part in parts if part.any())

    def split(self, weight: np.ndarray, shown: Sequence[object]) -> tuple[np.ndarray, ...]:
        """The parts an act splits the weights into when ``shown[s]`` is what suspect s would show: equal or not.

        Suspects that show None cannot be split and stay in every part's share: pass what can be compared.
        """
        if len(shown) != len(weight):
            raise DiagnosisError(f"{len(weight)} suspects need as many outcomes, not {len(shown)}.")
        return tuple(
            np.where([mine == one for mine in shown], weight, 0.0) for one in dict.fromkeys(shown)
        )

    def best(self, weight: np.ndarray) -> tuple[float, int | None]:
        """The least Q̂ and its test (None: nothing left to do): proved in a small state, else of a short list.

        The list is the tests that tell most a minute, as many as a rollout tries.
        """
        if not weight.any() or self.search.over(weight):
            return 0.0, None
        solved = self.search.solved(weight, self.search.small)
        if solved is not None:
            return solved.minutes, solved.test
        order = gain.best_first(gain.bits(self.table, weight, True), self.table.minutes)
        order = order or gain.best_first(gain.bits(self.table, weight), self.table.minutes)
        if not order:
            return 0.0, None
        return min((self.of_test(weight, test), test) for test in order[: self.search.width])

    def judged(
        self, weight: np.ndarray, parts: Iterable[np.ndarray], shown: int, minutes: float
    ) -> Judged:
        """Weigh an act that took ``minutes``, split the weights into ``parts``, and left ``parts[shown]``."""
        pieces = list(parts)
        if abs(sum(float(part.sum()) for part in pieces) - weight.sum()) > SUMS * max(1.0, weight.sum()):
            raise DiagnosisError("the parts an act may leave must sum to what there was before it.")
        value = self.value(weight)
        least, test = self.best(weight)
        worth = self.of_parts(pieces, minutes)
        proved = self.search.solved(weight, self.search.small) is not None if weight.any() else True
        return Judged(
            minutes=minutes, value=value, best=min(least, worth), worth=worth, left=self.value(pieces[shown]),
            instead=test if least < worth else None, proved=proved,
        )
