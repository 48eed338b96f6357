"""Suspects: every fault a machine may have, and which of them still fit everything a learner was shown."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import lru_cache

from kit.circuit import Change, Reversed, ShortTo, When, part_of
from kit.machines import Machine
from kit.solve import settle

# A suspect is what is wrong, as fault ids, the root cause first: ("F1 blown",) or ("W3 shorted to ground", "F1 blown").
Suspect = tuple[str, ...]


@lru_cache(maxsize=32)
def suspects(machine: Machine) -> tuple[Suspect, ...]:
    """Every single fault of a machine that is always there; a short that melts a fuse comes with the fuse it has blown.

    Those that come when wiggled or warm are left out: at rest they look like a sound machine.
    """
    return tuple(_each(machine))


def _each(machine: Machine) -> Iterator[Suspect]:
    controls = machine.controls.values()
    every_switch = {switch for control in controls for shut in control.closes.values() for switch in shut}
    for fault in machine.faults.values():
        if fault.when is not When.ALWAYS:
            continue
        melted: list[str] = []
        if isinstance(fault.edit, (ShortTo, Reversed, Change)):
            # With every switch shut, what it can melt it does.
            ended = settle(machine.circuit.plant(fault), closed_switches=every_switch)
            melted = sorted(ended.state.melted)
        # A short that melts a fuse is met with the fuse already blown: that is why the machine came in.
        for fuse in melted:
            yield (fault.id, f"{fuse} blown")
        if not melted:
            yield (fault.id,)


def consistent(
    candidates: Iterable[Suspect], seen: Sequence[object], replay: Callable[[Suspect], Iterable[object]],
    alike: Callable[[object, object], bool],
) -> tuple[Suspect, ...]:
    """The candidates that would have shown the same.

    ``replay(suspect)`` yields what that suspect would have shown, act by act, lazily; ``alike`` says whether a person
    could tell two of them apart. An act that shows nothing is None and tells nothing.
    """
    def fits(suspect: Suspect) -> bool:
        return all(
            mine is None or alike(mine, theirs) for mine, theirs in zip(seen, replay(suspect), strict=False)
        )

    return tuple(suspect for suspect in candidates if fits(suspect))


def unit(suspect: Suspect) -> str:
    """The part a learner would put right last: the one that stopped the machine."""
    return part_of(suspect[-1])


def parts_of(suspect: Suspect) -> frozenset[str]:
    """The ids of all the parts a suspect names."""
    return frozenset(map(part_of, suspect))
