"""A machine: its circuit, controls, stages, test points, faults, cautions, cases and what it does when healthy."""

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, field
from itertools import product
from types import MappingProxyType

from kit.circuit import Alternator, Circuit, Fault, Stator, Terminal, part_of
from kit.errors import FaultError, OperationError
from kit.machines.cases import Case
from kit.machines.engine import Engine
from kit.machines.operation import Operation, operate
from kit.solve.fuses import HELD_SECONDS


@dataclass(frozen=True, slots=True, kw_only=True)
class Control:
    """Something the operator moves; the first position is the one at rest.

    One that ``springs_back`` goes to rest when it is let go. A key goes only from its last position to the one it
    ``springs_to``: from start to on.
    """

    id: str
    title: str
    positions: tuple[str, ...]
    closes: Mapping[str, tuple[str, ...]]
    springs_back: bool = False
    springs_to: str = ""

    @property
    def rest(self) -> str:
        return self.positions[0]

    def let_go(self, position: str) -> str:
        """Where it goes from this position when the hand leaves it; the position itself where it stays."""
        if self.springs_to and position == self.positions[-1]:
            return self.springs_to
        return self.rest if self.springs_back else position


@dataclass(frozen=True, slots=True, kw_only=True)
class Stage:
    """A stretch of the circuit with one job."""

    id: str
    about: str
    parts: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Point:
    """A place where a lead can be put: where it sits, and the minutes it takes to reach and read."""

    terminal: Terminal
    where: str
    minutes: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Rule:
    """What the healthy machine does whenever the controls stand as ``when`` says: part id to a word."""

    when: Mapping[str, str]
    then: Mapping[str, str]
    line: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class FaultNote:
    """What a close look at a fault shows, what caused it, and what puts it right."""

    looks: str
    cause: str
    repair: str


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Machine:
    """One machine, as read from its file. Nothing here changes; an operation is a value of its own.

    Machines are told apart by identity (the fleet hands out one of each), so that they can be keys.
    """

    id: str
    title: str
    about: str
    volts: float
    circuit: Circuit
    controls: Mapping[str, Control]
    stages: Mapping[str, Stage]
    points: Mapping[Terminal, Point]
    faults: Mapping[str, Fault]
    notes: Mapping[str, FaultNote]
    truth: tuple[Rule, ...]
    cautions: Mapping[str, str]
    places: Mapping[str, object]
    digest: str
    engine: Engine | None = None
    cases: Mapping[str, Case] = field(default_factory=lambda: MappingProxyType({}))
    data: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))

    def positions(self, **given: str) -> Mapping[str, str]:
        """Every control's position: those given, the rest at rest. Raises OperationError for an unknown one."""
        full = {control.id: control.rest for control in self.controls.values()}
        return MappingProxyType(self._moved(full, given))

    def moved(self, positions: Mapping[str, str], **given: str) -> Mapping[str, str]:
        """The same positions with some controls moved."""
        return MappingProxyType(self._moved(dict(positions), given))

    def let_go(self, positions: Mapping[str, str]) -> dict[str, str]:
        """Where these controls go when no hand holds them any more."""
        return {name: self.controls[name].let_go(position) for name, position in positions.items()}

    def in_words(self, positions: Mapping[str, str], *, unlike: Mapping[str, str] = MappingProxyType({})) -> list[str]:
        """Controls and how they stand, such as ``key switch on``; those that stand as in ``unlike`` are left out."""
        return [
            f"{self.controls[name].title} {position}" for name, position in positions.items()
            if unlike.get(name) != position
        ]

    def all_positions(self) -> Iterator[Mapping[str, str]]:
        """Every combination of the controls' positions, in the file's order."""
        names = list(self.controls)
        for combination in product(*(self.controls[name].positions for name in names)):
            yield MappingProxyType(dict(zip(names, combination, strict=True)))

    def closed_switches(self, positions: Mapping[str, str], *, running: bool = False) -> frozenset[str]:
        """The ids of the switches these positions close, with the engine standing or ``running``.

        A switch the engine opens that no control works is closed while it stands. What an engine turns (G2.idle,
        G2.fast) stands with it; where a control asks for fast, it is not at idle.
        """
        closed = frozenset(
            switch
            for name, position in positions.items()
            for switch in self.controls[name].closes.get(position, ())
        )
        if self.engine is None:
            return closed
        turned = [part.speeds for part in self.circuit.parts if isinstance(part, (Alternator, Stator))]
        if running:
            closed = closed.union(self.engine.closes).difference(self.engine.opens)
            return closed.difference(idle for idle, fast in turned if fast in closed)
        by_hand = {switch for control in self.controls.values() for shut in control.closes.values() for switch in shut}
        standing = (switch for switch in self.engine.opens if switch not in by_hand)
        return closed.union(standing).difference(*turned)

    def as_it_runs(self, circuit: Circuit, *, running: bool) -> Circuit:
        """This machine's circuit, faults planted, with its engine standing or ``running``: a starter overruns then."""
        if self.engine is None or not running:
            return circuit
        starter = self.circuit[self.engine.cranked_by]
        return circuit.plant(self.engine.overrun(starter.load_amps))

    def fault(self, fault_id: str) -> Fault:
        """A fault by its id; raises FaultError with the part's own faults where it is unknown."""
        if fault_id in self.faults:
            return self.faults[fault_id]
        part = part_of(fault_id)
        near = [known for known in self.faults if part_of(known) == part]
        there = f"{part} can have: {', '.join(near)}." if near else f"there is no part {part}."
        raise FaultError(f"{self.id} has no fault '{fault_id}'; {there}")

    def stage_of(self, part_id: str) -> Stage:
        """The stage a part belongs to."""
        for stage in self.stages.values():
            if part_id in stage.parts:
                return stage
        raise OperationError(f"{self.id} has no part {part_id}.")

    def operate(
        self, *faults: str | Fault, wiggled: Collection[str] = (), warm: Collection[str] = (),
        seconds: float = HELD_SECONDS, **positions: str,
    ) -> Operation:
        """Set the controls from rest, with these faults planted (by id or as values), and see what happens.

        A control that is not named stays at rest; ``wiggled`` and ``warm`` are ids of parts, for faults that come only
        then; ``seconds`` how long it is left so: 5 unless you say, and a fuse overloaded a little may take a minute.
        Raises OperationError for an unknown control, position or part.
        """
        for part in (*wiggled, *warm):
            if part not in self.circuit:
                raise OperationError(f"{self.id} has no part {part} to wiggle or warm; name parts like W7.")
        planted = tuple(self.fault(fault) if isinstance(fault, str) else fault for fault in faults)
        return operate(
            self, self.positions(**positions), planted, wiggled=frozenset(wiggled), warm=frozenset(warm),
            seconds=seconds,
        )

    def start(
        self, *faults: str | Fault, wiggled: Collection[str] = (), warm: Collection[str] = (), **positions: str
    ) -> Operation:
        """Start the engine as its file says, let go of what springs back, and move the controls named here.

        What comes of it with these faults in the machine is in the operation: ``running`` or not. Raises
        OperationError for a machine with no engine.
        """
        if self.engine is None:
            raise OperationError(f"{self.id} has no engine to start.")
        first, *more = self.engine.start
        now = self.operate(*faults, wiggled=wiggled, warm=warm, **first)
        for moves in more:
            now = now.then(wiggled=wiggled, **moves)
        free = self.let_go(now.positions)
        for moves in (free, {**free, **positions}):
            if any(now.positions[name] != position for name, position in moves.items()):
                now = now.then(wiggled=wiggled, **moves)
        return now

    def _moved(self, full: dict[str, str], given: Mapping[str, str]) -> dict[str, str]:
        for name, position in given.items():
            if name not in self.controls:
                raise OperationError(f"{self.id} has no control '{name}'; it has {', '.join(self.controls)}.")
            known = self.controls[name].positions
            if position not in known:
                raise OperationError(f"{name} cannot be '{position}'; it can be {' or '.join(known)}.")
            full[name] = position
        return full
