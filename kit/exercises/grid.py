"""A table to fill: rows by columns, read from whatever form an answer comes in."""

import json
import re
from collections.abc import Callable, Mapping, Sequence

from kit.exercises.marks import Mark

MAX_RAW = 4000
# How many wrong cells are talked about one by one.
MAX_NAMED = 3

Table = dict[str, tuple]
Cells = Mapping[str, tuple[bool, ...]]


def read_grid(
    rows: Sequence[str], titles: Sequence[str], raw: object, cell: Callable[[object], object], expected: str
) -> Table | str:
    """The learner's table by row, or what to say where it is not whole.

    Read: an object by row (a list of cells, or an object by column title), a list of rows in order, or text with a
    line (or a part ended by ``;``) a row: ``F1.2: out, bright``. ``cell`` reads one cell, None where it cannot;
    ``expected`` says in words what a cell may hold.
    """
    if isinstance(raw, str):
        raw = _parsed(raw, rows)
    if isinstance(raw, list) and len(raw) == len(rows):
        raw = dict(zip(rows, raw, strict=True))
    if not isinstance(raw, Mapping):
        return "Fill in every row of the table; nothing has been marked yet."
    names = {str(name).replace(" ", "").upper(): cells for name, cells in raw.items()}
    said: Table = {}
    for row in rows:
        cells = names.get(row.upper())
        if isinstance(cells, Mapping):
            cells = [cells.get(title, "") for title in titles]
        if not isinstance(cells, (list, tuple)) or len(cells) != len(titles):
            return f"Row {row} needs {len(titles)} entries, one a column; nothing has been marked yet."
        known = [cell(one) for one in cells]
        if None in known:
            return (
                f"Row {row} has nothing we can read for '{titles[known.index(None)]}'. Use {expected}; nothing has "
                "been marked yet."
            )
        said[row] = tuple(known)
    return said


def table_mark(
    cells: Cells, all_right: str, tell: Callable[[str, int], tuple[str, str, str]],
    after: Callable[[Sequence[tuple[str, int]]], tuple[Sequence[str], tuple[str, ...]]],
) -> Mark:
    """The mark of a table, one point a cell.

    ``all_right`` is said when it is; else ``tell`` says of the first few wrong cells (row, column) where they are, what
    was said and is so, and why (empty where that is all there is to say); ``after`` gives, for all that are wrong, the
    sentences to end with and the ideas they speak for.
    """
    of = sum(map(len, cells.values()))
    wrong = [(row, place) for row, right in cells.items() for place, one in enumerate(right) if not one]
    if not wrong:
        return Mark(points=of, of=of, reason=all_right, cells=cells)
    rest = len(wrong) - MAX_NAMED
    more = [f"{rest} more {'is' if rest == 1 else 'are'} off; compare the tables."] if rest > 0 else []
    ending, ideas = after(wrong)
    told = [tell(row, place) for row, place in wrong[:MAX_NAMED]]
    named = [f"At {where}, {shown}{': ' * bool(why)}{why}." for where, shown, why in told]
    # A reason once: points behind one break are dark for one and the same cause.
    places: dict[str, list[str]] = {}
    for where, _, why in told:
        places.setdefault(why, []).append(where)
    beside = [f"{'; '.join(there)}: {why}." for why, there in places.items() if why]
    return Mark(
        points=of - len(wrong), of=of, reason=" ".join([*named, *more, *ending]), ideas=ideas, cells=cells,
        beside=" ".join([*beside, *ending]),
    )


def _parsed(text: str, rows: Sequence[str]) -> object:
    """A table written as text: JSON, or a line a row."""
    text = text[:MAX_RAW].strip()
    if text.startswith(("{", "[")):
        try:
            return json.loads(text)
        except (ValueError, RecursionError):
            return None
    found: dict[str, list[str]] = {}
    for line in re.split(r"[\n;]+", text):
        row, _, rest = re.sub(r"^(\S+?)[:\s]+", r"\1\0", line.strip(), count=1).partition("\0")
        if row.upper() in [known.upper() for known in rows]:
            # A comma between digits is a decimal comma; words may also stand apart by spaces only.
            cells = [one.strip() for one in re.split(r"[|:]|,(?!\d)|(?<!\d),", rest) if one.strip()]
            found[row] = cells if len(cells) > 1 else rest.split()
    return found or None
