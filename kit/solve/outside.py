"""Ohms between the ends of one path through everything else, sources dead: what a kill wire is to its magneto."""

import math

from kit.solve.case import Case


def outside_ohms(case: Case, path: str) -> float:
    """Ohms from the start of a path to its end through the rest of a settled circuit, as it stands.

    Star-mesh elimination down to the two ends: every node between gives way to branches between its neighbours. A
    device counts with the ohms it has for a small change where it stands.
    """
    own = next(i for i, branch in enumerate(case.net.branches) if branch.name == path)
    start, end = case.a[own], case.b[own]
    siemens: dict[int, dict[int, float]] = {}
    for i, (p, q) in enumerate(zip(case.a, case.b, strict=True)):
        if i != own and p != q and case.shut[i] and case.g[i] > 0.0:
            _join(siemens, p, q, case.g[i])
    # In the order of the kernel's own plan, which adds few branches.
    for node in sorted(siemens):
        if node in (start, end):
            continue
        around = siemens.pop(node)
        for other in around:
            del siemens[other][node]
        total, items = sum(around.values()), list(around.items())
        for k, (p, first) in enumerate(items):
            for q, second in items[k + 1:]:
                _join(siemens, p, q, first * second / total)
    through = siemens.get(start, {}).get(end, 0.0)
    return 1 / through if through else math.inf


def _join(siemens: dict[int, dict[int, float]], p: int, q: int, more: float) -> None:
    for one, other in ((p, q), (q, p)):
        here = siemens.setdefault(one, {})
        here[other] = here.get(other, 0.0) + more
