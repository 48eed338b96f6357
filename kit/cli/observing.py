"""What ``observe`` prints: what a person sees, hears and measures at each step of a start, healthy beside faulty."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import groupby
from textwrap import wrap

from kit.circuit import Battery, ControlUnit, Fault, Motor, Terminal, When
from kit.cli.operating import read_position
from kit.errors import OperationError
from kit.instruments import Multimeter, Reading, TestLamp
from kit.machines import Machine, Operation, machine
from kit.machines.course import MachineCourse, over_time
from kit.machines.engine import ENGINE
from kit.machines.operation import operate

WIDTH = 100
# Seconds: from setting the machine up till it is asked to do something, how long it is held, and a look afterwards.
SET_UP, HELD, AFTER = 1.0, 3.0, 0.5
VOLTS_ALIKE = 0.05  # two meters on two healthy machines differ by as much (common practice)
COLUMNS = {"lamp to -": 12, "lamp to +": 12, "meter": 14}
POINT = 11
# What the course in time does not tell: seen or smelled only once it has been held on for a while.
IN_THE_END = ("smokes", "smells", "glares")


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One thing tried: the controls set up, then those that spring back held, if there are any."""

    title: str
    set_up: Mapping[str, str]
    held: Mapping[str, str]

    @property
    def positions(self) -> Mapping[str, str]:
        return {**self.set_up, **self.held}


def report(machine_id: str, positions: Sequence[str], faults: Sequence[str], *, every: bool = False) -> Iterator[str]:
    """The lines; ``positions`` (``key=on``) make it one step, ``every`` shows readings that do not differ as well."""
    known = machine(machine_id)
    for fault in faults:
        known.fault(fault)
    moved = dict(read_position(text) for text in positions)
    tried = (step(known, known.positions(**moved)),) if moved else steps(known)
    yield f"{known.title}{f' with {_list(faults)}' if faults else ', healthy'}"
    for fault in faults:
        yield from _folded(f"{fault}: ", known.notes[fault].looks)
        if known.fault(fault).when is not When.ALWAYS:
            yield from _folded(" " * (len(fault) + 2), "It comes and goes; all below is shown while it is there.")
    plus, minus = posts(known)
    yield from _folded("", (
        f"The lamp's clip is on {minus} (lamp to -), then on {plus} (lamp to +), its tip on the point; "
        f"the meter's black lead is on {minus}."
    ))
    for number, one in enumerate(tried, 1):
        yield ""
        yield from _folded(f"{number}  ", one.title)
        healthy = _tried(known, one, ())
        faulty = _tried(known, one, faults) if faults else None
        yield from _noticed(healthy, faulty)
        yield from _measured(known, healthy, faulty, every=every)


def steps(known: Machine) -> tuple[Step, ...]:
    """What is worth trying, from the machine's own rules: at rest, set up, each way to start, each way it must not.

    A rule leaves controls open; they stand as in the way to start that is nearest to it, so that nothing else stops it.
    """
    motors = [part.id for part in known.circuit.parts if isinstance(part, Motor)]
    rules = [rule for rule in known.truth if not motors or any(motor in rule.then for motor in motors)]
    starts = [rule for rule in rules if any(rule.then.get(motor) == "cranks" for motor in motors)]
    rest = known.positions()
    ways = [dict(known.positions(**rule.when)) for rule in starts] or [dict(rest)]
    wanted: list[dict[str, str]] = [dict(rest)]
    for rule in rules:
        if all(rest[name] == position for name, position in rule.when.items()):
            continue
        wanted.append({**_nearest(ways, rule.when, rest), **rule.when})
    found = {tuple(positions.values()): step(known, positions) for positions in wanted}
    allowed = {tuple(way.values()) for way in ways}
    return tuple(
        found[key] for key in sorted(found, key=lambda key: (bool(found[key].held), key not in allowed))
    )


def _nearest(
    ways: Sequence[Mapping[str, str]], when: Mapping[str, str], rest: Mapping[str, str]
) -> Mapping[str, str]:
    """The way to start that shares most with a rule; what somebody moved for it counts before what stands at rest."""
    def shared(way: Mapping[str, str]) -> tuple[int, int]:
        same = [name for name, position in when.items() if way[name] == position]
        return sum(when[name] != rest[name] for name in same), len(same)

    return max(ways, key=shared)


def step(known: Machine, positions: Mapping[str, str]) -> Step:
    """These positions as a step: what springs back is held last."""
    rest = known.positions()
    free = known.let_go(positions)
    held = {name: position for name, position in positions.items() if free[name] != position}
    stay = {name: position for name, position in positions.items() if name not in held}
    moved = [*known.in_words(stay, unlike=rest), *known.in_words(held)]
    return Step(
        title=", ".join(moved) or "everything at rest",
        set_up={name: place for name, place in free.items() if name not in held or place != rest[name]}, held=held,
    )


def posts(known: Machine) -> tuple[Terminal, Terminal]:
    """The battery posts a lead goes on: the highest plus, and the one volts are measured from."""
    volts = known.operate().volts
    plus = [Terminal(part.id, "+") for part in known.circuit.parts if isinstance(part, Battery)]
    if not plus:
        raise OperationError(f"{known.id} has no battery to put a lead on.")
    return max(plus, key=lambda terminal: volts[str(terminal)] or 0.0), known.circuit.reference


@dataclass(frozen=True, slots=True, kw_only=True)
class _Trial:
    """One machine taken through one step: its course in time, and how it stands at the end of the holding.

    ``engine`` is what the engine does where nobody has kept it from firing.
    """

    course: MachineCourse
    now: Operation
    engine: str


def _tried(known: Machine, one: Step, faults: Sequence[str]) -> _Trial:
    rest = known.positions()
    moves: list[tuple[float, Mapping[str, str]]] = [(0.0, one.set_up)]
    end = SET_UP + HELD
    if one.held:
        moves += [(SET_UP, one.held), (end, {name: one.set_up.get(name, rest[name]) for name in one.held})]
        end += AFTER
    course = over_time(known, moves, end, faults)
    stirred, warmed = (_parts(known, faults, when) for when in (When.WIGGLE, When.HEAT))
    before = known.operate(*faults, wiggled=stirred, warm=warmed, **one.set_up)
    # A fuse that takes its seconds has melted by the time a lead is put on.
    state = replace(before.state, melted=before.state.melted | course.course.state.melted)
    now = operate(known, known.positions(**one.positions), before.conditions, state, stirred, warmed)
    return _Trial(course=course, now=now, engine=_engine(known, before, one) if one.held else "")


def _engine(known: Machine, before: Operation, one: Step) -> str:
    """What the engine does when it is started from here and let go of; it fires before a slow fuse has melted."""
    rest = known.positions()
    held = before.then(wiggled=before.wiggled, **one.held)
    back = {name: one.set_up.get(name, rest[name]) for name in one.held}
    let_go = held.then(wiggled=before.wiggled, **back)
    told = let_go if let_go.word(ENGINE) == "fires and dies" else held
    return next((notice.text.rstrip(".") for notice in told.noticed if notice.part == ENGINE), "")


def _parts(known: Machine, faults: Iterable[str], when: When) -> frozenset[str]:
    """The parts whose faults come then: stirred or warmed, so that what is measured fits what is noticed."""
    found: list[Fault] = [known.fault(fault) for fault in faults]
    return frozenset(fault.part for fault in found if fault.when is when)


def _noticed(healthy: _Trial, faulty: _Trial | None) -> Iterator[str]:
    told, texts = [], []
    for trial in (healthy, faulty):
        if trial is not None:
            seen = [(moment.at, moment.notice.text.rstrip(".")) for moment in trial.course.noticed]
            ends = list(_in_the_end(trial))
            lines = [*(f"{at:.2f} s {text}" for at, text in seen), *ends]
            told.append("; ".join(lines) or "nothing lights, clicks or moves")
            texts.append([*(text for _, text in seen), *ends])
    if faulty is None:
        yield from _folded("   ", f"{told[0]}.")
    elif texts[0] == texts[1]:
        yield from _folded("   as healthy: ", f"{told[1]}.")
    else:
        yield from _folded("   healthy: ", f"{told[0]}.")
        yield from _folded("   faulty:  ", f"{told[1]}.")


def _in_the_end(trial: _Trial) -> Iterator[str]:
    """Smoke and smell, what a hand put there feels, and what the engine does where nobody has kept it from firing."""
    for notice in trial.now.noticed:
        if notice.word in IN_THE_END:
            yield f"held on: {notice.text.rstrip('.')}"
    touched = [notice.touch.rstrip(".") for notice in trial.now.noticed if notice.touch]
    if touched:
        yield f"by hand: {', '.join(touched)}"
    if trial.engine:
        yield f"allowed to fire: {trial.engine}"


def _measured(known: Machine, healthy: _Trial, faulty: _Trial | None, *, every: bool) -> Iterator[str]:
    plus, minus = posts(known)
    stages = list(known.stages)
    points = sorted(known.points, key=lambda point: stages.index(known.stage_of(point.part).id))
    table, alike = [], []
    for stage, here in groupby(points, key=lambda point: known.stage_of(point.part).id):
        rows = []
        for point in here:
            sound = _readings(known, healthy.now, point, plus, minus)
            broken = _readings(known, faulty.now, point, plus, minus) if faulty else sound
            differs = [not _same(first, second) for first, second in zip(sound, broken, strict=True)]
            if any(differs) or every or faulty is None:
                cells = _cells([_shown(reading) for reading in sound])
                if faulty:
                    marked = zip(broken, differs, strict=True)
                    cells += "| " + _cells([_shown(reading) + ("  <" if mark else "") for reading, mark in marked])
                rows.append(f"     {point!s:<{POINT}}{cells}".rstrip())
        if rows:
            table += [f"   {stage}", *rows]
        else:
            alike.append(stage)
    if table:
        heads = _cells(COLUMNS)
        yield ""
        yield f"     {'':<{POINT}}{heads}{f'| {heads}' if faulty else ''}".rstrip()
        yield from table
    if alike:
        yield from _folded("   Readings as on the healthy machine: ", f"{_list(alike) if table else 'all of them'}.")


def _cells(texts: Iterable[str]) -> str:
    return "".join(f"{text:<{width}}" for text, width in zip(texts, COLUMNS.values(), strict=True))


def _readings(
    known: Machine, now: Operation, point: Terminal, plus: Terminal, minus: Terminal
) -> tuple[Reading | None, Reading | None, Reading | None]:
    """Lamp to minus, lamp to plus, meter; None where a lead cannot go or a filament lamp must not."""
    part = known.circuit[point.part]
    signal = isinstance(part, ControlUnit) and point.name not in part.terminal_names
    lamps = [
        None if signal or post == point
        else TestLamp(clip=str(post), tip=str(point), volts=known.volts).read(now)
        for post in (minus, plus)
    ]
    meter = None if point == minus else Multimeter("volts", black=str(minus), red=str(point)).read(now)
    return lamps[0], lamps[1], meter


def _same(first: Reading | None, second: Reading | None) -> bool:
    if first is None or second is None:
        return first is second
    if first.value is not None and second.value is not None:
        return abs(first.value - second.value) < VOLTS_ALIKE
    return first.shown == second.shown or first.shown in second.accepts or second.shown in first.accepts


def _shown(reading: Reading | None) -> str:
    if reading is None:
        return "-"
    return reading.shown.replace("jumps between ", "").replace(" and ", "~")


def _folded(lead: str, text: str) -> Iterator[str]:
    yield from wrap(text, WIDTH, initial_indent=lead, subsequent_indent=" " * len(lead), break_long_words=False)


def _list(names: Sequence[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
