"""Several: tick all that apply. Suspects that are left, acts that are safe, readings that would prove it."""

from dataclasses import dataclass
from typing import ClassVar, assert_never

from kit.diagnose.handful import alike
from kit.errors import QuestionError
from kit.exercises.choice import ExplainsAll, Option, meant, observed, shown_options
from kit.exercises.figures import fill
from kit.exercises.marks import Mark, asked_again
from kit.exercises.question import Question, Variant, Words
from kit.exercises.strategy import SameTo


@dataclass(frozen=True, slots=True, kw_only=True)
class AllOf:
    """The right options (braces filled) are a matter of good practice; ``source`` says whose."""

    options: tuple[str, ...]
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Several(Question):
    """A question with options of which one or more are right, in an order of the learner's own.

    Under ``ExplainsAll`` the options' ids are faults, and right are those that alone do all that was seen: what is
    still suspect. An option's ``feedback`` says what is true of it and is shown where it was ticked wrongly.
    """

    kind: ClassVar[str] = "several"

    options: tuple[Option, ...]
    right: AllOf | ExplainsAll | SameTo
    why: str
    points: int = 4

    @property
    def to_order(self) -> int:
        return len(self.options)


def right_options(question: Several, variant: Variant) -> tuple[str, ...]:
    """The ids of the right options; raises QuestionError where there is none, or all are."""
    words = Words(question, variant)
    match question.right:
        case AllOf():
            good = {words.fill(name) for name in question.right.options}
            found = tuple(option.id for option in question.options if option.id in good)
        case ExplainsAll() as rule:
            wanted = observed(rule, tuple(fill(fault, words) for fault in rule.seen.faults))
            found = tuple(option.id for option in question.options if observed(rule, (option.id,)) == wanted)
        case SameTo() as rule:
            same = alike(rule.few, words.fill(rule.suspect), words.fill(rule.tools))
            found = tuple(option.id for option in question.options if option.id in same)
        case _:
            assert_never(question.right)
    if not 0 < len(found) < len(question.options):
        raise QuestionError(f"question {question.id} has {len(found)} right options of {len(question.options)}.")
    return found


def mark_several(question: Several, variant: Variant, raw: object) -> Mark:
    """Mark letters (a list, or text such as ``a, c``): each wrong tick takes back what a right one earned."""
    options, words = shown_options(question, variant), Words(question, variant)
    chosen = chosen_options(question, variant, raw)
    if not chosen:
        return asked_again(question.points, "Tick one or more; nothing has been marked yet.")
    right = right_options(question, variant)
    ids = {option.id for option in chosen}
    hits, wrong = len(ids & set(right)), len(ids - set(right))
    points = question.points * max(0, hits - wrong) // len(right)
    if ids == set(right):
        return Mark(points=points, of=question.points, reason=words.fill(question.why))
    reasons = [
        f"You ticked “{words.fill(option.text)}”. {words.fill(option.feedback)}"
        for option in options.values() if option.id in ids and option.id not in right
    ]
    if missed := len(right) - hits:
        kept = f"{hits} of yours {'is' if hits == 1 else 'are'} right; " if hits else ""
        reasons.append(f"{kept}{'n' if kept else 'N'}ot ticked, and right: {missed} more.")
    ideas = tuple(option.idea for option in chosen if option.idea and option.id not in right)
    return Mark(points=points, of=question.points, reason=" ".join(reasons), ideas=tuple(dict.fromkeys(ideas)))


def chosen_options(question: Several, variant: Variant, raw: object) -> tuple[Option, ...]:
    """The options an answer means; empty where any of it means none."""
    options, words = shown_options(question, variant), Words(question, variant)
    parts = raw.replace(";", ",").replace(" and ", ",").split(",") if isinstance(raw, str) else raw
    if not isinstance(parts, (list, tuple)) or len(parts) > len(options):
        return ()
    found = [meant(options, words, part) for part in parts]
    return () if None in found else tuple(dict.fromkeys(found))
