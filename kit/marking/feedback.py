"""What a learner is told besides the marks: which ideas the answers agree with, and what to practise next.

An idea is named only when two different exercises agree on it, and then as something the answers are consistent with: a
wrong answer alone can be a slip, and nobody sees into a head. The learner reads the same words the assessor does.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from kit.exercises import Idea
from kit.marking.marks import LearnerMarks, Row

AGREEING = 2
MOST_TO_PRACTISE = 6


@dataclass(frozen=True, slots=True, kw_only=True)
class Agreement:
    """An idea, and the exercises whose counted answers are consistent with it."""

    idea: Idea
    questions: tuple[str, ...]

    @property
    def named(self) -> bool:
        return len(self.questions) >= AGREEING


@dataclass(frozen=True, slots=True, kw_only=True)
class Practice:
    """One thing to practise: the exercise, its title, and more about how, where there is more to say."""

    question: str
    title: str
    how: str

    @property
    def lesson(self) -> str:
        return self.question.split(".")[0]


def agreements(one: LearnerMarks) -> tuple[Agreement, ...]:
    """Every idea any counted answer is consistent with, those with most answers first."""
    found: dict[str, tuple[Idea, list[str]]] = {}
    for row in one.rows:
        for idea in row.ideas if lost(row) else ():
            found.setdefault(idea.id, (idea, []))[1].append(row.question)
    made = [Agreement(idea=idea, questions=tuple(names)) for idea, names in found.values()]
    return tuple(sorted(made, key=lambda each: (-len(each.questions), each.idea.id)))


def named_ideas(one: LearnerMarks) -> tuple[Agreement, ...]:
    """The ideas that two exercises or more agree on."""
    return tuple(each for each in agreements(one) if each.named)


def lost(row: Row) -> bool:
    """Whether an answer that counts left points of the kit's lying."""
    return bool(row.attempts) and row.kit_points < row.kit_of


def practice(one: LearnerMarks) -> tuple[Practice, ...]:
    """What is most worth practising, a handful: what an idea stands behind, then what earned least, then jobs."""
    behind = {name: len(each.questions) for each in named_ideas(one) for name in each.questions}
    missed = [row for row in one.rows if lost(row) and row.kind != "job"]
    missed.sort(key=lambda row: (-behind.get(row.question, 0), row.kit_points / row.kit_of))
    jobs = [row for row in one.rows if row.kind == "job" and row.attempts and not row.passed]
    jobs.sort(key=lambda row: row.kit_points)
    kept = missed[: MOST_TO_PRACTISE - min(len(jobs), 2)]
    return (*_exercises(kept), *_jobs(jobs[:2]))


def _exercises(rows: Iterable[Row]) -> Iterable[Practice]:
    for row in rows:
        how = f"(practised on {row.fresh} more like it already)" if row.fresh else ""
        yield Practice(question=row.question, title=row.title, how=how)


def _jobs(rows: Iterable[Row]) -> Iterable[Practice]:
    for row in rows:
        weak = min(row.lines, key=lambda line: line.points / line.of if line.of else 1, default=None)
        line = f" Most was lost on “{weak.what}”: {weak.why}" if weak is not None and weak.points < weak.of else ""
        yield Practice(question=row.question, title=row.title, how=f"– work it again, for practice.{line}")
