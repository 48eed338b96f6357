"""Acts in words: what was done, and how the machine stood, as a line of the test sheet has it."""

from kit.exercises.acts import (
    Act,
    Feel,
    Lift,
    Look,
    MoveFuse,
    Operate,
    Plug,
    Press,
    Probe,
    Prove,
    Renew,
    Repair,
    Swap,
    Unplug,
    Warm,
    Wiggle,
)
from kit.exercises.situation import Situation
from kit.exercises.tray import TRAY
from kit.machines import Machine

FUSE_WORDS = {"out": "took {} out", "in": "put {} back", "new": "fitted a new {}", "bigger": "fitted a bigger {}"}


def done_in_words(machine: Machine, act: Act) -> str:
    """What was done, in words; empty for what is no line of the test sheet."""
    match act:
        case Operate(control=control, position=position, held=held):
            after = f", after {held:.1f} s" if held else ""
            return f"{machine.controls[control].title}: {position}{after}"
        case Press(control=control, position=position, seconds=seconds):
            return f"{machine.controls[control].title}: {position} for {seconds:g} s"
        case Probe(instrument=instrument, leads=leads, hold=hold):
            taken = TRAY[instrument]
            put = ", ".join(f"{word} {lead}" for word, lead in zip(taken.leads, leads, strict=True))
            return f"{taken.title}{f', {hold}' if hold else ''}: {put}"
        case Lift():
            return "took the leads off"
        case Prove(instrument=instrument):
            return f"proved the {TRAY[instrument].proved or TRAY[instrument].title}"
        case Renew(instrument=instrument):
            return f"new fuse in the {instrument}"
        case Look(part=part):
            return f"looked at {part}"
        case Feel(part=part):
            return f"put a hand on {part}"
        case Wiggle(part=part):
            return f"wiggled {part}"
        case Warm(part=part, to=to):
            return f"warmed {part} up" if to == "warm" else f"let {part} cool"
        case Unplug(part=part):
            return f"took {part} off"
        case Plug(part=part):
            return f"put {part} on again"
        case MoveFuse(part=part, to=to):
            return FUSE_WORDS[to].format(part)
        case Swap(part=part, to=to):
            return f"good spare in place of {part}" if to == "spare" else f"{part}'s own back in its place"
        case Repair(part=part, how=how):
            return f"mended or renewed {part}{f': {how}' if how else ''}"
        case _:
            return ""


def stands_in_words(machine: Machine, here: Situation) -> str:
    """How the machine stands: controls moved, fuses out, parts off, spares in, parts warm."""
    moved = machine.in_words(here.positions, unlike=machine.positions())
    moved += [f"{fuse} out" for fuse in sorted(here.out)] + [f"{part} off" for part in sorted(here.off)]
    moved += [f"spare {part}" for part in sorted(here.swapped)] + [f"{part} warm" for part in sorted(here.warm)]
    return ", ".join(moved) or "all at rest"
