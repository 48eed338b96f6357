"""What a test is worth before it is done: bits, and bits a minute; and the next test by that measure."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from kit.diagnose.table import OutcomeTable
from kit.errors import DiagnosisError

# Bits below which a test tells nothing, and the share within which two rates count as equal.
NOTHING = 1e-9
EQUAL = 1e-9
FEW = 10


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """A test chosen: its number, the bits it is worth about what is wrong, and its minutes."""

    test: int
    bits: float
    minutes: float

    @property
    def rate(self) -> float:
        """Bits a minute."""
        return self.bits / self.minutes


def bits(table: OutcomeTable, weight: np.ndarray, by_unit: bool = False) -> np.ndarray:
    """Expected bits each test tells about which suspect it is, or with ``by_unit`` about which unit.

    Mutual information of outcome and suspect (Shannon, Bell System Technical Journal 27, 1948).
    """
    suspects = np.flatnonzero(weight > 0)
    number, most = len(table.tests), table.most
    if not len(suspects):
        return np.zeros(number)
    chance = weight[suspects] / weight[suspects].sum()
    if by_unit:
        unit = np.unique([table.units[s] for s in suspects], return_inverse=True)[1]
        # With the suspect's unit known, what is left to see of the outcome is no news about the unit.
        inner = np.zeros(number)
        for u in range(int(unit.max()) + 1):
            inner += _within(table, suspects[unit == u], chance[unit == u], number, most)
    else:
        inner = chance @ table.doubt[suspects]
    return np.maximum(_entropy(table, suspects, chance, number, most) - inner, 0.0)


def _entropy(table: OutcomeTable, suspects: np.ndarray, chance: np.ndarray, number: int, most: int) -> np.ndarray:
    """Entropy of each test's outcome times the chances' sum."""
    share = chance[:, None] * table.likelihoods[suspects, :, 0]
    masses = np.bincount(table.flat[suspects, :, 0].ravel(), weights=share.ravel(), minlength=number * most)
    rows, tests, more = table.seconds
    place = np.full(len(table.suspects), -1)
    place[suspects] = np.arange(len(suspects))
    here = place[rows] >= 0
    if here.any():
        rows, tests, more = rows[here], tests[here], more[here]
        masses += np.bincount(
            table.flat[rows, tests, more], weights=chance[place[rows]] * table.likelihoods[rows, tests, more],
            minlength=number * most,
        )
    total = chance.sum()
    some = np.where(masses > 0, masses, 1.0)
    return total * np.log2(total) - (masses * np.log2(some)).reshape(number, most).sum(axis=1)


def _within(table: OutcomeTable, suspects: np.ndarray, chance: np.ndarray, number: int, most: int) -> np.ndarray:
    """As ``_entropy``, for the few suspects of one unit: outcomes are compared instead of counted, which is quicker."""
    if len(suspects) == 1:
        return chance[0] * table.doubt[suspects[0]]
    if len(suspects) > FEW:
        return _entropy(table, suspects, chance, number, most)
    found = _compared(table.outcomes[suspects, :, 0], chance[:, None] * table.likelihoods[suspects, :, 0], chance.sum())
    doubtful = np.flatnonzero(~table.plain[suspects].all(axis=0))
    if len(doubtful):
        cells = table.outcomes[np.ix_(suspects, doubtful)].transpose(0, 2, 1).reshape(-1, len(doubtful))
        mass = chance[:, None, None] * table.likelihoods[np.ix_(suspects, doubtful)]
        found[doubtful] = _compared(cells, mass.transpose(0, 2, 1).reshape(-1, len(doubtful)), chance.sum())
    return found


def _compared(cells: np.ndarray, mass: np.ndarray, total: float) -> np.ndarray:
    found = np.zeros(cells.shape[1])
    for i in range(len(cells)):
        alike = mass[0] * (cells[0] == cells[i])
        for j in range(1, len(cells)):
            alike += mass[j] * (cells[j] == cells[i])
        found -= mass[i] * np.log2(np.where(alike > 0, alike, total) / total)
    return found


def next_test(
    table: OutcomeTable, weight: np.ndarray, *, minutes: np.ndarray | None = None,
    available: Sequence[int] | None = None, by_unit: bool = True,
) -> Choice | None:
    """The test that tells most a minute; None where none tells anything.

    ``minutes`` as things stand now (leads already in place cost nothing more), the table's own unless given;
    ``available`` are the tests that can be done. Ties, in this order: most bits a minute about the unit to renew; among
    those within a part in a thousand million, the quicker one; then the one that comes first in the table. Where no
    test by itself tells anything about the unit, but some still part the suspects, those bits count instead.
    """
    cost = table.minutes if minutes is None else np.asarray(minutes, dtype=float)
    if cost.shape != (len(table.tests),) or not (cost > 0).all():
        raise DiagnosisError(f"minutes are {len(table.tests)} figures above nought, one a test.")
    if by_unit and not _one_each(table):
        found = _best(bits(table, weight, True), cost, available)
        if found is not None:
            return found
    return _best(bits(table, weight), cost, available)


def best_first(worth: np.ndarray, cost: np.ndarray, available: Sequence[int] | None = None) -> list[int]:
    """Tests that tell something, the best first, ties as ``next_test`` says."""
    tests = range(len(worth)) if available is None else available
    useful = [t for t in tests if worth[t] > NOTHING]
    if not useful:
        return []
    rates = worth / cost
    # Rates are rounded to the ninth digit before they are compared, so that another machine's last bit decides nothing.
    return sorted(useful, key=lambda t: (-float(f"{rates[t]:.9e}"), cost[t], t))


def _best(worth: np.ndarray, cost: np.ndarray, available: Sequence[int] | None) -> Choice | None:
    if available is not None:
        closed = np.ones(len(worth), bool)
        closed[list(available)] = False
        worth = np.where(closed, 0.0, worth)
    useful = worth > NOTHING
    if not useful.any():
        return None
    rates = np.where(useful, worth / cost, -1.0)
    near = np.flatnonzero(rates >= rates.max() * (1.0 - EQUAL))
    test = int(near[np.argmin(cost[near])])
    return Choice(test=test, bits=float(worth[test]), minutes=float(cost[test]))


def _one_each(table: OutcomeTable) -> bool:
    return len(set(table.units)) == len(table.units)


def half_split(table: OutcomeTable, weight: np.ndarray, minutes: np.ndarray | None = None) -> Choice | None:
    """The test whose likeliest outcome leaves the fewest suspects, whatever its price and their chances.

    The workshop's rule of thumb, here to be measured against. Ties: the quicker one, then the first.
    """
    cost = table.minutes if minutes is None else minutes
    suspects = np.flatnonzero(weight > 0)
    number, most = len(table.tests), table.most
    fits = np.zeros((number, most), np.int64)
    for k in range(table.outcomes.shape[2]):
        real = table.likelihoods[suspects, :, k] > 0
        fits += np.bincount(table.flat[suspects, :, k][real], minlength=number * most).reshape(number, most)
    largest = fits.max(axis=1)
    worth = bits(table, weight)
    useful = np.flatnonzero(worth > NOTHING)
    if not len(useful):
        return None
    test = min((int(t) for t in useful), key=lambda t: (largest[t], cost[t], t))
    return Choice(test=test, bits=float(worth[test]), minutes=float(cost[test]))
