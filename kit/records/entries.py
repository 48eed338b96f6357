"""What one line of a record holds, and how it becomes bytes and back.

A line is one JSON object in UTF-8, its keys in this order: ``n`` (0, 1, 2 …), ``prev`` (SHA-256, in hex, of the bytes
of the line before, without its newline; empty for the first), ``at`` (UTC, ending in Z), ``kind``, then the fields of
that kind.
"""

import hashlib
import json
import math
from collections.abc import Mapping
from datetime import UTC, datetime
from types import MappingProxyType
from typing import NamedTuple

from kit.errors import RecordError

SCHEMA = 1
MAX_LINE = 64 * 1024

# The fields each kind must have, with the types they may be. More fields are welcome.
KINDS: Mapping[str, Mapping[str, tuple[type, ...]]] = {
    "opened": {"schema": (int,), "kit": (str,), "course": (str,), "learner": (str,), "digests": (dict,)},
    "answer": {"question": (str,), "version": (int,), "variant": (str,), "raw": (str, int, float, list, dict)},
    "act": {"act": (str,)},
    "hint": {},
    "undo": {"of": (int,)},
    "closed": {},
}
ENVELOPE = ("n", "prev", "at", "kind")
_ABSENT = object()
SPACES = " \t\r\n"  # what JSON allows around a value
# A moment as the kit writes it, and what stands between it and the kind. Of lines no longer than KEPT, what follows is
# read once for a whole class.
MOMENT, THEN = len("2031-05-04T09:12:33.120415Z"), b'","kind":'
KEPT, MOST_KEPT = 500, 20_000


class Entry(NamedTuple):
    """One line of a record; ``fields`` holds everything but the envelope."""

    n: int
    prev: str
    at: str
    kind: str
    fields: Mapping[str, object]

    def is_about(self, *, question: str = "", job: str = "") -> bool:
        """Whether the entry names this question, or this job (an empty name asks for nothing)."""
        return bool((question and self.fields.get("question") == question) or (job and self.fields.get("job") == job))


def digest(line: bytes) -> str:
    """The SHA-256 of a line's bytes, without its line end, in hex."""
    return hashlib.sha256(line.rstrip(b"\r\n")).hexdigest()


def now_text() -> str:
    """This moment in UTC, such as ``2031-05-04T09:12:33.120415Z``."""
    return datetime.now(UTC).strftime("%Y-%m-%dT%H:%M:%S.%fZ")


def entry_bytes(entry: Entry) -> bytes:
    """The line of an entry, newline included; RecordError where a field cannot be written as JSON or is too long."""
    envelope = {"n": entry.n, "prev": entry.prev, "at": entry.at, "kind": entry.kind}
    try:
        text = json.dumps(envelope | dict(entry.fields), ensure_ascii=False, allow_nan=False, separators=(",", ":"))
    except (TypeError, ValueError, RecursionError) as reason:
        raise RecordError(f"this {entry.kind} cannot be recorded: {reason}.") from None
    # A keyboard can send half of a pair of surrogates; UTF-8 has no bytes for it.
    line = text.encode("utf-16", "surrogatepass").decode("utf-16", "replace").encode() + b"\n"
    if len(line) > MAX_LINE:
        raise RecordError(f"this {entry.kind} is too long to record ({len(line):,} bytes; {MAX_LINE:,} is the most).")
    return line


def check_fields(kind: str, fields: Mapping[str, object]) -> str:
    """What is wrong with the fields of an entry of this kind, in a few words; empty where nothing is."""
    if kind not in KINDS:
        return f"unknown kind '{_short(kind)}'"
    for name, types in KINDS[kind].items():
        value = fields.get(name, _ABSENT)
        if type(value) in types:
            continue
        if value is _ABSENT:
            return f"the {kind} has no '{name}'"
        if isinstance(value, bool) or not isinstance(value, types):
            return f"'{name}' of the {kind} is not of the right sort"
    return ""


def entry_from(line: bytes) -> Entry:
    """The entry a line holds; raises ValueError with a few words where it holds none. Never any other error."""
    try:
        text = line.decode("utf-8").strip(SPACES)
    except UnicodeDecodeError:
        raise ValueError("not UTF-8 text") from None
    found = _decoded(text)
    if not isinstance(found, dict):
        raise ValueError("not a JSON object")
    try:
        n, prev, at, kind = found.pop("n"), found.pop("prev"), found.pop("at"), found.pop("kind")
    except KeyError as missing:
        raise ValueError(f"no {missing}") from None
    if type(n) is not int or not (type(prev) is type(at) is type(kind) is str):
        raise ValueError("its envelope is not of the right sort")
    if not _is_moment(at):
        raise ValueError(f"'{_short(at)}' is not a moment in UTC")
    return Entry(n=n, prev=prev, at=at, kind=kind, fields=MappingProxyType(found))


def next_entry(line: bytes, n: int, prev: str) -> tuple[Entry, str]:
    """The entry a line holds, and what is wrong with its fields (``check_fields``); ValueError where it holds none.

    It may be any entry; one with this number and this link to the line before, written as the kit writes it, is read
    faster.
    """
    head = b'{"n":%d,"prev":"%b","at":"' % (n, prev.encode())
    if line.startswith(head) and len(line) <= KEPT:
        then = len(head) + MOMENT
        said = _said(line[then:])
        at = line[len(head) : then].decode("ascii", "replace")
        # Python takes any sign between a day and its time, even a quote.
        if said is not None and at[10] == "T" and _is_moment(at):
            return Entry(n, prev, at, said.kind, said.fields), said.wrong
    entry = entry_from(line)
    return entry, check_fields(entry.kind, entry.fields)


class _Said(NamedTuple):
    """What a line says behind its number, its link and its moment: the same for all who gave the same answer."""

    kind: str
    fields: Mapping[str, object]
    wrong: str


# Thrown away all at once: to throw away one for each new one costs as much as to read it again.
_kept: dict[bytes, _Said | None] = {}


def _said(rest: bytes) -> _Said | None:
    """What stands behind a usual head and a moment; None where the line has to be looked at as a whole."""
    try:
        return _kept[rest]
    except KeyError:
        if len(_kept) >= MOST_KEPT:
            _kept.clear()
        said = _kept[rest] = _read_rest(rest)
        return said


def _read_rest(rest: bytes) -> _Said | None:
    try:
        found = _decoded(f'{{"at":"{rest.decode()}'.rstrip(SPACES)) if rest.startswith(THEN) else {}
    except ValueError:
        return None
    kind = found.pop("kind", None)
    # The moment stands where none is; a name of the head's that comes again must not.
    if type(kind) is not str or found.pop("at") or not found.keys().isdisjoint(ENVELOPE):
        return None
    return _Said(kind, MappingProxyType(found), check_fields(kind, found))


def _decoded(text: str) -> object:
    """What a JSON text holds; ValueError with a few words where it is none, or not one we take."""
    try:
        found, end = DECODER.raw_decode(text)
        if end != len(text):
            raise ValueError("not JSON")
        # Lone surrogates hide behind an escape; they could not be written into a report.
        if "\\u" in text:
            json.dumps(found, ensure_ascii=False).encode("utf-8")
    except RecursionError:
        raise ValueError("nested too deeply") from None
    except UnicodeEncodeError:
        raise ValueError("holds characters that are none") from None
    except json.JSONDecodeError:
        raise ValueError("not JSON") from None
    return found


def _is_moment(text: str) -> bool:
    try:
        return text[-1:] == "Z" and len(text) <= 32 and datetime.fromisoformat(text) is not None
    except ValueError:
        return False


def _no_constant(word: str) -> float:
    raise ValueError(f"holds {word}, which is no number")


def _finite(text: str) -> float:
    number = float(text)
    if not math.isfinite(number):
        raise ValueError("holds a number that is too large")
    return number


def _unique(pairs: list[tuple[str, object]]) -> dict[str, object]:
    found = dict(pairs)
    if len(found) != len(pairs):
        raise ValueError("names a key twice")
    return found


# Made once: a class is half a million lines.
DECODER = json.JSONDecoder(parse_constant=_no_constant, parse_float=_finite, object_pairs_hook=_unique)


def _short(text: str) -> str:
    return text if len(text) <= 40 else text[:37] + "..."
