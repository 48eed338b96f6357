"""The rubric: one readable TOML file that says what counts how much; re-marking under another is one flag."""

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime
from functools import cache
from pathlib import Path
from types import MappingProxyType

from kit.errors import RubricError
from kit.exercises import questions
from kit.exercises.cards import card_ids

DEFAULT = Path(__file__).parent / "rubric.toml"
MOST_BYTES = 200_000
COUNTS = ("first", "last", "best")
KINDS = (
    "choice", "several", "number", "prediction", "volts", "standing", "ordered", "next test", "mark up",
    "explain", "job",
)
# The lines of a job's mark in their order, as kit.exercises.jobs gives them.
LINES = ("prepared", "reproduced", "located", "cause", "repaired", "wasted", "sheet", "order")
HIGHEST = 1000
MOST_LISTED, MOST_FIRST = 20, 6
UTF_16 = (b"\xff\xfe", b"\xfe\xff")
_AT = re.compile(r"\(at line (\d+), column \d+\)")


@dataclass(frozen=True, slots=True, kw_only=True)
class Rubric:
    """What counts how much. Weights multiply, ``lines`` are other worths of a job's, shares are in percent.

    ``asked`` are the lessons that count whether they were begun or not. ``name`` and ``text`` are the file's, so that
    another process can read the same; two of the same text are equal.
    """

    name: str
    text: str
    title: str
    cut: int
    asked: tuple[str, ...]
    kinds: Mapping[str, int] = field(compare=False)
    lessons: Mapping[str, int] = field(compare=False)
    questions: Mapping[str, int] = field(compare=False)
    hint_points: int
    hint_most: int
    counts: str
    most_attempts: int
    due: datetime | None
    late_a_day: int
    late_most: int
    caps: bool
    pass_at: int
    justified_at: int
    lines: Mapping[str, int] = field(compare=False)
    exercises: int
    machines: int
    share: int

    def weight(self, question: str, lesson: str, kind: str) -> int:
        """How often a question's points count."""
        for name, weights in ((question, self.questions), (lesson, self.lessons), (kind, self.kinds)):
            if name in weights:
                return weights[name]
        return 1


def read_rubric(path: Path = DEFAULT) -> Rubric:
    """The rubric a file holds; what it leaves out is as in the default one.

    Raises RubricError, naming the file and the place, for anything not understood: a slip must not mark a class.
    """
    return rubric_from(path.name, _text(path))


def rubric_from(name: str, text: str) -> Rubric:
    """The rubric a text holds; ``name`` is what to call it. Raises RubricError like ``read_rubric``."""
    desk = _Desk(name, text, _parsed(name, text), _parsed(DEFAULT.name, _text(DEFAULT)))
    asked = questions()
    lessons = tuple(dict.fromkeys(one.lesson for one in asked.values()))
    rubric = Rubric(
        name=name, text=text, title=desk.text("title"), cut=desk.whole("cut", most=100),
        asked=desk.listed("asked", known=lessons),
        kinds=desk.weights("weights", "kinds", known=KINDS), lessons=desk.weights("weights", "lessons", known=lessons),
        questions=desk.weights("weights", "questions", known=(*asked, *card_ids())),
        hint_points=desk.whole("hints", "points_each"), hint_most=desk.whole("hints", "points_most"),
        counts=desk.one_of("attempts", "counts", words=COUNTS), most_attempts=desk.whole("attempts", "most"),
        due=desk.moment("late", "due"), late_a_day=desk.whole("late", "percent_a_day", most=100),
        late_most=desk.whole("late", "percent_most", most=100),
        caps=desk.truth("jobs", "caps"), pass_at=desk.whole("jobs", "pass"),
        justified_at=desk.whole("jobs", "justified", most=100),
        lines=desk.weights("jobs", "lines", known=LINES),
        exercises=desk.whole("evidence", "exercises"), machines=desk.whole("evidence", "machines"),
        share=desk.whole("evidence", "share", most=100),
    )
    desk.complain_of_the_rest()
    return rubric


@cache
def default_rubric() -> Rubric:
    """The rubric that stands where no other is named."""
    return read_rubric()


def _text(path: Path) -> str:
    try:
        if path.stat().st_size > MOST_BYTES:
            raise RubricError(f"{path.name} is too long for a rubric ({path.stat().st_size:,} bytes).")
        data = path.read_bytes()
        # What a command prints, PowerShell on Windows keeps as UTF-16.
        return data.decode("utf-16" if data.startswith(UTF_16) else "utf-8-sig")
    except OSError as reason:
        raise RubricError(f"the rubric {path} cannot be read ({reason.strerror}).") from None
    except UnicodeDecodeError as reason:
        line = data.count(b"\n", 0, reason.start) + 1
        raise RubricError(f"{path.name} line {line}: a letter here is not UTF-8; save the file as UTF-8.") from None


def _parsed(name: str, text: str) -> Mapping[str, object]:
    try:
        return tomllib.loads(text)
    except (ValueError, RecursionError) as reason:
        found = _AT.search(str(reason))
        where, what = (f" line {found[1]}", str(reason)[: found.start()]) if found else ("", str(reason))
        raise RubricError(
            f"{name}{where} is not TOML: {what.rstrip()}. Write name = value; words stand between \"quotation marks\", "
            "true and false do not."
        ) from None


class _Desk:
    """Takes values out of a parsed rubric one by one, and knows what was never taken."""

    def __init__(self, name: str, text: str, given: Mapping[str, object], usual: Mapping[str, object]) -> None:
        self._name, self._lines, self._given, self._usual = name, text.splitlines(), given, usual
        self._taken: set[tuple[str, ...]] = set()

    def whole(self, *way: str, most: int = HIGHEST) -> int:
        value = self._take(way)
        if type(value) is not int or not 0 <= value <= most:
            raise self._wrong(way, value, f"a whole number from 0 to {most:,}")
        return value

    def text(self, *way: str) -> str:
        value = self._take(way)
        if not isinstance(value, str):
            raise self._wrong(way, value, "a text in quotes")
        return "".join(sign if sign.isprintable() else " " for sign in value)[:200]

    def truth(self, *way: str) -> bool:
        value = self._take(way)
        if not isinstance(value, bool):
            raise self._wrong(way, value, "true or false")
        return value

    def one_of(self, *way: str, words: tuple[str, ...]) -> str:
        value = self._take(way)
        if value not in words:
            raise self._wrong(way, value, f"one of {', '.join(words)}")
        return str(value)

    def listed(self, *way: str, known: tuple[str, ...]) -> tuple[str, ...]:
        value = self._take(way)
        if not isinstance(value, list):
            raise self._wrong(way, value, 'a list such as ["00", "01"]')
        for name in value:
            if name not in known:
                raise self._wrong(way, name, f"only lessons there are: {_listed(known)}")
        return tuple(dict.fromkeys(value))

    def moment(self, *way: str) -> datetime | None:
        value = self._take(way)
        if value == "":
            return None
        try:
            found = value if isinstance(value, datetime) else datetime.fromisoformat(str(value))
        except ValueError:
            found = None
        if found is None or found.tzinfo is None:
            raise self._wrong(way, value, "a moment in UTC such as \"2031-05-04T16:00:00Z\", or \"\"")
        return found.astimezone(UTC)

    def weights(self, *way: str, known: tuple[str, ...] = ()) -> Mapping[str, int]:
        value = self._take(way)
        if not isinstance(value, Mapping):
            raise self._wrong(way, value, "a table")
        for name, weight in value.items():
            if known and name not in known:
                raise self._strange((*way, name), f"there are {_listed(known)}")
            if type(weight) is not int or not 0 <= weight <= HIGHEST:
                raise self._wrong((*way, name), weight, f"a whole number from 0 to {HIGHEST:,}")
        return MappingProxyType(dict(value))

    def complain_of_the_rest(self) -> None:
        """A word that nothing asked for is a slip of the pen."""
        sections = {way[:1] for way in self._taken if len(way) > 1}
        for name, value in self._given.items():
            if (name,) in self._taken:
                continue
            if (name,) not in sections or not isinstance(value, Mapping):
                tables = sorted(way[0] for way in sections)
                alone = sorted(way[0] for way in self._taken if len(way) == 1)
                raise self._strange((name,), f"there are {', '.join(alone)} and the tables {', '.join(tables)}")
            for inner in value:
                if (name, inner) not in self._taken:
                    there = sorted(way[1] for way in self._taken if len(way) > 1 and way[0] == name)
                    raise self._strange((name, inner), f"there are {', '.join(there)}")

    def _take(self, way: tuple[str, ...]) -> object:
        self._taken.add(way)
        value = _follow(self._given, way)
        return _follow(self._usual, way) if value is None else value

    def _wrong(self, way: tuple[str, ...], value: object, wanted: str) -> RubricError:
        return RubricError(f"{self._name}{self._line(way)}: {'.'.join(way)} is {str(value)[:40]!r}; write {wanted}.")

    def _strange(self, way: tuple[str, ...], there: str) -> RubricError:
        return RubricError(f"{self._name}{self._line(way)}: nothing is called {'.'.join(way)}; {there}.")

    def _line(self, way: tuple[str, ...]) -> str:
        """Where a value stands: its name behind the head of its table; nothing where it is written another way."""
        inside, head = not way[:-1], re.compile(rf"\s*\[\s*{re.escape('.'.join(way[:-1]))}\s*\]")
        named = re.compile(rf"\s*\[?\s*[\"']?{re.escape(way[-1])}[\"']?\s*[=\]]")
        for number, line in enumerate(self._lines, 1):
            if inside and named.match(line):
                return f" line {number}"
            if way[:-1] and line.lstrip().startswith("["):
                inside = bool(head.match(line))
        return ""


def _listed(names: tuple[str, ...]) -> str:
    """Names in a row; of very many the first few and the last."""
    return ", ".join(names) if len(names) <= MOST_LISTED else f"{', '.join(names[:MOST_FIRST])} … {names[-1]}"


def _follow(table: object, way: tuple[str, ...]) -> object:
    for name in way:
        table = table.get(name) if isinstance(table, Mapping) else None
    return table
