"""Dashed links from a coil to the contacts it moves, where a level line between them meets nothing but lines."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from kit.circuit import FuelSolenoid, Part, Terminal
from kit.draw.arrange import Arrangement
from kit.draw.net import Kind, box_of, changes_over
from kit.draw.pieces import COILS
from kit.draw.rows import CLEAR, LINE_ONLY, Block, Extent, Rows, Run, crossing, ends_of, spread, stack
from kit.draw.symbols import LENGTH

# How far under the link the middles of a coil and of a contact lie, so that their names have room below it.
UNDER = 0.6
STEP, STEPS = 0.5, 60
EXACT = 1e-6
BAR_CLEAR = 0.6
# How much taller a sheet may become for the sake of its links.
MOST_TALLER = 1.25


@dataclass(frozen=True, slots=True)
class Link:
    """A link at a height: the ids of coil and contact, and their columns; a change-over contact is its box, ``K1.``."""

    coil: str
    contact: str
    coil_column: int
    contact_column: int
    level: float


@dataclass(frozen=True, slots=True)
class Level:
    """What stays the same while links are looked for."""

    plan: Arrangement
    runs: Sequence[Run]
    extent: Extent


@dataclass(frozen=True, slots=True)
class Found:
    """Rows, and for each run the starts some blocks must have and the links that cross it."""

    rows: Rows
    wanted: tuple[Mapping[str, float], ...]
    crossed: tuple[tuple[float, ...], ...]


def find_links(plan: Arrangement, runs: Sequence[Run], extent: Extent) -> tuple[tuple[Link, ...], Rows]:
    """The rows, with coils and contacts level with each other where that can be, and the links that can be drawn."""
    pairs = _pairs(plan, runs)
    rows = stack(runs, plan.rank, extent, plan.arrows)
    throws = _throws(plan, runs)
    floors: dict[str, float] = {}
    for (coil, a), (contact, b) in pairs:
        one, other = _start(runs[a], rows.starts[a], coil), _start(runs[b], rows.starts[b], contact)
        low, run, level = (contact, runs[b], one) if other < one else (coil, runs[a], other)
        floors[low] = max(floors.get(low, 0.0), level - _block(run, low).before)
    for (coil, at), box in throws:
        middle = _start(runs[at], rows.starts[at], coil) + LENGTH / 2 - UNDER
        floors[str(box)] = middle - extent[box][1] / 2
        floors[coil] = rows.bars[box] + extent[box][1] / 2 + UNDER - LENGTH / 2 - _block(runs[at], coil).before
    lower = stack(runs, plan.rank, extent, plan.arrows, floors)
    if max(lower.bars.values(), default=0.0) <= MOST_TALLER * max(rows.bars.values(), default=0.0):
        rows = lower
    ground = Level(plan, runs, extent)
    found = Found(rows, tuple({} for _ in runs), tuple(() for _ in runs))
    links: list[Link] = []
    for one, contact in pairs:
        other = _nearest(one, contact, pairs, links, runs)
        level, tried = _level(ground, found, one, other)
        if tried is not None:
            found = tried
            links.append(Link(one[0], other[0], runs[one[1]].column, runs[other[1]].column, level))
    for coil, box in throws:
        tried = _throw_link(ground, found, coil, box)
        if tried is not None:
            found = tried[1]
            links.append(tried[0])
    return tuple(links), found.rows


def contact_of(part: Part) -> str:
    """The piece a part's coils move: its contact; of a fuel solenoid of three wires, the pull coil's branch."""
    return f"{part.id}.pull" if isinstance(part, FuelSolenoid) else f"{part.id}.contact"


def _pairs(plan: Arrangement, runs: Sequence[Run]) -> list[tuple[tuple[str, int], tuple[str, int]]]:
    """Each coil with each contact of its part, and their runs; those upside down or in one column stay apart."""
    spots: dict[str, int] = {}
    for number, chain in enumerate(plan.chains):
        for place, element in enumerate(chain.elements):
            if element.piece and element.kind is Kind.SYMBOL and chain.terminals[place] == element.start:
                spots[element.id] = number
    found = []
    for coil in [name for name in spots if name.rpartition(".")[2] in COILS]:
        contact = contact_of(plan.circuit[coil.partition(".")[0]])
        if contact in spots and contact != coil and runs[spots[coil]].column != runs[spots[contact]].column:
            found.append(((coil, spots[coil]), (contact, spots[contact])))
    return found


def _nearest(
    one: tuple[str, int], contact: tuple[str, int], pairs: Sequence[tuple[tuple[str, int], tuple[str, int]]],
    links: Sequence[Link], runs: Sequence[Run],
) -> tuple[str, int]:
    """What a coil is linked to: its contact, or the other coil of the contact where that stands in between."""
    column, far = runs[one[1]].column, runs[contact[1]].column
    linked = {link.coil for link in links if link.contact == contact[0]}
    between = [
        coil for coil, _ in pairs
        if coil[0] in linked and min(column, far) < runs[coil[1]].column < max(column, far)
    ]
    return min(between, key=lambda coil: abs(runs[coil[1]].column - column), default=contact)


def _throws(plan: Arrangement, runs: Sequence[Run]) -> list[tuple[tuple[str, int], Terminal]]:
    """Each coil with its change-over contact, where both are drawn and the coil stands upright."""
    boxes = {end for run in runs for end in (run.top, run.bottom) if not end.name}
    return [
        ((element.id, number), box_of(element.part))
        for number, chain in enumerate(plan.chains) for place, element in enumerate(chain.elements)
        if element.piece == "coil" and chain.terminals[place] == element.start and box_of(element.part) in boxes
        and changes_over(plan.circuit[element.part])
    ]


def _throw_link(
    ground: Level, found: Found, coil: tuple[str, int], box: Terminal
) -> tuple[Link, Found] | None:
    """The link to a change-over contact, whose height is given: only the coil can come to it."""
    low, high = found.rows.reach[box]
    column = ground.runs[coil[1]].column
    if low <= column <= high:
        return None
    above, below = ground.extent[box]
    level = found.rows.bars[box] + (below - above) / 2
    edge = low if column < low else high
    bands = _bars(ground, found.rows, min(column, edge), max(column, edge), but=box)
    if any(top < level < bottom for top, bottom in bands):
        return None
    tried = _try(ground, found, (coil,), level, edge)
    return tried and (Link(coil[0], str(box), column, edge, level), tried)


def _level(
    ground: Level, found: Found, coil: tuple[str, int], contact: tuple[str, int]
) -> tuple[float, Found | None]:
    """The first height at which a link fits, with everything it moves moved; None where there is none."""
    rows, runs = found.rows, ground.runs
    a, b = runs[coil[1]], runs[contact[1]]
    low, high = sorted((a.column, b.column))
    now = _start(a, rows.starts[coil[1]], coil[0]) + LENGTH / 2 - UNDER
    other = _start(b, rows.starts[contact[1]], contact[0]) + LENGTH / 2 - UNDER
    bars = _bars(ground, rows, low, high)
    for level in (now, other, *(now + way * step * STEP for step in range(1, STEPS) for way in (1, -1))):
        if not any(top < level < bottom for top, bottom in bars):
            tried = _try(ground, found, (coil, contact), level)
            if tried is not None:
                return level, tried
    return 0.0, None


def _bars(ground: Level, rows: Rows, low: int, high: int, but: Terminal | None = None) -> list[tuple[float, float]]:
    """The bands that the bars over these columns take, with the names at them, in which no link may lie."""
    bars = []
    for net, level in rows.bars.items():
        if net != but and rows.reach[net][0] <= high and low <= rows.reach[net][1]:
            above, below = ground.extent.get(net, LINE_ONLY)
            bars.append((level - above - BAR_CLEAR, level + below + BAR_CLEAR))
    return bars


def _block(run: Run, key: str) -> Block:
    return next(block for block in run.blocks if block.key == key)


def _start(run: Run, starts: Mapping[str, float], key: str) -> float:
    return starts[key] + _block(run, key).before


def _try(
    ground: Level, found: Found, pair: Sequence[tuple[str, int]], level: float, edge: int | None = None
) -> Found | None:
    """Everything in its place with a link at this height, or None where it does not go.

    ``edge``: a column it ends at, where that is none of a run of the pair.
    """
    runs, rows, extent = ground.runs, found.rows, ground.extent
    wanted, crossed, starts = [dict(known) for known in found.wanted], list(found.crossed), list(rows.starts)
    for key, at in pair:
        wish = level + UNDER - LENGTH / 2 - _block(runs[at], key).before
        if abs(wanted[at].get(key, wish) - wish) > EXACT:
            return None
        wanted[at][key] = wish
    mine = {at for _, at in pair}
    columns = {runs[at].column for at in mine} | ({edge} if edge is not None else set())
    low, high = min(columns), max(columns)
    for at, run in enumerate(runs):
        start, end = ends_of(run, rows.bars, extent)
        if at not in mine:
            # A link meets the lines of the columns between, and the words right of the column it comes from.
            if not (low <= run.column < high and start < level < end):
                continue
            crossed[at] = (*crossed[at], level)
        bars = (*crossing(run, rows.bars, rows.reach, ground.plan.rank, extent), *crossed[at])
        starts[at] = spread(run, rows.bars, extent, bars, wanted[at])
        if not _holds(run, starts[at], (start, end), bars, wanted[at]):
            return None
    return Found(replace(rows, starts=tuple(starts)), tuple(wanted), tuple(crossed))


def _holds(
    run: Run, starts: Mapping[str, float], ends: tuple[float, float], bars: Sequence[float], wanted: Mapping[str, float]
) -> bool:
    """Whether blocks lie in order between the ends, clear of bars, and where they were wanted."""
    level = ends[0] + run.first_room
    for block in run.blocks:
        here = starts[block.key]
        clear = CLEAR - EXACT
        if here < level - EXACT or any(here - clear < bar < here + block.size + clear for bar in bars):
            return False
        if abs(wanted.get(block.key, here) - here) > EXACT:
            return False
        level = here + block.size
    return level <= ends[1] - run.last_room + EXACT
