"""Marking one learner: from records, a rubric and what people gave to rows that can be worked again by hand.

Which attempt counts: of a choice or a number the rubric's (the last that could be read, where it says nothing); of a
prediction and of what is explained in words the first, for the truth is shown after it; of a job, the work up to the
first time the machine was handed back. A learner has a row for every question of each lesson begun or asked for, and
for every job card worked on. No mark here depends on any other learner; rows that are the same for many are one row.
"""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import cache, lru_cache

from kit.exercises import AnyQuestion, Explain, JobQuestion, Variant, questions
from kit.exercises.explain import can_be_kept
from kit.exercises.question import drawn_alike
from kit.exercises.several import Several
from kit.marking.answers import given_alike, shortened
from kit.marking.attempts import Attempt, Refusal, sort_attempts
from kit.marking.by_hand import Given
from kit.marking.marks import MOST_SHARED, SHARED, LearnerMarks, Row, Source
from kit.marking.meaning import meaning
from kit.marking.rows import Whose, work_out
from kit.marking.rubric import Rubric
from kit.records import RecordFile

FEW_ORDERS = 4  # options, for 24 orders


def mark_learner(
    records: Sequence[RecordFile], rubric: Rubric, given: Given, *, stories: bool = True
) -> tuple[LearnerMarks, tuple[Refusal, ...]]:
    """All marks of one learner, and the entries that could not be marked.

    They are of the lessons begun, and of those the rubric asks for. Without ``stories`` the work on jobs is not
    explained, which takes seconds for each machine and changes no mark.
    """
    attempts: dict[str, list[Attempt]] = {}
    found, refused = sort_attempts(records)
    for attempt in found:
        attempts.setdefault(attempt.question.id, []).append(attempt)
    lessons = _lessons()
    begun = {lessons[name] for name in attempts if name in lessons}
    asked = list(_questions_of(frozenset(begun.union(rubric.asked))))
    cards = {name: tries[0].question for name, tries in attempts.items() if name not in lessons}
    asked += [cards[name] for name in sorted(cards, key=lambda name: (len(name), name))]
    whose = Whose(records[0].learner, records[0].course, rubric, given, stories)
    alone = bool(rubric.due or given.marks or given.adjustments)
    of_class = None if alone else _class_rows(rubric)
    sources: dict[str, Source] = {}
    rows = []
    for question in asked:
        tries = attempts.get(question.id, [])
        row = _common(question, tries, whose, of_class, sources) if of_class is not None and len(tries) < 2 else None
        rows.append(row or work_out(question, tries, whose, sources))
    return LearnerMarks(
        learner=whose.learner, course=whose.course, rows=tuple(rows), troubles=(), sources=sources,
        adjusted=tuple(sorted({change.code for change in given.adjustments})), observed=given.observed,
    ), tuple(refused)


@lru_cache(maxsize=2)
def _class_rows(_rubric: Rubric) -> dict[tuple, Row]:
    """The rows of a class under a rubric, each by its question, its variant's key and the one answer, as text."""
    return {}


@lru_cache(maxsize=100)
def _questions_of(lessons: frozenset[str]) -> tuple[AnyQuestion, ...]:
    return tuple(question for question in questions().values() if question.lesson in lessons)


@cache
def _lessons() -> Mapping[str, str]:
    """The lesson of each question."""
    return {name: one.lesson for name, one in questions().items()}


def _common(
    question: AnyQuestion, attempts: Sequence[Attempt], whose: Whose, of_class: dict[tuple, Row],
    sources: dict[str, Source],
) -> Row | None:
    """The row of all who gave the one same answer to the same variant, or none; None where it can only be one's own."""
    if not attempts:
        drawn = drawn_alike(question, whose.course, whose.learner)
        key = (question.id, drawn.key)
        return of_class.get(key) or _share(key, question, [], drawn, whose, of_class)
    (attempt,) = attempts
    if attempt.variant.edition or attempt.hints or isinstance(question, JobQuestion):
        return None
    explained = isinstance(question, Explain)
    if explained and can_be_kept(attempt.raw):
        row = _in_own_words(attempt, whose, of_class)
    else:
        given = given_alike(attempt.raw)
        if given is None:
            return None
        key = (question.id, attempt.variant.key, type(attempt.raw), given)
        row = work_out(question, attempts, whose, {}) if explained else of_class.get(key) or _share(
            key, question, attempts, attempt.variant, whose, of_class)
    # Of an answer that could not be read, too, it is told where it stands.
    sources[question.id] = Source(attempt.file, attempt.n, attempt.at)
    return row


def _share(
    key: tuple, question: AnyQuestion, attempts: Sequence[Attempt], drawn: Variant, whose: Whose,
    of_class: dict[tuple, Row],
) -> Row:
    """A row new to the class; where only the order of the options is new, it is taken from one that means the same."""
    raw = attempts[0].raw if attempts else None
    meant = meaning(question, drawn, raw)
    alike = of_class.get(meant.key) if meant is not None else None
    if alike is None:
        row = SHARED.share(work_out(question, attempts, whose, {}))
    else:
        own: dict[str, object] = {"variant": drawn.key}
        if alike.attempts:
            own["raw"] = raw
            if isinstance(question, Several):
                own["answer"] = shortened("; ".join(meant.texts))
        row = alike.varied(own)
    if len(of_class) >= MOST_SHARED:
        of_class.clear()
    # Of options in one of hundreds of orders it is as quick to vary the row again as it is to have it kept.
    if row.like is None or len(drawn.order) <= FEW_ORDERS:
        of_class[key] = row
    if meant is not None:
        of_class[meant.key] = row.common
    return row


def _in_own_words(attempt: Attempt, whose: Whose, of_class: dict[tuple, Row]) -> Row:
    """Hardly any two explain a thing in the same words; but all else of the row is the same for all."""
    question, raw = attempt.question, attempt.raw
    key = (question.id, attempt.variant.key, Explain)
    pattern = of_class.get(key)
    if pattern is None:
        pattern = replace(work_out(question, [attempt], whose, {}), answer="", raw="")
        pattern = of_class[key] = SHARED.share(pattern)
    return pattern.varied({"answer": shortened(raw), "raw": raw})
