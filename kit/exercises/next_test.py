"""Next test: pick the test that splits the suspects best, and say what each outcome would leave."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cache
from typing import ClassVar

from kit.errors import QuestionError
from kit.exercises.choice import LETTERS
from kit.exercises.figures import Setup, operated
from kit.exercises.marks import Mark, asked_again
from kit.exercises.question import Question, Variant, Words
from kit.instruments import TestLamp

TEST_POINTS, OUTCOME_POINTS = 2, 2
LIT_FROM = ("dim", "bright")


@dataclass(frozen=True, slots=True, kw_only=True)
class NextTest(Question):
    """A lamp to put somewhere: ``clip`` stays, the tip goes on one of ``tips``; just one of ``suspects`` is there.

    ``suspects`` maps fault ids to words for them; ``seen`` sets the controls. A variant may have some of the suspects
    only: ``chosen`` (braces filled) are their ids, a comma between two, always ``count`` of them; then braces in tips
    are filled, too. Best is the tip whose two outcomes leave the fewest suspects at worst; any as good is right.
    """

    kind: ClassVar[str] = "next test"

    seen: Setup
    clip: str
    tips: tuple[str, ...]
    suspects: Mapping[str, str]
    why: str
    chosen: str = ""
    count: int = 0

    @property
    def to_order(self) -> int:
        return self.count or len(self.suspects)


def narrowed(question: NextTest, variant: Variant) -> NextTest:
    """The question with the suspects and tips of this variant only."""
    if not question.chosen:
        return question
    words = Words(question, variant)
    ids = words.fill(question.chosen).split(", ")
    if len(ids) != question.count:
        raise QuestionError(f"question {question.id} has {question.count} suspects in a variant, not {len(ids)}.")
    left = {fault: question.suspects[fault] for fault in ids}
    return replace(question, suspects=left, tips=tuple(map(words.fill, question.tips)))


def lettered(question: NextTest, variant: Variant) -> dict[str, str]:
    """The suspects' fault ids by the letter each has in this variant."""
    ids = tuple(narrowed(question, variant).suspects)
    return {LETTERS[place]: ids[index] for place, index in enumerate(variant.order)}


def split(question: NextTest, tip: str) -> tuple[frozenset[str], frozenset[str]]:
    """The suspects that would light the lamp at this tip, and those that would leave it out (a glow counts as out)."""
    positions = tuple(sorted(question.seen.positions.items()))
    lit = frozenset(
        suspect for suspect in question.suspects
        if _lights(question.seen.machine, suspect, positions, question.clip, tip)
    )
    return lit, frozenset(question.suspects) - lit


@cache
def _lights(machine_id: str, suspect: str, positions: tuple[tuple[str, str], ...], clip: str, tip: str) -> bool:
    """Whether the lamp lights there with this suspect in the machine; kept, for a class asks the same few over."""
    return TestLamp(clip=clip, tip=tip).read(operated(machine_id, (suspect,), positions)).shown in LIT_FROM


def best_tips(question: NextTest) -> tuple[str, ...]:
    """The tips that leave the fewest suspects at worst; raises QuestionError where no tip tells anything."""
    worst = {tip: max(map(len, split(question, tip))) for tip in question.tips}
    if min(worst.values()) == len(question.suspects):
        raise QuestionError(f"question {question.id}: none of its tests splits the suspects.")
    return tuple(tip for tip, left in worst.items() if left == min(worst.values()))


def true_next_test(question: NextTest, variant: Variant) -> dict[str, object]:
    """One right answer, in the form it is given: the tip, and the letters of the suspects left if lit and if out."""
    mine = narrowed(question, variant)
    tip = best_tips(mine)[0]
    letters = {fault: letter for letter, fault in lettered(question, variant).items()}
    lit, out = split(mine, tip)
    return {"tip": tip, "lit": sorted(letters[one] for one in lit), "out": sorted(letters[one] for one in out)}


def mark_next_test(question: NextTest, variant: Variant, raw: object) -> Mark:
    """Mark ``{"tip": "F1.2", "lit": ["a"], "out": ["b", "c"]}``: two points for the test, two for each outcome."""
    of = TEST_POINTS + 2 * OUTCOME_POINTS
    letters, words = lettered(question, variant), Words(question, variant)
    question = narrowed(question, variant)
    if not isinstance(raw, Mapping) or raw.get("tip") not in question.tips:
        return asked_again(of, f"Choose where the tip goes: {', '.join(question.tips)}; nothing has been marked yet.")
    said = {outcome: _letters(raw.get(outcome)) for outcome in ("lit", "out")}
    if any(found is None or found - set(letters) for found in said.values()) or not (said["lit"] | said["out"]):
        return asked_again(of, "Say for each outcome which suspects would be left; nothing has been marked yet.")
    tip = raw["tip"]
    groups = dict(zip(("lit", "out"), split(question, tip), strict=True))
    worst, best = max(map(len, groups.values())), best_tips(question)
    points = TEST_POINTS if tip in best else 0
    reasons = [
        f"The tip on {tip} leaves {worst} of {len(letters)} suspects at worst"
        + (": no test here does better." if tip in best else f"; on another place it would be "
           f"{max(map(len, split(question, best[0])))}.")
    ]
    for outcome, left in groups.items():
        mine = {letters[letter] for letter in said[outcome]}
        if mine == left:
            points += OUTCOME_POINTS
            continue
        reasons.append(
            f"If the lamp is {outcome}, {len(left)} of them {'is' if len(left) == 1 else 'are'} left, and not those "
            f"you ticked: ask of each what it would do to the point {tip}."
        )
    if points == of:
        reasons.append(words.fill(question.why))
    return Mark(points=points, of=of, reason=" ".join(reasons))


def _letters(given: object) -> frozenset[str] | None:
    if isinstance(given, str):
        given = [one for one in given.replace(",", " ").split() if one != "none"]
    if not isinstance(given, (list, tuple)) or not all(isinstance(one, str) for one in given):
        return None
    return frozenset(one.strip().lower() for one in given)
