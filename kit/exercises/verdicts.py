"""What a learner concluded, judged by what the learner was shown: the part, the cause, the test sheet."""

from collections.abc import Sequence
from dataclasses import dataclass

from kit.circuit import Change, part_of
from kit.diagnose import Suspect, parts_of, unit
from kit.exercises.acts import Ask, Look, Operate, Press, Probe, Reason, Refer
from kit.exercises.cards import NO_CAUSE, REFERRED, JobCard
from kit.exercises.evidence import everyone, finding, inseparable, pinned, still_suspect, withdrawn
from kit.exercises.owners import tells_the_cause
from kit.exercises.situation import Step
from kit.machines import Machine

REASONED_FROM = 12  # characters a reason has at least to be one
UNPROVED = "The finding rests on no reading: tick the lines of the sheet that show it."


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One line of a job's mark."""

    what: str
    points: int
    of: int
    why: str


def located(card: JobCard, faults: Suspect, steps: Sequence[Step]) -> Line:
    """The unit, and whether the readings show it and nothing else."""
    what = "Located, justified by readings"
    number = finding(steps, "fault")
    if number is None:
        return Line(what=what, points=0, of=30, why="No finding was stated: say which part is at fault, and how.")
    found = steps[number].act
    if isinstance(found, Refer):
        return _referred(card, faults, steps, number)
    claim = f"{found.part} {found.fault}"
    if card.rules > 1 and found.part in _came_of_it(card, faults):
        why = f"{found.part} has run down, as the owner says, and that came of something else. Find what emptied it."
        return Line(what=what, points=4, of=30, why=why)
    left = still_suspect(card, steps[:number], planted=faults)
    names = _count(len(left))
    if claim not in faults and found.part not in _right(card, faults):
        if not any(found.part == unit(suspect) for suspect in left):
            return Line(what=what, points=0, of=30, why=f"{claim} does not fit your own readings; {names} still did.")
        why = f"{claim} did fit your readings, and so did {names} in all. One more test would have parted them."
        return Line(what=what, points=4, of=30, why=why)
    if not pinned(card, found.part, left):
        why = f"{found.part} it is, but your readings had not shown it: {names} would have shown the same."
        return Line(what=what, points=10, of=30, why=why)
    if claim not in faults and found.part in parts_of(faults):
        why = f"The readings do point to {found.part}, but not as '{found.fault}'."
        return Line(what=what, points=20, of=30, why=why)
    return Line(what=what, points=30, of=30, why=f"Your readings leave {found.part} and nothing else.")


def _right(card: JobCard, faults: Suspect) -> frozenset[str]:
    """The parts a right finding may name: those at fault, and what no lead can tell from them."""
    if card.rules == 1:
        return parts_of(faults)
    right = parts_of(faults) - _came_of_it(card, faults)
    return frozenset().union(*(inseparable(card.machine, part) for part in right))


def _came_of_it(card: JobCard, faults: Suspect) -> frozenset[str]:
    """The batteries that something else ran down: charged, they would be flat again."""
    came = [card.machine.fault(fault) for fault in faults[1:]]
    run_down = {fault.part for fault in came if isinstance(fault.edit, Change) and fault.edit.field == "charge"}
    return frozenset(run_down - {part_of(faults[0])})


def _referred(card: JobCard, faults: Suspect, steps: Sequence[Step], number: int) -> Line:
    what = "Located, justified by readings"
    part = steps[number].act.part
    left = still_suspect(card, steps[:number], planted=faults)
    if not refers(faults):
        why = "It was referred, and it was yours to put right: the fault is electrical."
        return Line(what=what, points=10 if part in parts_of(faults) else 0, of=30, why=why)
    if part not in parts_of(faults):
        return Line(what=what, points=4, of=30, why=f"To refer it is right, but it does not come down to {part}.")
    others = [suspect for suspect in left if not refers(suspect)]
    if others:
        why = f"To refer it is right, but {_count(len(others))} among the electrics would have shown the same."
        return Line(what=what, points=10, of=30, why=why)
    return Line(what=what, points=30, of=30, why="Your readings clear the electrics: it is the engine, and referred.")


def refers(faults: Suspect) -> bool:
    """Whether a fault is none of the electrics, to be shown so and referred."""
    return any(word in fault for fault in faults for word in REFERRED)


def caused(card: JobCard, faults: Suspect, steps: Sequence[Step]) -> Line:
    """Why it failed."""
    what = "Root cause"
    number = finding(steps, "cause")
    if number is None:
        why = "No cause was stated. A blown fuse is a symptom: what made it blow?" if card.rules == 1 else (
            "No cause was stated: why did it fail, and what keeps it from failing again?"
        )
        return Line(what=what, points=0, of=15, why=why)
    if card.rules == 1 or len(faults) > 1:
        return _chain(card, faults, steps, number)
    found, case = steps[number].act, card.case()
    shows = bool(case.inspection) or tells_the_cause(card.machine_id, case.name)
    if found.fault == case.cause:
        before = [step.act for step in steps[:number]]
        asked = any(isinstance(act, Ask) for act in before)
        looked = any(isinstance(act, Look) and act.part in parts_of(faults) for act in before)
        if asked or looked or not shows:
            return Line(what=what, points=15, of=15, why=f"That is why it failed: {case.cause}.")
        why = f"{case.cause.capitalize()} it was, but nobody was asked and the part was not looked at: a guess."
        return Line(what=what, points=8, of=15, why=why)
    if not shows:
        why = "No look and no answer could tell why it failed: not charged."
        return Line(what=what, points=15, of=15, why=why)
    if found.part in parts_of(faults) and found.fault not in card.causes:
        why = f"That is the fault, not why it came: {case.cause}. Ask, or look at the part."
        return Line(what=what, points=5, of=15, why=why)
    if found.fault == NO_CAUSE:
        why = f"Here there was a cause to be found: {case.cause}. Ask, or look at the part."
        return Line(what=what, points=5, of=15, why=why)
    return Line(what=what, points=0, of=15, why=f"Not {found.fault}, but {case.cause}.")


def _chain(card: JobCard, faults: Suspect, steps: Sequence[Step], number: int) -> Line:
    """Where one fault brought about the other, the cause is a fault too, and has to be shown."""
    what = "Root cause"
    found = steps[number].act
    claim = f"{found.part} {found.fault}"
    case = card.case()
    if case is not None and found.fault == case.cause and found.part == part_of(faults[0]):
        claim = faults[0]
    left = still_suspect(card, steps[:number], planted=faults)
    if claim != faults[0]:
        return Line(what=what, points=0, of=15, why=f"{claim} was not what made it happen.")
    # Wires that touch at one end cannot be parted by any reading; a look, or the pair of them, is enough.
    others = {part_of(suspect[0]) for suspect in left} - {found.part}
    neighbours = _touching(card.machine, found.part)
    if left and others <= neighbours:
        return Line(what=what, points=15, of=15, why=f"Found and shown: {claim}.")
    why = f"{claim} it was, but {_count(len(others))} besides would have shown the same. Look, or halve the loom."
    return Line(what=what, points=7, of=15, why=why)


def _touching(machine: Machine, part_id: str) -> set[str]:
    part = machine.circuit[part_id]
    ends = {getattr(part, "start", None), getattr(part, "end", None)} - {None}
    return {
        other.id for other in machine.circuit.parts
        if ends & {getattr(other, "start", None), getattr(other, "end", None)}
        or {end.part for end in ends} & {other.id}
    }


def sheet(card: JobCard, faults: Suspect, steps: Sequence[Step]) -> Line:
    """The readings a finding rests on, and the reasons they were taken for."""
    number = finding(steps, "fault")
    points, why = (0, UNPROVED) if number is None else sheet_of(card, faults, steps, number)
    return Line(what="Test sheet", points=points, of=10, why=why)


def sheet_of(card: JobCard, faults: Suspect, steps: Sequence[Step], number: int) -> tuple[int, str]:
    """Points of ten for the readings that the finding of this number rests on, and why."""
    ticked = steps[number].act.readings
    cited = [n for n in ticked if 0 <= n < number and steps[n].told is not None and n not in withdrawn(steps)]
    if not cited:
        return 0, UNPROVED
    # What the machine does of itself when it is operated is the complaint, and known to all; readings must be ticked.
    given = [n for n, step in enumerate(steps[:number]) if isinstance(step.act, (Operate, Press)) and not step.reading]
    counts = cited if card.rules == 1 else sorted({*cited, *given} - withdrawn(steps))
    left = still_suspect(card, steps[:number], only=counts, planted=faults)
    part = steps[number].act.part
    number_of_all = len(everyone(card, faults))
    best, some, few = (10, 6, 3) if card.rules == 1 else (7, 4, 2)
    if pinned(card, part, left):
        points, why = best, "The lines you ticked show it by themselves."
    elif len(left) <= number_of_all // 2:
        points, why = some, f"The lines you ticked leave {_count(len(left))} of {number_of_all}."
    else:
        points, why = few, "The lines you ticked hardly narrow it down."
    if card.rules > 1:
        reasoned = _reasoned(steps)
        tests = [n for n in cited if isinstance(steps[n].act, Probe)] or cited
        share = sum(n in reasoned for n in tests) / len(tests)
        points += round(3 * share)
        why += " Each has its reason beside it." if share == 1 else " Not every reading has a reason beside it."
    return points, why


def _reasoned(steps: Sequence[Step]) -> frozenset[int]:
    """The lines of the sheet with a reason beside them."""
    own = {n for n, step in enumerate(steps)
           if isinstance(step.act, Probe) and len(step.act.reason.strip()) >= REASONED_FROM}
    added = {step.act.reading for step in steps
             if isinstance(step.act, Reason) and len(step.act.text.strip()) >= REASONED_FROM}
    return frozenset(own | added)


def _count(number: int) -> str:
    return {0: "no suspect", 1: "one suspect"}.get(number, f"{number} suspects")


