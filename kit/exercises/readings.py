"""What an act shows: noticed by a person, read off an instrument, seen close by, felt by a hand."""

from dataclasses import replace

from kit.circuit import Battery, Part, Terminal, part_of
from kit.diagnose.looks import always_shows, in_one
from kit.errors import KitError, OperationError
from kit.exercises.acts import MIN_MAX, Act, Feel, Look, Press, Probe, Wiggle
from kit.exercises.held import in_time
from kit.exercises.minutes import LOOK_MINUTES, OPERATE_MINUTES, ends_of, minutes_of, nearest
from kit.exercises.situation import Seen, Situation, Step
from kit.exercises.tray import check_leads, tool
from kit.instruments.meter import HOLDS
from kit.machines import Machine

QUIET = "Nothing lights, nothing clicks, nothing turns."
NO_WARMTH = "Neither warm nor hot."
STILL_WARM_MINUTES = 3.0  # how long a hand still feels what a current has warmed (common practice)
BEFORE_SECONDS = 0.3  # a meter on hold has settled on what was before the press


def settled(situation: Situation, *, fresh: bool = False) -> tuple[Situation, Seen]:
    """The situation gone on to where the machine comes to rest, and what is seen there."""
    seen = situation.seen(fresh=fresh)
    gone_on = replace(situation, state=seen.state, engine=seen.engine, spent=seen.spent)
    if seen.warm:
        gone_on = replace(gone_on, heated=seen.warm, heated_at=situation.minutes)
    return gone_on, seen


def sentences(seen: Seen) -> tuple[str, ...]:
    return tuple(notice.text for notice in seen.noticed if notice.text and notice.word != "out")


def told_of(seen: Seen) -> object:
    return ("noticed", seen.words, seen.told)


def moved(situation: Situation, act: Act, minutes: float, prefix: str = "") -> Step:
    """Solve after something changed: what a person notices, and what an instrument left in place shows now."""
    situation, seen = settled(situation)
    return Step(
        act=act, situation=situation, minutes=minutes, reading=seen.reading,
        shown=" ".join(filter(None, (prefix, *sentences(seen)))) or QUIET, told=told_of(seen),
    )


def pressed(situation: Situation, act: Press) -> Step:
    """Held for so many seconds, then let go; what has latched, melted or caught stays so.

    A key held at start springs back to on, wherever it stood before; what springs nowhere is put back where it was.
    """
    machine, resting = situation.machine, situation.positions
    held = machine.moved(resting, **{act.control: act.position})
    freed = machine.controls[act.control].let_go(act.position)
    if freed != act.position:
        resting = machine.moved(resting, **{act.control: freed})
    pressed, during = settled(replace(situation, positions=held))
    released, after = settled(replace(pressed, positions=resting))
    reading = during.reading
    if situation.probe is not None and situation.probe.hold == MIN_MAX and not situation.brief:
        reading = _held(situation, act) or reading
    words = [" ".join(sentences(during)) or QUIET]
    if after.words != situation.seen().words:
        words.append(f"Let go: {' '.join(sentences(after)) or QUIET}")
    return Step(
        act=act, situation=released, minutes=OPERATE_MINUTES, reading=reading, shown=" ".join(words),
        told=("both", told_of(during), told_of(after)),
    )


def _held(situation: Situation, act: Press) -> str:
    """What a meter on min/max keeps of the press, from its course in time; empty where that cannot be run."""
    meter = tool(situation.probe.instrument).make(situation.machine, situation.probe.leads)
    moves = [(BEFORE_SECONDS, {act.control: act.position})]
    try:
        return meter.hold(in_time(situation, moves, BEFORE_SECONDS + min(act.seconds, 5.0)).course).shown
    except KitError:
        # Of a circuit that finds no rest on its way the steady figure is shown.
        return ""


def probed(situation: Situation, act: Probe) -> Step:
    machine, taken = situation.machine, tool(act.instrument)
    check_leads(machine, act.instrument, act.leads)
    if act.hold and not (act.hold == MIN_MAX and taken.holds):
        raise OperationError(f"the {taken.title} cannot hold '{act.hold}'; {', '.join(HOLDS)} hold '{MIN_MAX}'.")
    before = situation.probe.leads if situation.probe else ()
    minutes = taken.minutes if situation.probe is None or situation.probe.instrument != act.instrument else 0.0
    if len(act.leads) == 2:
        minutes += sum(machine.points[Terminal.read(lead)].minutes for lead in act.leads if lead not in before)
    # What was on comes off first, and what it held goes with it.
    bare, without = settled(replace(situation, probe=None))
    there, seen = settled(replace(bare, probe=act), fresh=True)
    new = [notice for notice in seen.noticed if notice.text and (notice.part, notice.word) not in without.words]
    if act.instrument == "load tester":
        # Its fifteen seconds are over and the pile is let go.
        there = replace(there, probe=None, state=bare.state)
    if taken.proved and _on_posts(machine, act.leads) and act.instrument not in ("ohms", "continuity", "diode test"):
        there = replace(there, proved=there.proved | {taken.proved})
    told = ("noticed", frozenset((notice.part, notice.word) for notice in new), seen.told) if new else seen.told
    shown = " ".join((f"{seen.reading}.", *(notice.text for notice in new))) if new else seen.reading
    return Step(act=act, situation=there, shown=shown, reading=seen.reading, told=told, minutes=round(minutes, 3))


def _on_posts(machine: Machine, leads: tuple[str, ...]) -> bool:
    """Whether both leads are on a battery's own posts."""
    return len(leads) == 2 and all(isinstance(machine.circuit[Terminal.read(lead).part], Battery) for lead in leads)


def looked(situation: Situation, act: Look) -> Step:
    """What a close look shows; it tells as well what would be seen by one who missed what can be missed."""
    part = part_named(situation, act.part)
    present = [fault for fault in situation.faults if part_of(fault) == act.part]
    if act.part in situation.swapped:
        present = []
    looks = [situation.looks.get(fault) or situation.machine.notes[fault].looks for fault in present]
    sure = [
        look for fault, look in zip(present, looks, strict=True)
        if always_shows(situation.machine, situation.machine.fault(fault))
    ]
    plain = []
    if act.part in situation.state.melted:
        plain.append("The wire inside is melted through.")
    if act.part in situation.out:
        plain.append("It is out of its holder.")
    if act.part in situation.off:
        plain.append("It is unplugged.")
    plain += [notice.touch for notice in situation.seen().noticed if notice.part == part.id and notice.touch]
    shown = in_one((*looks, *plain))
    ends, points = ends_of(part), situation.machine.points
    minutes = max([LOOK_MINUTES, *(points[terminal].minutes for terminal in ends if terminal in points)])
    told = ("look", shown, in_one((*sure, *plain)))
    return Step(act=act, situation=situation, shown=shown, told=told, minutes=minutes)


def felt(situation: Situation, act: Feel) -> Step:
    part = part_named(situation, act.part)
    touches = [notice.touch for notice in situation.seen().noticed if notice.part == part.id and notice.touch]
    if not touches and part.id in situation.heated and situation.minutes - situation.heated_at <= STILL_WARM_MINUTES:
        touches = [f"{part.id} ({part.title}) is still warm."]
    shown = " ".join(touches) or NO_WARMTH
    return Step(act=act, situation=situation, shown=shown, told=("felt", shown), minutes=minutes_of("feel"))


def wiggled(situation: Situation, act: Wiggle) -> Step:
    """What shows itself while the part is moved; afterwards things may stand otherwise than before."""
    part = part_named(situation, act.part)
    still = situation.seen()
    moving = situation.seen(wiggled=part.id)
    after, rest = settled(replace(situation, state=moving.state, engine=moving.engine))
    same = moving.words == still.words and moving.reading == still.reading
    said = " ".join(sentences(moving)) or QUIET
    reading = moving.reading if moving.reading in ("", still.reading) else f"{still.reading}, then {moving.reading}"
    shown = f"Moving {part.id} about changes nothing." if same else f"While {part.id} is moved: {said}"
    if not same and rest.words != still.words:
        shown += f" Left alone: {' '.join(sentences(rest)) or QUIET}"
    minutes = nearest(situation.machine, part, minutes_of("wiggle"))
    return Step(
        act=act, situation=after, shown=shown, reading=reading, told=("both", told_of(moving), told_of(rest)),
        minutes=minutes,
    )


def part_named(situation: Situation, part_id: str) -> Part:
    try:
        return situation.machine.circuit[part_id]
    except KitError as error:
        raise OperationError(str(error)) from error
