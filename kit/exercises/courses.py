"""A start in time, in figures: what a strip chart holds so long after the press, and what came when on it."""

from bisect import bisect_left
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from itertools import pairwise

from kit.errors import QuestionError
from kit.machines import machine
from kit.machines.course import MachineCourse, over_time
from kit.machines.notices import FULL_SPEED_FROM, TURNING_FROM

# Seconds before the press (what is lit gets hot), of the press, and after it; as on the bay's own strip charts.
SETTLES, HELD, AFTER = 0.6, 1.2, 0.6
ONE_TIME_CONSTANT = 0.632  # of its last amps a coil has after one time constant

Pairs = tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class CoilRise:
    """Seconds a coil of ``henries`` and ``ohms`` takes to 63.2 % of its amps: its time constant, L over R."""

    henries: str
    ohms: str


def rise(henries: float, ohms: float) -> float:
    """The time constant, in seconds."""
    return henries / ohms


def wrong_rises(henries: float, ohms: float) -> dict[str, float]:
    """What slips would answer: R over L or L times R (milli put back at the end), 63.2 % of it, a thousand off."""
    return {
        "upside down": ohms / henries * 1e-6, "multiplied": henries * ohms,
        "share of it": ONE_TIME_CONSTANT * rise(henries, ohms), "thousand": 1000 * rise(henries, ohms),
    }


@cache
def start(machine_id: str, faults: tuple[str, ...], before: Pairs, held: Pairs) -> MachineCourse:
    """A machine with its controls at ``before``, then ``held`` so long and let go; its engine does not fire in it."""
    there = machine(machine_id)
    back = {name: dict(before).get(name, there.controls[name].positions[0]) for name, _ in held}
    moves = [(0.0, dict(before)), (SETTLES, dict(held)), (SETTLES + HELD, back)]
    return over_time(there, moves, SETTLES + HELD + AFTER, faults)


@cache
def figure_of_start(
    machine_id: str, faults: tuple[str, ...], before: Pairs, held: Pairs, of: str, take: str
) -> float:
    """``taken`` off a ``start``, kept: a class asks for the same few many times over."""
    return taken(start(machine_id, faults, before, held), of, take)


@cache
def order_of_start(
    machine_id: str, faults: tuple[str, ...], before: Pairs, held: Pairs, events: Pairs
) -> tuple[str, ...]:
    """``by_the_clock`` of a ``start``, kept likewise; ``events`` as pairs."""
    return by_the_clock(start(machine_id, faults, before, held), dict(events))


def taken(course: MachineCourse, of: str, take: str) -> float:
    """A figure off a start: ``of`` is ``volts G1.+`` or ``amps M1``; ``take`` a moment (``0.3``) in seconds after the
    press, or the ``lowest 0 1`` or ``highest 0 1`` between two of them.
    """
    what, name = of.split()
    values = course.volts(name) if what == "volts" else course.amps(name)
    word, *span = take.split()
    if not span:
        return _between(course.seconds, values, SETTLES + float(word))
    first, last = (SETTLES + float(text) for text in span)
    here = [value for at, value in zip(course.seconds, values, strict=True) if first <= at <= last]
    return min(here) if word == "lowest" else max(here)


def figure_in_words(of: str, value: float) -> str:
    """A figure off a start as a text tells it: volts to a tenth, whole amps."""
    return f"{value:.1f} V" if of.startswith("volts") else f"{round(value)} A"


def moment(course: MachineCourse, what: str) -> float | None:
    """When something happened for the first time, in seconds after the press; None where it did not.

    ``K1 pulls in``, ``K1 lets go``, ``F1 melts``; ``M1 full speed``, ``M1 still`` (again, after it turned).
    """
    name, _, happened = what.partition(" ")
    if happened in ("full speed", "still"):
        speeds = [(at, speed) for at, speed in zip(course.seconds, course.course.speeds(name), strict=True)
                  if at >= SETTLES]
        least = FULL_SPEED_FROM if happened == "full speed" else TURNING_FROM
        turned = next((at for at, speed in speeds if speed >= least), None)
        if happened == "full speed" or turned is None:
            found = iter(() if turned is None else (turned,))
        else:
            found = (at for at, speed in speeds if at > turned and speed < TURNING_FROM)
    else:
        found = (event.at for event in course.events
                 if event.at >= SETTLES and (event.part, event.what) == (name, happened))
    at = next(found, None)
    return None if at is None else at - SETTLES


def by_the_clock(course: MachineCourse, events: Mapping[str, str]) -> tuple[str, ...]:
    """The names of the events that happened, in their order; raises QuestionError for two within a millisecond."""
    times = {name: at for name, what in events.items() if (at := moment(course, what)) is not None}
    found = sorted(times, key=times.__getitem__)
    for one, other in pairwise(found):
        if times[other] - times[one] < 1e-3:
            raise QuestionError(f"'{one}' and '{other}' come too close together to be put in order.")
    return tuple(found)


def _between(seconds: tuple[float, ...], values: tuple[float, ...], at: float) -> float:
    place = bisect_left(seconds, at)
    before, after = seconds[place - 1], seconds[place]
    share = (at - before) / (after - before) if after > before else 1.0
    return values[place - 1] + share * (values[place] - values[place - 1])
