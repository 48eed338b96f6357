"""Drawings as a learner meets them in a greasy manual: bare, without names, or cut over two sheets.

A drawing that is partly wrong is none of these: it is an ordinary one of a circuit that is not the machine's
(``kit.machines.misdrawn``), and so can be drawn bare as well.
"""

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace
from html import escape, unescape
from types import MappingProxyType

from kit.circuit import Circuit, Joint, Relay, Terminal, Wire
from kit.draw.arrange import Arrangement, arranged, read_order
from kit.draw.labels import LINE, Label, Words
from kit.draw.measure import wrap
from kit.draw.net import Kind, changes_over, without_faults
from kit.draw.paint import FONTS, frame, paint
from kit.draw.palette import PALETTE, check_ground
from kit.draw.picture import Picture
from kit.draw.schematic import WHOLE, describe, schematic, sheet
from kit.draw.sheet import Sheet, draw_arranged
from kit.draw.shown import at_rest
from kit.draw.stator import three_wires
from kit.errors import DrawingError
from kit.machines.machine import Machine, Stage
from kit.machines.outline import outline

LOOKS = ("monochrome", "unlabelled", "split")
# A numbered ring: its radius, its digit, how far its middle stands from where the name of a part, or of a terminal,
# would begin; all in px.
RADIUS, DIGIT, INWARD, ASIDE = 11, 13, 8, 12
HEADING, ABREAST = 26, 900


def page(
    machine: Machine, stage: str, look: str = "", *, numbered: Sequence[str] = (), ground: str = "light"
) -> Picture:
    """A stage (or the whole machine) in one of the ``LOOKS``; with no look its ordinary schematic.

    ``numbered`` are the parts and terminals that get rings 1, 2, 3 … on an unlabelled one. Raises DrawingError for an
    unknown look or stage, and for what is not on the sheet.
    """
    match look:
        case "":
            return sheet(machine, ground=ground) if stage == WHOLE else schematic(machine, stage, ground=ground)
        case "monochrome":
            return monochrome(machine, stage, ground=ground)
        case "unlabelled":
            return unlabelled(machine, stage, numbered, ground=ground)
        case "split":
            return together(split(machine, stage, ground=ground), ground)
        case "three wires":
            # No look of this stage: a stator that no machine of the fleet has, in its place.
            return three_wires(ground)
    raise DrawingError(f"no drawing has the look '{look}'; there are {', '.join(LOOKS)}.")


def monochrome(machine: Machine, stage: str, *, ground: str = "light") -> Picture:
    """Ink only, and of words only the letters: parts, terminals and wires, but not what they are for."""
    check_ground(ground)
    here, plan = _plan(machine, stage)
    drawn = draw_arranged(plan, _pushed(machine))
    labels = tuple(label for label in drawn.labels if label.role != "title")
    title = f"{machine.title}, {stage}: a bare drawing"
    return _picture(machine, replace(drawn, labels=labels), ground, title, describe(machine, here, at_rest(machine)))


def unlabelled(machine: Machine, stage: str, numbered: Sequence[str], *, ground: str = "light") -> Picture:
    """Not a letter on it; parts (``F1``) and terminals (``K1.86``) in ``numbered`` have a ring with their number.

    Nothing in its text says what they are but the symbols themselves.
    """
    check_ground(ground)
    here, plan = _plan(machine, stage)
    drawn = draw_arranged(plan, _pushed(machine))
    numbers = {name: number for number, name in enumerate(numbered, 1)}
    rings = [
        (number, *spot) for name, number in numbers.items() for spot in _spots(drawn.labels, name)
    ]
    if missing := [name for name in numbers if not list(_spots(drawn.labels, name))]:
        raise DrawingError(f"{machine.id}, {stage}: there is no {missing[0]} on this sheet to number.")
    title = f"{machine.title}: a drawing without names, {len(numbers)} things numbered"
    words = " ".join(outline(machine, here.parts, numbers).values())
    bare = paint(
        replace(drawn, labels=()), at_rest(machine), ground, Words.FULL, title=title, description=words,
    )
    svg = re.sub(r' data-(?!when)[a-z]+="[^"]*"', "", bare)
    body = "\n".join(_ring(number, x, y, ground) for number, x, y in rings)
    return Picture(
        title=title, svg=svg.replace("</svg>", f"{body}\n</svg>"), width=drawn.width, height=drawn.height,
        labels=tuple(str(number) for number, _x, _y in rings),
    )


def split(machine: Machine, stage: str, *, ground: str = "light") -> tuple[Picture, Picture]:
    """Two sheets: the relay's coil on one and its contact on the other, or a stage without one cut in the middle.

    Wires that go on say on which sheet; coil and contact say where the other is.
    """
    check_ground(ground)
    if stage not in machine.stages:
        raise DrawingError(f"{machine.id} has no stage '{stage}'; it has {', '.join(machine.stages)}.")
    relay = _relay_of(machine, stage)
    halves = _by_relay(machine, stage, relay) if relay else _in_two(machine.stages[stage].parts)
    if not all(halves):
        raise DrawingError(f"{machine.id}, {stage}: there is not enough on it for two sheets.")
    names = ("sheet 1", "sheet 2")
    used = set(halves[0]) | set(halves[1])
    rest = tuple(
        replace(other, parts=kept) for other in machine.stages.values()
        if (kept := tuple(part for part in other.parts if part not in used))
    )
    stages = (*(Stage(id=name, about="", parts=parts) for name, parts in zip(names, halves, strict=True)), *rest)
    return tuple(_sheet(machine, stages, number, relay, ground) for number in (0, 1))


def together(pictures: Sequence[Picture], ground: str = "light") -> Picture:
    """Several sheets in one picture, each under its heading: side by side where there is room, else one under another.
    """
    beside = sum(picture.width for picture in pictures) <= ABREAST
    ink, body, points = PALETTE[ground]["ink"], [], {}
    left, top, tall = 0.0, 0.0, max(picture.height for picture in pictures) + HEADING
    for picture in pictures:
        if left or top:
            far = f"{left:g},{tall:g}" if beside else f"{picture.width:g},{top:g}"
            body.append(f'<path d="M {left:g},{top:g} L {far}" stroke="{ink}" stroke-dasharray="6 5"/>')
        heading = picture.title.rpartition(", ")[2]
        body.append(f'<text x="{left + 14:g}" y="{top + 19:g}" font-size="14" font-weight="700" fill="{ink}">'
                    f"{escape(heading)}</text>")
        inner = picture.svg.partition("</desc>")[2].removesuffix("</svg>")
        body.append(f'<g transform="translate({left:g} {top + HEADING:g})">{inner}</g>')
        points |= {name: (x + left, y + top + HEADING) for name, (x, y) in picture.points.items()}
        left, top = (left + picture.width, top) if beside else (left, top + HEADING + picture.height)
    wide, high = (left, tall) if beside else (max(picture.width for picture in pictures), top)
    title = f"{pictures[0].title.rpartition(', ')[0]}, {len(pictures)} sheets"
    described = " ".join(_described(picture) for picture in pictures)
    return Picture(
        title=title, svg=frame(body, wide, high, ground, title=title, description=described), width=wide, height=high,
        labels=tuple(label for picture in pictures for label in picture.labels), points=MappingProxyType(points),
    )


def _described(picture: Picture) -> str:
    """The words of a picture, as they stand in its text (already escaped once, so taken back)."""
    words = picture.svg.partition("<desc>")[2].partition("</desc>")[0]
    return f"{picture.title.rpartition(', ')[2].capitalize()}: {unescape(words)}"


def _sheet(machine: Machine, stages: tuple[Stage, ...], number: int, relay: str, ground: str) -> Picture:
    """One of the two sheets; the relay's title says where its other piece is."""
    here = stages[number]
    circuit = without_faults(machine.circuit)
    if relay:
        other = "contact: sheet 2" if number == 0 else "coil: sheet 1,"
        parts = tuple(replace(part, title=other) if part.id == relay else part for part in circuit.parts)
        circuit = replace(circuit, parts=parts)
    plan = arranged(circuit, stages, here.id, read_order(machine))
    if relay and number == 0:
        plan = _without_contact(plan, relay)
    drawn = draw_arranged(plan, _pushed(machine))
    labels = tuple(
        _referring(label) if label.of == relay else label
        for label in drawn.labels if label.role != "title" or label.of == relay
    )
    paper = replace(machine, circuit=circuit, stages=MappingProxyType({stage.id: stage for stage in stages}))
    words = describe(paper, here, at_rest(machine))
    if relay:
        words += f" The {'contact' if number == 0 else 'coil'} of {relay} is on sheet {2 - number}."
    title = f"{machine.title}, {here.id}"
    return _picture(machine, replace(drawn, labels=labels), ground, title, words)


def _referring(label: Label) -> Label:
    """``coil: sheet 1`` at a contact: the word "contact" after it is not needed beside its symbol."""
    if label.role != "title" or not label.text.startswith("coil"):
        return label
    return replace(label, lines=wrap(label.text.removesuffix(" contact").removesuffix(",")))


def _relay_of(machine: Machine, stage: str) -> str:
    """The relay of a stage whose contact works in another stage; empty where there is none."""
    for name in machine.stages[stage].parts:
        part = machine.circuit[name]
        if isinstance(part, Relay) and not changes_over(part) and all(_by_relay(machine, stage, name)):
            return name
    return ""


def _by_relay(machine: Machine, stage: str, relay: str) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """The parts of a stage but for those on the relay's contact; and these, or all of the other stages that have some.
    """
    mine = machine.stages[stage].parts
    contact = {Terminal(relay, "30"), Terminal(relay, "87")}
    touching = {
        part.id for part in machine.circuit.parts
        if isinstance(part, (Joint, Wire)) and contact & {part.start, part.end}
    }
    if here := tuple(part for part in mine if part in touching):
        return tuple(part for part in mine if part not in touching), here
    others = [other for other in machine.stages.values() if other.id != stage and touching & set(other.parts)]
    return mine, tuple(part for other in others for part in other.parts)


def _in_two(parts: tuple[str, ...]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    middle = len(parts) // 2
    return parts[:middle], parts[middle:]


def _without_contact(plan: Arrangement, relay: str) -> Arrangement:
    """The same sheet without the contact of a relay, whose two ends nothing else on it is joined to."""
    ends = {Terminal(relay, "30"), Terminal(relay, "87")}

    def goes(number: int) -> bool:
        chain = plan.chains[number]
        own = [element for element in chain.elements if element.kind is not Kind.ARROW]
        if any((element.part, element.piece) != (relay, "contact") for element in own):
            return False
        return bool(own) or bool(ends & set(chain.terminals))

    kept = [number for number in range(len(plan.chains)) if not goes(number)]
    place = {number: new for new, number in enumerate(kept)}
    columns = [tuple(place[number] for number in column if number in place) for column in plan.columns]
    return replace(
        plan, chains=tuple(plan.chains[number] for number in kept),
        columns=tuple(column for column in columns if column),
    )


def _plan(machine: Machine, stage: str) -> tuple[Stage, Arrangement]:
    """A stage, or the whole machine as one, and its sheet worked out: places by hand would need all the words."""
    circuit: Circuit = without_faults(machine.circuit)
    stages = tuple(machine.stages.values())
    if stage == WHOLE:
        here = Stage(id=WHOLE, about="", parts=tuple(part.id for part in circuit.parts))
        return here, arranged(circuit, stages, None, read_order(machine))
    if stage not in machine.stages:
        raise DrawingError(f"{machine.id} has no stage '{stage}'; it has {', '.join(machine.stages)}.")
    here = replace(machine.stages[stage], about="")
    return here, arranged(circuit, stages, stage, read_order(machine))


def _pushed(machine: Machine) -> frozenset[str]:
    return frozenset(
        switch for control in machine.controls.values() if control.springs_back
        for switches in control.closes.values() for switch in switches
    )


def _picture(machine: Machine, drawn: Sheet, ground: str, title: str, words: str) -> Picture:
    return Picture(
        title=title, svg=paint(drawn, at_rest(machine), ground, Words.FULL, title=title, description=words),
        width=drawn.width, height=drawn.height, labels=tuple(sorted(label.text for label in drawn.labels)),
        points=MappingProxyType({terminal: (x, y) for terminal, x, y in drawn.points}),
        parts=MappingProxyType({part: tuple(box) for part, *box in drawn.parts}),
    )


def _spots(labels: Sequence[Label], name: str) -> list[tuple[float, float]]:
    """Where the rings of a part or a terminal go: in the room its name would have."""
    found = []
    for place, label in enumerate(labels):
        if label.of != name or label.role not in ("id", "terminal"):
            continue
        if label.role == "terminal":
            aside = {"start": ASIDE, "end": -ASIDE, "middle": 0}[label.anchor]
            found.append((label.x + aside, label.y - 4))
            continue
        after = labels[place + 1] if place + 1 < len(labels) else None
        lines = len(after.lines) if after is not None and after.of == name and after.role == "title" else 0
        aside = {"start": INWARD, "end": -INWARD, "middle": 0}[label.anchor]
        found.append((label.x + aside, label.y - 5 + LINE * lines / 2))
    return found


def _ring(number: int, x: float, y: float, ground: str) -> str:
    colours: Mapping = PALETTE[ground]
    return (
        f'<circle cx="{x:g}" cy="{y:g}" r="{RADIUS}" fill="{colours["paper"]}" stroke="{colours["ink"]}" '
        f'stroke-width="1.5" data-point="{number}"/>'
        f'<text x="{x:g}" y="{y + 4.5:g}" font-size="{DIGIT}" font-weight="700" text-anchor="middle" '
        f'fill="{colours["ink"]}" font-family="{FONTS}" data-label="{number}">{number}</text>'
    )
