"""An operation: a machine with its controls set, solved, and what a person beside it notices."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from kit.circuit import Change, Circuit, Fault, FuelSolenoid, Joint, Relay, StarterSolenoid, When, Wire
from kit.machines.engine import ENGINE, STILL, EngineState, turn
from kit.machines.notices import Notice, notice
from kit.solve import AT_REST, Solution, State
from kit.solve.fuses import HELD_SECONDS
from kit.solve.steady import come_to_rest, history_decided

if TYPE_CHECKING:
    from kit.machines.machine import Machine

# What hot air makes of a part in some minutes: as warm as a hand just bears (common practice).
WARM_CELSIUS = 60.0
WARMED = (FuelSolenoid, Joint, Relay, StarterSolenoid, Wire)
# The words that name what a part does; anything else noticed of it (warm, smokes, smells) stands beside.
BESIDE = ("warm", "hot", "smells", "smokes")


@dataclass(frozen=True, slots=True, kw_only=True)
class Operation:
    """The machine with its controls in these positions. Values are looked up with plain text: ``now.volts["K1.86"]``.

    ``conditions`` are the faults planted; ``solution`` is the settled circuit; ``noticed`` what a person would notice,
    words only (``E1``: lit, dim, out; ``K1``: pulled in, at rest, chatters; ``M1``: cranks, cranks slowly, stalls,
    still; a control unit: awake, asleep, resets; a joint: warm, hot; a wire: smokes). Clicks are changes of a relay
    between the last operation and this one. A fault that comes when wiggled shows itself only while its part is among
    ``wiggled``, one that comes when warm only while it is among ``warm`` (part ids). ``engine`` is how the engine
    stands (noticed as ``engine``), on a machine that has one.
    """

    machine: "Machine"
    positions: Mapping[str, str]
    conditions: tuple[Fault, ...]
    solution: Solution
    noticed: tuple[Notice, ...]
    wiggled: frozenset[str] = frozenset()
    warm: frozenset[str] = frozenset()
    engine: EngineState = STILL

    @property
    def running(self) -> bool:
        """Whether the engine runs, and goes on running when the starter is let go."""
        return self.engine.running

    @property
    def closed_switches(self) -> frozenset[str]:
        """The switches that were closed when it was solved: by the controls, and by the engine."""
        return self.machine.closed_switches(self.positions, running=self.engine.free)

    @property
    def volts(self) -> Mapping[str, float | None]:
        """Volts of each terminal against the reference, by its text; None where it floats."""
        return self.solution.volts

    @property
    def amps(self) -> Mapping[str, float]:
        """Amps through each path, by part id (``M1``) or path (``K1.coil``, ``K1.contact``); start to end positive."""
        return self.solution.amps

    @property
    def relays(self) -> Mapping[str, str]:
        """Each relay: ``pulled in``, ``at rest`` or ``chatters``."""
        moving = (Relay, StarterSolenoid, FuelSolenoid)
        return {
            notice.part: notice.word for notice in self.noticed
            if notice.part != ENGINE and isinstance(self.circuit[notice.part], moving) and notice.word not in BESIDE
        }

    @property
    def showing(self) -> tuple[Fault, ...]:
        """The faults that show themselves as things stand (those that come when wiggled or warm only then), and warmth.
        """
        return showing(self.machine.circuit, self.conditions, self.wiggled, self.warm)

    @property
    def circuit(self) -> Circuit:
        """The circuit as solved, faults planted, the starter overrun by an engine that runs."""
        return self.machine.as_it_runs(self.machine.circuit.plant(*self.showing), running=self.engine.free)

    @property
    def state(self) -> State:
        """Relays closed and fuses melted, to go on from."""
        return self.solution.state

    def word(self, part_id: str) -> str:
        """The word for what a part does, such as ``lit``; empty for parts that show nothing."""
        return next((notice.word for notice in self.noticed if notice.part == part_id), "")

    def then(
        self, *, wiggled: Collection[str] = (), warm: Collection[str] | None = None, seconds: float = HELD_SECONDS,
        **positions: str,
    ) -> "Operation":
        """Move controls from where they stand now; relays that hold keep holding, melted fuses stay melted.

        An engine that runs goes on running as long as it has what it needs. What was warm stays warm unless ``warm``
        says otherwise; what is not wiggled now is still.
        """
        return operate(
            self.machine, self.machine.moved(self.positions, **positions), self.conditions, self.state,
            frozenset(wiggled), self.warm if warm is None else frozenset(warm), self.engine, seconds,
        )

    def _repr_html_(self) -> str:
        lines = "".join(f"<li>{notice.text}</li>" for notice in self.noticed if notice.text)
        where = ", ".join(self.machine.in_words(self.positions))
        return f"<p>{self.machine.title}: {where}.</p><ul>{lines}</ul>"

    def __repr__(self) -> str:
        return f"<Operation of {self.machine.id}: {', '.join(self.positions.values())}>"


def operate(
    machine: "Machine", positions: Mapping[str, str], conditions: tuple[Fault, ...] = (), before: State = AT_REST,
    wiggled: frozenset[str] = frozenset(), warm: frozenset[str] = frozenset(), engine: EngineState = STILL,
    seconds: float = HELD_SECONDS,
) -> Operation:
    """Solve a machine in these positions, with these faults, going on from ``before``; some parts wiggled or warm.

    ``engine`` is how its engine stood before; ``seconds`` how long it stays so, which a fuse overloaded a little feels.
    """
    circuit = machine.circuit.plant(*showing(machine.circuit, conditions, wiggled, warm))
    cases = {}

    def trial(running: bool, since: State | None) -> tuple[Solution, tuple[Notice, ...]]:
        start = before if since is None else since
        here = machine.as_it_runs(circuit, running=running)
        closed = machine.closed_switches(positions, running=running)
        solution, case = come_to_rest(here, closed_switches=closed, before=start, seconds=seconds)
        cases[id(solution)] = solution, case
        return solution, notice(here, solution, start, running=running)

    if machine.engine is None:
        solution, noticed = trial(False, None)
    else:
        held = machine.let_go(positions) != dict(positions)
        engine, solution, noticed = turn(machine.engine, engine, trial, held=held)
    # Only of what is shown in the end: an engine is tried running, too, to know whether it would.
    solution = history_decided(*cases[id(solution)])
    return Operation(
        machine=machine, positions=positions, conditions=conditions, solution=solution, noticed=noticed,
        wiggled=wiggled, warm=warm, engine=engine,
    )


def showing(
    circuit: Circuit, faults: Collection[Fault], wiggled: Collection[str], warm: Collection[str]
) -> tuple[Fault, ...]:
    """Those of the faults that show themselves with these parts wiggled and warm, and what warmth does to the parts.

    A warm coil has more ohms and needs more volts (``kit.circuit.Relay``); nobody blows hot air on a battery.
    """
    parts = {When.WIGGLE: wiggled, When.HEAT: warm}
    shown = tuple(fault for fault in faults if fault.when is When.ALWAYS or fault.part in parts[fault.when])
    warmed = sorted(part for part in warm if isinstance(circuit[part], WARMED))
    edit = Change(field="celsius", value=WARM_CELSIUS)
    return (*shown, *(Fault(id=f"{part} warm", part=part, edit=edit) for part in warmed))
