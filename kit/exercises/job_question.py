"""A job card as a question: what counts is the acts, done again on the machine and marked line by line."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, ClassVar

from kit.errors import KitError
from kit.exercises.acts import Act, HandBack, Plant, act_from_fields
from kit.exercises.cards import begun, card
from kit.exercises.marks import Mark
from kit.exercises.question import Question, Variant
from kit.exercises.work import apply

if TYPE_CHECKING:
    from kit.exercises.jobs import Review


@dataclass(frozen=True, slots=True, kw_only=True)
class JobQuestion(Question):
    """The question of a lesson that is a job card; ``efficiency`` points for the order of its tests (lesson 14 on)."""

    kind: ClassVar[str] = "job"

    card: str
    efficiency: int = 0


def mark_job_question(question: JobQuestion, variant: Variant, raw: object) -> Mark:
    """Mark one go at the job from the fields of its acts, in order; acts the machine does not know are passed over.

    The reason has a line for every line of the mark.
    """
    found, done, passed_over = review_of_job(question, variant, raw)
    reason = [f"{line.what}: {line.points} of {line.of}. {line.why}" for line in found.lines]
    if found.cap:
        reason.insert(0, found.cap)
    reason.append("Passed." if found.passed else "Not yet a pass.")
    if passed_over:
        reason.append(f"Acts that made no sense on this machine and were passed over: {passed_over}.")
    return Mark(points=found.points, of=found.of, reason="\n".join(reason), understood=bool(done))


def review_of_job(question: JobQuestion, variant: Variant, raw: object) -> tuple["Review", int, int]:
    """The work marked line by line, how many acts were done, and how many made no sense and were passed over."""
    # The review brings the diagnosis with it; a learner who only answers questions should not wait for it.
    from kit.exercises.jobs import review

    job = card(question.card)
    faults = job.faults(variant.learner, variant.course)
    acts, passed_over = _sensible(question, faults, raw)
    return review(job, faults, acts, efficiency=question.efficiency), len(acts), passed_over


def story_of_job(question: JobQuestion, variant: Variant, raw: object) -> tuple[tuple[str, str], ...]:
    """The work explained, heading and text line by line; empty until the machine is handed back."""
    from kit.exercises.story import story

    job = card(question.card)
    faults = job.faults(variant.learner, variant.course)
    acts, _ = _sensible(question, faults, raw)
    return tuple(story(job, faults, acts).lines()) if any(isinstance(act, HandBack) for act in acts) else ()


def points_of_job(question: JobQuestion, variant: Variant) -> int:
    """The most points the card can earn."""
    return mark_job_question(question, variant, ()).of


def _sensible(question: JobQuestion, faults: tuple[str, ...], raw: object) -> tuple[list[Act], int]:
    """The acts that can be done on the machine, and how many could not."""
    situation = begun(card(question.card), faults)
    acts: list[Act] = []
    given = raw if isinstance(raw, (list, tuple)) else ()
    for fields in given:
        try:
            act = act_from_fields(fields if isinstance(fields, Mapping) else {})
            if isinstance(act, Plant):
                # Setting and taking away faults belongs to open practice; on a job it would mend the machine.
                continue
            situation = apply(situation, act).situation
        except KitError:
            continue
        acts.append(act)
    return acts, len(given) - len(acts)
