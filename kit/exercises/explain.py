"""Explain: a few sentences in one's own words, kept for a person to mark with a rubric."""

from dataclasses import dataclass
from typing import ClassVar

from kit.exercises.marks import Mark, asked_again
from kit.exercises.question import Question, Variant, Words

SHORTEST, LONGEST = 20, 4000


@dataclass(frozen=True, slots=True, kw_only=True)
class Explain(Question):
    """A question answered in sentences. The kit gives it no points: a person does, by ``rubric``, up to ``by_hand``.

    ``model`` is a good answer, shown once the learner has written their own, to compare.
    """

    kind: ClassVar[str] = "explain"

    rubric: tuple[str, ...]
    model: str
    by_hand: int = 4


def can_be_kept(raw: object) -> bool:
    """Whether it is a text of a length that a person will mark; what is said of all such is the same."""
    return isinstance(raw, str) and SHORTEST <= len(" ".join(raw.split())) <= LONGEST


def mark_explain(question: Explain, variant: Variant, raw: object) -> Mark:
    """Keep the text; nothing is marked by the kit, so it is out of 0 points until a person has read it."""
    if not can_be_kept(raw):
        return asked_again(0, f"Write a sentence or two (up to {LONGEST:,} characters); no answer has been kept yet.")
    words = Words(question, variant)
    looks_for = " ".join(f"({number}) {line}" for number, line in enumerate(question.rubric, 1))
    reason = (
        f"Kept for your instructor, who looks for: {words.fill(looks_for)} Compare with one good answer: "
        f"{words.fill(question.model)}"
    )
    return Mark(points=0, of=0, reason=reason)
