"""A job's acts weighed: what each ruled out, what it was worth, and how likely a part was good when it was renewed.

The suspects are the card's own, replayed act by act; what the best next test would have been comes from the machine's
outcome table (``kit.diagnose.trials``), which takes some seconds once for each machine and lies on disk afterwards.
"""

from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import lru_cache
from typing import TYPE_CHECKING

from kit.diagnose import Suspect, parts_of
from kit.exercises.acts import (
    Act,
    Ask,
    Feel,
    Look,
    MoveFuse,
    Operate,
    Plug,
    Prepare,
    Press,
    Probe,
    Prove,
    Unplug,
    Wiggle,
)
from kit.exercises.cards import JobCard, begun
from kit.exercises.evidence import everyone, finding, inseparable, ruled_out_standing, still_suspect, withdrawn
from kit.exercises.hunting import hunt_of
from kit.exercises.pairs import beside, share_of_two
from kit.exercises.situation import Situation, Step
from kit.exercises.verdicts import Line
from kit.exercises.weighed import Replay, Weighed, share_of, to_points
from kit.exercises.work import alike, apply, carry_on
from kit.machines import Machine

if TYPE_CHECKING:
    from kit.diagnose.account import Deed, JobAccount
    from kit.diagnose.worth import Worth

MADE_READY = (Prepare, Prove, Ask)  # never charged: proving an instrument earns, and the owner may be asked
JUSTIFIED_FROM = 18  # points of 30 from which the finding counts as shown
# What may be the one confirming test, which is free: a control moved or a fuse taken out on the way there is none.
TESTS = (Probe, Look, Feel, Wiggle)


def weigh(card: JobCard, faults: Suspect, steps: Sequence[Step]) -> Weighed:
    """Replay the work up to the finding (all of it, where none was stated) with every suspect in the machine."""
    number = finding(steps, "fault")
    mine = tuple(steps if number is None else steps[:number])
    open_ = frozenset(shows_the_complaint(card, faults))
    gone = withdrawn(steps)
    seen = [None if n in gone else step.told for n, step in enumerate(mine)]
    replays = tuple(
        replayed(card, suspect, mine, seen, to_the_end=suspect in open_) for suspect in everyone(card, faults)
    )
    return Weighed(card=card, faults=faults, steps=mine, replays=replays, open=open_)


def shows_the_complaint(card: JobCard, faults: Suspect) -> tuple[Suspect, ...]:
    """The suspects that show what these faults show when the complaint's moves are made."""
    moves = [Operate(control=name, position=position) for moves in card.moves for name, position in moves.items()]
    return still_suspect(card, tuple(carry_on(begun(card, faults, brief=True), moves)), planted=faults)


def replayed(
    card: JobCard, suspect: Suspect, steps: Sequence[Step], seen: Sequence[object], *, to_the_end: bool
) -> Replay:
    """What one suspect would have shown at these acts; not ``to_the_end``: up to the first that it differs at."""
    told, differs = [], set()
    for number, shown in enumerate(_shown(card, suspect, steps, seen)):
        told.append(shown)
        mine = seen[number]
        if mine is not None and not alike(mine, shown):
            differs.add(number)
            if not to_the_end:
                break
    return Replay(suspect=suspect, told=tuple(told), differs=frozenset(differs))


def _shown(card: JobCard, suspect: Suspect, steps: Sequence[Step], seen: Sequence[object]) -> Iterator[object]:
    situation = begun(card, suspect, brief=True)
    for step, mine in zip(steps, seen, strict=True):
        if mine is not None and ruled_out_standing(situation, step.act, mine):
            yield shown_standing(situation, step.act)
            return
        done = apply(situation, step.act)
        situation = done.situation
        yield done.told


def shown_standing(before: Situation, act: Operate | Press) -> object:
    """What it shows with the engine standing: enough to tell suspects apart that are ruled out by that alone."""
    positions = before.machine.moved(before.positions, **{act.control: act.position})
    standing = replace(before, positions=positions).standing()
    return ("standing", standing.words, standing.told, standing.fires)


# --- how likely a part was good


def good_by_then(
    card: JobCard, faults: Suspect, steps: Sequence[Step], part: str
) -> tuple[float, int, int]:
    """How likely a part was good by all that had been shown, how many suspects lay elsewhere, and of how many.

    The chance takes the usual shares of faults (``kit.diagnose.priors``, printed on the card) and is rounded to the
    second digit, so that every computer has the same.
    """
    left = still_suspect(card, steps, planted=faults)
    unit = inseparable(card.machine, part)
    pairs = beside(card, faults) if card.apart else ()
    shares = {
        suspect: share_of_two(card.machine, suspect, faults) if suspect in pairs else share_of(card.machine, suspect)
        for suspect in left
    }
    bad = [suspect for suspect in left if unit & parts_of(suspect)]
    chance = 1.0 - sum(shares[suspect] for suspect in bad) / sum(shares.values()) if left else 1.0
    return round(chance, 2), len(left) - len(bad), len(left)


# --- the mark


def ordered(card: JobCard, faults: Suspect, steps: Sequence[Step], justified: Line, of: int) -> Line:
    """The line for the order of the tests: what was to be expected over that and the minutes charged.

    It is the way to a proof that is marked, so without one there is nothing to mark.
    """
    what = "Efficiency"
    if justified.points < JUSTIFIED_FROM:
        return Line(what=what, points=0, of=of, why="What counts here is the way to a proof; there was none yet.")
    found = weigh(card, faults, steps)
    weighed = account_of(found) or hunted(found)
    if weighed is None:
        return Line(what=what, points=of, of=of, why="The fault comes and goes: no order of tests is charged.")
    whole = weighed.whole
    if not weighed.counted:
        why = f"No act was worse than the best one by more than is fair; luck ({whole.luck:+.1f} min) is not charged."
        return Line(what=what, points=of, of=of, why=why)
    why = (
        f"{whole.expected:.1f} min were to be expected, and {weighed.counted:.1f} more came of the order of the tests "
        f"(luck, {whole.luck:+.1f}, is not charged{may_be_out(whole.gap)})."
    )
    return Line(what=what, points=to_points(of * weighed.efficiency), of=of, why=why)


def may_be_out(minutes: float) -> str:
    """A word on how far the kit's own figure may be out; none where that would read 0.0."""
    return f"; the kit's own figure may be {abs(minutes):.1f} min out" if abs(minutes) >= 0.05 else ""


# --- the account


def account_of(found: Weighed) -> "JobAccount | None":
    """The acts weighed against the best there were; None for a fault the table does not hold (one that comes and goes).

    The work begins with the complaint known: what the owner said is not to be found out again.
    """
    from kit.diagnose.account import account, start_weights

    worth = worth_of(found.card.machine)
    if " + ".join(found.faults) not in worth.table.suspects:
        return None
    names = [" + ".join(suspect) for suspect in found.open]
    return account(worth, start_weights(worth.table, names), tuple(deeds(found)))


def hunted(found: Weighed) -> "JobAccount | None":
    """The acts weighed as a hunt for a fault that comes and goes; None for one that does not."""
    return hunt_of(found, tuple(deeds(found)))


def deeds(found: Weighed) -> "Iterator[Deed]":
    """The acts that took time or told something, as an account takes them."""
    from kit.diagnose.account import Deed

    probed = looked = False
    for number, step in enumerate(found.steps):
        act = step.act
        probed = probed or isinstance(act, Probe)
        free = _is_free(act, probed=probed, looked=looked)
        looked = looked or isinstance(act, Look)
        if not step.minutes and not any(number in replay.differs for replay in found.rivals):
            continue
        deed = Deed(
            number=number, minutes=step.minutes, shown=_kinds(found.rivals, number), saw=0, free=free,
            sets=_sets_up(act),
            tests=isinstance(act, TESTS) and step.told is not None,
        )
        yield _of_a_look(deed, found.rivals, step.told[1]) if isinstance(act, Look) else deed


def _is_free(act: Act, *, probed: bool, looked: bool) -> bool:
    """Whether an act is charged to nobody: getting ready, showing the complaint before the first reading, the first
    inspection, and putting back what was taken off, for nobody may leave it off."""
    match act:
        case Operate() | Press():
            return not probed
        case Look():
            return not looked
        case Plug() | MoveFuse(to="in"):
            return True
    return isinstance(act, MADE_READY)


def _of_a_look(deed: "Deed", rivals: Sequence[Replay], saw: str) -> "Deed":
    """A look's deed: each suspect by what is seen with it, and by what is seen where that is missed."""
    there = {" + ".join(replay.suspect): replay.told[deed.number] for replay in rivals
             if replay.left_before(deed.number)}
    return replace(deed, saw=saw, shown={name: told[1] for name, told in there.items()},
                   missed={name: told[2] for name, told in there.items()})


def _sets_up(act: Act) -> str:
    """What an act sets up for the reading after it."""
    match act:
        case Probe():
            return "leads"
        case Operate() | Press():
            return "controls"
        case Unplug() | MoveFuse(to="out"):
            return "off"
    return ""


def _kinds(rivals: Sequence[Replay], number: int) -> dict[str, int]:
    """What each suspect left would have shown at an act, numbered: 0 is what was shown, alike things are one."""
    kinds: list[object] = []
    found = {}
    for replay in rivals:
        if not replay.left_before(number):
            continue
        kind = 0
        if number in replay.differs:
            mine = replay.told[number]
            kind = next((n for n, known in enumerate(kinds, 1) if _like(known, mine)), 0)
            if not kind:
                kinds.append(mine)
                kind = len(kinds)
        found[" + ".join(replay.suspect)] = kind
    return found


def _like(one: object, other: object) -> bool:
    return one == other if one is None or other is None else alike(one, other)


@lru_cache(maxsize=6)
def worth_of(machine: Machine) -> "Worth":
    """The values of a machine's states: one for a whole class, for it remembers what it has worked out."""
    from kit.diagnose.trials import job_table
    from kit.diagnose.worth import Worth

    return Worth(job_table(machine).joined().worth_keeping())
