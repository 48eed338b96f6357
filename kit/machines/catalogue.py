"""The faults each kind of part can have, what a close look shows, and the usual cause and cure (common practice)."""

from collections.abc import Iterator
from dataclasses import dataclass

from kit.circuit import (
    LED,
    Alternator,
    Battery,
    Change,
    Circuit,
    ControlUnit,
    Diode,
    Fault,
    FloatCharger,
    FuelSolenoid,
    Fuse,
    GlowPlug,
    Joint,
    Lamp,
    Magneto,
    Metal,
    Motor,
    Ohms,
    Open,
    Part,
    RegulatorRectifier,
    Relay,
    Resistor,
    Reversed,
    ShortTo,
    StarterSolenoid,
    Stator,
    Switch,
    Terminal,
    Welded,
    When,
    Wire,
)
from kit.machines.machine import FaultNote
from kit.machines.spares import spares

NOTHING_TO_SEE = "Nothing to see from outside."
HEAVY_FROM_MM2 = 10.0
# A joint meant for starter current is better than this; the others carry what a green film can stop.
HEAVY_BELOW_OHMS = 0.5e-3
# Cables this thick, and the joints that go with them, crank engines that a twentieth of an ohm would stop dead: theirs
# go through less first.
THICK_FROM_MM2 = 35.0
THICK_BELOW_OHMS = 0.15e-3
RENEW = "Renew the {what}."


@dataclass(frozen=True, slots=True)
class Entry:
    """One fault of one part: its label, what it does, what a look shows, its usual cause and cure."""

    label: str
    edit: object
    looks: str
    cause: str
    repair: str = RENEW
    when: When = When.ALWAYS


def catalogue(circuit: Circuit, frame: Terminal) -> Iterator[tuple[Fault, FaultNote]]:
    """Every single fault of a circuit's parts, in the parts' order; ``frame`` is the metal a chafed wire touches."""
    ground = _tied(circuit, frame)
    supply = next((part.terminals[0] for part in circuit.parts if isinstance(part, Battery)), None)
    live = _tied(circuit, supply) if supply else set()
    for part in circuit.parts:
        for entry in (*_of(part, frame, supply), *spares(part)):
            edit = entry.edit
            # Bare ground wire on bare metal, live wire on live wire: it is there already. A ground wire on the
            # battery's plus is met from the other side, as a live wire on metal.
            if isinstance(part, Wire) and isinstance(edit, ShortTo) and (
                edit.start in ground or (edit.end == supply and edit.start in live)
            ):
                continue
            yield (
                Fault(id=f"{part.id} {entry.label}", part=part.id, edit=edit, when=entry.when),
                FaultNote(
                    looks=entry.looks, cause=entry.cause, repair=entry.repair.format(what=f"{part.title} {part.id}")
                ),
            )


def _tied(circuit: Circuit, start: Terminal) -> set[Terminal]:
    """Every terminal that wires and joints alone tie to this one."""
    tied, ends = {start}, [(part.start, part.end) for part in circuit.parts if isinstance(part, (Wire, Joint))]
    while grown := [pair for pair in ends if (pair[0] in tied) != (pair[1] in tied)]:
        tied.update(end for pair in grown for end in pair)
    return tied


def _of(part: Part, frame: Terminal, supply: Terminal | None) -> Iterator[Entry]:
    match part:
        case Wire() | Joint() | Fuse() | Metal():
            yield from _path(part, frame, supply)
        case Relay() | StarterSolenoid() | FuelSolenoid() | ControlUnit():
            yield from _moving(part)
        case Alternator() | Stator() | RegulatorRectifier() | FloatCharger():
            yield from _charging(part, frame)
        case _:
            yield from _device(part)


def _path(part: Part, frame: Terminal, supply: Terminal | None) -> Iterator[Entry]:
    """What leads current: wires, joints, fuses."""
    mend, clean = "Mend or renew wire {what}.", "Clean to bare metal, tighten and protect the {what}."
    match part:
        case Fuse():
            yield Entry("blown", Open(), "The wire inside is melted through.", "too much current: find where it went",
                        "Fit a new fuse of the same rating once the cause is found.")
            fit = "Clean and tighten the clips, fit a new fuse of the same rating."
            yield Entry("high resistance 5 ohm", Ohms(ohms=5.0), "The blades look dull and one clip is browned.",
                        "loose, hot clip", fit)
            yield Entry("high resistance 50 kohm", Ohms(ohms=50e3), "A green film covers blades and clips.",
                        "salt water in the holder", fit)
        case Wire(mm2=mm2) if mm2 >= HEAVY_FROM_MM2:
            yield Entry("open", Open(), "The cable has come out of its lug.", "broken at the lug")
            yield Entry("high resistance 0.05 ohm", Ohms(ohms=0.05),
                        "Green powder creeps out under the sleeve of the lug.", "unsealed crimp")
            if mm2 >= THICK_FROM_MM2:
                yield Entry("high resistance 0.02 ohm", Ohms(ohms=0.02),
                            "Green powder creeps out under the sleeve of the lug.", "unsealed crimp")
        case Wire():
            yield Entry("open", Open(), NOTHING_TO_SEE, "broken inside its insulation by flexing", mend)
            yield Entry("high resistance 5 ohm", Ohms(ohms=5.0), NOTHING_TO_SEE,
                        "a few strands left, the rest corroded", mend)
            chafed = "Renew the chafed length of {what} and clip it clear of the edge."
            yield Entry("shorted to ground", ShortTo(start=part.end, end=frame, ohms=0.02),
                        "The insulation is rubbed through; bare copper touches metal.", "chafed through", chafed)
            if supply:
                yield Entry("shorted to supply", ShortTo(start=part.end, end=supply, ohms=0.02),
                            "Two wires of the loom are rubbed through and touch; one of them is always live.",
                            "chafed through", chafed)
            yield Entry("open when wiggled", Open(), NOTHING_TO_SEE, "broken inside its insulation by flexing", mend,
                        When.WIGGLE)
        case Joint(ohms=sound):
            yield Entry("open", Open(), "The joint has come apart.", "worked loose",
                        "Clean, refit and tighten the {what}.")
            furry = "Dull, with a furry edge; it can be moved by hand."
            yield Entry("high resistance 0.5 ohm", Ohms(ohms=0.5), furry, "not tightened, then corroded", clean)
            if sound < THICK_BELOW_OHMS:
                yield Entry("high resistance 0.02 ohm", Ohms(ohms=0.02), "Its nut can be turned by hand.",
                            "worked loose", clean)
            if sound >= HEAVY_BELOW_OHMS:
                yield Entry("high resistance 5 ohm", Ohms(ohms=5.0), furry, "poor crimp, then corroded", clean)
                yield Entry("high resistance 50 kohm", Ohms(ohms=50e3), "A green crust stands between the two metals.",
                            "salt water", clean)
            yield Entry("high resistance 0.5 ohm when warm", Ohms(ohms=0.5), NOTHING_TO_SEE,
                        "works loose as it warms", clean, When.HEAT)


def _device(part: Part) -> Iterator[Entry]:
    """What gives or uses current, and the switches."""
    def across(first: str, second: str, ohms: float) -> ShortTo:
        return ShortTo(start=Terminal(part.id, first), end=Terminal(part.id, second), ohms=ohms)

    match part:
        case Battery():
            charge = "Charge the {what}, then load-test it; find what drained it."
            yield Entry("flat", Change(field="charge", value=0.0), NOTHING_TO_SEE, "left on, or standing too long",
                        charge)
            yield Entry("half charged", Change(field="charge", value=0.5), NOTHING_TO_SEE,
                        "short runs, or standing too long", charge)
            yield Entry("quarter charged", Change(field="charge", value=0.25), NOTHING_TO_SEE,
                        "no charge reached it, or something drained it", charge)
            yield Entry("sulphated", Change(field="ohms", value=part.ohms * 8), NOTHING_TO_SEE,
                        "stood discharged over the winter")
            if part.cells > 1:
                yield Entry("dead cell", Change(field="dead_cells", value=1.0), NOTHING_TO_SEE, "stood discharged")
        case Switch(ohms=sound):
            yield Entry("stuck open", Open(), NOTHING_TO_SEE, "water and wear on the contacts")
            if sound < HEAVY_BELOW_OHMS:
                yield Entry("contacts burnt 0.02 ohm", Ohms(ohms=0.02), NOTHING_TO_SEE, "switched under load")
            yield Entry("stuck closed", across("1", "2", part.ohms), NOTHING_TO_SEE, "a bridge across the contacts")
            yield Entry("high resistance 5 ohm", Ohms(ohms=5.0), NOTHING_TO_SEE, "burnt contacts")
            yield Entry("open when wiggled", Open(), NOTHING_TO_SEE, "worn out of adjustment", when=When.WIGGLE)
        case Diode():
            yield Entry("open", Open(), NOTHING_TO_SEE, "overload")
            yield Entry("shorted", across("A", "K", 0.02), NOTHING_TO_SEE, "jump leads put on the wrong way round")
            yield Entry("reversed", Reversed(), "The ring is at the wrong end.", "fitted the wrong way round",
                        "Turn the {what} round.")
        case LED():
            yield Entry("open", Open(), NOTHING_TO_SEE, "overheated")
            yield Entry("reversed", Reversed(), NOTHING_TO_SEE, "fitted the wrong way round", "Turn the {what} round.")
        case Lamp():
            yield Entry("open", Open(), "The filament hangs loose in the glass.", "vibration",
                        "Fit a new lamp of the same watts for {what}.")
        case Resistor():
            yield Entry("open", Open(), NOTHING_TO_SEE, "burnt through")
        case GlowPlug():
            yield Entry("open", Open(), NOTHING_TO_SEE, "ageing")
        case Magneto():
            yield Entry("dead", Open(), NOTHING_TO_SEE, "heat")
            yield Entry("grounded inside", across("kill", "ground", 0.5), NOTHING_TO_SEE, "heat and vibration")
        case Motor():
            yield Entry("open", Open(), NOTHING_TO_SEE, "brushes worn to the end")
            yield Entry("worn", Change(field="ohms", value=part.ohms * 2), NOTHING_TO_SEE,
                        "short brushes on a dirty commutator")
            # Three times the amps are more than any starter gives: it comes up to compression and stops.
            yield Entry("engine too stiff", Change(field="load_amps", value=part.load_amps * 3),
                        "It can be turned by hand, but hard, and it springs back.", "something in the engine holds it",
                        "Find what holds the engine before anything is renewed: {what}.")
            yield Entry("seized", Change(field="load_amps", value=part.load_amps * 100), "It cannot be turned by hand.",
                        "seized engine or starter", "Find what is seized before anything is renewed: {what}.")


def _moving(part: Part) -> Iterator[Entry]:
    """What moves a contact or drives an output."""
    def across(first: str, second: str, ohms: float) -> ShortTo:
        return ShortTo(start=Terminal(part.id, first), end=Terminal(part.id, second), ohms=ohms)

    match part:
        case Relay():
            yield Entry("coil open", Open(at="coil"), NOTHING_TO_SEE, "heat")
            yield Entry("coil shorted", Change(field="turns", value=part.turns / 10), "It smells burnt.", "heat")
            yield Entry("contacts open", Open(at="contact"), NOTHING_TO_SEE, "contacts burnt away")
            yield Entry("contacts burnt 0.5 ohm", Ohms(ohms=0.5, at="contact"), NOTHING_TO_SEE,
                        "cranked on a weak battery")
            if part.contacts == "change-over":
                yield Entry("rest contact open", Open(at="rest"), NOTHING_TO_SEE, "contacts burnt away")
                yield Entry("contacts welded", Welded(at="contact"), NOTHING_TO_SEE, "closed on a short")
                yield Entry("rest contact welded", Welded(at="rest"), NOTHING_TO_SEE, "closed on a short")
            else:
                yield Entry("contacts welded", across("30", "87", part.contact_ohms), NOTHING_TO_SEE,
                            "cranked on low volts")
            yield Entry("pulls in weakly", Change(field="pull_in_volts", value=part.pull_in_volts * 2), NOTHING_TO_SEE,
                        "sticky armature")
            yield Entry("coil open when warm", Open(at="coil"), NOTHING_TO_SEE, "a crack that opens as it warms",
                        when=When.HEAT)
            if part.suppression == "diode":
                yield Entry("85 and 86 swapped", Reversed(at="diode"),
                            "The two coil wires sit in each other's places.", "careless fitting",
                            "Put the two coil wires of {what} back in their places.")
                yield Entry("diode shorted", across("85", "86", 0.02), NOTHING_TO_SEE,
                            "jump leads put on the wrong way round")
        case StarterSolenoid():
            yield Entry("pull coil open", Open(at="pull"), NOTHING_TO_SEE, "long cranking")
            yield Entry("hold coil open", Open(at="hold"), NOTHING_TO_SEE, "long cranking")
            yield Entry("contacts open", Open(at="contact"), NOTHING_TO_SEE, "contacts burnt away")
            yield Entry("contacts burnt 0.05 ohm", Ohms(ohms=0.05, at="contact"), NOTHING_TO_SEE,
                        "cranked on a weak battery")
            yield Entry("contacts welded", across("30", "M", part.contact_ohms), NOTHING_TO_SEE, "cranked on low volts")
            yield Entry("pulls in weakly", Change(field="pull_in_volts", value=part.pull_in_volts * 2), NOTHING_TO_SEE,
                        "sticky plunger")
        case FuelSolenoid():
            yield Entry("pull coil open", Open(at="pull"), NOTHING_TO_SEE, "heat")
            yield Entry("hold coil open", Open(at="hold"), NOTHING_TO_SEE, "heat")
            # The contact that cuts the pull coil is moved by the plunger: one that sticks leaves it on.
            yield Entry("pull coil stays on", Change(field="pull_in_volts", value=part.pull_in_volts * 100),
                        "The linkage cannot be moved by hand.", "sticky linkage", "Free and oil the linkage of {what}.")
        case ControlUnit():
            yield Entry("dead", Open(), NOTHING_TO_SEE, "water in the plug")
            yield Entry("dead when warm", Open(), NOTHING_TO_SEE, "a cracked solder joint", when=When.HEAT)
            for pin in part.inputs:
                yield Entry(f"input {pin} dead", Open(at=pin), NOTHING_TO_SEE, "battery volts put on the pin")
            for pin, _ in part.outputs:
                yield Entry(f"output {pin} dead", Open(at=pin), NOTHING_TO_SEE, "driver overloaded")
                yield Entry(f"output {pin} stuck on", across(pin, "ground", part.output_ohms), NOTHING_TO_SEE,
                            "driver overloaded")


def _charging(part: Part, frame: Terminal) -> Iterator[Entry]:
    """What charges the battery; a wire off at B+ is a fault of the wire."""
    def touching(first: str, second: str | Terminal, ohms: float) -> ShortTo:
        end = second if isinstance(second, Terminal) else Terminal(part.id, second)
        return ShortTo(start=Terminal(part.id, first), end=end, ohms=ohms)

    jumped = "jump leads put on the wrong way round"
    match part:
        case Alternator(volts=volts):
            yield Entry("diode open", Change(field="open_diodes", value=1.0), NOTHING_TO_SEE, jumped)
            yield Entry("diode shorted", Change(field="shorted_diodes", value=1.0), NOTHING_TO_SEE, jumped)
            yield Entry("leaks 0.3 A", Change(field="leak_amps", value=0.3), NOTHING_TO_SEE, "salt water in it")
            yield Entry("brushes worn open", Open(at="brushes"), "The brushes no longer reach the rings.", "wear",
                        "Renew the brushes of {what}.")
            yield Entry("regulator dead", Open(at="regulator"), NOTHING_TO_SEE, "heat")
            yield Entry("regulator full on", Change(field="volts", value=1.2 * volts), NOTHING_TO_SEE, "heat")
            yield Entry("exciter diodes open", Open(at="exciter"), NOTHING_TO_SEE,
                        "isolator opened with the engine running")
        case Stator(inside=windings):
            for winding in windings:
                name = f"phase {winding}" if len(windings) > 1 else winding
                yield Entry(f"{name} open", Open(at=winding), "A joint of the winding has come unsoldered.", "heat")
            yield Entry("shorted to ground", touching("1", frame, 0.05), "The windings are burnt black.", "heat")
            label = "phases shorted" if len(windings) > 1 else "shorted across"
            yield Entry(label, touching("1", "2", 0.02), "The windings are burnt black.", "heat")
            yield Entry("turns shorted", Change(field="turns", value=0.7), "One winding is darker than the others.",
                        "heat")
        case FloatCharger():
            yield Entry("dead", Open(at="output"), NOTHING_TO_SEE, "heat")
        case RegulatorRectifier(volts=volts):
            yield Entry("dead", Open(at="output"), NOTHING_TO_SEE, "battery put in the wrong way round")
            yield Entry("does not regulate", Open(at="regulator"), NOTHING_TO_SEE, "a bad ground of its own")
            yield Entry("leaks 0.2 A", touching("+", "-", volts / 0.2), NOTHING_TO_SEE, "heat")
            yield Entry("diode open", Open(at="1+"), NOTHING_TO_SEE, "heat")
            yield Entry("diode shorted", touching("1", "+", 0.02), NOTHING_TO_SEE, jumped)
