"""One learner to be marked, from that learner's records alone; whatever is wrong in them becomes a Trouble."""

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass, replace

from kit.marking.by_hand import Given
from kit.marking.folder import Handed, record_in
from kit.marking.learner import mark_learner
from kit.marking.marks import LearnerMarks, Trouble
from kit.marking.rubric import Rubric
from kit.records import RecordFile

# One learner's records, all of them together; a thorough course is a hundredth of it.
MOST_BYTES = 60_000_000


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """One learner to be marked: what was handed in, what people gave, and the digest of what is marked already."""

    learner: str
    handed: tuple[Handed, ...]
    given: Given
    known: str = ""
    stories: bool = True


def mark_task(task: Task, rubric: Rubric) -> tuple[str, str, LearnerMarks | None]:
    """A learner's name, the digest of all the marks rest on, and the marks; None where they are known already."""
    total = hashlib.sha256(repr((task.given, task.stories)).encode("utf-8", "backslashreplace"))
    contents = []
    for one in task.handed:
        content, wrong = one.content()
        if sum(len(earlier) for _name, earlier, _wrong in contents) + len(content) > MOST_BYTES:
            content, wrong = b"", f"with this file the learner has over {MOST_BYTES / 1e6:.0f} MB"
        contents.append((one.name, content, wrong))
        for text in (one.name, wrong):
            total.update(text.encode("utf-8", "backslashreplace") + b"\x00")
        total.update(hashlib.sha256(content).digest())
    digest = total.hexdigest()
    if digest == task.known:
        return task.learner, digest, None
    records = [record_in(*one) for one in contents]
    contents.clear()
    return task.learner, digest, _marks(task, records, rubric)


def _marks(task: Task, records: Sequence[RecordFile], rubric: Rubric) -> LearnerMarks:
    troubles = [_trouble(record, one.text, line=one.line) for record in records for one in record.problems]
    single, copies = _without_copies([record for record in records if record.entries], task)
    troubles += copies
    if not single:
        return LearnerMarks(learner=task.learner, rows=(), troubles=tuple(troubles))
    try:
        marks, refused = mark_learner(single, rubric, task.given, stories=task.stories)
    except Exception as fault:
        # A fault of ours that one learner's work brought out must not keep the class from its marks; it is told of.
        text = f"the kit failed over this learner's work ({type(fault).__name__}: {fault}); please report it"
        troubles.append(_trouble(single[0], text[:300]))
        return LearnerMarks(learner=task.learner, rows=(), troubles=tuple(troubles))
    troubles += [_trouble(one.record, one.text, question=one.question) for one in refused]
    return replace(marks, troubles=tuple(troubles))


def _without_copies(records: Sequence[RecordFile], task: Task) -> tuple[list[RecordFile], list[Trouble]]:
    """One of each record: a file handed in twice counts once, in its longer state."""
    kept: dict[str, RecordFile] = {}
    troubles = []
    for record in records:
        opened = record.entries[0].at
        if opened not in kept:
            kept[opened] = record
            continue
        short, long = sorted((kept[opened], record), key=lambda one: len(one.entries))
        kept[opened] = long
        troubles.append(_trouble(short, f"the same record as {long.path.name}, which was taken instead"))
    places = sorted({str(record.path.parent) for record in kept.values()})
    if len(places) > 1:
        text = f"records that name this learner came from {len(places)} folders; they were taken as one person's"
        file = plain_name(", ".join(places))[:300]
        troubles.append(Trouble(file=file, line=0, learner=task.learner, question="", text=text))
    return list(kept.values()), troubles


def _trouble(record: RecordFile, text: str, *, line: int = 0, question: str = "") -> Trouble:
    return Trouble(
        file=plain_name(record.path.as_posix()), line=line, learner=record.learner, question=plain_name(question)[:60],
        text=plain_name(text),
    )


def plain_name(name: str) -> str:
    """A name or a line of text with nothing in it that a screen or a table could trip over."""
    return "".join(sign if sign.isprintable() else "\N{REPLACEMENT CHARACTER}" for sign in name)
