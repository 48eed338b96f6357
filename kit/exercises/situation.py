"""Where the work on a machine stands, and what it shows as it stands with an instrument on it or none."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import lru_cache
from types import MappingProxyType
from typing import TYPE_CHECKING

from kit.circuit import Change, Fault, Open, Part, ShortTo, part_of
from kit.exercises.acts import BIGGER, Act, Probe
from kit.exercises.tray import OWN_FUSES, Tool, told, tool
from kit.instruments import Reading, attach, put_on
from kit.machines import Machine, Notice, Operation
from kit.machines.engine import ENGINE, STILL, EngineState
from kit.machines.operation import operate
from kit.solve import AT_REST, State

if TYPE_CHECKING:
    from kit.exercises.tried import Complaint

NO_ANSWERS: Mapping[str, str] = MappingProxyType({})


@dataclass(frozen=True, slots=True, kw_only=True)
class Situation:
    """Where the work on a machine stands. ``planted`` faults were there first, ``faults`` are left.

    ``out`` and ``bigger`` are fuses, ``off`` what is unplugged, ``swapped`` what has a spare in its place, ``warm``
    what is warm; ``spent`` the instruments whose own fuse has gone. ``prepared`` steps are ticked, ``proved``
    instruments proved; ``wiggled`` is a part held in the hand and moved; ``answers`` are the owner's, by question;
    ``looks`` what a close look at a fault shows here, by its id, where it is not the usual. ``brief``: nobody looks on,
    so nothing is worked out for show only. ``heated`` parts were warmed by a current, last at ``heated_at`` minutes.
    ``complaint``: the owner's, followed through the work where it may outlast a repair.
    """

    machine: Machine
    planted: tuple[str, ...]
    faults: tuple[str, ...]
    positions: Mapping[str, str]
    state: State = AT_REST
    engine: EngineState = STILL
    out: frozenset[str] = frozenset()
    bigger: frozenset[str] = frozenset()
    off: frozenset[str] = frozenset()
    swapped: frozenset[str] = frozenset()
    warm: frozenset[str] = frozenset()
    spent: frozenset[str] = frozenset()
    prepared: frozenset[str] = frozenset()
    proved: frozenset[str] = frozenset()
    wiggled: str = ""
    answers: Mapping[str, str] = field(default_factory=lambda: NO_ANSWERS)
    looks: Mapping[str, str] = field(default_factory=lambda: NO_ANSWERS)
    heated: frozenset[str] = frozenset()
    heated_at: float = 0.0
    probe: Probe | None = None
    minutes: float = 0.0
    brief: bool = False
    complaint: "Complaint | None" = None

    def conditions(self) -> tuple[Fault, ...]:
        """The faults, fuse moves and plugs as the circuit sees them."""
        faults = [
            self.machine.fault(fault_id) for fault_id in self.faults if part_of(fault_id) not in self.swapped
        ]
        faults = [fault for fault in faults if not (fault.part in self.off and _within(fault))]
        faults += [Fault(id=f"{fuse} out", part=fuse, edit=Open()) for fuse in sorted(self.out)]
        for part in sorted(self.off):
            faults += unplugged(self.machine.circuit[part])
        for fuse in sorted(self.bigger):
            amps = self.machine.circuit[fuse].amps * BIGGER
            faults.append(Fault(id=f"{fuse} bigger", part=fuse, edit=Change(field="amps", value=amps)))
        return tuple(faults)

    def operation(self) -> Operation:
        """The machine as it stands, solved with the instrument on it."""
        return _operation(*self._stands(wiggled=self.wiggled), fresh=False)[0]

    def seen(self, *, fresh: bool = False, wiggled: str = "") -> "Seen":
        """What is seen as it stands; ``fresh``: its instrument has just been put on; ``wiggled``: a part moved."""
        return _seen(*self._stands(wiggled=wiggled), fresh)

    def by_itself(self) -> str:
        """What it does before anything is done that a sound one would not, in words; empty where it does nothing."""
        sound = {notice.text for notice in replace(self, planted=(), faults=()).seen().noticed}
        here = [notice.text for notice in self.seen().noticed if notice.text and notice.text not in sound]
        return f"Nothing done yet. {' '.join(here)}" if here else ""

    def standing(self) -> "Standing":
        """What is seen with the engine standing, whatever it would do."""
        machine, positions, conditions, state, _, probe, spent, wiggled, warm = self._stands(wiggled="")
        return _standing(machine, positions, conditions, state, probe, spent, wiggled, warm)

    def _stands(self, *, wiggled: str) -> tuple:
        probe = None if self.probe is None else replace(self.probe, hold="", reason="")
        return (
            self.machine, tuple(self.positions.items()), self.conditions(), self.state, self.engine, probe, self.spent,
            frozenset({wiggled} - {""}), self.warm,
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One act done: where things stand now, the sentence or reading shown, and what it told in comparable form."""

    act: Act
    situation: Situation
    shown: str
    told: object = None
    reading: str = ""
    minutes: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Seen:
    """What a machine shows: how it stands then, what a person notices, what the instrument shows and tells."""

    state: State
    engine: EngineState
    noticed: tuple[Notice, ...]
    reading: str
    told: object
    spent: frozenset[str]

    @property
    def warm(self) -> frozenset[str]:
        """The parts a hand feels the warmth of."""
        return frozenset(notice.part for notice in self.noticed if notice.touch)

    @property
    def words(self) -> frozenset[tuple[str, str]]:
        """What is noticed by part and word, to compare."""
        return frozenset((notice.part, notice.word) for notice in self.noticed if notice.text)


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """What a machine shows with its engine standing: words, the instrument's tale, and whether the engine fires."""

    words: frozenset[tuple[str, str]]
    told: object
    fires: bool


def unplugged(part: Part) -> Iterator[Fault]:
    """A part with its plug or its wire off: nothing leads through it any more."""
    for path in part.inside:
        yield Fault(id=f"{part.id} off {path}".rstrip(), part=part.id, edit=Open(at=path))


def _within(fault: Fault) -> bool:
    """Whether a fault joins two terminals of its own part: unplugged it joins nothing of the loom."""
    edit = fault.edit
    return isinstance(edit, ShortTo) and edit.start.part == edit.end.part == fault.part


# A class of thirty does much the same on the same machine, and so does each suspect that is tried against their work:
# what was settled once is kept, as small values only.
@lru_cache(maxsize=100_000)
def _seen(
    machine: Machine, positions: tuple, conditions: tuple[Fault, ...], state: State, engine: EngineState,
    probe: Probe | None, spent: frozenset[str], wiggled: frozenset[str], warm: frozenset[str], fresh: bool,
) -> Seen:
    now, reading = _operation(
        machine, positions, conditions, state, engine, probe, spent, wiggled, warm, fresh=fresh
    )
    own = frozenset(OWN_FUSES.values())
    gone = {name for name, fuse in OWN_FUSES.items() if fuse in now.state.melted}
    return Seen(
        state=State(closed=now.state.closed, melted=now.state.melted - own), engine=now.engine,
        noticed=tuple(
            notice for notice in now.noticed
            if (notice.text or notice.touch) and (notice.part in machine.circuit or notice.part == ENGINE)
        ),
        reading="" if reading is None else reading.shown,
        told=None if reading is None else told(probe.instrument, reading),
        spent=spent | gone,
    )


def _operation(
    machine: Machine, positions: tuple, conditions: tuple[Fault, ...], state: State, engine: EngineState,
    probe: Probe | None, spent: frozenset[str], wiggled: frozenset[str], warm: frozenset[str], *, fresh: bool,
) -> tuple[Operation, Reading | None]:
    """The machine solved with its instrument on, and the reading.

    Put on fresh, a cold filament strikes; one that was on already is simply part of the circuit.
    """
    if probe is None:
        return _bare(machine, positions, conditions, state, wiggled, warm, engine), None
    taken = tool(probe.instrument)
    made = taken.make(machine, probe.leads)
    gone = frozenset({OWN_FUSES[taken.spends]} if taken.spends in spent else ())
    if not taken.loads:
        bare = _bare(machine, positions, conditions, state, wiggled, warm, engine)
        return bare, made.read(bare)
    if fresh:
        bare = _bare(machine, positions, conditions, state, wiggled, warm, engine)
        now = put_on(bare, made.body(), melted=gone)
    else:
        before = replace(state, melted=state.melted | gone)
        wider = _with_body(machine, taken, probe.leads)
        now = replace(_bare(wider, positions, conditions, before, wiggled, warm, engine), machine=machine)
    return now, made.shows(now)


# Operations are large, and what is asked twice is asked at once: a few are kept.
@lru_cache(maxsize=64)
def _bare(
    machine: Machine, positions: tuple, conditions: tuple[Fault, ...], state: State, wiggled: frozenset[str],
    warm: frozenset[str], engine: EngineState,
) -> Operation:
    return operate(machine, dict(positions), conditions, state, wiggled, warm, engine)


@lru_cache(maxsize=100_000)
def _standing(
    machine: Machine, positions: tuple, conditions: tuple[Fault, ...], state: State, probe: Probe | None,
    spent: frozenset[str], wiggled: frozenset[str], warm: frozenset[str],
) -> Standing:
    still = _engineless(machine)
    now, reading = _operation(still, positions, conditions, state, STILL, probe, spent, wiggled, warm, fresh=False)
    seen = ((notice.part, notice.word) for notice in now.noticed if notice.text and notice.part in machine.circuit)
    return Standing(
        words=frozenset(seen), told=None if reading is None else told(probe.instrument, reading),
        fires=machine.engine.turned(now.solution, now.noticed) and machine.engine.met(now.noticed),
    )


@lru_cache(maxsize=100)
def _engineless(machine: Machine) -> Machine:
    """The machine with an engine that never fires: nothing it needs is ever there."""
    return replace(machine, engine=replace(machine.engine, needs={machine.engine.cranked_by: "never"}))


@lru_cache(maxsize=1000)
def _with_body(machine: Machine, taken: Tool, leads: tuple[str, ...]) -> Machine:
    """The machine with an instrument left on it, as one circuit."""
    return replace(machine, circuit=attach(machine.circuit, *taken.make(machine, leads).body()))
