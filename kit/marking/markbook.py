"""The mark book: every learner's marks, recomputed, with everything that could not be marked named.

One learner is marked at a time, from that learner's records alone, here or in other processes, and the result is the
same in any order. Anything wrong inside what was handed in becomes a Trouble and spoils nothing else.
"""

import hashlib
from collections import Counter, deque
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from dataclasses import dataclass, replace
from multiprocessing import get_context
from pathlib import Path

from kit.errors import RecordError
from kit.marking.by_hand import Given, read_tables
from kit.marking.folder import Handed, find_handed_in, record_in
from kit.marking.learner import mark_learner
from kit.marking.marks import LearnerMarks, MarkBook, Row, Trouble, as_line, from_line
from kit.marking.rubric import Rubric, default_rubric, rubric_from
from kit.marking.state import State
from kit.records import RecordFile

__all__ = ["LearnerMarks", "MarkBook", "Progress", "Row", "Trouble", "forget_state", "mark_folder", "plain_name"]

# From another process the marks come as a line, with what was wrong beside it; None where they are known already.
Marked = LearnerMarks | tuple[bytes, tuple[Trouble, ...]] | None
Progress = Callable[[int, int, str], None]
# One learner's records, all of them together; a thorough course is a hundredth of it.
MOST_BYTES = 60_000_000
# The most learners handed to another process at once, and such parcels under way for each process.
PARCEL, UNDER_WAY = 32, 3


@dataclass(frozen=True, slots=True, kw_only=True)
class Task:
    """One learner to be marked: what was handed in, what people gave, and the digest of what is marked already."""

    learner: str
    handed: tuple[Handed, ...]
    given: Given
    known: str = ""
    stories: bool = True


def mark_folder(
    folder: Path, progress: Progress = lambda done, total, name: None, *, rubric: Rubric | None = None,
    by_hand: Sequence[Path] = (), adjustments: Path | None = None, course: str = "", jobs: int = 1,
    out: Path | None = None, stories: bool = True,
) -> MarkBook:
    """Mark every record in a folder, a zip or a file. ``progress`` is told how many of how many steps are done.

    With ``out`` the marks are kept there as they come, so that a marking that was killed goes on, and are read from
    there; ``jobs`` processes work at once. Records of another ``course`` are left out; without one it is the course
    most of them are of. Without ``stories`` the work on jobs is not explained. Raises RecordError where there is
    nothing to mark or no way to write, RubricError for a table of the assessor's that cannot be read; anything
    wrong inside a record becomes a Trouble.
    """
    rubric = rubric or default_rubric()
    given, odd = read_tables(by_hand, adjustments)
    handed, left = find_handed_in(folder)
    troubles = [Trouble(file=plain_name(one.name), line=0, learner="", question="", text=one.text) for one in left]
    total = 2 * len(handed)
    by_learner, unfit = _by_learner(handed, course, lambda done, name: progress(done, total, name))
    troubles += unfit
    troubles += [replace(one, file=plain_name(one.file), text=plain_name(one.text)) for one in odd]
    troubles += [
        Trouble(file="", line=0, learner=name, question="", text="a table names this learner, who handed nothing in")
        for name in sorted(given) if name not in by_learner
    ]
    state = State(out, rubric.text) if out is not None else None
    tasks = [
        Task(learner=name, handed=tuple(by_learner[name]), given=given.get(name, Given()),
             known=state.known(name) if state is not None else "", stories=stories)
        for name in sorted(by_learner)
    ]
    done, found = len(handed), {}
    try:
        for learner, digest, marks in _results(tasks, rubric, jobs):
            progress(done, total, plain_name(learner))
            done += len(by_learner[learner])
            if state is None:
                found[learner] = marks if isinstance(marks, LearnerMarks) else from_line(marks[0])
            elif marks:
                line, wrong = (as_line(marks), marks.troubles) if isinstance(marks, LearnerMarks) else marks
                state.add(learner, digest, line, wrong)
        if state is not None:
            state.finish(sorted(by_learner))
    finally:
        if state is not None:
            state.close()
    progress(total, total, "")
    learners = tuple(found[name] for name in sorted(found)) if state is None else state
    troubles += (each for one in learners for each in one.troubles) if state is None else state.troubles
    return MarkBook(learners=learners, troubles=tuple(troubles), rubric=rubric.title, cut=rubric.cut)


def forget_state(book: MarkBook) -> None:
    """Take away what was kept to go on from: everything that was to be written from this book is written."""
    if isinstance(book.learners, State):
        book.learners.forget()


def plain_name(name: str) -> str:
    """A name or a line of text with nothing in it that a screen or a table could trip over."""
    return "".join(sign if sign.isprintable() else "\N{REPLACEMENT CHARACTER}" for sign in name)


def _by_learner(
    handed: Sequence[Handed], course: str, told: Callable[[int, str], None]
) -> tuple[Mapping[str, list[Handed]], list[Trouble]]:
    """What was handed in by the learner it names; what names none, or another course, is left out and told of."""
    openings = []
    for done, one in enumerate(handed):
        told(done, plain_name(Path(one.name).name))
        openings.append(one.opening())
    courses = Counter(course for learner, course in openings if learner)
    wanted = course or min(courses, key=lambda name: (-courses[name], name), default="")
    found: dict[str, list[Handed]] = {}
    troubles = []
    for one, (learner, named) in zip(handed, openings, strict=True):
        if learner and named == wanted:
            found.setdefault(learner, []).append(one)
            continue
        if learner:
            said = [f"it is a record of the course '{named[:60]}', and this is '{wanted[:60]}'; the whole file was "
                    "left out"]
        else:
            said = [problem.text for problem in record_in(one.name, *one.content()).problems]
        troubles += [
            Trouble(file=plain_name(one.name), line=0, learner=learner, question="", text=plain_name(text))
            for text in said
        ]
    return found, troubles


# One learner


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


# Many learners


def _results(tasks: Sequence[Task], rubric: Rubric, jobs: int) -> Iterator[tuple[str, str, Marked]]:
    """Each learner marked, in whatever order they get done."""
    if jobs <= 1 or len(tasks) <= 1:
        yield from (mark_task(task, rubric) for task in tasks)
        return
    # Begun afresh: a copy of this process would share its progress bar's lock.
    pool = ProcessPoolExecutor(
        min(jobs, len(tasks)), mp_context=get_context("spawn"), initializer=_begin, initargs=(rubric.name, rubric.text),
    )
    # A small class is dealt out in small parcels, so that no process has all of it.
    size = max(1, min(PARCEL, len(tasks) // (4 * jobs)))
    parcels = (tasks[start : start + size] for start in range(0, len(tasks), size))
    under_way: deque[Future] = deque()
    try:
        for parcel in parcels:
            under_way.append(pool.submit(_mark_parcel, parcel))
            if len(under_way) >= UNDER_WAY * jobs:
                yield from under_way.popleft().result()
        while under_way:
            yield from under_way.popleft().result()
    except BrokenProcessPool:
        raise RecordError(
            "a process that was marking was ended from outside; mark again and it goes on from there, with fewer "
            "--jobs if the memory ran out."
        ) from None
    finally:
        pool.shutdown(cancel_futures=True)


_rubric: list[Rubric] = []


def _begin(name: str, text: str) -> None:
    _rubric[:] = [rubric_from(name, text)]


def _mark_parcel(tasks: Iterable[Task]) -> list[tuple[str, str, Marked]]:
    done = (mark_task(task, _rubric[0]) for task in tasks)
    return [
        (learner, digest, (as_line(marks), marks.troubles) if marks is not None else None)
        for learner, digest, marks in done
    ]
