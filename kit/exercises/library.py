"""The questions of all lessons by their ids, and what can be done with any of them."""

from collections.abc import Mapping, Sequence
from functools import cache
from types import MappingProxyType
from typing import assert_never

from kit.circuit import Terminal
from kit.errors import QuestionError
from kit.exercises import content_06
from kit.exercises.cards import card
from kit.exercises.choice import Choice, mark_choice, right_option, shown_options
from kit.exercises.job_question import JobQuestion, mark_job_question, points_of_job
from kit.exercises.marks import Mark
from kit.exercises.number import Number, mark_number, true_number
from kit.exercises.prediction import Prediction, mark_prediction, rows_of, true_readings
from kit.exercises.question import Variant, Words
from kit.instruments import LAMP_WORDS
from kit.machines import machine
from kit.quantities import UNITS

AnyQuestion = Choice | Number | Prediction | JobQuestion
CONTENTS: tuple[Sequence[AnyQuestion], ...] = (content_06.QUESTIONS,)


@cache
def questions() -> Mapping[str, AnyQuestion]:
    """Every question by its id, in the lessons' order; raises QuestionError where two share an id."""
    found: dict[str, AnyQuestion] = {}
    for item in (item for content in CONTENTS for item in content):
        if item.id in found:
            raise QuestionError(f"two questions have the id {item.id}; give one of them another.")
        found[item.id] = item
    return MappingProxyType(found)


def question(question_id: str) -> AnyQuestion:
    """A question by its id, such as ``06.3``; raises QuestionError for an unknown one."""
    if question_id not in questions():
        raise QuestionError(f"there is no question '{question_id[:40]}'; there are {', '.join(questions())}.")
    return questions()[question_id]


def truth(question: AnyQuestion, variant: Variant) -> object:
    """What is right, computed: an option's id, a number, the lamp's words by point, or the faults of a job."""
    match question:
        case Choice():
            return right_option(question, variant).id
        case Number():
            return true_number(question, variant)
        case Prediction():
            readings = true_readings(question, variant)
            return {point: tuple(reading.shown for reading in row) for point, row in readings.items()}
        case JobQuestion():
            return card(question.card).faults(variant.learner, variant.course)
        case _:
            assert_never(question)


def mark(question: AnyQuestion, variant: Variant, raw: object) -> Mark:
    """Mark a raw answer; for a job, the fields of its acts in order.

    No answer makes it raise: what cannot be understood comes back with ``understood`` False and is asked again.
    """
    match question:
        case Choice():
            return mark_choice(question, variant, raw)
        case Number():
            return mark_number(question, variant, raw)
        case Prediction():
            return mark_prediction(question, variant, raw)
        case JobQuestion():
            return mark_job_question(question, variant, raw)
        case _:
            assert_never(question)


def points_of(question: AnyQuestion, variant: Variant) -> int:
    """The most points the question can earn."""
    match question:
        case Choice() | Number():
            return question.points
        case Prediction():
            return len(rows_of(question, variant)) * len(question.columns)
        case JobQuestion():
            return points_of_job(question, variant)
        case _:
            assert_never(question)


def answer_form(question: AnyQuestion, variant: Variant) -> dict[str, object]:
    """What a learner's form needs, as plain values: prompt, picture, and options, unit, or rows and columns.

    It holds nothing of the truth, so it may be sent to a browser as it is.
    """
    words = Words(question, variant)
    form: dict[str, object] = {
        "question": question.id, "version": question.version, "variant": variant.key, "kind": question.kind,
        "title": question.title, "prompt": words.fill(question.prompt),
        "picture": {"machine": question.picture.machine, "stage": question.picture.stage},
    }
    match question:
        case Choice():
            options = shown_options(question, variant)
            form["options"] = [{"key": key, "text": words.fill(option.text)} for key, option in options.items()]
        case Number():
            form["unit"] = UNITS[question.unit][0]
        case Prediction():
            places = machine(question.setup.machine).points
            rows = rows_of(question, variant)
            form["clip"] = words.fill(question.clip)
            form["rows"] = [{"point": row, "where": places[Terminal.read(row)].where} for row in rows]
            form["columns"] = [column.title for column in question.columns]
            form["words"] = list(LAMP_WORDS)
        case JobQuestion():
            form["card"] = question.card
        case _:
            assert_never(question)
    return form
