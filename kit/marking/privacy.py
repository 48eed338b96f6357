"""One learner's own: everything kept of them as a file to give them, all of it erased, and a note of an appeal added.

An appeal changes no record and no mark: it is a line more in a file that is only ever added to, for a person to decide.
"""

import json
import os
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from kit.errors import RecordError
from kit.marking.audit import mark_audited
from kit.marking.marks import LearnerMarks
from kit.marking.writing import written
from kit.records import read_record
from kit.records.entries import now_text

APPEALS = "appeals.jsonl"
LONGEST_NOTE = 4000
# No moment of its own in an archive: the same content is the same bytes.
STILL = (2000, 1, 1, 0, 0, 0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Receipt:
    """What an appellant is given: the number of the note in the file, when it was added, and by whose work."""

    number: int
    at: str
    learner: str


def records_of(learner: str, folder: Path) -> tuple[Path, ...]:
    """The files in a folder whose record names this learner; links are not followed, archives not opened."""
    return tuple(
        path for path in sorted(folder.rglob("*.jsonl")) if path.is_file() and not path.is_symlink()
        and read_record(path).learner == learner
    )


def export_learner(learner: str, folder: Path, marks: LearnerMarks | None, out: Path) -> Path:
    """Write one zip with the learner's records as handed in and, where there are any, the marks and all they rest on.

    Raises RecordError where the folder has nothing of this learner's, or the file cannot be written.
    """
    found = records_of(learner, folder)
    if not found:
        raise RecordError(f"{folder} holds no record of '{learner}'; were they handed in as a zip? Unpack it first.")
    with written(out) as file, zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as archive:
        for number, path in enumerate(found, 1):
            _put(archive, f"records/{number:03d}.jsonl", path.read_bytes())
        if marks is not None:
            lines = (json.dumps(mark_audited(marks, row), default=str) for row in marks.rows)
            _put(archive, "marks.jsonl", ("\n".join(lines) + "\n").encode())
    return out


def erase_learner(learner: str, folder: Path) -> tuple[Path, ...]:
    """Delete every record file that names this learner, and return which they were; mark the class again afterwards.

    Raises RecordError where one cannot be deleted.
    """
    found = records_of(learner, folder)
    for path in found:
        try:
            path.unlink()
        except OSError as reason:
            raise RecordError(f"{path} cannot be deleted ({reason.strerror}); nothing after it was.") from None
    return found


def append_appeal(learner: str, question: str, note: str, folder: Path) -> Receipt:
    """Add an appeal to ``appeals.jsonl`` and return its receipt; raises RecordError where that cannot be done."""
    text = " ".join(note.split())
    if not text or len(text) > LONGEST_NOTE:
        raise RecordError(f"say in up to {LONGEST_NOTE:,} characters what is wrong with the mark.")
    path = folder / APPEALS
    number, at = sum(1 for _ in _lines(path)) + 1, now_text()
    line = json.dumps({"number": number, "at": at, "learner": learner, "question": question, "note": text})
    try:
        folder.mkdir(parents=True, exist_ok=True)
        # Opened to add only: what stands there already cannot be written over.
        with path.open("ab") as file:
            file.write(line.encode() + b"\n")
            file.flush()
            os.fsync(file.fileno())
    except OSError as reason:
        raise RecordError(f"{path} cannot be written to ({reason.strerror}).") from None
    return Receipt(number=number, at=at, learner=learner)


def _lines(path: Path) -> Iterator[bytes]:
    if path.is_file():
        with path.open("rb") as file:
            yield from file


def _put(archive: zipfile.ZipFile, name: str, content: bytes) -> None:
    archive.writestr(zipfile.ZipInfo(name, STILL), content, zipfile.ZIP_DEFLATED)
