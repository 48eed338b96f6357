"""What lamp and meter show on a machine, whatever is wrong with it: the measured tests of an outcome table."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from kit.circuit import Fault, Fuse, Open, Terminal
from kit.diagnose import leads, shows
from kit.diagnose.suspects import Suspect
from kit.errors import DiagnosisError
from kit.instruments import LOADING_WATTS, Multimeter, TestLamp
from kit.instruments.sweep import Readings, sweep
from kit.machines import Machine
from kit.solve.sweep import Progress

FUSE_MINUTES = 1.0  # to take one out, as on the job card
USUAL_VOLTS = 12.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One suspect: its fault ids, the faults as they are when they show, and how often they show by themselves."""

    suspect: Suspect
    faults: tuple[Fault, ...]
    share: float
    activity: float = 1.0


@dataclass(slots=True)
class Column:
    """One test: outcomes [row, alternative], each as likely as ``odds`` has it, equally unless given."""

    kind: str
    key: tuple
    name: str
    minutes: float
    cells: np.ndarray
    shown: tuple[str, ...]
    stirs: str = ""
    odds: tuple[float, ...] = ()


def readings(
    machine: Machine, every: Sequence[Row], tried: Sequence[Mapping[str, str]], progress: Progress
) -> Iterator[Column]:
    minus, plus = leads.posts(machine)
    points = [str(terminal) for terminal in machine.points]
    against = [(minus, point) for point in points if point != minus]
    against += [(point, plus) for point in points if point not in (minus, plus)]
    pairs = list(dict.fromkeys((*against, *leads.drops(machine))))
    lamp, volts = TestLamp(clip=minus, tip=plus), Multimeter("volts", black=minus, red=plus)
    found = sweep(
        machine, faults=[row.faults for row in every], instruments=[lamp, volts], leads=pairs, positions=tried,
        progress=progress,
    )
    scale = USUAL_VOLTS / found.instruments[0].volts
    # Black on the end that is mostly the lower one, so that a drop reads above nought.
    lower = [k >= len(against) and float(found.volts[:, :, 1, k].sum()) < 0 for k in range(len(pairs))]
    for p, where in enumerate(tried):
        moving, words = leads.minutes(machine, where), leads.in_words(machine, where)
        for k, pair in enumerate(pairs):
            # The lead on the post stays where it is from one reading to the next.
            tip = [end for end in pair if k >= len(against) or end not in (minus, plus)] or [pair[1]]
            minutes = moving + sum(point_minutes(machine, end) for end in tip)
            for i, kind in enumerate(("lamp", "volts")):
                if kind == "lamp" and (k >= len(against) or not all(leads.lamp_may_touch(machine, e) for e in pair)):
                    continue
                cells, shown = _banded(found, p, i, k, scale, -1.0 if lower[k] else 1.0)
                placed = pair[::-1] if lower[k] or (kind == "lamp" and pair[1] == plus) else pair
                lead = "Lamp clipped to {}, tip on {}" if kind == "lamp" else "Meter black on {}, red on {}"
                key = (kind, placed, tuple(where.items()), "")
                yield Column(kind, key, f"{lead.format(*placed)}; {words}", minutes, cells, shown)


def in_place_of_fuses(
    machine: Machine, every: Sequence[Row], tried: Sequence[Mapping[str, str]]
) -> Iterator[Column]:
    """The loading lamp across each fuse's empty holder: a short behind it lights it fully, and blows nothing."""
    for fuse in machine.circuit.parts:
        pair = (f"{fuse.id}.2", f"{fuse.id}.1")
        if not isinstance(fuse, Fuse) or any(Terminal.read(end) not in machine.points for end in pair):
            continue
        out = Fault(id=f"{fuse.id} out", part=fuse.id, edit=Open())
        found = sweep(
            machine, faults=[(*(fault for fault in row.faults if fault.part != fuse.id), out) for row in every],
            instruments=[TestLamp(clip=pair[0], tip=pair[1], watts=LOADING_WATTS)], leads=[pair], positions=tried,
        )
        scale = USUAL_VOLTS / found.instruments[0].volts
        for p, where in enumerate(tried):
            cells, shown = _banded(found, p, 0, 0, scale)
            minutes = FUSE_MINUTES + sum(point_minutes(machine, end) for end in pair)
            minutes += leads.minutes(machine, where)
            name = f"{LOADING_WATTS:g} W lamp in place of {fuse.id}; {leads.in_words(machine, where)}"
            key = ("loading lamp", pair, tuple(where.items()), fuse.id)
            yield Column("loading lamp", key, name, minutes, cells, shown)


def _banded(
    found: Readings, p: int, i: int, k: int, scale: float, sign: float = 1.0
) -> tuple[np.ndarray, tuple[str, ...]]:
    volts, other = (sign * array[:, p, i, k].astype(float) for array in (found.volts, found.other_volts))
    if i == 0:
        alternating = np.nan_to_num(found.alternating[:, p, i, k].astype(float))
        return shows.lamp(volts * scale, other * scale, alternating * scale)
    cells, shown = shows.meter(volts, other)
    return cells[:, None], shown


def point_minutes(machine: Machine, lead: str) -> float:
    """Minutes to put a lead on a test point."""
    terminal = Terminal.read(lead)
    if terminal not in machine.points:
        raise DiagnosisError(f"{machine.id} has no test point {lead}.")
    return machine.points[terminal].minutes
