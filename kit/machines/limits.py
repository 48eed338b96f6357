"""The trade's limits of voltage drop, held against a sound machine (common practice: joint 0.1, contact or solenoid
0.2, ground side 0.3, plus side 0.5 V on a 12 V machine; twice that at 24 V; the machine's own manual governs).
"""

from collections.abc import Iterable
from dataclasses import dataclass

from kit.circuit import Battery, Joint, Motor, Relay, StarterSolenoid, Switch
from kit.machines.machine import Machine
from kit.machines.notices import CONTACT_VOLTS, JOINT_VOLTS
from kit.machines.operation import Operation

GROUND_SIDE_VOLTS, PLUS_SIDE_VOLTS = 0.3, 0.5
LIMIT_VOLTS = 12.0  # of the machine the limits are said for
LOADED_FROM = 1.0  # amps; with less a drop says nothing


@dataclass(frozen=True, slots=True, kw_only=True)
class Drop:
    """Volts lost across one thing, the most its kind may lose, and the positions it loses them in."""

    what: str
    volts: float
    limit: float
    now: Operation

    @property
    def over(self) -> bool:
        return self.volts > self.limit


def worst_drops(machine: Machine, operations: Iterable[Operation]) -> tuple[Drop, ...]:
    """The worst drop of each joint and contact that carries current, and of both sides of a starter that cranks.

    In the order of the parts; what never carries an amp is left out.
    """
    times = machine.volts / LIMIT_VOLTS
    worst: dict[str, Drop] = {}
    for now in operations:
        for what, volts, limit in _drops(machine, now):
            drop = Drop(what=what, volts=volts, limit=limit * times, now=now)
            if what not in worst or drop.volts > worst[what].volts:
                worst[what] = drop
    return tuple(worst.values())


def _drops(machine: Machine, now: Operation) -> Iterable[tuple[str, float, float]]:
    for part in machine.circuit.parts:
        match part:
            case Joint():
                path, limit, kind = part.id, JOINT_VOLTS, "joint"
            case Switch():
                path, limit, kind = part.id, CONTACT_VOLTS, "contact"
            case Relay() | StarterSolenoid():
                path, limit, kind = f"{part.id}.contact", CONTACT_VOLTS, "contact"
            case Motor():
                yield from _sides(machine, now, part)
                continue
            case _:
                continue
        if abs(now.amps[path]) > LOADED_FROM:
            yield f"{kind} {part.id} ({part.title})", abs(now.solution.across[path]), limit


def _sides(machine: Machine, now: Operation, motor: Motor) -> Iterable[tuple[str, float, float]]:
    """From the highest post to the stud, from the body to the reference, while it cranks."""
    if now.word(motor.id) != "cranks":
        return
    posts = [now.volts[f"{part.id}.+"] for part in machine.circuit.parts if isinstance(part, Battery)]
    high = max((volts for volts in posts if volts is not None), default=None)
    stud, body = (now.volts[f"{motor.id}.{end}"] for end in motor.terminal_names)
    if high is not None and stud is not None:
        yield f"plus side of {motor.id}", high - stud, PLUS_SIDE_VOLTS
    if body is not None:
        yield f"ground side of {motor.id}", body, GROUND_SIDE_VOLTS
