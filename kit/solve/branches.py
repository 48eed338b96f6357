"""From parts and faults to the branches the kernel knows."""

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from functools import lru_cache

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
    Instrument,
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
    Spare,
    StarterSolenoid,
    Stator,
    Switch,
    Terminal,
    Welded,
    Wire,
)
from kit.errors import FaultError
from kit.solve import charging
from kit.solve.battery import SURFACE_GONE_AT, SURFACE_SHARE, charging_ohms, gassing, inner_ohms, rest_volts
from kit.solve.branch import THERMAL_VOLTS, Branch, Magnet
from kit.solve.fuses import melts_at
from kit.solve.kernel import CHARGED, COLD, DIODE, LAMP, LINEAR, MOTOR

LED_EMISSION = 2.0
# A control unit's input counts as grounded when its pull-up loses so much of the rated volts, until it loses less.
GROUNDED_FROM, GROUNDED_TO = 0.4, 0.3
PIN_SECONDS = 0.02  # how long a control unit makes sure of what it reads (common practice)
RELAY_DIODE = (3e-9, 1.4)  # saturation amps and emission of the diode inside a relay, a common 1 A one
# A magnet needs a contact; where nothing of it shows, this one, with both ends at one terminal, tells its state.
IRON = "iron"


@dataclass(frozen=True, slots=True)
class Network:
    """A circuit as branches, with the relays and the fuses (path, amps that melt it in an operation) in it.

    ``parts`` are the parts with the changes of their faults made. ``terminals`` has nodes inside parts as well, written
    with brackets, "K2.(logic)": no lead reaches them.
    """

    terminals: tuple[Terminal, ...]
    reference: Terminal
    branches: tuple[Branch, ...]
    relays: tuple[Magnet, ...]
    fuses: tuple[tuple[str, float], ...]
    parts: tuple[Part, ...]


def network(circuit: Circuit) -> Network:
    """Every path of a circuit with its faults applied."""
    faulty: dict[str, tuple[Fault, ...]] = {}
    for fault in circuit.faults:
        faulty[fault.part] = (*faulty.get(fault.part, ()), fault)
    pieces = [_pieces(part, faulty.get(part.id, ())) for part in circuit.parts]
    branches = [branch for piece in pieces for branch in piece.branches]
    inner = [terminal for piece in pieces for terminal in piece.inner]
    for fault in circuit.faults:
        if isinstance(fault.edit, ShortTo):
            edit = fault.edit
            branches.append(Branch(f"fault {fault.id}", edit.start, edit.end, LINEAR, 1 / edit.ohms))
    if any(isinstance(part, (Alternator, FloatCharger, RegulatorRectifier)) for part in circuit.parts):
        branches = charged(branches, {piece.part.id: piece.part for piece in pieces if isinstance(piece.part, Battery)})
    return Network(
        (*circuit.terminals, *inner), circuit.reference, tuple(branches),
        tuple(magnet for piece in pieces for magnet in piece.relays),
        tuple(fuse for piece in pieces for fuse in piece.fuses),
        tuple(piece.part for piece in pieces),
    )


@dataclass(frozen=True, slots=True)
class Pieces:
    """One part, its faults made: its branches, the nodes inside it, what moves contacts, what can melt."""

    part: Part
    branches: tuple[Branch, ...]
    inner: tuple[Terminal, ...]
    relays: tuple[Magnet, ...]
    fuses: tuple[tuple[str, float], ...]


@lru_cache(maxsize=8192)
def _pieces(part: Part, faults: tuple[Fault, ...]) -> Pieces:
    for fault in faults:
        match fault.edit:
            case Change(field=name, value=value):
                part = replace(part, **{name: value})
            case Spare(figures=figures):
                part = replace(part, **dict(figures))
    branches = tuple(_edited(part, branch, faults) for branch in paths(part))
    ends = dict.fromkeys(end for branch in branches for end in (branch.a, branch.b))
    # An armature that a weld holds is moved by no magnet.
    held = any(isinstance(fault.edit, Welded) for fault in faults)
    return Pieces(
        part, branches, tuple(end for end in ends if end.name.startswith("(")), () if held else tuple(magnets(part)),
        ((part.id, melts_at() * part.amps),) if isinstance(part, Fuse) else (),
    )


def paths(part: Part) -> tuple[Branch, ...]:
    """The branches of a sound part."""
    def at(name: str) -> Terminal:
        return Terminal(part.id, name)

    match part:
        case Battery():
            return _battery(part)
        case Fuse(id=name, ohms=ohms) | Resistor(id=name, ohms=ohms):
            return (Branch(name, at("1"), at("2"), LINEAR, 1 / ohms),)
        case Switch(id=name, ohms=ohms):
            return (Branch(name, at("1"), at("2"), LINEAR, 1 / ohms, switch=name),)
        case Wire(id=name, start=start, end=end):
            return (Branch(name, start, end, LINEAR, 1 / part.ohms),)
        case Joint(id=name, start=start, end=end):
            return (Branch(name, start, end, LINEAR, 1 / part.warm_ohms),)
        case Metal():
            return ()
        case Magneto(id=name, ohms=ohms):
            return (Branch(name, at("kill"), at("ground"), LINEAR, 1 / ohms),)
        case Relay(id=name):
            make = 1 / part.contact_ohms
            found = [
                Branch(f"{name}.coil", at("86"), at("85"), LINEAR, 1 / part.winding_ohms),
                Branch(f"{name}.contact", at("30"), at("87"), LINEAR, make, switch=name),
            ]
            if part.contacts == "change-over":
                found.append(Branch(f"{name}.rest", at("30"), at("87a"), LINEAR, make, switch=name, shut_at_rest=True))
            if part.suppression == "diode":
                saturation, emission = RELAY_DIODE
                volts = emission * THERMAL_VOLTS
                found.append(Branch(f"{name}.diode", at("85"), at("86"), DIODE, saturation, volts))
            return tuple(found)
        case StarterSolenoid(id=name, windings=(pull, hold), contact_ohms=ohms):
            return (
                Branch(f"{name}.hold", at("50"), at("body"), LINEAR, 1 / hold),
                Branch(f"{name}.pull", at("50"), at("M"), LINEAR, 1 / pull),
                Branch(f"{name}.contact", at("30"), at("M"), LINEAR, 1 / ohms, switch=name),
            )
        case FuelSolenoid(id=name, windings=(pull, hold), contact_ohms=ohms):
            inner, feeds = at("(pull)"), part.feeds
            return (
                Branch(f"{name}.hold", at(feeds[1]), at("body"), LINEAR, 1 / hold),
                Branch(f"{name}.rest", at(feeds[0]), inner, LINEAR, 1 / ohms, switch=name, shut_at_rest=True),
                Branch(f"{name}.pull", inner, at("body"), LINEAR, 1 / pull),
                Branch(f"{name}.{IRON}", at("body"), at("body"), LINEAR, 1.0, switch=name),
            )
        case Diode(id=name):
            return (Branch(name, at("A"), at("K"), DIODE, part.saturation_amps, part.emission * THERMAL_VOLTS),)
        case LED(id=name, volts=volts, amps=amps, forward_volts=forward):
            inner, slope = at("(chip)"), LED_EMISSION * THERMAL_VOLTS
            return (
                Branch(f"{name}.resistor", at("A"), inner, LINEAR, amps / (volts - forward)),
                Branch(name, inner, at("K"), DIODE, amps / (math.exp(forward / slope) - 1), slope),
            )
        case Lamp(id=name, watts=watts, volts=volts):
            return (Branch(name, at("1"), at("2"), LAMP, volts * volts / watts, volts, COLD),)
        case GlowPlug(id=name, cold_ohms=cold, hot_ohms=hot, volts=volts, seconds=seconds):
            # ohms = p0·((u/p1)² + p2)^0.225: p2 and p0 such that it is cold at 0 V and hot at the rated volts.
            power = (cold / hot) ** (1 / 0.225)
            p2 = power / (1 - power)
            return (Branch(name, at("stud"), at("body"), LAMP, cold / p2**0.225, volts, p2, seconds=seconds),)
        case Motor(id=name):
            return (Branch(name, at("stud"), at("body"), MOTOR, part.ohms, part.load_amps, part.drag),)
        case ControlUnit():
            return _control_unit(part)
        case Alternator():
            return charging.alternator(part)
        case Stator():
            return charging.stator(part)
        case RegulatorRectifier():
            return charging.regulator_rectifier(part)
        case FloatCharger():
            return charging.float_charger(part)
        case Instrument(id=name, start=start, end=end, watts=watts, volts=volts) if watts:
            return (Branch(name, start, end, LAMP, volts * volts / watts, volts, COLD),)
        case Instrument(id=name, start=start, end=end, ohms=ohms, emf=emf):
            return (Branch(name, start, end, LINEAR, 1 / ohms, -emf / ohms),)
    raise TypeError(f"a {part.word} has no electrical law")


def _battery(part: Battery) -> tuple[Branch, ...]:
    """From minus to plus, so that amps out of the plus post are positive."""
    name, volts, ohms = part.id, rest_volts(part), inner_ohms(part)
    minus, plus, inner = Terminal(name, "-"), Terminal(name, "+"), Terminal(name, "(surface)")
    if not part.surface_volts:
        return (Branch(name, minus, plus, LINEAR, 1 / ohms, volts / ohms),)
    rest = ohms * SURFACE_SHARE
    return (
        Branch(name, minus, inner, LINEAR, 1 / (ohms - rest), volts / (ohms - rest)),
        Branch(f"{name}.spent", inner, plus, LINEAR, 1 / rest, switch=f"{name}.surface"),
        Branch(f"{name}.surface", inner, plus, LINEAR, 1 / rest, part.surface_volts / rest,
               switch=f"{name}.surface", shut_at_rest=True),
    )


def charged(branches: list[Branch], batteries: Mapping[str, Battery]) -> list[Branch]:
    """The branches where something charges: each battery's volts run up when driven backwards, and at last it gasses.

    Elsewhere a battery driven backwards keeps to its ohms, as textbooks have it.
    """
    found = []
    for branch in branches:
        if branch.name in batteries:
            part = batteries[branch.name]
            branch = replace(branch, kind=CHARGED, p2=1 / (charging_ohms(part) + 1 / branch.p0))
            boils, slope = gassing(part)
            if boils and not branch.broken:
                plus = branch.b if not part.surface_volts else Terminal(part.id, "+" if branch.a.name == "-" else "-")
                found.append(Branch(f"{part.id}.gassing", plus, branch.a, DIODE, boils, slope))
        found.append(branch)
    return found


def _control_unit(part: ControlUnit) -> tuple[Branch, ...]:
    """Its load, a pull-up an input, and for each output a chain of contacts down to the ground pin."""
    def at(name: str) -> Terminal:
        return Terminal(part.id, name)

    name, driver = part.id, 1 / part.output_ohms
    found = [Branch(name, at("supply"), at("ground"), LINEAR, part.amps / part.volts)]
    found += [Branch(f"{name}.{pin}", at("supply"), at(pin), LINEAR, 1 / part.pull_up_ohms) for pin in part.inputs]
    if part.outputs:
        # A hundredth of a driver's ohms each: the gates of one output are not felt at another.
        found.append(Branch(f"{name}.(awake)", at("(logic)"), at("ground"), LINEAR, 100 * driver, switch=name))
    for output, needs in part.outputs:
        here = at(f"({output})") if needs else at("(logic)")
        found.append(Branch(f"{name}.{output}", at(output), here, LINEAR, driver))
        for number, pin in enumerate(needs):
            gate = f"{name}.{output}.{pin}"
            after = at("(logic)") if number + 1 == len(needs) else at(f"({output} {number + 1})")
            found.append(Branch(gate, here, after, LINEAR, 100 * driver, switch=gate))
            here = after
    return tuple(found)


def magnets(part: Part) -> list[Magnet]:
    """What moves contacts in a part, by the amps of its coils or at its pins."""
    match part:
        case Relay(id=name):
            rest = f"{name}.rest" if part.contacts == "change-over" else ""
            return [Magnet(
                name, f"{name}.coil", f"{name}.contact", part.pull_in_amps, part.drop_out_amps, rest=rest, **_pace(part)
            )]
        case StarterSolenoid(id=name):
            return [Magnet(
                name, f"{name}.hold", f"{name}.contact", part.pull_in_amps, part.drop_out_amps, second=f"{name}.pull",
                **_pace(part),
            )]
        case FuelSolenoid(id=name):
            return [Magnet(
                name, f"{name}.hold", f"{name}.{IRON}", part.pull_in_amps, part.drop_out_amps, second=f"{name}.pull",
                rest=f"{name}.rest", falls_seconds=part.opens_seconds, **_pace(part),
            )]
        case Battery(id=name, surface_volts=surface) if surface:
            # Once gone it does not come back by itself: it never lets go.
            return [Magnet(f"{name}.surface", name, f"{name}.spent", SURFACE_GONE_AT, 0.0, rest=f"{name}.surface")]
        case Alternator():
            return charging.field_magnets(part)
        case ControlUnit(id=name, volts=volts, amps=amps) if part.outputs:
            low, high = (share * volts / part.pull_up_ohms for share in (GROUNDED_TO, GROUNDED_FROM))
            gates = [(f"{name}.{output}.{pin}", f"{name}.{pin}") for output, needs in part.outputs for pin in needs]
            awake = Magnet(name, name, f"{name}.(awake)", part.wakes_at * amps, part.resets_at * amps,
                           closes_seconds=part.starts_seconds, opens_seconds=part.rides_seconds)
            return [awake, *(
                Magnet(gate, pull_up, gate, high, low, closes_seconds=PIN_SECONDS, opens_seconds=PIN_SECONDS)
                for gate, pull_up in gates
            )]
    return []


def _pace(part: "Relay | StarterSolenoid | FuelSolenoid") -> dict[str, float]:
    return {name: getattr(part, name) for name in ("coil_seconds", "closes_seconds", "opens_seconds")}


def _edited(part: Part, branch: Branch, faults: Iterable[Fault]) -> Branch:
    for fault in faults:
        if isinstance(fault.edit, Welded) and branch.switch:
            branch = replace(branch, switch="", broken=branch.broken or branch.name != f"{part.id}.{fault.edit.at}")
            continue
        at = getattr(fault.edit, "at", "")
        if at and branch.name != f"{part.id}.{at}":
            continue
        match fault.edit:
            case Open():
                branch = replace(branch, broken=True)
            case Reversed() if branch.kind == DIODE or isinstance(part, Battery):
                branch = replace(branch, a=branch.b, b=branch.a)
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
