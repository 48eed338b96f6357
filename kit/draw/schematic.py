"""The schematic of a stage, as a picture."""

from types import MappingProxyType

from kit.circuit import Fuse, Joint, Relay, Switch, Terminal, Wire
from kit.draw.labels import touched, wire_text
from kit.draw.paint import paint, painted_height
from kit.draw.palette import check_ground
from kit.draw.picture import Picture
from kit.draw.sheet import Sheet, draw_sheet
from kit.draw.shown import AT_REST, Shown, tell_all
from kit.machines.machine import Machine
from kit.machines.operation import Operation


def schematic(machine: Machine, stage: str, shown: Shown = AT_REST, *, ground: str = "light") -> Picture:
    """The schematic of one stage with what may be shown; the lines are drawn once, later calls only repaint them.

    Raises DrawingError for an unknown stage or ground, and for places that do not fit.
    """
    check_ground(ground)
    sheet = draw_sheet(machine, stage)
    return _picture(machine, stage, sheet, shown, ground, _switching(machine, stage, shown))


def draw(machine: Machine, *, stage: str, now: Operation | None = None) -> Picture:
    """The schematic of a stage: at rest, or with everything told about an operation."""
    if now is None:
        return schematic(machine, stage)
    moved = [
        f"{machine.controls[name].title} {position}"
        for name, position in now.positions.items() if position != machine.controls[name].rest
    ]
    return _picture(machine, stage, draw_sheet(machine, stage), tell_all(now), "light", ", ".join(moved))


def _picture(machine: Machine, stage: str, sheet: Sheet, shown: Shown, ground: str, said: str) -> Picture:
    title = f"{machine.title}, {stage}{': ' if said else ''}{said}"
    return Picture(
        title=title, svg=paint(sheet, shown, ground, title=title, description=describe(machine, stage, shown)),
        width=sheet.width, height=painted_height(sheet, shown),
        labels=tuple(sorted(label.text for label in sheet.labels)),
        points=MappingProxyType({terminal: (x, y) for terminal, x, y in sheet.points}),
        parts=MappingProxyType({part: tuple(box) for part, *box in sheet.parts}),
    )


def describe(machine: Machine, stage: str, shown: Shown = AT_REST) -> str:
    """A stage in words, for those who do not see the picture: parts, runs, states."""
    circuit, here = machine.circuit, machine.stages[stage]
    sentences = [here.about]
    for part_id in here.parts:
        part = circuit[part_id]
        state = ""
        if isinstance(part, Switch):
            state = ", closed" if part.id in shown.closed else ", open"
        elif isinstance(part, Relay):
            state = ", pulled in" if part.id in shown.closed else ", at rest"
        elif isinstance(part, Fuse):
            state = ", pulled out" if part.id in shown.out else ", blown" if part.id in shown.blown else ""
        if isinstance(part, Wire):
            sentences.append(f"{wire_text(part)} runs from {part.start} to {part.end}.")
        elif isinstance(part, Joint):
            sentences.append(f"{part.id} {part.title} joins {part.start} and {part.end}.")
        elif len(part.terminals) == 2:
            sentences.append(f"{part.id} {part.title}, from {part.terminals[0]} to {part.terminals[1]}{state}.")
        else:
            sentences.append(f"{part.id} {part.title}{state}.")
    told = [f"{terminal} {shown.nodes[str(terminal)]}" for terminal in _told(machine, stage, shown)]
    if told:
        sentences.append(f"States: {', '.join(told)}.")
    return " ".join(sentences)


def _told(machine: Machine, stage: str, shown: Shown) -> tuple[Terminal, ...]:
    terminals = touched(machine.circuit, machine.stages[stage])
    return tuple(terminal for terminal in terminals if str(terminal) in shown.nodes)


def _switching(machine: Machine, stage: str, shown: Shown) -> str:
    """``key switch closed``: how the switches and relays of a stage stand, and which fuses are blown or out."""
    said = []
    for part_id in machine.stages[stage].parts:
        part = machine.circuit[part_id]
        if isinstance(part, Switch):
            said.append(f"{part.title} {'closed' if part_id in shown.closed else 'open'}")
        elif isinstance(part, Relay):
            said.append(f"{part.title} {'pulled in' if part_id in shown.closed else 'at rest'}")
        elif isinstance(part, Fuse) and part_id in shown.out | shown.blown:
            said.append(f"{part.title} {'out' if part_id in shown.out else 'blown'}")
    return ", ".join(said)
