"""Standing: live, joined to ground, or floating, said of points before anything is measured."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import ClassVar

from kit.exercises.figures import Setup
from kit.exercises.grid import read_grid, table_mark
from kit.exercises.marks import Mark, asked_again
from kit.exercises.prediction import Column
from kit.exercises.question import Question, Variant, Words
from kit.machines.standing import standing

STANDINGS = ("live", "ground", "floating")
SYNONYMS = {"+": "live", "plus": "live", "hot": "live", "-": "ground", "minus": "ground", "earth": "ground",
            "grounded": "ground", "g": "ground", "nothing": "floating", "float": "floating", "?": "floating",
            "neither": "floating", "l": "live", "f": "floating"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing(Question):
    """A table of points (text, apart by spaces) by positions; each cell is one of ``STANDINGS``.

    ``why`` is said when all is right, ``next`` else.
    """

    kind: ClassVar[str] = "standing"

    setup: Setup
    points_listed: str
    columns: tuple[Column, ...]
    why: str
    next: str


def points_listed(question: Standing, variant: Variant) -> tuple[str, ...]:
    """The test points of the table, top to bottom."""
    return tuple(Words(question, variant).fill(question.points_listed).split())


def true_standings(question: Standing, variant: Variant) -> Mapping[str, tuple[str, ...]]:
    """How each point stands: by point, one word a column."""
    words = Words(question, variant)
    columns = [question.setup.operate(words, **column.positions) for column in question.columns]
    return {
        point: tuple(standing(now.volts[point], now.machine.volts) for now in columns)
        for point in points_listed(question, variant)
    }


def mark_standing(question: Standing, variant: Variant, raw: object) -> Mark:
    """Mark a whole table, one point a cell; a table with an empty or unknown cell is asked again."""
    truth = true_standings(question, variant)
    of = len(truth) * len(question.columns)
    titles = [column.title for column in question.columns]
    said = read_grid(tuple(truth), titles, raw, _word, "live, ground or floating")
    if isinstance(said, str):
        return asked_again(of, said)
    words = Words(question, variant)
    cells = {point: tuple(said[point][n] == word for n, word in enumerate(row)) for point, row in truth.items()}

    def tell(point: str, place: int) -> tuple[str, str, str]:
        now = question.setup.operate(words, **question.columns[place].positions)
        mine, theirs = said[point][place], truth[point][place]
        return f"{point}, {titles[place]}", f"you said {mine}; it is {theirs}", _because(now, point)

    def after(wrong: Sequence[tuple[str, int]]) -> tuple[list[str], tuple[str, ...]]:
        ending = [words.fill(question.next)]
        if any((truth[point][n], said[point][n]) == ("floating", "ground") for point, n in wrong):
            ending.insert(0, "0 V on a meter is not ground: a point joined to nothing shows 0 V to either post. Test "
                             "both ways.")
        return ending, ()

    return table_mark(cells, f"All {of} as the machine has them. {words.fill(question.why)}", tell, after)


def _because(now, point: str) -> str:
    volts = now.volts[point]
    if volts is None:
        return "nothing that conducts joins it to either post"
    if standing(now.volts[point], now.machine.volts) == "ground":
        return f"it is joined to battery minus and stands at {abs(volts):.1f} V"
    return f"it is joined to battery plus and stands at {abs(volts):.1f} V"


def _word(cell: object) -> str | None:
    word = str(cell)[:40].strip().lower()
    word = SYNONYMS.get(word, word)
    return word if word in STANDINGS else None
