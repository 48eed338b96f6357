"""Beyond what dynamic programming can try whole: branch and bound on a bound that dynamic programming gives.

If somebody told for nothing which of some bundles of suspects it is in, only the bundle would be left to part: what the
best plans of all bundles take, each weighed with its chance, no plan for the whole can beat. Bundles are small enough
to be solved for good (``exact``), once, and then the bound of every state on the way is looked up in their tables.
"""

import math
from collections.abc import Sequence

import numpy as np

from kit.diagnose import exact
from kit.diagnose.bounds import cheapest_apart, fewest_tests

BUNDLE = 14  # members of a bundle, at most: a sixteenth of the work of 18
PROVED = 1e-9  # share by which two figures may differ and still count as equal
SMALL_BUNDLE = 6  # where there are too many tests to leave out what another beats
FEW = 8  # members below which looking on is quicker than another bound
FINE = 1e12  # weights are counted in parts of this
State = tuple[int, ...]  # for each bundle the set of its members that are left, as bits


class Wide:
    """The best order of tests over any number of members; arguments as of ``exact.optimum``.

    What has been worked out for one state serves the next.
    """

    def __init__(self, cells: np.ndarray, weight: np.ndarray, minutes: np.ndarray, target: np.ndarray) -> None:
        self.members = len(weight)
        # The likeliest together: what parts them is most of what any plan takes.
        order = np.argsort(-weight, kind="stable")
        self.tests, label = exact.worth_a_thought(cells, minutes)
        size = BUNDLE if len(self.tests) <= exact.COMPARED else SMALL_BUNDLE
        self.bundles = [order[first : first + size] for first in range(0, len(order), size)]
        self.cost = minutes[self.tests]
        self.cheapest = float(self.cost.min()) if len(self.tests) else 0.0
        # parts[test, outcome, bundle]: the members of a bundle that show it.
        shown = _numbered(label)
        self.outcomes = int(shown.max()) + 1 if len(self.tests) else 0
        self.parts = np.zeros((len(self.tests), self.outcomes, len(self.bundles)), np.int64)
        for b, bundle in enumerate(self.bundles):
            for place, member in enumerate(bundle.tolist()):
                self.parts[np.arange(len(self.tests)), shown[member], b] |= 1 << place
        self.heavy, self.value, self.only, self.kinds = [], [], [], []
        for b, bundle in enumerate(self.bundles):
            inside: dict[tuple[int, ...], float] = {}
            for t in np.argsort(self.cost, kind="stable").tolist():
                split = tuple(sorted(set(self.parts[t, :, b].tolist()) - {0}))
                if len(split) > 1:
                    inside.setdefault(split, float(self.cost[t]))
            solved = exact.settle(list(inside), np.array(list(inside.values())), weight[bundle], target[bundle])
            self.kinds.append([(1 << place, int(target[m]), float(weight[m])) for place, m in enumerate(bundle)])
            self.heavy.append(solved.heavy)
            # A set that none of these tests leaves has no value there, and may be asked for all the same.
            self.value.append(np.where(np.isfinite(solved.value), solved.value, 0.0))
            self.only.append(_only(target[bundle]))
        self.weight, self.target, self.label = weight, target, label
        # Minutes of the cheapest test that parts two members; nought within one target.
        self.apart = cheapest_apart(label.T, self.cost, target)
        self.whole: State = tuple((1 << len(bundle)) - 1 for bundle in self.bundles)
        self._exact: dict[State, tuple[float, int]] = {}
        self._low: dict[State, float] = {}
        self.left = 0

    def state(self, members: Sequence[int]) -> State:
        """The state in which these members are left."""
        here = set(members)
        return tuple(
            sum(1 << place for place, member in enumerate(bundle.tolist()) if member in here)
            for bundle in self.bundles
        )

    def load(self, state: State) -> float:
        """The weight of what is left."""
        return sum(float(heavy[s]) for heavy, s in zip(self.heavy, state, strict=True))

    def bound(self, state: State) -> float:
        """Minutes times weight no plan from here can beat."""
        known = self._exact.get(state)
        if known is not None:
            return known[0]
        return max(self._low.get(state, 0.0), sum(value[s] for value, s in zip(self.value, state, strict=True)))

    def known(self, state: State) -> tuple[float, int | None] | None:
        """Minutes times weight of the best plan from a state and its first test, where they are known for good."""
        if self._over(state):
            return 0.0, None
        return self._exact.get(state)

    def search(self, state: State, limit: float, budget: int) -> float:
        """Look for a plan of fewer minutes times weight than ``limit``, weighing about ``budget`` tests in all.

        Returns what no plan from the state can beat; ``known`` has the best one where it takes less than the limit.
        """
        self.left = budget
        return self._best(state, limit)

    def _best(self, state: State, limit: float) -> float:
        """The least from a state if that is below the limit and the budget lasts; else a bound on it."""
        if self._over(state):
            return 0.0
        low = self.bound(state)
        if state in self._exact or low >= limit:
            return low
        low = max(low, self._by_counting(state))
        if low < limit and self.left > 0:
            low = max(low, self._by_certificates(state))
        if low >= limit or self.left <= 0:
            self._low[state] = low
            return low
        self.left -= len(self.tests)
        rests = self.parts & np.array(state)
        hopes = sum(value[rests[:, :, b]] for b, value in enumerate(self.value))
        totals = self.cost * self.load(state) + hopes.sum(axis=1)
        totals[(rests == np.array(state)).all(axis=2).any(axis=1)] = np.inf
        best, test, least = limit, -1, np.inf
        for t in np.argsort(totals, kind="stable").tolist():
            if totals[t] >= best:
                least = min(least, float(totals[t]))
                break
            total, proved = self._tried(t, float(totals[t]), rests[t].tolist(), hopes[t].tolist(), best)
            if proved and total < best:
                best, test = total, t
            elif not proved:
                least = min(least, total)
        if test >= 0 and least >= best * (1.0 - PROVED):
            self._exact[state] = best, int(self.tests[test])
            return best
        found = max(low, min(best, least))
        self._low[state] = found
        return found

    def _tried(
        self, test: int, total: float, rests: list[list[int]], hopes: list[float], best: float
    ) -> tuple[float, bool]:
        """What a test and the best after it take at least, and whether that is what they take."""
        proved = True
        for rest, hope in sorted(zip(map(tuple, rests), hopes, strict=True), key=lambda each: each[1]):
            if not any(rest):
                continue
            found = self._best(rest, best - (total - hope))
            total += found - hope
            proved = proved and self.known(rest) is not None
            if total >= best:
                return total, False
        return total, proved

    def _by_counting(self, state: State) -> float:
        """Minutes times weight if every test took as little as the cheapest and parted as one likes."""
        loads: dict[int, float] = {}
        for kinds, there in zip(self.kinds, state, strict=True):
            for bit, kind, weight in kinds:
                if bit & there:
                    loads[kind] = loads.get(kind, 0.0) + weight
        # Rounded down: a bound stays a bound, and states alike by weight are worked out once.
        some = tuple(sorted(math.floor(load * FINE) / FINE for load in loads.values()))
        return fewest_tests(some, self.outcomes) * self.cheapest

    def _by_certificates(self, state: State) -> float:
        """Minutes times weight that what each member must be told by takes at least, or its bundle if that is more.

        Whoever it is must be parted from each one of another target, by one of the tests done: the cheapest such set
        of tests costs no less than any dual prices of its linear programme, here found greedily, the dearest first.
        """
        there = [[m for place, m in enumerate(bundle.tolist()) if bits >> place & 1]
                 for bundle, bits in zip(self.bundles, state, strict=True)]
        members = np.array([m for bundle in there for m in bundle])
        if len(members) < FEW:
            return 0.0
        label, apart = self.label[members], self.apart[np.ix_(members, members)]
        order = np.argsort(-apart, axis=1, kind="stable")
        slack, price = np.tile(self.cost, (len(members), 1)), np.zeros(len(members))
        for other, needed in zip(order.T, np.take_along_axis(apart, order, 1).T > 0, strict=True):
            if not needed.any():
                break
            parts = label != label[other]
            paid = np.where(needed, np.where(parts, slack, np.inf).min(axis=1), 0.0)
            slack -= paid[:, None] * parts
            price += paid
        found, first = 0.0, 0
        for bundle, value, bits in zip(there, self.value, state, strict=True):
            last = first + len(bundle)
            found += max(float(value[bits]), float(self.weight[members[first:last]] @ price[first:last]))
            first = last
        return found

    def _over(self, state: State) -> bool:
        kinds = {int(only[s]) for only, s in zip(self.only, state, strict=True) if s}
        return len(kinds) <= 1 and -1 not in kinds


def _numbered(label: np.ndarray) -> np.ndarray:
    """Outcomes numbered from nought on in each test, as they first come."""
    members, tests = label.shape
    first = label == np.arange(members)[:, None]
    return np.take_along_axis(np.cumsum(first, axis=0) - 1, label, 0) if tests else label


def _only(target: np.ndarray) -> np.ndarray:
    """For every set of members the one target they all have, -1 where they have several; the empty set has -1."""
    found = np.full(1 << len(target), -1, np.int64)
    for m, one in enumerate(target.tolist()):
        size = 1 << m
        found[size] = one
        found[size + 1 : 2 * size] = np.where(found[1:size] == one, one, -1)
    return found
