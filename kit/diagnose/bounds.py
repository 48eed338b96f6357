"""Minutes no plan can beat: what the best order of tests must cost at least, worked out without finding it.

Three bounds, all valid together, so the highest counts. Each is for plain cells and for a search that ends where all
that are left belong to one target.
"""

import heapq
from collections.abc import Sequence
from functools import lru_cache

import numpy as np

PRICES = 24  # minutes a bit tried in the information bound


@lru_cache(maxsize=200_000)
def fewest_tests(weights: Sequence[float], outcomes: int) -> float:
    """Expected number of tests times the weights' sum, if tests of so many outcomes could part anything as they like.

    Source: Huffman, Proc. IRE 40, 1952. ``weights`` is a sorted tuple.

    >>> fewest_tests((0.25, 0.25, 0.5), 2)
    1.5
    """
    if len(weights) < 2 or outcomes < 2:
        return 0.0
    heap = list(weights)
    heap += [0.0] * (-(len(heap) - 1) % (outcomes - 1))
    heapq.heapify(heap)
    total = 0.0
    while len(heap) > 1:
        joined = sum(heapq.heappop(heap) for _ in range(outcomes))
        total += joined
        heapq.heappush(heap, joined)
    return total


def by_information(masses: np.ndarray, minutes: np.ndarray, needed: float) -> float:
    """Minutes that so many bits cost at least.

    ``masses[t, o]``: chance of each outcome before any test. A test done in a share q of all cases tells at most what
    its outcomes, capped at their masses, can tell within q; each is done once a case at most. The cheapest way to
    collect the bits is a linear programme; any price of a bit gives a bound (weak duality), the best of some is taken.
    """
    if needed <= 0 or not len(minutes):
        return 0.0
    ranked = -np.sort(-masses, axis=1)
    wide = ranked.shape[1]
    real = np.maximum((ranked > 0).sum(axis=1), 2)  # outcomes of each
    rate = minutes / np.log2(real)
    best = 0.0
    # Sums of the largest masses, and of what is left: with m outcomes not at their cap, the others hold `capped`.
    below = np.concatenate([np.cumsum(ranked[:, ::-1], axis=1)[:, ::-1], np.zeros((len(ranked), 1))], axis=1)
    for price in np.geomspace(rate.min(), max(rate.max(), rate.min() * 1.01) * 8, PRICES):
        share = 2.0 ** (-minutes / price)
        gain = np.zeros(len(minutes))
        # Even with its outcomes all alike it would not be worth its minutes.
        settled = share * real <= 1.0
        for m in range(wide):
            # m outcomes free, each with this share of all cases the test is done in; the rest are at their masses.
            room = 1.0 - m * share
            total = np.where(room > 1e-12, below[:, m] / np.maximum(room, 1e-12), np.inf)
            fits = ~settled & (room > 1e-12) & (below[:, m] > 0)
            if m < wide:
                fits &= ranked[:, m] <= share * total * (1 + 1e-12)
            if m:
                fits &= ranked[:, m - 1] >= share * total * (1 - 1e-12)
            worth = _worth(ranked, m, share, np.where(fits, total, 1.0), minutes, price)
            gain = np.where(fits, np.maximum(worth, 0.0), gain)
            settled |= fits
        # Where rounding let no case fit, what the test could tell at the very most.
        loose = np.maximum(price * _entropy(ranked), 0.0)
        gain = np.where(settled, gain, loose)
        best = max(best, price * needed - gain.sum())
    return best


def _worth(
    ranked: np.ndarray, free: int, share: np.ndarray, total: np.ndarray, minutes: np.ndarray, price: float
) -> np.ndarray:
    """price × bits − minutes, for the test done in ``total`` of all cases with ``free`` outcomes at ``share`` each."""
    held = ranked[:, free:]
    safe = np.maximum(total, 1e-300)
    part = np.where(held > 0, held / safe[:, None], 1.0)
    told = -(held * np.log2(part)).sum(axis=1)
    told = told - free * share * total * np.log2(np.maximum(share, 1e-300))
    return price * told - minutes * total


def _entropy(masses: np.ndarray) -> np.ndarray:
    return -(masses * np.log2(np.where(masses > 0, masses, 1.0))).sum(axis=1)


def by_pairs(apart: np.ndarray, weight: np.ndarray) -> float:
    """Every suspect must be parted from each one of another target, by a test that can; the dearest such test counts.

    ``apart[i, j]`` is the price of the cheapest test that parts i from j, nought within one target.
    """
    return float(weight @ apart.max(axis=1)) if len(weight) > 1 else 0.0


def cheapest_apart(signs: Sequence[np.ndarray], minutes: np.ndarray, target: np.ndarray) -> np.ndarray:
    """[i, j]: minutes of the cheapest test whose cells differ, inf where none does, nought within one target."""
    members = len(target)
    apart = np.full((members, members), np.inf)
    for t in np.argsort(minutes, kind="stable"):
        cells = signs[t]
        differ = (cells[:, None, :] != cells[None, :, :]).any(axis=2) if cells.ndim > 1 else (
            cells[:, None] != cells[None, :]
        )
        apart = np.where(differ, np.minimum(apart, minutes[t]), apart)
    apart[target[:, None] == target[None, :]] = 0.0
    return apart
