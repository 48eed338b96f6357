"""How an invented learner works a job card: thoroughly, in haste, by guessing, or without making the machine safe.

The acts are those of the bay, one by one. Invented learners know what is behind a card, as whoever invents them must;
what they are marked on is what they show, like anybody.
"""

from collections.abc import Iterable, Mapping, Sequence

from kit.circuit import Fuse, Relay, part_of
from kit.exercises.acts import (
    TIDY,
    Act,
    Ask,
    Explain,
    Find,
    HandBack,
    Lift,
    Look,
    MoveFuse,
    Operate,
    Plug,
    Prepare,
    Press,
    Probe,
    Prove,
    Repair,
    Tidy,
    Unplug,
    Verify,
)
from kit.exercises.cards import JobCard
from kit.exercises.minutes import ends_of
from kit.exercises.repairs import WAYS, cures
from kit.exercises.tray import TRAY
from kit.machines import Machine
from kit.machines.cases import CaseTest

MINUS = "G1.-"
REASON = "which side of it is at fault?"
SECONDS = 2.0
BY_ITSELF = ("ohms", "continuity", "diode test")  # what a meter does with a battery of its own, the machine's off


class Bench:
    """The acts of one job as they come, so that a finding can point to the lines it rests on."""

    def __init__(self, job: JobCard, faults: tuple[str, ...]) -> None:
        self.job, self.faults = job, faults
        self.machine: Machine = job.machine
        self.acts: list[Act] = []
        self.wandering: tuple[int, ...] = ()
        self._stands = dict(self.machine.positions())

    def do(self, *acts: Act) -> None:
        """Do these."""
        self.acts += acts

    def stand(self, positions: Mapping[str, str]) -> None:
        """Put the controls so, those that spring back held for a moment at the end."""
        held = self._held(positions)
        for name, at in positions.items():
            if name not in held and self._stands[name] != at:
                self._stands[name] = at
                self.do(Operate(control=name, position=at))
        for name, at in held.items():
            self.do(Press(control=name, position=at, seconds=SECONDS))
            self._stands[name] = self.machine.controls[name].let_go(at)

    def _held(self, positions: Mapping[str, str]) -> dict[str, str]:
        """The controls a hand has to hold there: let go, they spring back, or to another position."""
        free = self.machine.let_go(positions)
        return {name: at for name, at in positions.items() if free[name] != at}

    def wander(self) -> None:
        """Volts here and there against battery minus."""
        points = [str(point) for point in self.machine.points if str(point) != MINUS]
        for number in self.wandering:
            self.do(Probe(instrument="volts", leads=(MINUS, points[number % len(points)])))

    def rest(self) -> None:
        """Put every control back as it was met, the last one first: a key before the isolator it hangs on."""
        self.stand(dict(reversed(self.machine.positions().items())))

    def test(self, test: CaseTest, *, reason: str = "") -> tuple[int, ...]:
        """One test, the leads down first and the machine then held so; the numbers of the lines it gives.

        What a test asks to be off comes off with everything at rest, battery minus first. Minus goes on again for a
        test that lives of the battery; all of it goes on after the test. A fuse needs no minus off.
        """
        if test.tool not in TRAY:
            return ()
        wanted: dict[str, str] = {}
        for moves in test.moves:
            wanted |= moves
        held = self._held(wanted)
        self.stand({name: at for name, at in wanted.items() if name not in held})
        self._take_off(test)
        first = len(self.acts)
        self.do(Probe(instrument=test.tool, leads=test.places, reason=reason))
        self.stand(held)
        last = len(self.acts)
        self._put_back(test)
        return tuple(range(first, last))

    def _take_off(self, test: CaseTest) -> None:
        if not test.off:
            return
        minus = self._minus_for(test)
        self.do(Lift(), *(Unplug(part=part) for part in minus))
        self.do(*(
            MoveFuse(part=part, to="out") if self._is_fuse(part) else Unplug(part=part)
            for part in test.off if part not in minus
        ))
        if test.tool not in BY_ITSELF:
            self.do(*(Plug(part=part) for part in minus if part not in test.off))

    def _put_back(self, test: CaseTest) -> None:
        if not test.off:
            return
        minus = self._minus_for(test)
        self.do(Lift())
        if test.tool not in BY_ITSELF:
            self.do(*(Unplug(part=part) for part in minus if part not in test.off))
        self.do(*(
            MoveFuse(part=part, to="in") if self._is_fuse(part) else Plug(part=part)
            for part in reversed(test.off) if part not in minus
        ))
        self.do(*(Plug(part=part) for part in minus))

    def _minus_for(self, test: CaseTest) -> tuple[str, ...]:
        """What of battery minus comes off before the test's parts do: nothing where they are fuses only."""
        if test.tool not in BY_ITSELF and all(self._is_fuse(part) for part in test.off):
            return ()
        return tuple(_isolation(self.machine))

    def _is_fuse(self, part: str) -> bool:
        return isinstance(self.machine.circuit[part], Fuse)


def worked(job: JobCard, faults: tuple[str, ...], way: str, wandering: Sequence[int] = ()) -> list[Act]:
    """The acts of a learner with this way of working: thorough, hasty, guessing or unsafe.

    ``wandering`` picks points the meter visits before the learner knows where to go, for nobody goes straight there.
    """
    bench = Bench(job, faults)
    bench.wandering = tuple(wandering)
    if way == "guessing":
        _guess(bench)
    elif job.apart:
        _ready(bench, way)
        _find_both(bench, way)
    else:
        _ready(bench, way)
        _find(bench, way)
        _hand_over(bench, way)
    return bench.acts


def _ready(bench: Bench, way: str) -> None:
    steps = [step for step in bench.job.preparations if way != "unsafe" or step != "secure"]
    bench.do(*(Prepare(step=step) for step in (steps[:2] if way == "hasty" else steps)))
    if way != "hasty":
        bench.do(*(Prove(instrument=name) for name in _tools(bench.job)), Ask(question=list(bench.job.answers)[1]))


def _tools(job: JobCard) -> list[str]:
    case = job.case()
    named = [test.tool for test in case.tests] if case is not None else ["lamp"]
    # The meter goes along on every job.
    return [name for name in dict.fromkeys((*named, "volts")) if name in TRAY and TRAY[name].proved]


def _find(bench: Bench, way: str) -> None:
    """The complaint seen, the tests that decide, the finding and its cause."""
    case, last = bench.job.case(), bench.faults[-1]
    # A battery that is flat is what came of it: whoever works well names what emptied it.
    if len(bench.faults) > 1 and not last.endswith(" blown"):
        last = bench.faults[0]
    part, _, fault = last.partition(" ")
    for moves in bench.job.moves:
        bench.stand(moves)
    bench.wander()
    if way != "hasty":
        bench.do(Look(part=part))
    reason = "" if way == "hasty" else REASON
    tests = _lamp_walk() if case is None else case.tests
    cited = tuple(number for test in tests for number in bench.test(test, reason=reason) if test.tool in TRAY)
    bench.do(Find(role="fault", part=part, fault=fault, readings=cited))
    if case is None:
        _find_the_short(bench)
    elif way != "hasty":
        bench.do(Find(role="cause", part=part_of(bench.faults[0]), fault=case.cause))


def _lamp_walk() -> tuple[CaseTest, ...]:
    """The first card has no case: a lamp on both sides of the main fuse."""
    return tuple(CaseTest(tool="lamp", places=("G1.-", tip), shows="", moves=({"key": "on"},))
                 for tip in ("F1.1", "F1.2"))


def _find_the_short(bench: Bench) -> None:
    """The first card's cause: the lamp across the empty holder, and a look at the wire."""
    part, _, fault = bench.faults[0].partition(" ")
    bench.do(*(MoveFuse(part=each, to="out") for each in ("F1", "F2", "F3")),
             Probe(instrument="lamp", leads=("F1.2", "F1.1"), reason=REASON))
    bench.stand({"key": "off"})
    bench.do(Look(part=part), Find(role="cause", part=part, fault=fault))


def _hand_over(bench: Bench, way: str) -> None:
    """Repair, try the owner's complaint and the interlocks, tidy, explain, hand back."""
    bench.do(Lift())
    bench.rest()
    off = _isolation(bench.machine)
    bench.do(*(Unplug(part=each) for each in off))
    for fault in bench.faults:
        part = part_of(fault)
        if not fault.endswith(" blown"):
            how = _way_for(bench.machine, fault)
            bench.do(Repair(part=part, how=how, steps=() if way == "hasty" else tuple(WAYS[how].steps)))
    bench.do(*(Plug(part=each) for each in off))
    if bench.job.case() is None:
        bench.do(MoveFuse(part="F1", to="new"), MoveFuse(part="F2", to="in"), MoveFuse(part="F3", to="in"))
    else:
        # Fuses the fault melted, before or as the complaint was shown, are renewed once it is gone.
        shown = bench.machine.operate(*bench.faults, **bench.job.complaint_positions)
        blown = {part_of(fault) for fault in bench.faults if fault.endswith(" blown")}
        bench.do(*(MoveFuse(part=part, to="new") for part in sorted(blown | shown.state.melted)))
    for positions in bench.job.interlocks[: 0 if way == "hasty" else 2]:
        bench.stand(positions)
        bench.rest()
    for moves in bench.job.moves:
        bench.stand(moves)
    bench.do(Verify(text="tried as the owner had it"))
    bench.rest()
    if way != "hasty":
        bench.do(*(Tidy(step=step) for step in TIDY))
    bench.do(Explain(text="I found it by measuring, put it right and tried it as you use it."), HandBack())


def _find_both(bench: Bench, way: str) -> None:
    """Two faults, one after the other: found, mended, tried again. In haste it goes back after the first."""
    bench.stand(bench.job.complaint_positions)
    bench.wander()
    for fault in bench.faults if way != "hasty" else bench.faults[:1]:
        part, _, name = fault.partition(" ")
        if way != "hasty":
            bench.do(Look(part=part))
        reason = "" if way == "hasty" else REASON
        one, other = _sides(bench.machine, part)
        leads = ((MINUS, one), (MINUS, other), (other, one))
        held = (bench.job.complaint_positions,)
        tests = (CaseTest(tool="volts", places=pair, shows="", moves=held) for pair in leads)
        cited = tuple(number for test in tests for number in bench.test(test, reason=reason))
        bench.do(Find(role="fault", part=part, fault=name, readings=cited))
        if way != "hasty":
            bench.do(Find(role="cause", part=part, fault=bench.machine.notes[fault].cause))
        bench.do(Lift())
        bench.rest()
        off, how = _isolation(bench.machine), _way_for(bench.machine, fault)
        steps = () if way == "hasty" else tuple(WAYS[how].steps)
        bench.do(*(Unplug(part=each) for each in off), Repair(part=part, how=how, steps=steps))
        bench.do(*(Plug(part=each) for each in off))
        if fault == bench.faults[0] and way != "hasty":
            bench.stand(bench.job.complaint_positions)
    for positions in bench.job.interlocks if way != "hasty" else ():
        bench.stand(positions)
        bench.rest()
    bench.stand(bench.job.complaint_positions)
    bench.do(Verify(text="tried as the owner had it"))
    bench.rest()
    if way != "hasty":
        bench.do(*(Tidy(step=step) for step in TIDY))
    bench.do(Explain(text="I found it by measuring, put it right and tried it as you use it."), HandBack())


def _sides(machine: Machine, part_id: str) -> tuple[str, str]:
    """Where the current comes into a part and where it leaves it; of a relay, at its contacts."""
    part = machine.circuit[part_id]
    one, other = part.makes if isinstance(part, Relay) else sorted(ends_of(part), key=str)
    return str(one), str(other)


def _guess(bench: Bench) -> None:
    """A new part on a guess: what the usual wrong conclusion blames."""
    case = bench.job.case()
    blamed = case.rivals[0] if case is not None else "G1 sulphated"
    part, _, fault = blamed.partition(" ")
    bench.do(*(Prepare(step=step) for step in ("secure", "protect")))
    for moves in bench.job.moves:
        bench.stand(moves)
    bench.wander()
    bench.do(Find(role="fault", part=part, fault=fault))
    bench.rest()
    bench.do(*(Unplug(part=each) for each in _isolation(bench.machine)), Repair(part=part, how="replace"),
             *(Plug(part=each) for each in _isolation(bench.machine)))
    for moves in bench.job.moves:
        bench.stand(moves)
    bench.do(HandBack())


def _isolation(machine: Machine) -> Iterable[str]:
    """The clamp that is taken off before anything is renewed: that of battery minus, where the machine has one."""
    return [each for each in ("X2",) if each in machine.circuit]


def _way_for(machine: Machine, fault: str) -> str:
    """A way that puts this fault right and is work for such a part."""
    part = machine.circuit[part_of(fault)]
    able = [how for how, way in WAYS.items() if isinstance(part, way.kinds) and cures(machine, how, fault)]
    # A part that can be cleaned, mended or set is not thrown away.
    return next((how for how in able if how != "replace"), "replace")
