"""A record being written: every entry is on the disk before anything that follows from it is shown."""

import errno
import os
import re
import secrets
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from threading import Lock
from types import MappingProxyType

from kit.errors import RecordError
from kit.records.entries import ENVELOPE, SCHEMA, Entry, check_fields, digest, entry_bytes, now_text
from kit.records.places import course_name, kit_version, learner_name, records_folder
from kit.records.reader import read_record


class Record:
    """One learner's record in one kernel: a file of its own, so no two kernels ever write to the same one."""

    def __init__(self, path: Path, file: int, course: str, learner: str) -> None:
        self.path = path
        self.course = course
        self.learner = learner
        self._file = file
        self._one_at_a_time = Lock()
        self._end = 0
        self._prev = ""
        self._entries: list[Entry] = []

    @classmethod
    def open(
        cls, *, course: str = "", learner: str = "", folder: Path | None = None,
        digests: Mapping[str, str] | None = None,
    ) -> "Record":
        """Begin a new record file in ``folder`` and write its ``opened`` entry.

        What is not given comes from the environment (see ``kit.records.places``). ``digests`` are those of the machine
        files the learner works with. Raises RecordError where the file cannot be made.
        """
        folder = folder or records_folder()
        course = course or course_name()
        learner = learner or learner_name(folder)
        try:
            folder.mkdir(parents=True, exist_ok=True)
            path, file = _new_file(folder, learner)
        except OSError as reason:
            raise _cannot_write(folder, reason) from None
        record = cls(path, file, course, learner)
        record.append(
            "opened", schema=SCHEMA, kit=kit_version(), course=course, learner=learner, digests=dict(digests or {})
        )
        return record

    @property
    def entries(self) -> tuple[Entry, ...]:
        """What this kernel has written so far."""
        return tuple(self._entries)

    def about(self, *, question: str = "", job: str = "") -> tuple[Entry, ...]:
        """This kernel's entries on one question or one job, so that a reloaded page can show where it stood."""
        return tuple(entry for entry in self._entries if entry.is_about(question=question, job=job))

    def append(self, kind: str, **fields: object) -> Entry:
        """Write one entry and return it once the disk has it.

        Raises RecordError for a kind or field that a record cannot hold, and where the disk is full or gone; then
        nothing was recorded, the file is as it was, and the same call may be made again.
        """
        if wrong := check_fields(kind, fields):
            raise RecordError(f"nothing was recorded: {wrong}.")
        if taken := [name for name in ENVELOPE if name in fields]:
            raise RecordError(f"nothing was recorded: '{taken[0]}' is not a field's to set.")
        # Jupyter handles the messages of widgets in threads of their own.
        with self._one_at_a_time:
            entry = Entry(
                n=len(self._entries), prev=self._prev, at=now_text(), kind=kind, fields=MappingProxyType(dict(fields))
            )
            line = entry_bytes(entry)
            try:
                self._write(line)
            except OSError as reason:
                raise _cannot_write(self.path.parent, reason) from None
            self._end += len(line)
            self._prev = digest(line)
            self._entries.append(entry)
        return entry

    def close(self) -> None:
        """Write the ``closed`` entry and let go of the file; a record that just ends is as good."""
        if self._file >= 0:
            self.append("closed")
            os.close(self._file)
            self._file = -1

    def _write(self, line: bytes) -> None:
        if self._file < 0:
            raise OSError(errno.EBADF, "the record is closed")
        # A line torn by an earlier failure is cut off first; lseek keeps to our end whatever happened before.
        os.ftruncate(self._file, self._end)
        os.lseek(self._file, self._end, os.SEEK_SET)
        try:
            rest = memoryview(line)
            while rest:
                rest = rest[os.write(self._file, rest) :]
            os.fsync(self._file)
        except OSError:
            os.ftruncate(self._file, self._end)
            raise


def kernel_record() -> Record:
    """This kernel's own record, begun at the first call; the bay and the questions all write to it.

    A learner who signs in under another name gets a record of that name from then on.
    """
    folder = records_folder()
    return _record_of(os.getpid(), folder, course_name(), learner_name(folder))


def earlier_entries(record: Record, *, question: str = "", job: str = "") -> tuple[Entry, ...]:
    """What the same learner on the same course recorded in this folder before this kernel, oldest first.

    Lets a locked prediction stay locked after the kernel is restarted. Files with problems give what they hold.
    """
    return tuple(entry for entry in _before(record) if entry.is_about(question=question, job=job))


def all_entries(record: Record) -> tuple[Entry, ...]:
    """Everything the learner of this record has recorded in its folder on its course, oldest first."""
    return (*_before(record), *record.entries)


def _before(record: Record) -> list[Entry]:
    found = []
    for path in sorted(record.path.parent.glob("*.jsonl")):
        if path == record.path or path.is_symlink():
            continue
        other = read_record(path)
        if (other.learner, other.course) == (record.learner, record.course):
            found += other.entries
    return sorted(found, key=lambda entry: entry.at)


@cache
def _record_of(process: int, folder: Path, course: str, learner: str) -> Record:
    return Record.open(folder=folder, course=course, learner=learner)


def _new_file(folder: Path, learner: str) -> tuple[Path, int]:
    plain = re.sub(r"[^a-z0-9]+", "-", learner.lower()).strip("-")[:30] or "learner"
    moment = re.sub(r"[^0-9TZ]", "", now_text().split(".")[0]) + "Z"
    path = folder / f"{plain}-{moment}-{secrets.token_hex(4)}.jsonl"
    flags = os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_BINARY", 0)
    return path, os.open(path, flags, 0o600)


def _cannot_write(folder: Path, reason: OSError) -> RecordError:
    if reason.errno in (errno.ENOSPC, errno.EDQUOT, errno.EFBIG):
        return RecordError(
            f"the disk that holds {folder} is full, so nothing was recorded. Free some space, then do it again."
        )
    return RecordError(f"nothing was recorded: {folder} cannot be written to ({reason.strerror}).")
