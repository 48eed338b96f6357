"""A job whose fault comes and goes, weighed: which suspects it is about, and what of its acts counts as a test.

What stirring one of them next is worth stands in ``kit.diagnose.hunt``; the account is that of any other job
(``kit.diagnose.account``).
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from functools import lru_cache
from typing import TYPE_CHECKING

from kit.circuit import When, part_of
from kit.exercises.acts import Probe, Warm, Wiggle
from kit.exercises.cards import JobCard
from kit.exercises.minutes import minutes_of, nearest
from kit.exercises.weighed import Weighed, share_of
from kit.machines import Machine

if TYPE_CHECKING:
    from kit.diagnose.account import Deed, JobAccount


def hunt_of(found: Weighed, all_: Sequence["Deed"]) -> "JobAccount | None":
    """The work's deeds weighed as a hunt; None where the fault does not come and go."""
    from kit.diagnose.account import account
    from kit.diagnose.hunt import hunt

    machine = found.card.machine
    if all(machine.fault(fault).when is When.ALWAYS for fault in found.faults):
        return None
    names = _would_complain(found.card)
    if found.faults[0] not in names:
        return None
    search = hunt(
        names, [part_of(name) for name in names], [share_of(machine, (name,)) for name in names],
        [_minutes_to_stir(machine, name) for name in names],
    )
    return account(search, search.table.priors, tuple(_as_hunted(found, all_)))


def _as_hunted(found: Weighed, all_: Sequence["Deed"]) -> Iterator["Deed"]:
    """Deeds for a hunt: leads put on to watch what is stirred next are no test and cost nothing, nor does the first
    reading, which is what later ones are held against. The minutes to be expected leave such leads out as well.
    """
    acts = [found.steps[deed.number].act for deed in all_]
    first = next((place for place, act in enumerate(acts) if isinstance(act, Probe)), None)
    for place, deed in enumerate(all_):
        watches = isinstance(acts[place], Probe) and any(
            isinstance(act, (Wiggle, Warm)) for act in acts[place + 1 : place + 2])
        if watches:
            yield replace(deed, minutes=0.0, tests=False)
        else:
            yield replace(deed, free=deed.free or place == first)


@lru_cache(maxsize=50)
def _would_complain_of(machine: Machine, positions: tuple, does: tuple) -> tuple[str, ...]:
    found = []
    for fault in machine.faults.values():
        if fault.when is When.ALWAYS:
            continue
        now = machine.operate(replace(fault, when=When.ALWAYS), **dict(positions))
        if all(now.word(part) == word for part, word in does):
            found.append(fault.id)
    return tuple(found)


def _would_complain(card: JobCard) -> tuple[str, ...]:
    """The faults that come and go and, while they are there, do what the owner complains of."""
    case = card.case()
    does: Mapping[str, str] = case.does if case is not None else {}
    positions = tuple(sorted(card.complaint_positions.items()))
    return _would_complain_of(card.machine, positions, tuple(sorted(does.items())))


def _minutes_to_stir(machine: Machine, fault_id: str) -> float:
    fault = machine.fault(fault_id)
    if fault.when is When.HEAT:
        return minutes_of("warm")
    return nearest(machine, machine.circuit[fault.part], minutes_of("wiggle"))
