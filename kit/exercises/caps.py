"""Safety caps: what a mark cannot get past, each with its reason.

A is not yet competent, 40 points at most; B 70 at most; C takes five off each, ten at the most (trade.md). Every cap is
judged on the state before the act, for that is what the learner could know, and counts once the act is done. Good
practice has none: a secured, fused diagnostic link taken off again, an unplugged unit's supply under a lamp, a load on
one battery of a pair. Cables are not cut or pierced here and the AC side of a generator has no door, so those caps
cannot be earned.
"""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from kit.circuit import (
    Battery,
    Circuit,
    ControlUnit,
    Fuse,
    Motor,
    Relay,
    StarterSolenoid,
    Terminal,
)
from kit.exercises.acts import HandBack, MoveFuse, Operate, Press, Probe, Unplug
from kit.exercises.acts import Plug as PlugIn
from kit.exercises.joined import (
    clamps_of,
    feeds_starter,
    isolates,
    kills_at,
    meet,
    outputs,
    posts_of,
    signal_pins,
    tied,
)
from kit.exercises.situation import Situation, Step
from kit.exercises.tray import JUMPER, tool
from kit.machines import Machine

CAP_A, CAP_B, C_EACH, C_MOST = 40, 70, 5, 10
SECURE, FUMES = "secure", "fumes"
CRANK_SECONDS = 5.0  # where the machine's papers name none (common practice)
LIVE_VOLTS = 0.5  # an ohmmeter finds more than this against ground at its leads: live
BENT_VOLTS = 0.02  # and more than this between its leads: a current flows there, and bends the figure
HARMS_VOLTS = 5.0  # what a module's input is not made for
TURNING = ("cranks", "cranks slowly", "stalls", "twitches", "turns backwards", "overruns")
OHMS = ("ohms", "continuity", "diode test")
FILAMENTS = ("lamp", "loading lamp")
LINKS = (JUMPER, "bare wire")


@dataclass(frozen=True, slots=True, kw_only=True)
class Cap:
    """One cap: its letter, what it is about (the same thing counts once), and why in a sentence."""

    letter: str
    about: str
    why: str


def judge(before: Situation, step: Step) -> Iterator[Cap]:
    """The caps one act earned, on the machine as it stood before it."""
    match step.act:
        case MoveFuse(to="bigger"):
            yield _a("bigger fuse", "A bigger fuse went in. That is how looms burn: the fuse no longer protects the "
                     "wire.")
        case Operate() | Press():
            yield from _moving(before, step)
            yield from _moved_under(before, step)
        case Probe():
            yield from _probing(before, step)
        case Unplug():
            yield from _taking_off(before, step.act.part)
        case PlugIn():
            yield from _putting_on(before, step.act.part)
        case HandBack():
            if before.probe is not None and before.probe.instrument in LINKS:
                yield _a("bypass left", "A link was still on when the machine was handed back: it bypasses what "
                         "somebody relies on.")
        case _:
            pass
    if isinstance(step.act, (Operate, Press, Probe)) and _turns(before, step):
        yield from _unsecured(before)


def limited(points: int, caps: tuple[Cap, ...]) -> int:
    """The points that are left under these caps."""
    letters = [cap.letter for cap in caps]
    points -= min(C_MOST, C_EACH * letters.count("C"))
    if "B" in letters:
        points = min(points, CAP_B)
    if "A" in letters:
        points = min(points, CAP_A)
    return max(0, points)


def _a(about: str, why: str) -> Cap:
    return Cap(letter="A", about=about, why=why)


def _b(about: str, why: str) -> Cap:
    return Cap(letter="B", about=about, why=why)


def _c(about: str, why: str) -> Cap:
    return Cap(letter="C", about=about, why=why)


# Controls


def _moving(before: Situation, step: Step) -> Iterator[Cap]:
    act, machine = step.act, before.machine
    positions = machine.moved(before.positions, **{act.control: act.position})
    if FUMES in _asked_for(machine) and FUMES not in before.prepared:
        yield _a("fumes", "A switch was thrown before the bilge was sniffed and blown out: fumes wait for a spark.")
    opened = machine.closed_switches(before.positions) - machine.closed_switches(positions)
    if before.engine.running and any(isolates(machine, switch) for switch in opened):
        yield _b("opened running", "The isolator was opened with the engine running: with no battery to hold it, the "
                 "alternator's volts shoot up and kill its diodes.")
    # A press says how long it will last; a control let go says how long it was held.
    seconds = act.seconds if isinstance(act, Press) else act.held
    if seconds > (most := crank_seconds(machine)):
        held = replace(before, positions=positions) if isinstance(act, Press) else before
        if _any_turning(held) and not before.engine.free:
            yield _b("over-long crank", f"The starter was held for {seconds:g} s; more than {most:g} s at a time "
                     "cooks it.")


def _unsecured(before: Situation) -> Iterator[Cap]:
    if SECURE not in before.prepared:
        yield _a("unsecured", "Start was asked for before the machine was made safe: neutral, on its stand or "
                 "chocked, people clear. It could have driven off.")


def _turns(before: Situation, step: Step) -> bool:
    """Whether the act asks the starter to turn: it does now, or would on the sound machine, and it did not before.

    The sound machine counts, for nobody can know beforehand that it will stay silent.
    """
    if _any_turning(before):
        return False
    if isinstance(step.act, Probe):
        return _any_turning(step.situation)
    positions = before.machine.moved(before.positions, **{step.act.control: step.act.position})
    then = replace(before, positions=positions)
    sound = replace(then, faults=(), state=replace(before.state, melted=frozenset()))
    return _any_turning(then) or (_any_turning(sound) and not _any_turning(replace(sound, positions=before.positions)))


def _any_turning(situation: Situation) -> bool:
    return any(
        notice.word in TURNING and isinstance(situation.machine.circuit[notice.part], Motor)
        for notice in situation.seen().noticed if notice.part in situation.machine.circuit
    )


def crank_seconds(machine: Machine) -> float:
    """How long the starter may be held, by the machine's data or cautions ("5 s on, 60 s off")."""
    texts = [*machine.data.values(), *machine.cautions.values()]
    found = next((match for text in texts if (match := re.search(r"(\d+) s on", text))), None)
    return float(found[1]) if found else CRANK_SECONDS


def _asked_for(machine: Machine) -> frozenset[str]:
    """What the machine's own cautions ask for before any switch is thrown."""
    return frozenset({FUMES} & set(machine.cautions))


# Instruments


def _probing(before: Situation, step: Step) -> Iterator[Cap]:
    act, machine = step.act, before.machine
    taken = tool(act.instrument)
    if taken.proved and taken.proved not in before.proved and taken.proved not in step.situation.proved:
        yield _c(f"unproved {taken.proved}", f"The {taken.proved} was used before it was proved where the answer is "
                 "known: a dead one says out, or 0.00, to everything.")
    if len(act.leads) != 2:
        return
    bare = replace(before, probe=None)
    raw = bare.operation().volts
    first, second = act.leads
    one, other = raw.get(first), raw.get(second)
    # A point that floats drives nothing, whatever the other one stands at.
    volts = 0.0 if one is None or other is None else abs(one - other)
    grounded = [abs(raw.get(lead) or 0.0) for lead in act.leads]
    # With minus off nothing can drive a current any more, whatever volts a point still has against the minus post.
    fed = not clamps_of(machine)["-"] <= before.off
    if act.instrument in OHMS and (volts > BENT_VOLTS or (fed and max(grounded) > LIVE_VOLTS)):
        yield _b("ohms live", "Ohms were taken on a live circuit: the figure is nonsense and the meter may be the next "
                 "repair. Prove it dead with volts first.")
    posts = posts_of(machine.circuit)
    ends = [tied(before, lead) for lead in act.leads]
    across = volts > 0.4 * machine.volts and all(end & posts for end in ends)
    if act.instrument == "amps" and across:
        yield _a("amps across", "The ammeter went straight across the battery: a dead short through its leads, with "
                 "only its fuse between a hand and a flash.")
    if act.instrument == "bare wire":
        yield from _bridging(before, step, across=across)
    yield from _harming(before, act, raw)
    if machine.volts > 18 and act.instrument in (*LINKS, *FILAMENTS):
        yield from _tapping(machine.circuit, ends, posts)


def _bridging(before: Situation, step: Step, *, across: bool) -> Iterator[Cap]:
    circuit = before.machine.circuit
    pair = {Terminal.read(lead) for lead in step.act.leads}
    contacts = [
        set(part.makes) for part in circuit.parts
        if isinstance(part, (Relay, StarterSolenoid)) and feeds_starter(before, part)
    ]
    if across:
        yield _a("sparked", "A bare wire went across the battery's posts to see it spark: it does, beside a gas that "
                 "burns.")
    elif any(meet(before, pair, contact) for contact in contacts) or _any_turning(step.situation):
        yield _a("bridged", "The starter was bridged with a tool, past every interlock. Use the start button, or a "
                 "fused link on the trigger of a secured machine.")
    elif any(meet(before, pair, set(part.terminals)) for part in circuit.parts if isinstance(part, Fuse)):
        yield _a("bigger fuse", "A bare wire went in a fuse's place. That is how looms burn.")


def _harming(before: Situation, act: Probe, raw: Mapping[str, float | None]) -> Iterator[Cap]:
    """A load on what is made for milliamps: a unit's signal pins, a magneto's kill wire."""
    if act.instrument not in (*LINKS, *FILAMENTS):
        return
    signals = signal_pins(before)
    for number, lead in enumerate(act.leads):
        other = raw.get(act.leads[1 - number])
        pins = signals & tied(before, lead)
        if not pins and (other or 0.0) > HARMS_VOLTS:
            pins = signals & kills_at(before, lead)
        if act.instrument in FILAMENTS:
            # An output is made to drive something: a lamp along its wire is no harm, one on the unit's own pin is.
            pins -= outputs(before) - {Terminal.read(lead)}
        if pins and (other or 0.0) > HARMS_VOLTS:
            yield _b("onto a signal", f"Battery volts went onto {min(map(str, pins))}, which is made for a signal: "
                     "that is how modules die. Unplug it, then ohms.")
        elif any(isinstance(before.machine.circuit[pin.part], ControlUnit) for pin in pins) and (
            act.instrument in FILAMENTS
        ):
            yield _b("lamp on a signal", f"A filament lamp went on {min(map(str, pins))}, a signal pin of a unit that "
                     "was plugged in. Use the meter there.")


def _moved_under(before: Situation, step: Step) -> Iterator[Cap]:
    """Controls moved with a lamp or a link left on: a contact that shuts may bring its volts where they do harm."""
    probe = before.probe
    if probe is None or len(probe.leads) != 2 or probe.instrument not in (*LINKS, *FILAMENTS):
        return
    positions = before.machine.moved(before.positions, **{step.act.control: step.act.position})
    moved = replace(before, positions=positions)
    found = tuple(_harming(moved, probe, replace(moved, probe=None).operation().volts))
    if found:
        earned = {cap.about for cap in _harming(before, probe, replace(before, probe=None).operation().volts)}
        yield from (cap for cap in found if cap.about not in earned)


def _tapping(circuit: Circuit, ends: list[frozenset[Terminal]], posts: frozenset[Terminal]) -> Iterator[Cap]:
    minus = {Terminal(part.id, "-") for part in circuit.parts if isinstance(part, Battery)}
    plus = {Terminal(part.id, "+") for part in circuit.parts if isinstance(part, Battery)}
    for mine, other in (ends, ends[::-1]):
        if mine & minus and mine & plus and not other & posts:
            yield _b("12 V tap", "12 V was taken from one of a 24 V pair: that battery goes flat and the other is "
                     "overcharged.")


# Plugs and clamps


def _taking_off(before: Situation, part_id: str) -> Iterator[Cap]:
    sides = clamps_of(before.machine)
    if part_id in sides["+"] and not sides["-"] & before.off:
        yield _c("lead order", "The plus clamp came off with minus still on: a spanner from plus to the frame is a "
                 "short. Minus first off, last on.")
    if before.engine.running and (part_id in sides["+"] | sides["-"]):
        yield _b("opened running", "The battery was taken off with the engine running: with nothing to hold them, the "
                 "volts shoot up and kill diodes and units.")


def _putting_on(before: Situation, part_id: str) -> Iterator[Cap]:
    sides = clamps_of(before.machine)
    if part_id in sides["+"] and part_id in before.off and not sides["-"] & before.off:
        yield _c("lead order", "The plus clamp went on with minus already on. Minus first off, last on.")
