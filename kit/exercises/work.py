"""Work on a machine: acts, one after another, and what each of them shows.

The bay and the marking both go through ``apply``, so a mark can never rest on anything but what a learner was shown.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace

from kit.circuit import Change, Fault, Fuse, Open, Terminal
from kit.errors import KitError, OperationError
from kit.instruments import Multimeter, TestLamp
from kit.machines import Machine, Operation
from kit.machines.operation import operate
from kit.solve import AT_REST, State

QUIET = "Nothing lights, nothing clicks, nothing turns."
OPERATE_MINUTES = 0.2
LOOK_MINUTES = 1.0
RENEW_MINUTES = 10.0
INSTRUMENTS = {"lamp": ("test lamp", "clip", "tip"), "volts": ("multimeter, volts", "black lead", "red lead")}
# What can be done with a fuse: out of its holder, the same one back in, a new one of the same rating, a bigger one.
FUSE_MOVES = ("out", "in", "new", "bigger")
BIGGER = 2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Operate:
    """Move one control to one position."""

    control: str
    position: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Probe:
    """Put an instrument's two leads on two terminals: clip and tip, or black and red."""

    instrument: str
    leads: tuple[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """Look closely at a part."""

    part: str


@dataclass(frozen=True, slots=True, kw_only=True)
class MoveFuse:
    """Take a fuse out, put it back, fit a new one of the same rating, or a bigger one."""

    part: str
    to: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Prepare:
    """Tick one step of getting ready safely."""

    step: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Find:
    """State what is wrong (``role`` fault) or what made it happen (``role`` cause), and the readings that show it."""

    role: str
    part: str
    fault: str
    readings: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Repair:
    """Mend or renew a part."""

    part: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Verify:
    """Declare the original complaint gone."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Plant:
    """Set a fault (``present`` yes) or take it away again (no): open practice only, never on a job."""

    fault: str
    present: str


@dataclass(frozen=True, slots=True, kw_only=True)
class HandBack:
    """Hand the machine back to its owner: the job is over and is marked."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Again:
    """Work the same job again from the start, for practice; what was done before stays recorded and marked."""


Act = Operate | Probe | Look | MoveFuse | Prepare | Find | Repair | Verify | HandBack | Again | Plant
ACTS: Mapping[str, type] = {
    "operate": Operate, "probe": Probe, "look": Look, "fuse": MoveFuse, "prepare": Prepare, "find": Find,
    "repair": Repair, "verify": Verify, "hand back": HandBack, "again": Again, "plant": Plant,
}
NAMES = {kind: name for name, kind in ACTS.items()}


def act_from_fields(fields: Mapping[str, object]) -> Act:
    """An act from a record's or a widget's fields (``act`` names its kind); raises OperationError for nonsense."""
    kind = ACTS.get(str(fields.get("act")))
    if kind is None:
        raise OperationError(f"there is no act '{fields.get('act')}'; there are {', '.join(ACTS)}.")
    values: dict[str, object] = {}
    for name in kind.__dataclass_fields__:
        value = fields.get(name, () if name == "readings" else None)
        if name == "leads":
            two = isinstance(value, (list, tuple)) and len(value) == 2
            if not (two and all(isinstance(lead, str) for lead in value)):
                raise OperationError("a probe needs two leads, like [\"G1.-\", \"F1.2\"].")
            value = tuple(value)
        elif name == "readings":
            if not (isinstance(value, (list, tuple)) and all(type(number) is int for number in value)):
                raise OperationError("readings are a list of numbers from the test sheet.")
            value = tuple(value)
        elif not isinstance(value, str) or len(value) > 200:
            raise OperationError(f"act {fields.get('act')} needs '{name}' as a short text.")
        values[name] = value
    return kind(**values)


def fields_from_act(act: Act) -> dict[str, object]:
    """An act as plain fields for a record, the other way round from ``act_from_fields``."""
    fields: dict[str, object] = {"act": NAMES[type(act)]}
    for name in type(act).__dataclass_fields__:
        value = getattr(act, name)
        fields[name] = list(value) if isinstance(value, tuple) else value
    return fields


@dataclass(frozen=True, slots=True, kw_only=True)
class Situation:
    """Where the work on a machine stands. ``faults`` are the ids still in it; ``lead_marks`` where the leads are."""

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

    def operation(self, before: State | None = None) -> Operation:
        """The machine as it stands, solved going on from ``before`` (its own state if not given)."""
        return operate(self.machine, self.positions, self.conditions(), self.state if before is None else before)


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One act done: where things stand now, the sentence or reading shown, and what it told in comparable form."""

    act: Act
    situation: Situation
    shown: str
    told: object = None
    reading: str = ""
    minutes: float = 0.0
    noticed: tuple[str, ...] = field(default=())


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
    now = situation.operation()
    situation = replace(situation, state=now.state)
    seen = tuple(notice for notice in now.noticed if notice.text)
    reading, told_reading = "", None
    if situation.probe is not None:
        reading, told_reading = _read(situation, situation.probe)
    sentences = tuple(notice.text for notice in seen if notice.word != "out")
    return Step(
        act=act, situation=situation, minutes=minutes, noticed=sentences, reading=reading,
        shown=" ".join(filter(None, (prefix, *sentences))) or QUIET,
        told=("noticed", frozenset((notice.part, notice.word) for notice in seen), told_reading),
    )


def _read(situation: Situation, probe: Probe) -> tuple[str, object]:
    now = situation.operation()
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
    present = [fault for fault in situation.faults if fault.split(" ")[0] == act.part]
    looks = [situation.machine.notes[fault].looks for fault in present]
    if act.part in situation.state.melted:
        looks.append("The wire inside is melted through.")
    if act.part in situation.out:
        looks.append("It is out of its holder.")
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
            faults=tuple(fault for fault in changed.faults if fault.split(" ")[0] != part.id),
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
    present = [fault for fault in situation.faults if fault.split(" ")[0] == part.id]
    changed = replace(
        situation,
        faults=tuple(fault for fault in situation.faults if fault not in present),
        state=replace(situation.state, melted=situation.state.melted - {part.id}),
        bigger=situation.bigger - {part.id},
    )
    return _moved(changed, act, RENEW_MINUTES, f"{part.word.capitalize()} {part.id} ({part.title}) is put right as the manual says.")


def _planted(situation: Situation, act: Plant) -> Step:
    situation.machine.fault(act.fault)
    rest = tuple(fault for fault in situation.faults if fault != act.fault)
    faults = (*rest, act.fault) if act.present == "yes" else rest
    part = act.fault.split(" ")[0]
    state = replace(situation.state, melted=situation.state.melted - {part})
    return _moved(replace(situation, faults=faults, state=state), act, 0.0)


def _part(situation: Situation, part_id: str):
    try:
        return situation.machine.circuit[part_id]
    except KitError as error:
        raise OperationError(str(error)) from error
