"""What a circuit does in time: relays that pull in late, batteries that sag, motors that run up, fuses that melt."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from itertools import pairwise

from kit.circuit import Battery, Circuit, Motor
from kit.errors import SolveError
from kit.solve import kernel, time_kernel, turning
from kit.solve.branches import Branch, network
from kit.solve.case import Case
from kit.solve.solution import AT_REST, State

WORDS = {
    time_kernel.PULLS_IN: "pulls in", time_kernel.LETS_GO: "lets go", time_kernel.MELTS: "melts",
}
# A thicker filament takes longer: 0.03 s for 3 W, 0.13 s for 55 W (common practice).
LAMP_SECONDS, LAMP_WATTS = 0.03, 3.0
NEARLY_HOT = 0.62  # of its time constant a filament at its rated volts takes to come within a twentieth of its hot ohms
# What a winding's iron loses, as ohms beside its inductance: so many times the winding's own. A coil switched off with
# no diode across it then kicks to so many times its volts, about 300 V for a 12 V relay (common practice).
IRON = 25.0
NEVER = 1e9  # seconds ago
CHATTERS_FROM = 3  # times let go, with nobody moving a control


@dataclass(frozen=True, slots=True)
class Event:
    """Something that happened at a moment (seconds): a relay ``pulls in`` or ``lets go``, a fuse ``melts``."""

    at: float
    part: str
    what: str


@dataclass(frozen=True, kw_only=True)
class Course:
    """A circuit's course in time.

    ``seconds``: the moments solved, closer together where more happens. ``volts(terminal)`` and ``amps(path)`` give a
    figure for each; ``speeds(motor)`` shares of healthy cranking speed; ``glow(lamp)`` the share of its rated volts a
    filament glows like. ``moved``: the moments a control was moved; ``events`` in their order; ``state`` last.

    A point that floats stands at whatever its last leak left it at, so read floating points from a settled circuit.
    """

    seconds: tuple[float, ...]
    moved: tuple[float, ...]
    events: tuple[Event, ...]
    state: State
    _x: Sequence[Sequence[float]] = field(repr=False)
    _amps: Sequence[Sequence[float]] = field(repr=False)
    _slow: Sequence[Sequence[float]] = field(repr=False)
    _case: Case = field(repr=False)

    @cached_property
    def _place(self) -> dict[str, int]:
        return {str(terminal): place for terminal, place in self._case.place.items()}

    def volts(self, terminal: str, against: str | None = None) -> tuple[float, ...]:
        """Volts of a terminal against another one, or against the reference."""
        for name in filter(None, (terminal, against)):
            if name not in self._place:
                raise SolveError(f"there is no terminal {name} in this circuit.")
        first = self._place[terminal]
        second = self._place[against] if against is not None else self._case.plan.n - 1
        return tuple(float(row[first] - row[second]) for row in self._x)

    def amps(self, path: str) -> tuple[float, ...]:
        """Amps through a path, signs as in ``Solution``."""
        names = [branch.name for branch in self._case.net.branches]
        if path not in names:
            raise SolveError(f"there is no path {path} in this circuit.")
        number = names.index(path)
        return tuple(float(row[number]) for row in self._amps)

    def speeds(self, motor: str) -> tuple[float, ...]:
        """A motor's speed as a share of healthy cranking speed."""
        motors = _turning(self._case)
        if motor not in motors:
            return (0.0,) * len(self.seconds)
        column, part = list(motors).index(motor), motors[motor]
        return tuple(float(row[column]) / part.cranking_emf for row in self._slow)

    def glow(self, lamp: str) -> tuple[float, ...]:
        """The share of its rated volts at which a lamp, held there, would be as hot as it is."""
        lamps = [self._case.net.branches[i].name for i in _filaments(self._case)]
        if lamp not in lamps:
            return (0.0,) * len(self.seconds)
        place = lamps.index(lamp)
        column, cold = len(_turning(self._case)) + place, self._case.p2[_filaments(self._case)[place]]
        return tuple(max(float(row[column]) ** (1 / 0.225) - cold, 0.0) ** 0.5 for row in self._slow)

    @property
    def magnets(self) -> tuple[str, ...]:
        """What pulls in and lets go: relays and solenoids, and a control unit that wakes and resets."""
        return tuple(magnet.id for magnet in self._case.net.relays if "." not in magnet.id)

    def count(self, part: str, what: str, *, start: float = 0.0, end: float = float("inf")) -> int:
        """How often something happened to a part, from ``start`` up to ``end``."""
        return sum(event.part == part and event.what == what and start <= event.at < end for event in self.events)

    def stretches(self) -> tuple[tuple[float, float], ...]:
        """The times between one moving of a control and the next."""
        edges = (*self.moved, self.seconds[-1])
        return tuple(pair for pair in pairwise(edges) if pair[1] > pair[0])

    @cached_property
    def chattering(self) -> frozenset[str]:
        """Relays that let go three times or more with nobody moving a control in between."""
        return frozenset(
            event.part for event in self.events if event.what == "lets go"
            for start, end in self.stretches()
            if self.count(event.part, "lets go", start=start, end=end) >= CHATTERS_FROM
        )


class Runner:
    """A circuit on its way through time; ``run`` goes on from where it stands."""

    room = 500  # samples between two emptyings

    def __init__(self, circuit: Circuit, closed_switches: Collection[str], before: State) -> None:
        self.net = network(circuit)
        self.case = case = Case(self.net, closed_switches, before)
        self._turn(closed_switches)
        self.row, self.col, self.fill = case.plan.row, case.plan.col, case.plan.fill
        parts = {part.id: part for part in self.net.parts}
        names = [branch.name for branch in self.net.branches]
        # Windings: every coil, and what else moves contacts by its amps; several magnets may share one.
        wound = dict.fromkeys(i for pair in zip(case.coil, case.second, strict=True) for i in pair if i >= 0)
        self.winding = list(wound)
        place = {branch: k for k, branch in enumerate(self.winding)}
        self.first = [place[i] for i in case.coil]
        self.second = [place.get(i, -1) for i in case.second]
        self.henries, self.core, self.full = [], [], []
        for i in self.winding:
            mine = [
                magnet for magnet, *coils in zip(self.net.relays, case.coil, case.second, strict=True) if i in coils
            ]
            ohms = 1 / self.net.branches[i].p0
            self.henries.append(max(magnet.coil_seconds for magnet in mine) * ohms)
            self.core.append(IRON * ohms)
            self.full.append(min(magnet.pull for magnet in mine))
        self.closes = [magnet.closes_seconds for magnet in self.net.relays]
        self.opens = [magnet.opens_seconds for magnet in self.net.relays]
        self.wound_amps = [0.0] * len(self.winding)
        self.falls = [magnet.falls_seconds for magnet in self.net.relays]
        self.left = [-NEVER] * len(self.first)
        self.due = [-1.0] * len(self.first)
        self.flux = [0.0] * len(self.first)
        self.battery = [names.index(part.id) for part in self.net.parts if isinstance(part, Battery)]
        self.slow_volts = [0.0] * len(self.battery)
        motors = _turning(case)
        self.motor = [names.index(motor) for motor in motors]
        self.inertia = [part.spin_seconds / part.ohms for part in motors.values()]
        self.emf = [0.0] * len(self.motor)
        self.way = [0] * len(self.motor)
        self.lamp = _filaments(case)
        self.warm = [case.p2[i] ** 0.225 for i in self.lamp]
        self.lamp_seconds = [
            self.net.branches[i].seconds or LAMP_SECONDS * (case.p1[i] ** 2 / case.p0[i] / LAMP_WATTS) ** 0.5
            for i in self.lamp
        ]
        self.rating = [parts[name].amps for name, _ in self.net.fuses]
        self.wire = [0.0] * len(self.rating)
        self.blades = [0.0] * len(self.rating)
        self.clock = [0.0, time_kernel.SHORTEST]
        self.moved: list[float] = []
        self.seconds: list[float] = []
        self.x: list[Sequence[float]] = []
        self.amps: list[Sequence[float]] = []
        self.slow: list[Sequence[float]] = []
        self.events: list[Event] = []

    def warm_up(self) -> None:
        """Start as everything settles with the switches, relays and fuses as they are, and not cold and still."""
        case = self.case
        if case.run(melts=False, moves=False) != kernel.SETTLED:
            raise SolveError("the circuit found no rest to start from; please report this.")
        for k, i in enumerate(self.winding):
            self.wound_amps[k] = case.amps[i]
        for k, i in enumerate(self.battery):
            self.slow_volts[k] = time_kernel.SLOW_SHARE / case.p0[i] * case.amps[i] if case.p0[i] else 0.0
        for k, i in enumerate(self.motor):
            across = case.x[case.a[i]] - case.x[case.b[i]]
            emf = across - case.amps[i] * case.p0[i]
            self.emf[k] = emf if abs(emf) > 1e-9 else 0.0
        for k, i in enumerate(self.lamp):
            self.warm[k] = ((case.u[i] / case.p1[i]) ** 2 + case.p2[i]) ** 0.225
        for f, i in enumerate(case.fuse):
            # No more than its rating: it has not melted yet.
            self.wire[f] = self.blades[f] = min((case.amps[i] / self.rating[f]) ** 2, 1.0)

    def switch(self, closed_switches: Collection[str]) -> None:
        """Set the switches anew; relays and fuses stay as they are."""
        self._turn(closed_switches)
        shut = set(closed_switches) | set(self.case.state().closed)
        for i, branch in enumerate(self.net.branches):
            if branch.switch:
                self.case.shut[i] = int((branch.switch in shut) != branch.shut_at_rest)
        self.clock[1] = time_kernel.SHORTEST
        self.moved.append(float(self.clock[0]))

    def speed(self, motor: str) -> float:
        """A motor's speed now, as a share of healthy cranking speed; 0 where its winding is broken."""
        motors = _turning(self.case)
        return self.emf[list(motors).index(motor)] / motors[motor].cranking_emf if motor in motors else 0.0

    def load(self, motor: str, amps: float) -> None:
        """From now on a motor has this load: what turns it, or holds it, has changed."""
        for i, branch in enumerate(self.net.branches):
            if branch.name == motor:
                self.case.p1[i] = amps
        self.clock[1] = time_kernel.SHORTEST

    def _turn(self, closed_switches: Collection[str]) -> None:
        """Set what turns with these switches."""
        case = self.case
        turn = turning.Turn(turning.beating(self.net, closed_switches), case.kind, case.p0, case.plan.n)
        (self.beat, self.values, self.ends, self.known, self.work, self.space, self.charging,
         self.charge) = turn.arguments()

    def run(self, end: float) -> None:
        """Go on to this moment."""
        case, plan = self.case, self.case.plan
        branches, rows = len(case.a), len(self.motor) + len(self.lamp)
        kinds, q0, q1, q2 = self.integers(branches), *(self.floats(branches) for _ in range(3))
        while True:
            times, x, amps = self.floats(self.room), self.table(plan.n), self.table(branches)
            slow, happened = self.table(rows), self.floats(self.room)
            what, who, counts = self.integers(self.room), self.integers(self.room), self.integers(2)
            code = self.advance(
                plan.n, self.row, self.col, self.fill, case.a, case.b, case.slot, case.kind, case.p0, case.p1,
                case.p2, case.shut, case.u, case.amps, case.g, case.j, case.w, case.h, case.x, case.live,
                case.base, self.winding, self.henries, self.core, self.full, self.wound_amps, self.first, self.second,
                case.contact, case.rest, case.pull, case.drop, self.closes, self.opens, self.falls, self.left, self.due,
                self.flux,
                self.battery, self.slow_volts, self.motor, self.inertia, self.emf, self.way,
                self.lamp, self.warm, self.lamp_seconds, case.fuse, self.rating, self.wire, self.blades,
                self.beat, self.values, self.ends, self.known, self.work, self.space, self.charging, self.charge,
                self.clock, float(end), kinds, q0, q1, q2, times, x, amps, slow, happened, what, who, counts,
            )
            done = int(counts[0])
            self.seconds += [float(moment) for moment in times[:done]]
            self.x += list(x[:done])
            self.amps += list(amps[:done])
            self.slow += list(slow[:done])
            for k in range(int(counts[1])):
                melted = what[k] == time_kernel.MELTS
                part = self.net.fuses[who[k]][0] if melted else self.net.relays[who[k]].id
                self.events.append(Event(round(float(happened[k]), 6), part, WORDS[int(what[k])]))
            if code == time_kernel.NO_END:
                raise SolveError(f"the circuit found no rest at {self.clock[0]:.4f} s; please report this.")
            if code == time_kernel.DONE:
                return

    # What a compiled runner does otherwise.
    advance = staticmethod(time_kernel.advance)

    def floats(self, number: int) -> Sequence[float]:
        return [0.0] * number

    def integers(self, number: int) -> Sequence[int]:
        return [0] * number

    def table(self, columns: int) -> Sequence[Sequence[float]]:
        return [[0.0] * columns for _ in range(self.room)]

    def course(self) -> Course:
        """What has happened so far."""
        return Course(
            seconds=tuple(self.seconds), moved=tuple(self.moved), events=tuple(self.events), state=self.case.state(),
            _x=self.x, _amps=self.amps, _slow=self.slow, _case=self.case,
        )


def set_off(
    circuit: Circuit, closed_switches: Collection[str], before: State = AT_REST, runner: type[Runner] = Runner
) -> Runner:
    """A circuit about to run: from ``AT_REST`` cold, still and every switch open, else as it settles with these."""
    if before == AT_REST:
        return runner(circuit, (), before)
    going = runner(circuit, closed_switches, before)
    going.warm_up()
    return going


def run(
    circuit: Circuit, moves: Sequence[tuple[float, Collection[str]]], seconds: float, before: State = AT_REST,
    runner: type[Runner] = Runner,
) -> Course:
    """Run a circuit for so many seconds; ``moves`` are moments and the switches closed from then on, in order.

    What turns is solved turn by turn (``kit.solve.turning``), at some fifteen times the price a step: a simulated
    second takes up to a second on lists, a millisecond or two compiled. From ``AT_REST`` everything starts cold and
    still with every switch open; from another state, as it settled with the first of the switches. Raises SolveError
    for moves out of order. ``runner``: ``kit.solve.fast_time.FastRunner`` does the same compiled.
    """
    moments = [at for at, _ in moves]
    if not moves or moments != sorted(moments) or moments[0] < 0 or seconds <= moments[-1]:
        raise SolveError("moves need moments in rising order from 0, and an end after the last of them.")
    going = set_off(circuit, moves[0][1], before, runner)
    for at, closed in moves:
        if at > 0:
            going.run(at)
        going.switch(closed)
    going.run(seconds)
    return going.course()


def _turning(case: Case) -> dict[str, Motor]:
    """The motors whose windings are whole, by path."""
    parts = {part.id: part for part in case.net.parts if isinstance(part, Motor)}
    return {
        branch.name: parts[branch.name] for branch, kind in zip(case.net.branches, case.kind, strict=True)
        if kind == kernel.MOTOR
    }


def _warms_in(filament: Branch) -> float:
    """The time constant of a filament, in seconds."""
    if filament.seconds:
        return filament.seconds / NEARLY_HOT
    return LAMP_SECONDS * (filament.p1**2 / filament.p0 / LAMP_WATTS) ** 0.5


def _filaments(case: Case) -> list[int]:
    return [i for i, kind in enumerate(case.kind) if kind == kernel.LAMP]
