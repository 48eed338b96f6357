"""What was marked so far, kept in the folder of marks: a marking that was killed goes on from there.

A file of lines: first what all of it rests on (the kit's own files and the rubric, as a SHA-256), then a learner a
line, behind a SHA-256 of what that learner handed in and was given, and before it the rows it names that none named
before. A learner's line is used again only where both digests are the same to the byte; one that was cut off is cut
away. The class's marks are read from the file one learner at a time, so a class of ten thousand needs little more
memory than one of ten.
"""

import hashlib
from collections.abc import Iterable, Iterator, Sequence
from contextlib import suppress
from functools import cache
from pathlib import Path
from typing import BinaryIO

from kit.errors import RecordError
from kit.marking.marks import LearnerMarks, Line, Trouble, from_line, name_of

NAME = "not-finished.jsonl"
VERSION = b"kit marking 4 "
ROW = b"row"


class State(Sequence[LearnerMarks]):
    """The marks of a class in a file, in order of name once ``finish`` was told the names."""

    def __init__(self, out: Path, rubric: str) -> None:
        self._path = out / NAME
        self._lines: dict[str, tuple[int, int, str]] = {}
        self._rows: dict[str, tuple[int, int]] = {}
        self._order: tuple[str, ...] = ()
        self._troubles: dict[str, tuple[Trouble, ...]] = {}
        head = VERSION + hashlib.sha256((code_digest() + rubric).encode()).hexdigest().encode() + b"\n"
        try:
            out.mkdir(parents=True, exist_ok=True)
            self._path.touch()
            self._file = self._path.open("r+b")
            self._end = self._take_up(head)
        except OSError as reason:
            raise _unwritable(self._path, reason) from None

    def known(self, learner: str) -> str:
        """The digest a learner was marked for; empty where there are no marks yet."""
        return self._lines[learner][2] if learner in self._lines else ""

    @property
    def troubles(self) -> tuple[Trouble, ...]:
        """What was wrong with the learners that ``finish`` named, in their order."""
        return tuple(one for learner in self._order for one in self._troubles.get(learner, ()))

    def add(self, learner: str, digest: str, line: Line, troubles: tuple[Trouble, ...] = ()) -> None:
        """Keep a learner's marks, and what was wrong as they say; raises RecordError where the disk cannot."""
        parts, places, end = [], {}, self._end
        for name, text in line.rows.items():
            if name in self._rows:
                continue
            head = b"%b %b " % (ROW, name.encode())
            parts += (head, text, b"\n")
            places[name] = (end + len(head), len(text))
            end += len(head) + len(text) + 1
        head = digest.encode() + b" "
        try:
            self._file.write(b"".join((*parts, head, line.text)))
        except OSError as reason:
            raise _unwritable(self._path, reason) from None
        self._rows |= places
        self._lines[learner] = (end + len(head), len(line.text), digest)
        self._troubles[learner] = troubles
        self._end = end + len(head) + len(line.text)

    def finish(self, learners: Sequence[str]) -> None:
        """These are the learners of the class, in this order; no more is added.

        Raises RecordError where the disk cannot take what was added last.
        """
        self._order = tuple(learners)
        try:
            self._file.flush()
        except OSError as reason:
            raise _unwritable(self._path, reason) from None
        self.close()

    def close(self) -> None:
        """Let go of the file; what is in it stays. What a full disk did not take is cut away when it is taken up."""
        with suppress(OSError):
            self._file.close()

    def forget(self) -> None:
        """Take the file away: everything that rests on it is written."""
        self.close()
        self._path.unlink(missing_ok=True)

    def __len__(self) -> int:
        return len(self._order)

    def __getitem__(self, number: int | slice) -> LearnerMarks | tuple[LearnerMarks, ...]:
        names = self._order[number] if isinstance(number, slice) else (self._order[number],)
        found = tuple(self._read(names))
        return found if isinstance(number, slice) else found[0]

    def __iter__(self) -> Iterator[LearnerMarks]:
        return self._read(self._order)

    def _read(self, learners: Iterable[str]) -> Iterator[LearnerMarks]:
        with self._path.open("rb") as file:
            def row_text(name: str) -> bytes:
                return _at(file, *self._rows[name])

            for learner in learners:
                start, length, _digest = self._lines[learner]
                yield from_line(_at(file, start, length), row_text)

    def _take_up(self, head: bytes) -> int:
        """Find the marks of an earlier run; where they rest on something else, begin anew. Gives where to write on."""
        end = 0
        if self._file.readline(len(head) + 1) == head:
            end = len(head)
            while line := self._file.readline():
                if not line.endswith(b"\n") or not self._took(line, end):
                    break
                end += len(line)
        self._file.seek(end)
        self._file.truncate()
        if not end:
            self._file.write(head)
            self._file.flush()
        return end or len(head)


    def _took(self, line: bytes, start: int) -> bool:
        """Take up one line of an earlier run that begins there in the file; False where it is not to be believed."""
        head, _, rest = line.partition(b" ")
        if head == ROW:
            name, _, text = rest.rstrip(b"\n").partition(b" ")
            if name_of(text).encode() != name:
                return False
            self._rows[name.decode()] = (start + len(line) - len(text) - 1, len(text))
            return True
        behind = self._file.tell()
        try:
            one = from_line(rest, lambda name: _at(self._file, *self._rows[name]))
        except (ValueError, KeyError, TypeError, AttributeError):
            return False
        finally:
            self._file.seek(behind)
        self._troubles[one.learner] = one.troubles
        self._lines[one.learner] = (start + len(head) + 1, len(rest), head.decode("ascii", "replace"))
        return True


def _at(file: BinaryIO, start: int, length: int) -> bytes:
    file.seek(start)
    return file.read(length)


@cache
def code_digest() -> str:
    """A SHA-256 over every file of the kit that a mark can depend on."""
    root = Path(__file__).parents[1]
    total = hashlib.sha256()
    for path in sorted((*root.rglob("*.py"), *root.rglob("*.yaml"), *root.rglob("*.toml"))):
        total.update(path.relative_to(root).as_posix().encode() + b"\x00" + path.read_bytes())
    return total.hexdigest()


def _unwritable(path: Path, reason: OSError) -> RecordError:
    return RecordError(f"{path} cannot be written ({reason.strerror}); what was marked so far is kept.")
