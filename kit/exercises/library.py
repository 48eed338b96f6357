"""The questions of all lessons by their ids, and what can be done with any of them."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from kit.circuit import Terminal
from kit.errors import QuestionError
from kit.exercises import (
    content_00,
    content_01,
    content_02,
    content_03,
    content_04,
    content_05,
    content_06,
    content_07,
    content_08,
    content_09,
    content_10,
    content_11,
    content_12,
    content_13,
    content_14,
    content_15,
    content_16,
    content_17,
)
from kit.exercises.cards import card
from kit.exercises.choice import Choice, mark_choice, right_option, shown_options
from kit.exercises.explain import Explain, mark_explain
from kit.exercises.figures import Network
from kit.exercises.job_question import JobQuestion, mark_job_question, points_of_job
from kit.exercises.mark_up import MarkUp, mark_up, points_of_rows, rows, true_rows
from kit.exercises.marks import Mark
from kit.exercises.next_test import (
    OUTCOME_POINTS,
    TEST_POINTS,
    NextTest,
    lettered,
    mark_next_test,
    narrowed,
    true_next_test,
)
from kit.exercises.number import Number, mark_number, true_number
from kit.exercises.ordered import Ordered, mark_ordered, right_order
from kit.exercises.prediction import Prediction, mark_prediction, rows_of, true_readings
from kit.exercises.question import Variant, Words, picture_of, told_table
from kit.exercises.several import Several, mark_several, right_options
from kit.exercises.standing import STANDINGS, Standing, mark_standing, points_listed, true_standings
from kit.exercises.volts_table import VoltsTable, mark_volts, red_points, true_volts
from kit.instruments import LAMP_WORDS
from kit.machines import machine
from kit.quantities import UNITS

AnyQuestion = (
    Choice | Several | Number | Prediction | VoltsTable | Standing | Ordered | NextTest | MarkUp | Explain
    | JobQuestion
)
CONTENTS: tuple[Sequence[AnyQuestion], ...] = (
    content_00.QUESTIONS,
    content_01.QUESTIONS,
    content_02.QUESTIONS,
    content_03.QUESTIONS,
    content_04.QUESTIONS,
    content_05.QUESTIONS,
    content_06.QUESTIONS,
    content_07.QUESTIONS,
    content_08.QUESTIONS,
    content_09.QUESTIONS,
    content_10.QUESTIONS,
    content_11.QUESTIONS,
    content_12.QUESTIONS,
    content_13.QUESTIONS,
    content_14.QUESTIONS,
    content_15.QUESTIONS,
    content_16.QUESTIONS,
    content_17.QUESTIONS,
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Kind:
    """What can be done with a question of one kind: its truth, the mark of an answer, its points, its form's fields."""

    truth: Callable[[AnyQuestion, Variant], object]
    mark: Callable[[AnyQuestion, Variant, object], Mark]
    points: Callable[[AnyQuestion, Variant], int]
    fields: Callable[[AnyQuestion, Variant, Words], Mapping[str, object]]
    locks: bool = False


def _cells(rows: Callable[[AnyQuestion, Variant], Sequence[str]]) -> Callable[[AnyQuestion, Variant], int]:
    return lambda question, variant: len(rows(question, variant)) * len(question.columns)


def _grid(question: AnyQuestion, rows: Sequence[str], **more: object) -> Mapping[str, object]:
    places = machine(question.setup.machine).points
    return {
        "rows": [{"point": row, "where": places[Terminal.read(row)].where} for row in rows],
        "columns": [column.title for column in question.columns],
    } | more


def _options(shown: Callable) -> Callable[[AnyQuestion, Variant, Words], Mapping[str, object]]:
    return lambda question, variant, words: {"options": [
        {"key": key, "text": words.fill(option.text)} for key, option in shown(question, variant).items()
    ]}


def _shown_words(question: Prediction, variant: Variant) -> Mapping[str, Sequence[str]]:
    return {point: tuple(one.shown for one in row) for point, row in true_readings(question, variant).items()}


KINDS: Mapping[type, Kind] = MappingProxyType({
    Choice: Kind(
        truth=lambda question, variant: right_option(question, variant).id, mark=mark_choice,
        points=lambda question, variant: question.points, fields=_options(shown_options),
    ),
    Several: Kind(
        truth=right_options, mark=mark_several, points=lambda question, variant: question.points,
        fields=_options(shown_options),
    ),
    Number: Kind(
        truth=true_number, mark=mark_number, points=lambda question, variant: question.points,
        fields=lambda question, variant, words: {"unit": UNITS[question.unit][0]},
    ),
    Prediction: Kind(
        truth=_shown_words, mark=mark_prediction, points=_cells(rows_of), locks=True,
        fields=lambda question, variant, words: _grid(
            question, rows_of(question, variant), clip=words.fill(question.clip), words=list(LAMP_WORDS)),
    ),
    VoltsTable: Kind(
        truth=true_volts, mark=mark_volts, points=_cells(red_points), locks=True,
        fields=lambda question, variant, words: _grid(
            question, red_points(question, variant), black=words.fill(question.black), unit="V"),
    ),
    Standing: Kind(
        truth=true_standings, mark=mark_standing, points=_cells(points_listed), locks=True,
        fields=lambda question, variant, words: _grid(
            question, points_listed(question, variant), words=list(STANDINGS)),
    ),
    Ordered: Kind(
        truth=right_order, mark=mark_ordered, points=lambda question, variant: question.points,
        fields=_options(shown_options),
    ),
    NextTest: Kind(
        truth=true_next_test, mark=mark_next_test,
        points=lambda question, variant: TEST_POINTS + 2 * OUTCOME_POINTS,
        fields=lambda question, variant, words: {
            "clip": question.clip, "tips": list(narrowed(question, variant).tips),
            "options": [{"key": key, "text": words.fill(question.suspects[fault])}
                        for key, fault in lettered(question, variant).items()],
        },
    ),
    MarkUp: Kind(
        truth=true_rows, mark=mark_up, points=points_of_rows, locks=True,
        fields=lambda question, variant, words: {"rows": [
            {"key": row.key, "text": row.text,
             "options": [{"key": key, "text": text} for key, text in row.options.items()]}
            for row in rows(question, variant)
        ]},
    ),
    Explain: Kind(
        truth=lambda question, variant: question.model, mark=mark_explain, points=lambda question, variant: 0,
        locks=True,
        fields=lambda question, variant, words: {"by_hand": question.by_hand},
    ),
    JobQuestion: Kind(
        truth=lambda question, variant: card(question.card).faults(variant.learner, variant.course),
        mark=mark_job_question, points=points_of_job, fields=lambda question, variant, words: {"card": question.card},
    ),
})


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
        lesson = question_id.split(".")[0]
        near = [item.id for item in questions().values() if item.lesson == lesson]
        lessons = dict.fromkeys(item.lesson for item in questions().values())
        there = f"lesson {lesson} has {', '.join(near)}" if near else f"there are lessons {', '.join(lessons)}"
        raise QuestionError(f"there is no question '{question_id[:40]}'; {there}.")
    return questions()[question_id]


def truth(question: AnyQuestion, variant: Variant) -> object:
    """What is right, computed: an option's id, a number, the lamp's words by point, or the faults of a job."""
    return KINDS[type(question)].truth(question, variant)


def mark(question: AnyQuestion, variant: Variant, raw: object) -> Mark:
    """Mark a raw answer; for a job, the fields of its acts in order.

    No answer makes it raise: what cannot be understood comes back with ``understood`` False and is asked again.
    """
    return KINDS[type(question)].mark(question, variant, raw)


def points_of(question: AnyQuestion, variant: Variant) -> int:
    """The most points the kit can give for the question; what a person marks by hand is not among them."""
    return KINDS[type(question)].points(question, variant)


def efficiency_of_card(card_id: str) -> int:
    """The points that the order of the tests earns on a job card: of the lesson that has it, 0 where none does."""
    jobs = (item for item in questions().values() if isinstance(item, JobQuestion) and item.card == card_id)
    return max((job.efficiency for job in jobs), default=0)


def locks(question: AnyQuestion) -> bool:
    """Whether the first understood answer is the one that counts, because the truth is shown after it."""
    return KINDS[type(question)].locks


def hints_of(question: AnyQuestion) -> tuple[str, ...]:
    """The hints of a question, each a step further; a number's own ``hint`` where it has no others."""
    return question.hints or ((question.hint,) if isinstance(question, Number) else ())


def has_drawing(question: AnyQuestion) -> bool:
    """Whether a drawing goes with a question; none goes with a sum about resistors on a paper board."""
    return not isinstance(getattr(question, "asks", None), Network)


def answer_form(question: AnyQuestion, variant: Variant) -> dict[str, object]:
    """What a learner's form needs, as plain values: prompt, picture, and options, unit, or rows and columns.

    It holds nothing of the truth, so it may be sent to a browser as it is.
    """
    words, picture = Words(question, variant), picture_of(question, variant)
    return {
        "question": question.id, "version": question.version, "variant": variant.key, "kind": question.kind,
        "title": question.title, "prompt": words.fill(question.prompt), "table": told_table(question, words),
        "picture": {"machine": picture.machine, "stage": picture.stage, "look": picture.look},
        "drawing": has_drawing(question),
        **KINDS[type(question)].fields(question, variant, words),
    }


def right_answer(question: AnyQuestion, variant: Variant) -> object:
    """An answer that earns every point, in the form a learner gives it; None for a job."""
    right = truth(question, variant)
    match question:
        case Choice():
            return _letter(shown_options(question, variant), right)
        case Several() | Ordered():
            return [_letter(shown_options(question, variant), one) for one in right]
        case VoltsTable():
            return {point: [f"{volts:.2f} V" for volts in row] for point, row in right.items()}
        case Prediction() | Standing():
            return {point: list(row) for point, row in right.items()}
        case MarkUp():
            return {row: text for row, (text,) in right.items()}
        case JobQuestion():
            return None
    return right


def _letter(options: Mapping, option_id: str) -> str:
    return next(key for key, option in options.items() if option.id == option_id)
