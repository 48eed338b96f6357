"""A plan: which test first, and for each outcome which next, until one unit is left or no test parts what is left.

    from kit.diagnose.plan import plan
    print(plan(table).chart())
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np

from kit.diagnose import gain
from kit.diagnose.belief import count, units_of, weights
from kit.diagnose.search import Search
from kit.diagnose.table import OutcomeTable

BUDGET = 1_000_000  # tests weighed in this and that state, at most, to prove a plan: some seconds


@dataclass(frozen=True, slots=True, kw_only=True)
class End:
    """Where a plan ends: the suspects left, by number, the units they lie in, and the share of cases ending here."""

    suspects: tuple[int, ...]
    units: tuple[str, ...]
    share: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One test of a plan: ``branches`` are the outcomes it may have, by number, and what then follows."""

    test: int
    minutes: float
    share: float
    branches: tuple[tuple[int, "Step | End"], ...]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Plan:
    """A plan and what is known of it.

    ``minutes``: what it takes on average. ``bound``: what every plan takes at least. ``certified``: the two agree, so
    none is better; otherwise it is a good plan, and nobody says best.
    """

    table: OutcomeTable
    root: Step | End
    minutes: float
    bound: float
    certified: bool

    @property
    def steps(self) -> tuple[Step, ...]:
        """All its tests, each before those that follow it."""
        return tuple(_steps(self.root))

    @property
    def ends(self) -> tuple[End, ...]:
        """All its ends, in the order of the chart."""
        return tuple(_ends(self.root))

    @property
    def worst(self) -> float:
        """Minutes of its longest way."""
        return _worst(self.root)

    @property
    def longest(self) -> int:
        """Tests on its longest way."""
        return _longest(self.root)

    def standing(self) -> str:
        """One sentence on how good it is."""
        if self.certified:
            return f"{self.minutes:.1f} minutes on average, and no other order of tests is quicker."
        short = 100 * (1 - self.bound / self.minutes) if self.minutes else 0.0
        return (
            f"{self.minutes:.1f} minutes on average; no order takes less than {self.bound:.1f}, so at most "
            f"{short:.0f} % of that could still be saved."
        )

    def lines(self) -> Iterator[tuple[int, str, str]]:
        """The fault-finding chart: depth, what was shown (empty at the top), and the test or what is left."""
        yield from self._lines(self.root, 0, "")

    def chart(self) -> str:
        """The fault-finding chart as text, one line a test or end."""
        rows = []
        for depth, shown, text in self.lines():
            rows.append("   " * depth + (f"{shown}: " if shown else "") + text)
        return "\n".join(rows)

    def _lines(self, at: Step | End, depth: int, shown: str) -> Iterator[tuple[int, str, str]]:
        if isinstance(at, End):
            names = " or ".join(at.units)
            detail = "; ".join(self.table.suspects[s] for s in at.suspects[:4])
            more = f" and {count(len(at.suspects) - 4, 'more')}" if len(at.suspects) > 4 else ""
            yield depth, shown, f"{names}  ({detail}{more.replace('mores', 'more')})"
            return
        yield depth, shown, f"{self.table.tests[at.test]}  ({at.minutes:g} min)"
        for outcome, then in at.branches:
            yield from self._lines(then, depth + 1, self.table.shown[at.test][outcome])


def plan(
    table: OutcomeTable, weight: np.ndarray | None = None, *, budget: int = BUDGET, search: Search | None = None
) -> Plan:
    """The best plan that can be found from these weights (the table's own chances unless given).

    Some dozen classes of plain cells are solved for good; beyond, branch and bound mostly proves it within ``budget``.
    """
    start = weights(table) if weight is None else weight
    searching = search or Search(table)
    first = searching.found(start, budget)
    root = _grown(searching, start, 1.0, budget)
    # The tree itself is weighed: what it says it takes is what its lines take.
    minutes = _expected(root)
    return Plan(
        table=table, root=root, minutes=minutes, bound=min(first.bound, minutes),
        certified=first.bound >= minutes * (1 - 1e-9),
    )


def by_rule(
    table: OutcomeTable, rule: Callable[[OutcomeTable, np.ndarray], gain.Choice | None] = gain.next_test,
    weight: np.ndarray | None = None,
) -> Plan:
    """The plan that follows a rule, such as ``gain.half_split``, to the same ends; its bound is nought."""
    searching = Search(table, small=0)

    def grow(state: np.ndarray, share: float) -> Step | End:
        chosen = None if searching.over(state) else rule(table, state)
        if chosen is None:
            return _end(table, state, share)
        return _step(searching, state, chosen.test, share, grow)

    root = grow(weights(table) if weight is None else weight, 1.0)
    return Plan(table=table, root=root, minutes=_expected(root), bound=0.0, certified=False)


def _grown(searching: Search, state: np.ndarray, share: float, budget: int) -> Step | End:
    test = searching.found(state, budget).test
    if test is None:
        return _end(searching.table, state, share)
    return _step(searching, state, test, share, lambda rest, part: _grown(searching, rest, part, 0))


def _step(
    searching: Search, state: np.ndarray, test: int, share: float, grow: Callable[[np.ndarray, float], Step | End]
) -> Step:
    total = state.sum()
    return Step(
        test=test, minutes=float(searching.table.minutes[test]), share=share,
        branches=tuple(
            (outcome, grow(rest, share * float(rest.sum() / total))) for outcome, rest in searching.parts(state, test)
        ),
    )


def _end(table: OutcomeTable, state: np.ndarray, share: float) -> End:
    suspects = np.flatnonzero(state > 0)
    order = suspects[np.lexsort((suspects, -state[suspects]))]
    return End(suspects=tuple(map(int, order)), units=units_of(table, map(int, order)), share=share)


def _steps(at: Step | End) -> Iterator[Step]:
    if isinstance(at, Step):
        yield at
        for _, then in at.branches:
            yield from _steps(then)


def _ends(at: Step | End) -> Iterator[End]:
    if isinstance(at, End):
        yield at
    else:
        for _, then in at.branches:
            yield from _ends(then)


def _expected(root: Step | End) -> float:
    return sum(step.minutes * step.share for step in _steps(root))


def _worst(at: Step | End) -> float:
    return 0.0 if isinstance(at, End) else at.minutes + max(_worst(then) for _, then in at.branches)


def _longest(at: Step | End) -> int:
    return 0 if isinstance(at, End) else 1 + max(_longest(then) for _, then in at.branches)
