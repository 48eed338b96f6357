"""Where each part of a machine sits, what must come off to reach it, how long that takes, and which pin is which.

Read from the test points alone. A point's ``where`` names the thing first; of what follows, between commas, the words
it shares with most other points are its place ("under the seat", "behind the panel, four screws out"), and what else
must come off for this one ("rubber boot lifted") stands in brackets, as does what follows a semicolon ("meter only").
Nearest places first.
"""

import re
import textwrap
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from html import escape

from kit.circuit import Terminal, Wire
from kit.draw.paint import frame
from kit.draw.palette import PALETTE, check_ground
from kit.draw.picture import Picture
from kit.draw.widths import text_width
from kit.errors import DrawingError
from kit.machines.machine import Machine, Point

CARD, GAP, PAD, LINE, SIZE, HEAD_SIZE = 300.0, 14.0, 12.0, 17.0, 12, 14
ACROSS = 3
# A connector's face: a housing with a cavity for each pin.
PIN, FACE = 52.0, 40.0
PLUGS = ("plug", "socket", "connector")
# Last words of what tells pins apart, and words that say how a point is reached.
PIN_WORDS = (
    "side", "pin", "wire", "terminal", "feed", "ground", "input", "output", "contact", "post", "supply",
    "plus", "minus",
)
NO_PLACE = ("bare metal", "unplugged", "back-probed")
COMES_OFF = ("off", "up", "out", "lifted", "opened", "open", "removed", "down", "folded", "tipped")


@dataclass(slots=True)
class Thing:
    """A part at a place: its points, in the order of the file."""

    part: str
    title: str
    points: list[Point] = field(default_factory=list)
    off: dict[str, None] = field(default_factory=dict)

    @property
    def pins(self) -> tuple[Point, ...]:
        """Those of its points that are pins of a plug or a socket; none where there is but one."""
        pins = tuple(point for point in self.points if any(word in point.where.lower() for word in PLUGS))
        return pins if len(pins) > 1 else ()

    @property
    def others(self) -> tuple[Point, ...]:
        pins = self.pins
        return tuple(point for point in self.points if point not in pins)

    @property
    def said(self) -> str:
        """Its name, its points that are no pins, and what must come off."""
        names, off = ", ".join(point.terminal.name for point in self.others), ", ".join(self.off)
        return f"{self.title}{': ' if names else ''}{names}{f' ({off})' if off else ''}"


@dataclass(slots=True)
class Place:
    """A place on the machine, what sits there, and the minutes to get there and back with a reading."""

    name: str
    things: dict[str, Thing] = field(default_factory=dict)

    @property
    def minutes(self) -> tuple[float, float]:
        every = [point.minutes for thing in self.things.values() for point in thing.points]
        return min(every), max(every)


def places_of(machine: Machine, stage: str | None = None) -> tuple[Place, ...]:
    """The places of a machine (or of what one stage touches), nearest first; raises DrawingError for no such stage."""
    if stage is not None and stage not in machine.stages:
        raise DrawingError(f"{machine.id} has no stage '{stage}'; it has {', '.join(machine.stages)}.")
    names = name_places(machine.points.values())
    found: dict[str, Place] = {}
    for point in machine.points.values():
        part = machine.circuit[point.terminal.part]
        if stage is not None and part.id not in machine.stages[stage].parts:
            continue
        name, off = names[point.terminal]
        thing = found.setdefault(name, Place(name)).things.setdefault(part.id, Thing(part.id, part.title))
        thing.points.append(point)
        thing.off.update(dict.fromkeys(off))
    return tuple(sorted(found.values(), key=lambda place: place.minutes))


def name_places(points: Collection[Point]) -> dict[Terminal, tuple[str, tuple[str, ...]]]:
    """For each point its place, and what else must come off or be kept to there."""
    words: dict[Terminal, list[str]] = {}
    notes: dict[Terminal, tuple[str, ...]] = {}
    longest: dict[str, str] = {}
    for point in points:
        told, _, note = point.where.partition(";")
        notes[point.terminal] = (note.strip(),) if note else ()
        words[point.terminal] = []
        for part in (part.strip() for part in told.split(",")):
            # "(four screws)" may be said once for a panel, or every time.
            key = re.sub(r" *\(.*?\)", "", part)
            longest[key] = max(longest.get(key, ""), part, key=len)
            words[point.terminal].append(key)
    shared: dict[str, set[Terminal]] = {}
    for terminal, parts in words.items():
        for part in parts[1:]:
            shared.setdefault(part, set()).add(terminal)
    for terminal, parts in words.items():
        if parts[0] in shared:
            shared[parts[0]].add(terminal)
    found = {}
    for terminal, parts in words.items():
        place = _place(parts, shared)
        off = tuple(part for part in parts[1:] if part not in place and part.split()[-1] in COMES_OFF)
        found[terminal] = (", ".join(longest.get(part, part) for part in place), (*off, *notes[terminal]))
    return found


def _place(parts: Sequence[str], shared: Mapping[str, set[Terminal]]) -> list[str]:
    """The words for a place: those most points share, with what always goes with them."""
    here = [part for part in parts if part in shared and not _is_pin(part) and not _is_lid(part)]
    lids = [part for part in parts[1:] if _is_lid(part)]
    if not here:
        tail = re.search(r"\b(?:in|on|at|under|behind|beside|by) .*", parts[0])
        return [*([tail[0]] if tail else [] if lids else [parts[0]]), *lids]
    most = max(here, key=lambda part: (len(shared[part]), here.index(part)))
    return [part for part in parts if part in shared and not _is_pin(part) and shared[part] == shared[most]]


def _is_pin(words: str) -> bool:
    """Whether words say which pin or how it is reached, not where it is."""
    return words.split()[-1] in PIN_WORDS or words.split()[0] in ("coil", "contact") or words in NO_PLACE


def _is_lid(words: str) -> bool:
    """``lid off``: it says what comes off, but not where."""
    return len(words.split()) == 2 and words.split()[-1] in COMES_OFF


def whereabouts(machine: Machine, stage: str | None = None, *, ground: str = "light") -> Picture:
    """The location view: a card for each place with its parts, minutes, and the faces of its connectors.

    Raises DrawingError for an unknown stage or ground, and for a machine or stage without test points.
    """
    check_ground(ground)
    places = places_of(machine, stage)
    if not places:
        raise DrawingError(f"{machine.id} has no test points to show{f' in {stage}' if stage else ''}.")
    colours = PALETTE[ground]
    columns = min(ACROSS, len(places))
    ends = [GAP] * columns
    body: list[str] = []
    for place in places:
        column = min(range(columns), key=lambda at: (ends[at], at))
        card, high = _card(machine, place, GAP + column * (CARD + GAP), ends[column], colours)
        body += card
        ends[column] += high + GAP
    title = f"{machine.title}: where things sit"
    title += f", {stage}" if stage else ""
    width, height = GAP + columns * (CARD + GAP), max(ends)
    return Picture(
        title=title, width=width, height=height,
        labels=tuple(sorted({thing for place in places for thing in place.things} | {place.name for place in places})),
        svg=frame(body, width, height, ground, title=title, description=" ".join(
            _say(machine, place) for place in places
        )),
    )


def _say(machine: Machine, place: Place) -> str:
    things = "; ".join(
        f"{thing.part} {thing.said}" + "".join(
            f", pin {pin.terminal.name} {_colour(machine, pin)}".rstrip() for pin in thing.pins
        )
        for thing in place.things.values()
    )
    return f"{place.name}, {_minutes(place)}: {things}."


def _minutes(place: Place) -> str:
    low, high = place.minutes
    return f"{low:g} min" if low == high else f"{low:g} to {high:g} min"


def _card(machine: Machine, place: Place, x: float, y: float, colours: dict) -> tuple[list[str], float]:
    """The shapes of one card and how high it is."""
    body: list[str] = []
    minutes = _minutes(place)
    room = CARD - 2 * PAD - text_width(minutes, SIZE) - 10
    lines = _wrap(place.name, room, HEAD_SIZE, bold=True)
    at = y + PAD + 12
    for number, line in enumerate(lines):
        body.append(_text(x + PAD, at + LINE * number, line, colours["ink"], size=HEAD_SIZE, bold=True))
    body.append(_text(x + CARD - PAD, at, minutes, colours["soft"], anchor="end"))
    at += LINE * len(lines) + 6
    for thing in place.things.values():
        indent = text_width(thing.part + " ", SIZE, bold=True)
        body.append(_text(x + PAD, at, thing.part, colours["ink"], bold=True))
        wrapped = _wrap(thing.said, CARD - 2 * PAD - indent, SIZE)
        for number, line in enumerate(wrapped):
            body.append(_text(x + PAD + indent, at + LINE * number, line, colours["ink"]))
        at += LINE * len(wrapped)
        for row in _rows(thing):
            body += _face(machine, row, x + PAD, at - 8, colours)
            at += FACE
        at += 3
    high = at - y - LINE + PAD + 6
    card = (
        f'<rect x="{x:g}" y="{y:g}" width="{CARD:g}" height="{high:g}" rx="8" fill="{colours["paper"]}" '
        f'stroke="{colours["soft"]}" stroke-width="1.5"/>'
    )
    return [card, *body], high


def _rows(thing: Thing) -> list[tuple[Point, ...]]:
    """The pins of a connector, in rows as wide as a card."""
    rows: list[tuple[Point, ...]] = []
    for pin in thing.pins:
        if rows and sum(map(_wide, (*rows[-1], pin))) <= CARD - 2 * PAD - 8:
            rows[-1] = (*rows[-1], pin)
        else:
            rows.append((pin,))
    return rows


def _wide(pin: Point) -> float:
    return max(PIN, text_width(pin.terminal.name, SIZE, bold=True) + 12)


def _face(machine: Machine, pins: Sequence[Point], x: float, top: float, colours: dict) -> Iterator[str]:
    """A connector's face: a cavity for each pin with its name and the colour of its wire."""
    wide = sum(map(_wide, pins)) + 8
    yield (
        f'<rect x="{x:g}" y="{top:g}" width="{wide:.1f}" height="{FACE - 4:g}" rx="5" fill="none" '
        f'stroke="{colours["ink"]}" stroke-width="2"/>'
    )
    at = x + 4
    for number, pin in enumerate(pins):
        if number:
            yield f'<path d="M {at:.1f},{top + 5:g} L {at:.1f},{top + FACE - 9:g}" stroke="{colours["soft"]}"/>'
        middle = at + _wide(pin) / 2
        yield _text(middle, top + 15, pin.terminal.name, colours["ink"], anchor="middle", bold=True)
        yield _text(middle, top + 30, _colour(machine, pin) or "–", colours["soft"], anchor="middle")
        at += _wide(pin)


def _colour(machine: Machine, point: Point) -> str:
    """The colour of the first wire at a point."""
    wires = (part for part in machine.circuit.parts if isinstance(part, Wire))
    return next((wire.colour for wire in wires if point.terminal in (wire.start, wire.end)), "")


def _wrap(text: str, room: float, size: float, *, bold: bool = False) -> Sequence[str]:
    """A text in lines no wider than so many px; a word wider than that stays whole."""
    most = len(text)
    while True:
        lines = textwrap.wrap(text, most, break_long_words=False) or [""]
        if most <= 8 or max(text_width(line, size, bold=bold) for line in lines) <= room:
            return lines
        most -= 1


def _text(
    x: float, y: float, said: str, colour: str, *, size: float = SIZE, anchor: str = "start", bold: bool = False
) -> str:
    weight = ' font-weight="700"' if bold else ""
    return (
        f'<text x="{x:.1f}" y="{y:.1f}" font-size="{size:g}" text-anchor="{anchor}" fill="{colour}"{weight} '
        f'data-label="{escape(said)}">{escape(said)}</text>'
    )
