"""The symbols of a sheet that is worked out: like those of ``symbols``, but each with two terminals on one line.

A relay or a starter solenoid comes in pieces: contacts and coils that stand in columns of their own.
"""

from kit.circuit import FuelSolenoid, Part
from kit.draw.symbols import (
    LENGTH,
    UNIT_LENGTH,
    Paint,
    Stroke,
    Symbol,
    draw_symbol,
    make_circle,
    make_path,
    make_polygon,
)

COIL_HALF = 0.9
# How far off its line a contact's arm is where the link meets it, 0.6 before its middle.
ARM_LIFT = 0.11
COILS = ("coil", "pull", "hold")
# What a piece is called after, or without, the name of its part.
PIECE_WORDS = {"contact": "contact", "pull": "pull coil", "hold": "hold coil"}


def draw_piece(part: Part, piece: str, first: str, second: str, *, aside: int, push_button: bool) -> Symbol:
    """The symbol between two terminals of a part, ``first`` at the start; ``aside`` as in ``symbols``."""
    if piece == "contact":
        return _contact(part, first, second, aside)
    if piece == "pull" and isinstance(part, FuelSolenoid):
        return _cut_coil(part, first, second, aside)
    if piece in COILS:
        return _coil(part, first, second, aside, diode=getattr(part, "suppression", "") == "diode")
    try:
        symbol = draw_symbol(part, aside=aside, push_button=push_button)
    except TypeError:
        return _plain_box(part, first, second)
    on_line = all(beside == 0 for _, _, beside in symbol.terminals)
    if len(symbol.terminals) == 2 and on_line:
        return symbol
    return _plain_box(part, first, second)


def _symbol(first: str, second: str, strokes: tuple[Stroke, ...], reach: float) -> Symbol:
    return Symbol(strokes=strokes, terminals=((first, 0, 0), (second, LENGTH, 0)), reach=reach)


def _leads(part: Part, first: str, second: str, start: float, end: float) -> tuple[Stroke, ...]:
    return (
        make_path([(0, 0), (start, 0)], Paint.CONDUCTOR, node=f"{part.id}.{first}"),
        make_path([(end, 0), (LENGTH, 0)], Paint.CONDUCTOR, node=f"{part.id}.{second}"),
    )


def _contact(part: Part, first: str, second: str, aside: int) -> Symbol:
    """A make contact: its arm on the first terminal, away from the second or on it, in both positions of its coil."""
    one, two = f"{part.id}.{first}", f"{part.id}.{second}"
    strokes = (
        *_leads(part, first, second, 1.05, 2.95), make_circle((1.2, 0), 0.15), make_circle((2.8, 0), 0.15),
        make_path([(1.33, 0.07 * aside), (2.7, 0.8 * aside)], Paint.CONDUCTOR, node=one, when="open"),
        make_path([(1.35, 0), (2, 0)], Paint.CONDUCTOR, node=one, when="closed"),
        make_path([(2, 0), (2.65, 0)], Paint.CONDUCTOR, node=two, when="closed"),
    )
    return _symbol(first, second, strokes, 0.5)


def _coil(part: Part, first: str, second: str, aside: int, *, diode: bool) -> Symbol:
    """A coil across the line; beside it the diode that takes its spike, its line on 86."""
    strokes = [*_leads(part, first, second, 1.3, 2.7), _rectangle(1.3, -COIL_HALF, 2.7, COIL_HALF)]
    if diode:
        y = 1.75 * aside
        one, two = f"{part.id}.{first}", f"{part.id}.{second}"
        # Its line (the cathode) is on the plus side, 86.
        tip, back = (1.6, 2.4) if first == "86" else (2.4, 1.6)
        strokes += [
            make_path([(0.8, 0), (0.8, y), (1.6, y)], Paint.CONDUCTOR, node=one),
            make_path([(2.4, y), (3.2, y), (3.2, 0)], Paint.CONDUCTOR, node=two),
            make_polygon([(back, y - 0.4), (back, y + 0.4), (tip, y)]), make_path([(tip, y - 0.4), (tip, y + 0.4)]),
        ]
    return _symbol(first, second, tuple(strokes), COIL_HALF)


def _cut_coil(part: Part, first: str, second: str, aside: int) -> Symbol:
    """A fuel solenoid's pull coil behind the contact that the plunger opens once it is in."""
    one, two, length = f"{part.id}.{first}", f"{part.id}.{second}", UNIT_LENGTH
    return Symbol(strokes=(
        make_path([(0, 0), (1.05, 0)], Paint.CONDUCTOR, node=one), make_circle((1.2, 0), 0.15),
        make_circle((2.8, 0), 0.15), make_path([(2.95, 0), (3.5, 0)]),
        make_path([(1.35, 0), (2.65, 0)], Paint.CONDUCTOR, node=one, when="open"),
        make_path([(1.33, 0.07 * aside), (2.7, 0.8 * aside)], Paint.CONDUCTOR, node=one, when="closed"),
        _rectangle(3.5, -COIL_HALF, 4.9, COIL_HALF),
        make_path([(4.9, 0), (length, 0)], Paint.CONDUCTOR, node=two),
    ), terminals=((first, 0, 0), (second, length, 0)), reach=COIL_HALF, length=length)


def _plain_box(part: Part, first: str, second: str) -> Symbol:
    """A part that has no symbol yet: a plain rectangle says that something is there, its label says what."""
    strokes = (*_leads(part, first, second, 0.9, 3.1), _rectangle(0.9, -0.7, 3.1, 0.7))
    return _symbol(first, second, strokes, 0.75)


def _rectangle(x0: float, y0: float, x1: float, y1: float) -> Stroke:
    return make_polygon([(x0, y0), (x1, y0), (x1, y1), (x0, y1)])
