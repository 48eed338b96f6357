"""The marks as tables (CSV) that a spreadsheet opens, and no cell of which it takes for a formula."""

import csv
import io
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from kit.marking.answers import Kept
from kit.marking.marks import SHARED, LearnerMarks, MarkBook, Row
from kit.marking.writing import written
from kit.records.outgoing import FORMULA_SIGNS

FORMULA_STARTS = (*FORMULA_SIGNS, "\t", "\r", "\n")
MARKS = ("learner", "question", "version", "points", "of", "attempts", "note", "hints", "by hand", "marker",
         "job passed")
TOTALS = ("learner", "points", "of", "problems", "percent", "waits for a person", "adjusted")
PROBLEMS = ("file", "line", "learner", "question", "what")


def write_tables(book: MarkBook, out: Path) -> tuple[Path, ...]:
    """Write ``marks.csv`` (a row a learner and question), ``totals.csv`` (a row a learner) and ``problems.csv``.

    Raises RecordError where the folder cannot be written to.
    """
    paths = tuple(out / name for name in ("marks.csv", "totals.csv", "problems.csv"))
    with open_table(paths[0], MARKS) as marks, open_table(paths[1], TOTALS) as totals:
        for one in book.learners:
            marks.writerows(marks_of(one))
            totals.writerow(total_of(one))
    write_table(paths[2], PROBLEMS, problems_of(book))
    return paths


def marks_of(one: LearnerMarks) -> Iterator[Sequence[object]]:
    """A learner's rows of the table of marks, each cell safe."""
    learner = safe_cell(one.learner)
    for row in one.rows:
        kept = SHARED.kept(row.common)
        yield learner, *(_cells(row) if kept is None else _kept_cells.get_or(kept[0], lambda row=row: _cells(row)))


_kept_cells = Kept()


def _cells(row: Row) -> tuple[object, ...]:
    """The cells of a row that come after whose it is."""
    passed = {None: "", True: "yes", False: "not yet"}[row.passed]
    hand = "" if row.hand is None else row.hand
    return tuple(map(safe_cell, (
        row.question, row.version, row.points, row.of, row.attempts, row.note, row.hints, hand, row.marker, passed,
    )))


def total_of(one: LearnerMarks) -> Sequence[object]:
    """A learner's row of the table of totals, each cell safe.

    Percent are rounded down, and none where there is nothing to earn.
    """
    percent = "" if one.percent is None else one.percent
    waiting = sum(row.waits for row in one.rows)
    cells = (one.learner, one.points, one.of, len(one.troubles), percent, waiting, " ".join(one.adjusted))
    return tuple(map(safe_cell, cells))


def problems_of(book: MarkBook) -> Iterator[Sequence[object]]:
    """The rows of the table of problems."""
    for one in book.troubles:
        yield one.file, one.line or "", one.learner, one.question, one.text


def safe_cell(value: object) -> object:
    """A cell that is only ever shown: numbers as they are, text on one line with a ' before a formula's first sign."""
    if isinstance(value, (int, float)):
        return value
    given = str(value)
    text = given if given.isprintable() else "".join(sign if sign.isprintable() else " " for sign in given)
    return f"'{text}" if given.lstrip(" ").startswith(FORMULA_STARTS) else text


def write_table(path: Path, head: Sequence[str], rows: Iterable[Sequence[object]]) -> Path:
    """Write one table, every cell made safe; raises RecordError where that cannot be done."""
    with open_table(path, head) as table:
        table.writerows([safe_cell(cell) for cell in row] for row in rows)
    return path


@contextmanager
def open_table(path: Path, head: Sequence[str]) -> Iterator[Any]:
    """A table to write rows of safe cells to; raises RecordError where that cannot be done."""
    with written(path) as file:
        # The byte-order mark makes a spreadsheet read the file as UTF-8.
        text = io.TextIOWrapper(file, encoding="utf-8-sig", newline="")
        table = csv.writer(text, lineterminator="\n")
        table.writerow(head)
        yield table
        text.flush()
        text.detach()
