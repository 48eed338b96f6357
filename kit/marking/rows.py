"""One row worked out: which attempt counts, what it earns under the rubric, and each step to its points in words."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from kit.exercises import IDEAS, AnyQuestion, Explain, JobQuestion, Mark, points_of
from kit.exercises.job_question import story_of_job
from kit.exercises.library import locks
from kit.exercises.question import drawn_alike, picture_of
from kit.marking.answers import Read, prompt_of, read_attempt
from kit.marking.attempts import Attempt
from kit.marking.by_hand import Given, HandMark
from kit.marking.job_marks import mark_job, worth_of_job
from kit.marking.marks import Row, Source
from kit.marking.rubric import Rubric


@dataclass(frozen=True, slots=True)
class Whose:
    """Whose marks are worked out, under which rubric, and what people gave; ``stories``: whether jobs are explained."""

    learner: str
    course: str
    rubric: Rubric
    given: Given
    stories: bool


def work_out(question: AnyQuestion, attempts: list[Attempt], whose: Whose, sources: dict[str, Source]) -> Row:
    """One row worked out; where the entry that counts stands is put among the sources."""
    rubric, given = whose.rubric, whose.given
    # Fresh variants are for practice: they are told of, and change no marks.
    practised = [one for one in attempts if one.variant.edition]
    marked = [read_attempt(one) for one in attempts if not one.variant.edition]
    read = [one for one in marked if one.mark.understood]
    looked_at = read[:_most(question, rubric, given)]
    notes = [f"{len(marked) - len(read)} could not be read"] if len(marked) > len(read) else []
    job, hand = None, given.marks.get(question.id)
    if looked_at:
        counted = _counting(question, looked_at, rubric)
        notes[:0] = _which_counts(question, counted.attempt, read, looked_at, rubric)
        if isinstance(question, JobQuestion):
            job = mark_job(counted.review, rubric)
    else:
        counted = _unanswered(question, marked, whose)
        notes.insert(0, "not answered")
    if practised:
        notes.append(_practice(practised))
    attempt, got = counted.attempt, counted.mark
    kit_points, kit_of = (job.points, job.of) if job else (got.points, got.of)
    by_hand = question.by_hand if isinstance(question, Explain) else 0
    if by_hand and hand is None and looked_at:
        notes.append(f"waits to be marked by hand, {by_hand} at most")
    points, of, steps = _under(rubric, question, counted if looked_at else None, (kit_points, kit_of), hand, given)
    if looked_at:
        sources[question.id] = Source(file=attempt.file, n=attempt.n, at=attempt.at)
    return Row(
        question=question.id, version=question.version, title=question.title,
        prompt=prompt_of(question, attempt.variant), answer=counted.shown, points=points, of=of, attempts=len(read),
        note="; ".join(notes), reason=job.reason if job else got.reason, ideas=tuple(IDEAS[idea] for idea in got.ideas),
        kind=question.kind, variant=attempt.variant.key, criteria=question.criteria,
        card=question.card if isinstance(question, JobQuestion) else "",
        machine=picture_of(question, attempt.variant).machine, hints=attempt.hints,
        fresh=len({one.variant.edition for one in practised}), kit_points=kit_points, kit_of=kit_of, steps=steps,
        by_hand=by_hand, hand=hand.points if hand and looked_at else None,
        marker=hand.marker if hand and looked_at else "", raw=attempt.raw if looked_at else "",
        lines=job.lines if job else (), caps=job.caps if job else (), passed=job.passed if job else None,
        story=story_of_job(question, attempt.variant, attempt.raw) if job and whose.stories else (),
    )


def _under(
    rubric: Rubric, question: AnyQuestion, counted: "Read | None", kit: tuple[int, int], hand: HandMark | None,
    given: Given,
) -> tuple[int, int, tuple[str, ...]]:
    """The points, the most there are, and each step from the kit's own points to them, in words."""
    points, of = kit
    steps = [f"the kit gives {points} of {of}"] if counted else []
    if isinstance(question, Explain) and (hand is not None or counted is None):
        points, of = hand.points if hand is not None and counted else 0, question.by_hand
        if hand is not None and counted:
            steps.append(f"by hand ({hand.marker}): {points} of {of}")
    if counted and counted.attempt.hints and rubric.hint_points:
        off = min(points, rubric.hint_most, counted.attempt.hints * rubric.hint_points)
        points -= off
        steps.append(f"hints before it: {counted.attempt.hints}; {off} off, {points} of {of}")
    if counted and rubric.due is not None:
        days, late = _days_late(counted.attempt, rubric, given)
        if late:
            points -= points * late // 100
            steps.append(f"{days} days late by the record's own clock: {late} % off, {points} of {of}")
    weight = rubric.weight(question.id, question.lesson, question.kind)
    if weight != 1:
        points, of = weight * points, weight * of
        steps.append(f"counts {weight} times: {points} of {of}")
    return points, of, tuple(steps)


def _days_late(attempt: Attempt, rubric: Rubric, given: Given) -> tuple[int, int]:
    """How many days were begun after it was due, with what was adjusted, and the percent that costs."""
    more = sum(
        change.amount for change in given.adjustments
        if change.code == "time" and change.covers(attempt.question.id)
    )
    late = datetime.fromisoformat(attempt.at) - rubric.due - timedelta(days=more)
    days = -(-late // timedelta(days=1)) if late > timedelta() else 0
    return days, min(rubric.late_most, days * rubric.late_a_day)


def _most(question: AnyQuestion, rubric: Rubric, given: Given) -> int | None:
    """So many answers are looked at; None for all of them."""
    if not rubric.most_attempts:
        return None
    return rubric.most_attempts + sum(
        change.amount for change in given.adjustments
        if change.code == "attempts" and change.covers(question.id)
    )


def _counting(question: AnyQuestion, read: Sequence[Read], rubric: Rubric) -> Read:
    if locks(question) or isinstance(question, JobQuestion) or rubric.counts == "first":
        return read[0]
    return max(read, key=lambda one: one.mark.points) if rubric.counts == "best" else read[-1]


def _which_counts(
    question: AnyQuestion, counted: Attempt, read: Sequence[Read], looked_at: Sequence[Read], rubric: Rubric
) -> list[str]:
    """What the note says about which attempt counts, where there is anything to say."""
    if isinstance(question, JobQuestion):
        acts = [fields.get("act") for fields in counted.raw]
        if "hand back" not in acts:
            return ["not handed back yet"]
        return ["worked again for practice; the first time counts"] if "again" in acts else []
    if len(read) == 1:
        return []
    which = "first" if locks(question) else rubric.counts
    if len(looked_at) < len(read):
        return [f"{len(read)} answers, the {which} of the first {len(looked_at)} counts"]
    return [f"{len(read)} answers, the {which} one counts"]


def _practice(practised: Sequence[Attempt]) -> str:
    editions = {one.variant.edition: one for one in practised}
    marks = [read_attempt(one).mark for one in editions.values()]
    whole = sum(got.points == got.of for got in marks)
    return f"practised on {len(editions)} more like it, {whole} right in the end"


def _unanswered(question: AnyQuestion, marked: Sequence[Read], whose: Whose) -> Read:
    drawn = marked[-1].attempt.variant if marked else drawn_alike(question, whose.course, whose.learner)
    # A job's worth is known without doing it; to mark no acts would still set up the machine.
    job = isinstance(question, JobQuestion)
    of = worth_of_job(whose.rubric, efficiency=question.efficiency) if job else points_of(question, drawn)
    empty = Attempt(at="", question=question, variant=drawn, raw="")
    return Read(empty, Mark(points=0, of=of, reason=""), "")
