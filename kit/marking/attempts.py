"""Sorting a learner's entries into attempts at questions, and naming those that cannot be marked."""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from functools import cache, lru_cache
from operator import itemgetter
from typing import NamedTuple

from kit.errors import QuestionError
from kit.exercises import AnyQuestion, JobQuestion, Picture, Variant, question, questions, variant
from kit.exercises.cards import card
from kit.exercises.question import drawn_alike, edition_of
from kit.records import Entry, RecordFile

# A thorough job takes tens of acts. Each is done again with every suspect in the machine, so there has to be an end.
MAX_ACTS = 400
MAX_REFUSALS = 20
# What work on a job card is evidence for, where no lesson's question says it more exactly.
CARD_CRITERIA = ("safe", "prove", "suspects", "measure", "find", "cause", "repair", "report")
# Clocks are set right by seconds now and then; more than this is a jump.
JUMP = timedelta(minutes=5)
USUAL = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{6}Z", re.ASCII)


class Attempt(NamedTuple):
    """One answer to a question, or the work on a job: the variant it was given to, and the raw answer or acts.

    ``hints`` were asked for before it. ``file`` and ``n`` say where it stands. ``said`` are the fields of an answer's
    entry: one value for all who wrote the same line.
    """

    at: str
    question: AnyQuestion
    variant: Variant
    raw: object
    file: str = ""
    n: int = 0
    hints: int = 0
    said: Mapping[str, object] | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Refusal:
    """An entry that cannot be marked, the record it stands in, and why."""

    record: RecordFile
    question: str
    text: str


def sort_attempts(records: Iterable[RecordFile]) -> tuple[list[Attempt], list[Refusal]]:
    """All attempts in a learner's records, oldest first, and what had to be refused.

    What an ``undo`` entry names is left out, as if it had not been done. A job may be begun in one kernel and ended in
    another, so its acts are put together from all records of a course, in the order of time. Within one record the
    order is the record's own, whatever the clock did.
    """
    attempts: list[Attempt] = []
    refused: list[Refusal] = []
    acts: dict[tuple[str, str], list[tuple[str, Entry, RecordFile]]] = {}
    hints: dict[tuple[str, str], list[str]] = {}
    for record in records:
        whose = _Whose(record, record.course, record.learner, str(record.path))
        undone = {entry.fields["of"] for entry in record.entries if entry.kind == "undo"}
        mine: list[Refusal] = []
        for at, entry in _in_time(record, mine):
            if entry.n in undone:
                continue
            if entry.kind == "answer":
                found = _answer(whose, entry, at)
                (attempts if isinstance(found, Attempt) else mine).append(found)
            elif entry.kind == "act" and entry.fields.get("job"):
                acts.setdefault((record.course, str(entry.fields["job"])), []).append((at, entry, record))
            elif entry.kind == "hint":
                about = (str(entry.fields.get("question") or entry.fields.get("job")), str(entry.fields.get("variant")))
                hints.setdefault(about, []).append(at)
        refused += _not_too_many(mine, record)
    for (_course, job), given in acts.items():
        worked, unfit = _job(job, given)
        attempts += worked
        refused += unfit
    helped = [_with_hints(attempt, hints) for attempt in attempts] if hints else attempts
    return sorted(helped, key=itemgetter(0)), refused


def own_variant(asked: AnyQuestion, course: str, learner: str) -> Variant:
    """The learner's own first variant; but for a job, the one value of all who drew the same."""
    return variant(asked, course, learner) if isinstance(asked, JobQuestion) else drawn_alike(asked, course, learner)


@cache
def card_question(job: str) -> JobQuestion | None:
    """The question that work on a card answers: a lesson's own where one has the card, else the card by itself.

    None where there is no such card.
    """
    if job in _jobs():
        return _jobs()[job]
    try:
        chosen = card(job)
    except QuestionError:
        return None
    return JobQuestion(
        id=job, version=chosen.version, title=f"Job card {job}", prompt=chosen.complaint, card=job,
        picture=Picture(machine=chosen.machine_id, stage=next(iter(chosen.machine.stages), "")),
        criteria=CARD_CRITERIA,
    )


def _in_time(record: RecordFile, refused: list[Refusal]) -> Iterable[tuple[str, Entry]]:
    """A record's entries with a moment that never goes back; a clock that did is told of once."""
    moments = [entry.at if USUAL.fullmatch(entry.at) else _usual(entry.at) for entry in record.entries]
    if moments == sorted(moments):
        return zip(moments, record.entries, strict=True)
    latest, told, steady = "", False, []
    for at, entry in zip(moments, record.entries, strict=True):
        if at < latest and not told and datetime.fromisoformat(latest) - datetime.fromisoformat(at) > JUMP:
            told = True
            refused.append(Refusal(record=record, question="", text=(
                f"entry {entry.n}: the clock went back from {latest[:19]} to {at[:19]}; the order of the record "
                "was kept, its times are for a person to judge")))
        latest = max(latest, at)
        steady.append((latest, entry))
    return steady


def _usual(at: str) -> str:
    """A moment written as the kit writes them, so that texts compare as moments do."""
    return datetime.fromisoformat(at).astimezone(UTC).isoformat(timespec="microseconds").replace("+00:00", "Z")


def _with_hints(attempt: Attempt, hints: Mapping[tuple[str, str], list[str]]) -> Attempt:
    """The attempt with the number of hints asked for before it."""
    name = attempt.question.card if isinstance(attempt.question, JobQuestion) else attempt.question.id
    given = [
        at for (about, key), moments in hints.items()
        if about in (name, attempt.question.id) and key in (attempt.variant.key, "None") for at in moments
    ]
    number = sum(at <= attempt.at for at in given)
    if not number:
        return attempt
    return attempt._replace(hints=number)


@dataclass(frozen=True, slots=True)
class _Whose:
    """A record, what its opening says, and its name as text: looked up once, for it has thousands of entries."""

    record: RecordFile
    course: str
    learner: str
    file: str


def _answer(whose: _Whose, entry: Entry, at: str) -> Attempt | Refusal:
    record, fields = whose.record, entry.fields
    name, version = fields["question"], fields["version"]
    asked = questions().get(name)
    if asked is None:
        text = f"entry {entry.n}: there is no question '{_short(name)}'; the answer was left out"
        return Refusal(record=record, question=name, text=text)
    if version != asked.version:
        text = (f"entry {entry.n}: it answers version {_short(str(version))} of {name}, and this kit has "
                f"{asked.version}; it was left out")
        return Refusal(record=record, question=name, text=text)
    key = fields["variant"]
    drawn = own_variant(asked, whose.course, whose.learner)
    if drawn.key != key:
        drawn = _drawn(name, whose.course, whose.learner, key)
    if drawn is None:
        text = (f"entry {entry.n}: it answers a variant of {name} that is not this learner's on this course; it was "
                "left out")
        return Refusal(record=record, question=name, text=text)
    return Attempt(at, asked, drawn, fields["raw"], whose.file, entry.n, 0, fields)


# A learner comes back to the same fresh variants; and whoever answers another's costs two hundred drawings each time.
@lru_cache(maxsize=2000)
def _drawn(name: str, course: str, learner: str, key: str) -> Variant | None:
    return edition_of(question(name), course, learner, key)


def _job(job: str, given: list[tuple[str, Entry, RecordFile]]) -> tuple[list[Attempt], list[Refusal]]:
    """The work on one job, and a refusal for each record whose acts belong to no card, or another version of it."""
    asked = card_question(job)
    if asked is None:
        return [], _refuse_acts(given, job, f"there is no job card '{_short(job)}'")
    version = card(job).version
    fit = [one for one in given if one[1].fields.get("version", version) == version]
    unfit = [one for one in given if one[1].fields.get("version", version) != version]
    refused = _refuse_acts(unfit, job, f"acts on another version of {job} than this kit's {version}")
    if not fit:
        return [], refused
    fit.sort(key=lambda one: (one[0], one[2].path.name, one[1].n))
    refused += _refuse_acts(fit[MAX_ACTS:], job, f"more than {MAX_ACTS} acts on {job}")
    fit = fit[:MAX_ACTS]
    at, last, record = fit[-1]
    raw = [dict(entry.fields) for _at, entry, _record in fit]
    drawn = variant(asked, record.course, record.learner)
    return [Attempt(at=at, question=asked, variant=drawn, raw=raw, file=str(record.path), n=last.n)], refused


def _refuse_acts(given: list[tuple[str, Entry, RecordFile]], job: str, why: str) -> list[Refusal]:
    records = {id(record): record for _at, _entry, record in given}
    counts = {key: sum(record is records[key] for _at, _entry, record in given) for key in records}
    return [
        Refusal(record=record, question=job, text=f"{why}; acts left out: {counts[key]}")
        for key, record in records.items()
    ]


def _not_too_many(refused: list[Refusal], record: RecordFile) -> list[Refusal]:
    """At most so many a record: a file of nothing but nonsense is one learner's trouble, not the class's."""
    more = len(refused) - MAX_REFUSALS
    if more <= 0:
        return refused
    return [*refused[:MAX_REFUSALS], Refusal(record=record, question="", text=f"{more} more entries were left out")]


@cache
def _jobs() -> Mapping[str, JobQuestion]:
    found: dict[str, JobQuestion] = {}
    for item in questions().values():
        if isinstance(item, JobQuestion):
            found.setdefault(item.card, item)
    return found


def _short(text: str) -> str:
    return text if len(text) <= 40 else text[:37] + "..."
