"""Marking one learner: from records, a rubric and what people gave to rows that can be worked again by hand.

Which attempt counts: of a choice or a number the rubric's (the last that could be read, where it says nothing); of a
prediction and of what is explained in words the first, for the truth is shown after it; of a job, the work up to the
first time the machine was handed back. A learner has a row for every question of each lesson begun or asked for, and
for every job card worked on. No mark here depends on any other learner; rows that are the same for many are one row.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
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


@dataclass(slots=True)
class _ClassRows:
    """The rows of a class under one rubric.

    ``alike`` has each by its question, its variant's key and the one answer, and by what the answer means; ``said`` has
    the same rows by the entry's fields, by identity: each is kept beside its row, so that no other takes its place.
    """

    alike: dict[tuple, Row] = field(default_factory=dict)
    said: dict[int, tuple[object, Row]] = field(default_factory=dict)

    def keep(self, row: Row, *keys: tuple, said: object = None) -> None:
        """Keep a row under these keys; too many are gathered anew."""
        if len(self.alike) >= MOST_SHARED:
            self.alike.clear()
            self.said.clear()
        for key in keys:
            self.alike[key] = row
        if said is not None:
            self.said[id(said)] = said, row


@lru_cache(maxsize=2)
def _class_rows(_rubric: Rubric) -> _ClassRows:
    return _ClassRows()


@lru_cache(maxsize=100)
def _questions_of(lessons: frozenset[str]) -> tuple[AnyQuestion, ...]:
    return tuple(question for question in questions().values() if question.lesson in lessons)


@cache
def _lessons() -> Mapping[str, str]:
    """The lesson of each question."""
    return {name: one.lesson for name, one in questions().items()}


def _common(
    question: AnyQuestion, attempts: Sequence[Attempt], whose: Whose, of_class: _ClassRows, sources: dict[str, Source],
) -> Row | None:
    """The row of all who gave the one same answer to the same variant, or none; None where it can only be one's own."""
    if not attempts:
        return _of_answer(question, None, drawn_alike(question, whose.course, whose.learner), whose, of_class)
    (attempt,) = attempts
    if attempt.variant.edition or attempt.hints or isinstance(question, JobQuestion):
        return None
    said, row = of_class.said.get(id(attempt.said), (None, None))
    if said is not attempt.said or row is None:
        if not isinstance(question, Explain):
            row = _of_answer(question, attempt, attempt.variant, whose, of_class)
        elif can_be_kept(attempt.raw):
            row = _in_own_words(attempt, whose, of_class)
        else:
            row = work_out(question, attempts, whose, {})
    if row is not None:
        # Of an answer that could not be read, too, it is told where it stands.
        sources[question.id] = Source(attempt.file, attempt.n, attempt.at)
    return row


def _of_answer(
    question: AnyQuestion, attempt: Attempt | None, drawn: Variant, whose: Whose, of_class: _ClassRows,
) -> Row | None:
    """The row of an answer, or of none; where only the order of the options is new, taken from one that means the same.

    None where the answer is too long to be kept.
    """
    raw, key = attempt.raw if attempt else None, None
    # Of options in one of hundreds of orders it is quicker to vary a row again than to look for this very order.
    meant = meaning(question, drawn, raw) if len(drawn.order) > FEW_ORDERS else None
    if meant is None:
        given = given_alike(raw) if attempt else ""
        if given is None:
            return None
        key = (question.id, drawn.key, type(raw), given)
        row = of_class.alike.get(key)
        if row is not None:
            of_class.keep(row, said=attempt and attempt.said)
            return row
        meant = meaning(question, drawn, raw)
    alike = of_class.alike.get(meant.key) if meant is not None else None
    if alike is None:
        row = SHARED.share(work_out(question, [attempt] if attempt else [], whose, {}))
        of_class.keep(row, *(one for one in (key, meant and meant.key) if one is not None))
        return row
    own: dict[str, object] = {"variant": drawn.key}
    if alike.attempts:
        own["raw"] = raw
        if isinstance(question, Several):
            own["answer"] = shortened("; ".join(meant.texts))
    row = alike.varied(own)
    if key is not None:
        of_class.keep(row, key)
    return row


def _in_own_words(attempt: Attempt, whose: Whose, of_class: _ClassRows) -> Row:
    """Hardly any two explain a thing in the same words; but all else of the row is the same for all."""
    question, raw = attempt.question, attempt.raw
    key = (question.id, attempt.variant.key, Explain)
    pattern = of_class.alike.get(key)
    if pattern is None:
        pattern = SHARED.share(replace(work_out(question, [attempt], whose, {}), answer="", raw=""))
        of_class.keep(pattern, key)
    return pattern.varied({"answer": shortened(raw), "raw": raw})
