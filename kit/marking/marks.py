"""The values that marking makes: a row a question, a learner's rows, the class; and the same as plain JSON and back.

A row holds nothing that is one learner's alone, so that all who gave the same answer to the same variant share one. It
is turned to JSON once and read back once for all of them; where each learner's entry stands is kept beside.
"""

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
WRITER = json.JSONEncoder(ensure_ascii=True, separators=(",", ":"))


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
        """The same row but for these fields, which are some of OWN; cheaper than a new one, for there are many."""
        made, putters = object.__new__(Row), _putters()
        for put, value in zip(putters.values(), _fields(Row)[1](self), strict=True):
            put(made, value)
        for name, value in own.items():
            putters[name](made, value)
        object.__setattr__(made, "like", (self, own))
        return made


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


def as_line(marks: LearnerMarks) -> bytes:
    """A learner's marks as one line, newline included: JSON, then each shared row's own JSON behind a tab.

    In the list of rows a shared one is null, and one that hardly differs from a shared one a list of what differs.
    """
    rows, texts = [], []
    for row in marks.rows:
        text = SHARED.text(row.common)
        rows.append(_plain(row) if text is None else [row.like[1]] if row.like else None)
        texts.append(text)
    plain = {
        "learner": marks.learner, "course": marks.course, "adjusted": marks.adjusted,
        "observed": _plain(marks.observed), "troubles": _plain(marks.troubles),
        "sources": marks.sources, "rows": rows,
    }
    # JSON writes a tab within a text as an escape, so none stands in it.
    return b"\t".join((WRITER.encode(plain).encode(), *filter(None, texts))) + b"\n"


def from_line(line: bytes) -> LearnerMarks:
    """The marks a line holds; ValueError, KeyError, TypeError or AttributeError where it holds none."""
    head, *texts = line.rstrip(b"\n").split(b"\t")
    found = json.loads(head)
    if sum(not isinstance(one, dict) for one in found["rows"]) != len(texts):
        raise ValueError("some of the rows are not there")
    shared = map(SHARED.row, texts)
    return LearnerMarks(
        learner=found["learner"], course=found["course"], adjusted=tuple(found["adjusted"]),
        rows=tuple(
            next(shared) if one is None else _row(one) if isinstance(one, dict) else next(shared).varied(_own(*one))
            for one in found["rows"]
        ),
        sources={name: Source(*source) for name, source in found["sources"].items()},
        troubles=tuple(Trouble(**one) for one in found["troubles"]),
        observed=tuple(Observed(**one) for one in found["observed"]),
    )


def _own(found: dict[str, object]) -> dict[str, object]:
    if not found.keys() <= OWN:
        raise ValueError("a row differs in more than it may")
    return found


class _Shared:
    """Rows that many learners have, each once, with its JSON; when there are too many they are gathered anew."""

    def __init__(self) -> None:
        self._rows: dict[bytes, Row] = {}
        # By identity: the row stands among the others as long as its text does, so no new one can have its place.
        self._texts: dict[int, bytes] = {}

    def share(self, row: Row) -> Row:
        """The row to use instead, from now on one of these: never give it one that is a single learner's alone."""
        return self._keep(WRITER.encode(_plain(row)).encode(), row)

    def text(self, row: Row) -> bytes | None:
        """A row's JSON, None where it is not one of these."""
        return self._texts.get(id(row))

    def row(self, text: bytes) -> Row:
        """The row of this JSON."""
        return self._rows.get(text) or self._keep(text, _row(json.loads(text)))

    def _keep(self, text: bytes, row: Row) -> Row:
        if text not in self._rows:
            if len(self._rows) >= MOST_SHARED:
                self._rows.clear()
                self._texts.clear()
            self._rows[text] = row
            self._texts[id(row)] = text
        return self._rows[text]


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
