"""The demonstration class: thirty invented learners answer the course, are marked, and the report is there to look at.

Each answer and act goes into a record by the very calls the question sheet and the bay make (a test holds the two
side by side), only without drawing anything; what is marked afterwards is those records and nothing else. The work on
jobs is marked but not explained at length, which would take minutes; ``python -m kit mark`` on the same records does.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from kit.cli.invented import Invented, answer_of, invented_class
from kit.cli.invented_work import worked
from kit.errors import RecordError
from kit.exercises import JobQuestion, questions, variant
from kit.exercises.acts import fields_from_act
from kit.exercises.cards import begun, card
from kit.exercises.question import drawn_below
from kit.exercises.work import apply
from kit.marking import MarkBook, mark_folder, write_audit, write_pages, write_sheet, write_tables, write_workbook
from kit.marking.rubric import default_rubric
from kit.records import Record

COURSE = "demonstration"
HANDED_IN, MARKS = "handed-in", "marks"
# What is shown where nobody asks for all: the jobs of the other half are long, and each machine's tables are wanted.
FIRST_HALF = tuple(f"{number:02d}" for number in range(11))
Progress = Callable[[int, int, str], None]


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """What came of it: the learners, their marks, and the page to open."""

    learners: tuple[Invented, ...]
    book: MarkBook
    page: Path


def demonstrate(
    out: Path, progress: Progress = lambda done, total, name: None, *, lessons: Sequence[str] = (), learners: int = 30
) -> Shown:
    """Let the class answer into ``out``/handed-in and mark it into ``out``/marks; the marks can be made anew from it.

    ``lessons`` and ``learners`` make it smaller. Raises RecordError where ``out`` holds records already, or is no place
    to write to.
    """
    handed_in = out / HANDED_IN
    if handed_in.exists() and any(handed_in.iterdir()):
        raise RecordError(f"{handed_in} is not empty; name a folder that is not there yet.")
    wanted = tuple(lessons) or tuple(dict.fromkeys(one.lesson for one in questions().values()))
    invented = invented_class(len(wanted))[:learners]
    # Answering is about as much work as marking.
    total = 2 * len(invented)
    for done, one in enumerate(invented):
        progress(done, total, one.name)
        answer_course(one, wanted[: one.lessons], handed_in)
    rubric = default_rubric()
    book = mark_folder(
        handed_in, lambda done, of, name: progress(len(invented) + done * len(invented) // max(of, 1), total, name),
        rubric=rubric, stories=False,
    )
    marks = out / MARKS
    write_sheet(book, marks)
    write_tables(book, marks)
    write_workbook(book, marks)
    write_audit(book, rubric, marks)
    write_pages(book, marks, rubric)
    return Shown(learners=invented, book=book, page=marks / "index.html")


def answer_course(one: Invented, lessons: Sequence[str], folder: Path) -> Path:
    """One learner's whole record of these lessons, written entry by entry; returns the file."""
    record = Record.open(course=COURSE, learner=one.name, folder=folder)
    for asked in questions().values():
        if asked.lesson not in lessons:
            continue
        if isinstance(asked, JobQuestion):
            work_job(one, asked.card, record)
            continue
        given = variant(asked, COURSE, one.name)
        raw = answer_of(one, asked, given)
        record.append("answer", question=asked.id, version=asked.version, variant=given.key, raw=raw)
    record.close()
    return record.path


def work_job(one: Invented, card_id: str, record: Record) -> None:
    """One learner's work on one card, each act done on the machine and written with what it showed."""
    job = card(card_id)
    faults = job.faults(one.name, COURSE)
    wandering = [drawn_below(10_000, "invented", one.works_as, card_id, str(n)) for n in range(3)]
    situation = begun(job, faults)
    for act in worked(job, faults, one.way, wandering):
        step = apply(situation, act)
        record.append(
            "act", job=job.id, version=job.version, **fields_from_act(act), shown=step.reading or step.shown,
        )
        situation = step.situation
