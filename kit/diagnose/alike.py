"""Which faults of a machine look alike whatever is tested, and which test points no fault needs.

A file that brings numpy with it; ``kit.diagnose`` itself does not.
"""

from collections.abc import Collection

import numpy as np

from kit.diagnose.leads import posts
from kit.diagnose.table import OutcomeTable
from kit.machines import Machine
from kit.machines.cases import LEADS

NOTICED = ("operate", "start")  # what everybody beside the machine notices; tools come on top
LAMP, LAMP_AND_METER = (*NOTICED, "lamp"), (*NOTICED, "lamp", "volts")


def alike(table: OutcomeTable, kinds: Collection[str]) -> tuple[tuple[str, ...], ...]:
    """Suspects that no test of these kinds tells apart for sure, each group in the table's order; single ones left out.

    Two readings near the edge between two words may come out the same, so they count as one.
    """
    plain = table.joined()
    marks = _marks(plain)[:, [kind in kinds for kind in plain.kinds]].sum(axis=1, dtype=np.uint64)
    found: dict[int, list[str]] = {}
    for suspect, mark in zip(plain.suspects, marks.tolist(), strict=True):
        found.setdefault(mark, []).append(suspect)
    return tuple(tuple(group) for group in found.values() if len(group) > 1)


def unneeded_points(machine: Machine, table: OutcomeTable) -> tuple[str, ...]:
    """Points that may all go together: no two faults become alike for lamp and meter, and no case has a lead there.

    Those that take longest to reach go first; the battery's two posts stay.
    """
    plain = table.joined()
    marks = _marks(plain)
    used = np.array([kind in LAMP_AND_METER for kind in plain.kinds])
    kept = {*posts(machine)}
    for case in machine.cases.values():
        kept.update(place for test in case.tests if test.tool in LEADS for place in test.places)
    whole = marks[:, used].sum(axis=1, dtype=np.uint64)
    number = len(set(whole.tolist()))
    gone = []
    for point in sorted(machine.points.values(), key=lambda point: -point.minutes):
        name = str(point.terminal)
        its = used & np.array([name in key[1] for key in plain.keys])
        without = whole - marks[:, its].sum(axis=1, dtype=np.uint64)
        if name not in kept and len(set(without.tolist())) == number:
            whole, used = without, used & ~its
            gone.append(name)
    return tuple(name for name in map(str, machine.points) if name in gone)


def _marks(table: OutcomeTable) -> np.ndarray:
    """A number for each cell, such that sums over some tests are equal where all of those outcomes are.

    Random 64 bit numbers, one for each outcome of each test: two rows that differ have the same sum once in 2^64.
    """
    draw = np.random.default_rng(20_221)
    marks = np.empty(table.outcomes.shape[:2], np.uint64)
    for t in range(len(table.tests)):
        column = table.outcomes[:, t, 0]
        marks[:, t] = draw.integers(0, 1 << 64, size=int(column.max()) + 1, dtype=np.uint64)[column]
    return marks
