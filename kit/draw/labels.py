"""The text of a sheet: what each label says and where it goes."""

import textwrap
from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum

from kit.circuit import Battery, Circuit, Joint, Part, Terminal, Wire
from kit.draw.places import UNIT, Spot
from kit.machines.machine import Stage

# Sizes in px at 1:1; nothing a person must read is under 12.
SIZES = {"id": 15, "title": 13, "wire": 13, "terminal": 12, "tag": 12}
LINE = 16
RING = 9


class Words(Enum):
    """How much a drawing says: everything on its conductors for a novice, ids only for who needs no more."""

    FULL = "full"
    IDS = "ids"


@dataclass(frozen=True, slots=True, kw_only=True)
class Label:
    """One label: its lines, the baseline of the first in px, and the part or terminal it speaks of."""

    role: str
    of: str
    lines: tuple[str, ...]
    x: float
    y: float
    anchor: str = "start"

    @property
    def text(self) -> str:
        return " ".join(self.lines)

    def said(self, words: Words) -> str:
        """The text that is shown: with ids only, no titles, and of a wire its id."""
        if words is Words.IDS and self.role == "title":
            return ""
        return self.text.partition(" ")[0] if words is Words.IDS and self.role == "wire" else self.text


@dataclass(frozen=True, slots=True)
class Body:
    """What a label stands beside: its middle in grid units, and how far it reaches across and down, in px."""

    middle: Spot
    across: float
    down: float


def wire_text(wire: Wire) -> str:
    """``W1 RD 2.5 mm²``."""
    return f"{wire.id} {wire.colour} {wire.mm2:g} mm²"


def touched(circuit: Circuit, stage: Stage) -> tuple[Terminal, ...]:
    """Every terminal the parts of a stage own or are joined to, in the order of the parts."""
    found: dict[Terminal, None] = {}
    for part_id in stage.parts:
        part = circuit[part_id]
        found.update(dict.fromkeys(part.terminals))
        if isinstance(part, (Wire, Joint)):
            found.update({part.start: None, part.end: None})
    return tuple(found)


def beyond(circuit: Circuit, stages: tuple[Stage, ...], stage: Stage, terminal: Terminal) -> tuple[str, ...]:
    """The stages a terminal leads on to: its home, where that is another stage; else all others that touch it."""
    if terminal.part not in stage.parts:
        return tuple(other.id for other in stages if terminal.part in other.parts)
    return tuple(other.id for other in stages if other is not stage and terminal in touched(circuit, other))


def runs_in(circuit: Circuit, stage: Stage, terminal: Terminal, side: str) -> bool:
    """Whether current comes in by an arrow on this side: from above and left, and back into a battery's own minus."""
    part = circuit[terminal.part]
    back = isinstance(part, Battery) and terminal == part.terminals[1] and part.id in stage.parts
    return back or side in ("above", "left")


def tag_text(stages: tuple[str, ...], *, inward: bool) -> str:
    """``from key feed`` or ``to grounds``: as current runs, so do the words."""
    return f"{'from' if inward else 'to'} {', '.join(stages)}"


def label_part(part: Part, title: str, body: Body, side: str, wrap: int, shift: Spot) -> Iterator[Label]:
    """The id in bold and the title under it, as one block beside the body."""
    lines = tuple(textwrap.wrap(title, wrap))
    x, y = body.middle[0] * UNIT + shift[0] * UNIT, body.middle[1] * UNIT + shift[1] * UNIT
    height = LINE * len(lines)
    match side:
        case "below":
            place = x, y + body.down + 20, "middle"
        case "above":
            place = x, y - body.down - 10 - height, "middle"
        case "left":
            place = x - body.across - 12, y + 5 - height / 2, "end"
        case _:
            place = x + body.across + 12, y + 5 - height / 2, "start"
    yield Label(role="id", of=part.id, lines=(part.id,), x=place[0], y=place[1], anchor=place[2])
    yield Label(role="title", of=part.id, lines=lines, x=place[0], y=place[1] + LINE, anchor=place[2])


def label_wire(wire: Wire, body: Body, side: str, shift: Spot) -> Label:
    """One line along the wire."""
    x, y = (body.middle[0] + shift[0]) * UNIT, (body.middle[1] + shift[1]) * UNIT
    place = {
        "above": (x, y - 10, "middle"), "below": (x, y + 20, "middle"), "left": (x - 10, y + 5, "end"),
        "right": (x + 10, y + 5, "start"),
    }[side]
    return Label(role="wire", of=wire.id, lines=(wire_text(wire),), x=place[0], y=place[1], anchor=place[2])


def label_terminal(terminal: Terminal, at: Spot, side: str, *, short: bool) -> Label:
    """The name beside the ring: only its own name where the part's id stands by its symbol, else in full."""
    x, y = at[0] * UNIT, at[1] * UNIT
    level = y - RING - 5 if "above" in side else y + RING + 14 if "below" in side else y + 4
    if side in ("above", "below"):
        across, anchor = x, "middle"
    elif "left" in side:
        across, anchor = (x - RING - 5 if side == "left" else x - 8), "end"
    else:
        across, anchor = (x + RING + 5 if side == "right" else x + 8), "start"
    text = terminal.name if short else str(terminal)
    return Label(role="terminal", of=str(terminal), lines=(text,), x=across, y=level, anchor=anchor)


def label_tag(terminal: Terminal, stages: tuple[str, ...], at: Spot, side: str, *, inward: bool) -> Label:
    """Where the circuit comes from or goes on to, at the far end of the arrow; one stage a line."""
    x, y = at[0] * UNIT, at[1] * UNIT
    lines = tuple(tag_text(stages, inward=inward).replace(", ", ",\n").split("\n"))
    last = LINE * (len(lines) - 1)
    place = {
        "above": (x, y - 44 - last, "middle"), "below": (x, y + 54, "middle"),
        "left": (x - 42, y + 4 - last / 2, "end"), "right": (x + 42, y + 4 - last / 2, "start"),
    }[side]
    return Label(role="tag", of=str(terminal), lines=lines, x=place[0], y=place[1], anchor=place[2])
