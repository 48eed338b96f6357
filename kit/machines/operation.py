"""An operation: a machine with its controls set, solved, and what a person beside it notices."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING

from kit.circuit import Circuit, ControlUnit, Fault, Fuse, Lamp, Motor, Relay
from kit.solve import AT_REST, Solution, State, settle

if TYPE_CHECKING:
    from kit.machines.machine import Machine

# Light a person can see: volts across a 12 V lamp (common practice: trade bands of the probe lamp), by share of its
# rated volts. The names are the ones the truth table uses.
LAMP_OUT_BELOW = 2 / 13.5
LAMP_DIM_BELOW = 9 / 13.5
FULL_SPEED_FROM = 0.85
TURNING_FROM = 0.02
# Share of its cranking amps at which a starter that does not turn can be heard to throw its weight at the engine.
CLUNKS_FROM = 0.5
AWAKE_FROM = 0.7


@dataclass(frozen=True, slots=True)
class Notice:
    """One thing a person sees or hears: the part, a word from a fixed set, and a short sentence."""

    part: str
    word: str
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Operation:
    """The machine with its controls in these positions. Values are looked up with plain text: ``now.volts["K1.86"]``.

    ``conditions`` are the faults planted; ``solution`` is the settled circuit; ``noticed`` what a person would notice,
    words only (``E1``: lit, dim, out; ``K1``: pulled in, at rest, chatters; ``M1``: cranks, cranks slowly, stalls,
    still; a control unit: awake, asleep). Clicks are changes of a relay between the last operation and this one.
    """

    machine: "Machine"
    positions: Mapping[str, str]
    conditions: tuple[Fault, ...]
    solution: Solution
    noticed: tuple[Notice, ...]

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
        return {notice.part: notice.word for notice in self.noticed if isinstance(self.circuit[notice.part], Relay)}

    @property
    def circuit(self) -> Circuit:
        """The circuit as solved, faults planted."""
        return self.machine.circuit.plant(*self.conditions)

    @property
    def state(self) -> State:
        """Relays closed and fuses melted, to go on from."""
        return self.solution.state

    def word(self, part_id: str) -> str:
        """The word for what a part does, such as ``lit``; empty for parts that show nothing."""
        return next((notice.word for notice in self.noticed if notice.part == part_id), "")

    def then(self, **positions: str) -> "Operation":
        """Move controls from where they stand now; relays that hold keep holding, melted fuses stay melted."""
        return operate(self.machine, self.machine.moved(self.positions, **positions), self.conditions, self.state)

    def _repr_html_(self) -> str:
        lines = "".join(f"<li>{notice.text}</li>" for notice in self.noticed if notice.text)
        where = ", ".join(f"{self.machine.controls[name].title} {value}" for name, value in self.positions.items())
        return f"<p>{self.machine.title}: {where}.</p><ul>{lines}</ul>"

    def __repr__(self) -> str:
        return f"<Operation of {self.machine.id}: {', '.join(self.positions.values())}>"


def operate(
    machine: "Machine", positions: Mapping[str, str], conditions: tuple[Fault, ...] = (), before: State = AT_REST
) -> Operation:
    """Solve a machine in these positions, with these faults, going on from ``before``."""
    circuit = machine.circuit.plant(*conditions)
    solution = settle(circuit, closed_switches=machine.closed_switches(positions), before=before)
    return Operation(
        machine=machine, positions=positions, conditions=conditions, solution=solution,
        noticed=notice(circuit, solution, before),
    )


def notice(circuit: Circuit, solution: Solution, before: State = AT_REST) -> tuple[Notice, ...]:
    """What a person beside the machine sees and hears, part by part, in the parts' order."""
    seen = []
    for part in circuit.parts:
        match part:
            case Lamp():
                seen.append(_lamp(part, solution))
            case Relay():
                seen.append(_relay(part, solution, before))
            case Motor():
                seen.append(_motor(part, solution))
            case ControlUnit():
                share = abs(solution.across[part.id]) / part.volts
                awake = share >= AWAKE_FROM
                seen.append(Notice(part.id, "awake" if awake else "asleep", ""))
            case Fuse() if part.id in solution.state.melted and part.id not in before.melted:
                seen.append(Notice(part.id, "melts", "A faint pop."))
            case _:
                pass
    return tuple(seen)


def _lamp(part: Lamp, solution: Solution) -> Notice:
    swings = [solution] if solution.other_swing is None else [solution, solution.other_swing]
    words = {_light(abs(swing.across[part.id]) / part.volts) for swing in swings}
    word = words.pop() if len(words) == 1 else "pulses"
    return Notice(part.id, word, f"The {part.title} is {word}." if word != "pulses" else f"The {part.title} pulses.")


def _light(share: float) -> str:
    return "out" if share < LAMP_OUT_BELOW else "dim" if share < LAMP_DIM_BELOW else "lit"


def _relay(part: Relay, solution: Solution, before: State) -> Notice:
    if part.id in solution.chattering:
        return Notice(part.id, "chatters", f"The {part.title} clatters.")
    closed = part.id in solution.state.closed
    if closed != (part.id in before.closed):
        text = f"The {part.title} clicks{'' if closed else ' as it lets go'}."
    else:
        text = ""
    return Notice(part.id, "pulled in" if closed else "at rest", text)


def _motor(part: Motor, solution: Solution) -> Notice:
    other = solution.other_swing
    if other is not None and max(abs(solution.amps[part.id]), abs(other.amps[part.id])) > 1:
        return Notice(part.id, "twitches", f"The {part.title} only twitches.")
    speed = solution.speeds[part.id]
    amps = solution.amps[part.id]
    if speed >= FULL_SPEED_FROM:
        return Notice(part.id, "cranks", "The engine cranks at full speed.")
    if speed >= TURNING_FROM:
        return Notice(part.id, "cranks slowly", f"The engine cranks slowly, at about {100 * speed:.0f} % speed.")
    if abs(amps) > part.load_amps * CLUNKS_FROM:
        return Notice(part.id, "stalls", "One clunk; the engine does not turn.")
    return Notice(part.id, "still", "")
