"""A stage drawn once by schemdraw; painted many times from then on without it."""

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from xml.etree import ElementTree

from kit.circuit import Circuit
from kit.draw.arrange import Arrangement, arrange, arranged, read_order
from kit.draw.labels import Label
from kit.draw.layout import Item, lay_out
from kit.draw.places import UNIT, Spot, StagePlaces, check_sections, read_places
from kit.draw.strokes import ink_tracks
from kit.draw.svg_only import Element, schemdraw
from kit.draw.symbols import Paint
from kit.machines.machine import Machine, Stage

POINTS_PER_INCH = 72
# A part narrower than this, in px, still gets a box this wide to click on (WCAG 2.2, 2.5.8: 24 px).
LEAST_HIT = 24
HIT_MARGIN = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class Ink:
    """One drawn shape: its SVG tag and geometry, and how it is to be painted."""

    of: str
    tag: str
    geometry: str
    paint: Paint
    node: str
    when: str
    extra: int
    offset: float
    box: tuple[float, float, float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """All the geometry of a stage, in px; ``points`` are the rings a lead goes on, ``parts`` the boxes to click."""

    width: float
    height: float
    inks: tuple[Ink, ...]
    labels: tuple[Label, ...]
    points: tuple[tuple[str, float, float], ...]
    parts: tuple[tuple[str, float, float, float, float], ...]


class Piece(Element):
    """One schemdraw segment at its place."""

    def __init__(self, segment: object, number: int, at: Spot, turn: int) -> None:
        super().__init__()
        # schemdraw's SVG has no ids: a piece's number is its colour, read back from the finished picture.
        segment.color = f"#{number:06x}"
        self.segments.append(segment)
        self.at(at).theta(turn)


def draw_sheet(machine: Machine, stage: str | None) -> Sheet:
    """The sheet of a stage, or of the whole machine, drawn the first time it is asked for.

    Where the machine file has places for the stage they are kept to, else they are worked out. Raises DrawingError for
    places that do not fit.
    """
    push_buttons = frozenset(
        switch for control in machine.controls.values() if control.springs_back
        for switches in control.closes.values() for switch in switches
    )
    if stage is not None and check_sections(machine, stage):
        places = read_places(machine, stage)
        return _draw_places(machine.id, machine.circuit, tuple(machine.stages.values()), places, push_buttons)
    plan = arrange(machine, stage)
    stages = tuple(machine.stages.values())
    return _draw_tracks(plan.circuit, stages, stage, read_order(machine), push_buttons)


@lru_cache(maxsize=128)
def _draw_places(
    machine: str, circuit: Circuit, stages: tuple[Stage, ...], places: StagePlaces, push_buttons: frozenset[str]
) -> Sheet:
    layout = lay_out(machine, circuit, stages, places, push_buttons)
    return _draw(circuit, layout.items, layout.labels, places.size)


@lru_cache(maxsize=128)
def _draw_tracks(
    circuit: Circuit, stages: tuple[Stage, ...], stage: str | None, order: tuple[str, ...], push_buttons: frozenset[str]
) -> Sheet:
    return draw_arranged(arranged(circuit, stages, stage, order), push_buttons)


def draw_arranged(plan: Arrangement, push_buttons: frozenset[str]) -> Sheet:
    """The sheet of an arrangement of your own, drawn anew at every call."""
    board = ink_tracks(plan, push_buttons)
    return _draw(plan.circuit, board.items, board.labels, board.tracks.size)


def _draw(circuit: Circuit, items: Sequence[Item], texts: Sequence[Label], size: Spot) -> Sheet:
    drawing = schemdraw.Drawing(canvas="svg", show=False)
    drawing.config(inches_per_unit=UNIT / POINTS_PER_INCH)
    for number, item in enumerate(items):
        drawing.add(Piece(item.stroke.segment, number, item.at, item.turn))
    drawn = _read_back(drawing)
    inks = tuple(_ink(item, drawn[number]) for number, item in enumerate(items))
    labels = tuple(replace(label, x=round(label.x, 2), y=round(label.y, 2)) for label in texts)
    rings = [ink for ink in inks if ink.paint is Paint.POINT]
    points = tuple((ink.of, (ink.box[0] + ink.box[2]) / 2, (ink.box[1] + ink.box[3]) / 2) for ink in rings)
    return Sheet(
        width=size[0] * UNIT, height=size[1] * UNIT, inks=inks, labels=labels, points=points,
        parts=_hit_boxes(circuit, items, inks),
    )


def _read_back(drawing: schemdraw.Drawing) -> dict[int, ElementTree.Element]:
    """Each drawn shape by the number its colour stands for."""
    found = {}
    for shape in drawing.draw(show=False).getsvg().iter():
        colour = re.search(r"#([0-9a-f]{6})", shape.get("style", "") or shape.get("fill", ""))
        if colour:
            found[int(colour[1], 16)] = shape
    return found


def _ink(item: Item, shape: ElementTree.Element) -> Ink:
    tag = shape.tag.rpartition("}")[2]
    stroke = item.stroke
    names = {"path": ("d",), "polygon": ("points",), "circle": ("cx", "cy", "r")}[tag]
    texts = {name: _rounded(shape.get(name, "")) for name in names}
    geometry = " ".join(f'{name}="{text}"' for name, text in texts.items())
    return Ink(
        of=item.of, tag=tag, geometry=geometry, paint=stroke.paint, node=stroke.node, when=stroke.when,
        extra=item.extra, offset=round(item.offset, 2), box=_box(tag, texts),
    )


def _rounded(text: str) -> str:
    """The same geometry with every number to two decimals at most, so that no float's last digit shows."""
    return re.sub(r"-?\d+\.?\d*(?:e-?\d+)?", lambda number: f"{round(float(number[0]), 2) + 0.0:g}", text)


def _box(tag: str, texts: dict[str, str]) -> tuple[float, float, float, float]:
    numbers = [float(number) for text in texts.values() for number in re.findall(r"-?\d+\.?\d*", text)]
    if tag == "circle":
        x, y, radius = numbers
        return x - radius, y - radius, x + radius, y + radius
    return min(numbers[::2]), min(numbers[1::2]), max(numbers[::2]), max(numbers[1::2])


def _hit_boxes(
    circuit: Circuit, items: Sequence[Item], inks: Sequence[Ink]
) -> tuple[tuple[str, float, float, float, float], ...]:
    """A box to click on for each part; for one drawn in pieces, the first piece of it."""
    mine: dict[str, dict[str, list[Ink]]] = {}
    for item, ink in zip(items, inks, strict=True):
        if ink.of in circuit and not item.aside:
            mine.setdefault(ink.of, {}).setdefault(item.piece, []).append(ink)
    return tuple(_hit_box(part, next(iter(pieces.values()))) for part, pieces in mine.items())


def _hit_box(part: str, inks: Sequence[Ink]) -> tuple[str, float, float, float, float]:
    boxes = [ink.box for ink in inks]
    x0, y0 = min(box[0] for box in boxes) - HIT_MARGIN, min(box[1] for box in boxes) - HIT_MARGIN
    x1, y1 = max(box[2] for box in boxes) + HIT_MARGIN, max(box[3] for box in boxes) + HIT_MARGIN
    wide, high = max(0.0, LEAST_HIT - (x1 - x0)) / 2, max(0.0, LEAST_HIT - (y1 - y0)) / 2
    return part, round(x0 - wide, 2), round(y0 - high, 2), round(x1 - x0 + 2 * wide, 2), round(y1 - y0 + 2 * high, 2)
