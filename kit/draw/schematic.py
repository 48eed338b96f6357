"""The schematic of a stage, or of the whole machine, as a picture."""

from types import MappingProxyType

from kit.circuit import Fuse, Joint, Part, Switch, Terminal, Wire
from kit.draw.labels import Words, touched, wire_text
from kit.draw.net import pieces_of
from kit.draw.paint import paint, painted_height
from kit.draw.palette import check_ground
from kit.draw.picture import Picture
from kit.draw.sheet import Sheet, draw_sheet
from kit.draw.shown import AT_REST, Shown, at_rest, tell_all
from kit.machines.machine import Machine, Stage
from kit.machines.operation import Operation

WHOLE = "whole machine"


def schematic(
    machine: Machine, stage: str, shown: Shown | None = None, *, ground: str = "light", labels: Words = Words.FULL
) -> Picture:
    """The schematic of one stage with what may be shown; the lines are drawn once, later calls only repaint them.

    Without ``shown`` its controls stand at rest: what their rest positions close is drawn closed (a neutral switch in
    neutral). ``ground``: ``light``, ``dark`` or ``print`` (ink only). ``labels``: all words for a novice, or ids only.
    Raises DrawingError for an unknown stage or ground, and for places that do not fit.
    """
    check_ground(ground)
    shown = shown or at_rest(machine)
    drawn = draw_sheet(machine, stage)
    said = _switching(machine, machine.stages[stage].parts, shown)
    return _picture(machine, stage, drawn, shown, ground, said, labels)


def sheet(
    machine: Machine, shown: Shown | None = None, *, ground: str = "light", labels: Words = Words.FULL
) -> Picture:
    """The whole machine on one sheet, otherwise as ``schematic``."""
    check_ground(ground)
    shown = shown or at_rest(machine)
    drawn = draw_sheet(machine, None)
    said = _switching(machine, tuple(part.id for part in machine.circuit.parts), shown)
    return _picture(machine, WHOLE, drawn, shown, ground, said, labels)


def draw(machine: Machine, *, stage: str = WHOLE, now: Operation | None = None) -> Picture:
    """The schematic of a stage (or the whole machine): at rest, or with everything told about an operation."""
    if now is None:
        return sheet(machine) if stage == WHOLE else schematic(machine, stage)
    moved = machine.in_words(now.positions, unlike=machine.positions())
    drawn = draw_sheet(machine, None if stage == WHOLE else stage)
    return _picture(machine, stage, drawn, tell_all(now), "light", ", ".join(moved), Words.FULL)


def _picture(
    machine: Machine, stage: str, sheet: Sheet, shown: Shown, ground: str, said: str, words: Words
) -> Picture:
    title = f"{machine.title}, {stage}{': ' if said else ''}{said}"
    here = _whole(machine) if stage == WHOLE else machine.stages[stage]
    return Picture(
        title=title,
        svg=paint(sheet, shown, ground, words, title=title, description=describe(machine, here, shown)),
        width=sheet.width, height=painted_height(sheet, shown),
        labels=tuple(sorted(text for label in sheet.labels if (text := label.said(words)))),
        points=MappingProxyType({terminal: (x, y) for terminal, x, y in sheet.points}),
        parts=MappingProxyType({part: tuple(box) for part, *box in sheet.parts}),
    )


def _whole(machine: Machine) -> Stage:
    return Stage(id=WHOLE, about=machine.about, parts=tuple(part.id for part in machine.circuit.parts))


def describe(machine: Machine, here: Stage, shown: Shown = AT_REST) -> str:
    """A stage in words, for those who do not see the picture: parts, runs, states."""
    sentences = [here.about] if here.about else []
    for part_id in here.parts:
        part = machine.circuit[part_id]
        state = _state(part, shown)
        if isinstance(part, Wire):
            sentences.append(f"{wire_text(part)} runs from {part.start} to {part.end}.")
        elif isinstance(part, Joint):
            sentences.append(f"{part.id} {part.title} joins {part.start} and {part.end}.")
        elif len(part.terminals) == 2:
            sentences.append(f"{part.id} {part.title}, from {part.terminals[0]} to {part.terminals[1]}{state}.")
        else:
            sentences.append(f"{part.id} {part.title}{state}.")
    told = [f"{terminal} {shown.nodes[str(terminal)]}" for terminal in _told(machine, here, shown)]
    if told:
        sentences.append(f"States: {', '.join(told)}.")
    return " ".join(sentences)


def _state(part: Part, shown: Shown) -> str:
    if isinstance(part, Switch):
        return ", closed" if part.id in shown.closed else ", open"
    if pieces_of(part):
        return ", pulled in" if part.id in shown.closed else ", at rest"
    if isinstance(part, Fuse):
        return ", pulled out" if part.id in shown.out else ", blown" if part.id in shown.blown else ""
    return ""


def _told(machine: Machine, here: Stage, shown: Shown) -> tuple[Terminal, ...]:
    return tuple(terminal for terminal in touched(machine.circuit, here) if str(terminal) in shown.nodes)


def _switching(machine: Machine, parts: tuple[str, ...], shown: Shown) -> str:
    """``key switch closed``: how the switches and relays of a stage stand, and which fuses are blown or out."""
    said = []
    for part_id in parts:
        part = machine.circuit[part_id]
        if isinstance(part, Switch) or pieces_of(part) or part_id in shown.out | shown.blown:
            said.append(f"{part.title}{_state(part, shown)}".replace(", ", " ").replace("pulled out", "out"))
    return ", ".join(said)
