"""What a person saw in a practical on real metal: one line of a table, and which of several lines counts.

A line names learner, practical, criterion, outcome, assessor, date and machine, in a table of its own (``kit print
practical`` makes it) or in ``by-hand.csv``, where ``P06.safe`` stands for the criterion "safe" of practical 06.
"""

import re
from collections.abc import Iterable, Mapping, Sequence
from datetime import date

from kit.exercises.practicals import practicals
from kit.marking.marks import Observed

# The columns of such a table, and what they are called in by-hand.csv.
COLUMNS: Mapping[str, str] = {
    "learner": "learner", "practical": "", "criterion": "question", "outcome": "points", "assessor": "marker",
}
MET, NOT_YET, NOT_SEEN = ("met", "yes"), ("not yet", "no"), "not seen"
_ID = re.compile(r"[Pp]([^.]*)\.(.*)")
_DAY = re.compile(r"\d{4}-\d{2}-\d{2}")
_DOTTED = re.compile(r"(\d{1,2})\.(\d{1,2})\.(\d{4})")
LONGEST_MACHINE, LONGEST_NOTE = 60, 300


def practical_id(lesson: str, criterion: str) -> str:
    """What stands for a criterion of a practical where there is one column for both."""
    return f"P{lesson}.{criterion}"


def as_by_hand(cells: Mapping[str, str]) -> dict[str, str]:
    """A line of a table of practicals with the columns of ``by-hand.csv``."""
    made = {name: cell for name, cell in cells.items() if name not in COLUMNS}
    made |= {new: cells[old] for old, new in COLUMNS.items() if new}
    lesson = cells["practical"].upper().removeprefix("P")
    # A spreadsheet makes 6 of 06.
    return made | {"question": practical_id(lesson.zfill(2), cells["criterion"])}


def is_practical(question: str) -> bool:
    """Whether a line is about a criterion of a practical."""
    return _ID.fullmatch(question) is not None


def seen_in_practical(cells: Mapping[str, str]) -> Observed | str | None:
    """What one line says was seen, None where it was not seen, or what is wrong with the line and what to do.

    ``cells`` have the columns of ``by-hand.csv``.
    """
    lesson, criterion = _ID.fullmatch(cells["question"]).groups()
    lesson, criterion = lesson.zfill(2)[:20], criterion.strip().lower()[:40]
    known = practicals()
    if not cells["learner"]:
        return "it does not say which learner it is about; fill in the pseudonym that is on the sheet"
    if lesson not in known:
        return f"there is no practical '{lesson}'; there are {', '.join(known)}"
    if criterion not in known[lesson].criteria:
        return f"practical {lesson} does not watch '{criterion}'; it watches {', '.join(known[lesson].criteria)}"
    word = " ".join(cells["points"].lower().split())
    if word not in (*MET, *NOT_YET, NOT_SEEN):
        return f"the outcome '{word[:20]}' should be \"met\", \"not yet\" or \"not seen\"; or leave it empty"
    if word == NOT_SEEN:
        return None
    if not cells["marker"]:
        return "it does not say who saw it; fill in the assessor"
    if not _is_day(day := as_day(cells.get("date", ""))):
        return f"the date '{day[:20]}' should be a day written like 2031-05-04; as text, if the spreadsheet changes it"
    if not cells.get("machine", ""):
        return "it does not say on which machine or board; fill in the machine"
    return Observed(
        criterion=criterion, met=word in MET, marker=cells["marker"], date=day, practical=lesson,
        machine=" ".join(cells["machine"].split())[:LONGEST_MACHINE], note=cells.get("note", "")[:LONGEST_NOTE],
    )


def that_count(lines: Iterable[tuple[Observed, str]]) -> tuple[Observed | None, str]:
    """Of all lines about one criterion of one practical the newest, and what is wrong where the newest do not agree.

    ``lines`` are each with where it stands. Two of one day that differ count neither, until a person settles it.
    """
    found = list(lines)
    newest = max(one.date for one, _where in found)
    first, *others = [(one, where) for one, where in found if one.date == newest]
    for one, where in others:
        if one.met != first[0].met:
            text = f"{_word(one)} in {where}, {_word(first[0])} on the same day in {first[1]}"
            return None, f"{text}: neither counts until one of them is changed"
    return first[0], ""


def newest(observed: Sequence[Observed]) -> Observed | None:
    """Which of several sightings of one criterion decides: that of the newest day; of one day, one that is not yet met.

    What bears no day that can be read is older than what does.
    """
    if not observed:
        return None
    last = max(_day(one) for one in observed)
    here = [one for one in observed if _day(one) == last]
    return next((one for one in here if not one.met), here[-1])


def as_day(text: str) -> str:
    """A day as it was typed: where dots part days from months, a spreadsheet makes 04.05.2031 of 2031-05-04."""
    found = _DOTTED.fullmatch(text)
    return f"{found[3]}-{found[2]:0>2}-{found[1]:0>2}" if found else text


def _day(one: Observed) -> str:
    return one.date if _is_day(one.date) else ""


def _is_day(text: str) -> bool:
    if not _DAY.fullmatch(text):
        return False
    try:
        date.fromisoformat(text)
    except ValueError:
        return False
    return True


def _word(one: Observed) -> str:
    return MET[0] if one.met else NOT_YET[0]
