"""The mark book: every learner's marks, recomputed, with everything that could not be marked named.

One learner is marked at a time, from that learner's records alone, here or in other processes, and the result is the
same in any order. Anything wrong inside what was handed in becomes a Trouble and spoils nothing else.
"""

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from pathlib import Path

from kit.errors import RecordError
from kit.marking.by_hand import Given, read_tables
from kit.marking.folder import Handed, find_handed_in, record_in
from kit.marking.marks import LearnerMarks, MarkBook, Row, Trouble, as_line, from_line
from kit.marking.rubric import Rubric, default_rubric
from kit.marking.state import State
from kit.marking.task import Task, plain_name
from kit.marking.together import mark_all

__all__ = ["LearnerMarks", "MarkBook", "Progress", "Row", "Trouble", "forget_state", "mark_folder", "plain_name"]

Progress = Callable[[int, int, str], None]
COURSES_NAMED = 5
LISTS = ("audit.jsonl", "appeals.jsonl", "not-finished.jsonl")  # what marking writes that ends as records do


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
    if out is not None:
        # Marks may lie in the folder that was handed in: the lists an earlier marking wrote there are no records.
        own = out.resolve()
        handed = tuple(one for one in handed if one.path.name not in LISTS or one.path.resolve().parent != own)
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
    done, found, rows = len(handed), {}, {}
    try:
        for learner, digest, marks in mark_all(tasks, rubric, jobs):
            progress(done, total, plain_name(learner))
            done += len(by_learner[learner])
            if state is not None:
                if marks:
                    line, wrong = (as_line(marks), marks.troubles) if isinstance(marks, LearnerMarks) else marks
                    state.add(learner, digest, line, wrong)
            elif isinstance(marks, LearnerMarks):
                found[learner] = marks
            else:
                line, _wrong = marks
                rows |= line.rows
                found[learner] = from_line(line.text, rows.__getitem__)
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


def _by_learner(
    handed: Sequence[Handed], course: str, told: Callable[[int, str], None]
) -> tuple[Mapping[str, list[Handed]], list[Trouble]]:
    """What was handed in by the learner it names; what names none, or another course, is left out and told of."""
    openings = []
    for done, one in enumerate(handed):
        told(done, plain_name(one.name.rpartition("/")[2]))
        openings.append(one.opening())
    courses = Counter(course for learner, course in openings if learner)
    if course and courses and course not in courses:
        there = plain_name(", ".join(sorted(courses)[:COURSES_NAMED]))
        raise RecordError(f"no record here is of the course '{plain_name(course)}'; there are records of {there}.")
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
