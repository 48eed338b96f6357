"""From an arrangement to places: nets as bars, chains as columns, everything in room reserved for it."""

from collections.abc import Mapping
from dataclasses import dataclass, field

from kit.circuit import Metal, Part, Terminal
from kit.draw.arrange import Arrangement
from kit.draw.chains import Chain
from kit.draw.emblems import HALF, draw_emblem
from kit.draw.labels import RING, SIZES
from kit.draw.layout import BAR_HALF
from kit.draw.links import Link, find_links
from kit.draw.measure import (
    METAL_OVER,
    MOST_LINES,
    Columns,
    Drawn,
    dress,
    make_run,
    name_reach,
    reach_left,
    reach_right,
    set_columns,
    wrap,
)
from kit.draw.net import CHANGE_OVER, Kind, changes_over
from kit.draw.places import UNIT, Spot
from kit.draw.rows import Rows, Run
from kit.draw.widths import text_width

# Above the first bar and under the last: more where a name stands there than where an arrow ends. In grid units; in px.
TOP, BOTTOM, ARROW_MARGIN, SIDE = 1.6, 1.8, 0.8, 20.0
BOX_OVER, BOX_HIGH = 1.4, 3.0
BOX_AIR = 16.0
# Px from the last column of a change-over contact to the words beside it.
THROW_WORDS = 24.0
# A terminal's short name will do this near to its symbol.
NEAR = 1.5


@dataclass(kw_only=True)
class Tracks:
    """Where everything of one sheet is; filled while it is laid out, then only read.

    ``rings``: the column of each net's ring; ``levels``: the height of every terminal.
    """

    plan: Arrangement
    dressed: tuple[tuple[Drawn, ...], ...]
    runs: tuple[Run, ...]
    rows: Rows
    links: tuple[Link, ...] = ()
    columns: Columns | None = None
    rings: dict[Terminal, int] = field(default_factory=dict)
    levels: dict[Terminal, float] = field(default_factory=dict)

    @property
    def size(self) -> Spot:
        """Width and height in grid units."""
        lowest = max(self.rows.bars.values(), default=0.0)
        ends = (net for net, level in self.rows.bars.items() if level > lowest - 1)
        under = max((self._margin(net, BOTTOM) for net in ends), default=BOTTOM)
        return self.columns.width / UNIT, lowest + self.top + under

    @property
    def top(self) -> float:
        """How far down the first bar lies."""
        return max((self._margin(net, TOP) for net, level in self.rows.bars.items() if level < 1), default=TOP)

    def _margin(self, net: Terminal, named: float) -> float:
        return ARROW_MARGIN if net in self.plan.arrows else named + (BOX_HIGH if not net.name else 0.0)

    def x(self, column: int) -> float:
        return self.columns.middles[column]

    def y(self, level: float) -> float:
        return round((level + self.top) * UNIT) / UNIT


def set_tracks(plan: Arrangement, push_buttons: frozenset[str]) -> Tracks:
    """Everything of a sheet in its place, nothing drawn yet."""
    column_of = {number: column for column, numbers in enumerate(plan.columns) for number in numbers}
    dressed = tuple(dress(plan, chain, push_buttons) for chain in plan.chains)
    runs = tuple(
        make_run(plan, chain, column_of[number], dressed[number]) for number, chain in enumerate(plan.chains)
    )
    nets = dict.fromkeys(end for chain in plan.chains for end in (chain.top, chain.bottom))
    extent = {net: (0.0, BOX_HIGH) for net in nets if not net.name}
    extent |= {net: (BAR_HALF, BAR_HALF) for net in nets if net.name and is_metal(plan, net)}
    links, rows = find_links(plan, runs, extent)
    tracks = Tracks(plan=plan, dressed=dressed, runs=runs, rows=rows, links=links)
    _find_rings(tracks)
    _find_levels(tracks)
    _set_columns(tracks)
    return tracks


def is_metal(plan: Arrangement, net: Terminal) -> bool:
    """Whether a net is a body of metal."""
    return net not in plan.arrows and isinstance(plan.circuit[net.part], Metal)


def _owner_first(tracks: Tracks, net: Terminal) -> list[tuple]:
    """The runs at a net, best first to carry its ring: its own symbol, its own joint, what comes from above."""
    found = []
    for run, drawn in zip(tracks.runs, tracks.dressed, strict=True):
        for end, near in ((run.top, drawn[0]), (run.bottom, drawn[-1])):
            if end == net:
                own = near.element.part == net.part
                symbol = near.element.kind in (Kind.SYMBOL, Kind.PIN)
                found.append((not (own and symbol), not own, end == run.top, run.column))
    return sorted(found)


def _find_rings(tracks: Tracks) -> None:
    for net, (low, _high) in tracks.rows.reach.items():
        metal = net.name and is_metal(tracks.plan, net)
        tracks.rings[net] = low if metal else _owner_first(tracks, net)[0][-1]


def _find_levels(tracks: Tracks) -> None:
    """The height of every terminal: its net's bar, the end of its symbol, or a ring of its own."""
    tracks.levels.update(tracks.rows.bars)
    for chain, drawn, starts in zip(tracks.plan.chains, tracks.dressed, tracks.rows.starts, strict=True):
        for number in range(1, len(chain.elements)):
            terminal = chain.terminals[number]
            above, below = drawn[number - 1], drawn[number]
            if above.symbol:
                level = symbol_start(chain, number - 1, starts) + above.symbol.length
            elif below.symbol:
                level = symbol_start(chain, number, starts)
            else:
                level = starts[str(terminal)] + 0.5
            tracks.levels[terminal] = level


def symbol_start(chain: Chain, number: int, starts: Mapping[str, float]) -> float:
    """Where a symbol starts: under the ring of its first terminal, where that is not on a bar."""
    return starts[chain.elements[number].id] + (0.5 if number else 0.0)


def _set_columns(tracks: Tracks) -> None:
    plan = tracks.plan
    count = len(plan.columns)
    lefts, rights = dict.fromkeys(range(count), 24.0), dict.fromkeys(range(count), 24.0)
    for run, chain, dressed in zip(tracks.runs, plan.chains, tracks.dressed, strict=True):
        for drawn in dressed:
            lefts[run.column] = max(lefts[run.column], reach_left(drawn))
            rights[run.column] = max(rights[run.column], reach_right(plan, drawn))
        for number in range(1, len(chain.elements)):
            text = name_of(tracks, chain.terminals[number], (dressed[number - 1], dressed[number]))
            lefts[run.column] = max(lefts[run.column], name_reach(text))
    for net, column in tracks.rings.items():
        low, high = tracks.rows.reach[net]
        if not net.name:
            part = plan.circuit[net.part]
            lefts[low] = max(lefts[low], BOX_OVER * UNIT)
            wide = throw_wide(part) if changes_over(part) else box_wide(part) - BOX_OVER * UNIT
            rights[high] = max(rights[high], wide, BOX_OVER * UNIT)
        elif is_metal(plan, net):
            part, over = plan.circuit[net.part], METAL_OVER * UNIT
            words = max(text_width(line, SIZES["id"], bold=True) for line in (part.id, *wrap(part.title)))
            name = text_width(str(net), SIZES["terminal"])
            rights[high] = max(rights[high], over + 10 + words)
            lefts[low] = max(lefts[low], over + RING + 2, over + name - RING)
        elif net not in plan.arrows:
            lefts[column] = max(lefts[column], name_reach(name_of(tracks, net, drawn_at(tracks, net))))
    tracks.columns = set_columns(lefts, rights, SIDE)


def box_words(part: Part) -> tuple[str, ...]:
    """What stands in a box."""
    return part.id, part.title


def box_wide(part: Part) -> float:
    """How wide a box must be for its words and its emblem, in px."""
    return max(text_width(line, SIZES["id"], bold=True) for line in box_words(part)) + BOX_AIR + emblem_room(part)


def emblem_room(part: Part) -> float:
    """How much of a box its emblem takes, in px."""
    return 2 * HALF * UNIT + 14 if draw_emblem(part) else 0.0


def throw_words(part: Part) -> tuple[str, ...]:
    """The name beside a change-over contact, in lines."""
    return wrap(f"{part.title} contact", MOST_LINES - 1)


def throw_wide(part: Part) -> float:
    """How far the words beside a change-over contact reach right of its last column, in px."""
    words = max(text_width(line, SIZES["title"]) for line in throw_words(part))
    return THROW_WORDS + max(words, text_width(part.id, SIZES["id"], bold=True))


def throw_pins(tracks: "Tracks", net: Terminal) -> dict[str, tuple[float, bool]]:
    """The pins of a change-over contact: each one's x, and whether it comes from above."""
    found = {}
    for run, dressed in zip(tracks.runs, tracks.dressed, strict=True):
        for end, drawn, above in ((run.top, dressed[0], False), (run.bottom, dressed[-1], True)):
            if end == net and drawn.element.piece in CHANGE_OVER:
                found[drawn.element.piece] = (tracks.x(run.column), above)
    return found


def drawn_at(tracks: Tracks, net: Terminal) -> tuple[Drawn, ...]:
    """The elements right at a net in the column of its ring."""
    found = []
    for number, (run, drawn) in enumerate(zip(tracks.runs, tracks.dressed, strict=True)):
        if run.column == tracks.rings[net]:
            ends = ((0, run.top, 0.0), (-1, run.bottom, 1.0))
            found += [
                drawn[place] for place, end, share in ends if end == net
                if abs(_ends_at(tracks, number, place, share) - tracks.rows.bars[net]) < NEAR
            ]
    return tuple(found)


def _ends_at(tracks: Tracks, number: int, place: int, share: float) -> float:
    """The height of the first or last symbol's own end; of anything else, that of its net."""
    chain, drawn = tracks.plan.chains[number], tracks.dressed[number][place]
    if drawn.symbol is None:
        return tracks.rows.bars[chain.top if place == 0 else chain.bottom]
    start = symbol_start(chain, place % len(chain.elements), tracks.rows.starts[number])
    return start + share * drawn.symbol.length


def name_of(tracks: Tracks, terminal: Terminal, near: tuple[Drawn, ...]) -> str:
    """A terminal's own name where its symbol is right beside it, else its part's id as well."""
    beside = any(
        drawn.element.part == terminal.part and drawn.element.kind in (Kind.SYMBOL, Kind.PIN) for drawn in near
    )
    return terminal.name if beside else str(terminal)
