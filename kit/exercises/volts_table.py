"""Volts before they are measured: a table of what the meter will show at every point, in every position."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import ClassVar

from kit.errors import QuantityError
from kit.exercises.figures import Setup, metered
from kit.exercises.grid import read_grid, table_mark
from kit.exercises.ideas import IDEAS
from kit.exercises.marks import Mark, asked_again
from kit.exercises.prediction import NO_CURRENT_AMPS, Column
from kit.exercises.question import Question, Variant, Words
from kit.quantities import read_quantity

# As near as a learner without a calculator can say it: a tenth of a volt, or three parts in a hundred.
WITHIN_VOLTS, WITHIN_SHARE = 0.1, 0.03


@dataclass(frozen=True, slots=True, kw_only=True)
class VoltsTable(Question):
    """A table to fill with volts: the black lead stays put, the red one visits points (text, apart by spaces).

    ``load`` is the part whose current says whether anything flows. ``why`` is said when all is right, ``next`` else.
    """

    kind: ClassVar[str] = "volts"

    setup: Setup
    black: str
    points_listed: str
    columns: tuple[Column, ...]
    load: str
    why: str
    next: str


Volts = Mapping[str, tuple[float, ...]]


def red_points(question: VoltsTable, variant: Variant) -> tuple[str, ...]:
    """Where the red lead goes, top to bottom."""
    return tuple(Words(question, variant).fill(question.points_listed).split())


def true_volts(question: VoltsTable, variant: Variant) -> Volts:
    """What the meter shows, in volts: by point, one figure a column (about 0 where the point floats)."""
    words = Words(question, variant)
    black = words.fill(question.black)
    columns = [question.setup.filled(words, **column.positions) for column in question.columns]
    return {
        point: tuple(metered("volts", black, point, *column) or 0.0 for column in columns)
        for point in red_points(question, variant)
    }


def mark_volts(question: VoltsTable, variant: Variant, raw: object) -> Mark:
    """Mark a whole table, one point a cell: right within a tenth of a volt or three parts in a hundred."""
    truth = true_volts(question, variant)
    of = len(truth) * len(question.columns)
    titles = [column.title for column in question.columns]
    said = read_grid(tuple(truth), titles, raw, _volts, "volts, such as 12.4 V")
    if isinstance(said, str):
        return asked_again(of, said)
    words = Words(question, variant)
    cells = {point: tuple(near(said[point][n], volts) for n, volts in enumerate(row)) for point, row in truth.items()}

    def after(wrong: Sequence[tuple[str, int]]) -> tuple[list[str], tuple[str, ...]]:
        ideas = tuple(
            idea for idea, table in wrong_volts(question, variant).items()
            if any(not near(table[point][n], truth[point][n]) for point, n in wrong)
            and all(near(said[point][n], table[point][n]) for point, n in wrong)
        )
        met = [f"That is what you would read if it were so: {IDEAS[idea].title}. {IDEAS[idea].help}" for idea in ideas]
        return [*met, words.fill(question.next)], ideas

    return table_mark(
        cells, f"All {of} as the meter shows them. {words.fill(question.why)}",
        lambda point, n: (
            f"{point}, {titles[n]}", f"you said {said[point][n]:.1f} V; it shows {truth[point][n]:.2f} V", ""),
        after,
    )


def wrong_volts(question: VoltsTable, variant: Variant) -> dict[str, Volts]:
    """What each idea would answer, computed: no volts where nothing flows, and volts used up evenly along the way."""
    truth = true_volts(question, variant)
    words = Words(question, variant)
    now = [question.setup.operate(words, **column.positions) for column in question.columns]
    flows = [abs(one.amps[question.load]) > NO_CURRENT_AMPS for one in now]
    most = [max(row[n] for row in truth.values()) for n in range(len(now))]
    count = len(truth)
    return {
        "no-current-no-volts": {
            point: tuple(volts if flow else 0.0 for volts, flow in zip(row, flows, strict=True))
            for point, row in truth.items()
        },
        "equal-share": {
            point: tuple(most[n] * (count - 1 - rank) / max(count - 1, 1) if flows[n] else volts
                         for n, volts in enumerate(row))
            for rank, (point, row) in enumerate(truth.items())
        },
    }


def near(said: float, volts: float) -> bool:
    """Whether a figure is the meter's, as near as it is asked for."""
    return abs(said - volts) <= max(WITHIN_VOLTS, WITHIN_SHARE * abs(volts)) + 1e-9


def _volts(cell: object) -> float | None:
    text = str(cell)[:40].strip()
    if not text or isinstance(cell, bool):
        return None
    try:
        return read_quantity(text.replace("zero", "0").replace("nothing", "0"), "V")
    except (QuantityError, OverflowError):
        return None
