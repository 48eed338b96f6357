"""The marks as tables (CSV) that a spreadsheet opens, and no cell of which it takes for a formula."""

import csv
from collections.abc import Iterable, Sequence
from pathlib import Path

from kit.errors import RecordError
from kit.marking.markbook import MarkBook

# What makes a spreadsheet compute a cell instead of showing it, in both widths these signs come in.
FORMULA_STARTS = tuple("=+-@|%\t\r\n＝＋－＠")


def write_tables(book: MarkBook, out: Path) -> tuple[Path, ...]:
    """Write ``marks.csv`` (a row a learner and question), ``totals.csv`` (a row a learner) and ``problems.csv``.

    Raises RecordError where the folder cannot be written to.
    """
    marks = [
        [one.learner, row.question, row.version, row.points, row.of, row.attempts, row.note]
        for one in book.learners
        for row in one.rows
    ]
    totals = [[one.learner, one.points, one.of, len(one.troubles)] for one in book.learners]
    problems = [[one.file, one.line or "", one.learner, one.question, one.text] for one in book.troubles]
    return (
        _write(out / "marks.csv", ["learner", "question", "version", "points", "of", "attempts", "note"], marks),
        _write(out / "totals.csv", ["learner", "points", "of", "problems"], totals),
        _write(out / "problems.csv", ["file", "line", "learner", "question", "what"], problems),
    )


def safe_cell(value: object) -> object:
    """A cell that is only ever shown: numbers as they are, text on one line with a ' before a formula's first sign."""
    if isinstance(value, (int, float)):
        return value
    text = "".join(sign if sign.isprintable() else " " for sign in str(value))
    return f"'{text}" if str(value).lstrip(" ").startswith(FORMULA_STARTS) else text


def _write(path: Path, head: Sequence[str], rows: Iterable[Sequence[object]]) -> Path:
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        # The byte-order mark makes a spreadsheet read the file as UTF-8.
        with path.open("w", encoding="utf-8-sig", newline="") as file:
            table = csv.writer(file, lineterminator="\n")
            table.writerow(head)
            table.writerows([safe_cell(cell) for cell in row] for row in rows)
    except OSError as reason:
        raise RecordError(f"{path} cannot be written ({reason.strerror}); is it open in another program?") from None
    return path
