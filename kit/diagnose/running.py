"""Readings with the engine running: what charges, and what the wires carry then.

The machine is started with each fault once; volts and amps all come from that. A meter on volts adds ten megohms to it
and a clamp nothing, so neither is solved again; what alternates is, for those in whom something does.
"""

from collections.abc import Iterator, Sequence

import numpy as np

from kit.circuit import Alternator, Fault, Open, RegulatorRectifier, Stator, Terminal, Wire
from kit.diagnose import leads, shows
from kit.diagnose.currents import CLAMP_APART, UNPLUG_MINUTES, clamp_column, clamp_figure
from kit.diagnose.measured import Column, Row, point_minutes
from kit.instruments import ClampMeter, Multimeter
from kit.machines import Machine, Operation
from kit.machines.operation import operate

START_MINUTES = 1.0
AC_MINUTES = 1.0
AC_APART = (0.5, 0.05)
NOT_RUNNING = "the engine does not run"
CHARGES = (Alternator, RegulatorRectifier, Stator)


def columns(machine: Machine, every: Sequence[Row], started: Sequence[Operation]) -> Iterator[Column]:
    """Volts at the battery and at what charges it, ripple there, and the clamp round every wire, engine running.

    ``started`` are the machine's starts, row by row. A machine whose engine turns no charger has the battery alone.
    """
    minus, plus = leads.posts(machine)
    where = tuple(started[0].positions.items())
    pairs = [(minus, plus)]
    for part in machine.circuit.parts:
        if isinstance(part, CHARGES):
            pairs += [(minus, str(end)) for end in part.terminals if end in machine.points]
    for pair in dict.fromkeys(pairs):
        if pair[0] == pair[1]:
            continue
        volts = np.array([_volts(now, *pair) for now in started])
        other = np.array([_volts(now, *pair, other=True) for now in started])
        yield from _column(machine, "running volts", pair, "Meter", where, started, shows.meter(volts, other))
    for part in machine.circuit.parts:
        if isinstance(part, Alternator):
            body, out = f"{part.id}.body", f"{part.id}.B+"
            if all(Terminal.read(end) in machine.points for end in (body, out)):
                told = [_ripple(now, body, out) for now in started]
                found = shows.figures(told, AC_APART, "V AC")
                yield from _column(machine, "running ac volts", (body, out), "AC volts", where, started, found)
    for part in machine.circuit.parts:
        if isinstance(part, Stator):
            yield from _unplugged(machine, part, where, every, started)
    for part in machine.circuit.parts:
        if isinstance(part, Wire):
            yield from _clamped(machine, part.id, where, started)


def _column(
    machine: Machine, kind: str, pair: tuple[str, str], what: str, where: tuple, started: Sequence[Operation],
    found: tuple[np.ndarray, tuple[str, ...]],
) -> Iterator[Column]:
    cells, shown = _or_not_running(found, started)
    tip = [end for end in pair if end not in leads.posts(machine)] or [pair[1]]
    minutes = START_MINUTES + sum(point_minutes(machine, end) for end in tip)
    minutes += AC_MINUTES if kind == "running ac volts" else 0.0
    name = f"{what}: black on {pair[0]}, red on {pair[1]}; engine running"
    yield Column(kind, (kind, pair, where, ""), name, minutes, cells[:, None], shown)


def _unplugged(
    machine: Machine, part: Stator, where: tuple, every: Sequence[Row], started: Sequence[Operation]
) -> Iterator[Column]:
    """AC volts of a stator by itself, unplugged: only its own faults can matter there."""
    black, red = map(str, part.terminals[:2])
    loose = tuple(dict.fromkeys((*leads.at(machine, black), *leads.at(machine, red))))
    points = all(Terminal.read(end) in machine.points for end in (black, red))
    if not (points and loose and all(map(leads.can_come_off, loose))):
        return
    off = tuple(Fault(id=f"{each.id} off", part=each.id, edit=Open()) for each in loose)

    def read(row: Row, now: Operation) -> float | str:
        after = operate(machine, now.positions, (*row.faults, *off), now.state, now.wiggled, now.warm, now.engine)
        value = Multimeter("ac volts", black=black, red=red).read(after).value
        return shows.JUMPS if value is None else value

    sound = read(every[0], started[0])
    told = [
        read(row, now) if now.running and any(fault.part == part.id for fault in row.faults) else sound
        for row, now in zip(every, started, strict=True)
    ]
    cells, shown = _or_not_running(shows.figures(told, AC_APART, "V AC"), started)
    minutes = START_MINUTES + AC_MINUTES + sum(leads.reach(machine, each, UNPLUG_MINUTES) for each in loose)
    minutes += sum(point_minutes(machine, end) for end in (black, red))
    names = " and ".join(each.id for each in loose)
    name = f"AC volts: black on {black}, red on {red}, {names} off; engine running"
    kind = "running ac volts"
    yield Column(kind, (kind, (black, red), where, names), name, minutes, cells[:, None], shown)


def _clamped(machine: Machine, wire: str, where: tuple, started: Sequence[Operation]) -> Iterator[Column]:
    amps = [now.amps.get(wire, 0.0) for now in started]
    running = [a for a, now in zip(amps, started, strict=True) if now.running]
    if not running or max(running) - min(running) <= CLAMP_APART[0]:
        return
    told = [_round(now, wire) if now.running else NOT_RUNNING for now in started]
    yield clamp_column(machine, wire, told, "engine running", START_MINUTES, where, kind="running clamp")


def _round(now: Operation, wire: str) -> float | str:
    if now.solution.other_swing is None:
        return clamp_figure(now.amps.get(wire, 0.0))
    value = ClampMeter(wire=wire).read(now).value
    return shows.JUMPS if value is None else value


def _or_not_running(
    found: tuple[np.ndarray, tuple[str, ...]], started: Sequence[Operation]
) -> tuple[np.ndarray, tuple[str, ...]]:
    """Where the engine does not run, that is what is shown, whatever the meter has."""
    cells, words = found
    numbers, kept = shows.things([int(cell) if now.running else -1 for cell, now in zip(cells, started, strict=True)])
    return numbers, tuple(NOT_RUNNING if cell < 0 else words[cell] for cell in kept)


def _volts(now: Operation, black: str, red: str, *, other: bool = False) -> float:
    """Volts a meter shows; nought where an end floats. The other half of a swing: nan where nothing chatters."""
    solution = now.solution.other_swing if other else now.solution
    if solution is None:
        return float("nan")
    lost = solution.drop(red, black)
    return 0.0 if lost is None else lost


def _ripple(now: Operation, black: str, red: str) -> float | str:
    if not now.running or not now.solution.alternates:
        return 0.0
    value = Multimeter("ac volts", black=black, red=red).read(now).value
    return shows.JUMPS if value is None else value
