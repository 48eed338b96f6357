"""A machine as it stands, as the browser may know it; and the learner's work as lines of the test sheet."""

from collections.abc import Iterator, Sequence
from dataclasses import replace

from kit import draw
from kit.bay.strips import has_strip
from kit.exercises.acts import (
    Ask,
    Explain,
    Feel,
    Find,
    HandBack,
    Look,
    MoveFuse,
    Note,
    Prepare,
    Press,
    Probe,
    Reason,
    Refer,
    Repair,
    Tidy,
    Undo,
    Verify,
    Wiggle,
    fields_from_act,
)
from kit.exercises.readings import QUIET
from kit.exercises.said import done_in_words, stands_in_words
from kit.exercises.situation import Situation, Step
from kit.exercises.tray import JUMPER
from kit.machines import Machine

# What can simply be done once more, the machine being as it is.
REPEATED = (Probe, Look, Feel, Wiggle)
LINKS = (JUMPER, "bare wire")
NOTED = "noted"


def scene(here: Situation, steps: Sequence[Step], *, told: bool) -> dict:
    """What is seen in one situation, ``steps`` being the work that led there.

    Not ``told``: nothing here says more than a person beside the machine knows. Told: the state of every conductor,
    relay and fuse as well.
    """
    seen = here.seen()
    # The truth told is the machine's own: a lamp's filament would tie a dead wire to ground. A link is part of it.
    linked = here.probe is not None and here.probe.instrument in LINKS
    now = (here if linked else replace(here, probe=None)).operation()
    shown = draw.tell_all(now) if told else draw.plain(now)
    known = {str(terminal) for terminal in here.machine.circuit.terminals}
    return {
        "positions": dict(here.positions),
        "closed": sorted(shown.closed),
        "blown": sorted((shown.blown & {part.id for part in here.machine.circuit.parts}) | seen_blown(steps)),
        "out": sorted(here.out),
        "bigger": sorted(here.bigger),
        "off": sorted(here.off),
        "swapped": sorted(here.swapped),
        "warm": sorted(here.warm),
        "nodes": {terminal: state for terminal, state in shown.nodes.items() if terminal in known},
        "probe": _probe(here, steps),
        "noticed": [notice.text for notice in seen.noticed if notice.text and notice.word != "out"] or [QUIET],
    }


def _probe(here: Situation, steps: Sequence[Step]) -> dict | None:
    """The instrument on the machine and what it shows; one that comes off by itself shows until the next act."""
    last = steps[-1] if steps else None
    probe = here.probe
    if probe is None and last is not None and isinstance(last.act, Probe):
        probe = last.act
    if probe is None:
        return None
    # What was held while a control was pressed is in the act's own reading, not in how the machine stands after it.
    reading = last.reading if last is not None and last.reading else here.seen().reading
    shown = {"instrument": probe.instrument, "leads": list(probe.leads), "hold": probe.hold, "reading": reading}
    # An engine that runs on charges: the display does not stand still at what it showed while it was cranked.
    if last is not None and isinstance(last.act, Press) and here.engine.running and not probe.hold:
        now = here.seen().reading
        return shown | ({"now": now} if now != reading else {})
    return shown


def work_so_far(machine: Machine, steps: Sequence[Step], lines: Sequence[dict]) -> dict:
    """The test sheet, from the lines of its steps, and what else stands on the card."""
    undone = {step.act.reading for step in steps if isinstance(step.act, Undo)}
    reasons = {n: step.act.reason for n, step in enumerate(steps) if isinstance(step.act, Probe) and step.act.reason}
    reasons |= {step.act.reading: step.act.text for step in steps if isinstance(step.act, Reason)}
    return {
        "sheet": [
            entry | {"undone": entry["number"] in undone, "reason": reasons.get(entry["number"], "")}
            for entry in lines if entry["done"]
        ],
        "asked": {step.act.question: step.shown for step in steps if isinstance(step.act, Ask)},
        "prepared": [step.act.step for step in steps if isinstance(step.act, Prepare)],
        "tidied": [step.act.step for step in steps if isinstance(step.act, Tidy)],
        "notes": [
            {"part": step.act.part, "fault": step.act.fault, "text": step.act.text}
            for step in steps if isinstance(step.act, Note)
        ],
        "findings": [
            {"role": step.act.role, "part": step.act.part, "fault": step.act.fault, "lines": len(step.act.readings)}
            for step in steps if isinstance(step.act, Find)
        ],
        "repaired": list(_repaired(machine, steps)),
        "referred": "; ".join(f"{step.act.part}: {step.act.text}" for step in steps if isinstance(step.act, Refer)),
        "verified": _verified(steps),
        "not_yet": _not_yet(steps),
        "explained": next((step.act.text for step in reversed(steps) if isinstance(step.act, Explain)), ""),
        "over": over(steps),
    }


def _repaired(machine: Machine, steps: Sequence[Step]) -> Iterator[str]:
    for step in steps:
        if isinstance(step.act, Repair) or (isinstance(step.act, MoveFuse) and step.act.to in ("new", "bigger")):
            yield done_in_words(machine, step.act)


def _verified(steps: Sequence[Step]) -> bool:
    """Whether it was declared since the last repair: whoever mends again, or said so too early, can say so again."""
    for step in reversed(steps):
        if isinstance(step.act, Verify):
            return step.shown == NOTED
        if isinstance(step.act, Repair) or (isinstance(step.act, MoveFuse) and step.act.to in ("new", "bigger")):
            return False
    return False


def _not_yet(steps: Sequence[Step]) -> str:
    """Why the complaint is not gone, where it was declared gone since the last act on the machine; else empty."""
    for step in reversed(steps):
        if isinstance(step.act, Verify):
            return "" if step.shown == NOTED else step.shown
        if step.minutes:
            return ""
    return ""


def over(steps: Sequence[Step]) -> bool:
    """Whether the machine was handed back."""
    return any(isinstance(step.act, HandBack) for step in steps)


def line(machine: Machine, number: int, step: Step) -> dict:
    """A step as a line of the test sheet: number, what was done, what it showed, in which condition, its minutes.

    ``done`` is empty for what is no line of the sheet; ``again`` are the fields of the act, for doing it once more;
    ``strip``: whether a strip chart can be drawn of it.
    """
    shown = step.shown
    if step.reading and not isinstance(step.act, Probe):
        shown += f" Reading: {step.reading}."
    return {
        "number": number, "done": done_in_words(machine, step.act), "shown": shown,
        "condition": stands_in_words(machine, step.situation), "minutes": step.minutes,
        "again": fields_from_act(step.act) if isinstance(step.act, REPEATED) else None,
        "strip": has_strip(machine, step),
    }


def seen_blown(steps: Sequence[Step]) -> frozenset[str]:
    """Fuses whose melted wire the learner has looked at, and not renewed since."""
    blown: set[str] = set()
    for step in steps:
        if isinstance(step.act, Look) and "melted" in step.shown:
            blown.add(step.act.part)
        elif isinstance(step.act, (Repair, MoveFuse)) and getattr(step.act, "to", "new") in ("new", "bigger"):
            blown.discard(step.act.part)
    return frozenset(blown)
