"""Ohms and diode test of a part that nothing else is joined to: dead, one end taken off, the meter across it.

With one end off, nothing but the part itself and what is shorted to its ends can matter, so only those suspects are
solved; every other shows what the sound machine does.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from kit.circuit import (
    Diode,
    Fault,
    FuelSolenoid,
    GlowPlug,
    Joint,
    Lamp,
    Magneto,
    Open,
    Part,
    Relay,
    ShortTo,
    StarterSolenoid,
    Stator,
    Switch,
    Terminal,
)
from kit.diagnose import leads, shows
from kit.diagnose.currents import UNPLUG_MINUTES
from kit.diagnose.measured import Column, Row, point_minutes
from kit.instruments import Multimeter
from kit.machines import Machine, Operation

OHMS_APART, DIODE_APART = (0.3, 0.05), (0.03, 0.03)
GROUNDED_BELOW = 10.0  # ohms by which a kill wire stops an engine, and far less than any it must not
DEAD_VOLTS = 0.1  # more than that between an end and either post's metal, and no hand puts ohms there
# The terminals of a part between which its inside is measured; all others are measured end to end.
PAIRS: Mapping[type[Part], tuple[tuple[str, str], ...]] = {
    Relay: (("85", "86"),), StarterSolenoid: (("body", "50"),),
    FuelSolenoid: (("body", "feed"), ("body", "hold"), ("body", "pull")),
    **dict.fromkeys((Switch, Lamp, Diode, GlowPlug, Stator), ()),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Place:
    """Where a meter goes: its leads, what comes off first, and the part that is measured so."""

    part: Part
    black: str
    red: str
    off: tuple[Part, ...]


def columns(machine: Machine, every: Sequence[Row], tried: Sequence[Mapping[str, str]]) -> Iterator[Column]:
    """A column for every part that can be measured so, a switch in each position of the control that works it."""
    sound = machine.operate()
    for place in places(machine, sound):
        for where in _standing(machine, place.part, tried):
            yield from _measured(machine, every, place, where)


def places(machine: Machine, rest: Operation) -> Iterator[Place]:
    """The parts a meter can be put across with one end off, and a magneto's kill wire, off at the magneto."""
    for part in machine.circuit.parts:
        if isinstance(part, Magneto):
            yield from _kill_wire(machine, part)
        kind = next((kind for kind in PAIRS if isinstance(part, kind)), None)
        if kind is None:
            continue
        names = PAIRS[kind] or (tuple(terminal.name for terminal in part.terminals),)
        for pair in names:
            ends = tuple(f"{part.id}.{name}" for name in pair)
            if len(ends) != 2 or any(Terminal.read(end) not in machine.points for end in ends):
                continue
            # Of its two ends the one with fewer wires on it comes off, the live one where either is live.
            choices = []
            for end in ends:
                off = [*leads.at(machine, end)]
                if isinstance(part, StarterSolenoid):
                    # Its pull coil would find its way home through the motor.
                    off += leads.at(machine, f"{part.id}.M")
                other = ends[1] if end == ends[0] else ends[0]
                if all(map(leads.can_come_off, off)) and not _live(rest, other):
                    choices.append((len(off), [p.id for p in off], off))
            if choices:
                yield Place(part=part, black=ends[0], red=ends[1], off=tuple(min(choices, key=lambda c: c[:2])[2]))


def _kill_wire(machine: Machine, part: Magneto) -> Iterator[Place]:
    """From the loom's end of the wire to the battery's minus, with the joint at the magneto off."""
    kill = f"{part.id}.{part.terminals[0].name}"
    for joint in leads.at(machine, kill):
        far = next(end for end in leads.ends(joint) if end != kill)
        if leads.can_come_off(joint) and Terminal.read(far) in machine.points:
            yield Place(part=joint, black=leads.posts(machine)[0], red=far, off=(joint,))


def _live(rest: Operation, end: str) -> bool:
    volts = rest.volts[end]
    return volts is not None and abs(volts) > DEAD_VOLTS


def _standing(machine: Machine, part: Part, tried: Sequence[Mapping[str, str]]) -> Iterator[Mapping[str, str]]:
    """At rest; a switch in each position its control has; a kill wire in all that are tried and do not crank."""
    if isinstance(part, Switch):
        seen = set()
        for name, control in machine.controls.items():
            for position in control.positions:
                shut = part.id in control.closes.get(position, ())
                if any(part.id in closed for closed in control.closes.values()) and shut not in seen:
                    seen.add(shut)
                    yield machine.positions(**{name: position})
        if not seen:
            yield machine.positions()
        return
    if isinstance(part, Joint):
        # A kill wire: once where the sound machine grounds it and once where it leaves it free.
        seen = set()
        for where in tried:
            now = machine.operate(**where)
            ohms = now.solution.outside_ohms.get(_magneto(machine, part), 0.0)
            if now.word(machine.engine.cranked_by) != "cranks" and (ohms > GROUNDED_BELOW) not in seen:
                seen.add(ohms > GROUNDED_BELOW)
                yield where
        return
    yield machine.positions()


def _magneto(machine: Machine, joint: Joint) -> str:
    return next(Terminal.read(end).part for end in leads.ends(joint)
                if isinstance(machine.circuit[Terminal.read(end).part], Magneto))


def _measured(machine: Machine, every: Sequence[Row], place: Place, where: Mapping[str, str]) -> Iterator[Column]:
    off = [
        Fault(id=f"{part.id} off {path}".rstrip(), part=part.id, edit=Open(at=path))
        for part in place.off for path in part.inside
    ]
    taken = {part.id for part in place.off}
    diode = isinstance(place.part, Diode)

    def read(row: Row) -> object:
        # What is shorted inside a plug that is off is off with it.
        faults = [fault for fault in row.faults if not (fault.part in taken and _within(fault))]
        now = machine.operate(*faults, *off, **where)
        if not diode:
            return _value(Multimeter("ohms", black=place.black, red=place.red).read(now))
        both = ((place.black, place.red), (place.red, place.black))
        return tuple(_value(Multimeter("diode test", black=black, red=red).read(now)) for black, red in both)

    matters = _matters(machine, place)
    sound = read(every[0])
    told = [read(row) if any(map(matters, row.faults)) else sound for row in every]
    if diode:
        ways = [shows.figures([one[way] for one in told], DIODE_APART, "V") for way in (0, 1)]
        cells, words = shows.things(list(zip(ways[0][0].tolist(), ways[1][0].tolist(), strict=True)))
        shown = tuple(f"{ways[0][1][a]} one way, {ways[1][1][b]} the other" for a, b in words)
    else:
        cells, shown = shows.figures(told, OHMS_APART, "Ω")
    if len(shown) < 2:
        return
    minutes = sum(leads.reach(machine, part, UNPLUG_MINUTES) for part in place.off)
    minutes += sum(point_minutes(machine, end) for end in (place.black, place.red))
    minutes += leads.minutes(machine, where)
    kind = "diode test" if diode else "ohms"
    loose = " and ".join(sorted(taken))
    name = f"{kind.capitalize()}, black on {place.black}, red on {place.red}{', both ways' if diode else ''}, " \
           f"{loose} off; {leads.in_words(machine, where)}"
    yield Column(kind, (kind, (place.black, place.red), tuple(where.items()), " ".join(sorted(taken))), name, minutes,
                 cells[:, None], shown)


def _matters(machine: Machine, place: Place):
    """Whether a fault can be felt there: one of the part, or a short that touches what the leads are on."""
    if isinstance(place.part, (Switch, Lamp, Diode, GlowPlug, Stator, Relay, StarterSolenoid, FuelSolenoid)):
        near = {place.black, place.red}
        return lambda fault: fault.part == place.part.id or (
            isinstance(fault.edit, ShortTo) and bool({str(fault.edit.start), str(fault.edit.end)} & near)
        )
    # A wire off at one end leads to much: nobody is left out.
    return lambda _fault: True


def _value(reading: object) -> float | str:
    return reading.shown if reading.value is None else reading.value


def _within(fault: Fault) -> bool:
    edit = fault.edit
    return isinstance(edit, ShortTo) and edit.start.part == edit.end.part == fault.part
