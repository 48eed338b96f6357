"""Worksheets of a lesson, one a learner in that learner's own variant, and the answers on a sheet apart."""

import csv
import hashlib
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from kit.errors import PaperError
from kit.exercises import IDEAS, AnyQuestion, variant
from kit.exercises.job_question import JobQuestion
from kit.paper.answers import Answer, answer
from kit.paper.asked import Asked, Asking
from kit.paper.job_cards import SUSPECT_ROWS, Card, CardAnswer, card_answer, card_on_paper
from kit.paper.lesson import ONE, lesson_questions
from kit.paper.press import Paper, Pictures, press

# With more learners than this the answers are kept short: what an option's own words say is left out.
WHOLE_FOR = 3
MOST_LEARNERS = 500
TABLES = (".csv", ".txt", ".tsv", ".xlsx", ".xls", ".ods")  # a word with such an end is meant for a file


@dataclass(frozen=True, slots=True, kw_only=True)
class Worksheet:
    """One learner's sheet: who for, what names it, its questions and job cards, and what is right on them."""

    learner: str
    sheet: str
    asked: Sequence[Asked]
    cards: Sequence[tuple[str, Card]]
    answers: Sequence[Answer]
    card_answers: Sequence[CardAnswer]


def worksheets(lesson: str, learners: Sequence[str], course: str) -> tuple[Paper, Paper]:
    """The lesson's worksheets for these learners as one file, and their answers as another."""
    asked = lesson_questions(lesson)
    if not learners:
        learners = (ONE,)
    pictures = Pictures()
    sheets = [_worksheet(asked, learner, course, pictures) for learner in learners]
    number = asked[0].lesson
    values = {"lesson": number, "course": course, "sheets": sheets, "suspect_rows": SUSPECT_ROWS}
    whole = len(sheets) <= WHOLE_FOR
    ideas = {wrong.idea for sheet in sheets for each in sheet.answers for wrong in each.wrong if wrong.idea}
    return (
        press("worksheet.html", f"worksheet-{number}.html", title=f"Worksheet {number}, {course}", pictures=pictures,
              **values),
        press("answers.html", f"answers-{number}.html", title=f"Answers {number}, {course}", whole=whole,
              ideas=[idea for idea in IDEAS.values() if idea.title in ideas], **values),
    )


def _worksheet(asked: Sequence[AnyQuestion], learner: str, course: str, pictures: Pictures) -> Worksheet:
    asking = Asking(pictures)
    drawn = [(question, variant(question, course, learner)) for question in asked]
    jobs = [question for question in asked if isinstance(question, JobQuestion)]
    seal = hashlib.sha256("".join(mine.key for _, mine in drawn).encode()).hexdigest()[:6]
    return Worksheet(
        learner=learner, sheet=seal, asked=[asking.ask(*each) for each in drawn],
        cards=[(job.prompt, card_on_paper(job.card)) for job in jobs],
        answers=[answer(question, mine) for question, mine in drawn if question not in jobs],
        card_answers=[card_answer(job.card, learner, course) for job in jobs],
    )


def read_learners(text: str) -> tuple[str, ...]:
    """Learners from a file with a name a line, or from names apart by commas; raises PaperError for none, or too many.

    A file's first cell of each line counts, so that a list of pseudonyms or ``names.csv`` will do, with whatever the
    spreadsheet puts between its cells: what stands behind may be real names.
    """
    path = Path(text)
    cells = _first_cells(path) if path.is_file() else text.split(",")
    names = [" ".join(cell.split())[:60] for cell in cells]
    found = tuple(dict.fromkeys(name for name in names if name and name.lower() not in ("pseudonym", "learner")))
    if not found:
        raise PaperError("no learners are named; give a file with a name a line, or names apart by commas.")
    a_file = "/" in text or "\\" in text or path.is_dir() or path.suffix.lower() in TABLES
    if len(names) == 1 and a_file and not path.is_file():
        raise PaperError(f"there is no file {text[:80]} with learners in it.")
    if len(found) > MOST_LEARNERS:
        raise PaperError(f"{len(found)} learners are too many for one file; print {MOST_LEARNERS} at a time.")
    return found


def _first_cells(path: Path) -> list[str]:
    try:
        lines = path.read_text(encoding="utf-8-sig").splitlines()
        between = max(",;\t", key=(lines or [""])[0].count)
        return [row[0] for row in csv.reader(lines, delimiter=between) if row]
    except (OSError, UnicodeDecodeError, csv.Error):
        raise PaperError(
            f"{path} cannot be read as UTF-8 text with a learner a line; save it from the spreadsheet as \"CSV UTF-8\"."
        ) from None
