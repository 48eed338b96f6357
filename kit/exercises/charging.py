"""Charging and drain: what an instrument shows with the engine running, and how long a battery lasts."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache

from kit.exercises.tray import TRAY
from kit.machines import Operation, machine

HOURS_A_DAY = 24.0
HALF = 0.5  # of what is in it a battery may lose and still crank (common practice)


@dataclass(frozen=True, slots=True, kw_only=True)
class Running:
    """What an instrument of the tray shows on a machine whose engine was started and runs; ``moved`` since.

    ``instrument`` and ``leads`` as on the bay (``volts`` with the black lead's point and the red one's; ``clamp`` with
    a wire). Text in braces is filled.
    """

    machine: str
    fault: str = ""
    instrument: str
    leads: tuple[str, ...]
    moved: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Lasts:
    """How long ``amp_hours`` last at ``amps``, in hours or in days (``unit``); ``share`` of them may go."""

    amp_hours: str
    amps: str
    unit: str
    share: str = "1"


@cache
def running(machine_id: str, fault: str, moved: tuple[tuple[str, str], ...]) -> Operation:
    """A machine after its start, with a fault in it or with none, kept: it takes its time to work out."""
    there = machine(machine_id)
    now = there.start(*((fault,) if fault else ()))
    return now.then(**dict(moved)) if moved else now


def shown(machine_id: str, fault: str, instrument: str, leads: tuple[str, ...], moved: Mapping[str, str]) -> float:
    """The figure an instrument shows there, in its base unit."""
    return _shown(machine_id, fault, instrument, leads, tuple(sorted(moved.items())))


@cache
def _shown(
    machine_id: str, fault: str, instrument: str, leads: tuple[str, ...], moved: tuple[tuple[str, str], ...]
) -> float:
    now = running(machine_id, fault, moved)
    return TRAY[instrument].make(now.machine, leads).read(now).value or 0.0


def lasts(amp_hours: float, amps: float, share: float, unit: str) -> float:
    """Hours, or days, until so much is gone."""
    hours = amp_hours * share / amps
    return hours / HOURS_A_DAY if unit == "d" else hours


def wrong_lasts(amp_hours: float, amps: float, share: float, unit: str) -> dict[str, float]:
    """What slips would answer: all of it gone, hours for days, milliamps left so, amps times amp-hours."""
    right = lasts(amp_hours, amps, share, unit)
    return {
        "all of it": lasts(amp_hours, amps, 1.0, unit), "hours": right * HOURS_A_DAY, "thousand": right / 1000.0,
        "multiplied": amp_hours * amps, "upside down": amps / amp_hours,
    }
