"""A strip chart of one press: what the recorder of a connected instrument kept; with everything told, all there was.

A press is run in time from how the machine stood before it (``kit.exercises.held``), and its engine fires in it where
the bay says that it does. In plain view the paper holds what a person could have: the readings of the meter or clamp
that was on, one mean after another as its display has them, and the moments of what is seen and heard.
"""

from bisect import bisect_left, bisect_right
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from kit.circuit import Battery, Motor
from kit.draw import Picture
from kit.draw.strip import LEFT, RIGHT, WIDTH, strip
from kit.errors import OperationError
from kit.exercises.acts import Operate, Press
from kit.exercises.held import in_time
from kit.exercises.situation import Situation, Step
from kit.exercises.tray import TRAY
from kit.instruments.meter import HOLDS
from kit.machines import Machine
from kit.machines.course import MachineCourse
from kit.solve.time import Event

# A course begins cold: what was lit and charged before the press has so many seconds to be so, off the paper.
SETTLES = 0.6
BEFORE, AFTER = 0.3, 0.7  # seconds of paper before the press and after it
MOST = 5.0  # seconds of a press that are run: more is more of the same, and each takes its time to work out
CLAMP = "clamp"
RECORDED = (*HOLDS, CLAMP)
ROWS = 40  # of the table of figures


@dataclass(frozen=True, kw_only=True)
class Paper(MachineCourse):
    """A machine's course from ``SETTLES`` on, its seconds counted from there."""

    @cached_property
    def _first(self) -> int:
        return bisect_left(self.course.seconds, SETTLES - 1e-9)

    @property
    def seconds(self) -> tuple[float, ...]:
        return tuple(at - SETTLES for at in self.course.seconds[self._first:])

    @property
    def events(self) -> tuple[Event, ...]:
        return tuple(replace(event, at=event.at - SETTLES) for event in self.course.events if event.at >= SETTLES)

    def volts(self, terminal: str, against: str | None = None) -> tuple[float, ...]:
        return self.course.volts(terminal, against)[self._first:]

    def amps(self, path: str) -> tuple[float, ...]:
        return self.course.amps(path)[self._first:]


@dataclass(frozen=True, kw_only=True)
class Recorded(MachineCourse):
    """A machine's course as an instrument's recorder kept it: its figures only, and nothing of what melted inside."""

    name: str
    kept: tuple[tuple[float, float, str], ...]

    @property
    def seconds(self) -> tuple[float, ...]:
        return tuple(at for at, *_ in self.kept)

    @property
    def events(self) -> tuple[Event, ...]:
        return ()

    def volts(self, terminal: str, against: str | None = None) -> tuple[float, ...]:
        return tuple(value for _, value, _ in self.kept)

    def amps(self, path: str) -> tuple[float, ...]:
        return self.volts(path)


def has_strip(machine: Machine, step: Step) -> bool:
    """Whether a step is a press with a strip: held for some seconds, or let go after some."""
    match step.act:
        case Press():
            return True
        case Operate(control=control, held=held):
            there = machine.controls[control]
            return held > 0 and (there.springs_back or bool(there.springs_to))
    return False


def strip_of(first: Situation, steps: Sequence[Step], number: int, *, told: bool) -> dict:
    """The strip of the press that is line ``number`` of the work, as the browser gets it.

    Raises OperationError for a line that is no press, or a machine whose engine ran already.
    """
    machine = first.machine
    if not (type(number) is int and 0 <= number < len(steps) and has_strip(machine, steps[number])):
        raise OperationError("a strip belongs to a control that was held for some seconds; this line is none.")
    before, held, after, seconds = _press(first, steps, number)
    if before.engine.running:
        raise OperationError("the engine ran already: a strip is drawn of a start from rest.")
    lasts = min(seconds, MOST)
    run = _run(before, [(0.0, {}), (BEFORE, held), (BEFORE + lasts, after)], BEFORE + lasts + AFTER)
    recorded = _recorded(before, run)
    picture, figures = _told(run) if told else _kept(recorded)
    return {
        "number": number,
        "about": _about(before, recorded, told=told, cut=seconds > MOST),
        "svg": "" if picture is None else picture.svg,
        "width": 0 if picture is None else picture.width,
        "seconds": round(run.seconds[-1], 3),
        "from": LEFT, "to": WIDTH - RIGHT,
        "moments": [[round(at, 3), text] for at, text in _moments(run)],
        "figures": figures,
        "rows": _rows(figures, run.seconds[-1]),
    }


def _press(first: Situation, steps: Sequence[Step], number: int) -> tuple[Situation, dict, dict, float]:
    """How the machine stood before a press, what was moved for it and at its end, and its seconds."""
    act = steps[number].act
    last = steps[number - 1].situation if number else first
    if isinstance(act, Press):
        there = last.machine.controls[act.control].let_go(act.position)
        back = there if there != act.position else last.positions[act.control]
        return last, {act.control: act.position}, {act.control: back}, act.seconds
    # Let go: the press began with the last moving of this control, and whatever was put on since was on.
    held = last.positions[act.control]
    began = next(
        (k for k in range(number - 1, -1, -1)
         if isinstance(steps[k].act, Operate) and steps[k].act.control == act.control), number,
    )
    before = steps[began - 1].situation if began else first
    return replace(before, probe=last.probe), {act.control: held}, {act.control: act.position}, act.held


def _run(before: Situation, moves: Sequence[tuple[float, Mapping[str, str]]], seconds: float) -> Paper:
    """The course of these moves, in seconds of the paper."""
    run = in_time(before, [(0.0, {}), *((SETTLES + at, moved) for at, moved in moves[1:])], SETTLES + seconds)
    full = tuple((max(0.0, at - SETTLES), positions) for at, positions in run.moves)
    return Paper(machine=run.machine, moves=full, conditions=run.conditions, course=run.course, engine=run.engine)


def _recorded(before: Situation, run: Paper) -> Recorded | None:
    """What the recorder of the instrument that is on kept; None where none is on that records."""
    probe = before.probe
    if probe is None or probe.instrument not in RECORDED:
        return None
    made = TRAY[probe.instrument].make(before.machine, probe.leads)
    kept = tuple((at - SETTLES, value, text) for at, value, text in made.record(run.course) if at > SETTLES + 1e-6)
    return Recorded(
        machine=run.machine, moves=run.moves, conditions=run.conditions, course=run.course,
        name=f"clamp on {probe.leads[0]}" if probe.instrument == CLAMP else "multimeter", kept=kept,
    )


def _kept(recorded: Recorded | None) -> tuple[Picture | None, list[dict]]:
    """The paper of a recorder, and its figures."""
    if recorded is None:
        return None, []
    amps = recorded.kept[0][2].endswith(" A") or recorded.name != "multimeter"
    picture = strip(recorded, **{"amps" if amps else "volts": (recorded.name,)})
    return picture, [{"name": recorded.name, "kept": [[round(at, 3), text] for at, _, text in recorded.kept]}]


def _told(run: Paper) -> tuple[Picture, list[dict]]:
    """Everything: battery and starter volts, the starter's amps, every relay."""
    parts = run.circuit.parts
    battery = next(part for part in parts if isinstance(part, Battery))
    motors = [part for part in parts if isinstance(part, Motor)][:1]
    volts = [f"{battery.id}.+", *(str(motor.terminals[0]) for motor in motors)]
    amps = [motor.id for motor in motors] or [battery.id]
    picture = strip(run, volts=volts, amps=amps, relays=run.course.magnets)
    figures = [
        *({"name": name, "kept": _thin(run.seconds, run.volts(name), "V")} for name in volts),
        *({"name": name, "kept": _thin(run.seconds, run.amps(name), "A")} for name in amps),
    ]
    return picture, figures


def _thin(seconds: Sequence[float], values: Sequence[float], unit: str, step: float = 0.01) -> list[list]:
    """A figure each hundredth of a second at the most, in words."""
    found: list[list] = []
    for at, value in zip(seconds, values, strict=True):
        if not found or at - found[-1][0] >= step:
            places = 1 if unit == "A" else 2
            found.append([round(at, 3), f"{round(value, places) + 0.0:.{places}f} {unit}"])
    return found


def _moments(run: Paper) -> list[tuple[float, str]]:
    """What was moved, seen and heard, in its order; what stood so before the press is left out."""
    moved = [(at, f"{words[0].upper()}{words[1:]}.") for at, words in _moved(run)]
    seen = [(moment.at, moment.notice.text) for moment in run.noticed]
    seen = [(at - SETTLES, text) for at, text in seen if at - SETTLES >= BEFORE - 1e-9]
    return sorted([*moved, *seen], key=lambda pair: pair[0])


def _moved(run: Paper) -> list[tuple[float, str]]:
    told, before = [], run.moves[0][1]
    for at, positions in run.moves[1:]:
        words = run.machine.in_words(positions, unlike=before)
        if words:
            told.append((at, ", ".join(words)))
        before = positions
    return told


def _rows(figures: Sequence[dict], seconds: float) -> list[list]:
    """The figures as a table: a row each tenth of a second, or fewer where that would be too many."""
    if not figures:
        return []
    step = 0.1
    while seconds / step > ROWS:
        step *= 2
    rows = []
    for k in range(1, int(seconds / step + 1e-9) + 1):
        at = round(k * step, 3)
        rows.append([at, *(_figure(figure["kept"], at) for figure in figures)])
    return rows


def _figure(kept: Sequence[Sequence], at: float) -> str:
    """What was shown at a moment: the last figure that had come by then."""
    place = bisect_right([moment for moment, _ in kept], at + 1e-9)
    return kept[max(0, place - 1)][1]


def _about(before: Situation, recorded: Recorded | None, *, told: bool, cut: bool) -> str:
    """In a sentence or two, what the paper holds."""
    words = []
    if told:
        words.append("Everything, as it really was.")
    elif recorded is None:
        words.append("No meter or clamp with a recorder was on: only what is seen and heard has its moments. Put the "
                     "multimeter on volts across the battery, or the clamp round the starter's cable, and hold again.")
    else:
        probe = before.probe
        tool = TRAY[probe.instrument]
        put = ", ".join(f"{word} {lead}" for word, lead in zip(tool.leads, probe.leads, strict=True))
        words.append(f"Recorded by the {tool.title}: {put}.")
    if cut:
        words.append(f"The first {MOST:g} seconds.")
    return " ".join(words)
