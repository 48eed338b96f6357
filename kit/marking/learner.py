"""Marking one learner: from records, a rubric and what people gave to rows that can be worked again by hand.

Which attempt counts: of a choice or a number the rubric's (the last that could be read, where it says nothing); of a
prediction and of what is explained in words the first, for the truth is shown after it; of a job, the work up to the
first time the machine was handed back. A learner has a row for every question of each lesson begun, and for every job
card worked on. Nothing here depends on any other learner.
"""

import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, timedelta
from functools import cache, lru_cache

from kit.exercises import (
    IDEAS,
    AnyQuestion,
    Choice,
    Explain,
    JobQuestion,
    Mark,
    Variant,
    mark,
    points_of,
    questions,
    variant,
)
from kit.exercises.choice import chosen_option, meant, shown_options
from kit.exercises.job_question import review_of_job, story_of_job
from kit.exercises.library import locks
from kit.exercises.ordered import Ordered
from kit.exercises.question import Words
from kit.exercises.several import Several
from kit.marking.attempts import Attempt, Refusal, sort_attempts
from kit.marking.by_hand import Given, HandMark
from kit.marking.job_marks import Reviewed, mark_job, worth_of_job
from kit.marking.marks import MOST_SHARED, SHARED, LearnerMarks, Row, Source
from kit.marking.meaning import meaning
from kit.marking.rubric import Rubric
from kit.records import RecordFile

LONGEST_ANSWER = 400
# Answers longer than this are marked each time; shorter ones once for the whole class.
KEPT = 400
MOST_MARKS = 20_000


@dataclass(frozen=True, slots=True)
class _Read:
    """An attempt with its mark, and the answer as text for a person; of a job, the review of its acts as well."""

    attempt: Attempt
    mark: Mark
    shown: str
    review: Reviewed | None = None


def mark_learner(
    records: Sequence[RecordFile], rubric: Rubric, given: Given, *, stories: bool = True
) -> tuple[LearnerMarks, tuple[Refusal, ...]]:
    """All marks of one learner, and the entries that could not be marked.

    Without ``stories`` the work on jobs is not explained, which takes seconds for each machine and changes no mark.
    """
    attempts: dict[str, list[Attempt]] = {}
    found, refused = sort_attempts(records)
    for attempt in found:
        attempts.setdefault(attempt.question.id, []).append(attempt)
    lessons = _lessons()
    begun = {lessons[name] for name in attempts if name in lessons}
    asked = [question for question in questions().values() if lessons[question.id] in begun]
    cards = {name: tries[0].question for name, tries in attempts.items() if name not in lessons}
    asked += [cards[name] for name in sorted(cards, key=lambda name: (len(name), name))]
    alone = bool(rubric.due or given.marks or given.adjustments)
    shared = None if alone else _class_rows(rubric)
    whose = _Whose(records[0].learner, records[0].course, rubric, given, stories, shared)
    sources: dict[str, Source] = {}
    rows = tuple(_row(question, attempts.get(question.id, []), whose, sources) for question in asked)
    return LearnerMarks(
        learner=whose.learner, course=whose.course, rows=rows, troubles=(), sources=sources,
        adjusted=tuple(sorted({change.code for change in given.adjustments})), observed=given.observed,
    ), tuple(refused)


@dataclass(frozen=True, slots=True)
class _Whose:
    """Whose marks are worked out, and under what; ``shared`` are the class's rows, None where none can be shared."""

    learner: str
    course: str
    rubric: Rubric
    given: Given
    stories: bool
    shared: dict[tuple, Row] | None


@lru_cache(maxsize=2)
def _class_rows(_rubric: Rubric) -> dict[tuple, Row]:
    """The rows of a class under a rubric, each by its question, its variant's key and the one answer, as text."""
    return {}


@cache
def _lessons() -> Mapping[str, str]:
    """The lesson of each question."""
    return {name: one.lesson for name, one in questions().items()}


def _row(question: AnyQuestion, attempts: list[Attempt], whose: _Whose, sources: dict[str, Source]) -> Row:
    """One row, the same one for all who gave the one same answer to the same variant, or none."""
    if whose.shared is None or len(attempts) > 1 or isinstance(question, JobQuestion):
        return _worked(question, attempts, whose, sources)
    if not attempts:
        drawn = variant(question, whose.course, whose.learner)
        key = (question.id, drawn.key)
        return whose.shared.get(key) or _share(key, question, [], drawn, whose)
    (attempt,) = attempts
    text = json.dumps(attempt.raw)
    if attempt.variant.edition or attempt.hints or len(text) > KEPT:
        return _worked(question, attempts, whose, sources)
    key = (question.id, attempt.variant.key, type(attempt.raw), text)
    row = whose.shared.get(key)
    if row is None:
        # Hardly any two explain a thing in the same words.
        alone = isinstance(question, Explain)
        row = _worked(question, attempts, whose, {}) if alone else _share(
            key, question, attempts, attempt.variant, whose)
    sources[question.id] = Source(file=attempt.file, n=attempt.n, at=attempt.at)
    return row


def _share(key: tuple, question: AnyQuestion, attempts: list[Attempt], drawn: Variant, whose: _Whose) -> Row:
    """A row new to the class; where only the order of the options is new, it is taken from one that means the same."""
    raw = attempts[0].raw if attempts else None
    meant = meaning(question, drawn, raw)
    alike = whose.shared.get(meant) if meant is not None else None
    if alike is None:
        row = _worked(question, attempts, whose, {})
    else:
        row = replace(alike, variant=drawn.key, raw=raw if alike.attempts else "")
    row = SHARED.share(row)
    if len(whose.shared) >= MOST_SHARED:
        whose.shared.clear()
    whose.shared[key] = row
    if meant is not None:
        whose.shared[meant] = row
    return row


def _worked(question: AnyQuestion, attempts: list[Attempt], whose: _Whose, sources: dict[str, Source]) -> Row:
    """One row worked out; where the entry that counts stands is put among the sources."""
    rubric, given = whose.rubric, whose.given
    # Fresh variants are for practice: they are told of, and change no marks.
    practised = [one for one in attempts if one.variant.edition]
    marked = [_marked(one) for one in attempts if not one.variant.edition]
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
        prompt=_prompt(question, attempt.variant), answer=counted.shown, points=points, of=of, attempts=len(read),
        note="; ".join(notes), reason=job.reason if job else got.reason, ideas=tuple(IDEAS[idea] for idea in got.ideas),
        kind=question.kind, variant=attempt.variant.key, criteria=question.criteria,
        card=question.card if isinstance(question, JobQuestion) else "", machine=question.picture.machine,
        hints=attempt.hints, fresh=len({one.variant.edition for one in practised}), kit_points=kit_points,
        kit_of=kit_of, steps=steps, by_hand=by_hand, hand=hand.points if hand and looked_at else None,
        marker=hand.marker if hand and looked_at else "", raw=attempt.raw if looked_at else "",
        lines=job.lines if job else (), caps=job.caps if job else (), passed=job.passed if job else None,
        story=story_of_job(question, attempt.variant, attempt.raw) if job and whose.stories else (),
    )


def _under(
    rubric: Rubric, question: AnyQuestion, counted: "_Read | None", kit: tuple[int, int], hand: HandMark | None,
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


def _counting(question: AnyQuestion, read: Sequence[_Read], rubric: Rubric) -> _Read:
    if locks(question) or isinstance(question, JobQuestion) or rubric.counts == "first":
        return read[0]
    return max(read, key=lambda one: one.mark.points) if rubric.counts == "best" else read[-1]


def _which_counts(
    question: AnyQuestion, counted: Attempt, read: Sequence[_Read], looked_at: Sequence[_Read], rubric: Rubric
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
    marks = [_marked(one).mark for one in editions.values()]
    whole = sum(got.points == got.of for got in marks)
    return f"practised on {len(editions)} more like it, {whole} right in the end"


def _unanswered(question: AnyQuestion, marked: Sequence[_Read], whose: _Whose) -> _Read:
    drawn = marked[-1].attempt.variant if marked else variant(question, whose.course, whose.learner)
    # A job's worth is known without doing it; to mark no acts would still set up the machine.
    job = isinstance(question, JobQuestion)
    of = worth_of_job(whose.rubric, efficiency=question.efficiency) if job else points_of(question, drawn)
    empty = Attempt(at="", question=question, variant=drawn, raw="")
    return _Read(empty, Mark(points=0, of=of, reason=""), "")


# One answer, marked for the class


def _marked(attempt: Attempt) -> _Read:
    """The mark of an attempt, worked out once for all who gave the same answer to the same variant."""
    question, raw = attempt.question, attempt.raw
    if isinstance(question, JobQuestion):
        reviewed = Reviewed(*review_of_job(question, attempt.variant, raw))
        unweighed = Mark(points=0, of=0, reason="", understood=bool(reviewed.done))
        return _Read(attempt, unweighed, f"{len(raw)} acts", reviewed)
    text = json.dumps(raw)
    # What an answer earns depends on the variant's picks and order, which its key names, and on nothing else of it.
    # Hardly any two explain a thing in the same words.
    if len(text) <= KEPT and not isinstance(question, Explain):
        beside = _Beside(lambda: (mark(question, attempt.variant, raw), _shown(attempt)))
        return _Read(attempt, *_kept(question.id, attempt.variant.key, type(raw), text, beside))
    return _Read(attempt, mark(question, attempt.variant, raw), _shown(attempt))


class _Beside:
    """Work carried past a cache: two of them are always equal, for what parts them is asked beside.

    It is done once and let go of: the cache keeps its keys, and must not keep a learner's whole record with them.
    """

    def __init__(self, work: Callable[[], object]) -> None:
        self._work: Callable[[], object] | None = work

    def work(self) -> object:
        work, self._work = self._work, None
        return work()

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Beside)

    def __hash__(self) -> int:
        return 0


@lru_cache(maxsize=MOST_MARKS)
def _kept(_question: str, _key: str, _kind: type, _text: str, beside: _Beside) -> tuple[Mark, str]:
    return beside.work()


def _prompt(question: AnyQuestion, drawn: Variant) -> str:
    return Words(question, drawn).fill(question.prompt)


def _shown(attempt: Attempt) -> str:
    """A raw answer as text for a person."""
    match attempt.question, attempt.raw:
        case Choice() as choice, raw:
            option = chosen_option(choice, attempt.variant, raw)
            text = str(raw) if option is None else Words(choice, attempt.variant).fill(option.text)
        case (Several() | Ordered()) as asked, list() as raw:
            letters = shown_options(asked, attempt.variant)
            words = Words(asked, attempt.variant)
            options = [meant(letters, words, part) for part in raw]
            text = "; ".join(
                _cells(part) if option is None else words.fill(option.text)
                for part, option in zip(raw, options, strict=True)
            )
        case _, Mapping() as raw:
            text = "; ".join(f"{name}: {_cells(cells)}" for name, cells in raw.items())
        case _, list() as raw:
            text = "; ".join(_cells(row) for row in raw)
        case _, raw:
            text = str(raw)
    return text if len(text) <= LONGEST_ANSWER else text[: LONGEST_ANSWER - 3] + "..."


def _cells(cells: object) -> str:
    if isinstance(cells, Mapping):
        cells = list(cells.values())
    return ", ".join(str(cell) for cell in cells) if isinstance(cells, (list, tuple)) else str(cells)
