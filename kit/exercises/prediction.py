"""Prediction: what the lamp will show at every point, in every position, said before it is seen."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from typing import ClassVar

from kit.exercises.figures import Setup, operated
from kit.exercises.grid import Table, read_grid, table_mark
from kit.exercises.ideas import IDEAS
from kit.exercises.marks import Mark, asked_again
from kit.exercises.question import Question, Variant, Words
from kit.instruments import LAMP_WORDS, Reading, TestLamp
from kit.instruments.lamp import EDGES
from kit.machines import Operation

NO_CURRENT_AMPS = 1e-6
# Words a person may type for one of ours. "lit" and "on" are not here: they could be dim or bright.
SYNONYMS = {"dark": "out", "off": "out", "0": "out", "glows": "glow", "faint": "glow", "full": "bright"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """A position of the controls, by the words that head its column."""

    title: str
    positions: Mapping[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Prediction(Question):
    """A table to fill: the lamp's clip stays put, its tip visits ``points`` (text, apart by spaces), in every column.

    ``feed`` is the path whose current says whether anything flows; ``why`` is said when all is right, ``next`` else.
    """

    kind: ClassVar[str] = "prediction"

    setup: Setup
    clip: str
    points_listed: str
    columns: tuple[Column, ...]
    feed: str
    why: str
    next: str


Readings = dict[str, tuple[Reading, ...]]


def rows_of(question: Prediction, variant: Variant) -> tuple[str, ...]:
    """The test points of the table, top to bottom."""
    return tuple(Words(question, variant).fill(question.points_listed).split())


def true_readings(question: Prediction, variant: Variant) -> Readings:
    """What the lamp shows: by point, one reading a column."""
    words = Words(question, variant)
    clip = words.fill(question.clip)
    faults = tuple(words.fill(fault) for fault in question.setup.faults)
    columns = [_positions(question, words, column) for column in question.columns]
    return {
        point: tuple(_reading(question.setup.machine, faults, column, clip, point) for column in columns)
        for point in rows_of(question, variant)
    }


def mark_prediction(question: Prediction, variant: Variant, raw: object) -> Mark:
    """Mark a whole table, one point a cell; a table with an empty or unknown cell is asked again."""
    truth = true_readings(question, variant)
    of = len(truth) * len(question.columns)
    titles = [column.title for column in question.columns]
    said = read_grid(tuple(truth), titles, raw, _word, f"{', '.join(LAMP_WORDS[:-1])} or {LAMP_WORDS[-1]}")
    if isinstance(said, str):
        return asked_again(of, said)
    words = Words(question, variant)
    cells = {
        point: tuple(said[point][place] in reading.accepts for place, reading in enumerate(row))
        for point, row in truth.items()
    }

    def after(_wrong: Sequence[tuple[str, int]]) -> tuple[list[str], tuple[str, ...]]:
        ideas = _ideas(question, variant, said, truth)
        helped = [IDEAS[idea].help for idea in ideas]
        if not ideas and _is_unbroken(question, variant, said, truth):
            helped = ["Your table is that of the sound machine, switched on: an open switch or a break lets nothing "
                      "past."]
        return [*helped, words.fill(question.next)], ideas

    return table_mark(
        cells, f"All {of} as the machine shows them. {words.fill(question.why)}",
        lambda point, place: _cell(question, words, point, place, said[point][place], truth), after,
    )


def wrong_tables(question: Prediction, variant: Variant) -> dict[str, Table]:
    """What an idea would answer: ``no-current-no-volts`` puts the lamp out wherever nothing flows in the feed."""
    words = Words(question, variant)
    faults = tuple(words.fill(fault) for fault in question.setup.faults)
    flows = [
        abs(operated(question.setup.machine, faults, _positions(question, words, column)).amps[question.feed])
        > NO_CURRENT_AMPS
        for column in question.columns
    ]
    truth = true_readings(question, variant)
    return {
        "no-current-no-volts": {
            point: tuple(reading.shown if flow else "out" for reading, flow in zip(readings, flows, strict=True))
            for point, readings in truth.items()
        }
    }


def _ideas(question: Prediction, variant: Variant, said: Table, truth: Readings) -> tuple[str, ...]:
    found = [name for name, table in wrong_tables(question, variant).items() if _speaks_for(table, said, truth)]
    for place in range(len(question.columns)):
        live = [LAMP_WORDS.index(said[point][place]) for point in truth if truth[point][place].shown == "bright"]
        steps = sum(one > two for one, two in pairwise(live))
        if steps >= 2 and live == sorted(live, reverse=True):
            found.append("current-used-up")
            break
    return tuple(dict.fromkeys(found))


def _speaks_for(table: Table, said: Table, truth: Readings) -> bool:
    """Whether an answer is a table's wherever that is wrong, and has no wrong cell that the table does not have.

    The first point, nearest the battery, may be right: many who hold an idea still know that a battery lights a lamp.
    """
    first = next(iter(truth))
    cells = [(point, place) for point, readings in truth.items() for place in range(len(readings))]
    wrong_in = {
        "table": {(point, place) for point, place in cells if table[point][place] not in truth[point][place].accepts},
        "answer": {(point, place) for point, place in cells if said[point][place] not in truth[point][place].accepts},
    }
    telling = {(point, place) for point, place in wrong_in["table"] if point != first}
    same = all(said[point][place] == table[point][place] for point, place in telling | wrong_in["answer"])
    return bool(telling) and same


def _is_unbroken(question: Prediction, variant: Variant, said: Table, truth: Readings) -> bool:
    """Whether the answer is the sound, working machine's in every column: breaks and open switches not seen."""
    words = Words(question, variant)
    clip = words.fill(question.clip)
    positions = [_positions(question, words, column) for column in question.columns]
    working = max(positions, key=lambda held: operated(question.setup.machine, (), held).amps[question.feed])
    sound = {
        point: tuple(_reading(question.setup.machine, (), working, clip, point).shown for _ in question.columns)
        for point in truth
    }
    return _speaks_for(sound, said, truth)


def _cell(
    question: Prediction, words: Words, point: str, place: int, said: str, truth: Readings
) -> tuple[str, str, str]:
    column = question.columns[place]
    faults = tuple(words.fill(fault) for fault in question.setup.faults)
    now = operated(question.setup.machine, faults, _positions(question, words, column))
    shown = truth[point][place].shown
    because = _because(now, words.fill(question.clip), point, shown)
    does = "glows" if shown == "glow" else f"is {shown}"
    where = point if len(question.columns) == 1 else f"{point}, {column.title}"
    return where, f"you said {said}; the lamp {does}", because


def _because(now: Operation, clip: str, point: str, shown: str) -> str:
    """Why the lamp is as it is, by what the point and the clip are joined to without it."""
    volts, there = now.volts[point], now.volts[clip] or 0.0
    if volts is None:
        return "it is joined to neither post, so there is nothing to light the lamp"
    to_plus = abs(there) > abs(now.machine.volts) / 2
    if shown == "out":
        if abs(volts - there) >= EDGES[0]:
            return (f"a meter finds {abs(volts - there):.1f} V between it and the clip, but something on the way lets "
                    "through too little for a lamp")
        if to_plus:
            return "it is joined to battery plus, and so is the clip: nothing drives a current from plus to plus"
        return "no way is left from battery plus to here; only loads join it, and they lead to ground"
    held = "" if shown == "bright" else ", through something that holds the current back"
    if to_plus:
        return f"it is joined to battery minus{held}, and the clip is on plus"
    return f"it is still joined to battery plus and stands at {abs(volts):.1f} V{held}"


def _positions(question: Prediction, words: Words, column: Column) -> tuple[tuple[str, str], ...]:
    base = {name: words.fill(position) for name, position in question.setup.positions.items()}
    return tuple(sorted((base | dict(column.positions)).items()))


@cache
def _reading(machine_id: str, faults: tuple[str, ...], positions: tuple, clip: str, tip: str) -> Reading:
    return TestLamp(clip=clip, tip=tip).read(operated(machine_id, faults, positions))


def _word(cell: object) -> str | None:
    word = str(cell)[:40].strip().lower()
    word = SYNONYMS.get(word, word)
    return word if word in LAMP_WORDS else None
