"""From parts and faults to the branches the kernel knows."""

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace

from kit.circuit import (
    Battery,
    Change,
    Circuit,
    ControlUnit,
    Diode,
    Fault,
    Fuse,
    Instrument,
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
from kit.errors import FaultError
from kit.solve.kernel import COLD, DIODE, LAMP, LINEAR, MOTOR

THERMAL_VOLTS = 0.025852  # kT/q at 300 K (27 °C)
# An operation lasts the seconds a person holds it. A blade fuse at twice its rating melts within 0.15 to 5 s; below
# that it may take minutes. Source: ISO 8820-3, from memory.
MELTS_AT = 2.0


@dataclass(frozen=True, slots=True)
class Branch:
    """One path between two terminals: kernel kind, its figures, and whether it conducts before anything moves."""

    name: str
    a: Terminal
    b: Terminal
    kind: int
    p0: float
    p1: float = 0.0
    p2: float = 0.0
    broken: bool = False
    switch: str = ""
    shut_at_rest: bool = False


@dataclass(frozen=True, slots=True)
class Magnet:
    """Something that moves contacts by current: paths of its coil, of a second coil and of its contacts ("" for none).

    ``rest`` is the contact that is shut while it is not pulled in; ``pull`` and ``drop`` are amps.
    """

    id: str
    coil: str
    contact: str
    pull: float
    drop: float
    second: str = ""
    rest: str = ""


@dataclass(frozen=True, slots=True)
class Network:
    """A circuit as branches, with the relays and the fuses (path, melting amps) in it.

    ``parts`` are the parts with the changes of their faults made.
    """

    terminals: tuple[Terminal, ...]
    reference: Terminal
    branches: tuple[Branch, ...]
    relays: tuple[Magnet, ...]
    fuses: tuple[tuple[str, float], ...]
    parts: tuple[Part, ...]


def network(circuit: Circuit) -> Network:
    """Every path of a circuit with its faults applied."""
    branches: list[Branch] = []
    relays, fuses, parts = [], [], []
    for part in circuit.parts:
        faults = [fault for fault in circuit.faults if fault.part == part.id]
        for fault in faults:
            if isinstance(fault.edit, Change):
                part = replace(part, **{fault.edit.field: fault.edit.value})
        parts.append(part)
        for branch in paths(part):
            branches.append(_edited(part, branch, faults))
        if isinstance(part, Relay):
            relays.append(Magnet(
                part.id, f"{part.id}.coil", f"{part.id}.contact", part.pull_in_amps, part.drop_out_amps
            ))
        if isinstance(part, Fuse):
            fuses.append((part.id, MELTS_AT * part.amps))
    for fault in circuit.faults:
        if isinstance(fault.edit, ShortTo):
            edit = fault.edit
            branches.append(Branch(f"fault {fault.id}", edit.start, edit.end, LINEAR, 1 / edit.ohms))
    return Network(circuit.terminals, circuit.reference, tuple(branches), tuple(relays), tuple(fuses), tuple(parts))


def paths(part: Part) -> tuple[Branch, ...]:
    """The branches of a sound part."""
    def at(name: str) -> Terminal:
        return Terminal(part.id, name)

    match part:
        case Battery(id=name, volts=volts, ohms=ohms):
            # From minus to plus, so that amps out of the plus post are positive.
            return (Branch(name, at("-"), at("+"), LINEAR, 1 / ohms, volts / ohms),)
        case Fuse(id=name, ohms=ohms):
            return (Branch(name, at("1"), at("2"), LINEAR, 1 / ohms),)
        case Switch(id=name, ohms=ohms):
            return (Branch(name, at("1"), at("2"), LINEAR, 1 / ohms, switch=name),)
        case Wire(id=name, start=start, end=end) | Joint(id=name, start=start, end=end):
            return (Branch(name, start, end, LINEAR, 1 / part.ohms),)
        case Metal():
            return ()
        case Relay(id=name):
            return (
                Branch(f"{name}.coil", at("86"), at("85"), LINEAR, 1 / part.coil_ohms),
                Branch(f"{name}.contact", at("30"), at("87"), LINEAR, 1 / part.contact_ohms, switch=name),
            )
        case Diode(id=name):
            return (Branch(name, at("A"), at("K"), DIODE, part.saturation_amps, part.emission * THERMAL_VOLTS),)
        case Lamp(id=name, watts=watts, volts=volts):
            return (Branch(name, at("1"), at("2"), LAMP, volts * volts / watts, volts, COLD),)
        case Motor(id=name):
            return (Branch(name, at("stud"), at("body"), MOTOR, part.ohms, part.load_amps, part.drag),)
        case ControlUnit(id=name, volts=volts, amps=amps):
            return (Branch(name, at("supply"), at("ground"), LINEAR, amps / volts),)
        case Instrument(id=name, start=start, end=end, watts=watts, volts=volts) if watts:
            return (Branch(name, start, end, LAMP, volts * volts / watts, volts, COLD),)
        case Instrument(id=name, start=start, end=end, ohms=ohms):
            return (Branch(name, start, end, LINEAR, 1 / ohms),)
    raise TypeError(f"a {part.word} has no electrical law")


def _edited(part: Part, branch: Branch, faults: Iterable[Fault]) -> Branch:
    for fault in faults:
        at = getattr(fault.edit, "at", "")
        if at and not branch.name.endswith(f".{at}"):
            continue
        match fault.edit:
            case Open():
                branch = replace(branch, broken=True)
            case Ohms(ohms=more):
                if branch.kind != LINEAR:
                    raise FaultError(
                        f"fault '{fault.id}': a {part.word} takes no series ohms; plant them in the wire beside it."
                    )
                # The source's share p1 = volts/ohms shrinks with the conductance, so the volts stay.
                sound = 1 / branch.p0
                branch = replace(branch, p0=1 / (sound + more), p1=branch.p1 * sound / (sound + more))
    return branch


def motor_speed(branch: Branch, across: float, cranking_emf: float) -> float:
    """Speed of a motor as a share of healthy cranking speed, from the volts across it."""
    emf = (abs(across) - branch.p0 * branch.p1) / (1 + branch.p0 * branch.p2)
    return math.copysign(emf / cranking_emf, across) if emf > 0 else 0.0
