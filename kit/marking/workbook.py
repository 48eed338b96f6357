"""The same tables as one workbook (XLSX): three sheets of plain cells, no formula, no link, no macro."""

import io
import re
import zipfile
from collections.abc import Iterable, Sequence
from pathlib import Path

from kit.marking.marks import MarkBook
from kit.marking.tables import MARKS, PROBLEMS, TOTALS, marks_of, problems_of, safe_cell, total_of
from kit.marking.writing import written
from kit.records.outgoing import timeless

# A sheet ends after 1,048,576 rows, and long before that it opens slowly; marks.csv has no end.
MOST_ROWS = 100_000
WIDTHS = {"learner": 22, "note": 44, "what": 80, "file": 44, "question": 12}
# A workbook says when it was made. The same marks are to be the same bytes, so it always says this.
MADE = "2000-01-01T00:00:00Z"


def write_workbook(book: MarkBook, out: Path) -> Path:
    """Write ``marks.xlsx`` into ``out``; raises RecordError where that cannot be done."""
    from openpyxl import Workbook

    made = Workbook(write_only=True)
    _sheet(made, "Totals", TOTALS, map(total_of, book.learners))
    _sheet(made, "Marks", MARKS, (row for one in book.learners for row in marks_of(one)))
    _sheet(made, "Problems", PROBLEMS, ([*map(safe_cell, row)] for row in problems_of(book)))
    packed = io.BytesIO()
    made.save(packed)
    with written(out / "marks.xlsx") as file:
        _steady(packed, file)
    return out / "marks.xlsx"


def _sheet(made: object, title: str, head: Sequence[str], rows: Iterable[Sequence[object]]) -> None:
    """One sheet; the cells of its rows are safe."""
    sheet = made.create_sheet(title)
    for number, name in enumerate(head):
        sheet.column_dimensions[chr(ord("A") + number)].width = WIDTHS.get(name, 11)
    sheet.freeze_panes = "B2"
    sheet.append(list(head))
    for number, row in enumerate(rows):
        if number == MOST_ROWS:
            sheet.append(["… and more; all of them are in the CSV table of the same name"])
            return
        sheet.append(row)


def _steady(packed: io.BytesIO, file: object) -> None:
    """The same archive without the moment it was made."""
    with zipfile.ZipFile(packed) as old, zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as new:
        for member in old.infolist():
            content = old.read(member)
            if member.filename == "docProps/core.xml":
                content = re.sub(rb"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ", MADE.encode(), content)
            new.writestr(timeless(member.filename), content, zipfile.ZIP_DEFLATED)
