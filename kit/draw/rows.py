"""How high everything stands: nets from top to bottom, and along each chain its symbols and labels clear of all bars.

Heights in grid units, down from the first net. A chain is a row of rigid blocks with line between them that can be as
long as need be: so a bar that crosses it can always be let through, and nothing is searched.
"""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from kit.circuit import Terminal

# A ring and a little air; the least from one bar to another over the same columns (a name stands between them).
RING_PAD = 0.5
BAR_GAP = 2.4
# The least from a bar to a block it passes, and to a label beside its own end.
CLEAR = 0.25
ROOM, METAL_ROOM = 0.5, 0.9

# How far a net's bar reaches up and down from its line: nothing where it is a line, half of a body of metal, a box.
Extent = Mapping[Terminal, tuple[float, float]]
LINE_ONLY = (0.0, 0.0)


@dataclass(frozen=True, slots=True)
class Block:
    """Something rigid on a chain: how high it is, with its padding, and how much of the padding is above.

    ``share``: how much of its room to move it takes: 0 stays up, 1 stays down, otherwise evenly with the others.
    """

    key: str
    size: float
    before: float = 0.0
    share: float = -1.0


@dataclass(frozen=True, slots=True)
class Run:
    """A chain as the rows see it: its ends, its column, its blocks, and the room to leave at its ends."""

    top: Terminal
    bottom: Terminal
    column: int
    blocks: tuple[Block, ...]
    first_room: float
    last_room: float

    @property
    def least(self) -> float:
        return self.first_room + sum(block.size for block in self.blocks) + self.last_room


@dataclass(frozen=True, slots=True)
class Rows:
    """Where each net's bar lies, from which to which column it reaches, and where each block of a run starts."""

    bars: Mapping[Terminal, float]
    reach: Mapping[Terminal, tuple[int, int]]
    starts: tuple[Mapping[str, float], ...]


def stack(
    runs: Sequence[Run], rank: Mapping[Terminal, float], extent: Extent, loose: Collection[Terminal] = (),
    floors: Mapping[str, float] = MappingProxyType({}),
) -> Rows:
    """Every net as high as what hangs above it allows.

    ``loose``: ends of arrows, which keep near what they lead to; ``floors``: the highest a block or net may start.
    """
    above: dict[Terminal, list[Run]] = {}
    reach: dict[Terminal, tuple[int, int]] = {}
    for run in runs:
        above.setdefault(run.bottom, []).append(run)
        for end in (run.top, run.bottom):
            low, high = reach.get(end, (run.column, run.column))
            reach[end] = min(low, run.column), max(high, run.column)
    bars: dict[Terminal, float] = {}
    placed: list[Terminal] = []
    for net in sorted(reach, key=rank.__getitem__):
        low, high = reach[net]
        level = floors.get(str(net), 0.0)
        for other in placed:
            if reach[other][0] <= high and low <= reach[other][1]:
                level = max(level, _lower(other, bars, extent) + BAR_GAP)
        for run in above.get(net, ()):
            end = _fall(run, _lower(run.top, bars, extent), crossing(run, bars, reach, rank, extent), floors)
            level = max(level, end + extent.get(net, LINE_ONLY)[0])
        bars[net] = level
        placed.append(net)
    _sink(runs, bars, reach, rank, extent, loose)
    starts = tuple(spread(run, bars, extent, crossing(run, bars, reach, rank, extent)) for run in runs)
    return Rows(bars, reach, starts)


def _lower(net: Terminal, bars: Mapping[Terminal, float], extent: Extent) -> float:
    return bars[net] + extent.get(net, LINE_ONLY)[1]


def _sink(
    runs: Sequence[Run], bars: dict[Terminal, float], reach: Mapping[Terminal, tuple[int, int]],
    rank: Mapping[Terminal, float], extent: Extent, loose: Collection[Terminal],
) -> None:
    """A pin in a column of its own comes down to its box, an arrow to what it leads to."""
    below: dict[Terminal, list[Run]] = {}
    for run in runs:
        below.setdefault(run.top, []).append(run)
    for net in sorted(bars, key=rank.__getitem__, reverse=True):
        under = below.get(net, [])
        low, high = reach[net]
        mine = net in loose and len(under) == 1 and len(under[0].blocks) == 1
        if low != high or not under or not (mine or all(not run.bottom.name for run in under)):
            continue
        end = min(bars[run.bottom] - extent.get(run.bottom, LINE_ONLY)[0] - run.least for run in under)
        limits = [
            level - BAR_GAP for other, level in bars.items()
            if other != under[0].bottom and rank[other] > rank[net] and reach[other][0] <= low <= reach[other][1]
        ]
        bars[net] = max(bars[net], min([end, *limits]))


def crossing(
    run: Run, bars: Mapping[Terminal, float], reach: Mapping[Terminal, tuple[int, int]],
    rank: Mapping[Terminal, float], extent: Extent,
) -> tuple[float, ...]:
    """The heights of the bars that cross a run: of a body of metal, both its edges."""
    return tuple(
        edge for net, level in bars.items()
        if reach[net][0] < run.column < reach[net][1] and rank[run.top] < rank[net] < rank[run.bottom]
        for edge in dict.fromkeys((level - extent.get(net, LINE_ONLY)[0], _lower(net, bars, extent)))
    )


def _fall(run: Run, start: float, bars: Sequence[float], floors: Mapping[str, float]) -> float:
    """Where the end of a run comes to lie at the least."""
    level = start + run.first_room
    for block in run.blocks:
        level = free_below(max(level, floors.get(block.key, 0.0)), block.size, bars) + block.size
    return level + run.last_room


def spread(
    run: Run, bars: Mapping[Terminal, float], extent: Extent, crossed: Sequence[float],
    wanted: Mapping[str, float] | None = None,
) -> dict[str, float]:
    """Where each block starts: as far apart as the run has room, clear of the bars that cross it.

    ``wanted``: starts that some blocks should have if they can; whoever asks looks whether they do.
    """
    start, end = ends_of(run, bars, extent)
    soonest, latest = [], []
    level = start + run.first_room
    for block in run.blocks:
        soonest.append(free_below(level, block.size, crossed))
        level = soonest[-1] + block.size
    level = end - run.last_room
    for block in reversed(run.blocks):
        latest.append(free_above(level - block.size, block.size, crossed))
        level = latest[-1]
    latest.reverse()
    found: dict[str, float] = {}
    level = start + run.first_room
    for number, block in enumerate(run.blocks):
        share = (number + 1) / (len(run.blocks) + 1) if block.share < 0 else block.share
        target = soonest[number] + (latest[number] - soonest[number]) * share
        if wanted and block.key in wanted:
            target = min(max(wanted[block.key], soonest[number]), latest[number])
        found[block.key] = free_below(max(level, target), block.size, crossed)
        level = found[block.key] + block.size
    return found


def ends_of(run: Run, bars: Mapping[Terminal, float], extent: Extent) -> tuple[float, float]:
    """Where a run starts and ends: at the edges of its nets."""
    return _lower(run.top, bars, extent), bars[run.bottom] - extent.get(run.bottom, LINE_ONLY)[0]


def free_below(level: float, size: float, bars: Sequence[float]) -> float:
    """The first height from a level down at which a block meets no bar."""
    for bar in sorted(bars):
        if level - CLEAR < bar < level + size + CLEAR:
            level = bar + CLEAR
    return level


def free_above(level: float, size: float, bars: Sequence[float]) -> float:
    """The first height from a level up at which a block meets no bar."""
    for bar in sorted(bars, reverse=True):
        if level - CLEAR < bar < level + size + CLEAR:
            level = bar - CLEAR - size
    return level
