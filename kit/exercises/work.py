"""Work on a machine: acts, one after another, and what each of them shows.

The bay and the marking both go through ``apply``, so a mark can never rest on anything but what a learner was shown.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import lru_cache

from kit.circuit import Change, Fault, Fuse, Open, Terminal, part_of
from kit.errors import KitError, OperationError
from kit.exercises.acts import (
    BIGGER,
    FUSE_MOVES,
    Act,
    Again,
    Find,
    HandBack,
    Look,
    MoveFuse,
    Operate,
    Plant,
    Prepare,
    Probe,
    Repair,
    Verify,
)
from kit.instruments import Multimeter, TestLamp
from kit.machines import Machine, Notice, Operation
from kit.machines.operation import operate
from kit.solve import AT_REST, State

QUIET = "Nothing lights, nothing clicks, nothing turns."
OPERATE_MINUTES = 0.2
LOOK_MINUTES = 1.0
RENEW_MINUTES = 10.0
INSTRUMENTS = {"lamp": ("test lamp", "clip", "tip"), "volts": ("multimeter, volts", "black lead", "red lead")}


@dataclass(frozen=True, slots=True, kw_only=True)
class Situation:
    """Where the work on a machine stands. ``planted`` faults were there first, ``faults`` are left."""

    machine: Machine
    planted: tuple[str, ...]
    faults: tuple[str, ...]
    positions: Mapping[str, str]
    state: State = AT_REST
    out: frozenset[str] = frozenset()
    bigger: frozenset[str] = frozenset()
    probe: Probe | None = None
    minutes: float = 0.0

    def conditions(self) -> tuple[Fault, ...]:
        """The faults and fuse moves as the circuit sees them."""
        faults = [self.machine.fault(fault_id) for fault_id in self.faults]
        faults += [Fault(id=f"{fuse} out", part=fuse, edit=Open()) for fuse in sorted(self.out)]
        for fuse in sorted(self.bigger):
            amps = self.machine.circuit[fuse].amps * BIGGER
            faults.append(Fault(id=f"{fuse} bigger", part=fuse, edit=Change(field="amps", value=amps)))
        return tuple(faults)

    def operation(self) -> Operation:
        """The machine as it stands, solved."""
        return operate(self.machine, self.positions, self.conditions(), self.state)


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One act done: where things stand now, the sentence or reading shown, and what it told in comparable form."""

    act: Act
    situation: Situation
    shown: str
    told: object = None
    reading: str = ""
    minutes: float = 0.0


def begin(machine: Machine, faults: Iterable[str] = ()) -> Situation:
    """A machine at rest with these faults in it."""
    planted = tuple(faults)
    for fault in planted:
        machine.fault(fault)
    return Situation(machine=machine, planted=planted, faults=planted, positions=machine.positions())


def work(machine: Machine, faults: Iterable[str], acts: Iterable[Act]) -> Iterator[Step]:
    """Do acts on a machine one after another; yields a Step for each, lazily."""
    situation = begin(machine, faults)
    for act in acts:
        step = apply(situation, act)
        situation = step.situation
        yield step


def apply(situation: Situation, act: Act) -> Step:
    """Do one act. Raises OperationError for a control, position, terminal or part that is not there."""
    match act:
        case Operate():
            step = _moved(replace(situation, positions=situation.machine.moved(
                situation.positions, **{act.control: act.position})), act, OPERATE_MINUTES)
        case Probe():
            step = _probed(situation, act)
        case Look():
            step = _looked(situation, act)
        case MoveFuse():
            step = _fuse(situation, act)
        case Repair():
            step = _repaired(situation, act)
        case Plant():
            step = _planted(situation, act)
        case Find():
            _part(situation, act.part)
            step = Step(act=act, situation=situation, shown="noted")
        case Prepare() | Verify() | HandBack():
            step = Step(act=act, situation=situation, shown="noted")
        case Again():
            return Step(act=act, situation=begin(situation.machine, situation.planted), shown="noted")
    spent = replace(step.situation, minutes=round(situation.minutes + step.minutes, 3))
    return replace(step, situation=spent)


def alike(mine: object, theirs: object) -> bool:
    """Whether a person could not tell two things shown apart: what ``told`` holds, compared with a workshop's eye."""
    match mine, theirs:
        case ("lamp", mine_words), ("lamp", their_words):
            return bool(set(mine_words) & set(their_words))
        case ("volts", float(mine_volts)), ("volts", float(their_volts)):
            # A tenth of a volt or three parts in a hundred is about what a careful reader would call different.
            return abs(mine_volts - their_volts) <= max(0.1, 0.03 * abs(mine_volts))
        case (("noticed", mine_seen, mine_reading), ("noticed", their_seen, their_reading)):
            same = mine_reading is None or their_reading is None or alike(mine_reading, their_reading)
            return mine_seen == their_seen and same
    return mine == theirs


def _moved(situation: Situation, act: Act, minutes: float, prefix: str = "") -> Step:
    """Solve after something changed: what a person notices, and what an instrument left in place shows now."""
    state, noticed = _settled(situation.machine, *_as_it_stands(situation))
    seen = tuple(notice for notice in noticed if notice.text)
    situation = replace(situation, state=state)
    reading, told_reading = "", None
    if situation.probe is not None:
        reading, told_reading = _read(situation, situation.probe)
    sentences = tuple(notice.text for notice in seen if notice.word != "out")
    return Step(
        act=act, situation=situation, minutes=minutes, reading=reading,
        shown=" ".join(filter(None, (prefix, *sentences))) or QUIET,
        told=("noticed", frozenset((notice.part, notice.word) for notice in seen), told_reading),
    )


def _read(situation: Situation, probe: Probe) -> tuple[str, object]:
    return _measured(situation.machine, *_as_it_stands(situation), probe)


# A class of thirty does much the same on the same machine, and so does each suspect that is tried against their work:
# what was settled once is kept, as small values only.
def _as_it_stands(situation: Situation) -> tuple:
    return (tuple(situation.positions.items()), situation.conditions(), situation.state)


@lru_cache(maxsize=100_000)
def _settled(
    machine: Machine, positions: tuple[tuple[str, str], ...], conditions: tuple[Fault, ...], state: State
) -> tuple[State, tuple[Notice, ...]]:
    now = operate(machine, dict(positions), conditions, state)
    return now.state, tuple(notice for notice in now.noticed if notice.text or notice.touch)


@lru_cache(maxsize=100_000)
def _measured(
    machine: Machine, positions: tuple[tuple[str, str], ...], conditions: tuple[Fault, ...], state: State, probe: Probe
) -> tuple[str, object]:
    now = operate(machine, dict(positions), conditions, state)
    first, second = probe.leads
    if probe.instrument == "lamp":
        reading = TestLamp(clip=first, tip=second).read(now)
        return reading.shown, ("lamp", reading.accepts)
    if probe.instrument == "volts":
        reading = Multimeter("volts", black=first, red=second).read(now)
        return reading.shown, ("volts", reading.value) if reading.value is not None else ("text", reading.shown)
    raise OperationError(f"there is no instrument '{probe.instrument}'; there are {', '.join(INSTRUMENTS)}.")


def _probed(situation: Situation, act: Probe) -> Step:
    minutes = 0.0
    before = situation.probe.leads if situation.probe else ()
    for lead in act.leads:
        terminal = Terminal.read(lead)
        if terminal not in situation.machine.points:
            raise OperationError(f"a lead cannot be put on {lead}; it is not among the test points.")
        if lead not in before:
            minutes += situation.machine.points[terminal].minutes
    situation = replace(situation, probe=act)
    shown, told = _read(situation, act)
    return Step(act=act, situation=situation, shown=shown, reading=shown, told=told, minutes=minutes)


def _looked(situation: Situation, act: Look) -> Step:
    part = _part(situation, act.part)
    present = [fault for fault in situation.faults if part_of(fault) == act.part]
    looks = [situation.machine.notes[fault].looks for fault in present]
    if act.part in situation.state.melted:
        looks.append("The wire inside is melted through.")
    if act.part in situation.out:
        looks.append("It is out of its holder.")
    _, noticed = _settled(situation.machine, *_as_it_stands(situation))
    looks += [notice.touch for notice in noticed if notice.part == part.id and notice.touch]
    shown = " ".join(dict.fromkeys(looks)) or "Nothing to see from outside."
    ends = {*part.terminals, getattr(part, "start", None), getattr(part, "end", None)}
    points = situation.machine.points
    minutes = max([LOOK_MINUTES, *(points[terminal].minutes for terminal in ends if terminal in points)])
    return Step(act=act, situation=situation, shown=shown, told=("look", shown), minutes=minutes)


def _fuse(situation: Situation, act: MoveFuse) -> Step:
    part = _part(situation, act.part)
    if not isinstance(part, Fuse):
        raise OperationError(f"{act.part} is a {part.word}, not a fuse.")
    if act.to not in FUSE_MOVES:
        raise OperationError(f"a fuse cannot be '{act.to}'; it can be {', '.join(FUSE_MOVES)}.")
    changed = replace(situation, out=situation.out | {part.id} if act.to == "out" else situation.out - {part.id})
    if act.to in ("new", "bigger"):
        changed = replace(
            changed,
            faults=tuple(fault for fault in changed.faults if part_of(fault) != part.id),
            state=replace(changed.state, melted=changed.state.melted - {part.id}),
            bigger=changed.bigger | {part.id} if act.to == "bigger" else changed.bigger - {part.id},
        )
    words = {
        "out": f"{part.id} is out.", "in": f"{part.id} is back in its holder.",
        "new": f"A new {part.amps:g} A fuse is in {part.id}.",
        "bigger": f"A {part.amps * BIGGER:g} A fuse is in {part.id}'s holder.",
    }
    return _moved(changed, act, 1.0, words[act.to])


def _repaired(situation: Situation, act: Repair) -> Step:
    part = _part(situation, act.part)
    present = [fault for fault in situation.faults if part_of(fault) == part.id]
    changed = replace(
        situation,
        faults=tuple(fault for fault in situation.faults if fault not in present),
        state=replace(situation.state, melted=situation.state.melted - {part.id}),
        bigger=situation.bigger - {part.id},
    )
    words = f"{part.word.capitalize()} {part.id} ({part.title}) is put right as the manual says."
    return _moved(changed, act, RENEW_MINUTES, words)


def _planted(situation: Situation, act: Plant) -> Step:
    situation.machine.fault(act.fault)
    rest = tuple(fault for fault in situation.faults if fault != act.fault)
    faults = (*rest, act.fault) if act.present == "yes" else rest
    part = part_of(act.fault)
    state = replace(situation.state, melted=situation.state.melted - {part})
    return _moved(replace(situation, faults=faults, state=state), act, 0.0)


def _part(situation: Situation, part_id: str):
    try:
        return situation.machine.circuit[part_id]
    except KitError as error:
        raise OperationError(str(error)) from error
