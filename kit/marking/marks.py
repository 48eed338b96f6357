"""The values that marking makes: a row a question, a learner's rows, the class; and the same as plain JSON and back.

A row holds nothing that is one learner's alone, so that all who gave the same answer to the same variant share one. It
is turned to JSON once and read back once for all of them; where each learner's entry stands is kept beside.
"""

import base64
import hashlib
import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, fields
from functools import cache
from operator import attrgetter
from typing import NamedTuple

from kit.exercises import IDEAS, Idea

# So many shared rows are held at once, of some kB each; then they are gathered anew.
MOST_SHARED = 20_000
# What a row may differ in from the one it was varied from: a learner's own words, the order options were shown in.
OWN = frozenset(("answer", "raw", "variant"))
PLAIN = frozenset((str, int, float, bool, dict, list, type(None)))
# Nothing here holds itself, which JSON would look for again and again.
WRITER = json.JSONEncoder(ensure_ascii=True, check_circular=False, separators=(",", ":"))


@dataclass(frozen=True, slots=True, kw_only=True)
class JobLine:
    """One line of a job's mark, as the rubric weighs it."""

    what: str
    points: int
    of: int
    why: str


class Source(NamedTuple):
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
    what one gave, None while nobody has. ``raw`` is the answer that counts, or the acts of a job; ``lines``, ``caps``
    and ``passed`` are a job's, and so is ``story``: the work explained, heading and text.
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
    lines: tuple[JobLine, ...] = ()
    caps: tuple[str, ...] = ()
    passed: bool | None = None
    story: tuple[tuple[str, str], ...] = ()
    # The row it was varied from, and in what; no part of its value.
    like: "tuple[Row, Mapping[str, object]] | None" = field(default=None, init=False, repr=False, compare=False)

    @property
    def waits(self) -> bool:
        """Whether it was answered and a person has still to mark it."""
        return bool(self.by_hand and self.attempts and self.hand is None)

    @property
    def common(self) -> "Row":
        """The row it was varied from, or this one: the same but for whose words and which order of options."""
        return self.like[0] if self.like else self

    def varied(self, own: Mapping[str, object]) -> "Row":
        """The same row but for these fields, which are some of OWN; filled in when it is first looked at."""
        made = object.__new__(Row)
        object.__setattr__(made, "like", (self, own))
        return made

    def __getattr__(self, name: str) -> object:
        # Only where a field is not there yet: most rows are written down and read back without anybody looking at them.
        if name not in _putters():
            raise AttributeError(name)
        common, own = self.like
        for put, value in zip(_putters().values(), _fields(Row)[1](common), strict=True):
            put(self, value)
        for field_name, value in own.items():
            _putters()[field_name](self, value)
        return object.__getattribute__(self, name)


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
    """What a person saw done by hand: a criterion met or not yet, by whom, and when; in which practical, on what."""

    criterion: str
    met: bool
    marker: str
    date: str = ""
    practical: str = ""
    machine: str = ""
    note: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class LearnerMarks:
    """All of a learner's rows; ``adjusted`` are the reason codes of what was adjusted, ``observed`` seen by hand.

    ``sources`` say, by question, where the entry that counts stands; a question that was not answered has none.
    """

    learner: str
    rows: tuple[Row, ...]
    troubles: tuple[Trouble, ...]
    sources: Mapping[str, Source] = field(default_factory=dict)
    course: str = ""
    adjusted: tuple[str, ...] = ()
    observed: tuple[Observed, ...] = ()

    @property
    def points(self) -> int:
        return sum(row.points for row in self.rows)

    @property
    def of(self) -> int:
        return sum(row.of for row in self.rows)

    @property
    def percent(self) -> int | None:
        """What was earned of it, rounded down; None where there is nothing to earn."""
        of = self.of
        return 100 * self.points // of if of else None


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


class Line(NamedTuple):
    """A learner's marks as one line of JSON, newline included, and by name the JSON of each shared row it names."""

    text: bytes
    rows: Mapping[str, bytes]


def as_line(marks: LearnerMarks) -> Line:
    """A learner's marks as a line. In its list of rows a shared one is its name alone.

    One that hardly differs from a shared one is its name and what differs; any other is written out.
    """
    rows, named = [], {}
    for row in marks.rows:
        like = row.like
        kept = SHARED.kept(like[0] if like else row)
        if kept is None:
            rows.append(_plain(row))
            continue
        name, text = kept
        named[name] = text
        rows.append([name, like[1]] if like else name)
    plain = {
        "learner": marks.learner, "course": marks.course, "adjusted": marks.adjusted,
        "observed": _plain(marks.observed), "troubles": _plain(marks.troubles),
        "sources": marks.sources, "rows": rows,
    }
    return Line(WRITER.encode(plain).encode() + b"\n", named)


def from_line(text: bytes, row_text: Callable[[str], bytes]) -> LearnerMarks:
    """The marks a line holds, given each shared row's JSON by its name.

    Raises ValueError, KeyError, TypeError or AttributeError where it holds none.
    """
    found = json.loads(text)
    return LearnerMarks(
        learner=found["learner"], course=found["course"], adjusted=tuple(found["adjusted"]),
        rows=tuple([_read_row(one, row_text) for one in found["rows"]]),
        sources={name: Source(*source) for name, source in found["sources"].items()},
        troubles=tuple(Trouble(**one) for one in found["troubles"]),
        observed=tuple(Observed(**one) for one in found["observed"]),
    )


def name_of(text: bytes) -> str:
    """The name of a shared row, from its JSON and nothing else: the first 96 bits of its SHA-256."""
    return base64.b64encode(hashlib.sha256(text).digest()[:12]).decode()


def _read_row(one: object, row_text: Callable[[str], bytes]) -> Row:
    if isinstance(one, str):
        return SHARED.row(one, row_text)
    if isinstance(one, dict):
        return _row(one)
    name, own = one
    if not own.keys() <= OWN:
        raise ValueError("a row differs in more than it may")
    return SHARED.row(name, row_text).varied(own)


class _Shared:
    """Rows that many learners have, each once, with its JSON; when there are too many they are gathered anew."""

    def __init__(self) -> None:
        self._rows: dict[str, Row] = {}
        # By identity: a row stands among the others as long as its text does, so no new one can have its place.
        self._kept: dict[int, tuple[str, bytes]] = {}

    def share(self, row: Row) -> Row:
        """The row to use instead, from now on one of these: never give it one that is a single learner's alone."""
        text = WRITER.encode(_plain(row)).encode()
        return self._keep(name_of(text), text, row)

    def kept(self, row: Row) -> tuple[str, bytes] | None:
        """A row's name and its JSON, None where it is not one of these."""
        return self._kept.get(id(row))

    def row(self, name: str, row_text: Callable[[str], bytes]) -> Row:
        """The row of this name, read from its JSON where it is not at hand."""
        row = self._rows.get(name)
        if row is None:
            text = row_text(name)
            row = self._keep(name, text, _row(json.loads(text)))
        return row

    def _keep(self, name: str, text: bytes, row: Row) -> Row:
        if name not in self._rows:
            if len(self._rows) >= MOST_SHARED:
                self._rows.clear()
                self._kept.clear()
            self._rows[name] = row
            self._kept[id(row)] = name, text
        return self._rows[name]


SHARED = _Shared()


def _plain(value: object) -> object:
    if isinstance(value, Idea):
        return value.id
    if hasattr(value, "__dataclass_fields__"):
        # What is as it usually is need not be written.
        usual, taken = _fields(type(value))
        return {
            name: found if type(found) in PLAIN else _plain(found)
            for (name, most), found in zip(usual, taken(value), strict=True) if found is not most
        }
    return [_plain(one) for one in value] if isinstance(value, tuple) else value


@cache
def _fields(kind: type) -> tuple[tuple[tuple[str, object], ...], attrgetter]:
    """The names of a value's fields, each with what it usually is, and what takes all of them from one."""
    usual = tuple((one.name, one.default) for one in fields(kind) if one.init)
    return usual, attrgetter(*(name for name, _ in usual))


def _row(made: dict) -> Row:
    made["ideas"] = tuple(IDEAS[idea] for idea in made["ideas"])
    if "lines" in made:
        made["lines"] = tuple(JobLine(**line) for line in made["lines"])
    for name in ("criteria", "steps", "caps"):
        if name in made:
            made[name] = tuple(made[name])
    if "story" in made:
        made["story"] = tuple(map(tuple, made["story"]))
    return Row(**made)


@cache
def _putters() -> Mapping[str, Callable[[Row, object], None]]:
    """What puts a value into a new row, for each of its fields in turn."""
    return {name: getattr(Row, name).__set__ for name, _ in _fields(Row)[0]}
