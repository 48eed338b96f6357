"""The block view: a machine's stages as boxes in order, and what feeds what, for the first look at a machine."""

import textwrap
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from html import escape
from types import MappingProxyType

from kit.draw.flow import LANE, trunks
from kit.draw.labels import touched
from kit.draw.paint import frame
from kit.draw.palette import PALETTE, check_ground
from kit.draw.picture import Picture
from kit.draw.places import BLOCKS, UNIT, Entry
from kit.errors import DrawingError
from kit.machines.machine import Machine

NAME_SIZE = 15
ABOUT_SIZE = 12
ABOUT_LINE = 16
PADDING = 10
# Px a character of the widest usual font takes at ABOUT_SIZE, on average.
CHARACTER = 6.5
BOX = (9.5, 5.0)
HEAD = 9
CORNER = 10
# The list of stages: its boxes, the gap between them, and the step from one way into a box to the next, in px.
MARGIN, LIST_WIDE, LIST_GAP, WAY_IN = 14.0, 300.0, 16.0, 9.0


@dataclass(frozen=True, slots=True)
class Box:
    """A stage's box in px."""

    left: float
    top: float
    right: float
    bottom: float


def blocks(machine: Machine, *, ground: str = "light") -> Picture:
    """The block view: as the machine file places it, else the stages in a row with what feeds what beside them.

    Raises DrawingError for a stage without a place in the file, or an arrow between stages that do not meet.
    """
    check_ground(ground)
    colours = PALETTE[ground]
    placed = _placed if BLOCKS in machine.places else _listed
    boxes, lines, width, height = placed(machine, colours)
    body = list(lines)
    for number, stage in enumerate(machine.stages.values(), 1):
        body += _block(number, stage.id, stage.about, boxes[stage.id], colours)
    title = f"{machine.title}: its {len(boxes)} stages"
    said = " ".join(f"{number}. {stage.id}: {stage.about}" for number, stage in enumerate(machine.stages.values(), 1))
    return Picture(
        title=title, svg=frame(body, width, height, ground, title=title, description=said), width=width, height=height,
        labels=tuple(sorted(text for stage in machine.stages.values() for text in (stage.id, stage.about))),
        parts=MappingProxyType({
            stage: (box.left, box.top, box.right - box.left, box.bottom - box.top) for stage, box in boxes.items()
        }),
    )


def _placed(machine: Machine, colours: Mapping) -> tuple[dict[str, Box], list[str], float, float]:
    """Boxes and arrows as the machine file places them."""
    page = Entry(machine.id, BLOCKS, "sheet", machine.places[BLOCKS])
    width, height = page.pair("sheet")
    boxes = {stage: _read_box(machine, stage, page) for stage in machine.stages}
    arrows = _read_arrows(machine, page)
    for key in page.given:
        if key not in ("sheet", "arrows", *machine.stages):
            raise DrawingError(
                f"{machine.id}, places, {BLOCKS}: there is no stage '{key}'; expected {', '.join(machine.stages)}."
            )
    lines = [line for start, end in arrows for line in _arrow(boxes[start], boxes[end], colours)]
    return boxes, lines, width * UNIT, height * UNIT


def _listed(machine: Machine, colours: Mapping) -> tuple[dict[str, Box], list[str], float, float]:
    """The stages one under another, and right of them a trunk for each stage that feeds others."""
    boxes, y = {}, MARGIN
    for stage in machine.stages.values():
        lines = textwrap.wrap(stage.about, int((LIST_WIDE - 2 * PADDING) / CHARACTER))
        high = 40 + ABOUT_LINE * max(1, len(lines))
        boxes[stage.id] = Box(MARGIN, y, MARGIN + LIST_WIDE, y + high)
        y += high + LIST_GAP
    found = trunks(machine)
    right = MARGIN + LIST_WIDE
    ways_in: dict[str, int] = {}
    lines = []
    for trunk in found:
        x, start = right + LANE * (trunk.lane + 1.5), boxes[trunk.stage].bottom - 9
        ends = []
        for stage in trunk.fed:
            ends.append(boxes[stage].top + 9 + WAY_IN * ways_in.get(stage, 0))
            ways_in[stage] = ways_in.get(stage, 0) + 1
        lines += _trunk(right, x, start, ends, colours)
    lanes = max((trunk.lane for trunk in found), default=-1) + 1
    return boxes, lines, right + LANE * (lanes + 1) + MARGIN, y - LIST_GAP + MARGIN


def _trunk(right: float, x: float, start: float, ends: list[float], colours: Mapping) -> Iterator[str]:
    """A line out of a box, along its lane, and with a head into each box it feeds."""
    style = f'fill="none" stroke="{colours["soft"]}" stroke-width="2"'
    yield f'<path d="M {right:g},{start:g} L {x:g},{start:g}" {style}/>'
    yield f'<path d="M {x:g},{min(start, *ends):g} L {x:g},{max(start, *ends):g}" {style} stroke-linecap="square"/>'
    yield f'<circle cx="{x:g}" cy="{start:g}" r="3" fill="{colours["soft"]}"/>'
    for y in ends:
        yield f'<path d="M {x:g},{y:g} L {right + HEAD:g},{y:g}" {style}/>'
        yield (
            f'<polygon points="{right:g},{y:g} {right + HEAD:g},{y - HEAD / 2:g} {right + HEAD:g},{y + HEAD / 2:g}" '
            f'fill="{colours["soft"]}"/>'
        )


def _read_box(machine: Machine, stage: str, page: Entry) -> Box:
    if stage not in page.given:
        raise DrawingError(f"{machine.id}, places, {BLOCKS}: {stage} has no place; expected {stage}: {{at: [x, y]}}.")
    entry = Entry(machine.id, BLOCKS, stage, page.given[stage])
    entry.allow("at", "wide", "high")
    (x, y), wide, high = entry.pair("at"), entry.number("wide", BOX[0]), entry.number("high", BOX[1])
    return Box(x * UNIT, y * UNIT, (x + wide) * UNIT, (y + high) * UNIT)


def _read_arrows(machine: Machine, page: Entry) -> list[tuple[str, str]]:
    listed = page.given.get("arrows", ())
    shared = {stage.id: set(touched(machine.circuit, stage)) for stage in machine.stages.values()}
    arrows = []
    for arrow in listed:
        if not isinstance(arrow, (list, tuple)) or len(arrow) != 2 or not set(arrow) <= set(machine.stages):
            raise page.error(f"arrow '{arrow}'", "[one stage, another stage]")
        if not shared[arrow[0]] & shared[arrow[1]]:
            raise page.error(f"arrow from {arrow[0]} to {arrow[1]}", "two stages that share a terminal")
        arrows.append((arrow[0], arrow[1]))
    return arrows


def _block(number: int, name: str, about: str, box: Box, colours: Mapping) -> Iterator[str]:
    x, y = box.left + PADDING, box.top + PADDING
    lines = textwrap.wrap(about, int((box.right - box.left - 2 * PADDING) / CHARACTER))
    yield f'<g data-stage="{escape(name)}">'
    yield (
        f'<rect x="{box.left:g}" y="{box.top:g}" width="{box.right - box.left:g}" height="{box.bottom - box.top:g}" '
        f'rx="{CORNER}" fill="{colours["paper"]}" stroke="{colours["ink"]}" stroke-width="2"/>'
    )
    yield (
        f'<text x="{x:g}" y="{y + 13:g}" font-size="{NAME_SIZE}" font-weight="700" fill="{colours["ink"]}" '
        f'data-label="{escape(name)}"><tspan fill="{colours["soft"]}" font-weight="400">{number}</tspan>'
        f' {escape(name)}</text>'
    )
    spans = "".join(
        f'<tspan x="{x:g}" dy="{ABOUT_LINE if at else 0}">{escape(line)}</tspan>' for at, line in enumerate(lines)
    )
    yield (
        f'<text x="{x:g}" y="{y + 34:g}" font-size="{ABOUT_SIZE}" fill="{colours["soft"]}" '
        f'data-label="{escape(about)}">{spans}</text>'
    )
    yield "</g>"


def _arrow(start: Box, end: Box, colours: Mapping) -> Iterator[str]:
    """Straight where the boxes face each other, else out to the side and then down or up."""
    left, right = max(start.left, end.left), min(start.right, end.right)
    top, bottom = max(start.top, end.top), min(start.bottom, end.bottom)
    if left < right:
        x = (left + right) / 2
        below = end.top > start.top
        points = [(x, start.bottom if below else start.top), (x, end.top if below else end.bottom)]
    elif top < bottom:
        y = (top + bottom) / 2
        after = end.left > start.left
        points = [(start.right if after else start.left, y), (end.left if after else end.right, y)]
    else:
        x, y = (end.left + end.right) / 2, (start.top + start.bottom) / 2
        edge = end.top if end.top > y else end.bottom
        points = [(start.right if x > start.right else start.left, y), (x, y), (x, edge)]
    (x0, y0), (x1, y1) = points[-2:]
    dx, dy = (x1 > x0) - (x1 < x0), (y1 > y0) - (y1 < y0)
    back = (x1 - HEAD * dx, y1 - HEAD * dy)
    route = " L ".join(f"{x:g},{y:g}" for x, y in [*points[:-1], back])
    yield f'<path d="M {route}" fill="none" stroke="{colours["soft"]}" stroke-width="2" stroke-linejoin="round"/>'
    side = HEAD / 2
    yield (
        f'<polygon points="{x1:g},{y1:g} {back[0] + side * dy:g},{back[1] + side * dx:g} '
        f'{back[0] - side * dy:g},{back[1] - side * dx:g}" fill="{colours["soft"]}"/>'
    )
