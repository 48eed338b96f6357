"""The best order of tests, by dynamic programming over sets of suspects: an optimum, proved by having tried all.

A set of suspects is a number whose bits are its members. Only sets that some run of tests can leave are looked at.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

MOST = 18  # members, at most
COMPARED = 2000  # tests that are compared with one another, at most: beyond, all are kept
EQUAL = 1e-12  # share of a value within which the cheaper test is kept, then the one that stands earlier


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Optimum:
    """For every set that can come about: ``value[set]`` expected minutes times the set's weight, ``test[set]`` the
    test to do there, -1 where nothing is left to find out; ``heavy[set]`` is its weight."""

    value: np.ndarray
    test: np.ndarray
    heavy: np.ndarray


def optimum(cells: np.ndarray, weight: np.ndarray, minutes: np.ndarray, target: np.ndarray) -> Optimum:
    """Solve a table of plain cells [member, test] for good.

    ``weight[m]`` is how likely each member is, ``target[m]`` what it belongs to: the search ends where all that are
    left share one target. Every two members of different targets must be parted by some test. At most MOST members.
    """
    tests, label = worth_a_thought(cells, minutes)
    masks = [[sum(1 << int(m) for m in np.flatnonzero(one == first)) for first in np.unique(one)] for one in label.T]
    solved = settle(masks, minutes[tests], weight, target)
    named = np.append(tests, -1)[solved.test] if len(tests) else solved.test
    return Optimum(value=solved.value, test=named, heavy=solved.heavy)


def settle(masks: Sequence[Sequence[int]], cost: np.ndarray, weight: np.ndarray, target: np.ndarray) -> Optimum:
    """Solve it for tests given by their minutes and the sets their outcomes leave; ``test`` is a place among them."""
    members = len(weight)
    cheap_first = np.argsort(cost, kind="stable")
    size = 1 << members
    every = np.arange(size)
    heavy, done = np.zeros(size), np.zeros(size, bool)
    for m in range(members):
        heavy[1 << m : 2 << m] = heavy[: 1 << m] + weight[m]
    for one in np.unique(target):
        outside = sum(1 << m for m in range(members) if target[m] != one)
        done |= (every & outside) == 0
    met = _reachable(size, masks, done)
    value, choice = np.full(size, np.inf), np.full(size, -1, np.int64)
    value[done] = 0.0
    open_sets = np.flatnonzero(met & ~done)
    sizes = sum((open_sets >> m) & 1 for m in range(members)) if len(open_sets) else open_sets
    for many in range(2, members + 1):
        layer = open_sets[sizes == many]
        if not len(layer):
            continue
        best, which = np.full(len(layer), np.inf), np.full(len(layer), -1, np.int64)
        load = heavy[layer]
        for t in cheap_first:
            # What a test costs by itself may already be more than the best plan so far: then all dearer ones are out.
            hope = cost[t] * load < best
            if not hope.any():
                break
            where = slice(None) if hope.all() else hope
            total, some = cost[t] * load[where], layer[where]
            # A test that leaves the whole set as it is meets its own value, still infinite, and so is never chosen.
            for part in masks[t]:
                total = total + value[some & part]
            better = total < best[where] * (1.0 - EQUAL)
            best[where], which[where] = np.where(better, total, best[where]), np.where(better, t, which[where])
        value[layer], choice[layer] = best, which
    return Optimum(value=value, test=choice, heavy=heavy)


def worth_a_thought(cells: np.ndarray, minutes: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """The tests worth a thought, and for each member and test the first member that shows the same there.

    Left out: tests that part nothing, the dearer of two that part alike (then the later), and those beaten by a test
    no dearer that parts all they part.
    """
    members = len(cells)
    same = cells[:, None, :] == cells[None, :, :]
    label = same.argmax(axis=0)
    order = np.lexsort((np.arange(len(minutes)), minutes))
    found, seen = [], set()
    for t in order:
        key = label[:, t].tobytes()
        if label[:, t].any() and key not in seen:
            seen.add(key)
            found.append(int(t))
    if len(found) > COMPARED or not found:
        tests = np.array(sorted(found), np.int64)
        return tests, label[:, tests]
    upper = np.triu_indices(members, 1)
    together = same[upper[0], upper[1]][:, found].T
    # found is in order of price: a test falls if one before it never joins what it parts.
    joins = together.astype(np.float32) @ (~together).T.astype(np.float32)
    kept = [i for i in range(len(found)) if not (joins[:i, i] == 0).any()]
    tests = np.array(sorted(found[i] for i in kept), np.int64)
    return tests, label[:, tests]


def _reachable(size: int, masks: Sequence[Sequence[int]], done: np.ndarray) -> np.ndarray:
    met = np.zeros(size, bool)
    met[size - 1] = True
    front = np.array([size - 1])
    while len(front):
        fresh = np.zeros(size, bool)
        for parts in masks:
            for part in parts:
                fresh[front & part] = True
        fresh &= ~met
        met |= fresh
        front = np.flatnonzero(fresh & ~done)
    return met
