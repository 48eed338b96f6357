"""A relay's change-over contact as one symbol: an arm from 30 that lies on 87a at rest and on 87 when pulled in.

Its three pins come from above or below, in columns as they fall; the symbol fits itself between them. x to the right
and y down, in grid units.
"""

from collections.abc import Mapping

from kit.draw.net import CHANGE_OVER
from kit.draw.places import Spot
from kit.draw.symbols import Paint, Stroke, make_circle, make_path

COMMON, MAKE, REST = CHANGE_OVER
# From the edge where 30 comes in: to the pivot, to the fixed contacts, to the level where a lead goes under the other.
PIVOT, FIXED, UNDER_ALL = 0.75, 2.0, 2.55
SPREAD, RADIUS = 0.55, 0.15
# The arm in each state of the relay, and the fixed contact it lies on.
LIES_ON = {"open": REST, "closed": MAKE}


def draw_throw(part: str, pins: Mapping[str, tuple[float, bool]], top: float, high: float) -> tuple[Stroke, ...]:
    """The strokes of one contact. ``pins``: each pin's x, and whether it comes from above; ``high``: top to bottom.

    A stage that 87 or 87a is not in leaves that pin out: its fixed contact is drawn without a lead.
    """
    middle, above = pins[COMMON]

    def spot(x: float, down: float) -> Spot:
        return x, -(top + down if above else top + high - down)

    sides = contact_sides(pins)
    strokes = [
        make_path([spot(middle, 0), spot(middle, PIVOT - RADIUS)], Paint.CONDUCTOR, node=f"{part}.{COMMON}"),
        make_circle(spot(middle, PIVOT), RADIUS),
    ]
    for pin, side in sides.items():
        fixed = middle + side * SPREAD
        strokes.append(make_circle(spot(fixed, FIXED), RADIUS))
        if pin in pins:
            x, from_above = pins[pin]
            edge = spot(x, 0 if from_above == above else high)
            out = (x - middle) * side > SPREAD
            start = [spot(fixed + side * RADIUS, FIXED), spot(x, FIXED)] if out else [
                spot(fixed, FIXED + RADIUS), spot(fixed, UNDER_ALL), spot(x, UNDER_ALL)
            ]
            strokes.append(make_path([*start, edge], Paint.CONDUCTOR, node=f"{part}.{pin}"))
    for when, pin in LIES_ON.items():
        end = spot(middle + sides[pin] * (SPREAD - 0.06), FIXED - RADIUS)
        arm = [spot(middle + sides[pin] * 0.06, PIVOT + RADIUS), end]
        strokes.append(make_path(arm, Paint.CONDUCTOR, node=f"{part}.{COMMON}", when=when))
    return tuple(strokes)


def contact_sides(pins: Mapping[str, tuple[float, bool]]) -> dict[str, int]:
    """Which side of 30 the fixed contact of 87 and of 87a lies on, -1 or 1, so that their leads do not cross."""
    middle, above = pins[COMMON]
    there = [pin for pin in (MAKE, REST) if pin in pins]
    if len(there) < 2:
        x = pins[there[0]][0] - middle
        side = 1 if x > 0 else -1
        return {there[0]: side, (REST if there[0] == MAKE else MAKE): -side}
    one, other = sorted(there, key=lambda pin: (pins[pin][0], pin))
    for way in (1, -1):
        if all((pins[pin][0] - middle) * way > 0 for pin in there):
            # Both on one side: a pin beside 30's own edge takes the near contact, of two such the nearer column; of
            # two at the far edge the farther, whose lead then passes outside the other's.
            near = min(there, key=lambda pin: (
                pins[pin][1] != above, abs(pins[pin][0] - middle) * (1 if pins[pin][1] == above else -1), pin
            ))
            return {pin: way if pin == near else -way for pin in there}
    return {one: -1, other: 1}


def arm_offsets(pins: Mapping[str, tuple[float, bool]]) -> dict[str, float]:
    """How far right of 30 the middle of the arm is in each state of the relay, for the end of a link."""
    sides = contact_sides(pins)
    return {when: sides[pin] * SPREAD / 2 for when, pin in LIES_ON.items()}
