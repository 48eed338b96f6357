"""Reading a record that may have been cut off, edited or made up.

What counts, and what is left out:

- A file that is larger than ``MAX_BYTES``, or whose first line is not an ``opened`` entry of a schema we know, is
  refused whole, with one problem.
- A line that is whole and in the chain but says nothing we can use (an unknown kind, a missing field) is left out by
  itself, and reading goes on.
- Trust ends at the first break: a line that cannot be read, or whose ``prev`` is not the digest of the line before.
  The line before such a ``prev`` may be the edited one, so it goes as well. Everything before still counts; the
  problem says from which line on the file was left out, and a person decides.
- A last line cut off in the middle (a crash, a pulled plug) is left out, and nothing else.
- Line ends changed by a mail program and a byte-order mark set by an editor do no harm; empty lines are passed over.
"""

import codecs
from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import BinaryIO

from kit.records.entries import MAX_LINE, SCHEMA, Entry, check_fields, digest, entry_from, next_entry

MAX_BYTES = 20_000_000
MAX_PROBLEMS = 20


@dataclass(frozen=True, slots=True)
class Problem:
    """Something that was left out of a record: the line (0: the whole file) and what was wrong, in words."""

    line: int
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordFile:
    """A record as read: the entries that can be trusted, and what was left out."""

    path: Path
    entries: tuple[Entry, ...]
    problems: tuple[Problem, ...]

    @property
    def learner(self) -> str:
        return str(self.entries[0].fields["learner"]) if self.entries else ""

    @property
    def course(self) -> str:
        return str(self.entries[0].fields["course"]) if self.entries else ""


def read_record(path: Path) -> RecordFile:
    """Read a record file line by line, holding no more of it than its entries; no content makes it raise."""
    try:
        size = path.stat().st_size
        if size > MAX_BYTES:
            return _refused(path, f"the file is {size / 1e6:,.0f} MB; no record is over {MAX_BYTES / 1e6:.0f} MB")
        with path.open("rb") as file:
            return _read(path, file)
    except OSError as reason:
        return _refused(path, f"the file cannot be read ({reason.strerror})")


def read_stream(path: Path, file: BinaryIO, wrong: str = "") -> RecordFile:
    """Read a record from what is open already, such as a member of an archive; ``path`` is only what to call it.

    Where ``wrong`` says what is wrong with the whole of it, it is refused for that. A stream may raise what its own
    kind raises; no content of a record does.
    """
    return _refused(path, wrong) if wrong else _read(path, file)


def read_opening(file: BinaryIO) -> tuple[str, str]:
    """The learner and the course that the first line of a record names; empty texts where it opens none."""
    _number, line = next(_lines(file), (0, b""))
    try:
        entry = entry_from(line)
    except ValueError:
        return "", ""
    return ("", "") if _opening(entry) else (str(entry.fields["learner"]), str(entry.fields["course"]))


def _read(path: Path, file: BinaryIO) -> RecordFile:
    entries: list[Entry] = []
    problems: list[Problem] = []
    prev, count, last_line, size = "", 0, 0, 0
    for number, line in _lines(file):
        size += len(line)
        if size > MAX_BYTES:
            problems.append(Problem(number, f"there is more than {MAX_BYTES / 1e6:.0f} MB of it; {_rest(number)}"))
            break
        if len(line) > MAX_LINE:
            problems.append(Problem(number, f"line {number} is longer than {MAX_LINE // 1024} kB; {_rest(number)}"))
            break
        try:
            entry, wrong = next_entry(line, count, prev)
        except ValueError as reason:
            if not entries:
                return _refused(path, f"line {number}, which should open the record, is {reason}", number)
            if line.endswith(b"\n"):
                problems.append(Problem(number, f"line {number}: {reason}; {_rest(number)}"))
            else:
                problems.append(Problem(number, f"line {number}, the last one, is cut off; it was left out"))
            break
        if not entries:
            if unfit := _opening(entry):
                return _refused(path, unfit, number)
        elif entry.prev != prev or entry.n != count:
            problems.append(Problem(number, _broken(entries, count, last_line, number)))
            break
        prev, count = digest(line), count + 1
        if wrong:
            problems.append(Problem(number, f"line {number}: {wrong}; it was left out"))
        elif entries and entry.kind == "opened":
            problems.append(Problem(number, f"line {number} opens the record a second time; it was left out"))
        else:
            entries.append(entry)
        last_line = number
    if len(problems) > MAX_PROBLEMS:
        more = len(problems) - MAX_PROBLEMS
        problems[MAX_PROBLEMS:] = [Problem(0, f"{more} more lines were left out in the same way")]
    if not entries and not problems:
        return _refused(path, "the file is empty")
    return RecordFile(path=path, entries=tuple(entries), problems=tuple(problems))


def _broken(entries: list[Entry], count: int, last_line: int, number: int) -> str:
    """Drop the line before the break, which may be the edited one, and say so."""
    text = f"line {number} does not follow from the line before it, so something was changed or removed there"
    if entries[-1].n == count - 1:
        entries.pop()
    return f"{text}; line {last_line} and all after it were left out"


def _opening(entry: Entry) -> str:
    if entry.kind != "opened" or entry.n != 0 or entry.prev:
        return "the file does not begin with the entry that opens a record"
    if wrong := check_fields("opened", entry.fields):
        return wrong
    if entry.fields["schema"] != SCHEMA:
        return f"the record is of schema {entry.fields['schema']}; this kit reads schema {SCHEMA}"
    if not str(entry.fields["learner"]).strip():
        return "the record names no learner"
    return ""


def _lines(file: BinaryIO) -> Iterator[tuple[int, bytes]]:
    for number, line in enumerate(iter(partial(file.readline, MAX_LINE + 1), b""), 1):
        if number == 1:
            line = line.removeprefix(codecs.BOM_UTF8)
        if line and not line.isspace():
            yield number, line


def _rest(number: int) -> str:
    return f"line {number} and all after it were left out"


def _refused(path: Path, text: str, line: int = 0) -> RecordFile:
    return RecordFile(path=path, entries=(), problems=(Problem(line, f"{text}; the whole file was left out"),))
