"""Acts that change the machine, or what lies beside it: plugs, fuses, spares, repairs, an instrument's own fuse."""

from dataclasses import replace

from kit.circuit import Battery, Fuse, Joint, Metal, Wire, part_of
from kit.errors import OperationError
from kit.exercises.acts import (
    BIGGER,
    FUSE_MOVES,
    HEATS,
    NAMES,
    SWAPS,
    Ask,
    MoveFuse,
    Plant,
    Plug,
    Prove,
    Renew,
    Repair,
    Swap,
    Unplug,
    Warm,
)
from kit.exercises.minutes import RENEW_MINUTES, minutes_of, nearest
from kit.exercises.readings import moved, part_named
from kit.exercises.repairs import cures, way
from kit.exercises.situation import Situation, Step
from kit.exercises.tray import JUMPER, METER, PROVED_SHOWS, TRAY, tool


def warmed(situation: Situation, act: Warm) -> Step:
    part = part_named(situation, act.part)
    if act.to not in HEATS:
        raise OperationError(f"a part cannot be made '{act.to}'; it can be {' or '.join(HEATS)}.")
    warm = situation.warm | {part.id} if act.to == "warm" else situation.warm - {part.id}
    words = f"{part.id} is {'warm' if act.to == 'warm' else 'cold again'}."
    return moved(replace(situation, warm=warm), act, minutes_of("warm"), words)


def plugged(situation: Situation, act: Unplug | Plug) -> Step:
    part = part_named(situation, act.part)
    if isinstance(part, (Battery, Metal, Fuse)):
        instead = {Battery: "take its clamp off", Metal: "take the lug or strap off it", Fuse: "take it out"}
        raise OperationError(f"a {part.word} has no plug; {instead[type(part)]}.")
    minutes = nearest(situation.machine, part, minutes_of(NAMES[type(act)]))
    if isinstance(act, Unplug):
        return moved(replace(situation, off=situation.off | {part.id}), act, minutes, f"{part.id} is off.")
    return moved(replace(situation, off=situation.off - {part.id}), act, minutes, f"{part.id} is on again.")


def fuse_moved(situation: Situation, act: MoveFuse) -> Step:
    part = part_named(situation, act.part)
    if not isinstance(part, Fuse):
        raise OperationError(f"{act.part} is a {part.word}, not a fuse.")
    if act.to not in FUSE_MOVES:
        raise OperationError(f"a fuse cannot be '{act.to}'; it can be {', '.join(FUSE_MOVES)}.")
    changed = replace(situation, out=situation.out | {part.id} if act.to == "out" else situation.out - {part.id})
    if act.to in ("new", "bigger"):
        changed = replace(
            changed,
            faults=tuple(fault for fault in changed.faults if part_of(fault) != part.id),
            state=replace(changed.state, melted=changed.state.melted - {part.id}),
            bigger=changed.bigger | {part.id} if act.to == "bigger" else changed.bigger - {part.id},
        )
    words = {
        "out": f"{part.id} is out.", "in": f"{part.id} is back in its holder.",
        "new": f"A new {part.amps:g} A fuse is in {part.id}.",
        "bigger": f"A {part.amps * BIGGER:g} A fuse is in {part.id}'s holder.",
    }
    return moved(changed, act, minutes_of("fuse"), words[act.to])


def swapped(situation: Situation, act: Swap) -> Step:
    part = part_named(situation, act.part)
    if isinstance(part, (Wire, Joint, Metal, Fuse)):
        raise OperationError(f"there is no like {part.word} to try in the place of {part.id}.")
    if act.to not in SWAPS:
        raise OperationError(f"in the place of {part.id} goes a spare or its own, not '{act.to}'.")
    spare = act.to == "spare"
    swapped = situation.swapped | {part.id} if spare else situation.swapped - {part.id}
    words = f"A like {part.word} is in the place of {part.id}." if spare else f"{part.id}'s own is back."
    return moved(replace(situation, swapped=swapped), act, minutes_of("swap"), words)


def repaired(situation: Situation, act: Repair) -> Step:
    part = part_named(situation, act.part)
    present = [fault for fault in situation.faults if part_of(fault) == part.id]
    words, minutes, mended, new = "is put right as the manual says", RENEW_MINUTES, present, True
    if act.how:
        found = way(act.how, part)
        words, minutes, new = found.words, found.minutes, not found.cures
        mended = [fault for fault in present if cures(situation.machine, act.how, fault)]
    changed = replace(situation, faults=tuple(fault for fault in situation.faults if fault not in mended))
    if new:
        changed = replace(
            changed, swapped=changed.swapped - {part.id}, bigger=changed.bigger - {part.id},
            state=replace(changed.state, melted=changed.state.melted - {part.id}),
        )
    return moved(changed, act, minutes, f"{part.word.capitalize()} {part.id} ({part.title}) {words}.")


def planted(situation: Situation, act: Plant) -> Step:
    situation.machine.fault(act.fault)
    rest = tuple(fault for fault in situation.faults if fault != act.fault)
    faults = (*rest, act.fault) if act.present == "yes" else rest
    part = part_of(act.fault)
    state = replace(situation.state, melted=situation.state.melted - {part})
    return moved(replace(situation, faults=faults, state=state), act, 0.0)


# Beside the machine


def seen_to(situation: Situation, act: Prove | Renew) -> Step:
    """An instrument proved, or its own fuse renewed."""
    minutes = minutes_of(NAMES[type(act)])
    if isinstance(act, Renew):
        if act.instrument not in (METER, JUMPER):
            raise OperationError(f"there is a fuse in the {METER} and in the {JUMPER}, none in '{act.instrument}'.")
        whole = replace(situation, spent=situation.spent - {act.instrument})
        shown = f"A new fuse is in the {act.instrument}."
        return Step(act=act, situation=whole, shown=shown, minutes=minutes)
    taken = TRAY["volts"] if act.instrument == METER else tool(act.instrument)
    if not taken.proved:
        raise OperationError(f"the {taken.title} needs no proof.")
    shown = f"{taken.proved}: {PROVED_SHOWS[taken.proved]}."
    if act.instrument == "amps" and METER in situation.spent:
        shown = f"{taken.proved}: no amps through a lamp that is lit without it. Its own fuse has gone."
    proved = replace(situation, proved=situation.proved | {taken.proved})
    return Step(act=act, situation=proved, shown=shown, minutes=minutes)


def asked(situation: Situation, act: Ask) -> Step:
    if act.question not in situation.answers:
        known = "; ".join(situation.answers) or "nothing, on open practice"
        raise OperationError(f"that is not among the card's questions; you can ask: {known}.")
    return Step(act=act, situation=situation, shown=situation.answers[act.question], minutes=minutes_of("ask"))
