"""The order nodes are eliminated in, and where every new edge goes: worked out once for a set of connected pairs."""

from dataclasses import dataclass
from functools import lru_cache


@dataclass(frozen=True, slots=True)
class Ordering:
    """Elimination plan of a graph of ``n`` nodes.

    ``place[node]`` is the node's position; the reference's is n − 1. Position k's later neighbours are
    ``col[row[k]:row[k + 1]]``; ``slot[(p, q)]``, p < q, is an edge's index; ``fill`` lists, in the order of
    elimination, the edge each pair of neighbours adds to.
    """

    n: int
    place: tuple[int, ...]
    row: tuple[int, ...]
    col: tuple[int, ...]
    fill: tuple[int, ...]
    slot: dict[tuple[int, int], int]


@lru_cache(maxsize=512)
def order(
    n: int, reference: int, edges: frozenset[tuple[int, int]], late: frozenset[int] = frozenset()
) -> Ordering:
    """Plan the elimination by minimum degree, ties by node number; ``edges`` are pairs of nodes, smaller first.

    Nodes that nothing of ``late`` reaches come first: what a node adds goes to its neighbours that are left, so where
    only what is at ``late`` changes, they need not be eliminated again. That costs no edge more: the order of two nodes
    is turned round only where neither adds anything to the other.
    """
    near: list[set[int]] = [set() for _ in range(n)]
    for p, q in edges:
        near[p].add(q)
        near[q].add(p)
    left = set(range(n)) - {reference}
    sequence, later = [], []
    while left:
        node = min(left, key=lambda k: (len(near[k]), k in late, k))
        left.remove(node)
        neighbours = near[node]
        for p in neighbours:
            near[p] |= neighbours
            near[p] -= {p, node}
        sequence.append(node)
        later.append(neighbours)
    sequence, later = _late_ones_last(sequence, later, late)
    sequence.append(reference)
    place = [0] * n
    for position, node in enumerate(sequence):
        place[node] = position
    row, col, slot = [0], [], {}
    for position, neighbours in enumerate(later):
        for q in sorted(place[node] for node in neighbours):
            slot[(position, q)] = len(col)
            col.append(q)
        row.append(len(col))
    fill = [
        slot[(col[p], col[q])]
        for k in range(n - 1)
        for p in range(row[k], row[k + 1])
        for q in range(p + 1, row[k + 1])
    ]
    return Ordering(n, tuple(place), tuple(row), tuple(col), tuple(fill), slot)


def _late_ones_last(
    sequence: list[int], later: list[set[int]], late: frozenset[int]
) -> tuple[list[int], list[set[int]]]:
    """The same elimination, first of the nodes that no late one adds to, directly or through others."""
    reached = set(late)
    for node, neighbours in zip(sequence, later, strict=True):
        if node in reached:
            reached |= neighbours
    number = sorted(range(len(sequence)), key=lambda k: sequence[k] in reached)
    return [sequence[k] for k in number], [later[k] for k in number]
