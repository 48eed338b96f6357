"""Sets that hit sets: which readings together suffice, which parts together explain, and in what order to look.

Plain Python, no arrays: small numbers of sets, by hand as it were.
"""

from collections.abc import Callable, Collection, Hashable, Iterable, Sequence
from itertools import combinations


def fewest_hits(sets: Iterable[Collection[Hashable]], order: Sequence[Hashable] = ()) -> tuple[Hashable, ...]:
    """One smallest collection that has a member in each set; of equally small ones the first in ``order``.

    Empty sets cannot be hit and are left out. The members come in ``order``.

    >>> fewest_hits([{1, 2}, {2, 3}, {3, 4}], [1, 2, 3, 4])
    (1, 3)
    """
    must = _smallest(sets)
    members = [one for one in (order or sorted(set().union(*must), key=str)) if any(one in each for each in must)]
    for size in range(len(members) + 1):
        for chosen in combinations(members, size):
            if all(any(one in each for one in chosen) for each in must):
                return chosen
    return ()


def minimal_hits(sets: Iterable[Collection[Hashable]]) -> tuple[frozenset, ...]:
    """Every collection that has a member in each set and none to spare, smallest first.

    Source: Reiter, Artificial Intelligence 32, 1987 (minimal diagnoses are the minimal hitting sets of the conflicts).

    >>> [sorted(hit) for hit in minimal_hits([{"a", "b"}, {"b", "c"}])]
    [['b'], ['a', 'c']]
    """
    found: list[frozenset] = [frozenset()]
    for each in _smallest(sets):
        grown = {hit if hit & each else hit | {one} for hit in found for one in ([None] if hit & each else each)}
        found = [hit for hit in grown if not any(other < hit for other in grown)]
    return tuple(sorted(found, key=lambda hit: (len(hit), sorted(map(str, hit)))))


def conflicts(parts: Sequence[str], possible: Callable[[frozenset[str]], bool]) -> tuple[frozenset[str], ...]:
    """Every smallest set of parts that cannot all be sound, given what was seen.

    ``possible(sound)`` says whether what was seen can be with these parts sound and the others in any state; with more
    parts sound never more is possible. Source: de Kleer and Williams, Artificial Intelligence 32, 1987.
    """
    found: list[frozenset[str]] = []
    for size in range(len(parts) + 1):
        for chosen in map(frozenset, combinations(parts, size)):
            if not any(known <= chosen for known in found) and not possible(chosen):
                found.append(chosen)
    return tuple(found)


def order_of_looking(chances: Sequence[float], minutes: Sequence[float]) -> tuple[int, ...]:
    """In which order to look at parts one by one when exactly one of them is at fault: most chance a minute first.

    Of two alike the quicker one, then the first. No order finds the fault in less time on average (exchange two
    neighbours and see).
    Source, for two causes: Heckerman, Breese and Rommelse, Communications of the ACM 38, 1995.

    >>> order_of_looking([0.5, 0.3, 0.15, 0.05], [10, 2, 1, 8])
    (2, 1, 0, 3)
    """
    def rank(part: int) -> tuple[float, float, int]:
        return -float(f"{chances[part] / minutes[part]:.12e}"), minutes[part], part

    return tuple(sorted(range(len(chances)), key=rank))


def minutes_of_looking(
    order: Sequence[int], chances: Sequence[float], minutes: Sequence[float], repairs: Sequence[float] = ()
) -> float:
    """Expected minutes of looking in an order until the fault is met, and of its repair."""
    spent = total = 0.0
    for part in order:
        spent += minutes[part]
        total += chances[part] * (spent + (repairs[part] if repairs else 0.0))
    return total


def _smallest(sets: Iterable[Collection[Hashable]]) -> list[frozenset]:
    """The sets that contain no other of them, each once, the smallest first, in a fixed order."""
    kept: list[frozenset] = []
    for each in sorted({frozenset(one) for one in sets if one}, key=lambda s: (len(s), sorted(map(str, s)))):
        if not any(known <= each for known in kept):
            kept.append(each)
    return kept
