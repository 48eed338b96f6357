"""Marking a job: the acts are done again on the machine, and each line of the mark says why.

Weights and rules (common practice; a rubric file may replace them later): prepare safely and prove the instruments 15,
reproduce the complaint and inspect 10, located and justified by readings 30, root cause 15, repair and verify 15, good
parts wasted 5, test sheet 10. Efficiency counts only from lesson 14 on; its 5 points are then the test sheet's.
Safety caps (``kit.exercises.caps``) stand over all of it.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from kit.circuit import Battery, Terminal
from kit.diagnose import Suspect, parts_of
from kit.exercises import both, verdicts
from kit.exercises.acts import (
    Act,
    Again,
    HandBack,
    Look,
    MoveFuse,
    Operate,
    Prepare,
    Press,
    Probe,
    Prove,
    Repair,
    Swap,
    Unplug,
    Verify,
    Wiggle,
)
from kit.exercises.caps import CAP_A, Cap, judge, limited
from kit.exercises.cards import PREPARATIONS, JobCard, begun
from kit.exercises.evidence import inseparable, still_suspect, visits
from kit.exercises.legs import ordered_both
from kit.exercises.repairs import WAYS
from kit.exercises.situation import Situation, Step
from kit.exercises.tray import JUMPER, TRAY
from kit.exercises.tried import mends, well
from kit.exercises.verdicts import Line, refers
from kit.exercises.weighing import good_by_then, ordered, to_points
from kit.exercises.work import carry_on

__all__ = ["PREPARATIONS", "Line", "Review", "counted", "review", "still_suspect"]

PASS_AT, JUSTIFIED_AT = 60, 18
HALF_DONE = 3  # of the six for a machine that is whole, where one of two faults is put right
PART_POINTS = 2  # a good part renewed costs so many, times the chance that it was good as far as could be known


@dataclass(frozen=True, slots=True, kw_only=True)
class Review:
    """A job marked line by line.

    ``cap`` says in words what limited the mark, empty if nothing did; ``caps`` each. ``whole``: the machine was left
    with nothing wrong or missing.
    """

    lines: tuple[Line, ...]
    points: int
    of: int
    passed: bool
    cap: str
    caps: tuple[Cap, ...] = ()
    whole: bool = False


def review(card: JobCard, faults: Suspect, acts: Sequence[Act], *, efficiency: int = 0) -> Review:
    """Mark the acts of one job whose machine had ``faults`` in it (root cause first).

    What counts is the work up to the first time the machine was handed back; working it again is practice.
    ``efficiency`` are the points the order of the tests can earn, taken from the test sheet's: 0 before lesson 14.
    """
    mine = counted(acts)
    start = begun(card, faults, brief=True)
    steps = tuple(carry_on(start, mine))
    judge_ = both if card.apart else verdicts
    justified = judge_.located(card, faults, steps)
    lines = (
        _prepared(card, steps), _reproduced(card, start, steps), justified, judge_.caused(card, faults, steps),
        _verified(card, faults, start, steps), _wasted(card, faults, steps),
        *_sheet_and_order(card, faults, steps, justified, efficiency),
    )
    caps = _caps(card, start, steps, handed_back=len(mine) < len(acts))
    total = sum(line.points for line in lines)
    points = limited(total, caps)
    bad = any(cap.letter == "A" for cap in caps)
    whole = _done(card, faults, steps)
    passed = not bad and points >= PASS_AT and justified.points >= JUSTIFIED_AT and whole
    return Review(
        lines=lines, points=points, of=100, passed=passed, cap=_in_words(caps), caps=caps, whole=whole
    )


def counted(acts: Sequence[Act]) -> Sequence[Act]:
    """The acts that count: those up to the first handing back, since the last fresh start before it."""
    ends = [n for n, act in enumerate(acts) if isinstance(act, HandBack)]
    end = ends[0] if ends else len(acts)
    starts = [n + 1 for n, act in enumerate(acts[:end]) if isinstance(act, Again)]
    return acts[starts[-1] if starts else 0 : end]


def _caps(card: JobCard, start: Situation, steps: Sequence[Step], *, handed_back: bool) -> tuple[Cap, ...]:
    """The caps of a job, each thing once. A card of old knows of the bigger fuse alone."""
    found: dict[str, Cap] = {}
    for before, step in _pairs(start, steps):
        if card.rules == 1 and not isinstance(step.act, MoveFuse):
            continue
        for cap in judge(before, step):
            found.setdefault(cap.about, cap)
    if handed_back and steps and card.rules > 1:
        end = steps[-1].situation
        for cap in judge(end, Step(act=HandBack(), situation=end, shown="")):
            found.setdefault(cap.about, cap)
    return tuple(found.values())


def _in_words(caps: Sequence[Cap]) -> str:
    """What limited the mark: the worst first."""
    words = []
    for cap in sorted(caps, key=lambda cap: cap.letter):
        limit = {
            "A": f"Whatever else went well, the mark stops at {CAP_A} and the job is not yet competent.",
            "B": "The mark stops at 70.", "C": "Five points off.",
        }[cap.letter]
        words.append(f"{cap.why} {limit}")
    return " ".join(words)


def _pairs(start: Situation, steps: Sequence[Step]) -> Iterator[tuple[Situation, Step]]:
    """Each step with the situation before it."""
    before = start
    for step in steps:
        yield before, step
        before = step.situation


def _prepared(card: JobCard, steps: Sequence[Step]) -> Line:
    working = (Operate, Press, Probe, MoveFuse, Repair, Unplug, Wiggle)
    first_work = next((n for n, step in enumerate(steps) if isinstance(step.act, working)), len(steps))
    ticked = {s.act.step for s in steps[:first_work] if isinstance(s.act, Prepare)} & set(card.preparations)
    points = 8 * len(ticked) // len(card.preparations)
    why = [f"{len(ticked)} of {len(card.preparations)} steps of getting ready were done before the first act."]
    used: dict[str, bool] = {}
    proved: set[str] = set()
    for step in steps:
        match step.act:
            case Prove(instrument=name):
                proved.add(TRAY[name].proved if name in TRAY else name)
            case Probe(instrument=name, leads=leads) if card.rules == 1 and name not in used:
                used[name] = TRAY[name].proved in proved or all(
                    isinstance(card.machine.circuit[Terminal.read(lead).part], Battery) for lead in leads
                )
            case Probe(instrument=name) if card.rules > 1 and TRAY[name].proved:
                used.setdefault(TRAY[name].proved, TRAY[name].proved in step.situation.proved)
    if used and all(used.values()):
        points += 7
        why.append("Every instrument was proved on the battery before it was believed.")
    elif used:
        why.append("An instrument was believed before it was proved across the battery posts: a dead lamp lies.")
    else:
        why.append("No instrument was used.")
    return Line(what="Prepare safely, prove the instruments", points=points, of=15, why=" ".join(why))


def _reproduced(card: JobCard, start: Situation, steps: Sequence[Step]) -> Line:
    mended = next((n for n, s in enumerate(steps) if _mends(s)), len(steps))
    before = steps[:mended]
    shown = any(True for _ in _complaints(card, start, before, (Operate, Press, Wiggle)))
    looked = any(isinstance(s.act, Look) for s in before)
    why = (
        "You made the machine show the complaint before touching it. " if shown
        else "The complaint was never seen before the repair: put the controls as the owner did, first. "
    ) + ("You looked before you mended." if looked else "Nothing was looked at closely before the repair.")
    return Line(what="Reproduce the complaint, inspect", points=5 * shown + 5 * looked, of=10, why=why)


def _mends(step: Step) -> bool:
    return mends(step.act)


def _complaints(
    card: JobCard, start: Situation, steps: Sequence[Step], kinds: tuple[type, ...]
) -> Iterator[Situation]:
    """The machine as the owner had it: the complaint's moves made in their order, and its last positions reached.

    Acts of these ``kinds`` count.
    """
    asked: dict[str, str] = {}
    wanted = [dict(asked := asked | dict(moves)) for moves in card.moves]
    reached = 0
    for before, step in _pairs(start, steps):
        if not isinstance(step.act, kinds):
            continue
        for there in visits(before, step):
            if reached < len(wanted) and _stands(there, wanted[reached]):
                reached += 1
            if reached == len(wanted) and _stands(there, wanted[-1]):
                yield there


def _stands(situation: Situation, positions: Mapping[str, str]) -> bool:
    return all(situation.positions[name] == position for name, position in positions.items())


def _verified(card: JobCard, faults: Suspect, start: Situation, steps: Sequence[Step]) -> Line:
    what = "Repair, verify the complaint and the interlocks"
    if card.rules > 1 and refers(faults):
        return Line(what=what, points=15 if _done(card, faults, steps) else 0, of=15,
                    why="Not ours to repair: what counts is that it goes to the engine shop whole, nothing left off.")
    points, why = 0, []
    mends = [n for n, step in enumerate(steps) if _mends(step)]
    whole = _done(card, faults, steps)
    if mends and whole:
        lost = _quality(steps) if card.rules > 1 else ""
        points += 4 if lost else 6
        why.append(f"The machine is whole again.{lost}")
    elif card.apart and (half := both.half_done(faults, steps)):
        points += HALF_DONE
        why.append(half)
    else:
        why.append("The machine was handed back with something still wrong or missing.")
    after = steps[mends[-1]:] if mends else ()
    then = steps[mends[-1] - 1].situation if mends and mends[-1] else start
    works = any(well(there, card.healthy) for there in _complaints(card, then, after, (object,)))
    said = any(isinstance(step.act, Verify) for step in after)
    if whole and works and said:
        points += 6
        why.append("You tried it under the owner's own complaint, and it works.")
    elif works:
        why.append("It was tried, but not written down as verified.")
    elif card.apart and any(True for _ in _complaints(card, then, after, (object,))):
        why.append("After the last repair it was tried, and it did not start: begin anew from what it does now.")
    else:
        why.append("After the last repair the original complaint was not tried again.")
    tried = sum(
        any(_locked(card, there, positions) for before, step in _pairs(then, after) for there in visits(before, step))
        for positions in card.interlocks
    )
    enough = min(2, len(card.interlocks))
    if not card.interlocks:
        points += 3 if whole and works else 0
    elif whole and tried >= enough:
        points += 3
        why.append("The start interlock was tried too.")
    elif whole and tried:
        points += 2
        why.append("One interlock was tried with the engine standing; there are more.")
    else:
        why.append("The start interlock was not retested: in gear, lever out, start pressed, it must stay still."
                   if card.rules == 1 else "No interlock was retested with the engine standing: out of neutral, "
                   "or with a guard open, start held, it must stay still.")
    return Line(what=what, points=points, of=15, why=" ".join(why))


def _locked(card: JobCard, situation: Situation, positions: Mapping[str, str]) -> bool:
    """Whether an interlock is tried there: with the engine standing, or it proves nothing."""
    return _stands(situation, positions) and (card.rules == 1 or not situation.engine.free)


def _quality(steps: Sequence[Step]) -> str:
    """What the last repair of a part was short of, in words; empty where nothing was."""
    short = []
    for step in steps:
        if isinstance(step.act, Repair):
            wanted = WAYS[step.act.how].steps if step.act.how else {"how": "in which way"}
            missing = [words[0].lower() + words[1:] for name, words in wanted.items() if name not in step.act.steps]
            if missing:
                short.append(f"{step.act.part} ({'; '.join(missing)})")
    return f" Quality steps not shown: {', '.join(short)}." if short else ""


def _done(card: JobCard, faults: Suspect, steps: Sequence[Step]) -> bool:
    """Whether the machine is handed back with nothing wrong or missing: no pass without it."""
    if not steps:
        return False
    end = steps[-1].situation
    if card.rules == 1:
        return not (end.faults or end.state.melted or end.out or end.bigger)
    left = [fault for fault in end.faults if fault.split(" ")[0] not in end.swapped]
    wrong = bool(left) and not (refers(faults) and set(left) <= set(faults))
    linked = end.probe is not None and end.probe.instrument in (JUMPER, "bare wire")
    return not (wrong or end.state.melted or end.out or end.bigger or end.off or linked)


def _sheet_and_order(
    card: JobCard, faults: Suspect, steps: Sequence[Step], justified: Line, efficiency: int
) -> tuple[Line, ...]:
    """The test sheet, and where it counts the order of the tests, which takes its points from the sheet's."""
    whole = (both if card.apart else verdicts).sheet(card, faults, steps)
    if not efficiency:
        return (whole,)
    of = whole.of - efficiency
    order = ordered_both if card.apart else ordered
    return (
        replace(whole, points=to_points(whole.points * of / whole.of), of=of),
        order(card, faults, steps, justified, efficiency),
    )


def _wasted(card: JobCard, faults: Suspect, steps: Sequence[Step]) -> Line:
    """Good parts renewed, each charged by how likely it was good as far as could be known at that moment."""
    right = set(parts_of(faults))
    if card.rules > 1:
        right = right.union(*(inseparable(card.machine, part) for part in right))
    good = [
        n for n, step in enumerate(steps) if isinstance(step.act, Repair) and step.act.part not in right
        and (not step.act.how or not WAYS[step.act.how].cures)
    ]
    if steps and card.rules > 1:
        # A spare that stays in is a part renewed: since the last time it was put there.
        good += [
            max(n for n, step in enumerate(steps) if isinstance(step.act, Swap) and step.act.part == part)
            for part in sorted(steps[-1].situation.swapped - right)
        ]
    before: frozenset[str] = frozenset()
    popped = 0
    for step in steps:
        # A fuse fitted in this very act was sound a moment ago.
        renewed = {step.act.part} if _mends(step) else set()
        popped += len(step.situation.state.melted - (before - renewed))
        before = step.situation.state.melted
    named, charged = [], 2.0 * popped
    for n in good:
        part = steps[n].act.part
        if card.rules == 1:
            chance, then = 1.0, ""
        else:
            chance, elsewhere, left = good_by_then(card, faults, steps[:n], part)
            then = f" ({elsewhere} of {left} suspects lay elsewhere by then: {PART_POINTS * chance:.1f} points)"
        charged += PART_POINTS * chance
        named.append(f"{part}{then}")
    why = [f"Good parts renewed: {', '.join(named)}."] if named else []
    if popped:
        why.append(f"New fuses blown before the cause was put right: {popped}.")
    return Line(
        what="Good parts wasted", points=to_points(max(0.0, 5 - charged)), of=5, why=" ".join(why) or "None."
    )
