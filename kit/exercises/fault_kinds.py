"""Faults for a room: by kind, at random, or of the day; and what a start shows with them in the machine."""

import hashlib
import re
from collections.abc import Callable, Collection, Iterator, Mapping, Sequence
from functools import lru_cache

from kit.circuit import Battery, ShortTo, When
from kit.errors import OperationError
from kit.machines import Machine, Operation
from kit.machines.cases import Case

# Words of a fault after its part, and the kind an instructor chooses by; the first that fits. What comes only wiggled
# or warm, and what a battery has, are kinds of their own.
WORDED: tuple[tuple[str, str], ...] = (
    (r"wrong spare", "wrong spare fitted"), (r"blown", "fuse blown"), (r"high resistance", "high resistance"),
    (r"shorted to ground", "short to ground"), (r"shorted to supply|bridged", "short to supply"),
    (r"stuck|contacts|welded|pulls in|stays on", "contacts of a switch or relay"), (r"open|broken", "open"),
)
SOMETIMES, BATTERY, OTHER = "only when wiggled or warm", "battery", "anything else"
TRIES = 40


def kind_of(machine: Machine, fault_id: str) -> str:
    """The kind of a fault, in an instructor's words; raises FaultError for an unknown one."""
    fault = machine.fault(fault_id)
    if fault.when is not When.ALWAYS:
        return SOMETIMES
    if isinstance(machine.circuit[fault.part], Battery) and not isinstance(fault.edit, ShortTo):
        return BATTERY
    words = fault_id.removeprefix(f"{fault.part} ")
    return next((kind for pattern, kind in WORDED if re.search(pattern, words)), OTHER)


def kinds(machine: Machine) -> Mapping[str, int]:
    """Every kind of fault the machine can have, and how many there are of it."""
    order = (*(kind for _, kind in WORDED), BATTERY, SOMETIMES, OTHER)
    found = [kind_of(machine, fault) for fault in machine.faults]
    return {kind: found.count(kind) for kind in order if kind in found}


def at_random(
    machine: Machine, chosen: Collection[str], *, pair: bool, pick: Callable[[Sequence[str]], str]
) -> tuple[str, ...]:
    """A fault of these kinds (of all where none is named), or a pair on two parts, each of which a start shows.

    ``pick`` takes one of a sequence, such as ``secrets.choice``. Raises OperationError for an unknown kind, or where
    nothing of these kinds shows itself within some tries.
    """
    if unknown := [kind for kind in chosen if kind not in kinds(machine)]:
        raise OperationError(f"{machine.id} has no faults of kind '{unknown[0]}'; it has {', '.join(kinds(machine))}.")
    faults = [fault for fault in machine.faults if not chosen or kind_of(machine, fault) in chosen]
    for _ in range(TRIES):
        found = [pick(faults)]
        others = [fault for fault in faults if machine.faults[fault].part != machine.faults[found[0]].part]
        if pair and not others:
            break
        if pair:
            found.append(pick(others))
        # One that comes only now and then is no worse for not showing itself at once.
        hidden = [fault for fault in found if kind_of(machine, fault) != SOMETIMES]
        if all(shows(machine, [fault]) != shows(machine, ()) for fault in hidden):
            return tuple(found)
    raise OperationError("nothing of these kinds shows itself at a start; choose more kinds.")


def of_the_day(machine: Machine, course: str, day: str) -> Case:
    """The case of a day such as ``2031-05-04``, the same for everybody on a course; no machine file, no other day's.

    Raises OperationError for what is no day, or a machine that has no cases.
    """
    if not re.fullmatch(r"\d{4}-\d\d-\d\d", day):
        raise OperationError(f"'{day[:20]}' is no day; write it like 2031-05-04.")
    if not machine.cases:
        raise OperationError(f"{machine.id} has no cases to pick one from.")
    names = sorted(machine.cases)
    seed = "\x1f".join((course, machine.id, day, "fault of the day"))
    return machine.cases[names[int.from_bytes(hashlib.sha256(seed.encode()).digest()[:8], "big") % len(names)]]


def shows(machine: Machine, faults: Sequence[str]) -> tuple[str, ...]:
    """What a person sees and hears of a start with these faults in the machine, sentence by sentence."""
    return _shows(machine, tuple(faults))


@lru_cache(maxsize=500)
def _shows(machine: Machine, faults: tuple[str, ...]) -> tuple[str, ...]:
    told: list[str] = []
    for now in _start(machine, faults):
        told += [notice.text for notice in now.noticed if notice.text and notice.word != "out"]
    return tuple(dict.fromkeys(told))


def _start(machine: Machine, faults: tuple[str, ...]) -> Iterator[Operation]:
    """A start as its papers say, move by move, and let go; with no engine, every control one after another."""
    moves = machine.engine.start if machine.engine else tuple(
        {control.id: control.positions[-1]} for control in machine.controls.values()
    )
    first, *more = moves or ({},)
    now = machine.operate(*faults, **first)
    yield now
    for moved in more:
        now = now.then(**moved)
        yield now
    free = machine.let_go(now.positions)
    if free != dict(now.positions):
        yield now.then(**free)
