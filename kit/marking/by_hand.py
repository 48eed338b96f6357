"""Tables that an assessor fills in: marks given by hand, what was seen done, and adjustments by reason code.

What was seen in a practical may stand in a table of its own, with columns of its own (``kit/marking/practicals.py``).

They are CSV as any spreadsheet saves it (UTF-8; commas, semicolons or tabs). They are read and never written to. A
wrong line is named and left out; a table that cannot be read at all stops the marking, for it is the assessor's own.
"""

import codecs
import csv
import io
import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from functools import cache
from pathlib import Path

from kit.errors import RubricError
from kit.exercises import Explain, questions
from kit.exercises.cards import card_ids
from kit.exercises.criteria import CRITERIA
from kit.marking.marks import Observed, Trouble
from kit.marking.practicals import (
    COLUMNS,
    MET,
    NOT_YET,
    as_by_hand,
    as_day,
    is_practical,
    seen_in_practical,
    that_count,
)
from kit.records.outgoing import FORMULA_SIGNS

MOST_BYTES = 20_000_000
_NUMBER = re.compile(r"\d{1,2}\.\d{1,2}")
# What an adjustment may be about, and what its amount counts. No code says why: a diagnosis is nobody's business here.
CODES: Mapping[str, str] = {
    "time": "days more before work is late", "attempts": "attempts more than the rubric looks at",
    "reader": "", "format": "",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class HandMark:
    """What a person gave for one learner's answer to one question, and who it was."""

    points: int
    marker: str
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Adjustment:
    """One adjustment for one learner: a reason code, its amount, and the question or lesson it is for (empty: all)."""

    code: str
    amount: int = 0
    about: str = ""

    def covers(self, question: str) -> bool:
        return self.about in ("", question, question.split(".")[0])


@dataclass(frozen=True, slots=True, kw_only=True)
class Given:
    """All that a person gave one learner."""

    marks: Mapping[str, HandMark] = field(default_factory=dict)
    observed: tuple[Observed, ...] = ()
    adjustments: tuple[Adjustment, ...] = ()


def read_tables(
    by_hand: Sequence[Path] = (), adjustments: Path | None = None
) -> tuple[Mapping[str, Given], tuple[Trouble, ...]]:
    """What people gave each learner, by name, and the lines that were left out.

    ``by_hand`` tables have the columns learner, question, points, marker (and date, note): points for a question that
    is explained in words, or "met" or "not yet" beside a criterion that was watched; those of practicals have learner,
    practical, criterion, outcome, assessor, date, machine (and note). ``adjustments`` has learner, code (and amount,
    about). Raises RubricError where a table cannot be read or lacks a column.
    """
    marks: dict[tuple[str, str], tuple[HandMark, str]] = {}
    seen: dict[str, dict[str, Observed]] = {}
    changes: dict[str, list[Adjustment]] = {}
    troubles: list[Trouble] = []
    unsure: set[tuple[str, str]] = set()
    practised: dict[tuple[str, str, str], list[tuple[Observed, str]]] = {}
    for path in by_hand:
        for line, cells in _by_hand_lines(path):
            if not cells["points"]:
                continue
            learner, about = cells["learner"], cells["question"]
            found = _hand_mark(cells) or (seen_in_practical if is_practical(about) else _observed)(cells)
            if found is None:
                continue
            if isinstance(found, Observed) and found.practical:
                of_one = practised.setdefault((learner, found.practical, found.criterion), [])
                of_one.append((found, f"{path.name} line {line}"))
            elif isinstance(found, str):
                troubles.append(_trouble(path, line, cells, found))
            elif isinstance(found, Observed):
                seen.setdefault(learner, {})[about] = found
            elif marks.get((learner, about), (found, ""))[0].points != found.points:
                unsure.add((learner, about))
                troubles.append(_trouble(path, line, cells, (
                    f"{found.points} points here, {marks[learner, about][0].points} in {marks[learner, about][1]}: "
                    "neither counts until it is settled")))
            else:
                marks[learner, about] = (found, f"{path.name} line {line}")
    for line, cells in read_table(adjustments, ("learner", "code")) if adjustments is not None else ():
        found = _adjustment(cells)
        if isinstance(found, str):
            troubles.append(_trouble(adjustments, line, cells, found))
        else:
            changes.setdefault(cells["learner"], []).append(found)
    for (learner, practical, criterion), lines in practised.items():
        found, wrong = that_count(lines)
        if found is None:
            troubles.append(Trouble(file="", line=0, learner=learner, question=f"P{practical}.{criterion}", text=wrong))
        else:
            seen.setdefault(learner, {})[f"P{practical}.{criterion}"] = found
    given: dict[str, dict[str, HandMark]] = {name: {} for name in (*seen, *changes)}
    for (learner, about), (mark, _where) in marks.items():
        if (learner, about) not in unsure:
            given.setdefault(learner, {})[about] = mark
    return {
        name: Given(
            marks=found, observed=tuple(seen.get(name, {}).values()), adjustments=tuple(changes.get(name, ())),
        )
        for name, found in given.items()
    }, tuple(troubles)


def _by_hand_lines(path: Path) -> Iterator[tuple[int, dict[str, str]]]:
    """The lines of a table of marks by hand, or of one of practicals with its columns called as in the former."""
    if "practical" in column_names(path):
        yield from ((line, as_by_hand(cells)) for line, cells in read_table(path, (*COLUMNS, "date", "machine")))
    else:
        yield from read_table(path, ("learner", "question", "points", "marker"))


def column_names(path: Path) -> list[str]:
    """The names in a table's first line, in small letters; raises RubricError where it cannot be read."""
    _line, names = next(_rows(path), (0, []))
    return [cell.strip().lower() for cell in names]


def read_table(path: Path, wanted: Sequence[str]) -> Iterator[tuple[int, dict[str, str]]]:
    """The lines of a table with their numbers, as cells by the name of their column, in small letters.

    Raises RubricError where it cannot be read or has no column of a name that is wanted.
    """
    names = column_names(path)
    if missing := [name for name in wanted if name not in names]:
        text = f"{path.name} has no column \"{missing[0]}\" in its first line; it needs {_list(wanted)}."
        raise RubricError(text)
    for number, (line, row) in enumerate(_rows(path)):
        cells = {name: plain(cell) for name, cell in zip(names, row, strict=False)}
        if number and any(cells.values()):
            if "question" in cells:
                cells["question"] = as_asked(cells["question"])
            yield line, dict.fromkeys(wanted, "") | cells


def _rows(path: Path) -> Iterator[tuple[int, list[str]]]:
    """The rows of a table, each with the number of its last line; raises RubricError where it cannot be read."""
    try:
        if path.stat().st_size > MOST_BYTES:
            raise RubricError(f"{path.name} is too long for a table of marks.")
        content = path.read_bytes()
    except OSError as reason:
        raise RubricError(f"the table {path} cannot be read ({reason.strerror}).") from None
    wide = content.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE))
    try:
        text = content.decode("utf-16" if wide else "utf-8-sig")
    except UnicodeDecodeError:
        raise RubricError(f"{path.name} is not UTF-8 text; save it from the spreadsheet as \"CSV UTF-8\".") from None
    head = text.partition("\n")[0]
    rows = csv.reader(io.StringIO(text), delimiter=max(",;\t", key=head.count))
    try:
        for row in rows:
            yield rows.line_num, row
    except csv.Error as reason:
        raise RubricError(f"{path.name} line {rows.line_num}: {reason}.") from None


def plain(cell: str) -> str:
    """A cell as it was meant: without the ' that keeps a spreadsheet from taking it for a formula."""
    text = cell.strip()
    return text[1:] if text.startswith("'") and text[1:].lstrip().startswith(FORMULA_SIGNS) else text


def as_asked(text: str) -> str:
    """The question that was meant by what a spreadsheet left of it: it makes 0.7 of 00.7 and 5.1 of 05.10.

    Of two that are the same number it is the one a person marks.
    """
    return _explained().get(Decimal(text), text) if _NUMBER.fullmatch(text) else text


@cache
def _explained() -> Mapping[Decimal, str]:
    """What a person marks, by the number a spreadsheet takes it for."""
    return {Decimal(name): name for name, one in questions().items() if isinstance(one, Explain)}


def _hand_mark(cells: Mapping[str, str]) -> HandMark | str | None:
    asked = questions().get(cells["question"])
    if asked is None:
        return None
    if not isinstance(asked, Explain):
        return "the kit marks this question itself; a person's doubt about it goes into an appeal"
    if not cells["points"].isdecimal() or int(cells["points"]) > asked.by_hand:
        return f"'{cells['points'][:20]}' is no whole number of points from 0 to {asked.by_hand}"
    if not cells["marker"]:
        return "it does not say who marked it"
    return HandMark(points=int(cells["points"]), marker=cells["marker"], note=cells.get("note", ""))


def _observed(cells: Mapping[str, str]) -> Observed | str:
    criterion = CRITERIA.get(cells["question"])
    word = cells["points"].lower()
    if criterion is None:
        return (f"there is no question or criterion '{cells['question'][:40]}'; if the spreadsheet changed it, keep "
                "that column as text")
    if word not in (*MET, *NOT_YET):
        return f"'{word[:20]}' beside a criterion should be \"met\" or \"not yet\""
    if not cells["marker"]:
        return "it does not say who saw it"
    return Observed(
        criterion=criterion.id, met=word in MET, marker=cells["marker"], date=as_day(cells.get("date", ""))[:20],
    )


def _adjustment(cells: Mapping[str, str]) -> Adjustment | str:
    code, amount = cells["code"].lower(), cells.get("amount", "") or "0"
    if code not in CODES:
        return f"there is no reason code '{code[:20]}'; there are {_list(CODES)}"
    if not amount.isdecimal() or int(amount) > 1000:
        return f"'{amount[:20]}' is no whole number of {CODES[code] or 'anything'}"
    about = cells.get("about", "")
    if CODES[code] and about:
        # A spreadsheet makes 6 of lesson 06.
        lesson, dot, number = about.partition(".")
        about = f"{lesson.zfill(2)}{dot}{number}"
        if about not in questions() and about not in {one.lesson for one in questions().values()} | {*card_ids()}:
            return f"there is no question or lesson '{cells['about'][:40]}'; leave it empty for all of them"
    return Adjustment(code=code, amount=int(amount), about=about)


def _trouble(path: Path, line: int, cells: Mapping[str, str], text: str) -> Trouble:
    return Trouble(
        file=path.name, line=line, learner=cells["learner"], question=cells.get("question", ""), text=text,
    )


def _list(words: Iterable[str]) -> str:
    return ", ".join(words)
