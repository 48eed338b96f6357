"""Sorting a learner's entries into attempts at questions, and naming those that cannot be marked."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from kit.errors import QuestionError
from kit.exercises import AnyQuestion, JobQuestion, Variant, question, questions, variant
from kit.exercises.cards import card
from kit.exercises.question import edition_of
from kit.records import Entry, RecordFile

# A thorough job takes tens of acts. Each is done again with every suspect in the machine, so there has to be an end.
MAX_ACTS = 400


@dataclass(frozen=True, slots=True, kw_only=True)
class Attempt:
    """One answer to a question, or the work on a job: the variant it was given to, and the raw answer or acts."""

    at: str
    question: AnyQuestion
    variant: Variant
    raw: object


@dataclass(frozen=True, slots=True, kw_only=True)
class Refusal:
    """An entry that cannot be marked, the record it stands in, and why."""

    record: RecordFile
    question: str
    text: str


def sort_attempts(records: Iterable[RecordFile]) -> tuple[list[Attempt], list[Refusal]]:
    """All attempts in a learner's records, oldest first, and what had to be refused.

    What an ``undo`` entry names is left out, as if it had not been done. A job may be begun in one kernel and ended in
    another, so its acts are put together from all records of a course, in the order of time.
    """
    attempts: list[Attempt] = []
    refused: list[Refusal] = []
    acts: dict[tuple[str, str], list[tuple[Entry, RecordFile]]] = {}
    for record in records:
        undone = {entry.fields["of"] for entry in record.entries if entry.kind == "undo"}
        for entry in record.entries:
            if entry.n in undone:
                continue
            if entry.kind == "answer":
                found = _answer(record, entry)
                (attempts if isinstance(found, Attempt) else refused).append(found)
            elif entry.kind == "act" and entry.fields.get("job"):
                acts.setdefault((record.course, str(entry.fields["job"])), []).append((entry, record))
    for (_course, job), given in acts.items():
        worked, unfit = _job(job, given)
        attempts += worked
        refused += unfit
    return sorted(attempts, key=lambda attempt: attempt.at), refused


def _answer(record: RecordFile, entry: Entry) -> Attempt | Refusal:
    name, version = str(entry.fields["question"]), entry.fields["version"]
    where = f"entry {entry.n}"
    try:
        asked = question(name)
    except QuestionError:
        text = f"{where}: there is no question '{_short(name)}'; the answer was left out"
        return Refusal(record=record, question=name, text=text)
    if version != asked.version:
        text = f"{where}: it answers version {version} of {name}, and this kit has {asked.version}; it was left out"
        return Refusal(record=record, question=name, text=text)
    drawn = edition_of(asked, record.course, record.learner, entry.fields["variant"])
    if drawn is None:
        text = f"{where}: it answers a variant of {name} that is not this learner's on this course; it was left out"
        return Refusal(record=record, question=name, text=text)
    return Attempt(at=entry.at, question=asked, variant=drawn, raw=entry.fields["raw"])


def _job(job: str, given: list[tuple[Entry, RecordFile]]) -> tuple[list[Attempt], list[Refusal]]:
    """The work on one job, and a refusal for each record whose acts belong to no card, or another version of it."""
    asked = _jobs().get(job)
    if asked is None:
        return [], _refuse_acts(given, job, f"there is no job card '{_short(job)}'")
    version = card(job).version
    fit = [pair for pair in given if pair[0].fields.get("version", version) == version]
    unfit = [pair for pair in given if pair[0].fields.get("version", version) != version]
    refused = _refuse_acts(unfit, job, f"acts on another version of {job} than this kit's {version}")
    if not fit:
        return [], refused
    fit.sort(key=lambda pair: (pair[0].at, pair[1].path.name, pair[0].n))
    refused += _refuse_acts(fit[MAX_ACTS:], job, f"more than {MAX_ACTS} acts on {job}")
    fit = fit[:MAX_ACTS]
    record = fit[0][1]
    raw = [dict(entry.fields) for entry, _record in fit]
    drawn = variant(asked, record.course, record.learner)
    return [Attempt(at=fit[-1][0].at, question=asked, variant=drawn, raw=raw)], refused


def _refuse_acts(given: list[tuple[Entry, RecordFile]], job: str, why: str) -> list[Refusal]:
    records = {id(record): record for _entry, record in given}
    counts = {key: sum(record is records[key] for _entry, record in given) for key in records}
    return [
        Refusal(record=record, question=job, text=f"{why}; acts left out: {counts[key]}")
        for key, record in records.items()
    ]


def _jobs() -> Mapping[str, JobQuestion]:
    return {item.card: item for item in questions().values() if isinstance(item, JobQuestion)}


def _short(text: str) -> str:
    return text if len(text) <= 40 else text[:37] + "..."
