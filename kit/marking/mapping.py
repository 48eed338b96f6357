"""Which exercise is evidence for what: exercises, criteria and public competency standards as tables.

``mapping("06")`` is one lesson, ``mapping()`` the whole course, standard by standard. Nothing in them is written down
a second time: they are worked out from the questions and from ``kit.exercises.criteria``.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from kit.errors import QuestionError
from kit.exercises import questions
from kit.exercises.criteria import CRITERIA, STANDARDS
from kit.marking.matrix import coverage
from kit.marking.rubric import default_rubric

ENOUGH = "Each criterion has exercises enough."


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """A table with a sentence under it, shown by a notebook as Markdown."""

    head: Sequence[str]
    rows: Sequence[Sequence[str]]
    under: str = ""

    def _repr_markdown_(self) -> str:
        return str(self)

    def __str__(self) -> str:
        lines = [self.head, ["---"] * len(self.head), *self.rows]
        # A bar would end a cell of a Markdown table.
        text = "\n".join(f"| {' | '.join(cell.replace('|', '/') for cell in line)} |" for line in lines)
        return f"{text}\n\n{self.under}" if self.under else text

    __repr__ = __str__


def mapping(lesson: str = "") -> Table:
    """The exercises of a lesson with their criteria and standards; of the whole course where none is named.

    Raises QuestionError where there is no such lesson.
    """
    if not lesson:
        return _by_standard()
    asked = [one for one in questions().values() if one.lesson == lesson]
    if not asked:
        known = ", ".join(dict.fromkeys(one.lesson for one in questions().values()))
        raise QuestionError(f"There is no lesson '{lesson}'; there are {known}.")
    rows = [
        (one.id, one.title, one.kind, one.picture.machine, ", ".join(one.criteria),
         ", ".join(_unique(code for name in one.criteria for code in CRITERIA[name].standards)))
        for one in asked
    ]
    by_hand = [name for name in _unique(name for one in asked for name in one.criteria) if CRITERIA[name].by_hand]
    under = f"To be seen done on real metal as well: {', '.join(by_hand)}." if by_hand else ""
    return Table(head=("Exercise", "Title", "Kind", "Machine", "Criteria", "Standards"), rows=rows, under=under)


def _by_standard() -> Table:
    rows = []
    for standard in STANDARDS.values():
        names = [one.id for one in CRITERIA.values() if standard.code in one.standards]
        asked = [one.id for one in questions().values()
                 if one.lesson in standard.lessons and set(one.criteria) & set(names)]
        code = f"{standard.code} (from memory)" if standard.recalled else standard.code
        rows.append((code, standard.about, ", ".join(standard.lessons), ", ".join(names), ", ".join(asked)))
    short = [f"{one.criterion.id}: {one.missing}" for one in coverage(default_rubric()) if one.missing]
    return Table(
        head=("Standard", "About", "Lessons", "Criteria", "Exercises there"), rows=rows,
        under="Too little in the course: " + "; ".join(short) + "." if short else ENOUGH,
    )


def _unique(items: Iterable[str]) -> list[str]:
    return list(dict.fromkeys(items))
