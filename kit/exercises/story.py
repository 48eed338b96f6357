"""The work explained to the learner line by line, once the machine is handed back.

What each reading left, the fewest that show the fault, where on the wire it is felt, what would have been quicker, and
one good way. Every figure comes from the machine and the learner's own acts; nothing is written beforehand.

    from kit.exercises.story import story
    for heading, text in story(card("J2"), faults, acts).lines(): ...
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from kit.circuit import part_of
from kit.diagnose import Suspect, parts_of
from kit.diagnose.several import fewest_hits
from kit.exercises.acts import Act, Operate, Press, Probe
from kit.exercises.cards import JobCard, begun
from kit.exercises.evidence import inseparable
from kit.exercises.legs import legs
from kit.exercises.pairs import in_turn
from kit.exercises.said import done_in_words, stands_in_words
from kit.exercises.situation import Step
from kit.exercises.weighed import Weighed
from kit.exercises.weighing import account_of, hunted, may_be_out, weigh, worth_of
from kit.exercises.work import carry_on

if TYPE_CHECKING:
    from kit.diagnose.account import JobAccount, Stretch
    from kit.diagnose.table import OutcomeTable

NARROWED, FEWEST, FELT = "What your readings left", "The fewest that show it", "Where it is felt"
QUICKER, GOOD_WAY, MINUTES = "What would have been quicker", "One good way", "Your minutes"
ORDER = "What the order of your tests earns"
LEGS = ("Up to the first repair", "After the first repair")
HIDDEN_FIRST = "You put {hidden} right first, though {shown} hid it. Here is the way to {shown}, had it been the first."
LONGEST = 160  # characters of a thing shown that stand in a line


@dataclass(frozen=True, slots=True, kw_only=True)
class Narrowing:
    """An act that ruled somebody out: its number on the sheet, what was done and shown, and how many were left."""

    number: int
    done: str
    shown: str
    condition: str
    before: int
    after: int

    @property
    def text(self) -> str:
        """The line a learner reads."""
        where = f" ({self.condition})" if self.condition else ""
        shown = self.shown if self.shown.endswith((".", "…")) else f"{self.shown}."
        return f"{self.done}{where}: {shown} Of {self.before} it leaves {self.after}."


@dataclass(frozen=True, slots=True, kw_only=True)
class Story:
    """A job's work, explained. ``better`` are the lines of one good way; empty texts are left out of ``lines``.

    ``order`` tells the points of a lesson in which the order of the tests counts. ``leg`` stands before each heading
    where a job has two faults, and ``after`` is the work after the first repair.
    """

    narrowed: tuple[Narrowing, ...]
    fewest: str
    felt: str
    quicker: tuple[str, ...]
    better: tuple[str, ...]
    minutes: str
    order: str = ""
    leg: str = ""
    after: "Story | None" = None

    def lines(self) -> Iterator[tuple[str, str]]:
        """Heading and text, line by line, in the order they are read."""
        for heading, text in self._own_lines():
            yield f"{self.leg}: {heading[:1].lower()}{heading[1:]}" if self.leg else heading, text
        if self.after is not None:
            yield from self.after.lines()
        yield from ((ORDER, text) for text in (self.order,) if text)

    def _own_lines(self) -> Iterator[tuple[str, str]]:
        yield from ((NARROWED, each.text) for each in self.narrowed)
        yield from ((FEWEST, text) for text in (self.fewest,) if text)
        yield from ((FELT, text) for text in (self.felt,) if text)
        yield from ((QUICKER, text) for text in self.quicker)
        yield from ((GOOD_WAY, text) for text in self.better)
        yield from ((MINUTES, text) for text in (self.minutes,) if text)


def story(card: JobCard, faults: Suspect, acts: Sequence[Act], *, efficiency: int = 0) -> Story:
    """Explain the acts of one job whose machine had ``faults`` in it, up to the finding.

    ``efficiency``: the points the order of its tests can earn, told at the end; 0 for none.

    The first one for a machine takes as long as its outcome table does: seconds, a minute where much turns.
    """
    from kit.exercises.jobs import counted

    steps = tuple(carry_on(begun(card, faults, brief=True), counted(acts)))
    order = _order(card, faults, acts, efficiency) if efficiency else ""
    if not card.apart:
        return replace(_told(weigh(card, faults, steps)), order=order)
    first, *more = (replace(_told(leg), leg=name) for leg, name in zip(legs(card, faults, steps), LEGS, strict=False))
    if more and in_turn(faults, steps)[0] != faults[0]:
        shown, hidden = map(part_of, faults)
        first = replace(first, felt="", fewest=HIDDEN_FIRST.format(hidden=hidden, shown=shown))
    return replace(first, after=more[0] if more else None, order=order)


def _told(found: Weighed) -> Story:
    weighed = account_of(found)
    enough = _enough(found)
    return Story(
        narrowed=tuple(_narrowed(found)), fewest=_fewest(found, enough), felt=_felt(found, enough or ()),
        quicker=() if weighed is None else tuple(_quicker(found, weighed)),
        better=() if weighed is None else _good_way(found),
        minutes=_hunted_minutes(found) if weighed is None else _minutes(weighed),
    )


def _narrowed(found: Weighed) -> Iterator[Narrowing]:
    left = found.before(0)
    for number, step in enumerate(found.steps):
        after = found.before(number + 1)
        if after < left:
            yield Narrowing(
                number=number, done=_said(found, number), shown=_shown(step), before=left, after=after,
                condition=_condition(found, step),
            )
        left = after


def _said(found: Weighed, number: int) -> str:
    """An act in words; with leads on, where they are goes before what was moved."""
    machine, step = found.card.machine, found.steps[number]
    words = done_in_words(machine, step.act) or "noted"
    probe = step.situation.probe
    if isinstance(step.act, (Operate, Press)) and step.reading and probe is not None:
        words = f"{done_in_words(machine, probe)}; {words}"
    return words[:1].upper() + words[1:]


def _shown(step: Step) -> str:
    # With an instrument on, its reading says more than what everybody hears.
    text = step.reading if step.reading and isinstance(step.act, (Operate, Press, Probe)) else step.shown
    return text if len(text) <= LONGEST else text[: LONGEST - 1].rstrip(" .") + "…"


def _condition(found: Weighed, step: Step) -> str:
    """How the machine stood at a reading; what everybody sees needs no more than the control that was moved."""
    return stands_in_words(found.card.machine, step.situation) if step.reading else ""


# --- which of the readings suffice


def _must_go(found: Weighed) -> list[frozenset[int]]:
    """For each suspect outside the unit that fits the complaint, the acts that speak against it."""
    unit = frozenset().union(*(inseparable(found.card.machine, part) for part in parts_of(found.faults)))
    return [replay.differs for replay in found.rivals if not unit & parts_of(replay.suspect)]


def _enough(found: Weighed) -> tuple[int, ...] | None:
    """The fewest acts that between them rule out every other unit; None where all of them do not."""
    sets = _must_go(found)
    return tuple(fewest_hits(sets, range(len(found.steps)))) if all(sets) else None


def _fewest(found: Weighed, enough: tuple[int, ...] | None) -> str:
    part = "+".join(sorted(parts_of(found.faults)))
    readings = sum(isinstance(step.act, Probe) for step in found.steps)
    if enough is None:
        open_ = [replay for replay in found.rivals if not replay.differs]
        others = sorted({part for replay in open_ for part in parts_of(replay.suspect)} - parts_of(found.faults))
        some = ", ".join(others[:4]) + (" and others" if len(others) > 4 else "")
        return f"Your readings do not show {part} yet: with a fault in {some} they would be the same."
    if not enough:
        return f"Once the complaint is seen, nothing but {part} is left."
    words = "; ".join(f"{_said(found, number)}: {_shown(found.steps[number]).rstrip('.')}" for number in enough)
    few = "One line" if len(enough) == 1 else f"{len(enough)} lines"
    of = f"; you took {readings} readings" if readings > len(enough) else ""
    return f"{few} of your sheet would have shown {part}{of}. {words}."


def _felt(found: Weighed, enough: Sequence[int]) -> str:
    """Where on the way from plus the fault is felt, at the first deciding reading that feels it."""
    from kit.diagnose.leads import posts
    from kit.diagnose.reasons import where_felt
    from kit.diagnose.ways import felt

    machine = found.card.machine
    minus, plus = posts(machine)
    planted = [machine.fault(fault) for fault in found.faults]
    for number in enough:
        step = found.steps[number]
        probe = step.situation.probe
        if probe is None or len(probe.leads) != 2:
            continue
        positions = dict(step.situation.positions)
        if isinstance(step.act, Press):
            positions[step.act.control] = step.act.position
        for far in probe.leads:
            if far not in (minus, plus) and felt(machine, planted, positions, plus, far).part in parts_of(found.faults):
                return where_felt(machine, found.faults, positions, plus, far)
    return ""


# --- beside the best there was


def _quicker(found: Weighed, weighed: "JobAccount") -> Iterator[str]:
    """For each step that is charged: what it cost and could tell, and why the best test there and not that."""
    table = worth_of(found.card.machine).table
    for stretch in weighed.stretches:
        if not stretch.counted:
            continue
        judged, open_ = stretch.judged, int((stretch.before > 0).sum())
        mine = max(int((part > 0).sum()) for part in stretch.parts)
        tells = _could_tell(len(stretch.parts), mine, open_)
        end = "There was nothing left to find out." if judged.instead is None else _better(
            table, stretch, judged.instead, mine)
        yield f"{_span(found, stretch)}: {judged.minutes:.1f} min, and {tells}. {end} Charged: {judged.regret:.1f} min."


def _could_tell(outcomes: int, mine: int, open_: int) -> str:
    if open_ == 1:
        return "only one suspect was left by then"
    if outcomes == 1:
        return f"it shows the same whichever of the {open_} suspects it is"
    return f"at worst it leaves {mine} of {open_} suspects"


def _better(table: "OutcomeTable", stretch: "Stretch", test: int, mine: int) -> str:
    rest = max(int(((table.likelihood(test, o) * stretch.before) > 0).sum()) for o in range(len(table.shown[test])))
    tells = f"leaves {rest} at most" if rest < mine else "tells about as much"
    return f"{table.tests[test]} takes {table.minutes[test]:.1f} min and {tells}."


def _span(found: Weighed, stretch: "Stretch") -> str:
    first, last = _said(found, stretch.numbers[0]), _said(found, stretch.numbers[-1])
    number = len(stretch.numbers)
    return first if number == 1 else f"{first} … {last} ({number} acts)"


def _good_way(found: Weighed) -> tuple[str, ...]:
    from kit.diagnose.account import start_weights
    from kit.diagnose.leads import ends
    from kit.diagnose.plan import plan
    from kit.diagnose.reasons import followed

    worth = worth_of(found.card.machine)
    table, name = worth.table, " + ".join(found.faults)
    weight = start_weights(table, [" + ".join(suspect) for suspect in found.open])
    # A good way is wanted at once, not the proof that none is better.
    way = plan(table, weight, search=worth.search, budget=0)
    looks = {part_of(fault): text for fault, text in found.card.looks.items()}
    suspect = table.suspects.index(name)
    return followed(way, suspect, looks, ends(found.card.machine.circuit[table.units[suspect]]))


def _order(card: JobCard, faults: Suspect, acts: Sequence[Act], of: int) -> str:
    """The points for the order of the tests."""
    from kit.exercises.jobs import review

    line = next(line for line in review(card, faults, acts, efficiency=of).lines if line.what == "Efficiency")
    return f"{line.points} of {line.of}, taken from the test sheet's points when the lesson is marked. {line.why}"


def _hunted_minutes(found: Weighed) -> str:
    """The minutes of a job whose fault comes and goes."""
    weighed = hunted(found)
    left_out = "" if weighed is None else (
        " Leads put on to watch what you moved or warmed next, and the first reading of all, are not charged."
    )
    return _minutes(weighed) + left_out


def _minutes(weighed: "JobAccount | None") -> str:
    if weighed is None:
        return "This fault comes and goes: nobody can say which order would have met it sooner, so none is charged."
    whole = weighed.whole
    luck = "" if abs(whole.luck) < 0.5 else (
        f" Luck cost you {whole.luck:.1f} and is not charged." if whole.luck > 0
        else f" Luck saved you {-whole.luck:.1f}."
    )
    free = sum(stretch.judged.minutes for stretch in weighed.stretches if stretch.free)
    left = "" if not whole.left else f" To be sure, about {whole.left:.1f} more would have been needed."
    return (
        f"{whole.spent:.1f} min up to the finding, {free:.1f} of them free: getting ready, the complaint, a first "
        f"look, one confirming test, what was put back. From the complaint on {whole.expected:.1f} are to be expected; "
        f"the order of your tests is charged {weighed.counted:.1f}{may_be_out(whole.gap)}.{luck}{left}"
    )
