"""The table that waits for a person: what was explained in words, and what has to be seen done by hand.

It lies in the folder of marks as ``by-hand.csv``. Whoever marks fills in points and a name, and marks the class again:
what is filled in counts and stays, however often the table is written anew. Of the practicals beside the lessons a
learner has begun, it has a line for each criterion that is watched there; in a large class only those filled in.
"""

from collections.abc import Iterator, Sequence
from pathlib import Path

from kit.exercises.criteria import CRITERIA
from kit.exercises.practicals import practicals
from kit.marking.by_hand import read_table
from kit.marking.marks import LearnerMarks, MarkBook
from kit.marking.practicals import practical_id
from kit.marking.tables import write_table

NAME = "by-hand.csv"
HEAD = ("learner", "question", "points", "of", "marker", "date", "note", "machine", "answer", "looks for")
FILLED = ("points", "marker", "date", "note", "machine")
# With more learners than a class has, some sixty lines each would make a table nobody fills in by hand.
MOST_WITH_PRACTICALS = 200
Filled = dict[tuple[str, str], list[dict[str, str]]]


def write_sheet(book: MarkBook, out: Path) -> Path:
    """Write ``by-hand.csv`` with a line for everything a person should mark, keeping what is filled in already.

    Raises RubricError where the table that is there cannot be read (it is left as it is), RecordError where the folder
    cannot be written to.
    """
    path = out / NAME
    filled = _filled(path) if path.is_file() else {}
    return write_table(path, HEAD, list(_lines(book, filled)))


def _lines(book: MarkBook, filled: Filled) -> Iterator[Sequence[object]]:
    practised = len(book.learners) <= MOST_WITH_PRACTICALS
    for one in book.learners:
        for row in one.rows:
            if row.by_hand and row.attempts:
                yield from _with(filled, one.learner, row.question, row.by_hand, row.answer, row.reason)
        for criterion in CRITERIA.values():
            if criterion.by_hand:
                yield from _with(filled, one.learner, criterion.id, "met / not yet", "", criterion.does)
        for lesson, criterion in _practicals(one) if practised else ():
            about, does = practical_id(lesson, criterion), CRITERIA[criterion].does
            yield from _with(filled, one.learner, about, "met / not yet / not seen", "", does)
    # What somebody filled in for work that is not here any more is not ours to throw away.
    for (learner, question), lines in filled.items():
        for cells in lines:
            yield _line(learner, question, cells, *(cells.get(name, "") for name in ("of", "answer", "looks for")))


def _practicals(one: LearnerMarks) -> Iterator[tuple[str, str]]:
    """The criteria of the practicals beside the lessons a learner has begun."""
    begun = {row.question.split(".")[0] for row in one.rows if row.attempts}
    for lesson, found in practicals().items():
        if lesson in begun:
            yield from ((lesson, criterion) for criterion in found.criteria)


def _with(
    filled: Filled, learner: str, question: str, of: object, answer: str, wants: str
) -> Iterator[Sequence[object]]:
    for cells in filled.pop((learner, question), [{}]):
        yield _line(learner, question, cells, of, answer, wants)


def _line(
    learner: str, question: str, cells: dict[str, str], of: object, answer: str, wants: str
) -> Sequence[object]:
    points, *rest = (cells.get(name, "") for name in FILLED)
    return (learner, question, points, of, *rest, answer, wants)


def _filled(path: Path) -> Filled:
    """The lines somebody wrote something into, by learner and question."""
    found: Filled = {}
    for _line, cells in read_table(path, ("learner", "question", "points", "marker")):
        if any(cells.get(name) for name in FILLED):
            found.setdefault((cells["learner"], cells["question"]), []).append(cells)
    return found
