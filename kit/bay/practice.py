"""Practice: questions to warm up with, more of what is not yet sure, and how far a learner has come."""

import html

import ipywidgets

from kit.bay.question_sheet import QuestionSheet
from kit.bay.stand_in import with_stand_in
from kit.errors import QuestionError
from kit.exercises.progress import Progress, next_to_practise, progress
from kit.exercises.progress import starters as starters_of
from kit.exercises.question import fresh_edition
from kit.records import Record, all_entries, kernel_record

STARTERS = "Short questions from earlier lessons, to wake them up. They change no marks."
DONE = "Nothing is waiting to be practised: what you have begun, you are sure of. On to the next lesson."

NOT_BEGUN = "Begin a lesson first; what to practise is picked from what you did there."


class Sheets(ipywidgets.VBox):
    """Question sheets one under the other, with a sentence above them."""

    def __init__(self, words: str, sheets: list[QuestionSheet]) -> None:
        self._words, self.sheets = words, sheets
        super().__init__([ipywidgets.HTML(f"<p>{html.escape(words)}</p>"), *sheets])

    def _repr_mimebundle_(self, **kwargs: object) -> tuple[dict, dict]:
        words = f"{self._words} To answer, press the button at the top of this page."
        return with_stand_in(super()._repr_mimebundle_(**kwargs), words)


def starters(lesson: str) -> Sheets:
    """The starter questions of a lesson such as ``07``: fresh variants from the lessons one, three and six back.

    Raises QuestionError for what is no lesson, or where no earlier lesson has questions.
    """
    if not (lesson.isascii() and lesson.isdigit() and len(lesson) == 2):
        raise QuestionError(f"'{lesson[:20]}' is no lesson; write its two digits, like 07.")
    record = kernel_record()
    found = starters_of(lesson, record.course, record.learner)
    if not found:
        raise QuestionError(f"lesson {lesson} has no starter questions: no earlier lesson has any to draw from.")
    return Sheets(STARTERS, [QuestionSheet(item, record=record, edition=edition) for item, edition in found])


def practise() -> Sheets:
    """One fresh variant of the question that most wants practice, by the learner's own record."""
    record = kernel_record()
    found = _progress(record)
    wanted = next_to_practise(found)
    if wanted is None:
        return Sheets(DONE if any(one.answered for one in found) else NOT_BEGUN, [])
    sheet = QuestionSheet(wanted.question, record=record, edition=fresh_edition(wanted.question, wanted.last))
    return Sheets(f"Picked for you: {wanted.question.id} {wanted.question.title}. It changes no marks.", [sheet])


class ProgressPage:
    """How far a learner has come, as a table a notebook shows."""

    def __init__(self, found: tuple[Progress, ...]) -> None:
        self._found = tuple(one for one in found if one.question.lesson in _begun(found))

    def __str__(self) -> str:
        if not self._found:
            return "Nothing yet: your first answer shows up here."
        return "\n".join(
            f"{one.question.id} {one.question.title}: {_says(one)}" for one in self._found
        )

    __repr__ = __str__

    def _repr_html_(self) -> str:
        if not self._found:
            return f"<p>{self}</p>"
        rows = "".join(
            f"<tr><td>{one.question.id}</td><td style='text-align:left'>{html.escape(one.question.title)}</td>"
            f"<td style='text-align:left'>{_says(one)}</td></tr>"
            for one in self._found
        )
        head = "<tr><th>question</th><th style='text-align:left'>about</th><th style='text-align:left'>you</th></tr>"
        note = "Sure means: two variants in a row right at once, without help."
        return f"<table><thead>{head}</thead><tbody>{rows}</tbody></table><p>{note}</p>"


def progress_page() -> ProgressPage:
    """How far this learner has come in the lessons begun so far."""
    return ProgressPage(_progress(kernel_record()))


def _says(one: Progress) -> str:
    if one.question.kind == "explain":
        return "written" if one.answered else "not tried"
    points = f", {one.points} of {one.of} points" if one.answered else ""
    practised = f", practised {one.practised} ×" if one.practised else ""
    return f"{one.word}{points}{practised}"


def _begun(found: tuple[Progress, ...]) -> set[str]:
    return {one.question.lesson for one in found if one.answered}


def _progress(record: Record) -> tuple[Progress, ...]:
    return progress(all_entries(record), record.course, record.learner)
