"""Whether a case's tests decide: they show what the case says under its fault, and something else without it.

Every test is done on the machine with the case's faults in it, on the sound machine, and on each rival the usual wrong
conclusion stands for. The case is decided when all tests show under the fault what it says, and on each of the others
at least one of them does not. A test done elsewhere (a spark tester, a mechanical gauge) is not computed.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from kit.circuit import Battery, Fault, Open
from kit.instruments import ClampMeter, Hydrometer, LedLamp, LoadTester, Multimeter, TestLamp
from kit.instruments.lamp import LOADING_WATTS
from kit.machines import Machine, Operation
from kit.machines.cases import ELSEWHERE, Case, CaseTest
from kit.machines.expected import read_rule
from kit.machines.operation import operate
from kit.solve.branches import network

NOTHING = "Nothing to see from outside."
MELTED = "The wire inside is melted through."
NOT_COMPUTED = "not computed: done elsewhere"
METER_GONE = "the meter's own fuse blows"
FAULT, SOUND = "the fault", "sound"


@dataclass(frozen=True, slots=True)
class Showing:
    """What one test shows on one machine, and whether that is what the case says of the fault."""

    shown: str
    fits: bool
    computed: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """A case held against the solver. ``shown``: "the fault", "sound" and each rival to its tests' showings.

    ``does``: parts that do something else in the tried positions than the case says, with what they do; ``unlike``
    tells whether anything named there differs from the sound machine. ``unparted`` are those its computed tests
    cannot tell from the fault; ``left`` those that only a test done elsewhere may tell apart.
    """

    case: Case
    does: tuple[tuple[str, str], ...]
    unlike: bool
    shown: dict[str, tuple[Showing, ...]]
    unparted: tuple[str, ...]
    left: tuple[str, ...]

    @property
    def found(self) -> bool:
        """Whether each computed test shows under the fault what the case says."""
        return all(showing.fits for showing in self.shown[FAULT])

    @property
    def decided(self) -> bool:
        """Whether the tests find the fault and part it from the sound machine and every rival."""
        return self.found and not self.unparted and not self.does and self.unlike

    def complaints(self) -> tuple[str, ...]:
        """What is wrong with the case, in words; empty where it is decided."""
        name = f"{self.case.name}:"
        found = [
            f"{name} {part} is '{word or 'nothing noticed'}', not '{self.case.does[part]}'" for part, word in self.does
        ]
        if not self.unlike:
            found.append(f"{name} what it does in the tried positions, the sound machine does as well")
        for number, (test, showing) in enumerate(zip(self.case.tests, self.shown[FAULT], strict=True), 1):
            if not showing.fits:
                found.append(f"{name} test {number} ({test.tool}) shows '{showing.shown}', not '{test.shows}'")
        alike = ("a sound machine" if other == SOUND else other for other in self.unparted)
        return (*found, *(f"{name} its tests show the same with {other}" for other in alike))


def decide(machine: Machine, case: Case) -> Verdict:
    """Do all of a case's tests on its fault, the sound machine and its rivals."""
    others = {SOUND: (), **{rival: (rival,) for rival in case.rivals}}
    shown = {FAULT: tuple(perform(machine, case.faults, test) for test in case.tests)}
    shown |= {name: tuple(perform(machine, faults, test) for test in case.tests) for name, faults in others.items()}
    alike = [name for name in others if all(showing.fits for showing in shown[name])]
    somewhere = any(test.tool == ELSEWHERE for test in case.tests)
    # One test at least is computed for the fault to differ from the sound machine, unless all are done elsewhere.
    computed = any(test.tool != ELSEWHERE for test in case.tests)
    left = [name for name in alike if somewhere and (name != SOUND or not computed)]
    now = tried(machine, case, case.faults)
    sound = tried(machine, case, ())
    return Verdict(
        case=case, shown=shown, left=tuple(left), unparted=tuple(name for name in alike if name not in left),
        does=tuple((part, now.word(part)) for part, word in case.does.items() if word not in noticed(now, part)),
        unlike=any(noticed(now, part) != noticed(sound, part) for part in case.does),
    )


def noticed(now: Operation, part: str) -> tuple[str, ...]:
    """Every word noticed of a part: what it does, and what stands beside it (warm, smells); none counts as one."""
    return tuple(notice.word for notice in now.noticed if notice.part == part) or ("",)


def tried(machine: Machine, case: Case, faults: Sequence[str]) -> Operation:
    """The machine after the moves that show the complaint."""
    first, *more = case.tried
    now = machine.operate(*faults, wiggled=case.wiggled, warm=case.warm, **first)
    for moves in more:
        now = now.then(wiggled=case.wiggled, **moves)
    return now


def perform(machine: Machine, faults: Sequence[str], test: CaseTest) -> Showing:
    """One test of a case on a machine with these faults in it."""
    if test.tool == ELSEWHERE:
        return Showing(NOT_COMPUTED, fits=True, computed=False)
    now = stand(machine, faults, test)
    if test.tool == "notice":
        word = now.word(test.places[0])
        return Showing(word or "nothing", word == test.shows)
    if test.tool == "look":
        text = seen(now, test.places[0])
        return Showing(text, test.shows.lower() in text.lower())
    if test.tool == "hydrometer":
        return _gravities(now, test)
    reading = _instrument(machine, test).read(now)
    if reading.meter_fuse_blown:
        return Showing(METER_GONE, fits=False)
    return Showing(reading.shown, read_rule(test.tool, test.shows).fits(reading.shown, reading.value, reading.accepts))


def stand(machine: Machine, faults: Sequence[str], test: CaseTest) -> Operation:
    """The machine as it stands for a test: started first where the engine runs, parts unplugged, positions set."""
    wiggled, warm = frozenset(test.wiggled), frozenset(test.warm)
    planted = tuple(machine.fault(fault) for fault in faults)
    unplugged = tuple(
        Fault(id=f"{part} off", part=part, edit=Open(at=at)) for part in test.off for at in machine.circuit[part].inside
    )
    if test.running:
        now = machine.start(*planted, warm=warm)
        now = operate(machine, now.positions, planted + unplugged, now.state, wiggled, warm, now.engine)
    else:
        now = operate(machine, machine.positions(), planted + unplugged, wiggled=wiggled, warm=warm)
    for moves in test.moves:
        now = now.then(wiggled=wiggled, **moves)
    return now


def seen(now: Operation, part: str) -> str:
    """What a close look at a part shows, and a hand on it feels."""
    notes = now.machine.notes
    looks = [notes[fault.id].looks for fault in now.showing if fault.part == part and fault.id in notes]
    if part in now.state.melted:
        looks.append(MELTED)
    looks += [notice.touch for notice in now.noticed if notice.part == part and notice.touch]
    return " ".join(dict.fromkeys(looks)) or NOTHING


def _gravities(now: Operation, test: CaseTest) -> Showing:
    """All cells drawn one after another: how far the highest and the lowest lie apart."""
    battery = next(part for part in network(now.circuit).parts if part.id == test.places[0])
    assert isinstance(battery, Battery)
    values = [Hydrometer(battery=battery.id, cell=cell).read(now).value for cell in range(1, battery.cells + 1)]
    if None in values:
        return Showing("sealed", fits=False)
    spread = round(max(values) - min(values), 3)
    return Showing(f"{spread:.3f} apart", read_rule(test.tool, test.shows).fits("", spread))


def _instrument(machine: Machine, test: CaseTest) -> TestLamp | LedLamp | LoadTester | ClampMeter | Multimeter:
    """The tool of a test, put where the test has it."""
    match test.tool:
        case "lamp":
            return TestLamp(clip=test.places[0], tip=test.places[1], volts=machine.volts)
        case "loading lamp":
            return TestLamp(clip=test.places[0], tip=test.places[1], volts=machine.volts, watts=LOADING_WATTS)
        case "led lamp":
            return LedLamp(clip=test.places[0], tip=test.places[1])
        case "load tester":
            return LoadTester(minus=test.places[0], plus=test.places[1], cca=test.cca)
        case "clamp":
            return ClampMeter(wire=test.places[0])
    return Multimeter(test.tool, black=test.places[0], red=test.places[1])
