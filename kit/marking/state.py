"""What was marked so far, kept in the folder of marks: a marking that was killed goes on from there.

A file of lines: first what all of it rests on (the kit's own files and the rubric, as a SHA-256), then a learner a
line, behind a SHA-256 of what that learner handed in and was given. A line is used again only where both are the same
to the byte; one that was cut off is cut away. The class's marks are read from it one learner at a time, so a class of
ten thousand needs no more memory than one of ten.
"""

import hashlib
from collections.abc import Iterable, Iterator, Sequence
from contextlib import suppress
from functools import cache
from pathlib import Path

from kit.errors import RecordError
from kit.marking.marks import LearnerMarks, Trouble, from_line

NAME = "not-finished.jsonl"
VERSION = b"kit marking 3 "


class State(Sequence[LearnerMarks]):
    """The marks of a class in a file, in order of name once ``finish`` was told the names."""

    def __init__(self, out: Path, rubric: str) -> None:
        self._path = out / NAME
        self._lines: dict[str, tuple[int, int, str]] = {}
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

    def add(self, learner: str, digest: str, line: bytes, troubles: tuple[Trouble, ...] = ()) -> None:
        """Keep a learner's marks, and what was wrong as they say; raises RecordError where the disk cannot."""
        try:
            self._file.seek(self._end)
            self._file.write(digest.encode() + b" " + line)
            self._file.flush()
        except OSError as reason:
            raise _unwritable(self._path, reason) from None
        start = self._end + len(digest) + 1
        self._lines[learner] = (start, len(line), digest)
        self._troubles[learner] = troubles
        self._end = start + len(line)

    def finish(self, learners: Sequence[str]) -> None:
        """These are the learners of the class, in this order; no more is added."""
        self._order = tuple(learners)
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
            for learner in learners:
                start, length, _digest = self._lines[learner]
                file.seek(start)
                yield from_line(file.read(length))

    def _take_up(self, head: bytes) -> int:
        """Find the marks of an earlier run; where they rest on something else, begin anew. Gives where to write on."""
        end = 0
        if self._file.readline(len(head) + 1) == head:
            end = len(head)
            while line := self._file.readline():
                digest, _, marks = line.partition(b" ")
                try:
                    one = from_line(marks) if line.endswith(b"\n") else None
                except (ValueError, KeyError, TypeError, AttributeError):
                    one = None
                if one is None:
                    break
                self._troubles[one.learner] = one.troubles
                self._lines[one.learner] = (end + len(digest) + 1, len(marks), digest.decode("ascii", "replace"))
                end += len(line)
        self._file.seek(end)
        self._file.truncate()
        if not end:
            self._file.write(head)
            self._file.flush()
        return end or len(head)


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
