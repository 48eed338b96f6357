"""How much room everything on a sheet takes: blocks along each chain, and what reaches left and right of a column."""

import textwrap
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from kit.circuit import Joint, Metal, Part, StarterSolenoid, Terminal, Wire
from kit.draw.arrange import Arrangement
from kit.draw.chains import Chain
from kit.draw.labels import LINE, RING, SIZES, tag_text, wire_text
from kit.draw.net import Element, Kind
from kit.draw.pieces import PIECE_WORDS, draw_piece
from kit.draw.places import UNIT, WRAP, Spot
from kit.draw.rows import METAL_ROOM, RING_PAD, ROOM, Block, Run
from kit.draw.svg_only import Segment, SegmentCircle, SegmentPoly
from kit.draw.symbols import Stroke, Symbol
from kit.draw.widths import text_width

# A title's lines; of a coil or contact one less, so that there is room for its link.
MOST_LINES = 3
ARROW_LENGTH = 1.9
PIN_LENGTH = 1.3
# How far a bar of metal goes on beyond its first and last column, in grid units.
METAL_OVER = 1.2
LEAST_LEFT = 12.0
GAP = 14


@dataclass(frozen=True, slots=True)
class Drawn:
    """An element's symbol and the words beside it."""

    element: Element
    symbol: Symbol | None
    title: tuple[str, ...]
    up: bool = False


def wrap(text: str, most: int = MOST_LINES) -> tuple[str, ...]:
    """A title in a few lines, as narrow as that allows."""
    width = WRAP
    while len(lines := textwrap.wrap(text, width)) > most:
        width += 2
    return tuple(lines)


def title_of(part: Part, element: Element) -> str:
    """The name beside a part or a piece of it; one piece of a solenoid says what it is, the others only which."""
    words = PIECE_WORDS.get(element.piece, "")
    named_there = element.piece == "pull" or (element.piece == "hold" and isinstance(part, StarterSolenoid))
    return words if named_there else f"{part.title} {words}".rstrip()


def dress(plan: Arrangement, chain: Chain, push_buttons: frozenset[str]) -> tuple[Drawn, ...]:
    """The elements of a chain with their symbols, each turned the way the chain runs."""
    dressed = []
    for number, element in enumerate(chain.elements):
        up = chain.terminals[number] != element.start
        if element.kind is Kind.ARROW:
            arrow = plan.arrows[element.end]
            words = tag_text(arrow.stages, inward=arrow.inward).replace(", ", ",\n").split("\n") if arrow.stages else ()
            dressed.append(Drawn(element, None, tuple(words), up))
            continue
        part = plan.circuit[element.part]
        if element.kind is Kind.SYMBOL:
            symbol = draw_piece(
                part, element.piece, element.start.name, element.end.name, aside=1 if up else -1,
                push_button=part.id in push_buttons,
            )
            most = MOST_LINES - bool(element.piece)
            dressed.append(Drawn(element, symbol, wrap(title_of(part, element), most), up))
        elif isinstance(part, Wire):
            dressed.append(Drawn(element, None, (wire_text(part),), up))
        else:
            dressed.append(Drawn(element, None, wrap(part.title) if element.kind is Kind.RUN else (), up))
    return tuple(dressed)


def blocks_of(plan: Arrangement, chain: Chain, dressed: tuple[Drawn, ...]) -> tuple[Block, ...]:
    """The rigid blocks of a chain from top to bottom, with rings where nothing else holds them."""
    blocks = []
    last = len(dressed) - 1
    for number, drawn in enumerate(dressed):
        kind = drawn.element.kind
        if number and kind is not Kind.SYMBOL and dressed[number - 1].element.kind is not Kind.SYMBOL:
            blocks.append(Block(str(chain.terminals[number]), 2 * RING_PAD, RING_PAD))
        if kind is Kind.SYMBOL:
            before, after = RING_PAD if number else 0.0, RING_PAD if number < last else 0.0
            blocks.append(Block(drawn.element.id, before + drawn.symbol.length + after, before))
        elif kind is Kind.PIN:
            blocks.append(Block(drawn.element.id, PIN_LENGTH))
        elif kind is Kind.ARROW:
            blocks.append(Block(drawn.element.id, max(ARROW_LENGTH, LINE * len(drawn.title) / UNIT + 0.2)))
        else:
            high = LINE * (len(drawn.title) + (not isinstance(plan.circuit[drawn.element.part], Wire))) / UNIT
            blocks.append(Block(drawn.element.id, high + 0.2, 0.1))
    return tuple(_stuck(blocks, dressed))


def _stuck(blocks: list[Block], dressed: tuple[Drawn, ...]) -> list[Block]:
    """An arrow keeps to its end of the chain, and the ring it leads to with it."""
    if dressed[0].element.kind is Kind.ARROW:
        blocks[:2] = [replace(block, share=0.0) for block in blocks[:2]]
    if dressed[-1].element.kind is Kind.ARROW:
        blocks[-2:] = [block if block.share == 0 else replace(block, share=1.0) for block in blocks[-2:]]
    return blocks


def make_run(plan: Arrangement, chain: Chain, column: int, dressed: tuple[Drawn, ...]) -> Run:
    """A chain as the rows see it."""
    return Run(
        chain.top, chain.bottom, column, blocks_of(plan, chain, dressed),
        _room(plan, chain.top, dressed[0]), _room(plan, chain.bottom, dressed[-1]),
    )


def _room(plan: Arrangement, end: Terminal, drawn: Drawn) -> float:
    if drawn.element.kind is Kind.PIN or end in plan.arrows:
        return 0.0
    if isinstance(plan.circuit[end.part], Metal):
        return METAL_ROOM
    return 0.0 if drawn.element.kind is Kind.SYMBOL else ROOM


def reach_right(plan: Arrangement, drawn: Drawn) -> float:
    """Px from a column's line to the end of what stands right of it."""
    words = max((text_width(line, SIZES["title"]) for line in drawn.title), default=0.0)
    match drawn.element.kind:
        case Kind.SYMBOL:
            name = text_width(drawn.element.part, SIZES["id"], bold=True)
            return drawn.symbol.reach * UNIT + 12 + max(words, name)
        case Kind.RUN if isinstance(plan.circuit[drawn.element.part], Joint):
            return 16 + max(words, text_width(drawn.element.part, SIZES["id"], bold=True))
        case Kind.RUN:
            name, _, rest = drawn.title[0].partition(" ")
            return 10 + text_width(name, SIZES["wire"], bold=True) + text_width(" " + rest, SIZES["wire"])
        case Kind.ARROW:
            return 12 + words
    return 20.0


def reach_left(drawn: Drawn) -> float:
    """Px from a column's line to the end of what is drawn left of it: arms, buttons, fuses pulled out."""
    if drawn.symbol is None:
        return LEAST_LEFT
    # Symbols that run down lie with their y to the right, those that run up with their y to the left.
    way = 1 if drawn.up else -1
    spots = (spot for stroke in drawn.symbol.strokes for spot in _spots(stroke))
    return max(LEAST_LEFT, 4 + UNIT * max(way * y for _x, y in spots))


def _spots(stroke: Stroke) -> Iterator[Spot]:
    """The corners of a stroke, of a circle those of its box."""
    match stroke.segment:
        case SegmentCircle(center=(x, y), radius=radius):
            yield from ((x - radius, y - radius), (x + radius, y + radius))
        case SegmentPoly(verts=verts):
            yield from verts
        case Segment(path=path):
            yield from path


def name_reach(text: str) -> float:
    """Px a terminal's name reaches left of its column."""
    return RING + 5 + text_width(text, SIZES["terminal"])


@dataclass(frozen=True, slots=True)
class Columns:
    """The middle of each column in grid units, and how wide the sheet is."""

    middles: tuple[float, ...]
    width: float


def set_columns(lefts: Mapping[int, float], rights: Mapping[int, float], margin: float) -> Columns:
    """Columns side by side, each with the room it asks for in px."""
    middles, x = [], margin
    for column in range(len(lefts)):
        x += lefts[column]
        middles.append(round(x / UNIT * 2 + 0.4999) / 2)
        x = middles[-1] * UNIT + rights[column] + GAP
    return Columns(tuple(middles), x - GAP + margin)
