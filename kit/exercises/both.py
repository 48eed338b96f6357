"""What a learner concluded of two faults that have nothing to do with each other, each judged by itself.

A fault's finding counts at the moment it was made, by what had been shown until then, and by nothing that was shown
after the part was renewed: a machine that works then proves no guess. Half of each line is for each fault. Both have to
be shown for a pass: one of them named without proof is 17 of 30, under the 18 that are asked for.
"""

from collections.abc import Mapping, Sequence

from kit.circuit import part_of
from kit.diagnose import Suspect, parts_of, unit
from kit.exercises.acts import Ask, Find, Look, Probe, Refer
from kit.exercises.cards import NO_CAUSE, JobCard
from kit.exercises.evidence import inseparable, pinned, still_suspect
from kit.exercises.pairs import mended_at, renewed_at, stated, strays
from kit.exercises.situation import Step
from kit.exercises.verdicts import Line, sheet_of
from kit.exercises.weighed import to_points

# Of the 15 for each fault: shown; the part shown and called something else; named and not shown; another that fitted.
SHOWN, ELSE, NAMED, FITTED = 15, 10, 2, 1
WHAT = "Located, justified by readings"
FREE, STRAY = 2, 5  # so many findings of sound parts cost nothing, each one more costs so much


def units_of(card: JobCard, faults: Suspect) -> Mapping[str, frozenset[str]]:
    """For each fault the parts a right finding may name: its own, and what no lead can tell from it."""
    return {fault: inseparable(card.machine, part_of(fault)) for fault in faults}


def located(card: JobCard, faults: Suspect, steps: Sequence[Step]) -> Line:
    """Both units, and for each whether the readings show it and nothing else."""
    units = units_of(card, faults)
    found = stated(units, steps)
    if not any(isinstance(step.act, Refer) or _is_finding(step, "fault") for step in steps):
        why = "No finding was stated: say which part is at fault, and how. There were two."
        return Line(what=WHAT, points=0, of=30, why=why)
    points, why = 0, []
    for fault, number in found.items():
        earned, words = (
            _unfound(card, faults, fault, steps) if number is None else _found(card, faults, fault, steps, number))
        points += earned
        why.append(words)
    wrong = len(strays(units, steps)) - FREE
    if wrong > 0:
        points -= STRAY * wrong
        why.append("Findings were stated of many sound parts: to name everything is to have found nothing.")
    return Line(what=WHAT, points=max(0, points), of=30, why=" ".join(why))


def _found(card: JobCard, faults: Suspect, fault: str, steps: Sequence[Step], number: int) -> tuple[int, str]:
    """Points and words for the finding of one of the faults."""
    found, part = steps[number].act, steps[number].act.part
    if isinstance(found, Refer):
        return NAMED, f"{part} was referred, and it was yours to put right."
    renewed = renewed_at(steps, fault)
    late = renewed is not None and renewed < number
    left = still_suspect(card, steps[: renewed if late else number], planted=faults)
    if not pinned(card, part, left):
        when = "when it was put right your readings" if late else "your readings"
        return NAMED, f"{part} it is, but {when} had not shown it: {_others(card, faults, fault, left)}."
    if f"{part} {found.fault}" != fault and part == part_of(fault):
        return ELSE, f"The readings do point to {part}, but not as '{found.fault}'."
    return SHOWN, f"Your readings leave {part} and nothing else."


def _others(card: JobCard, faults: Suspect, fault: str, left: Sequence[Suspect]) -> str:
    """What would have shown the same without this fault, in words."""
    mine = inseparable(card.machine, part_of(fault))
    rivals = [suspect for suspect in left if not mine & parts_of(suspect)]
    known = {part_of(other) for other in faults if other != fault}
    parts = sorted(frozenset().union(*map(parts_of, rivals)) - known) or sorted(known)
    more = f" and {len(parts) - 4} more" if len(parts) > 4 else ""
    return f"with a fault in {', '.join(parts[:4])}{more} they would be the same"


def _unfound(card: JobCard, faults: Suspect, fault: str, steps: Sequence[Step]) -> tuple[int, str]:
    """Points and words for a fault that no finding stands for."""
    part = part_of(fault)
    if mended_at(steps, fault) is not None:
        return 0, f"{part} was put right, and no finding was stated for it."
    wrong = strays(units_of(card, faults), steps)
    if wrong:
        named = steps[wrong[-1]].act.part
        left = still_suspect(card, steps[: wrong[-1]], planted=faults)
        if any(named == unit(suspect) for suspect in left):
            if not any(isinstance(step.act, Probe) for step in steps[: wrong[-1]]):
                return 0, f"No reading stood behind {named}, and it was {part}: a reading on the way parts them."
            return FITTED, f"{named} did fit your readings, and it was {part}: one more test would have parted them."
        return 0, f"{named} does not fit your own readings: it was {part}."
    return 0, f"{part} was never found: with that fault left this is half a job."


def caused(card: JobCard, faults: Suspect, steps: Sequence[Step]) -> Line:
    """Why each of them failed."""
    points, why = 0.0, []
    for fault, mine in units_of(card, faults).items():
        earned, words = _cause(card, fault, mine, steps)
        points += earned / 2
        why.append(words)
    return Line(what="Root cause", points=to_points(points), of=15, why=" ".join(why))


def _cause(card: JobCard, fault: str, mine: frozenset[str], steps: Sequence[Step]) -> tuple[int, str]:
    """Points of 15 and words for the cause of one of the faults: the last one stated for its unit."""
    part, cause = part_of(fault), card.machine.notes[fault].cause
    numbers = [n for n, step in enumerate(steps) if _is_finding(step, "cause") and step.act.part in mine]
    if not numbers:
        return 0, f"No cause was stated for {part}: each of the two has one of its own."
    said = steps[numbers[-1]].act.fault
    before = [step.act for step in steps[: numbers[-1]]]
    if said == cause:
        if any(isinstance(act, Ask) or (isinstance(act, Look) and act.part in mine) for act in before):
            return 15, f"That is why {part} failed: {cause}."
        return 8, f"{part}: {cause} it was, but nobody was asked and the part was not looked at: a guess."
    if said == NO_CAUSE:
        return 5, f"For {part} there was a cause to be found: {cause}. Ask, or look at the part."
    if said not in card.causes:
        return 5, f"That is the fault of {part}, not why it came: {cause}. Ask, or look at the part."
    return 0, f"{part}: not {said}, but {cause}."


def sheet(card: JobCard, faults: Suspect, steps: Sequence[Step]) -> Line:
    """The readings each finding rests on, and the reasons they were taken for."""
    points, why = 0.0, []
    for fault, number in stated(units_of(card, faults), steps).items():
        if number is None:
            why.append(f"{part_of(fault)}: no finding, and no readings for it.")
            continue
        earned, words = sheet_of(card, faults, steps, number)
        points += earned / 2
        why.append(f"{steps[number].act.part}: {words}")
    return Line(what="Test sheet", points=to_points(points), of=10, why=" ".join(why))


def half_done(faults: Suspect, steps: Sequence[Step]) -> str:
    """Which of the two is put right and which is not, in words; empty unless it is one of them."""
    mended = {fault: mended_at(steps, fault) is not None for fault in faults}
    if sum(mended.values()) != 1:
        return ""
    done, left = (next(part_of(fault) for fault in faults if mended[fault] is so) for so in (True, False))
    return f"Half a job: {done} is put right and stays so, {left} is not, and the machine went back with it."


def _is_finding(step: Step, role: str) -> bool:
    return isinstance(step.act, Find) and step.act.role == role
