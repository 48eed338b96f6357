"""What a person beside a machine notices: seen, heard and smelled from where they stand, and felt by a hand put there.

All of it follows from the solved circuit. Limits are common practice unless a source stands beside them.
"""

import math
from dataclasses import dataclass, replace

from kit.circuit import (
    LED,
    Battery,
    Circuit,
    ControlUnit,
    FuelSolenoid,
    Fuse,
    Joint,
    Lamp,
    Magneto,
    Motor,
    Open,
    Relay,
    Resistor,
    ShortTo,
    Spare,
    StarterSolenoid,
    Switch,
    Wire,
)
from kit.solve import AT_REST, Solution, State
from kit.solve.fuses import HELD_SECONDS

# Light a person can see: volts across a 12 V lamp (trade bands of the probe lamp), by share of its rated volts. The
# names are the ones the truth table uses. An LED shows by its amps.
LAMP_OUT_BELOW = 2 / 13.5
LAMP_DIM_BELOW = 9 / 13.5
LED_OUT_BELOW, LED_DIM_BELOW = 0.02, 0.3
# Light goes with the 3.4th power of the volts (Fink & Beaty, Standard Handbook for Electrical Engineers, 1978); a
# quarter less of it is seen at once (common practice).
LESS_LIGHT = 0.75
DIMS_BELOW = LESS_LIGHT ** (1 / 3.4)
# How many times the watts of the right lamp make it too bright to be overlooked.
GLARES_FROM = 1.7
FULL_SPEED_FROM = 0.85
TURNING_FROM = 0.02
# Share of its cranking amps at which a starter that does not turn can be heard to throw its weight at the engine.
CLUNKS_FROM = 0.5
# In the seconds an operation lasts PVC insulation round copper melts at 115/√seconds amps a mm². Source:
# IEC 60364-5-54, k = 115 (70 to 160 °C), from memory.
SMOKES_FROM = 115 / math.sqrt(HELD_SECONDS)
# A joint, a contact: more volts lost than the trade allows, and watts a hand feels, and watts it pulls back from.
JOINT_VOLTS, CONTACT_VOLTS, WARM_WATTS, HOT_WATTS = 0.1, 0.2, 2.0, 20.0
# A relay is a lump of iron and copper: 60 W in a sound contact, its starter held still, warm a hundred grams by 7 K.
RELAY_WARM_WATTS, RELAY_HOT_WATTS = 10.0, 100.0
# A cable gives its warmth off along its length; a thick one hardly warms in the seconds an operation lasts (copper
# takes 3.45 J for a kelvin in a mm² and metre), and a hand feels some kelvin, not one.
WARM_WATTS_A_METRE, HOT_WATTS_A_METRE = 25.0, 250.0
WARM_WATTS_A_MM2_METRE, HOT_WATTS_A_MM2_METRE = (kelvin * 3.45 / HELD_SECONDS for kelvin in (3.0, 20.0))
# A coil is made for about 12/7 of the volts it pulls in at; at nearly three times those watts its varnish smells.
RATED_OVER_PULL_IN = 12 / 7
SMELLS_FROM = 2.7
# Shares of its rated volts: a pump hums at its speed, or turns at all; needles stand where they should, or lie down
# (common practice: cranking takes a sound machine's gauges down by a tenth).
HUMS_FROM, TURNS_FROM = 0.7, 0.3
NEEDLES_FROM, NEEDLES_DOWN_BELOW = 0.82, 0.3
UNSTEADY = {"hum": "stutters", "needle": "jump"}  # what they do while a relay clatters
STEADY_SHARE = 0.8  # of a starter's amps from swing to swing that leave it turning
GROUNDED_BELOW = 100.0  # ohms outside from a magneto's kill terminal to its ground that stop its sparks
BOILS_FROM = 2.55  # volts a cell at which a battery on charge can be smelled and heard


@dataclass(frozen=True, slots=True)
class Notice:
    """One thing a person notices: the part, a word from a fixed set, and a short sentence.

    ``text`` is what anyone standing there sees, hears or smells (empty: nothing). ``touch`` is what only a hand on the
    part tells, so it is for whoever puts one there.
    """

    part: str
    word: str
    text: str
    touch: str = ""


def notice(
    circuit: Circuit, solution: Solution, before: State = AT_REST, *, running: bool = False
) -> tuple[Notice, ...]:
    """What a person beside the machine notices, part by part, in the parts' order; ``running``: the engine does."""
    swings = [solution] if solution.other_swing is None else [solution, solution.other_swing]
    seen: list[Notice] = []
    for part in circuit.parts:
        match part:
            case Lamp():
                seen.append(_lamp(part, swings))
            case LED():
                shares = [swing.amps[part.id] / part.amps for swing in swings]
                seen.append(_light(part, _bands(shares, LED_OUT_BELOW, LED_DIM_BELOW, LESS_LIGHT)))
            case Relay() | StarterSolenoid() | FuelSolenoid():
                seen += _mover(part, circuit, solution, before, swings)
            case Battery() if max(swing.amps[part.id] for swing in swings) < 0.0 and max(
                abs(swing.across[part.id]) for swing in swings
            ) > BOILS_FROM * (part.cells - part.dead_cells):
                seen.append(Notice(part.id, "smells", f"The {part.title} bubbles and smells of rotten eggs."))
            case Motor():
                seen.append(_motor(part, solution, running=running))
            case ControlUnit():
                seen.append(_control_unit(part, solution, swings))
            case Fuse() if part.id in solution.state.melted and part.id not in before.melted:
                seen.append(Notice(part.id, "melts", "A faint pop."))
            case Magneto():
                seen.append(_magneto(part, circuit, solution))
            case Resistor(shows=shows) if shows != "nothing":
                seen.append(_load(part, swings))
            case Wire() | Joint() | Switch() | Fuse():
                seen += _warm(part, circuit, swings)
            case _:
                pass
    return tuple(seen)


def _lamp(part: Lamp, swings: list[Solution]) -> Notice:
    shares = [swing.effective(part.id) / part.volts for swing in swings]
    words = _bands(shares, LAMP_OUT_BELOW, LAMP_DIM_BELOW, DIMS_BELOW)
    if words == {"lit"}:
        watts = max(abs(swing.across[part.id] * swing.amps[part.id]) for swing in swings)
        if watts > GLARES_FROM * part.watts * max(shares) ** 1.55:
            return Notice(part.id, "glares", f"The {part.title} is far too bright.")
    return _light(part, words)


def _light(part: "Lamp | LED", words: set[str]) -> Notice:
    word = words.pop() if len(words) == 1 else "pulses"
    return Notice(part.id, word, f"The {part.title} is {word}." if word != "pulses" else f"The {part.title} pulses.")


def _bands(shares: list[float], out: float, dim: float, dims: float) -> set[str]:
    """The words for it in both halves of a swing; the second is dim wherever an eye sees it give less light."""
    words = {_band(share, out, dim) for share in shares}
    return {"dim", "lit"} if words != {"out"} and min(shares) < dims * max(shares) else words


def _band(share: float, out: float, dim: float) -> str:
    return "out" if share < out else "dim" if share < dim else "lit"


def _load(part: Resistor, swings: list[Solution]) -> Notice:
    """A pump's hum, a gauge's needles."""
    words = {load_word(part, abs(swing.across[part.id]) / part.volts) for swing in swings}
    word = words.pop() if len(words) == 1 else UNSTEADY[part.shows]
    return Notice(part.id, word, load_text(part, word))


def load_word(part: Resistor, share: float) -> str:
    """What a pump or a gauge does at a share of its rated volts."""
    if part.shows == "hum":
        return "runs" if share >= HUMS_FROM else "runs slowly" if share >= TURNS_FROM else "still"
    return "up" if share >= NEEDLES_FROM else "down" if share < NEEDLES_DOWN_BELOW else "sag"


def load_text(part: Resistor, word: str) -> str:
    """That word as a sentence; a pump that stands still says nothing."""
    if part.shows == "hum":
        return "" if word == "still" else f"The {part.title} {word}."
    text = {"up": "stand up", "sag": "sag", "down": "lie down", "jump": "jump about"}[word]
    return f"The needles of the {part.title} {text}."


def _mover(
    part: "Relay | StarterSolenoid | FuelSolenoid", circuit: Circuit, solution: Solution, before: State,
    swings: list[Solution],
) -> list[Notice]:
    click = _click(part, solution, before)
    found = [replace(click, text="") if welded(part, circuit) else click]
    if isinstance(part, Relay):
        watts = max(abs(swing.across[f"{part.id}.coil"] * swing.amps[f"{part.id}.coil"]) for swing in swings)
        rated = (part.pull_in_volts * RATED_OVER_PULL_IN) ** 2 / part.coil_ohms
        if watts > SMELLS_FROM * rated:
            found.append(Notice(part.id, "smells", f"A smell of hot varnish comes from the {part.title}.",
                                f"The {part.title} is too hot to hold."))
    if not isinstance(part, FuelSolenoid):
        losses = [_loss(swing, f"{part.id}.contact") for swing in swings]
        found += _heat(part, losses, CONTACT_VOLTS, RELAY_WARM_WATTS, RELAY_HOT_WATTS)
    return found


def welded(part: "Relay | StarterSolenoid | FuelSolenoid", circuit: Circuit) -> bool:
    """Whether its contacts hold on to each other: they hold the armature in, so there is nothing to be heard of it.

    Common practice; the hair's breadth it may still move is no click.
    """
    return not isinstance(part, FuelSolenoid) and any(
        fault.part == part.id and isinstance(fault.edit, ShortTo)
        and {fault.edit.start, fault.edit.end} == set(part.makes) for fault in circuit.faults
    )


def _click(part: "Relay | StarterSolenoid | FuelSolenoid", solution: Solution, before: State) -> Notice:
    if part.id in solution.chattering:
        return Notice(part.id, "chatters", f"The {part.title} clatters.")
    closed = part.id in solution.state.closed
    sound = "clicks" if isinstance(part, Relay) else "clunks"
    moved = closed != (part.id in before.closed)
    text = f"The {part.title} {sound}{'' if closed else ' as it lets go'}." if moved else ""
    return Notice(part.id, "pulled in" if closed else "at rest", text)


def _motor(part: Motor, solution: Solution, *, running: bool) -> Notice:
    swings = [swing for swing in (solution, solution.other_swing) if swing is not None]
    least, most = sorted(abs(swing.amps[part.id]) for swing in (swings[0], swings[-1]))
    # Where something else clatters (a fuel solenoid), the starter goes on turning. Too few amps to make it clunk move
    # nothing in jerks either: a loose clamp's are no more than those it needs to run free, unloaded.
    if most > part.load_amps * CLUNKS_FROM and least < STEADY_SHARE * most:
        return Notice(part.id, "twitches", f"The {part.title} only twitches.")
    speed = min((swing.speeds[part.id] for swing in swings), key=abs)
    amps = solution.amps[part.id]
    if running and speed >= TURNING_FROM:
        return Notice(part.id, "overruns", f"The {part.title} whines and grates on the running engine.")
    if speed >= FULL_SPEED_FROM:
        return Notice(part.id, "cranks", "The engine cranks at full speed.")
    if speed >= TURNING_FROM:
        return Notice(part.id, "cranks slowly", f"The engine cranks slowly, at about {100 * speed:.0f} % speed.")
    if speed <= -TURNING_FROM:
        return Notice(part.id, "turns backwards", "The engine turns backwards.")
    if abs(amps) > part.load_amps * CLUNKS_FROM:
        return Notice(part.id, "stalls", "One clunk; the engine does not turn.")
    return Notice(part.id, "still", "")


def _control_unit(part: ControlUnit, solution: Solution, swings: list[Solution]) -> Notice:
    shares = [solution.across[part.id] / part.volts for solution in swings]
    if part.id in solution.chattering or (min(shares) < part.resets_at and max(shares) >= part.wakes_at):
        text = f"The {part.panel} goes dark and starts again." if part.panel else ""
        return Notice(part.id, "resets", text)
    # One without outputs keeps no state here. Between its two limits it is awake: only a starter takes it there.
    awake = part.id in solution.state.closed if part.outputs else min(shares) >= part.resets_at
    text = f"The {part.panel} is {'lit' if awake else 'dark'}." if part.panel else ""
    return Notice(part.id, "awake" if awake else "asleep", text)


def _magneto(part: Magneto, circuit: Circuit, solution: Solution) -> Notice:
    """No eye sees it; whether the engine fires tells."""
    if any(fault.part == part.id and isinstance(fault.edit, Open) for fault in circuit.faults):
        return Notice(part.id, "dead", "")
    return Notice(part.id, "grounded" if solution.outside_ohms[part.id] < GROUNDED_BELOW else "free", "")


def _warm(part: "Wire | Joint | Switch | Fuse", circuit: Circuit, swings: list[Solution]) -> list[Notice]:
    losses = [_loss(swing, part.id) for swing in swings]
    match part:
        case Wire(metres=metres):
            mm2 = _copper(part, circuit)
            if max(abs(swing.amps[part.id]) for swing in swings) >= SMOKES_FROM * mm2:
                return [Notice(part.id, "smokes", f"Smoke: the insulation of wire {part.id} ({part.title}) melts.",
                               f"Wire {part.id} is far too hot to touch.")]
            warm = max(WARM_WATTS_A_METRE, WARM_WATTS_A_MM2_METRE * mm2) * metres
            return _heat(part, losses, 0.0, warm, max(HOT_WATTS_A_METRE, HOT_WATTS_A_MM2_METRE * mm2) * metres)
        case Joint():
            return _heat(part, losses, JOINT_VOLTS)
    return _heat(part, losses, CONTACT_VOLTS)


def _copper(part: Wire, circuit: Circuit) -> float:
    """The mm² of a wire as it is fitted: a wrong spare has its own."""
    spares = [fault.edit for fault in circuit.faults if fault.part == part.id and isinstance(fault.edit, Spare)]
    return dict(spares[-1].figures).get("mm2", part.mm2) if spares else part.mm2


def _loss(swing: Solution, path: str) -> tuple[float, float]:
    """Volts and watts lost in a path."""
    return abs(swing.across[path]), abs(swing.across[path] * swing.amps[path])


def _heat(
    part: "Wire | Joint | Switch | Fuse | Relay | StarterSolenoid", losses: list[tuple[float, float]], limit: float,
    warm: float = WARM_WATTS, hot: float = HOT_WATTS,
) -> list[Notice]:
    # While a relay clatters a joint carries the current about half the time.
    volts, watts = max(volts for volts, _ in losses), sum(watts for _, watts in losses) / len(losses)
    if volts < limit or watts < warm:
        return []
    word = "hot" if watts >= hot else "warm"
    felt = "hot: take the hand away" if word == "hot" else "warm to the touch"
    return [Notice(part.id, word, "", f"{part.id} ({part.title}) is {felt}.")]
