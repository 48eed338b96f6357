"""Graphical symbols in the manner of IEC 60617, made of schemdraw segments.

Each symbol lies along x from its first terminal at (0, 0) to its second at (length, 0), y up, in grid units. ``aside``
is +1 or -1: the side that ends up above or to the left on the sheet, where arms open and fuses are pulled; labels keep
to the other side. A conductor names the terminal whose state it takes.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum

from kit.circuit import (
    LED,
    Alternator,
    Battery,
    ControlUnit,
    Diode,
    FloatCharger,
    FuelSolenoid,
    Fuse,
    GlowPlug,
    Lamp,
    Magneto,
    Motor,
    Part,
    RegulatorRectifier,
    Relay,
    Resistor,
    StarterSolenoid,
    Stator,
    Switch,
)
from kit.draw.svg_only import Segment, SegmentCircle, SegmentPoly

Spot = tuple[float, float]
LENGTH = 4.0
UNIT_LENGTH = 6.0
COIL_OFFSET = 7.0
PIN_STEP = 2.0
# Part letters of contacts moved by hand: switches and isolators.
BY_HAND = "SQ"


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
            actuator = _push if push_button else _hand if part.id[0] in BY_HAND else _cam
            return _switch(part, aside, actuator)
        case Relay():
            return _relay(part, aside)
        case StarterSolenoid():
            return _starter_solenoid(part, aside)
        case FuelSolenoid():
            return _fuel_solenoid(part, aside)
        case Diode():
            return _diode(part)
        case LED():
            return _led(part, aside)
        case Resistor() if is_motor(part):
            return _motor(part)
        case Resistor() | GlowPlug():
            return _resistor(part)
        case Lamp():
            return _lamp(part)
        case Magneto():
            return _magneto(part)
        case Motor():
            return _motor(part)
        case ControlUnit():
            return _control_unit(part, aside)
        case Alternator() | Stator() | RegulatorRectifier() | FloatCharger():
            return _charging(part, aside)
    raise TypeError(f"{part.word} {part.id} has no symbol.")


def is_motor(part: Part) -> bool:
    """Whether a part is drawn as a motor: a starter, or a pump or fan that is but ohms to the circuit."""
    return isinstance(part, Motor) or (isinstance(part, Resistor) and part.id.startswith("M"))


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
    rest: tuple[tuple[str, float, float], ...] = ()
    more: tuple[Stroke, ...] = ()
    if part.contacts == "change-over":
        # The arm lies on 87a while the relay is at rest.
        side = 1.6 * aside
        rest = (("87a", LENGTH, side),)
        more = (_wire([(2.75, 0.95 * aside), (2.75, side), (LENGTH, side)], f"{part.id}.87a"),)
    if part.suppression == "diode":
        beyond = coil + 1.7 * aside
        more += (
            _wire([(0.5, coil), (0.5, beyond), (1.5, beyond)], f"{part.id}.86"),
            _wire([(2.5, beyond), (3.5, beyond), (3.5, coil)], f"{part.id}.85"),
            make_polygon([(2.5, beyond - 0.5), (2.5, beyond + 0.5), (1.5, beyond)]),
            make_path([(1.5, beyond - 0.5), (1.5, beyond + 0.5)]),
        )
    return Symbol(
        strokes=(
            *_arm(f"{part.id}.30", f"{part.id}.87", aside, lambda mid, when: (_link((2, near), (2, mid), when),)),
            _wire([(0, coil), (1.3, coil)], f"{part.id}.86"), _wire([(2.7, coil), (LENGTH, coil)], f"{part.id}.85"),
            _box(1.3, coil - 0.9, 2.7, coil + 0.9), *more,
        ),
        terminals=(("30", 0, 0), ("87", LENGTH, 0), ("86", 0, coil), ("85", LENGTH, coil), *rest), reach=0.5,
    )


def _starter_solenoid(part: StarterSolenoid, aside: int) -> Symbol:
    """The contact on the axis; beside it the hold coil, and between them the pull coil, from 50 over to M."""
    hold, pull = COIL_OFFSET * aside, COIL_OFFSET * aside - 2.6 * aside
    near = pull - 0.9 * aside
    return Symbol(
        strokes=(
            *_arm(f"{part.id}.30", f"{part.id}.M", aside, lambda mid, when: (_link((2, near), (2, mid), when),)),
            _wire([(0, hold), (1.3, hold)], f"{part.id}.50"), _wire([(2.7, hold), (LENGTH, hold)], f"{part.id}.body"),
            _wire([(0.5, hold), (0.5, pull), (1.3, pull)], f"{part.id}.50"),
            _wire([(2.7, pull), (3.5, pull), (3.5, 0)], f"{part.id}.M"),
            _box(1.3, hold - 0.9, 2.7, hold + 0.9), _box(1.3, pull - 0.9, 2.7, pull + 0.9),
            make_circle((0.5, hold), 0.1, Paint.SOLID), make_circle((3.5, 0), 0.1, Paint.SOLID),
        ),
        terminals=(("30", 0, 0), ("M", LENGTH, 0), ("50", 0, hold), ("body", LENGTH, hold)), reach=0.5,
    )


def _fuel_solenoid(part: FuelSolenoid, aside: int) -> Symbol:
    """The hold coil on the axis; beside it the pull coil behind the contact the plunger opens."""
    pull, length = 2.6 * aside, UNIT_LENGTH
    feeder, first = (f"{part.id}.{name}" for name in part.feeds)
    second = f"{part.id}.body"
    apart = feeder != first
    lead = [(0, pull), (1.05, pull)] if apart else [(0.6, 0), (0.6, pull), (1.05, pull)]
    return Symbol(strokes=(
        _wire([(0, 0), (1.25, 0)], first), _wire([(2.65, 0), (length, 0)], second), _box(1.25, -0.9, 2.65, 0.9),
        _wire(lead, feeder), _wire([(4.7, pull), (5.4, pull), (5.4, 0)], second),
        make_circle((1.2, pull), 0.15), make_circle((2.8, pull), 0.15), make_path([(2.95, pull), (3.3, pull)]),
        _box(3.3, pull - 0.9, 4.7, pull + 0.9),
        _wire([(1.35, pull), (2.65, pull)], feeder, "open"), _link((1.95, 0.9 * aside), (1.95, pull), "open"),
        _wire([(1.33, pull + 0.07 * aside), (2.7, pull + 0.8 * aside)], feeder, "closed"),
        _link((1.95, 0.9 * aside), (1.95, pull + 0.4 * aside), "closed"),
        *(() if apart else (make_circle((0.6, 0), 0.1, Paint.SOLID),)), make_circle((5.4, 0), 0.1, Paint.SOLID),
    ), terminals=(
        (part.feeds[1], 0, 0), ("body", length, 0), *((("pull", 0, pull),) if apart else ())
    ), reach=0.95, length=length)


def _diode(part: Diode) -> Symbol:
    return _two(part, (
        *_ends(part, (1.45, 2.55)),
        make_polygon([(1.45, -0.62), (1.45, 0.62), (2.55, 0)]), make_path([(2.55, -0.62), (2.55, 0.62)]),
    ), reach=0.65)


def _led(part: LED, aside: int) -> Symbol:
    """A diode whose light leaves it in two arrows."""
    rays: list[Stroke] = []
    for x in (1.75, 2.3):
        start, tip = (x, 0.75 * aside), (x + 0.5, 1.35 * aside)
        rays += [make_path([start, tip]), make_path([(tip[0] - 0.3, tip[1]), tip, (tip[0], tip[1] - 0.28 * aside)])]
    return _two(part, (
        *_ends(part, (1.45, 2.55)),
        make_polygon([(1.45, -0.62), (1.45, 0.62), (2.55, 0)]), make_path([(2.55, -0.62), (2.55, 0.62)]), *rays,
    ), reach=0.65)


def _resistor(part: "Resistor | GlowPlug") -> Symbol:
    """A box; a glow plug's has the bars of a heater."""
    bars = (1.55, 2.0, 2.45) if isinstance(part, GlowPlug) else ()
    return _two(part, (
        *_ends(part, (1.1, 2.9)), _box(1.1, -0.38, 2.9, 0.38), *(make_path([(x, -0.38), (x, 0.38)]) for x in bars),
    ), reach=0.5)


def _lamp(part: Lamp) -> Symbol:
    arm = 0.85 * 0.7071
    return _two(part, (
        *_ends(part, (1.15, 2.85)), make_circle((2, 0), 0.85),
        make_path([(2 - arm, -arm), (2 + arm, arm)]), make_path([(2 - arm, arm), (2 + arm, -arm)]),
    ), reach=0.9)


def _motor(part: Motor | Resistor) -> Symbol:
    return _two(part, (*_ends(part, (0.95, 3.05)), make_circle((2, 0), 1.05)), reach=1.1)


def _control_unit(part: ControlUnit, aside: int) -> Symbol:
    """A box with a chip in it; its pins leave on the side away from the label."""
    pins = part.inside[1:]
    length = max(UNIT_LENGTH, 2.4 + PIN_STEP * (len(pins) + 1))
    first, second = (f"{part.id}.{name}" for name in part.terminal_names)
    middle, edge, end = length / 2, 1.2 * aside, 2.6 * aside
    spots = [(pin, 1.2 + PIN_STEP * (number + 1), end) for number, pin in enumerate(pins)]
    return Symbol(strokes=(
        _wire([(0, 0), (1.2, 0)], first), _wire([(length - 1.2, 0), (length, 0)], second),
        _box(1.2, -1.2, length - 1.2, 1.2), _box(middle - 0.4, -0.4, middle + 0.4, 0.4),
        *(make_path([(x, y), (x, 1.75 * y)]) for x in (middle - 0.2, middle + 0.2) for y in (-0.4, 0.4)),
        *(make_path([(x, y), (x + d, y)]) for x, d in ((middle - 0.4, -0.3), (middle + 0.4, 0.3)) for y in (-0.2, 0.2)),
        *(_wire([(x, edge), (x, y)], f"{part.id}.{pin}") for pin, x, y in spots),
    ), terminals=(("supply", 0, 0), ("ground", length, 0), *spots), reach=1.25, length=length)


def _charging(part: "Alternator | Stator | RegulatorRectifier | FloatCharger", aside: int) -> Symbol:
    """A round machine with a wave in it, or a box with a diode; further terminals leave away from the label."""
    first, second = part.terminal_names[:2]
    pins = [terminal.name for terminal in part.terminals if terminal.name not in (first, second)]
    length = LENGTH if len(pins) < 2 else 2.4 + PIN_STEP * (len(pins) + 1)
    middle, end = length / 2, 2.6 * aside
    if isinstance(part, (RegulatorRectifier, FloatCharger)):
        half = (length - 2.4) / 2
        body = (
            _box(middle - half, -1.05, middle + half, 1.05), make_path([(middle - 0.4, -0.5), (middle - 0.4, 0.5)]),
            make_polygon([(middle + 0.4, -0.5), (middle + 0.4, 0.5), (middle - 0.4, 0)]),
        )
    else:
        half = 1.05
        wave = [(middle + 0.1 * x, 0.35 * math.sin(0.1 * x * math.pi / 0.6)) for x in range(-6, 7)]
        body = (make_circle((middle, 0), half), make_path(wave))
    spots = [(pin, middle + PIN_STEP * (number - (len(pins) - 1) / 2), end) for number, pin in enumerate(pins)]
    return Symbol(strokes=(
        _wire([(0, 0), (middle - half, 0)], f"{part.id}.{first}"),
        _wire([(middle + half, 0), (length, 0)], f"{part.id}.{second}"), *body,
        *(_wire([(x, 1.05 * aside), (x, y)], f"{part.id}.{pin}") for pin, x, y in spots),
    ), terminals=((first, 0, 0), (second, length, 0), *spots), reach=1.1, length=length)


def _magneto(part: Magneto) -> Symbol:
    """A box with a spark in it: it makes its own."""
    spark = [(1.7, -0.6), (2.15, -0.1), (1.85, 0.1), (2.3, 0.6)]
    return _two(part, (*_ends(part, (1.0, 3.0)), _box(1.0, -1.0, 3.0, 1.0), make_path(spark)), reach=1.0)


def draw_letter_m(x: float, y: float) -> Stroke:
    """The upright M inside a motor's circle, drawn in lines so that it never turns with the symbol."""
    half = 0.32
    return make_path([
        (x - half, y - half), (x - half, y + half), (x, y - 0.1), (x + half, y + half), (x + half, y - half),
    ])
