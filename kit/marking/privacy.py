"""One learner's own: everything kept of them as a file to give them, all of it erased, and a note of an appeal added.

An appeal changes no record and no mark: it is a line more in a file that is only ever added to, for a person to decide.
"""

import csv
import io
import json
import os
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from kit.errors import RecordError
from kit.marking.audit import mark_audited
from kit.marking.folder import ARCHIVE, RECORD, Handed, find_handed_in
from kit.marking.marks import LearnerMarks
from kit.marking.pages import possible_names
from kit.marking.writing import written
from kit.records.entries import now_text
from kit.records.outgoing import timeless

APPEALS = "appeals.jsonl"
LONGEST_NOTE = 4000
NAMED = 8  # learners named where one was not found


@dataclass(frozen=True, slots=True, kw_only=True)
class Receipt:
    """What an appellant is given: the number of the note in the file, when it was added, and by whose work."""

    number: int
    at: str
    learner: str


def records_of(learner: str, folder: Path) -> tuple[Handed, ...]:
    """The records in a folder, and in its archives, that name this learner; links are not followed.

    Raises RecordError where there is no such folder, or nothing of this learner's in it.
    """
    names = [(one.opening()[0], one) for one in find_handed_in(folder)[0]]
    found = tuple(one for name, one in names if name == learner)
    if not found:
        there = sorted({name for name, _ in names} - {""})
        some = f"; there are {', '.join(there[:NAMED])}{' and others' if there[NAMED:] else ''}" if there else ""
        raise RecordError(f"{folder} holds no record of '{learner}'{some}.")
    return found


def export_learner(
    learner: str, folder: Path, marks: LearnerMarks | None, out: Path, given: Path | None = None
) -> Path:
    """Write one zip with the learner's records as handed in and, where there are any, the marks and all they rest on.

    ``given`` is a folder of marks: what its tables and lists say of this learner goes in as it stands there, and the
    learner's page. Raises RecordError where the folder has nothing of this learner's, or the file cannot be written.
    """
    found = records_of(learner, folder)
    with written(out) as file, zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as archive:
        for number, one in enumerate(found, 1):
            content, wrong = one.content()
            if wrong:
                raise RecordError(f"{one.name}: {wrong}.")
            _put(archive, f"records/{number:03d}.jsonl", content)
        if marks is not None:
            lines = (json.dumps(mark_audited(marks, row), default=str) for row in marks.rows)
            _put(archive, "marks.jsonl", ("\n".join(lines) + "\n").encode())
        for name, content in _said_of(learner, given) if given else ():
            _put(archive, f"marks/{name}", content)
    return out


def erase_learner(learner: str, folder: Path) -> tuple[Path, ...]:
    """Delete every file that names this learner and nobody else, and return which they were; mark again afterwards.

    Raises RecordError where there is none, where an archive holds others' records as well, or one cannot be deleted.
    Before that nothing is deleted.
    """
    found = tuple(dict.fromkeys(one.path for one in records_of(learner, folder)))
    mixed = [path for path in found if path.suffix.lower() == ARCHIVE and not _alone(learner, path)]
    if mixed:
        raise RecordError(
            f"{', '.join(map(str, mixed))} holds others' records, too, and nothing was deleted; unpack it, delete the "
            "archive, and erase again."
        )
    for path in found:
        try:
            path.unlink()
        except OSError as reason:
            raise RecordError(f"{path} cannot be deleted ({reason.strerror}); nothing after it was.") from None
    return found


def _alone(learner: str, path: Path) -> bool:
    """Whether an archive has this learner's records and none that may be another's."""
    records, left = find_handed_in(path)
    return not left and all(one.opening()[0] == learner for one in records)


def _said_of(learner: str, folder: Path) -> Iterator[tuple[str, bytes]]:
    """What the tables and lists in a folder of marks say of one learner, and the learner's page."""
    if not folder.is_dir():
        raise RecordError(f"there is no folder of marks {folder}.")
    for path in sorted(folder.iterdir()):
        if path.suffix == ".csv":
            with path.open(encoding="utf-8-sig", newline="") as file:
                head, *rows = [*csv.reader(file)] or [[]]
            at = head.index("learner") if "learner" in head else -1
            # A name that a spreadsheet would take for a formula stands behind an apostrophe.
            mine = [row for row in rows if 0 <= at < len(row) and row[at].removeprefix("'") == learner]
            if mine:
                text = io.StringIO()
                csv.writer(text, lineterminator="\n").writerows([head, *mine])
                yield path.name, text.getvalue().encode("utf-8-sig")
        elif path.suffix == RECORD:
            lines = [line for line in _lines(path) if _learner_in(line) == learner]
            if lines:
                yield path.name, b"".join(lines)
    for name in dict.fromkeys(possible_names(learner)):
        if (page := folder / f"{name}.html").is_file():
            yield page.name, page.read_bytes()


def _learner_in(line: bytes) -> str:
    try:
        found = json.loads(line)
    except ValueError:
        return ""
    return str(found.get("learner", "")) if isinstance(found, dict) else ""


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


def look_up(learner: str, question: str, folder: Path) -> None:
    """Raise RecordError where the folder's marks have no such mark: an appeal with a slip in it would be lost."""
    path = folder / "marks.csv"
    try:
        with path.open(encoding="utf-8-sig", newline="") as file:
            rows = [(row["learner"].removeprefix("'"), row["question"]) for row in csv.DictReader(file)]
    except (OSError, KeyError, AttributeError, ValueError):
        raise RecordError(f"there are no marks in {folder}; name the folder \"kit mark\" wrote into.") from None
    mine = [asked for name, asked in rows if name == learner]
    if not mine:
        raise RecordError(f"{path} has no learner '{learner[:60]}'.")
    if question not in mine:
        raise RecordError(f"{path} has no mark of {learner} for {question[:60]!r}; write it like {mine[0]}.")


def _lines(path: Path) -> Iterator[bytes]:
    if path.is_file():
        with path.open("rb") as file:
            yield from file


def _put(archive: zipfile.ZipFile, name: str, content: bytes) -> None:
    archive.writestr(timeless(name), content, zipfile.ZIP_DEFLATED)
