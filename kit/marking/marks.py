"""The values that marking makes: a row a question, a learner's rows, the class; and the same as plain JSON and back."""

import json
from collections.abc import Sequence
from dataclasses import dataclass, fields, replace
from functools import cache

from kit.exercises import IDEAS, Idea


@dataclass(frozen=True, slots=True, kw_only=True)
class JobLine:
    """One line of a job's mark, as the rubric weighs it."""

    what: str
    points: int
    of: int
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """Where an entry stands: the file as handed in (an archive's name before its member's), the number, the moment."""

    file: str
    n: int
    at: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One learner's mark for one question.

    ``attempts`` counts what was understood, ``note`` says what counted. ``points`` of ``of`` are those under the
    rubric and with what a person gave; ``kit_points`` of ``kit_of`` are what the kit itself works out before, and
    ``steps`` the way from these to those, in words, a line each. ``by_hand`` is the most a person may give, ``hand``
    what one gave, None while nobody has. ``raw`` is the answer that counts, or the acts of a job, ``source`` where it
    stands; ``lines``, ``caps`` and ``passed`` are a job's, and so is ``story``: the work explained, heading and text.
    """

    question: str
    version: int
    title: str
    prompt: str
    answer: str
    points: int
    of: int
    attempts: int
    note: str
    reason: str
    ideas: tuple[Idea, ...]
    kind: str = ""
    variant: str = ""
    criteria: tuple[str, ...] = ()
    card: str = ""
    machine: str = ""
    hints: int = 0
    fresh: int = 0
    kit_points: int = 0
    kit_of: int = 0
    steps: tuple[str, ...] = ()
    by_hand: int = 0
    hand: int | None = None
    marker: str = ""
    raw: object = ""
    source: Source | None = None
    lines: tuple[JobLine, ...] = ()
    caps: tuple[str, ...] = ()
    passed: bool | None = None
    story: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Trouble:
    """Something that was left out of the marking, or that a person should look at."""

    file: str
    line: int
    learner: str
    question: str
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Observed:
    """What a person saw done by hand: a criterion met or not yet, by whom, and when."""

    criterion: str
    met: bool
    marker: str
    date: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class LearnerMarks:
    """All of a learner's rows; ``adjusted`` are the reason codes of what was adjusted, ``observed`` seen by hand."""

    learner: str
    rows: tuple[Row, ...]
    troubles: tuple[Trouble, ...]
    course: str = ""
    adjusted: tuple[str, ...] = ()
    observed: tuple[Observed, ...] = ()

    @property
    def points(self) -> int:
        return sum(row.points for row in self.rows)

    @property
    def of(self) -> int:
        return sum(row.of for row in self.rows)


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkBook:
    """The whole class, in order of name, and all that went wrong.

    ``learners`` is a tuple, or a sequence that reads each learner's marks from a file when they are asked for. ``cut``
    is the rubric's, in percent of the points.
    """

    learners: Sequence[LearnerMarks]
    troubles: tuple[Trouble, ...]
    rubric: str = ""
    cut: int = 60


def as_line(marks: LearnerMarks) -> bytes:
    """A learner's marks as one line of JSON, newline included."""
    return json.dumps(_plain(marks), ensure_ascii=True, separators=(",", ":")).encode() + b"\n"


def from_line(line: bytes) -> LearnerMarks:
    """The marks a line holds; ValueError, KeyError or TypeError where it holds none."""
    found = json.loads(line)
    return LearnerMarks(
        learner=found["learner"], course=found.get("course", ""), adjusted=tuple(found.get("adjusted", ())),
        rows=tuple(map(_row, found["rows"])), troubles=tuple(Trouble(**one) for one in found["troubles"]),
        observed=tuple(Observed(**one) for one in found.get("observed", ())),
    )


def with_troubles(marks: LearnerMarks, more: Sequence[Trouble]) -> LearnerMarks:
    """The marks with more to look at."""
    return replace(marks, troubles=(*marks.troubles, *more)) if more else marks


def _plain(value: object) -> object:
    if isinstance(value, Idea):
        return value.id
    if hasattr(value, "__dataclass_fields__"):
        # What is as it usually is need not be written.
        return {
            name: found if isinstance(found, (str, int, dict, list)) else _plain(found)
            for name, usual in _fields(type(value)) if (found := getattr(value, name)) is not usual
        }
    return [_plain(one) for one in value] if isinstance(value, tuple) else value


@cache
def _fields(kind: type) -> tuple[tuple[str, object], ...]:
    """The names of a value's fields, each with what it usually is."""
    return tuple((one.name, one.default) for one in fields(kind))


def _row(made: dict) -> Row:
    made["ideas"] = tuple(IDEAS[idea] for idea in made["ideas"])
    if "source" in made:
        made["source"] = Source(**made["source"])
    if "lines" in made:
        made["lines"] = tuple(JobLine(**line) for line in made["lines"])
    for name in ("criteria", "steps", "caps"):
        if name in made:
            made[name] = tuple(made[name])
    if "story" in made:
        made["story"] = tuple(map(tuple, made["story"]))
    return Row(**made)
