"""Tests of amps and of batteries by themselves: clamp, meter in series, load tester, hydrometer.

What no lead is needed for comes out of one sweep of the machine with nothing on it; the rest is solved one by one, for
those suspects alone that it can matter for.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence

import numpy as np

from kit.circuit import Battery, Fault, Fuse, Open, Terminal, Wire
from kit.diagnose import leads, shows
from kit.diagnose.measured import FUSE_MINUTES, Column, Row, point_minutes
from kit.instruments import ClampMeter, Hydrometer, LoadTester, Multimeter
from kit.instruments.clamp import JAWS
from kit.instruments.display import OVER
from kit.machines import Machine, Operation
from kit.solve import sweep as cases
from kit.solve.kernel import CHATTERS

# Minutes beyond reaching the points, as on the job card.
CLAMP_MINUTES, SERIES_MINUTES, TESTER_MINUTES, HYDROMETER_MINUTES, UNPLUG_MINUTES = 1.0, 3.0, 3.0, 5.0, 1.0
# How far two figures lie apart before they are two. Amps under a crank and volts under the pile scatter from one sound
# machine to the next, warm or cold, more than a display does (common practice): a plan must not rest on less.
CLAMP_APART, SERIES_APART, TESTER_APART = (2.0, 0.2), (0.1, 0.05), (0.3, 0.03)
METER_GONE = "the meter's own fuse blows"
PLAIN_AMPS = 5.0  # below it a meter in series changes nothing, and its fuse holds


def columns(machine: Machine, every: Sequence[Row], tried: Sequence[Mapping[str, str]]) -> Iterator[Column]:
    """The columns of amps in all tried positions, and of drain and batteries at rest; the sound machine comes first."""
    circuits = [machine.circuit.plant(*row.faults) for row in every]
    found = cases.sweep(circuits, [machine.closed_switches(where) for where in tried])
    for p, where in enumerate(tried):
        yield from _clamped(machine, every, found, p, where)
    yield from _in_series(machine, every, found, tried[0])
    yield from _tested(machine, every, found, tried[0])
    yield from _floated(machine, every, tried[0])


def through(found: cases.Sweep, p: int, part: str) -> np.ndarray:
    """Amps along a wire, joint, fuse or battery in one position, suspect by suspect; nought where it is open."""
    if part not in found.paths:
        return np.zeros(len(found.codes))
    return np.nan_to_num(found.amps[:, p, found.paths.index(part)])


def clamp_figure(amps: float) -> float | str:
    """What the clamp meter's big jaw has for so many amps."""
    step, most = JAWS["big"]
    return OVER if abs(amps) > most else round(round(amps / step) * step, 6) + 0.0


def _clamped(
    machine: Machine, every: Sequence[Row], found: cases.Sweep, p: int, where: Mapping[str, str]
) -> Iterator[Column]:
    restless = {f: machine.operate(*every[f].faults, **where) for f in np.flatnonzero(found.codes[:, p] == CHATTERS)}
    for part in machine.circuit.parts:
        if not isinstance(part, Wire):
            continue
        amps = through(found, p, part.id)
        if np.ptp(amps) <= CLAMP_APART[0]:
            continue
        told = [clamp_figure(float(value)) for value in amps]
        for f, now in restless.items():
            value = ClampMeter(wire=part.id).read(now).value
            told[f] = shows.JUMPS if value is None else value
        yield clamp_column(
            machine, part.id, told, leads.in_words(machine, where), leads.minutes(machine, where),
            tuple(where.items()),
        )


def clamp_column(
    machine: Machine, wire: str, told: Sequence[float | str], words: str, moving: float, where: tuple,
    kind: str = "clamp",
) -> Column:
    """The clamp meter round a wire, as one column."""
    cells, shown = shows.figures(told, CLAMP_APART, "A")
    name = f"Clamp meter round {wire} ({machine.circuit[wire].title}); {words}"
    return Column(kind, (kind, (wire,), where, ""), name, CLAMP_MINUTES + moving, cells[:, None], shown)


def _in_series(
    machine: Machine, every: Sequence[Row], found: cases.Sweep, rest: Mapping[str, str]
) -> Iterator[Column]:
    """The meter on amps at rest, in place of a fuse or of what is clamped to the minus post: who draws what."""
    minus, _ = leads.posts(machine)
    clamps = [part for part in machine.circuit.parts if minus in leads.ends(part) and not isinstance(part, Battery)]
    places = [part for part in machine.circuit.parts if isinstance(part, Fuse)]
    if len(clamps) == 1 and leads.can_come_off(clamps[0]):
        places.append(clamps[0])
    for part in places:
        ends = leads.ends(part)
        if len(ends) != 2 or any(Terminal.read(end) not in machine.points for end in ends):
            continue
        # Black on the minus post, else on the fuse's far side.
        black, red = ends if ends[0] == minus else ends[::-1]
        out = Fault(id=f"{part.id} out", part=part.id, edit=Open())
        amps = through(found, 0, part.id)

        def read(row: Row, out: Fault = out, black: str = black, red: str = red) -> float | str:
            now = machine.operate(*(fault for fault in row.faults if fault.part != out.part), out, **rest)
            reading = Multimeter("amps", black=black, red=red).read(now)
            if reading.meter_fuse_blown:
                return METER_GONE
            return shows.JUMPS if reading.value is None else abs(reading.value)

        told = [
            read(row) if _has(row, part.id) or abs(amps[f]) > PLAIN_AMPS else round(abs(float(amps[f])), 3)
            for f, row in enumerate(every)
        ]
        cells, shown = shows.figures(told, SERIES_APART, "A")
        if len(shown) < 2:
            continue
        off = FUSE_MINUTES if isinstance(part, Fuse) else leads.reach(machine, part, UNPLUG_MINUTES)
        minutes = SERIES_MINUTES + off + sum(point_minutes(machine, end) for end in (black, red))
        name = f"Meter on amps in place of {part.id} ({part.title}); at rest"
        yield Column("amps", ("amps", (black, red), tuple(rest.items()), part.id), name, minutes, cells[:, None], shown)


def _tested(machine: Machine, every: Sequence[Row], found: cases.Sweep, rest: Mapping[str, str]) -> Iterator[Column]:
    cca = leads.cold_cranking_amps(machine)
    for part in machine.circuit.parts:
        if cca is None or not isinstance(part, Battery):
            continue
        plus, minus = map(str, part.terminals)
        if any(Terminal.read(end) not in machine.points for end in (minus, plus)):
            continue
        amps = through(found, 0, part.id)
        # What is drawn besides, and what the battery is like, decide; nothing else does.
        matters = [_has_battery(machine, row) or abs(amps[f] - amps[0]) > CLAMP_APART[0] for f, row in enumerate(every)]

        def read(now: Operation, minus: str = minus, plus: str = plus) -> float | str:
            value = LoadTester(minus=minus, plus=plus, cca=cca).read(now).value
            return shows.JUMPS if value is None else value

        told = _read_where(machine, every, rest, matters, read)
        cells, shown = shows.figures(told, TESTER_APART, "V")
        minutes = TESTER_MINUTES + sum(point_minutes(machine, end) for end in (minus, plus))
        name = f"Load tester on {part.id}, minus clamp on {minus}; at rest"
        key = ("load tester", (minus, plus), tuple(rest.items()), "")
        yield Column("load tester", key, name, minutes, cells[:, None], shown)


def _floated(machine: Machine, every: Sequence[Row], rest: Mapping[str, str]) -> Iterator[Column]:
    for part in machine.circuit.parts:
        if not isinstance(part, Battery) or part.build != "flooded":
            continue

        def read(now: Operation, battery: Battery = part) -> str:
            cells = range(1, battery.cells + 1)
            return ", ".join(Hydrometer(battery=battery.id, cell=cell).read(now).shown for cell in cells)

        told = _read_where(machine, every, rest, [_has(row, part.id) for row in every], read)
        numbers, shown = shows.things(told)
        key = ("hydrometer", (part.id,), tuple(rest.items()), "")
        name = f"Hydrometer in every cell of {part.id}; at rest"
        yield Column("hydrometer", key, name, HYDROMETER_MINUTES, numbers[:, None], tuple(map(str, shown)))


def _read_where(
    machine: Machine, every: Sequence[Row], where: Mapping[str, str], matters: Sequence[bool],
    read: Callable[[Operation], float | str],
) -> list[float | str]:
    """A reading for each suspect it can matter for; all others read what the sound machine does, the first row."""
    sound = read(machine.operate(**where))
    return [
        read(machine.operate(*row.faults, **where)) if wanted else sound
        for row, wanted in zip(every, matters, strict=True)
    ]


def _has(row: Row, part: str) -> bool:
    return any(fault.part == part for fault in row.faults)


def _has_battery(machine: Machine, row: Row) -> bool:
    return any(isinstance(machine.circuit[fault.part], Battery) for fault in row.faults)

