"""Marking a job: the acts are done again on the machine, and each line of the mark says why.

Weights and rules (common practice; a rubric file may replace them later): prepare safely and prove the instruments 15,
reproduce the complaint and inspect 10, located and justified by readings 30, root cause 15, repair and verify 15, good
parts wasted 5, test sheet 10. Efficiency counts only from lesson 14 on; until then its 5 points go to the test sheet.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from kit.circuit import Battery, Terminal, part_of
from kit.diagnose import Suspect, consistent, parts_of, suspects, unit
from kit.exercises.acts import Act, Again, Find, HandBack, Look, MoveFuse, Operate, Prepare, Probe, Repair, Verify
from kit.exercises.cards import JobCard
from kit.exercises.work import Step, alike, work
from kit.machines import Machine

# The steps of getting ready, ticked on the card; their words come from the usual cautions (common practice).
PREPARATIONS: Mapping[str, str] = {
    "secure": "Key out, neutral, on its stand, people clear",
    "protect": "Eye protection on; rings, watch and chain off",
    "battery": "Battery looked at: not bulged, not leaking, no spark or flame near",
}
PASS_AT, JUSTIFIED_AT = 60, 18
CAP_A = 40


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One line of a job's mark."""

    what: str
    points: int
    of: int
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Review:
    """A job marked line by line. ``cap`` says in words what limited the mark, empty if nothing did."""

    lines: tuple[Line, ...]
    points: int
    of: int
    passed: bool
    cap: str


def review(card: JobCard, faults: Suspect, acts: Sequence[Act]) -> Review:
    """Mark the acts of one job whose machine had ``faults`` in it (root cause first).

    What counts is the work up to the first time the machine was handed back; working it again is practice.
    """
    steps = tuple(work(card.machine, faults, counted(acts)))
    justified = _located(card, faults, steps)
    lines = (
        _prepared(card, steps), _reproduced(card, steps), justified, _cause(card, faults, steps),
        _verified(card, steps),
        _wasted(faults, steps), _sheet(card, steps),
    )
    points, cap = sum(line.points for line in lines), ""
    if any(isinstance(step.act, MoveFuse) and step.act.to == "bigger" for step in steps):
        cap = (
            f"A bigger fuse went in. That is how looms burn: the fuse no longer protects the wire. "
            f"Whatever else went well, the mark stops at {CAP_A} and the job is not yet competent."
        )
        points = min(points, CAP_A)
    passed = not cap and points >= PASS_AT and justified.points >= JUSTIFIED_AT and _whole(steps)
    return Review(lines=lines, points=points, of=100, passed=passed, cap=cap)


def counted(acts: Sequence[Act]) -> Sequence[Act]:
    """The acts that count: those up to the first handing back, since the last fresh start before it."""
    ends = [n for n, act in enumerate(acts) if isinstance(act, HandBack)]
    end = ends[0] if ends else len(acts)
    starts = [n + 1 for n, act in enumerate(acts[:end]) if isinstance(act, Again)]
    return acts[starts[-1] if starts else 0 : end]


def still_suspect(card: JobCard, steps: Sequence[Step], only: Sequence[int] | None = None) -> tuple[Suspect, ...]:
    """The suspects that would have shown all of this; with ``only``, just the acts of these numbers count."""
    acts = [step.act for step in steps]
    seen = [step.told if only is None or number in only else None for number, step in enumerate(steps)]

    def replay(suspect: Suspect):
        return (step.told for step in work(card.machine, suspect, acts))

    return consistent(suspects(card.machine), seen, replay, alike)


def _finding(steps: Sequence[Step], role: str) -> int | None:
    """The number of the last finding of a role."""
    numbers = [n for n, step in enumerate(steps) if isinstance(step.act, Find) and step.act.role == role]
    return numbers[-1] if numbers else None


def _prepared(card: JobCard, steps: Sequence[Step]) -> Line:
    working = (Operate, Probe, MoveFuse, Repair)
    first_work = next((n for n, step in enumerate(steps) if isinstance(step.act, working)), len(steps))
    ticked = {s.act.step for s in steps[:first_work] if isinstance(s.act, Prepare)} & set(PREPARATIONS)
    points = 8 * len(ticked) // len(PREPARATIONS)
    why = [f"{len(ticked)} of {len(PREPARATIONS)} steps of getting ready were done before the first act."]
    used: dict[str, bool] = {}
    for step in steps:
        if isinstance(step.act, Probe) and step.act.instrument not in used:
            used[step.act.instrument] = all(
                isinstance(card.machine.circuit[Terminal.read(lead).part], Battery) for lead in step.act.leads
            )
    if used and all(used.values()):
        points += 7
        why.append("Every instrument was proved on the battery before it was believed.")
    elif used:
        why.append("An instrument was believed before it was proved across the battery posts: a dead lamp lies.")
    else:
        why.append("No instrument was used.")
    return Line(what="Prepare safely, prove the instruments", points=points, of=15, why=" ".join(why))


def _reproduced(card: JobCard, steps: Sequence[Step]) -> Line:
    mended = next((n for n, s in enumerate(steps) if _mends(s)), len(steps))
    before = steps[:mended]
    shown = any(isinstance(s.act, Operate) and _stands(s, card.complaint_positions) for s in before)
    looked = any(isinstance(s.act, Look) for s in before)
    why = (
        "You made the machine show the complaint before touching it. " if shown
        else "The complaint was never seen before the repair: put the controls as the owner did, first. "
    ) + ("You looked before you mended." if looked else "Nothing was looked at closely before the repair.")
    return Line(what="Reproduce the complaint, inspect", points=5 * shown + 5 * looked, of=10, why=why)


def _mends(step: Step) -> bool:
    return isinstance(step.act, Repair) or (isinstance(step.act, MoveFuse) and step.act.to in ("new", "bigger"))


def _stands(step: Step, positions: Mapping[str, str]) -> bool:
    return all(step.situation.positions[name] == position for name, position in positions.items())


def _located(card: JobCard, faults: Suspect, steps: Sequence[Step]) -> Line:
    what = "Located, justified by readings"
    number = _finding(steps, "fault")
    if number is None:
        return Line(what=what, points=0, of=30, why="No finding was stated: say which part is at fault, and how.")
    finding = steps[number].act
    claim = f"{finding.part} {finding.fault}"
    left = still_suspect(card, steps[:number])
    names = _count(len(left))
    if claim not in faults and finding.part not in parts_of(faults):
        if not any(finding.part == unit(suspect) for suspect in left):
            return Line(what=what, points=0, of=30, why=f"{claim} does not fit your own readings; {names} still did.")
        why = f"{claim} did fit your readings, and so did {names} in all. One more test would have parted them."
        return Line(what=what, points=4, of=30, why=why)
    pinned = bool(left) and all(finding.part in parts_of(suspect) for suspect in left)
    if not pinned:
        why = f"{finding.part} it is, but your readings had not shown it: {names} would have shown the same."
        return Line(what=what, points=10, of=30, why=why)
    if claim not in faults:
        why = f"The readings do point to {finding.part}, but not as '{finding.fault}'."
        return Line(what=what, points=20, of=30, why=why)
    return Line(what=what, points=30, of=30, why=f"Your readings leave {finding.part} and nothing else.")


def _count(number: int) -> str:
    return {0: "no suspect", 1: "one suspect"}.get(number, f"{number} suspects")


def _cause(card: JobCard, faults: Suspect, steps: Sequence[Step]) -> Line:
    what = "Root cause"
    number = _finding(steps, "cause")
    if number is None:
        why = "No cause was stated. A blown fuse is a symptom: what made it blow?"
        return Line(what=what, points=0, of=15, why=why)
    finding = steps[number].act
    claim = f"{finding.part} {finding.fault}"
    left = still_suspect(card, steps[:number])
    if claim != faults[0]:
        return Line(what=what, points=0, of=15, why=f"{claim} was not what made it happen.")
    # Wires that touch at one end cannot be parted by any reading; a look, or the pair of them, is enough.
    others = {part_of(suspect[0]) for suspect in left} - {finding.part}
    neighbours = _touching(card.machine, finding.part)
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


def _verified(card: JobCard, steps: Sequence[Step]) -> Line:
    points, why = 0, []
    mends = [n for n, step in enumerate(steps) if _mends(step)]
    whole = _whole(steps)
    if mends and whole:
        points += 6
        why.append("The machine is whole again.")
    else:
        why.append("The machine was handed back with something still wrong or missing.")
    after = steps[mends[-1]:] if mends else ()
    well = any(_does(step, card.complaint_positions, card.healthy) for step in after)
    said = any(isinstance(step.act, Verify) for step in after)
    if whole and well and said:
        points += 6
        why.append("You tried it under the owner's own complaint, and it works.")
    elif well:
        why.append("It was tried, but not written down as verified.")
    else:
        why.append("After the last repair the original complaint was not tried again.")
    if whole and any(_stands(step, card.interlock) for step in after):
        points += 3
        why.append("The start interlock was tried too.")
    else:
        why.append("The start interlock was not retested: in gear, lever out, start pressed, it must stay still.")
    return Line(what="Repair, verify the complaint and the interlocks", points=points, of=15, why=" ".join(why))


def _whole(steps: Sequence[Step]) -> bool:
    """Whether the machine is handed back with nothing wrong or missing: no pass without it."""
    if not steps:
        return False
    end = steps[-1].situation
    return not (end.faults or end.state.melted or end.out or end.bigger)


def _does(step: Step, positions: Mapping[str, str], healthy: Mapping[str, str]) -> bool:
    if not _stands(step, positions):
        return False
    now = step.situation.operation()
    return all(now.word(part) == word for part, word in healthy.items())


def _wasted(faults: Suspect, steps: Sequence[Step]) -> Line:
    good = [step.act.part for step in steps if isinstance(step.act, Repair)
            and step.act.part not in parts_of(faults)]
    before: frozenset[str] = frozenset()
    popped = 0
    for step in steps:
        # A fuse fitted in this very act was sound a moment ago.
        renewed = {step.act.part} if _mends(step) else set()
        popped += len(step.situation.state.melted - (before - renewed))
        before = step.situation.state.melted
    why = []
    if good:
        why.append(f"Good parts renewed: {', '.join(good)}.")
    if popped:
        why.append(f"New fuses blown before the cause was put right: {popped}.")
    points = max(0, 5 - 2 * len(good) - 2 * popped)
    return Line(what="Good parts wasted", points=points, of=5, why=" ".join(why) or "None.")


def _sheet(card: JobCard, steps: Sequence[Step]) -> Line:
    what = "Test sheet"
    number = _finding(steps, "fault")
    ticked = steps[number].act.readings if number is not None else ()
    cited = [n for n in ticked if 0 <= n < number and steps[n].told is not None]
    if not cited:
        why = "The finding rests on no reading: tick the lines of the sheet that show it."
        return Line(what=what, points=0, of=10, why=why)
    left = still_suspect(card, steps[:number], only=cited)
    part = steps[number].act.part
    if left and all(part in parts_of(suspect) for suspect in left):
        return Line(what=what, points=10, of=10, why="The lines you ticked show it by themselves.")
    everyone = len(suspects(card.machine))
    if len(left) <= everyone // 2:
        return Line(what=what, points=6, of=10, why=f"The lines you ticked leave {_count(len(left))} of {everyone}.")
    return Line(what=what, points=3, of=10, why="The lines you ticked hardly narrow it down.")
