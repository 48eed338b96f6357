"""A machine's outcome table: its suspects, the tests a workshop hand has, and what each would show.

    from kit.diagnose.trials import machine_table
    table = machine_table(kit.machine("orchard-bike"))

Everything in it comes from the solved circuit, by the same instruments a learner holds; nothing is written by hand. It
takes from some seconds to a minute, and lies on disk afterwards (``kit.solve.shelf``).
"""

import hashlib
import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from pathlib import Path

import numpy as np

from kit.circuit import Fault, Fuse, Joint, Metal, When, Wire, part_of
from kit.diagnose import currents, isolated, leads, looks, running, shows
from kit.diagnose.measured import Column, Row, in_place_of_fuses, readings
from kit.diagnose.priors import AT_REST, prior, prior_of_two
from kit.diagnose.suspects import Suspect, suspects, unit
from kit.diagnose.table import OutcomeTable
from kit.machines import Machine
from kit.solve import shelf
from kit.solve.sweep import Progress, unwatched

LOOK_MINUTES, SWAP_MINUTES, WIGGLE_MINUTES, START_MINUTES = 1.0, 5.0, 1.0, 1.0
STIRRED = 0.8  # how often a fault that comes and goes shows while its part is wiggled
NOTHING_HAPPENS = "nothing"
KINDS = (
    "lamp", "volts", "operate", "look", "swap", "wiggle", "start", "loading lamp",
    # What the rest of the tray is good for, in ``whole_tray`` only.
    "clamp", "amps", "load tester", "hydrometer", "ohms", "diode test", "running volts", "running ac volts",
    "running clamp",
)


def machine_table(
    machine: Machine, *, complaint: Mapping[str, str] | None = None, sound: bool = False,
    more: Iterable[Suspect] = (), comes_and_goes: bool = False, to_the_root: bool = False,
    swaps: bool = True, whole_tray: bool = False, progress: Progress = unwatched,
) -> OutcomeTable:
    """Every suspect of a machine × every test a workshop hand has on it.

    Suspects: each single fault that is always there (``suspects``); ``sound``, the machine with nothing wrong;
    ``more``, such as two faults together; with ``comes_and_goes`` those that show when wiggled or warm too, which at
    rest show now and then. Tests: operate and notice; start the engine; look; lamp and meter on all points against
    either post, the meter across what lies between neighbours as well; the loading lamp in place of a fuse; swap a part
    and try again; wiggle. ``complaint`` are the positions a swapped or wiggled machine is tried in (where the sound
    machine does most, unless given). A suspect's unit is the part that stopped the machine, with ``to_the_root`` the
    one that was the cause: a fuse and its short count as the short. Without ``swaps`` no part is tried in another's
    place. ``whole_tray`` adds clamp, meter in series, load tester and hydrometer, ohms and diode test of a part with
    one end off, and readings with the engine running. Keys are (kind, leads, positions, part).
    """
    tried = leads.to_try(machine, (complaint,) if complaint else ())
    at = 0 if not complaint else tried.index(machine.positions(**complaint))
    if not complaint:
        busy = [len([n for n in machine.operate(**where).noticed if n.text]) for where in tried]
        at = busy.index(max(busy))
    rows = tuple(_rows(machine, sound, tuple(more), comes_and_goes))
    name = shelf.name_of(
        "outcome table", _own_code(), machine.digest, [sorted(where.items()) for where in tried], at,
        [(row.suspect, row.share, row.activity) for row in rows], swaps, whole_tray,
    )
    kept = shelf.fetch(name)
    if kept is None:
        kept = _laid_out(rows, tuple(_columns(machine, rows, tried, at, progress, swaps=swaps, whole_tray=whole_tray)))
        shelf.keep(name, kept)
    text = json.loads(str(kept["text"]))
    return OutcomeTable(
        suspects=tuple(" + ".join(row.suspect) or "nothing wrong" for row in rows),
        units=tuple(_unit(row.suspect, to_the_root) for row in rows),
        tests=tuple(text["tests"]), kinds=tuple(text["kinds"]), shown=tuple(map(tuple, text["shown"])),
        outcomes=kept["outcomes"].astype(np.int64), likelihoods=kept["likelihoods"].astype(float),
        priors=kept["priors"], minutes=kept["minutes"], machine=machine.id,
        keys=tuple((kind, tuple(pair), tuple(map(tuple, where)), part) for kind, pair, where, part in text["keys"]),
    )


def job_table(machine: Machine, progress: Progress = unwatched) -> OutcomeTable:
    """The table that jobs on a machine are weighed by: its single faults, and what its cases have besides.

    That is two faults together, and, where a case has a short that has not blown its fuse yet, each such short. The
    work is done when the root is found: a blown fuse is not the end of it. It has the whole tray, and no swaps: what
    the kit holds a learner's order against never tries a part on a guess.
    """
    single = suspects(machine)
    more: dict[Suspect, None] = {}
    for case in machine.cases.values():
        if case.faults in single or any(machine.fault(fault).when is not When.ALWAYS for fault in case.faults):
            continue
        if len(case.faults) == 1:
            more |= dict.fromkeys((each[0],) for each in single if len(each) > 1)
        more[case.faults] = None
    return machine_table(machine, more=more, to_the_root=True, swaps=False, whole_tray=True, progress=progress)


def _rows(
    machine: Machine, sound: bool, more: Sequence[Suspect], comes_and_goes: bool
) -> Iterator[Row]:
    circuit = machine.circuit
    if sound:
        yield Row(suspect=(), faults=(), share=prior(circuit, ()))
    for suspect in suspects(machine):
        yield Row(suspect=suspect, faults=tuple(map(machine.fault, suspect)), share=prior(circuit, suspect))
    for chain in more:
        share = prior_of_two(circuit, *chain) if len(chain) == 2 else prior(circuit, chain)
        yield Row(suspect=chain, faults=tuple(map(machine.fault, chain)), share=share)
    if comes_and_goes:
        for fault in machine.faults.values():
            if fault.when is not When.ALWAYS:
                there = replace(fault, when=When.ALWAYS)
                yield Row(suspect=(fault.id,), faults=(there,), share=prior(circuit, (fault.id,)), activity=AT_REST)


def _columns(
    machine: Machine, rows: tuple[Row, ...], tried: Sequence[Mapping[str, str]], at: int, progress: Progress, *,
    swaps: bool, whole_tray: bool,
) -> Iterator[Column]:
    # The sound machine comes first in every sweep, and is what a fault that comes and goes shows most of the time.
    every = (Row(suspect=(), faults=(), share=0.0), *rows)
    noticed = _all_noticed(machine, every, tried, progress)
    for p, where in enumerate(tried):
        minutes = leads.MOVE_MINUTES * max(1, leads.moves(machine, where))
        told = [row[p] for row in noticed]
        key = ("operate", (), tuple(where.items()), "")
        yield _things("operate", key, f"Try it: {leads.in_words(machine, where)}", minutes, told)
    started = () if machine.engine is None or not machine.engine.start else tuple(
        machine.start(*row.faults) for row in every
    )
    if started:
        told = [_told(now.noticed) for now in started]
        yield _things("start", ("start", (), (), ""), "Start the engine and let it run", START_MINUTES, told)
    yield from _looks(machine, every)
    if swaps:
        yield from _swaps(machine, every, tried[at], [row[at] for row in noticed])
    if any(row.activity < 1.0 for row in every):
        yield from _wiggles(machine, every, tried[at], [row[at] for row in noticed])
    # Nothing live goes on a kill wire, and no meter stays on it while the engine is turned: it is unplugged for ohms.
    spared = leads.kill_circuits(machine) if whole_tray else frozenset()
    yield from (column for column in readings(machine, every, tried, progress) if not spared & set(column.key[1]))
    yield from in_place_of_fuses(machine, every, tried)
    if whole_tray:
        yield from currents.columns(machine, every, tried)
        yield from isolated.columns(machine, every, tried)
        if started and started[0].running:
            yield from running.columns(machine, every, started)


def _all_noticed(
    machine: Machine, every: Sequence[Row], tried: Sequence[Mapping[str, str]], progress: Progress
) -> list[list[str]]:
    name = shelf.name_of(
        "noticed", _own_code(), machine.digest, [row.faults for row in every],
        [sorted(where.items()) for where in tried],
    )
    kept = shelf.fetch(name)
    if kept is not None:
        return [list(map(str, row)) for row in kept["told"]]
    told = []
    for number, row in enumerate(every):
        told.append([_noticed(machine, row.faults, where) for where in tried])
        progress(number + 1, len(every), " + ".join(row.suspect) or "no fault")
    shelf.keep(name, {"told": np.array(told)})
    return told


def _noticed(machine: Machine, faults: Sequence[Fault], where: Mapping[str, str]) -> str:
    now = machine.operate(*faults, **where)
    return _told(now.noticed)


def _told(noticed: Iterable) -> str:
    # Speeds and the like are figures in a sentence; what a person can tell apart is the word.
    return "; ".join(sorted(f"{seen.part} {seen.word}" for seen in noticed if seen.text)) or NOTHING_HAPPENS


def _things(kind: str, key: tuple, name: str, minutes: float, told: Sequence[str], stirs: str = "") -> Column:
    cells, shown = shows.things(told)
    return Column(kind, key, name, minutes, cells[:, None], tuple(map(str, shown)), stirs)


def _looks(machine: Machine, every: Sequence[Row]) -> Iterator[Column]:
    for part in machine.circuit.parts:
        here = [[fault for fault in row.faults if fault.part == part.id] for row in every]
        sure = [[fault for fault in faults if looks.always_shows(machine, fault)] for faults in here]
        seen, missed = (
            [looks.in_one(machine.notes[fault.id].looks for fault in faults) for faults in those]
            for those in (here, sure)
        )
        if len(set(seen)) == 1:
            continue
        cells, shown = shows.things((*seen, *missed))
        yield Column(
            "look", ("look", (), (), part.id), f"Look at {part.id} ({part.title})",
            leads.reach(machine, part, LOOK_MINUTES), np.stack(np.split(cells, 2), axis=1), tuple(map(str, shown)),
            odds=(looks.FOUND, 1.0 - looks.FOUND),
        )


def _swaps(
    machine: Machine, every: Sequence[Row], where: Mapping[str, str], noticed: Sequence[str]
) -> Iterator[Column]:
    for part in machine.circuit.parts:
        if isinstance(part, (Wire, Joint, Metal, Fuse)) or not any(
            fault.part == part.id for row in every for fault in row.faults
        ):
            continue
        told = [
            _noticed(machine, [fault for fault in row.faults if fault.part != part.id], where)
            if any(fault.part == part.id for fault in row.faults) else shown
            for row, shown in zip(every, noticed, strict=True)
        ]
        minutes = SWAP_MINUTES + leads.reach(machine, part, 0.0) + leads.minutes(machine, where)
        name = f"Try a like part for {part.id} ({part.title}), then {leads.in_words(machine, where)}"
        yield _things("swap", ("swap", (), tuple(where.items()), part.id), name, minutes, told)


def _wiggles(
    machine: Machine, every: Sequence[Row], where: Mapping[str, str], noticed: Sequence[str]
) -> Iterator[Column]:
    for part in dict.fromkeys(fault.part for row in every if row.activity < 1.0 for fault in row.faults):
        minutes = leads.reach(machine, machine.circuit[part], WIGGLE_MINUTES)
        name = f"Wiggle and warm {part}, {leads.in_words(machine, where)}"
        yield _things("wiggle", ("wiggle", (), tuple(where.items()), part), name, minutes, noticed, stirs=part)


def _laid_out(rows: tuple[Row, ...], columns: tuple[Column, ...]) -> dict[str, np.ndarray]:
    """All columns as arrays: the first row of each, the sound machine, is used up for those that come and go."""
    activity = np.array([row.activity for row in rows])
    restless = (activity < 1.0).any()
    wide = (2 if restless else 1) * max(column.cells.shape[1] for column in columns)
    parts = [{part_of(fault) for fault in row.suspect} for row in rows]
    outcomes = np.zeros((len(rows), len(columns), wide), np.int16)
    likelihoods = np.zeros(outcomes.shape)
    for t, column in enumerate(columns):
        cells = column.cells[1:]
        each = cells.shape[1]
        share = activity.copy()
        if column.stirs:
            share = np.array([STIRRED if a < 1.0 and column.stirs in has else a
                              for a, has in zip(activity, parts, strict=True)])
        outcomes[:, t] = cells[:, :1]
        outcomes[:, t, :each] = cells
        odds = np.array(column.odds or (1.0 / each,) * each)
        likelihoods[:, t, :each] = share[:, None] * odds
        if restless:
            outcomes[:, t, each : 2 * each] = column.cells[0]
            likelihoods[:, t, each : 2 * each] = (1.0 - share[:, None]) * odds
        _tidy(outcomes[:, t], likelihoods[:, t])
    text = {
        "tests": [column.name for column in columns], "kinds": [column.kind for column in columns],
        "shown": [column.shown for column in columns], "keys": [column.key for column in columns],
    }
    shares = np.array([row.share for row in rows])
    return {
        "outcomes": outcomes, "likelihoods": likelihoods, "priors": shares / shares.sum(),
        "minutes": np.array([column.minutes for column in columns]), "text": np.array(json.dumps(text)),
    }


def _tidy(outcomes: np.ndarray, likelihoods: np.ndarray) -> None:
    """Put the chances of equal alternatives on the first of them."""
    for k in range(1, outcomes.shape[1]):
        for earlier in range(k):
            same = (outcomes[:, k] == outcomes[:, earlier]) & (likelihoods[:, k] > 0)
            likelihoods[same, earlier] += likelihoods[same, k]
            likelihoods[same, k] = 0.0


def _unit(suspect: Suspect, to_the_root: bool) -> str:
    if not suspect:
        return "nothing"
    return part_of(suspect[0]) if to_the_root else unit(suspect)


def _own_code() -> str:
    here = Path(__file__).parent
    files = (
        "trials.py", "measured.py", "currents.py", "isolated.py", "running.py", "leads.py", "looks.py", "shows.py",
        "priors.py", "suspects.py",
    )
    return hashlib.sha256(b"\x00".join((here / name).read_bytes() for name in files)).hexdigest()
