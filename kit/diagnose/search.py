"""The search for a plan: the best order of tests where it can be proved, else a good one and a bound.

A state is the suspects' weights. Small states are solved for good (``exact``); larger ones by branch and bound
(``wide``) within a budget counted in tests weighed, so that every computer finds the same; where the budget ends, by
looking one test ahead of the greedy rule (a rollout: Bertsekas and Castañón, Journal of Heuristics 5, 1999).
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np

from kit.diagnose import bounds, exact, gain
from kit.diagnose.belief import groups
from kit.diagnose.table import OutcomeTable
from kit.diagnose.wide import State, Wide
from kit.errors import DiagnosisError

SMALL = 12  # classes up to which a state met in passing is solved for good
AT_ONCE = 20_000  # tests branch and bound weighs where no more is asked for: some hundredths of a second
ROOTS = 8  # searches that are kept, for what comes of their states
WIDTH = 6   # tests a rollout tries at each large state
PROVED = 1e-9  # share by which a bound may miss a value and still prove it


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """What is known of a state: expected minutes of the plan found, a bound below every plan, and its first test.

    ``test`` is None where nothing is left to find out.
    """

    minutes: float
    bound: float
    test: int | None

    @property
    def certified(self) -> bool:
        """Whether no plan is better."""
        return self.bound >= self.minutes * (1.0 - PROVED)


class Search:
    """Plans of one table of plain cells; remembers every state it has met.

    Raises DiagnosisError for a table with other cells: plan on ``OutcomeTable.joined``, without faults that come and
    go (there testing need never end). The weights may well have been lowered by observations of such a kind.
    """

    def __init__(self, table: OutcomeTable, *, small: int = SMALL, width: int = WIDTH) -> None:
        if not table.plain.all():
            raise DiagnosisError("a plan needs plain cells: take joined(), and no fault that comes and goes.")
        self.table = table
        self.small, self.width = small, width
        self.units = np.unique(table.units, return_inverse=True)[1]
        self.group = np.zeros(len(table.suspects), np.int64)
        for number, members in enumerate(groups(table, range(len(table.suspects)))):
            self.group[list(members)] = number
        self.targets = _targets(self.units, self.group)
        self._optima: dict[bytes, tuple] = {}
        self._greedy: dict[bytes, float] = {}
        self._found: dict[bytes, tuple[Found, int]] = {}
        self._roots: list[_Root] = []

    def found(self, weight: np.ndarray, budget: int = 0) -> Found:
        """The plan from a state: proved if small enough or if ``budget`` tests weighed suffice, else a rollout."""
        key = _key(weight)
        known, spent = self._found.get(key, (None, -1))
        if known is None or (spent < budget and not known.certified):
            fresh = self._look(weight, budget)
            # What was found before still holds; the better plan and the higher bound stay.
            if known is not None and known.minutes <= fresh.minutes:
                fresh = Found(minutes=known.minutes, bound=max(known.bound, fresh.bound), test=known.test)
            known = fresh
            self._found[key] = fresh, budget
        return known

    def parts(self, weight: np.ndarray, test: int) -> Iterator[tuple[int, np.ndarray]]:
        """The outcomes a test may have, and the weights each leaves."""
        signs = self.table.signs[:, test]
        for outcome in range(signs.shape[1]):
            rest = weight * signs[:, outcome]
            if rest.any():
                yield outcome, rest

    def greedy(self, weight: np.ndarray) -> float:
        """Expected minutes if the next test is always the one that tells most a minute; small states at their best."""
        solved = self.solved(weight, self.small)
        if solved is not None:
            return solved.minutes
        key = _key(weight)
        if key not in self._greedy:
            chosen = gain.next_test(self.table, weight)
            self._greedy[key] = 0.0 if chosen is None else self.after(weight, chosen.test, self.greedy)
        return self._greedy[key]

    def after(self, weight: np.ndarray, test: int, value: Callable[[np.ndarray], float]) -> float:
        """Minutes of a test, and what then follows it on average."""
        total = weight.sum()
        return float(self.table.minutes[test]) + sum(
            float(rest.sum() / total) * value(rest) for _, rest in self.parts(weight, test)
        )

    def over(self, weight: np.ndarray) -> bool:
        """Whether there is nothing left to find out: one unit or one ambiguity group."""
        suspects = np.flatnonzero(weight > 0)
        if len(np.unique(self.units[suspects])) <= 1:
            return True
        return len(np.unique(self.group[suspects])) <= 1

    def solved(self, weight: np.ndarray, most: int = exact.MOST) -> Found | None:
        """The optimum of a state of at most ``most`` classes; None for any other."""
        if self.over(weight):
            return Found(minutes=0.0, bound=0.0, test=None)
        members, loads, target, tests = self._classes(weight)
        if len(loads) > most:
            return None
        shape = members.tobytes() + np.round(loads / loads.sum(), 12).tobytes()
        if shape not in self._optima:
            self._optima[shape] = exact.optimum(
                self.table.outcomes[np.ix_(members, tests, [0])][:, :, 0], loads / loads.sum(),
                self.table.minutes[tests], target,
            ), tests
        solved, tests = self._optima[shape]
        whole = len(solved.value) - 1
        minutes = float(solved.value[whole])
        return Found(minutes=minutes, bound=minutes, test=int(tests[solved.test[whole]]))

    def bound(self, weight: np.ndarray) -> float:
        """Minutes no plan from here can beat on average."""
        if self.over(weight):
            return 0.0
        members, loads, target, tests = self._classes(weight)
        loads = loads / loads.sum()
        cells, minutes = self.table.outcomes[np.ix_(members, tests, [0])][:, :, 0], self.table.minutes[tests]
        kinds = np.bincount(target, weights=loads)
        masses = np.zeros((len(tests), self.table.most))
        for row, load in zip(cells, loads, strict=True):
            masses[np.arange(len(tests)), row] += load
        needed = -(kinds * np.log2(kinds)).sum()
        apart = bounds.cheapest_apart(cells.T, minutes, target)
        fewest = bounds.fewest_tests(tuple(sorted(kinds)), int((masses > 0).sum(axis=1).max()))
        return max(
            bounds.by_information(masses, minutes, needed), bounds.by_pairs(apart, loads),
            fewest * float(minutes.min()),
        )

    def _look(self, weight: np.ndarray, budget: int) -> Found:
        solved = self.solved(weight, self.small)
        if solved is not None:
            return solved
        wide, state = self._wide(weight)
        if (known := self._known(wide, state)) is not None:
            return known
        worth = gain.bits(self.table, weight, True)
        order = gain.best_first(worth, self.table.minutes)
        if not order:
            order = gain.best_first(gain.bits(self.table, weight), self.table.minutes)
        if not order:
            return Found(minutes=0.0, bound=0.0, test=None)
        least, test = min((self.after(weight, test, self.greedy), test) for test in order[: self.width])
        load = wide.order.load(state)
        # What takes as long as the rollout is looked for as well: then it is known for good.
        low = wide.order.search(state, least * load * (1.0 + PROVED), max(budget, AT_ONCE)) / load
        known = self._known(wide, state) or self.solved(weight)
        if known is not None:
            return known
        minutes = min(least, self.after(weight, test, lambda rest: self.found(rest).minutes))
        return Found(minutes=minutes, bound=min(max(low, self.bound(weight)), minutes), test=test)

    def _wide(self, weight: np.ndarray) -> tuple["_Root", State]:
        """The search that began with this state, or with one it came of, and this state in it."""
        for root in self._roots:
            if (state := root.state(weight, self.group)) is not None:
                return root, state
        members, loads, target, tests = self._classes(weight)
        order = Wide(
            self.table.outcomes[np.ix_(members, tests, [0])][:, :, 0], loads / loads.sum(), self.table.minutes[tests],
            target,
        )
        root = _Root(weight=weight, order=order, tests=tests, members={int(self.group[m]): n
                                                                       for n, m in enumerate(members)})
        self._roots = [root, *self._roots[: ROOTS - 1]]
        return root, order.whole

    def _known(self, root: "_Root", state: State) -> Found | None:
        known = root.order.known(state)
        if known is None:
            return None
        minutes, test = known
        minutes /= root.order.load(state)
        return Found(minutes=minutes, bound=minutes, test=None if test is None else int(root.tests[test]))

    def _classes(self, weight: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
        """Suspects that no test parts count as one: a member of each, their weights, targets, and the useful tests."""
        table = self.table
        suspects = np.flatnonzero(weight > 0)
        cells = table.outcomes[suspects, :, 0]
        tests = np.flatnonzero((cells != cells[0]).any(axis=0))
        _, first, back = np.unique(self.group[suspects], return_index=True, return_inverse=True)
        order = np.argsort(np.argsort(first))
        loads = np.bincount(order[back], weights=weight[suspects])
        members = suspects[np.sort(first)]
        _, target = np.unique(self.targets[members], return_inverse=True)
        return members, loads, target, tests


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Root:
    """A state that branch and bound began with; its tests by number, and its members by ambiguity group."""

    weight: np.ndarray
    order: Wide
    tests: np.ndarray
    members: dict[int, int]

    def state(self, weight: np.ndarray, group: np.ndarray) -> State | None:
        """A state that some of its tests may leave; None for one whose weights are in other proportions."""
        here = weight > 0
        if not (self.weight[here] > 0).all() or np.isin(group[(self.weight > 0) & ~here], group[here]).any():
            return None
        share = weight[here] / self.weight[here]
        if share.max() > share.min() * (1.0 + PROVED):
            return None
        return self.order.state([self.members[one] for one in dict.fromkeys(group[here].tolist())])


def _targets(units: np.ndarray, group: np.ndarray) -> np.ndarray:
    """What each suspect must be told apart as: its unit; an ambiguity group of several units counts for itself."""
    target = units.copy()
    for number in np.unique(group):
        members = group == number
        if len(np.unique(units[members])) > 1:
            target[members] = len(units) + number
    return np.unique(target, return_inverse=True)[1]


def _key(weight: np.ndarray) -> bytes:
    return (np.round(weight / weight.sum(), 12) + 0.0).tobytes()
