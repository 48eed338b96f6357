"""From places to strokes and labels: where everything of one stage lies on its sheet, before anything is drawn."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import pairwise

from kit.circuit import Circuit, Joint, Metal, Part, Relay, Terminal, Wire
from kit.draw.labels import Body, Label, beyond, label_part, label_tag, label_terminal, label_wire, runs_in, touched
from kit.draw.places import UNIT, PartPlace, Spot, StagePlaces, TerminalPlace
from kit.draw.symbols import Paint, Stroke, Symbol, draw_contact, draw_letter_m, draw_symbol, is_motor
from kit.draw.symbols import make_circle as circle
from kit.draw.symbols import make_path as path
from kit.draw.symbols import make_polygon as polygon
from kit.errors import DrawingError
from kit.machines.machine import Stage

# Unit vectors on the sheet (y down) along a symbol's own x and y, and the schemdraw angle, for each way it may lie.
TURNS = {
    "right": ((1, 0), (0, -1), 0), "down": ((0, 1), (1, 0), 270),
    "left": ((-1, 0), (0, 1), 180), "up": ((0, -1), (-1, 0), 90),
}
SHIFTS = {"above": (0, -1), "below": (0, 1), "left": (-1, 0), "right": (1, 0)}
BAR_HALF = 0.3
RING_RADIUS = 0.45
TAG_LENGTH = 1.8
# What carries the cranking current is drawn this many px wider: cables from this many mm², joints below this many ohms.
HEAVY_EXTRA = 2
HEAVY_FROM_MM2 = 10
HEAVY_BELOW_OHMS = 0.5e-3


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """A stroke in its place: ``of`` is the part or, for rings and arrows, the terminal; at and turn for schemdraw.

    ``piece``: which piece of a part drawn in several; ``aside``: not counted to the box to click on (a lead, a link).
    """

    of: str
    stroke: Stroke
    at: Spot = (0.0, 0.0)
    turn: int = 0
    extra: int = 0
    offset: float = 0.0
    piece: str = ""
    aside: bool = False


@dataclass(kw_only=True)
class Layout:
    """What one stage's sheet will carry; filled while it is laid out, then only read."""

    circuit: Circuit
    stages: tuple[Stage, ...]
    stage: Stage
    places: StagePlaces
    machine: str
    push_buttons: frozenset[str]
    spots: dict[Terminal, Spot] = field(default_factory=dict)
    names: dict[Terminal, tuple[str, bool]] = field(default_factory=dict)
    items: list[Item] = field(default_factory=list)
    labels: list[Label] = field(default_factory=list)

    def error(self, key: str, found: str, expected: str) -> DrawingError:
        return DrawingError(f"{self.machine}, places, {self.stage.id}, {key}: {found}; expected {expected}.")


def lay_out(
    machine: str, circuit: Circuit, stages: tuple[Stage, ...], places: StagePlaces, push_buttons: frozenset[str]
) -> Layout:
    """Place every symbol, wire, ring, arrow and label; raises DrawingError where a place is missing or slanted."""
    stage = next(known for known in stages if known.id == places.stage)
    layout = Layout(
        circuit=circuit, stages=stages, stage=stage, places=places, machine=machine, push_buttons=push_buttons
    )
    placed = dict(places.parts)
    for part_id in stage.parts:
        part = circuit[part_id]
        if isinstance(part, Metal):
            _place_metal(layout, part, placed[part_id])
        elif not isinstance(part, (Wire, Joint)):
            _place_symbol(layout, part, placed[part_id])
    for relay_id, place in places.contacts:
        _place_contact(layout, circuit[relay_id], place)
    given = dict(places.terminals)
    _place_loose(layout, given)
    for part_id in stage.parts:
        part = circuit[part_id]
        if isinstance(part, (Wire, Joint)):
            _run(layout, part, placed.get(part_id, PartPlace()))
    for terminal in touched(circuit, stage):
        _finish_terminal(layout, terminal, given.get(terminal, TerminalPlace()))
    return layout


def _place_symbol(layout: Layout, part: Part, place: PartPlace) -> None:
    aside = 1 if place.way in ("right", "up") else -1
    symbol = draw_symbol(part, aside=aside, push_button=part.id in layout.push_buttons)
    _put(layout, part, part.title, symbol, place, short=True)
    if is_motor(part):
        (ax, ay), _, _ = TURNS[place.way]
        letter = draw_letter_m(place.at[0] + 2 * ax, -place.at[1] - 2 * ay)
        layout.items.append(Item(of=part.id, stroke=letter))


def _place_contact(layout: Layout, relay: Relay, place: PartPlace) -> None:
    aside = 1 if place.way in ("right", "up") else -1
    _put(layout, relay, f"{relay.title} contact", draw_contact(relay, aside=aside), place, short=False)


def _put(layout: Layout, part: Part, title: str, symbol: Symbol, place: PartPlace, *, short: bool) -> None:
    (ax, ay), (bx, by), turn = TURNS[place.way]
    x, y = place.at
    for name, along, beside in symbol.terminals:
        terminal = Terminal(part.id, name)
        layout.spots[terminal] = (x + along * ax + beside * bx, y + along * ay + beside * by)
        upright = place.way in ("down", "up")
        on_contact = isinstance(part, Relay) and not beside and short
        side = ("right" if on_contact else "left") if upright else ("below" if on_contact else "above")
        layout.names[terminal] = (side, short)
    for stroke in symbol.strokes:
        extra = _extra(layout.circuit, stroke.node)
        layout.items.append(Item(of=part.id, stroke=stroke, at=(x, -y), turn=turn, extra=extra))
    half = symbol.length / 2
    level = ay == 0
    body = Body(
        (x + half * ax, y + half * ay),
        across=UNIT * (half if level else symbol.reach), down=UNIT * (symbol.reach if level else half),
    )
    side = place.text or ("below" if level else "right")
    layout.labels += label_part(part, title, body, side, place.wrap, place.shift)


def _place_metal(layout: Layout, part: Metal, place: PartPlace) -> None:
    """A body of metal: a hatched bar, its terminal at the left end."""
    (x, y), bar = place.at, place.bar
    terminal = part.terminals[0]
    layout.spots[terminal] = place.at
    layout.names[terminal] = ("below", False)
    corners = [(x, -y - BAR_HALF), (x + bar, -y - BAR_HALF), (x + bar, -y + BAR_HALF), (x, -y + BAR_HALF)]
    layout.items.append(Item(of=part.id, stroke=polygon(corners, Paint.CONDUCTOR, node=str(terminal))))
    for step in range(1, int(bar)):
        hatch = path([(x + step - 0.25, -y - BAR_HALF), (x + step + 0.25, -y + BAR_HALF)], Paint.HATCH)
        layout.items.append(Item(of=part.id, stroke=hatch))
    body = Body((x + bar / 2, y), across=UNIT * bar / 2, down=UNIT * BAR_HALF)
    layout.labels += label_part(part, part.title, body, place.text or "above", place.wrap, place.shift)


def _place_loose(layout: Layout, given: dict[Terminal, TerminalPlace]) -> None:
    shown = touched(layout.circuit, layout.stage)
    for terminal, place in given.items():
        if terminal not in shown:
            known = ", ".join(map(str, shown))
            raise layout.error(str(terminal), "no part of this stage touches it", f"one of {known}")
        if place.at and terminal in layout.spots:
            raise layout.error(str(terminal), "its symbol is in this stage and gives its place", "no 'at' here")
        if place.at:
            layout.spots[terminal] = place.at
            layout.names[terminal] = ("below", False)
    for terminal in shown:
        if terminal not in layout.spots:
            raise layout.error(str(terminal), "no place", f"{terminal}: {{at: [x, y]}}")


def _run(layout: Layout, part: Wire | Joint, place: PartPlace) -> None:
    """A wire or joint through its corners: two halves, each taking the state of the terminal at its end."""
    route = [layout.spots[part.start], *place.via, layout.spots[part.end]]
    route[0] = _leave_bar(layout, part.start, route[0], route[1])
    route[-1] = _leave_bar(layout, part.end, route[-1], route[-2])
    for (x0, y0), (x1, y1) in pairwise(route):
        if x0 != x1 and y0 != y1:
            raise layout.error(
                part.id, f"it runs slanted from ({x0:g}, {y0:g}) to ({x1:g}, {y1:g})", "a corner: via: [[x, y]]"
            )
    first, second = _halve(route)
    heavy = HEAVY_EXTRA if is_heavy(part) else 0
    # The second half's dashes go on where the first half's end, so that one state looks like one line.
    for points, end, offset in ((first, part.start, 0.0), (second, part.end, _length(first) * UNIT)):
        stroke = path([(x, -y) for x, y in points], Paint.CONDUCTOR, node=str(end))
        layout.items.append(Item(of=part.id, stroke=stroke, extra=heavy, offset=offset))
    lengths = [abs(x1 - x0) + abs(y1 - y0) for (x0, y0), (x1, y1) in pairwise(route)]
    number = place.on if place.on >= 0 else lengths.index(max(lengths))
    if number >= len(lengths):
        raise layout.error(part.id, f"on is {number}", f"a stretch from 0 to {len(lengths) - 1}")
    (x0, y0), (x1, y1) = route[number], route[number + 1]
    level = y0 == y1
    body = Body(((x0 + x1) / 2, (y0 + y1) / 2), across=4, down=10)
    if isinstance(part, Wire):
        layout.labels.append(label_wire(part, body, place.text or ("above" if level else "right"), place.shift))
        return
    x, y = first[-1]
    layout.items.append(Item(of=part.id, stroke=circle((x, -y), 0.22, Paint.SOLID)))
    side = place.text or ("below" if level else "right")
    layout.labels += label_part(part, part.title, body, side, place.wrap, place.shift)


def is_heavy(part: Part | None) -> bool:
    return (isinstance(part, Wire) and part.mm2 >= HEAVY_FROM_MM2) or (
        isinstance(part, Joint) and part.ohms < HEAVY_BELOW_OHMS
    )


def _extra(circuit: Circuit, node: str) -> int:
    """A symbol's own conductors are as thick as what is bolted to them."""
    heavy = (part for part in circuit.parts if is_heavy(part))
    return HEAVY_EXTRA if any(node in (str(part.start), str(part.end)) for part in heavy) else 0


def _leave_bar(layout: Layout, terminal: Terminal, spot: Spot, following: Spot) -> Spot:
    """Where a run leaves a body of metal drawn here as a bar: straight above or below, or at its far end."""
    place = dict(layout.places.parts).get(terminal.part)
    if place is None or not place.bar:
        return spot
    x, y = place.at
    if x < following[0] <= x + place.bar:
        return following[0], y + (BAR_HALF if following[1] > y else -BAR_HALF)
    return (x + place.bar, y) if following[0] > x else spot


def _length(route: list[Spot]) -> float:
    return sum(abs(x1 - x0) + abs(y1 - y0) for (x0, y0), (x1, y1) in pairwise(route))


def _halve(route: list[Spot]) -> tuple[list[Spot], list[Spot]]:
    """The two halves of a route, by length."""
    left, first = _length(route) / 2, [route[0]]
    for number, ((x0, y0), (x1, y1)) in enumerate(pairwise(route)):
        length = abs(x1 - x0) + abs(y1 - y0)
        if length >= left:
            share = left / length if length else 0
            middle = (x0 + (x1 - x0) * share, y0 + (y1 - y0) * share)
            return [*first, middle], [middle, *route[number + 1:]]
        left -= length
        first.append((x1, y1))
    return first, [route[-1], route[-1]]


def _finish_terminal(layout: Layout, terminal: Terminal, place: TerminalPlace) -> None:
    """The arrow to other stages, the ring a lead goes on, and the name."""
    spot = layout.spots[terminal]
    side, short = layout.names[terminal]
    layout.labels.append(label_terminal(terminal, spot, place.name or side, short=short))
    shown_here = {relay for relay, _ in layout.places.contacts}
    others = beyond(layout.circuit, layout.stages, layout.stage, terminal)
    if terminal.part in shown_here:
        others = ()
    if others and not place.tag:
        raise layout.error(
            str(terminal), f"it leads on to {', '.join(others)}", f"{terminal}: {{tag: left, right, above or below}}"
        )
    if place.tag and not others:
        raise layout.error(str(terminal), "it leads on to no other stage", "no tag")
    if others:
        inward = runs_in(layout.circuit, layout.stage, terminal, place.tag)
        layout.items += _arrow(layout, terminal, place.tag, inward=inward)
        layout.labels.append(label_tag(terminal, others, spot, place.tag, inward=inward))
    ring = circle((spot[0], -spot[1]), RING_RADIUS, Paint.POINT, node=str(terminal))
    layout.items.append(Item(of=str(terminal), stroke=ring))


def _arrow(layout: Layout, terminal: Terminal, side: str, *, inward: bool) -> Iterator[Item]:
    """A short stub with a head, pointing the way current runs."""
    (dx, dy), spot = SHIFTS[side], layout.spots[terminal]
    far = (spot[0] + TAG_LENGTH * dx, spot[1] + TAG_LENGTH * dy)
    tip = (spot[0] + (RING_RADIUS + 0.1) * dx, spot[1] + (RING_RADIUS + 0.1) * dy) if inward else far
    back = 0.55 if inward else -0.55
    base = (tip[0] + back * dx, tip[1] + back * dy)
    head = [tip, (base[0] + 0.26 * dy, base[1] + 0.26 * dx), (base[0] - 0.26 * dy, base[1] - 0.26 * dx)]
    # The line stops inside the head, so that it never shows beyond the tip.
    ends = (far, ((tip[0] + base[0]) / 2, (tip[1] + base[1]) / 2)) if inward else (spot, base)
    line = path([(x, -y) for x, y in ends], Paint.CONDUCTOR, node=str(terminal))
    solid = polygon([(x, -y) for x, y in head], Paint.SOLID)
    yield Item(of=str(terminal), stroke=line)
    yield Item(of=str(terminal), stroke=solid)
