"""A job with two faults, weighed in two legs: up to the first repair, and from what the machine does after it.

The first leg is that of any job: single faults are suspects, as long as one of them explains what was read. The second
begins anew with what the machine does then: the suspects are single faults once more, the repaired part being sound,
those that fit all that was read before as well.
"""

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from kit.circuit import part_of
from kit.diagnose import Suspect
from kit.exercises.acts import Operate
from kit.exercises.both import units_of
from kit.exercises.cards import JobCard
from kit.exercises.evidence import everyone, left_standing, ruled_out_standing, withdrawn
from kit.exercises.pairs import in_turn, mended_at, stated
from kit.exercises.situation import Situation, Step
from kit.exercises.verdicts import Line
from kit.exercises.weighed import Replay, Weighed, to_points
from kit.exercises.weighing import (
    JUSTIFIED_FROM,
    account_of,
    may_be_out,
    replayed,
    shown_standing,
    shows_the_complaint,
)
from kit.exercises.work import alike, apply

if TYPE_CHECKING:
    from kit.diagnose.account import JobAccount


def legs(card: JobCard, faults: Suspect, steps: Sequence[Step]) -> tuple[Weighed, ...]:
    """The work weighed leg by leg; one leg only where nothing was mended, or both were found before anything was."""
    found = stated(units_of(card, faults), steps)
    first, second = in_turn(faults, steps)
    mended = mended_at(steps, first)
    ends = [number for number in (found[first], mended) if number is not None]
    one = _first_leg(card, faults, steps[: min(ends, default=_end(found[second], steps))])
    if mended is None or (found[second] is not None and found[second] <= mended):
        return (one,)
    end = found[second] if found[second] is not None else mended_at(steps, second)
    return one, _second_leg(card, faults, steps, mended + 1, _end(end, steps))


def _end(number: int | None, steps: Sequence[Step]) -> int:
    return len(steps) if number is None else number


def _seen(steps: Sequence[Step]) -> list[object]:
    gone = withdrawn(steps)
    return [None if n in gone else step.told for n, step in enumerate(steps)]


def _first_leg(card: JobCard, faults: Suspect, steps: Sequence[Step]) -> Weighed:
    """The work among single faults, up to where no single one explains what was read any more."""
    singles = everyone(card, ())
    open_ = frozenset(shows_the_complaint(card, faults)) & frozenset(singles)
    seen = _seen(steps)
    replays = [replayed(card, suspect, steps, seen, to_the_end=suspect in open_) for suspect in singles]
    out = [replay.out for replay in replays if replay.suspect in open_]
    end = len(steps) if None in out or not out else max(out)
    cut = tuple(
        Replay(suspect=replay.suspect, told=replay.told[:end],
               differs=frozenset(n for n in replay.differs if n < end))
        for replay in replays
    )
    return Weighed(card=card, faults=faults[:1], steps=tuple(steps[:end]), replays=cut, open=open_)


def _second_leg(card: JobCard, faults: Suspect, steps: Sequence[Step], start: int, end: int) -> Weighed:
    """The work after the first repair: who fitted all so far, and of those who does what the machine does now."""
    first, second = in_turn(faults, steps)
    mine, seen = tuple(steps[start:end]), _seen(steps)[start:end]
    there = {
        _still_there(situation): situation for suspect, situation in left_standing(card, steps[:start], faults)
        if first in suspect and first not in _still_there(situation)
    }
    there.pop((), None)
    does = _does_now(there[(second,)], card)
    open_ = frozenset(
        name for name, situation in there.items()
        if all(map(alike, does, _does_now(situation, card)))
    )
    replays = tuple(
        _replayed_from(situation, name, mine, seen, to_the_end=name in open_) for name, situation in there.items())
    return Weighed(card=card, faults=(second,), steps=mine, replays=replays, open=open_)


def _still_there(situation: Situation) -> Suspect:
    """The faults that are left, those in a part with a good spare in its place aside."""
    return tuple(fault for fault in situation.faults if part_of(fault) not in situation.swapped)


def _does_now(situation: Situation, card: JobCard) -> list[object]:
    """What the complaint's moves show from there on."""
    told = []
    for name, position in card.complaint_positions.items():
        step = apply(situation, Operate(control=name, position=position))
        situation = step.situation
        told.append(step.told)
    return told


def _replayed_from(
    situation: Situation, name: Suspect, steps: Sequence[Step], seen: Sequence[object], *, to_the_end: bool
) -> Replay:
    told, differs = [], set()
    for number, (step, mine) in enumerate(zip(steps, seen, strict=True)):
        if mine is not None and ruled_out_standing(situation, step.act, mine):
            told.append(shown_standing(situation, step.act))
            differs.add(number)
            break
        done = apply(situation, step.act)
        situation = done.situation
        told.append(done.told)
        if mine is not None and not alike(mine, done.told):
            differs.add(number)
            if not to_the_end:
                break
    return Replay(suspect=name, told=tuple(told), differs=frozenset(differs))


def accounts(card: JobCard, faults: Suspect, steps: Sequence[Step]) -> "Iterator[JobAccount]":
    """The account of each leg."""
    for leg in legs(card, faults, steps):
        if (weighed := account_of(leg)) is not None:
            yield weighed


def ordered_both(card: JobCard, faults: Suspect, steps: Sequence[Step], justified: Line, of: int) -> Line:
    """The line for the order of the tests: of both legs, what was to be expected over that and the minutes charged."""
    from kit.diagnose.account import DIGITS
    from kit.diagnose.worth import FAIR_MINUTES

    what = "Efficiency"
    if justified.points < JUSTIFIED_FROM:
        why = "What counts here is the way to a proof of both; there was none yet."
        return Line(what=what, points=0, of=of, why=why)
    each = tuple(accounts(card, faults, steps))
    counted = sum(one.counted for one in each)
    if not counted:
        why = "No act was worse than the best one by more than is fair, before the first repair and after it."
        return Line(what=what, points=of, of=of, why=why)
    expected = sum(max(one.whole.expected, FAIR_MINUTES) for one in each)
    gap = sum(abs(one.whole.gap) for one in each)
    why = (
        f"{expected:.1f} min were to be expected for both, and {counted:.1f} more came of the order of the tests "
        f"(luck is not charged{may_be_out(gap)})."
    )
    return Line(what=what, points=to_points(of * round(expected / (expected + counted), DIGITS)), of=of, why=why)
