"""A machine in time: its controls moved one after another, and what a person beside it notices, moment by moment."""

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from kit.circuit import (
    LED,
    Circuit,
    ControlUnit,
    Fault,
    FuelSolenoid,
    Lamp,
    Motor,
    Part,
    Relay,
    Resistor,
    StarterSolenoid,
)
from kit.errors import OperationError
from kit.machines.machine import Machine
from kit.machines.notices import (
    CLUNKS_FROM,
    DIMS_BELOW,
    FULL_SPEED_FROM,
    LAMP_DIM_BELOW,
    LAMP_OUT_BELOW,
    LED_DIM_BELOW,
    LED_OUT_BELOW,
    LESS_LIGHT,
    TURNING_FROM,
    UNSTEADY,
    Notice,
    load_text,
    load_word,
    welded,
)
from kit.solve.time import CHATTERS_FROM, Course, Event, Runner, run

# A person takes no notice of a light or a speed that is over sooner (seconds; common practice).
LIGHT_HOLDS, SPEED_HOLDS = 0.15, 0.25
SLOWS_BY = 0.05


@dataclass(frozen=True, slots=True)
class Moment:
    """A notice and the moment it is seen or heard, in seconds."""

    at: float
    notice: Notice

    def __str__(self) -> str:
        return f"{self.at:.2f} s  {self.notice.text}"


@dataclass(frozen=True, kw_only=True)
class MachineCourse:
    """A machine's course in time, its figures looked up as in ``Course``: ``volts("K1.86")``, ``amps("M1")``.

    ``moves``: moments and all positions from then on; ``conditions`` the faults planted; ``noticed`` what a person
    sees and hears, in order. ``engine`` is what is noticed of an engine that may fire (``kit.machines.firing``).
    """

    machine: Machine
    moves: tuple[tuple[float, Mapping[str, str]], ...]
    conditions: tuple[Fault, ...]
    course: Course
    engine: tuple[Moment, ...] = ()

    @property
    def seconds(self) -> tuple[float, ...]:
        return self.course.seconds

    @property
    def events(self) -> tuple[Event, ...]:
        return self.course.events

    @property
    def circuit(self) -> Circuit:
        """The circuit as it ran, faults planted."""
        return self.machine.circuit.plant(*self.conditions)

    def volts(self, terminal: str, against: str | None = None) -> tuple[float, ...]:
        return self.course.volts(terminal, against)

    def amps(self, path: str) -> tuple[float, ...]:
        return self.course.amps(path)

    def pulled_in(self, relay: str) -> tuple[tuple[float, float], ...]:
        """From when till when a relay was pulled in."""
        changes = [event.at for event in self.events if event.part == relay]
        shut = relay in self.course.state.closed
        if shut != (len(changes) % 2 == 1):
            changes.insert(0, self.seconds[0])  # it was in already when the course began
        if shut:
            changes.append(self.seconds[-1])
        return tuple(zip(changes[::2], changes[1::2], strict=True))

    def told(self) -> tuple[tuple[float, str], ...]:
        """What was moved, moment by moment, in the controls' own words; what only stands as at rest is left out."""
        before = self.machine.positions()
        lines = []
        for at, positions in self.moves:
            moved = self.machine.in_words(positions, unlike=before)
            lines.append((at, ", ".join(moved) or "nothing moved"))
            before = positions
        return tuple(lines)

    @cached_property
    def noticed(self) -> tuple[Moment, ...]:
        found: list[Moment] = []
        course = self.course
        for part in self.circuit.parts:
            match part:
                case Relay() | StarterSolenoid() | FuelSolenoid():
                    if not welded(part, self.circuit):
                        found += _relay(part, course)
                case Motor():
                    found += _motor(part, course)
                case Lamp():
                    bands = LAMP_OUT_BELOW, LAMP_DIM_BELOW, DIMS_BELOW
                    found += _light(part, course, course.glow(part.id), *bands)
                case LED(amps=rated):
                    shares = [amps / rated for amps in course.amps(part.id)]
                    found += _light(part, course, shares, LED_OUT_BELOW, LED_DIM_BELOW, LESS_LIGHT)
                case ControlUnit(panel=panel) if panel:
                    found += _control_unit(part, course)
                case Resistor(shows=shows) if shows != "nothing":
                    found += _load(part, course)
                case _:
                    found += [
                        Moment(event.at, Notice(part.id, "melts", "A faint pop."))
                        for event in self.events if event.part == part.id and event.what == "melts"
                    ]
        heard = [moment for moment in found if not (self.runs(moment.at) and moment.notice.part == self._starter)]
        return tuple(sorted((*heard, *self.engine), key=lambda moment: moment.at))

    @property
    def _starter(self) -> str:
        return self.machine.engine.cranked_by if self.machine.engine else ""

    def runs(self, at: float) -> bool:
        """Whether the engine runs by itself at a moment: then nobody hears the starter."""
        words = [moment.notice.word for moment in self.engine if moment.at <= at]
        return bool(words) and words[-1].startswith("runs")


def over_time(
    machine: Machine, moves: Sequence[tuple[float, Mapping[str, str]]], seconds: float,
    faults: Collection[str | Fault] = (), runner: type[Runner] = Runner,
) -> MachineCourse:
    """Move the controls at these moments and let the machine run till ``seconds``, with these faults in it.

    ``moves`` are moments from 0 and the controls moved then; the others stay. Everything starts at rest, cold and
    still. Raises OperationError for an unknown control or position or moves out of order, FaultError for an unknown
    fault. ``runner`` as in ``kit.solve.time.run``.
    """
    full = in_order(machine, moves, seconds)
    planted = tuple(machine.fault(fault) if isinstance(fault, str) else fault for fault in faults)
    course = run(
        machine.circuit.plant(*planted), [(at, machine.closed_switches(here)) for at, here in full], seconds,
        runner=runner,
    )
    return MachineCourse(machine=machine, moves=full, conditions=planted, course=course)


def in_order(
    machine: Machine, moves: Sequence[tuple[float, Mapping[str, str]]], seconds: float
) -> tuple[tuple[float, Mapping[str, str]], ...]:
    """The moves with all positions from then on; raises OperationError where they are out of order."""
    moments = [at for at, _ in moves]
    if not moves or moments != sorted(moments) or moments[0] < 0 or seconds <= moments[-1]:
        raise OperationError(
            f"{machine.id}: moves need moments in rising order from 0 s and an end after the last; "
            f"not {', '.join(f'{at:g}' for at in moments) or 'none'} and an end at {seconds:g} s."
        )
    positions, full = machine.positions(), []
    for at, moved in moves:
        positions = machine.moved(positions, **moved)
        full.append((float(at), positions))
    return tuple(full)


def _relay(part: Part, course: Course) -> Iterator[Moment]:
    sound = "clicks" if isinstance(part, Relay) else "clunks"
    for start, end in course.stretches():
        mine = [event for event in course.events if event.part == part.id and start <= event.at < end]
        lets_go = [event.at for event in mine if event.what == "lets go"]
        chatters = len(lets_go) >= CHATTERS_FROM
        # The click a clatter begins with is part of it.
        calm = lets_go[0] - LIGHT_HOLDS if chatters else end
        for event in mine:
            if event.at < calm:
                closed = event.what == "pulls in"
                text = f"The {part.title} {sound}{'' if closed else ' as it lets go'}."
                yield Moment(event.at, Notice(part.id, "pulled in" if closed else "at rest", text))
        if chatters:
            rate = (len(lets_go) - 1) / (lets_go[-1] - lets_go[0])
            text = f"The {part.title} clatters, about {rate:.0f} times a second."
            yield Moment(lets_go[0], Notice(part.id, "chatters", text))


def _chatter(course: Course, start: float, end: float) -> tuple[float, ...]:
    """The moments a chattering relay lets go in this stretch."""
    return tuple(
        event.at for event in course.events
        if event.what == "lets go" and start <= event.at < end
        and course.count(event.part, "lets go", start=start, end=end) >= CHATTERS_FROM
    )


def _motor(part: Motor, course: Course) -> Iterator[Moment]:
    speeds, amps = course.speeds(part.id), course.amps(part.id)
    words = [_turning(part, speed, current) for speed, current in zip(speeds, amps, strict=True)]
    last = "still"
    for start, end in course.stretches():
        chatter = _chatter(course, start, end)
        # Where something else clatters (a fuel solenoid), the starter goes on turning: its current is never cut.
        if chatter and part.load_amps * CLUNKS_FROM <= min(
            abs(current) for moment, current in zip(course.seconds, amps, strict=True)
            if chatter[0] <= moment <= chatter[-1]
        ):
            chatter = ()
        calm = chatter[0] if chatter else end
        # A coming and going too short to be seen shows only where the stretch ends with it.
        for begins, ends, word, at_the_end in _runs(course, words, start, calm):
            if word == last or not (ends - begins >= SPEED_HOLDS or (at_the_end and not chatter)):
                continue
            text = _heard(course, speeds, begins, ends, word, last)
            last = word
            if text:
                yield Moment(begins, Notice(part.id, word, text))
        if not chatter:
            continue
        rest = [abs(current) for moment, current in zip(course.seconds, amps, strict=True) if calm <= moment <= end]
        turned, last = last.startswith("cranks"), "still"
        if turned:
            yield Moment(calm, Notice(part.id, "still", "The engine stops turning."))
        elif max(rest, default=0.0) > part.load_amps * CLUNKS_FROM:
            yield Moment(calm, Notice(part.id, "twitches", f"The {part.title} only twitches."))


def _turning(part: Motor, speed: float, amps: float) -> str:
    if speed >= FULL_SPEED_FROM:
        return "cranks"
    if speed >= TURNING_FROM:
        return "cranks slowly"
    return "stalls" if abs(amps) > part.load_amps * CLUNKS_FROM else "still"


def _heard(course: Course, speeds: Sequence[float], begins: float, ends: float, word: str, last: str) -> str:
    if word == "cranks":
        return "The engine cranks at full speed."
    if word == "cranks slowly":
        then = [speed for moment, speed in zip(course.seconds, speeds, strict=True) if begins <= moment <= ends]
        top, now = max(then), then[-1]
        slowing = f"{100 * top:.0f} % speed and slowing, {100 * now:.0f} % at the end"
        return f"The engine cranks slowly, at about {slowing if top - now > SLOWS_BY else f'{100 * now:.0f} % speed'}."
    if last.startswith("cranks"):
        return "The engine stops turning."
    return "One clunk; the engine does not turn." if word == "stalls" else ""


def _light(
    part: Part, course: Course, glows: Sequence[float], out: float, dim: float, dims: float
) -> Iterator[Moment]:
    """A lamp by the volts it glows like, an LED by its amps, as shares; ``dims``: the share of it that is seen less."""
    words = ["out" if glow < out else "dim" if glow < dim else "lit" for glow in glows]
    last = "out"
    for start, end in course.stretches():
        chatter = _chatter(course, start, end)
        if chatter:
            # In its first half a filament may still be warming up.
            middle = (chatter[0] + chatter[-1]) / 2
            swing = [
                glow for moment, glow in zip(course.seconds, glows, strict=True) if middle <= moment <= chatter[-1]
            ]
            if max(swing) >= out and min(swing) < dims * max(swing):
                last = "pulses"
                yield Moment(chatter[0], Notice(part.id, last, f"The {part.title} pulses."))
                continue
        here = [glow for moment, glow in zip(course.seconds, glows, strict=True) if start <= moment <= end]
        changed = False
        for begins, ends, word, at_the_end in _runs(course, words, start, end):
            if word != last and (at_the_end or ends - begins >= LIGHT_HOLDS):
                last, changed = word, True
                yield Moment(begins, Notice(part.id, word, f"The {part.title} is {word}."))
        if not changed and here and here[-1] >= out and here[-1] < dims * here[0]:
            low = dims * here[0]
            at = next(
                moment for moment, glow in zip(course.seconds, glows, strict=True) if moment >= start and glow < low
            )
            how = "dims, but stays lit" if last == "lit" else "dims further"
            yield Moment(at, Notice(part.id, last, f"The {part.title} {how}."))


def _control_unit(part: ControlUnit, course: Course) -> Iterator[Moment]:
    """What its panel does: lit, dark, or dark and starting again with nobody moving a control, told once."""
    turns = _wakes(part, course)
    for start, end in course.stretches():
        here = [(at, awake) for at, awake in turns if start <= at < end]
        if not here:
            continue
        at, awake = here[0]
        if len(here) > 1 and (len(here) > 2 or not awake):
            yield Moment(at, Notice(part.id, "resets", f"The {part.panel} goes dark and starts again."))
        at, awake = here[-1]
        if awake and len(here) == 1:
            yield Moment(at, Notice(part.id, "awake", f"The {part.panel} is lit."))
        elif not awake and (len(here) == 1 or end - at >= LIGHT_HOLDS):
            yield Moment(at, Notice(part.id, "asleep", f"The {part.panel} is dark."))


def _wakes(part: ControlUnit, course: Course) -> list[tuple[float, bool]]:
    """The moments it wakes (True) and resets (False), by turns."""
    if part.outputs:
        return [(event.at, event.what == "pulls in") for event in course.events if event.part == part.id]
    turns: list[tuple[float, bool]] = []
    supply, amps = course.volts(f"{part.id}.supply", f"{part.id}.ground"), course.amps(part.id)
    for moment, volts, current in zip(course.seconds, supply, amps, strict=True):
        awake = bool(turns) and turns[-1][1]
        # A dead one has its volts and takes nothing.
        if awake != (current > 0.0 and volts / part.volts >= (part.resets_at if awake else part.wakes_at)):
            turns.append((moment, not awake))
    return turns


def _load(part: Resistor, course: Course) -> Iterator[Moment]:
    """A pump's hum, a gauge's needles."""
    words = [load_word(part, abs(amps) * part.ohms / part.volts) for amps in course.amps(part.id)]
    last = "still" if part.shows == "hum" else "down"
    for start, end in course.stretches():
        chatter = _chatter(course, start, end)
        runs = _runs(course, words, start, chatter[0] if chatter else end)
        for begins, ends, word, at_the_end in runs:
            if word != last and (ends - begins >= LIGHT_HOLDS or (at_the_end and not chatter)):
                last = word
                yield Moment(begins, Notice(part.id, word, load_text(part, word) or f"The {part.title} stops."))
        if chatter and len({word for moment, word in zip(course.seconds, words, strict=True)
                            if chatter[0] <= moment <= chatter[-1]}) > 1:
            last = UNSTEADY[part.shows]
            yield Moment(chatter[0], Notice(part.id, last, load_text(part, last)))


def _runs(course: Course, words: Sequence[str], start: float, end: float) -> list[tuple[float, float, str, bool]]:
    """Times over which a word stays the same: begin, end, word, and whether the stretch ends with it."""
    runs: list[list] = []
    for moment, word in zip(course.seconds, words, strict=True):
        if not start < moment <= end:
            continue
        if runs and runs[-1][2] == word:
            runs[-1][1] = moment
        else:
            if runs:
                runs[-1][1] = moment
            runs.append([moment, moment, word])
    return [(begins, ends, word, number == len(runs) - 1) for number, (begins, ends, word) in enumerate(runs)]
