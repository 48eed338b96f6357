"""The faults each kind of part can have, what a close look shows, and the usual cause and cure (common practice)."""

from collections.abc import Iterator

from kit.circuit import (
    Battery,
    Change,
    Circuit,
    ControlUnit,
    Diode,
    Fault,
    Fuse,
    Joint,
    Lamp,
    Metal,
    Motor,
    Ohms,
    Open,
    Part,
    Relay,
    ShortTo,
    Switch,
    Terminal,
    Wire,
)
from kit.machines.machine import FaultNote

NOTHING_TO_SEE = "Nothing to see from outside."
HEAVY_FROM_MM2 = 10.0


def catalogue(circuit: Circuit, frame: Terminal) -> Iterator[tuple[Fault, FaultNote]]:
    """Every single fault of a circuit's parts, in the parts' order; ``frame`` is the metal a chafed wire touches."""
    ground = _ground(circuit, frame)
    for part in circuit.parts:
        for label, edit, looks, cause, repair in _of(part, frame):
            if isinstance(part, Wire) and isinstance(edit, ShortTo) and edit.start in ground:
                continue  # bare ground wire on bare metal: it is there already
            yield (
                Fault(id=f"{part.id} {label}", part=part.id, edit=edit),
                FaultNote(looks=looks, cause=cause, repair=repair.format(what=f"{part.title} {part.id}")),
            )


def _ground(circuit: Circuit, frame: Terminal) -> set[Terminal]:
    """Every terminal that wires and joints alone tie to the frame."""
    ground, ends = {frame}, [(part.start, part.end) for part in circuit.parts if isinstance(part, (Wire, Joint))]
    while grown := [pair for pair in ends if (pair[0] in ground) != (pair[1] in ground)]:
        ground.update(end for pair in grown for end in pair)
    return ground


def _of(part: Part, frame: Terminal) -> Iterator[tuple]:
    def across(first: str, second: str, ohms: float) -> ShortTo:
        return ShortTo(start=Terminal(part.id, first), end=Terminal(part.id, second), ohms=ohms)

    renew = "Renew the {what}."
    match part:
        case Battery():
            yield ("flat", Change(field="volts", value=part.volts * 11.6 / 12.8), NOTHING_TO_SEE,
                   "left on, or standing too long", "Charge the {what}, then load-test it; find what drained it.")
            yield ("sulphated", Change(field="ohms", value=part.ohms * 8), NOTHING_TO_SEE,
                   "stood discharged over the winter", renew)
        case Fuse():
            yield ("blown", Open(), "The wire inside is melted through.", "too much current: find where it went",
                   "Fit a new fuse of the same rating once the cause is found.")
            yield ("high resistance 5 ohm", Ohms(ohms=5.0), "The blades look dull and one clip is browned.",
                   "loose, hot clip", "Clean and tighten the clips, fit a new fuse of the same rating.")
        case Wire(mm2=mm2) if mm2 >= HEAVY_FROM_MM2:
            yield ("open", Open(), "The cable has come out of its lug.", "broken at the lug", renew)
            yield ("high resistance 0.05 ohm", Ohms(ohms=0.05), "Green powder creeps out under the sleeve of the lug.",
                   "unsealed crimp", renew)
        case Wire():
            yield ("open", Open(), NOTHING_TO_SEE, "broken inside its insulation by flexing",
                   "Mend or renew wire {what}.")
            yield ("high resistance 5 ohm", Ohms(ohms=5.0), NOTHING_TO_SEE, "a few strands left, the rest corroded",
                   "Mend or renew wire {what}.")
            yield ("shorted to ground", ShortTo(start=part.end, end=frame, ohms=0.02),
                   "The insulation is rubbed through; bare copper touches metal.", "chafed through",
                   "Renew the chafed length of {what} and clip it clear of the edge.")
        case Joint():
            yield ("open", Open(), "The joint has come apart.", "worked loose", "Clean, refit and tighten the {what}.")
            yield ("high resistance 0.5 ohm", Ohms(ohms=0.5), "Dull, with a furry edge; it can be moved by hand.",
                   "not tightened, then corroded", "Clean to bare metal, tighten and protect the {what}.")
        case Metal():
            return
        case Switch():
            yield ("stuck open", Open(), NOTHING_TO_SEE, "water and wear on the contacts", renew)
            yield ("stuck closed", across("1", "2", part.ohms), NOTHING_TO_SEE, "a bridge across the contacts", renew)
            yield ("high resistance 5 ohm", Ohms(ohms=5.0), NOTHING_TO_SEE, "burnt contacts", renew)
        case Relay():
            yield ("coil open", Open(at="coil"), NOTHING_TO_SEE, "heat", renew)
            yield ("coil shorted", Change(field="coil_ohms", value=part.coil_ohms / 10), "It smells burnt.", "heat",
                   renew)
            yield ("contacts open", Open(at="contact"), NOTHING_TO_SEE, "contacts burnt away", renew)
            yield ("contacts burnt 0.5 ohm", Ohms(ohms=0.5, at="contact"), NOTHING_TO_SEE, "cranked on a weak battery",
                   renew)
            yield ("contacts welded", across("30", "87", part.contact_ohms), NOTHING_TO_SEE, "cranked on low volts",
                   renew)
            yield ("pulls in weakly", Change(field="pull_in_volts", value=part.pull_in_volts * 2), NOTHING_TO_SEE,
                   "sticky armature", renew)
        case Diode():
            yield ("open", Open(), NOTHING_TO_SEE, "overload", renew)
            yield ("shorted", across("A", "K", 0.02), NOTHING_TO_SEE, "jump leads put on the wrong way round", renew)
        case Lamp():
            yield ("open", Open(), "The filament hangs loose in the glass.", "vibration",
                   "Fit a new lamp of the same watts for {what}.")
        case Motor():
            yield ("open", Open(), NOTHING_TO_SEE, "brushes worn to the end", renew)
            yield ("seized", Change(field="load_amps", value=part.load_amps * 100), "It cannot be turned by hand.",
                   "seized engine or starter", "Find what is seized before anything is renewed: {what}.")
        case ControlUnit():
            yield ("dead", Open(), NOTHING_TO_SEE, "water in the plug", renew)
