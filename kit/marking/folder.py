"""What was handed in: a folder, a zip or a single record, read as a stream and unpacked nowhere.

Nothing that is handed in names a place to write to: a member of an archive is read where it lies, so a name that leads
out of it can do no harm; it is left out all the same, for no honest hand-in has one. Links are not followed, pipes and
devices not opened. An archive in an archive is left out.
"""

import io
import os
import stat
import zipfile
import zlib
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path, PurePosixPath

from kit.errors import RecordError
from kit.records import MAX_BYTES, RecordFile, read_opening, read_stream

RECORD, ARCHIVE = ".jsonl", ".zip"
MOST_MEMBERS = 200_000
# Every line of a record carries 32 bytes of a digest, which nothing presses any smaller.
MOST_TIMES, SMALL = 200, 1_000_000
# What can go wrong inside an archive somebody made by hand, whatever its list of members promises.
BROKEN = (zipfile.BadZipFile, zlib.error, NotImplementedError, RuntimeError, EOFError, OSError, ValueError)


@dataclass(frozen=True, slots=True, kw_only=True)
class Handed:
    """One record as handed in: the file that holds it, the member of it (-1: the file itself), and what to call it."""

    path: Path
    member: int
    name: str

    @property
    def place(self) -> str:
        """The folder or the archive it came in."""
        return str(PurePosixPath(self.name).parent)

    def content(self) -> tuple[bytes, str]:
        """All its bytes; or none, and in words why they cannot be had."""
        try:
            with self._opened() as file:
                # Of a file no more than it has now, for room is made for all that is asked for.
                size = os.fstat(file.fileno()).st_size if self.member < 0 else MAX_BYTES
                if size > MAX_BYTES:
                    return b"", f"the file is {size / 1e6:,.0f} MB; no record is over {MAX_BYTES / 1e6:.0f} MB"
                return file.read(size + 1), ""
        except BROKEN as reason:
            return b"", f"it cannot be read ({_words(reason)})"

    def opening(self) -> tuple[str, str]:
        """The learner and the course its first line names; empty where there is none to be had."""
        try:
            with self._opened() as file:
                return read_opening(file)
        except BROKEN:
            return "", ""

    def _opened(self) -> io.BufferedIOBase:
        if self.member < 0:
            return open(self.path, "rb")
        archive = _archive(self.path, os.stat(self.path).st_mtime_ns)
        return archive.open(archive.infolist()[self.member])


def record_in(name: str, content: bytes, wrong: str) -> RecordFile:
    """The record in these bytes, as far as it can be trusted; no content makes it raise."""
    return read_stream(Path(name), io.BytesIO(content), wrong)


@dataclass(frozen=True, slots=True)
class Left:
    """Something handed in that was left out, and why."""

    name: str
    text: str


def find_handed_in(place: Path) -> tuple[tuple[Handed, ...], tuple[Left, ...]]:
    """Every record in a folder and its subfolders, in its archives, or in a single file; and what was left out.

    In order of name. Raises RecordError where the place is not there or holds neither.
    """
    found = list(_walk(place) if place.is_dir() else _file(place, place.name))
    records = tuple(one for one in found if isinstance(one, Handed))
    left = tuple(one for one in found if isinstance(one, Left))
    if not place.is_dir() and not place.is_file():
        raise RecordError(f"there is no folder {place}; name the folder, zip or record that was handed in.")
    if not records and not left:
        raise RecordError(f"there are no records (files ending in {RECORD}) in {place}.")
    return records, left


def _walk(folder: Path) -> Iterator[Handed | Left]:
    for parent, folders, names in os.walk(folder, followlinks=False):
        within = Path(parent).relative_to(folder).as_posix()
        before = "" if within == "." else f"{within}/"
        for name in sorted(folders):
            if os.path.islink(os.path.join(parent, name)):
                yield Left(f"{before}{name}", "it is a link; links are not followed")
        folders.sort()
        for name in sorted(names):
            if name.lower().endswith((RECORD, ARCHIVE)):
                yield from _file(Path(parent, name), f"{before}{name}")


def _file(path: Path, name: str) -> Iterator[Handed | Left]:
    try:
        mode = path.lstat().st_mode
    except OSError:
        return
    if stat.S_ISLNK(mode):
        yield Left(name, "it is a link; links are not followed")
    elif not stat.S_ISREG(mode):
        yield Left(name, "it is no file but a pipe or a device; it was not opened")
    elif name.lower().endswith(ARCHIVE):
        yield from _members(path, name)
    elif name.lower().endswith(RECORD):
        yield Handed(path=path, member=-1, name=name)


def _members(path: Path, name: str) -> Iterator[Handed | Left]:
    """The records in an archive, and what in it was left out."""
    try:
        members = _archive(path, path.stat().st_mtime_ns).infolist()
        size = path.stat().st_size
    except BROKEN as reason:
        yield Left(name, f"the archive cannot be opened ({_words(reason)})")
        return
    if len(members) > MOST_MEMBERS:
        yield Left(name, f"the archive has {len(members):,} members; {MOST_MEMBERS:,} is the most")
        return
    if sum(member.compress_size for member in members) > size:
        yield Left(name, "the members of the archive lie upon each other, so somebody made it to do harm")
        return
    taken: set[str] = set()
    for number, member in enumerate(members):
        if member.is_dir():
            continue
        inner = f"{name}/{member.filename}"
        if wrong := _wrong(member, taken):
            yield Left(inner, wrong)
        elif member.filename.lower().endswith(RECORD):
            taken.add(member.filename)
            yield Handed(path=path, member=number, name=inner)


def _wrong(member: zipfile.ZipInfo, taken: set[str]) -> str:
    """Why a member of an archive is left out, in words; empty where it may be read, or is none of ours."""
    way = PurePosixPath(member.filename.replace("\\", "/"))
    if way.is_absolute() or ".." in way.parts or ":" in way.parts[0]:
        return "its name leads out of the archive"
    if stat.S_ISLNK(member.external_attr >> 16):
        return "it is a link; links are not followed"
    if member.filename.lower().endswith(ARCHIVE):
        return "it is an archive in an archive; unpack it first"
    if not member.filename.lower().endswith(RECORD):
        return ""
    if member.filename in taken:
        return "the archive has another of the same name, which was taken"
    if member.flag_bits & 1:
        return "it is locked with a password"
    if member.file_size > MAX_BYTES:
        return f"it opens up to {member.file_size / 1e6:,.0f} MB; no record is over {MAX_BYTES / 1e6:.0f} MB"
    if member.file_size > max(SMALL, MOST_TIMES * member.compress_size):
        return f"it opens up to {member.file_size // max(1, member.compress_size):,} times its size; no record does"
    return ""


@lru_cache(maxsize=8)
def _archive(path: Path, _changed: int) -> zipfile.ZipFile:
    """An archive, opened: its list of members is read once, not for each of them."""
    return zipfile.ZipFile(path)


def _words(reason: Exception) -> str:
    text = getattr(reason, "strerror", None) or str(reason) or type(reason).__name__
    return text.splitlines()[0][:80]
