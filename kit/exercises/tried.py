"""The owner's complaint tried again, and what *Verified* is answered where the machine does not do yet what it should.

Only what was seen is told: the machine as the learner tried it since the last repair, and before it. Kept for cards
with two faults, whose first repair does not end the complaint.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace

from kit.exercises.acts import Act, MoveFuse, Operate, Press, Repair, Verify
from kit.exercises.readings import QUIET, sentences
from kit.exercises.situation import Situation, Step

STOPPED = ("stopped", "stops")  # of an engine: how it stands, and how it came to that
NOT_MENDED = "Not yet: nothing has been mended so far."
NOT_BACK = "Not yet: {parts} is still off or out. Put everything back, try it as the owner had it, and then verify."
NOT_TRIED = "Not yet: since your last repair it was not tried as the owner had it ({moves}). Try it, and then verify."
SOMETHING_NEW = (
    "Not yet, but you have come on: as the owner had it ({moves}) it does something new. {new} That is your repair. "
    "Read once more where you mended: good there, it stands. Another fault is left. Begin anew from what it does now."
)
AS_BEFORE = (
    "Not yet: as the owner had it ({moves}) it does what it did before. Read once more where you mended. Good there? "
    "Then your repair stands, another fault is left, and you begin anew. Not good? Look at your own work first."
)
OTHERWISE = (
    "Not yet: as the owner had it ({moves}) it does this now: {now} Read once more where you mended. Good there? Then "
    "your repair stands, another fault is left, and you begin anew. Not good? Look at your own work first."
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Showing:
    """What the machine did when the complaint was tried: the sentences, and whether all was as it should be.

    ``positions`` are all of its controls then: a light that was on as well is nothing new.
    """

    seen: tuple[str, ...]
    well: bool
    positions: Mapping[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Complaint:
    """The owner's complaint on one job: the ``moves`` that show it, what the parts do then when ``healthy``.

    ``now`` is what was seen of it since the last repair (once it was well, that), ``before`` what was seen before it.
    """

    moves: tuple[Mapping[str, str], ...]
    healthy: Mapping[str, str]
    now: Showing | None = None
    before: Showing | None = None
    mended: bool = False

    @property
    def positions(self) -> dict[str, str]:
        """How the controls stand while it is shown."""
        return {name: at for moves in self.moves for name, at in moves.items()}

    def afresh(self) -> "Complaint":
        """The complaint of work begun again."""
        return replace(self, now=None, before=None, mended=False)


def well(machine_does: Situation, healthy: Mapping[str, str]) -> bool:
    """Whether the machine does there what the sound one does."""
    now = machine_does.operation()
    return all(now.word(part) == word or {now.word(part), word} <= set(STOPPED) for part, word in healthy.items())


def followed(before: Situation, step: Step) -> Step:
    """The step with what it showed of the complaint kept, where the complaint is followed."""
    kept = before.complaint
    if kept is None:
        return step
    if mends(step.act):
        kept = replace(kept, before=kept.now or kept.before, now=None, mended=True)
    elif (there := _shown(before, step, kept)) is not None and not (kept.now and kept.now.well):
        kept = replace(kept, now=there)
    return replace(step, situation=replace(step.situation, complaint=kept))


def mends(act: Act) -> bool:
    """Whether something was mended or renewed for good."""
    return isinstance(act, Repair) or (isinstance(act, MoveFuse) and act.to in ("new", "bigger"))


def _shown(before: Situation, step: Step, kept: Complaint) -> Showing | None:
    """What the machine did in the complaint's positions during an act; None where it did not stand so."""
    match step.act:
        case Press(control=control, position=position):
            held = replace(before, positions=before.machine.moved(before.positions, **{control: position}))
        case Operate():
            held = replace(before, positions=step.situation.positions)
        case _:
            return None
    if any(held.positions[name] != at for name, at in kept.positions.items()):
        return None
    seen = held.seen()
    there = replace(held, state=seen.state, engine=seen.engine)
    return Showing(seen=sentences(seen) or (QUIET,), well=well(there, kept.healthy), positions=dict(held.positions))


def verified(situation: Situation, act: Verify) -> Step:
    """The complaint declared gone: noted, or an answer that says why it is not."""
    return Step(act=act, situation=situation, shown="noted" if situation.complaint is None else _answer(situation))


def _answer(situation: Situation) -> str:
    kept = situation.complaint
    moves = ", ".join(situation.machine.in_words(kept.positions))
    if not kept.mended:
        return NOT_MENDED
    if situation.off or situation.out:
        return NOT_BACK.format(parts=", ".join(sorted(situation.off | situation.out)))
    if kept.now is None:
        return NOT_TRIED.format(moves=moves)
    if kept.now.well:
        return "noted"
    if kept.before is None or kept.before.positions != kept.now.positions:
        return OTHERWISE.format(moves=moves, now=" ".join(kept.now.seen))
    new = [text for text in kept.now.seen if text not in kept.before.seen]
    lost = [text for text in kept.before.seen if text not in kept.now.seen]
    if lost:
        return OTHERWISE.format(moves=moves, now=" ".join(kept.now.seen))
    return SOMETHING_NEW.format(moves=moves, new=" ".join(new)) if new else AS_BEFORE.format(moves=moves)
