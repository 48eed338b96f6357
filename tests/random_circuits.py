"""Circuits nobody would build: any part between any places, in several islands, with faults and states at random.

The same number gives the same circuit on every computer.
"""

import random
from collections.abc import Iterator
from dataclasses import dataclass

from networks import node

from kit.circuit import (
    LED,
    Battery,
    Change,
    Circuit,
    ControlUnit,
    Diode,
    Fault,
    FuelSolenoid,
    Fuse,
    GlowPlug,
    Joint,
    Lamp,
    Metal,
    Motor,
    Ohms,
    Open,
    Part,
    Relay,
    Resistor,
    Reversed,
    ShortTo,
    StarterSolenoid,
    Switch,
)
from kit.errors import KitError
from kit.solve import State
from kit.solve.branches import network
from kit.solve.kernel import LINEAR


@dataclass(frozen=True, slots=True)
class Wild:
    """Variants of one random circuit, sets of closed switches, and the state it comes from."""

    circuits: tuple[Circuit, ...]
    switch_sets: tuple[frozenset[str], ...]
    before: State


def wild_circuits(seed: int, number: int, *, variants: int = 8, switch_sets: int = 10) -> Iterator[Wild]:
    """So many random circuits, each with its variants: the first sound, the others with one to three faults."""
    for k in range(number):
        yield _wild(random.Random(f"{seed}/{k}"), variants, switch_sets)


def all_sources(circuit: Circuit) -> float:
    """Volts of all a circuit's sources in series: nothing in it can stand higher, or lower than their negative."""
    return sum(abs(path.p1 / path.p0) for path in network(circuit).branches if path.kind == LINEAR and path.p1)


def _wild(rng: random.Random, variants: int, switch_sets: int) -> Wild:
    places = rng.randint(2, 10)
    parts: list[Part] = [Metal(id=f"N{number}", title="place", terminal="t") for number in range(places)]
    chosen = [_battery(rng, f"G{number}") for number in range(rng.choice((1, 1, 1, 2, 3)))]
    chosen += [rng.choice(MAKERS)(rng, f"P{number}") for number in range(rng.randint(2, 14))]
    for part in chosen:
        parts.append(part)
        for terminal in part.terminals:
            parts.append(Joint(
                id=f"{part.id}:{terminal.name}", title="lead", start=terminal, end=node(rng.randrange(places)),
                ohms=_spread(rng, -6, -1),
            ))
    for number in range(rng.randint(0, 4)):
        start, end = rng.sample(range(places), 2)
        parts.append(Joint(
            id=f"J{number}", title="joint", start=node(start), end=node(end), ohms=_spread(rng, -5, 6)
        ))
    sound = Circuit(parts=tuple(parts), reference=node(0))
    circuits = [sound]
    while len(circuits) < variants:
        faults = [_fault(rng, sound, number) for number in range(rng.choice((1, 1, 1, 2, 3)))]
        try:
            circuit = sound.plant(*faults)
            network(circuit)
            circuits.append(circuit)
        except KitError:
            continue  # no such part could have that fault: another one then
    switches = [part.id for part in parts if isinstance(part, Switch)]
    relays = [part.id for part in parts if isinstance(part, (Relay, StarterSolenoid, FuelSolenoid))]
    fuses = [part.id for part in parts if isinstance(part, Fuse)]
    return Wild(
        tuple(circuits), tuple(_some(rng, switches) for _ in range(switch_sets)),
        State(closed=_some(rng, relays), melted=_some(rng, fuses) if rng.random() < 0.2 else frozenset()),
    )


def _battery(rng: random.Random, name: str) -> Battery:
    return Battery(
        id=name, title="battery", volts=rng.choice((0.0, 1.5, 6.0, 12.8, 12.8, 25.6)), ohms=_spread(rng, -4, 1),
        surface_volts=rng.choice((0.0, 0.0, 0.0, 0.8)),
    )


def _relay(rng: random.Random, name: str) -> Relay:
    pull = _spread(rng, 0, 1.3)
    return Relay(
        id=name, title="relay", coil_ohms=_spread(rng, 0, 3), pull_in_volts=pull,
        drop_out_volts=pull * rng.uniform(0.1, 0.95), contact_ohms=_spread(rng, -4, 0),
        contacts=rng.choice(("make", "change-over")), suppression=rng.choice(("none", "diode")),
    )


def _coils(rng: random.Random) -> dict[str, float]:
    pull, hold = _spread(rng, -1, 1), _spread(rng, 0, 2)
    pull_in = _spread(rng, 0, 1.3)
    return {"pull_ohms": pull, "hold_ohms": hold, "pull_in_volts": pull_in,
            "drop_out_volts": pull_in * rng.uniform(0.1, 0.9)}


def _control_unit(rng: random.Random, name: str) -> ControlUnit:
    outputs = rng.choice(((), (("lift", ()),), (("lift", ("seat",)), ("glow", ("seat", "key")))))
    return ControlUnit(
        id=name, title="control unit", volts=12.0, amps=_spread(rng, -2, 0.5), inputs=("seat", "key"), outputs=outputs
    )


MAKERS = (
    _relay, _relay, _relay, _control_unit,
    lambda rng, name: StarterSolenoid(
        id=name, title="solenoid", contact_ohms=_spread(rng, -4, -1), **_coils(rng)
    ),
    lambda rng, name: FuelSolenoid(id=name, title="fuel solenoid", **_coils(rng)),
    lambda rng, name: Fuse(id=name, title="fuse", amps=_spread(rng, 0, 2), ohms=_spread(rng, -3, -1)),
    lambda rng, name: Switch(id=name, title="switch", ohms=_spread(rng, -3, 0)),
    lambda rng, name: Switch(id=name, title="switch", ohms=_spread(rng, -3, 0)),
    lambda rng, name: Lamp(id=name, title="lamp", watts=_spread(rng, 0, 2), volts=rng.choice((6.0, 13.5, 27.0))),
    lambda rng, name: Lamp(id=name, title="lamp", watts=_spread(rng, 0, 2), volts=rng.choice((6.0, 13.5, 27.0))),
    lambda rng, name: Diode(
        id=name, title="diode", saturation_amps=_spread(rng, -14, -5), emission=rng.uniform(0.8, 2.2)
    ),
    lambda rng, name: Diode(
        id=name, title="diode", saturation_amps=_spread(rng, -14, -5), emission=rng.uniform(0.8, 2.2)
    ),
    lambda rng, name: LED(id=name, title="LED", volts=12.0, amps=_spread(rng, -3, -1)),
    lambda rng, name: Motor(
        id=name, title="motor", ohms=_spread(rng, -2, 0), load_amps=_spread(rng, 0, 2), drag=_spread(rng, -3, 0),
        cranking_emf=7.0,
    ),
    lambda rng, name: GlowPlug(id=name, title="glow plug", cold_ohms=0.3, hot_ohms=1.2, volts=11.0),
    lambda rng, name: Resistor(id=name, title="resistor", ohms=_spread(rng, -3, 7)),
)


def _fault(rng: random.Random, circuit: Circuit, number: int) -> Fault:
    part = rng.choice([part for part in circuit.parts if not isinstance(part, Metal)])
    places = getattr(part, "inside", ("",)) or ("",)
    match rng.randrange(6):
        case 0 | 1:
            edit = Open(at=rng.choice(places))
        case 2:
            edit = Ohms(ohms=_spread(rng, -3, 6), at=rng.choice(places))
        case 3:
            start, end = rng.sample(circuit.terminals, 2)
            edit = ShortTo(start=start, end=end, ohms=_spread(rng, -5, 3))
        case 4:
            edit = Change(field=rng.choice(("ohms", "volts", "coil_ohms", "amps", "watts")), value=_spread(rng, -3, 2))
        case _:
            edit = Reversed(at="diode" if "diode" in places else "")
    return Fault(id=f"fault {number}", part=part.id, edit=edit)


def _some(rng: random.Random, names: list[str]) -> frozenset[str]:
    share = rng.random()
    return frozenset(name for name in names if rng.random() < share)


def _spread(rng: random.Random, least: float, most: float) -> float:
    """A figure between two powers of ten, all sizes alike."""
    return 10 ** rng.uniform(least, most)
