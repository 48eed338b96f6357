"""What a circuit does in time: relays that pull in late, batteries that sag, motors that run up, fuses that melt."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass, field
from functools import cached_property

from kit.circuit import Battery, Circuit, Fuse, Lamp, Motor, Relay
from kit.errors import SolveError
from kit.solve import kernel, time_kernel
from kit.solve.branches import network
from kit.solve.solution import AT_REST, State
from kit.solve.steady import Case

ROOM = 4000
WORDS = {
    time_kernel.PULLS_IN: "pulls in", time_kernel.LETS_GO: "lets go", time_kernel.MELTS: "melts",
}


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
    figure for each; ``speeds(motor)`` shares of healthy cranking speed; ``events`` in their order; ``state`` last.
    """

    seconds: tuple[float, ...]
    events: tuple[Event, ...]
    state: State
    _x: Sequence[Sequence[float]] = field(repr=False)
    _amps: Sequence[Sequence[float]] = field(repr=False)
    _slow: Sequence[Sequence[float]] = field(repr=False)
    _case: Case = field(repr=False)

    def volts(self, terminal: str, against: str | None = None) -> tuple[float, ...]:
        """Volts of a terminal against another one, or against the reference."""
        places = {str(known): place for known, place in self._case.place.items()}
        for name in filter(None, (terminal, against)):
            if name not in places:
                raise SolveError(f"there is no terminal {name} in this circuit.")
        first = places[terminal]
        second = places[against] if against is not None else self._case.plan.n - 1
        return tuple(row[first] - row[second] for row in self._x)

    def amps(self, path: str) -> tuple[float, ...]:
        """Amps through a path, signs as in ``Solution``."""
        names = [branch.name for branch in self._case.net.branches]
        if path not in names:
            raise SolveError(f"there is no path {path} in this circuit.")
        number = names.index(path)
        return tuple(row[number] for row in self._amps)

    def speeds(self, motor: str) -> tuple[float, ...]:
        """A motor's speed as a share of healthy cranking speed."""
        motors = [part for part in self._case.net.parts if isinstance(part, Motor)]
        number = [part.id for part in motors].index(motor)
        return tuple(row[number] / motors[number].cranking_emf for row in self._slow)

    def count(self, part: str, what: str) -> int:
        """How often something happened to a part."""
        return sum(event.part == part and event.what == what for event in self.events)

    @cached_property
    def chattering(self) -> frozenset[str]:
        """Relays that let go and pulled in again, three times or more, with nobody moving a control in between."""
        again = {event.part for event in self.events if event.what == "lets go"}
        return frozenset(part for part in again if self.count(part, "lets go") >= 3)


class Runner:
    """A circuit on its way through time; ``run`` goes on from where it stands."""

    def __init__(self, circuit: Circuit, closed_switches: Collection[str], before: State) -> None:
        self.net = network(circuit)
        self.case = Case(self.net, closed_switches, before)
        branches = [branch.name for branch in self.net.branches]
        index = {name: i for i, name in enumerate(branches)}
        parts = {kind: [part for part in self.net.parts if isinstance(part, kind)]
                 for kind in (Relay, Battery, Motor, Lamp, Fuse)}
        self.index = index
        self.lag = [part.coil_seconds for part in parts[Relay]]
        self.closes = [part.closes_seconds for part in parts[Relay]]
        self.opens = [part.opens_seconds for part in parts[Relay]]
        self.due = [-1.0] * len(self.lag)
        self.coil_amps = [0.0] * len(self.lag)
        self.battery = [index[part.id] for part in parts[Battery]]
        self.slow_volts = [0.0] * len(self.battery)
        self.motor = [index[part.id] for part in parts[Motor]]
        self.inertia = [part.spin_seconds / part.ohms for part in parts[Motor]]
        self.emf = [0.0] * len(self.motor)
        self.stands = [0] * len(self.motor)
        self.lamp = [i for i, branch in enumerate(self.net.branches) if branch.kind == kernel.LAMP]
        self.warm = [self.case.p2[i] ** 0.225 for i in self.lamp]
        watts = [branch.p1**2 / branch.p0 for branch in self.net.branches if branch.kind == kernel.LAMP]
        # A thicker filament takes longer: about 0.03 s for 3 W, 0.13 s for 55 W (common practice).
        self.lamp_seconds = [0.03 * (power / 3.0) ** 0.5 for power in watts]
        self.rating = [part.amps for part in parts[Fuse]]
        self.heat = [0.0] * len(self.rating)
        self.clock = [0.0, time_kernel.SHORTEST]
        self.seconds: list[float] = []
        self.x: list[list[float]] = []
        self.amps: list[list[float]] = []
        self.slow: list[list[float]] = []
        self.events: list[Event] = []

    def switch(self, closed_switches: Collection[str]) -> None:
        """Set the switches anew; relays and fuses stay as they are."""
        state = self.case.state()
        shut = set(closed_switches) | set(state.closed)
        for i, branch in enumerate(self.net.branches):
            if branch.switch:
                self.case.shut[i] = int((branch.switch in shut) != branch.shut_at_rest)
        self.clock[1] = time_kernel.SHORTEST

    def run(self, end: float) -> None:
        """Go on to this moment."""
        case, plan = self.case, self.case.plan
        kinds, q0, q1 = [0] * len(case.a), [0.0] * len(case.a), [0.0] * len(case.a)
        rows = len(self.motor) + len(self.lamp)
        while True:
            times = [0.0] * ROOM
            x = [[0.0] * plan.n for _ in range(ROOM)]
            amps = [[0.0] * len(case.a) for _ in range(ROOM)]
            slow = [[0.0] * rows for _ in range(ROOM)]
            happened, what, who = [0.0] * ROOM, [0] * ROOM, [0] * ROOM
            counts = [0, 0]
            code = time_kernel.advance(
                plan.n, plan.row, plan.col, plan.fill, case.a, case.b, case.slot, case.kind, case.p0, case.p1, case.p2,
                case.shut, case.u, case.amps, case.g, case.j, case.w, case.h, case.x,
                case.coil, case.second, case.contact, case.rest, case.pull, case.drop, self.lag, self.closes, self.opens, self.due,
                self.coil_amps, self.battery, self.slow_volts, self.motor, self.inertia, self.emf, self.stands,
                self.lamp, self.warm, self.lamp_seconds, case.fuse, self.rating, self.heat, self.clock, end,
                kinds, q0, q1, times, x, amps, slow, happened, what, who, counts,
            )
            done = counts[0]
            self.seconds += times[:done]
            self.x += x[:done]
            self.amps += amps[:done]
            self.slow += slow[:done]
            for k in range(counts[1]):
                melted = what[k] == time_kernel.MELTS
                part = self.net.fuses[who[k]][0] if melted else self.net.relays[who[k]].id
                self.events.append(Event(round(happened[k], 6), part, WORDS[what[k]]))
            if code == time_kernel.NO_END:
                raise SolveError(f"the circuit found no rest at {self.clock[0]:.4f} s; please report this.")
            if code == time_kernel.DONE:
                return

    def course(self) -> Course:
        """What has happened so far."""
        return Course(
            seconds=tuple(self.seconds), events=tuple(self.events), state=self.case.state(), _x=self.x,
            _amps=self.amps, _slow=self.slow, _case=self.case,
        )


def run(
    circuit: Circuit, moves: Sequence[tuple[float, Collection[str]]], seconds: float, before: State = AT_REST
) -> Course:
    """Run a circuit for so many seconds; ``moves`` are moments and the switches closed from then on, in order.

    Everything starts cold and still, the relays and fuses as ``before`` says. Raises SolveError for moves out of order.
    """
    moments = [at for at, _ in moves]
    if not moves or moments != sorted(moments) or moments[0] < 0 or seconds <= moments[-1]:
        raise SolveError("moves need moments in rising order from 0, and an end after the last of them.")
    runner = Runner(circuit, moves[0][1] if moments[0] == 0 else (), before)
    for number, (at, closed) in enumerate(moves):
        if at > 0:
            runner.run(at)
        runner.switch(closed)
        if number + 1 == len(moves):
            runner.run(seconds)
    return runner.course()


