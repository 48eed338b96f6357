"""Work on a machine: acts, one after another, and what each of them shows.

The bay and the marking both go through ``apply``, so a mark can never rest on anything but what a learner was shown.
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace

from kit.exercises.acts import (
    Act,
    Again,
    Ask,
    Explain,
    Feel,
    Find,
    HandBack,
    Lift,
    Look,
    MoveFuse,
    Note,
    Operate,
    Plant,
    Plug,
    Prepare,
    Press,
    Probe,
    Prove,
    Reason,
    Refer,
    Renew,
    Repair,
    Swap,
    Tidy,
    Undo,
    Unplug,
    Verify,
    Warm,
    Wiggle,
)
from kit.exercises.asked_back import check_part, question_back
from kit.exercises.changes import asked, fuse_moved, planted, plugged, repaired, seen_to, swapped, warmed
from kit.exercises.minutes import LOOK_MINUTES, OPERATE_MINUTES, RENEW_MINUTES, minutes_of
from kit.exercises.readings import QUIET, felt, looked, moved, pressed, probed, wiggled
from kit.exercises.situation import NO_ANSWERS, Situation, Step
from kit.exercises.tray import ALIKE, TRAY
from kit.exercises.tried import followed, verified
from kit.machines import Machine

__all__ = [
    "INSTRUMENTS", "LOOK_MINUTES", "OPERATE_MINUTES", "QUIET", "RENEW_MINUTES", "Situation", "Step", "alike", "apply",
    "begin", "carry_on", "work",
]

INSTRUMENTS = {name: (taken.title, *taken.leads) for name, taken in TRAY.items()}


def begin(
    machine: Machine, faults: Iterable[str] = (), *, answers: Mapping[str, str] = NO_ANSWERS, brief: bool = False
) -> Situation:
    """A machine at rest with these faults in it, and an owner with these answers."""
    there = tuple(faults)
    for fault in there:
        machine.fault(fault)
    return Situation(
        machine=machine, planted=there, faults=there, positions=machine.positions(), answers=answers, brief=brief
    )


def work(
    machine: Machine, faults: Iterable[str], acts: Iterable[Act], *, answers: Mapping[str, str] = NO_ANSWERS,
    brief: bool = False,
) -> Iterator[Step]:
    """Do acts on a machine one after another; yields a Step for each, lazily."""
    yield from carry_on(begin(machine, faults, answers=answers, brief=brief), acts)


def carry_on(situation: Situation, acts: Iterable[Act]) -> Iterator[Step]:
    """Do acts one after another from where the work stands; yields a Step for each, lazily."""
    for act in acts:
        step = apply(situation, act)
        situation = step.situation
        yield step


def apply(situation: Situation, act: Act) -> Step:
    """Do one act. Raises OperationError for a control, position, terminal or part that is not there."""
    match act:
        case Operate():
            step = moved(replace(situation, positions=situation.machine.moved(
                situation.positions, **{act.control: act.position})), act, OPERATE_MINUTES)
        case Press():
            step = pressed(situation, act)
        case Probe():
            step = probed(situation, act)
        case Lift():
            step = moved(replace(situation, probe=None), act, minutes_of("lift"))
        case Look():
            step = looked(situation, act)
        case Feel():
            step = felt(situation, act)
        case Wiggle():
            step = wiggled(situation, act)
        case Warm():
            step = warmed(situation, act)
        case Unplug() | Plug():
            step = plugged(situation, act)
        case MoveFuse():
            step = fuse_moved(situation, act)
        case Swap():
            step = swapped(situation, act)
        case Repair():
            step = repaired(situation, act)
        case Plant():
            step = planted(situation, act)
        case Prove() | Renew():
            step = seen_to(situation, act)
        case Ask():
            step = asked(situation, act)
        case Find() | Refer() | Note():
            if act.part or not isinstance(act, Note):
                check_part(situation.machine, act.part)
            # What was said stays said; a question only asks for more of it.
            asks = question_back(situation.machine, act)
            step = Step(act=act, situation=situation, shown=asks or "noted")
        case Prepare():
            ready = replace(situation, prepared=situation.prepared | {act.step})
            step = Step(act=act, situation=ready, shown="noted")
        case Verify():
            step = verified(situation, act)
        case HandBack() | Tidy() | Explain() | Reason() | Undo():
            step = Step(act=act, situation=situation, shown="noted")
        case Again():
            fresh = begin(situation.machine, situation.planted, answers=situation.answers, brief=situation.brief)
            follows = situation.complaint.afresh() if situation.complaint else None
            fresh = replace(fresh, looks=situation.looks, complaint=follows)
            return Step(act=act, situation=fresh, shown="noted")
    step = followed(situation, step)
    spent = replace(step.situation, minutes=round(situation.minutes + step.minutes, 3))
    return replace(step, situation=spent)


def alike(mine: object, theirs: object) -> bool:
    """Whether a person could not tell two things shown apart: what ``told`` holds, compared with a workshop's eye."""
    match mine, theirs:
        case ("look", mine_seen, _), ("look", *theirs_seen):
            # A part can look fine and be bad: what could be missed may be there all the same.
            return mine_seen in theirs_seen
        case ("lamp", mine_words), ("lamp", their_words):
            return bool(set(mine_words) & set(their_words))
        case (str(tells), float(mine_figure)), (str(theirs_tells), float(their_figure)) if tells in ALIKE:
            steps, share = ALIKE[tells]
            close = abs(mine_figure - their_figure) <= max(steps, share * abs(mine_figure))
            return tells == theirs_tells and close
        case (("noticed", mine_seen, mine_reading), ("noticed", their_seen, their_reading)):
            same = mine_reading is None or their_reading is None or alike(mine_reading, their_reading)
            return mine_seen == their_seen and same
        case ("both", mine_first, mine_second), ("both", their_first, their_second):
            return alike(mine_first, their_first) and alike(mine_second, their_second)
    return mine == theirs
