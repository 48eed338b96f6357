"""What stands in the box of a part with many pins, in the manner of IEC 60617, beside its name.

Each lies around (0, 0), y up, in grid units, no farther out than ``HALF``.
"""

import math

from kit.circuit import Alternator, ControlUnit, Part, RegulatorRectifier, Stator
from kit.draw.symbols import Paint, Spot, Stroke, make_circle, make_path, make_polygon

HALF = 1.0


def draw_emblem(part: Part) -> tuple[Stroke, ...]:
    """The emblem of a part; empty for a kind that has none."""
    match part:
        case Alternator():
            # A generator of three phases, its rectifier in the same housing.
            return (_ring(), _letter_g(0.0, 0.22), *_wave(0.0, -0.52, 0.42, 0.13))
        case Stator():
            return (_ring(), *(_star() if part.phases == "three" else _wave(0.0, 0.0, 0.6, 0.32)))
        case RegulatorRectifier():
            side = 0.9
            square = [(-side, -side), (side, -side), (side, side), (-side, side)]
            return (
                make_polygon(square), make_path([(-side, -side), (side, side)]), *_wave(-0.38, 0.42, 0.34, 0.13),
                make_path([(0.1, -0.35), (0.7, -0.35)]), make_path([(0.1, -0.57), (0.25, -0.57)]),
                make_path([(0.33, -0.57), (0.48, -0.57)]), make_path([(0.56, -0.57), (0.7, -0.57)]),
            )
        case ControlUnit():
            return _chip()
    return ()


def _ring() -> Stroke:
    return make_circle((0, 0), 0.95)


def _wave(x: float, y: float, half: float, high: float) -> tuple[Stroke, ...]:
    return (make_path([
        (x + half * step / 8, y + high * math.sin(math.pi * step / 8)) for step in range(-8, 9)
    ]),)


def _letter_g(x: float, y: float) -> Stroke:
    radius = 0.36
    arc: list[Spot] = [
        (x + radius * math.cos(math.radians(angle)), y + radius * math.sin(math.radians(angle)))
        for angle in range(45, 361, 21)
    ]
    return make_path([*arc, (x + radius, y - 0.02), (x + 0.1, y - 0.02)], Paint.LINE)


def _star() -> tuple[Stroke, ...]:
    return tuple(
        make_path([(0, 0), (0.62 * math.cos(math.radians(angle)), 0.62 * math.sin(math.radians(angle)))])
        for angle in (90, 210, 330)
    )


def _chip() -> tuple[Stroke, ...]:
    half, leg = 0.5, 0.38
    sides = [make_polygon([(-half, -half), (half, -half), (half, half), (-half, half)])]
    for at in (-0.25, 0.25):
        for end in (-1, 1):
            sides.append(make_path([(at, half * end), (at, (half + leg) * end)]))
            sides.append(make_path([(half * end, at), ((half + leg) * end, at)]))
    return tuple(sides)
