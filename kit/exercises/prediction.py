"""Prediction: what the lamp will show at every point, in every position, said before it is seen."""

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from typing import ClassVar

from kit.exercises.figures import Setup, operated
from kit.exercises.ideas import IDEAS
from kit.exercises.marks import Mark, asked_again
from kit.exercises.question import Question, Variant, Words
from kit.instruments import LAMP_WORDS, Reading, TestLamp

NO_CURRENT_AMPS = 1e-6
MAX_RAW = 4000
MAX_NAMED = 3
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


Table = dict[str, tuple[str, ...]]
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
    said = _table(question, tuple(truth), raw)
    if isinstance(said, str):
        return asked_again(of, said)
    words = Words(question, variant)
    wrong = [
        (point, place)
        for point, readings in truth.items()
        for place, reading in enumerate(readings)
        if said[point][place] not in reading.accepts
    ]
    if not wrong:
        return Mark(points=of, of=of, reason=f"All {of} as the machine shows them. {words.fill(question.why)}")
    ideas = _ideas(question, variant, said, truth)
    told = [_cell(question, words, point, place, said[point][place], truth) for point, place in wrong[:MAX_NAMED]]
    rest = len(wrong) - MAX_NAMED
    more = [f"{rest} more {'is' if rest == 1 else 'are'} off; compare the tables."] if rest > 0 else []
    helped = [IDEAS[idea].help for idea in ideas]
    if not ideas and _is_unbroken(question, variant, said, truth):
        helped = ["Your table is that of the sound machine with its key on: a break lets nothing past."]
    reason = " ".join([*told, *more, *helped, words.fill(question.next)])
    return Mark(points=of - len(wrong), of=of, reason=reason, ideas=ideas)


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


def _cell(question: Prediction, words: Words, point: str, place: int, said: str, truth: Readings) -> str:
    column = question.columns[place]
    faults = tuple(words.fill(fault) for fault in question.setup.faults)
    now = operated(question.setup.machine, faults, _positions(question, words, column))
    volts, shown = now.volts[point], truth[point][place].shown
    if volts is None:
        because = "it is joined to neither post, so there is nothing to light the lamp"
    elif shown == "out":
        because = "no way is left from battery plus to here; only loads join it, and they lead to ground"
    else:
        because = f"it is still joined to battery plus and stands at {abs(volts):.1f} V"
    return f"At {point}, {column.title}, you said {said}; the lamp is {shown}: {because}."


def _positions(question: Prediction, words: Words, column: Column) -> tuple[tuple[str, str], ...]:
    base = {name: words.fill(position) for name, position in question.setup.positions.items()}
    return tuple(sorted((base | dict(column.positions)).items()))


@cache
def _reading(machine_id: str, faults: tuple[str, ...], positions: tuple, clip: str, tip: str) -> Reading:
    return TestLamp(clip=clip, tip=tip).read(operated(machine_id, faults, positions))


def _table(question: Prediction, rows: tuple[str, ...], raw: object) -> Table | str:
    """The learner's table, or what to say where it is not whole.

    Read: an object by point (a list of words, or an object by column title), a list of rows in order, or text with a
    line (or a part ended by ``;``) a point: ``F1.2: out, bright``.
    """
    if isinstance(raw, str):
        raw = _parsed(raw, rows)
    if isinstance(raw, list) and len(raw) == len(rows):
        raw = dict(zip(rows, raw, strict=True))
    if not isinstance(raw, Mapping):
        return "Fill in every row of the table; nothing has been marked yet."
    names = {str(name).replace(" ", "").upper(): cells for name, cells in raw.items()}
    titles = [column.title for column in question.columns]
    said: Table = {}
    for row in rows:
        cells = names.get(row.upper())
        if isinstance(cells, Mapping):
            cells = [cells.get(title, "") for title in titles]
        if not isinstance(cells, (list, tuple)) or len(cells) != len(titles):
            return f"Row {row} needs {len(titles)} words, one a column; nothing has been marked yet."
        known = [_word(cell) for cell in cells]
        if "" in known:
            return (
                f"Row {row} has no word we know for '{titles[known.index('')]}'. Use {', '.join(LAMP_WORDS[:-1])} or "
                f"{LAMP_WORDS[-1]}; nothing has been marked yet."
            )
        said[row] = tuple(known)
    return said


def _word(cell: object) -> str:
    word = str(cell)[:40].strip().lower()
    word = SYNONYMS.get(word, word)
    return word if word in LAMP_WORDS else ""


def _parsed(text: str, rows: tuple[str, ...]) -> object:
    """A table written as text: JSON, or a line a row."""
    text = text[:MAX_RAW].strip()
    if text.startswith(("{", "[")):
        try:
            return json.loads(text)
        except (ValueError, RecursionError):
            return None
    found: dict[str, list[str]] = {}
    for line in re.split(r"[\n;]+", text):
        words = [word for word in re.split(r"[\s,:|]+", line.strip()) if word]
        if words and words[0].upper() in [row.upper() for row in rows]:
            found[words[0]] = words[1:]
    return found or None
