"""Graphical symbols in the manner of IEC 60617, made of schemdraw segments.

Each symbol lies along x from its first terminal at (0, 0) to its second at (length, 0), y up, in grid units. ``aside``
is +1 or -1: the side that ends up above or to the left on the sheet, where arms open and fuses are pulled; labels keep
to the other side. A conductor names the terminal whose state it takes.
"""

from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum

from schemdraw.segments import Segment, SegmentCircle, SegmentPoly

from kit.circuit import Battery, ControlUnit, Diode, Fuse, Lamp, Motor, Part, Relay, Switch

Spot = tuple[float, float]
LENGTH = 4.0
UNIT_LENGTH = 6.0
COIL_OFFSET = 7.0


class Paint(Enum):
    """How a stroke is painted."""

    CONDUCTOR = "conductor"
    LINE = "line"
    SOLID = "solid"
    LINK = "link"
    HATCH = "hatch"
    POINT = "point"


@dataclass(frozen=True, slots=True, kw_only=True)
class Stroke:
    """One schemdraw segment: how to paint it, whose state it takes, and in which variant it is seen (empty: always)."""

    segment: object
    paint: Paint = Paint.LINE
    node: str = ""
    when: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Symbol:
    """Strokes, where the terminals are, and how far the body reaches to the label's side and along the axis."""

    strokes: tuple[Stroke, ...]
    terminals: tuple[tuple[str, float, float], ...]
    reach: float
    length: float = LENGTH


def draw_symbol(part: Part, *, aside: int, push_button: bool) -> Symbol:
    """The symbol of a part. ``push_button``: the control that closes this switch springs back."""
    match part:
        case Battery():
            return _battery(part)
        case Fuse():
            return _fuse(part, aside)
        case Switch():
            actuator = _push if push_button else _hand if part.id.startswith("S") else _cam
            return _switch(part, aside, actuator)
        case Relay():
            return _relay(part, aside)
        case Diode():
            return _diode(part)
        case Lamp():
            return _lamp(part)
        case Motor():
            return _motor(part)
        case ControlUnit():
            return _control_unit(part)
    raise TypeError(f"{part.word} {part.id} has no symbol.")


def draw_contact(part: Relay, *, aside: int) -> Symbol:
    """A relay's contact alone, for a stage the coil is not in."""
    far = (2, 1.3 * aside)
    strokes = _arm(f"{part.id}.30", f"{part.id}.87", aside, lambda mid, when: (_link((2, mid), far, when),))
    return Symbol(strokes=strokes, terminals=(("30", 0, 0), ("87", LENGTH, 0)), reach=0.5)


def make_path(points: list[Spot], paint: Paint = Paint.LINE, *, node: str = "", when: str = "") -> Stroke:
    """A line through points."""
    return Stroke(segment=Segment(points), paint=paint, node=node, when=when)


def make_polygon(points: list[Spot], paint: Paint = Paint.LINE, *, node: str = "", when: str = "") -> Stroke:
    """A closed outline."""
    return Stroke(segment=SegmentPoly(points), paint=paint, node=node, when=when)


def make_circle(middle: Spot, radius: float, paint: Paint = Paint.LINE, *, node: str = "", when: str = "") -> Stroke:
    """A circle."""
    return Stroke(segment=SegmentCircle(middle, radius), paint=paint, node=node, when=when)


def _wire(points: list[Spot], node: str, when: str = "") -> Stroke:
    return make_path(points, Paint.CONDUCTOR, node=node, when=when)


def _link(start: Spot, end: Spot, when: str = "") -> Stroke:
    return make_path([start, end], Paint.LINK, when=when)


def _box(x0: float, y0: float, x1: float, y1: float, when: str = "") -> Stroke:
    return make_polygon([(x0, y0), (x1, y0), (x1, y1), (x0, y1)], when=when)


def _ends(part: Part, inner: tuple[float, float], length: float = LENGTH) -> tuple[Stroke, ...]:
    first, second = (f"{part.id}.{name}" for name in part.terminal_names)
    return _wire([(0, 0), (inner[0], 0)], first), _wire([(inner[1], 0), (length, 0)], second)


def _two(part: Part, strokes: tuple[Stroke, ...], reach: float, length: float = LENGTH) -> Symbol:
    first, second = part.terminal_names
    return Symbol(strokes=strokes, terminals=((first, 0, 0), (second, length, 0)), reach=reach, length=length)


def _battery(part: Battery) -> Symbol:
    return _two(part, (
        *_ends(part, (1.4, 2.6)),
        make_path([(1.4, -0.9), (1.4, 0.9)]), make_path([(2.25, -0.9), (2.25, 0.9)]),
        _bar(1.75, 0.45), _bar(2.6, 0.45), _link((1.75, 0), (2.25, 0)),
    ), reach=0.9)


def _bar(x: float, half: float) -> Stroke:
    thick = 0.08
    points = [(x - thick, -half), (x + thick, -half), (x + thick, half), (x - thick, half)]
    return make_polygon(points, Paint.SOLID)


def _fuse(part: Fuse, aside: int) -> Symbol:
    one, two = f"{part.id}.1", f"{part.id}.2"
    lifted = 1.1 * aside
    return _two(part, (
        *_ends(part, (1.1, 2.9)),
        _box(1.1, -0.38, 2.9, 0.38, "sound"), _wire([(1.1, 0), (2, 0)], one, "sound"),
        _wire([(2, 0), (2.9, 0)], two, "sound"),
        # Stumps in ink: dashes would eat them.
        _box(1.1, -0.38, 2.9, 0.38, "blown"), make_path([(1.1, 0), (1.55, 0), (1.7, 0.24)], when="blown"),
        make_path([(2.9, 0), (2.45, 0), (2.3, -0.24)], when="blown"),
        _box(1.1, lifted - 0.38, 2.9, lifted + 0.38, "out"), make_path([(0.85, lifted), (3.15, lifted)], when="out"),
        make_path([(1.1, -0.2), (1.1, 0.2)], when="out"), make_path([(2.9, -0.2), (2.9, 0.2)], when="out"),
    ), reach=0.5)


def _arm(
    start: str, end: str, aside: int, actuator: Callable[[float, str], tuple[Stroke, ...]]
) -> tuple[Stroke, ...]:
    """A make contact: fixed ends, and an arm from the first terminal in both positions, with what moves it."""
    return (
        _wire([(0, 0), (1.05, 0)], start), _wire([(2.95, 0), (LENGTH, 0)], end),
        make_circle((1.2, 0), 0.15), make_circle((2.8, 0), 0.15),
        _wire([(1.33, 0.07 * aside), (2.7, 0.8 * aside)], start, "open"), *actuator(0.43 * aside, "open"),
        _wire([(1.35, 0), (2, 0)], start, "closed"), _wire([(2, 0), (2.65, 0)], end, "closed"), *actuator(0, "closed"),
    )


def _switch(part: Switch, aside: int, actuator: Callable[[float, int, str], tuple[Stroke, ...]]) -> Symbol:
    strokes = _arm(f"{part.id}.1", f"{part.id}.2", aside, lambda mid, when: actuator(mid, aside, when))
    return _two(part, strokes, reach=0.5)


def _hand(mid: float, aside: int, when: str) -> tuple[Stroke, ...]:
    top = 1.35 * aside
    return _link((2, mid), (2, top), when), make_path([(1.6, top), (2.4, top)], when=when)


def _push(mid: float, aside: int, when: str) -> tuple[Stroke, ...]:
    top = mid + 0.95 * aside
    lip = top - 0.22 * aside
    return _link((2, mid), (2, top), when), make_path([(1.6, lip), (1.6, top), (2.4, top), (2.4, lip)], when=when)


def _cam(mid: float, aside: int, when: str) -> tuple[Stroke, ...]:
    """Operated by the machine: a roller rides on the link."""
    top = mid + 0.72 * aside
    roller = make_circle((2, top + 0.22 * aside), 0.22, when=when)
    return _link((2, mid), (2, top), when), roller


def _relay(part: Relay, aside: int) -> Symbol:
    """The contact on the axis, the coil beside it, tied by a dashed link."""
    coil = COIL_OFFSET * aside
    near = coil - 0.9 * aside
    return Symbol(
        strokes=(
            *_arm(f"{part.id}.30", f"{part.id}.87", aside, lambda mid, when: (_link((2, near), (2, mid), when),)),
            _wire([(0, coil), (1.3, coil)], f"{part.id}.86"), _wire([(2.7, coil), (LENGTH, coil)], f"{part.id}.85"),
            _box(1.3, coil - 0.9, 2.7, coil + 0.9),
        ),
        terminals=(("30", 0, 0), ("87", LENGTH, 0), ("86", 0, coil), ("85", LENGTH, coil)), reach=0.5,
    )


def _diode(part: Diode) -> Symbol:
    return _two(part, (
        *_ends(part, (1.45, 2.55)),
        make_polygon([(1.45, -0.62), (1.45, 0.62), (2.55, 0)]), make_path([(2.55, -0.62), (2.55, 0.62)]),
    ), reach=0.65)


def _lamp(part: Lamp) -> Symbol:
    arm = 0.85 * 0.7071
    return _two(part, (
        *_ends(part, (1.15, 2.85)), make_circle((2, 0), 0.85),
        make_path([(2 - arm, -arm), (2 + arm, arm)]), make_path([(2 - arm, arm), (2 + arm, -arm)]),
    ), reach=0.9)


def _motor(part: Motor) -> Symbol:
    return _two(part, (*_ends(part, (0.95, 3.05)), make_circle((2, 0), 1.05)), reach=1.1)


def _control_unit(part: ControlUnit) -> Symbol:
    return _two(part, (
        *_ends(part, (1.2, UNIT_LENGTH - 1.2), UNIT_LENGTH), _box(1.2, -1.2, UNIT_LENGTH - 1.2, 1.2),
        _box(2.6, -0.4, 3.4, 0.4),
        *(make_path([(x, y), (x, 1.75 * y)]) for x in (2.8, 3.2) for y in (-0.4, 0.4)),
        *(make_path([(x, y), (x + d, y)]) for x, d in ((2.6, -0.3), (3.4, 0.3)) for y in (-0.2, 0.2)),
    ), reach=1.25, length=UNIT_LENGTH)


def draw_letter_m(x: float, y: float) -> Stroke:
    """The upright M inside a motor's circle, drawn in lines so that it never turns with the symbol."""
    half = 0.32
    return make_path([
        (x - half, y - half), (x - half, y + half), (x, y - 0.1), (x + half, y + half), (x + half, y - half),
    ])
