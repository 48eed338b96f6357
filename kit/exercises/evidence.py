"""Evidence: which suspects would have shown a learner all of what was shown, and what that proves."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from functools import lru_cache

from kit.circuit import When
from kit.diagnose import Suspect, parts_of, suspects
from kit.exercises.acts import (
    Act,
    Explain,
    Find,
    Note,
    Operate,
    Prepare,
    Press,
    Reason,
    Refer,
    Tidy,
    Undo,
    Verify,
    Wiggle,
)
from kit.exercises.cards import JobCard, begun
from kit.exercises.minutes import ends_of
from kit.exercises.pairs import beside
from kit.exercises.situation import Situation, Step
from kit.exercises.work import alike, apply
from kit.machines import Machine
from kit.machines.engine import ENGINE

# What is only said or written down changes nothing of a machine, whatever is wrong with it.
WRITTEN = (Explain, Find, Note, Prepare, Reason, Refer, Tidy, Undo, Verify)


def still_suspect(
    card: JobCard, steps: Sequence[Step], only: Sequence[int] | None = None, planted: Suspect = ()
) -> tuple[Suspect, ...]:
    """The suspects that would have shown all of this; with ``only``, just the acts of these numbers count.

    A line that was withdrawn speaks for nothing. ``planted`` is among the suspects whatever it is.
    """
    acts = [step.act for step in steps]
    gone = withdrawn(steps)
    seen = [
        step.told if (only is None or number in only) and number not in gone else None
        for number, step in enumerate(steps)
    ]
    # What nothing was told by at the end need not be done again.
    last = max((number for number, told in enumerate(seen) if told is not None), default=-1)
    left = _at_first(_Held(card), planted)
    for act, told in zip(acts[: last + 1], seen[: last + 1], strict=True):
        if told is not None or not isinstance(act, WRITTEN):
            left = _after(left, act, told)
    return tuple(suspect for suspect, _situation in left.each)


def left_standing(card: JobCard, steps: Sequence[Step], planted: Suspect) -> tuple[tuple[Suspect, Situation], ...]:
    """The suspects that would have shown all of this, each with its machine as it stands after the last act."""
    gone = withdrawn(steps)
    left = _at_first(_Held(card), planted)
    for number, step in enumerate(steps):
        told = None if number in gone else step.told
        if told is not None or not isinstance(step.act, WRITTEN):
            left = _after(left, step.act, told)
    return left.each


class _Held:
    """A job card as a key: the very same one, for a card like it may hide another fault."""

    def __init__(self, card: JobCard) -> None:
        self.card = card

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Held) and self.card is other.card

    def __hash__(self) -> int:
        return id(self.card)


class _Left:
    """The suspects that are left after some acts, each with its machine as it stands by then."""

    def __init__(self, each: Iterable[tuple[Suspect, Situation]]) -> None:
        self.each = tuple(each)


@lru_cache(maxsize=100)
def _at_first(held: _Held, planted: Suspect) -> _Left:
    start = begun(held.card, (), brief=True)
    return _Left(
        (suspect, replace(start, planted=suspect, faults=suspect)) for suspect in everyone(held.card, planted)
    )


# A class begins a job much alike, and one finding is looked at from several sides: what the acts so far have left is
# kept, and the next act done only on that.
@lru_cache(maxsize=500)
def _after(left: _Left, act: Act, told: object) -> _Left:
    """Who is left of these once one more act has shown this; where it told nothing, all of them."""
    found = []
    for suspect, situation in left.each:
        if told is not None and ruled_out_standing(situation, act, told):
            continue
        step = apply(situation, act)
        if told is None or alike(told, step.told):
            found.append((suspect, step.situation))
    return _Left(found)


def ruled_out_standing(before: Situation, act: Act, told: object) -> bool:
    """Whether an act would have shown something else already with the engine standing; where that says nothing, no.

    What turns is solved at every angle of a turn, at fifty times the price. As long as the engine does not run, an
    operation shows what the standing machine shows, and whether it fires at all follows from that.
    """
    engine = before.machine.engine
    if engine is None or before.engine.running or not isinstance(act, (Operate, Press)):
        return False
    during = told[1] if told[0] == "both" else told
    positions = before.machine.moved(before.positions, **{act.control: act.position})
    standing = replace(before, positions=positions).standing()
    words = frozenset(pair for pair in during[1] if pair[0] != ENGINE)
    if not alike(("noticed", words, during[2]), ("noticed", standing.words, standing.told)):
        return True
    fired = dict(during[1]).get(ENGINE, "stopped") in ("runs", "runs rough", "fires and dies")
    # A cold diesel may have all it needs and yet not fire: its plugs are asked when the engine is solved.
    return (fired and not standing.fires) or (standing.fires and not fired and not engine.plugs)


def everyone(card: JobCard, planted: Suspect = ()) -> tuple[Suspect, ...]:
    """Every suspect of a card's machine. What comes only wiggled or warm is one too, but for the cards of old."""
    found = suspects(card.machine)
    if card.apart and len(planted) > 1:
        sometimes = ((fault.id,) for fault in card.machine.faults.values() if fault.when is not When.ALWAYS)
        return (*found, *sometimes, *beside(card, planted))
    if card.rules > 1:
        sometimes = ((fault.id,) for fault in card.machine.faults.values() if fault.when is not When.ALWAYS)
        found = (*found, *sometimes)
        if planted and planted not in found:
            # What it brought about, something else could have brought about as well: each such pair is a suspect.
            roots = (fault.id for fault in card.machine.faults.values() if fault.when is When.ALWAYS)
            pairs = ((root, *planted[1:]) for root in roots if len(planted) > 1 and root not in planted)
            # A short that has not blown its fuse yet is met beside all others that have not.
            shorts = ((each[0],) for each in suspects(card.machine) if len(planted) == 1 < len(each))
            found = (*found, *dict.fromkeys((planted, *pairs, *shorts)))
    return found


def withdrawn(steps: Sequence[Step]) -> frozenset[int]:
    """The numbers of the lines that were withdrawn."""
    return frozenset(step.act.reading for step in steps if isinstance(step.act, Undo))


def finding(steps: Sequence[Step], role: str) -> int | None:
    """The number of the last finding of a role; what was referred is a finding of the fault."""
    numbers = [
        n for n, step in enumerate(steps)
        if (isinstance(step.act, Find) and step.act.role == role) or (isinstance(step.act, Refer) and role == "fault")
    ]
    return numbers[-1] if numbers else None


def pinned(card: JobCard, part: str, left: Sequence[Suspect]) -> bool:
    """Whether every suspect left lies in this part, or in one that no lead can tell from it."""
    unit = {part} if card.rules == 1 else inseparable(card.machine, part)
    return bool(left) and all(unit & parts_of(suspect) for suspect in left)


@lru_cache(maxsize=1000)
def inseparable(machine: Machine, part_id: str) -> frozenset[str]:
    """The parts no lead can tell apart from this one: joined to it where no lead can be put, and so on along them."""
    hidden = [ends_of(part) - set(machine.points) for part in machine.circuit.parts]
    group, ends = {part_id}, set(ends_of(machine.circuit[part_id]) - set(machine.points))
    grown = True
    while grown:
        grown = False
        for part, mine in zip(machine.circuit.parts, hidden, strict=True):
            if part.id not in group and mine & ends and len(ends_of(part)) == 2:
                group.add(part.id)
                ends |= mine
                grown = True
    return frozenset(group)


def visits(before: Situation, step: Step) -> Iterator[Situation]:
    """The situations an act went through: held or moved, then let go; or just the one it ended in."""
    match step.act:
        case Press(control=control, position=position):
            held = replace(before, positions=before.machine.moved(before.positions, **{control: position}))
            seen = held.seen()
            yield replace(held, state=seen.state, engine=seen.engine)
        case Wiggle(part=part):
            seen = before.seen(wiggled=part)
            yield replace(before, state=seen.state, engine=seen.engine, wiggled=part)
        case _:
            pass
    yield step.situation
