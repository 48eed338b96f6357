"""Two faults that have nothing to do with each other on one card: suspects, findings, and which was mended when.

The usual working assumption is one fault, so every single fault is a suspect; and so is every pair of one of the two
that are there with another fault that could be met in the second one's place. A repair is done again on every suspect
like any other act: after it the repaired part is sound in all of them, and a reading from before it counts for the
second fault just where it still parts them.
"""

from collections.abc import Sequence
from functools import lru_cache
from typing import TYPE_CHECKING

from kit.circuit import part_of
from kit.diagnose import Suspect, parts_of, suspects
from kit.diagnose.priors import prior_of_two
from kit.exercises.acts import Find, Refer
from kit.exercises.situation import Situation, Step
from kit.machines import Machine

if TYPE_CHECKING:
    from kit.exercises.cards import JobCard


def beside(card: "JobCard", faults: Suspect) -> tuple[Suspect, ...]:
    """Every single fault beside each of these two that, alone and with it, does what the other one does.

    With the controls as the owner had them both show the complaint together, and what is put in the place of one of
    them shows alone what that one shows alone: nothing else could be met after the first repair.
    """
    return _beside(card.machine, faults, tuple(card.complaint_positions.items()))


@lru_cache(maxsize=20)
def _beside(machine: Machine, faults: Suspect, complaint: tuple[tuple[str, str], ...]) -> tuple[Suspect, ...]:
    first, second = faults
    found: dict[Suspect, None] = {faults: None}
    for single in suspects(machine):
        alone = _does(machine, single, complaint)
        if part_of(first) not in parts_of(single) and alone == _does(machine, (second,), complaint):
            found[(first, *single)] = None
        if part_of(second) not in parts_of(single) and alone == _does(machine, (first,), complaint):
            found[(*single, second)] = None
    shown = _does(machine, faults, complaint)
    return tuple(pair for pair in found if _does(machine, pair, complaint) == shown)


@lru_cache(maxsize=2000)
def _does(machine: Machine, faults: Suspect, complaint: tuple[tuple[str, str], ...]) -> object:
    """What is noticed with the controls so, the engine standing: where it would fire there is no complaint."""
    positions = machine.positions(**dict(complaint))
    return Situation(
        machine=machine, planted=faults, faults=faults, positions=positions, brief=True).standing().words


def share_of_two(machine: Machine, pair: Suspect, faults: Suspect) -> float:
    """The usual share of a pair of ``beside``: of two unrelated faults at once, each by its root cause."""
    root = pair[1] if pair[0] == faults[0] else pair[0]
    return prior_of_two(machine.circuit, faults[0] if pair[0] == faults[0] else faults[1], root)


def mended_at(steps: Sequence[Step], fault: str) -> int | None:
    """The act from which on a fault was gone for good; None for one that is still there."""
    gone = None
    for number, step in enumerate(steps):
        there = fault in step.situation.faults and part_of(fault) not in step.situation.swapped
        gone = None if there else number if gone is None else gone
    return gone


def renewed_at(steps: Sequence[Step], fault: str) -> int | None:
    """The act that took a fault out of the machine; a spare put in its place does not. None where none did."""
    return next((number for number, step in enumerate(steps) if fault not in step.situation.faults), None)


def in_turn(faults: Suspect, steps: Sequence[Step]) -> Suspect:
    """The two faults in the order in which they were mended, what was not mended last."""
    when = {fault: mended_at(steps, fault) for fault in faults}
    return tuple(sorted(faults, key=lambda fault: (when[fault] is None, when[fault] or 0, faults.index(fault))))


def stated(units: dict[str, frozenset[str]], steps: Sequence[Step]) -> dict[str, int | None]:
    """For each fault the number of its finding: the last one that names its unit, if it stood.

    It stands if the part was mended before another finding named a sound part, or none did: who states something else
    with the part still as it is, has changed their mind. ``units`` are the parts that may be named for each fault.
    """
    named = {n: step.act.part for n, step in enumerate(steps) if _finds(step)}
    wrong = strays(units, steps)
    found: dict[str, int | None] = {}
    for fault, unit in units.items():
        mine = max((n for n, part in named.items() if part in unit), default=None)
        mended = mended_at(steps, fault)
        until = len(steps) if mended is None else mended
        found[fault] = None if mine is None or any(mine < n < until for n in wrong) else mine
    return found


def strays(units: dict[str, frozenset[str]], steps: Sequence[Step]) -> tuple[int, ...]:
    """The numbers of the findings that name a part with none of the faults."""
    right = frozenset().union(*units.values())
    return tuple(n for n, step in enumerate(steps) if _finds(step) and step.act.part not in right)


def _finds(step: Step) -> bool:
    return isinstance(step.act, Refer) or (isinstance(step.act, Find) and step.act.role == "fault")
