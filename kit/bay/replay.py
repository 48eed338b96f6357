"""A learner's record as moves on a machine, for the whole room to look at; and how far a class has come. Read only."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

from kit.bay.scene import line
from kit.errors import KitError, OperationError
from kit.exercises.acts import (
    TIDY,
    Again,
    Ask,
    Explain,
    Find,
    HandBack,
    Note,
    Prepare,
    Reason,
    Refer,
    Tidy,
    Undo,
    Verify,
    act_from_fields,
)
from kit.exercises.cards import JobCard, begun, card
from kit.exercises.progress import progress
from kit.exercises.situation import Situation, Step
from kit.exercises.work import apply
from kit.records import Entry, find_records, read_record

MOST_MOVES = 400


@dataclass(frozen=True, slots=True, kw_only=True)
class Work:
    """All that one learner recorded on one course: entries oldest first, and how much of it could not be read."""

    learner: str
    course: str
    entries: tuple[Entry, ...]
    troubles: int

    def jobs(self) -> dict[str, tuple[Entry, ...]]:
        """The acts on each job card this kit has, oldest first."""
        found: dict[str, list[Entry]] = {}
        for entry in self.entries:
            if entry.kind == "act" and isinstance(entry.fields.get("job"), str):
                found.setdefault(entry.fields["job"], []).append(entry)
        return {job: tuple(acts) for job, acts in found.items() if _known(job)}


def works(folder: Path) -> tuple[Work, ...]:
    """The work of everybody whose records lie in a folder or below it, by name. Raises RecordError where none does."""
    gathered: dict[tuple[str, str], tuple[list[Entry], list[int]]] = {}
    for path in find_records(folder):
        record = read_record(path)
        if record.learner:
            entries, troubles = gathered.setdefault((record.learner, record.course), ([], []))
            entries += record.entries
            troubles.append(len(record.problems))
    return tuple(
        Work(learner=learner, course=course, troubles=sum(troubles),
             entries=tuple(sorted(entries, key=lambda entry: entry.at)))
        for (learner, course), (entries, troubles) in sorted(gathered.items())
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class Replay:
    """One learner's work on one job: the machine as it was met, and what was done, step by step."""

    job: JobCard
    title: str
    first: Situation
    steps: tuple[Step, ...]

    def at(self, move: int) -> tuple[Situation, tuple[Step, ...]]:
        """How the machine was met, and the steps, up to this move (0: nothing done), since it was last begun again."""
        done = self.steps[:move]
        fresh = max((n for n, step in enumerate(done) if isinstance(step.act, Again)), default=None)
        return (self.first, done) if fresh is None else (done[fresh].situation, done[fresh + 1:])

    def told(self, move: int) -> dict:
        """A move in words: what was done, what it showed, its minutes, and the minutes so far."""
        if move == 0:
            return {"done": "The machine as it came in.", "shown": "", "minutes": 0}
        step = self.steps[move - 1]
        entry = line(self.first.machine, move - 1, step)
        shown = "" if entry["shown"] == "noted" else entry["shown"]
        return {"done": entry["done"] or in_words(step.act, self.job), "shown": shown, "minutes": entry["minutes"]}


def replay(work: Work, job: str) -> Replay:
    """The moves of one learner on a job card; what this kit cannot do again is left out and the title says so.

    Raises OperationError where the learner has done nothing on it.
    """
    chosen = card(job)
    acts = [entry for entry in work.jobs().get(job, ()) if entry.fields.get("version") == chosen.version]
    if not acts:
        raise OperationError(f"{work.learner} has done nothing on {job} that this kit can do again.")
    first = begun(chosen, chosen.faults(work.learner, work.course))
    steps: list[Step] = []
    lost = max(0, len(acts) - MOST_MOVES)
    for entry in acts[:MOST_MOVES]:
        try:
            steps.append(apply(steps[-1].situation if steps else first, act_from_fields(entry.fields)))
        except KitError:
            lost += 1
    title = f"{work.learner}, {job}: {chosen.machine.title}"
    return Replay(job=chosen, title=f"{title} ({lost} left out)" if lost else title, first=first, steps=tuple(steps))


def in_words(act: object, job: JobCard) -> str:
    """What was done on a job, for an act that is no line of the test sheet; ticks in the card's own words."""
    match act:
        case Prepare(step=step):
            return f"got ready: {job.preparations.get(step, step)}"
        case Tidy(step=step):
            return f"tidied up: {TIDY.get(step, step)}"
        case Ask(question=asked):
            return f"asked the owner: {asked}"
        case Note(part=part, fault=fault, text=text):
            return f"suspects {' '.join(filter(None, (part, fault)))}, because {text}" if part else f"noted: {text}"
        case Find(role=role, part=part, fault=fault):
            return f"{'the cause' if role == 'cause' else 'what is wrong'}: {part} {fault}"
        case Refer(part=part, text=text):
            return f"referred {part}: {text}"
        case Reason(reading=number, text=text):
            return f"why line {number + 1}: {text}"
        case Undo(reading=number):
            return f"withdrew line {number + 1}"
        case Explain(text=text):
            return f"told the owner: {text}"
        case Verify():
            return "verified: the complaint is gone"
        case HandBack():
            return "handed the machine back"
        case Again():
            return "began again"
    return ""


def wall(found: Iterable[Work]) -> dict:
    """How far each of a class is: a row a learner, a column a lesson begun by anybody, and the jobs."""
    rows, begun_lessons = [], set()
    for work in found:
        standing = progress(work.entries, work.course, work.learner)
        lessons = {one.question.lesson for one in standing if one.answered}
        begun_lessons |= lessons
        rows.append({
            "learner": work.learner, "course": work.course, "last": work.entries[-1].at[:16].replace("T", " "),
            "lessons": {lesson: _lesson([one for one in standing if one.question.lesson == lesson])
                        for lesson in sorted(lessons)},
            "jobs": [_job(job, acts) for job, acts in work.jobs().items()], "troubles": work.troubles,
        })
    return {"lessons": sorted(begun_lessons), "rows": rows}


def _lesson(standing: Sequence) -> str:
    """How a lesson stands, in figures: what was answered, what of it right, what sure."""
    answered = [one for one in standing if one.answered]
    right = sum(one.of > 0 and one.points == one.of for one in answered)
    sure = sum(one.sure for one in answered)
    return f"{len(answered)} of {len(standing)} answered, {right} right" + (f", {sure} sure" if sure else "")


def _job(job: str, acts: Sequence[Entry]) -> str:
    """How a job stands, in a few words."""
    handed_back = any(entry.fields["act"] == "hand back" for entry in acts)
    count = len(acts)
    return f"{job} {'handed back' if handed_back else 'at work'}, {count} act{'' if count == 1 else 's'}"


def _known(job: str) -> JobCard | None:
    try:
        return card(job)
    except KitError:
        return None
