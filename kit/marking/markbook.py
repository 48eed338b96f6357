"""The mark book: every learner's marks, recomputed, with everything that could not be marked named.

Which attempt counts: of a choice or a number, the last answer that could be read; of a prediction, the first one, for
the readings are shown after it; of a job, the work up to the first time the machine was handed back. A learner has a
row for every question of each lesson begun.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path

from kit.exercises import (
    IDEAS,
    AnyQuestion,
    Choice,
    Idea,
    JobQuestion,
    Mark,
    answer_form,
    mark,
    points_of,
    questions,
    variant,
)
from kit.exercises.choice import chosen_option
from kit.exercises.library import locks
from kit.exercises.question import Words
from kit.marking.attempts import Attempt, sort_attempts
from kit.marking.folder import find_records
from kit.records import RecordFile, read_record

Progress = Callable[[int, int, str], None]
LONGEST_ANSWER = 400


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One learner's mark for one question; ``attempts`` counts what was understood, ``note`` says what counted."""

    question: str
    version: int
    title: str
    prompt: str
    answer: str
    points: int
    of: int
    attempts: int
    note: str
    reason: str
    ideas: tuple[Idea, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Trouble:
    """Something that was left out of the marking, or that a person should look at."""

    file: str
    line: int
    learner: str
    question: str
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LearnerMarks:
    """All of a learner's rows."""

    learner: str
    rows: tuple[Row, ...]
    troubles: tuple[Trouble, ...]

    @property
    def points(self) -> int:
        return sum(row.points for row in self.rows)

    @property
    def of(self) -> int:
        return sum(row.of for row in self.rows)


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkBook:
    """The whole class, in order of name, and all that went wrong."""

    learners: tuple[LearnerMarks, ...]
    troubles: tuple[Trouble, ...]


def mark_folder(folder: Path, progress: Progress = lambda done, total, name: None) -> MarkBook:
    """Mark every record in a folder. ``progress`` is told how many of how many steps are done, and on what.

    Raises RecordError where there is nothing to mark; anything wrong inside a record becomes a Trouble.
    """
    paths = find_records(folder)
    total = 2 * len(paths)
    troubles: list[Trouble] = []
    records: dict[str, list[RecordFile]] = {}
    for done, path in enumerate(paths):
        progress(done, total, plain_name(path.name))
        record = read_record(path)
        troubles += [_trouble(record, folder, problem.text, line=problem.line) for problem in record.problems]
        if record.entries:
            records.setdefault(record.learner, []).append(record)
    rows, done = {}, len(paths)
    for learner in sorted(records):
        progress(done, total, learner)
        done += len(records[learner])
        single, copies = _without_copies(records[learner], folder)
        troubles += copies
        rows[learner], refused = _mark_learner(single, folder)
        troubles += refused
    progress(total, total, "")
    learners = tuple(
        LearnerMarks(learner=name, rows=found, troubles=tuple(one for one in troubles if one.learner == name))
        for name, found in rows.items()
    )
    return MarkBook(learners=learners, troubles=tuple(troubles))


def _without_copies(records: list[RecordFile], folder: Path) -> tuple[list[RecordFile], list[Trouble]]:
    """One of each record: a file handed in twice counts once, in its longer state."""
    kept: dict[tuple[str, str], RecordFile] = {}
    troubles = []
    for record in records:
        opened = (record.course, record.entries[0].at)
        if opened not in kept:
            kept[opened] = record
            continue
        short, long = sorted((kept[opened], record), key=lambda one: len(one.entries))
        kept[opened] = long
        troubles.append(_trouble(short, folder, f"the same record as {long.path.name}, which was taken instead"))
    parents = sorted({str(record.path.parent.relative_to(folder)) for record in kept.values()})
    if len(parents) > 1:
        text = f"records that name this learner came from {len(parents)} folders; they were taken as one person's"
        learner = records[0].learner
        troubles.append(Trouble(file=plain_name(", ".join(parents)), line=0, learner=learner, question="", text=text))
    return list(kept.values()), troubles


def _mark_learner(records: list[RecordFile], folder: Path) -> tuple[tuple[Row, ...], list[Trouble]]:
    attempts: dict[str, list[Attempt]] = {}
    found, refused = sort_attempts(records)
    for attempt in found:
        attempts.setdefault(attempt.question.id, []).append(attempt)
    troubles = [_trouble(one.record, folder, one.text, question=one.question) for one in refused]
    begun = {questions()[name].lesson for name in attempts}
    rows = tuple(
        _row(item, attempts.get(item.id, []), records[0])
        for item in questions().values()
        if item.lesson in begun
    )
    return rows, troubles


def _row(question: AnyQuestion, attempts: list[Attempt], record: RecordFile) -> Row:
    # Fresh variants are for practice: they are told of, and change no marks.
    practised = [one for one in attempts if one.variant.edition]
    attempts = [one for one in attempts if not one.variant.edition]
    marked = [(attempt, mark(question, attempt.variant, attempt.raw)) for attempt in attempts]
    read = [(attempt, got) for attempt, got in marked if got.understood]
    unread = len(marked) - len(read)
    notes = [f"{unread} could not be read"] if unread else []
    if read:
        counted, got = _counting(question, read)
        notes[:0] = _which_counts(question, counted, len(read))
    else:
        drawn = marked[-1][0].variant if marked else variant(question, record.course, record.learner)
        counted = Attempt(at="", question=question, variant=drawn, raw="")
        got = Mark(points=0, of=points_of(question, drawn), reason="")
        notes.insert(0, "not answered")
    if practised:
        editions = {one.variant.edition: one for one in practised}
        whole = sum(got.points == got.of for one in editions.values()
                    for got in (mark(question, one.variant, one.raw),))
        notes.append(f"practised on {len(editions)} more like it, {whole} right in the end")
    return Row(
        question=question.id, version=question.version, title=question.title,
        prompt=str(answer_form(question, counted.variant)["prompt"]), answer=_shown(counted),
        points=got.points, of=got.of, attempts=len(read), note="; ".join(notes), reason=got.reason,
        ideas=tuple(IDEAS[idea] for idea in got.ideas),
    )


def _counting(question: AnyQuestion, read: list[tuple[Attempt, Mark]]) -> tuple[Attempt, Mark]:
    match question:
        case JobQuestion():
            return max(read, key=lambda pair: pair[1].points)
        case _:
            return read[0] if locks(question) else read[-1]


def _which_counts(question: AnyQuestion, counted: Attempt, number: int) -> list[str]:
    """What the note says about which attempt counts, where there is anything to say."""
    if isinstance(question, JobQuestion):
        acts = [fields.get("act") for fields in counted.raw]
        if "hand back" not in acts:
            return ["not handed back yet"]
        return ["worked again for practice; the first time counts"] if "again" in acts else []
    if number == 1:
        return []
    return [f"{number} answers, the {'first' if locks(question) else 'last'} one counts"]


def _shown(attempt: Attempt) -> str:
    """A raw answer as text for a person."""
    match attempt.question, attempt.raw:
        case Choice() as choice, raw:
            option = chosen_option(choice, attempt.variant, raw)
            text = str(raw) if option is None else Words(choice, attempt.variant).fill(option.text)
        case JobQuestion(), list() as raw:
            text = f"{len(raw)} acts"
        case _, Mapping() as raw:
            text = "; ".join(f"{name}: {_cells(cells)}" for name, cells in raw.items())
        case _, list() as raw:
            text = "; ".join(_cells(row) for row in raw)
        case _, raw:
            text = str(raw)
    return text if len(text) <= LONGEST_ANSWER else text[: LONGEST_ANSWER - 3] + "..."


def _cells(cells: object) -> str:
    if isinstance(cells, Mapping):
        cells = list(cells.values())
    return ", ".join(str(cell) for cell in cells) if isinstance(cells, (list, tuple)) else str(cells)


def plain_name(name: str) -> str:
    """A name or a line of text with nothing in it that a screen or a table could trip over."""
    return "".join(sign if sign.isprintable() else "\N{REPLACEMENT CHARACTER}" for sign in name)


def _trouble(record: RecordFile, folder: Path, text: str, *, line: int = 0, question: str = "") -> Trouble:
    name = plain_name(str(record.path.relative_to(folder)))
    return Trouble(file=name, line=line, learner=record.learner, question=plain_name(question), text=plain_name(text))
