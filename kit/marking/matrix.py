"""Criteria beside the evidence for them: met, not yet, or not enough to say. The kit proposes, a person decides.

The rule, in full. A piece of evidence is one exercise that was answered, one job that was handed back, or one
practical in which a person watched the criterion; what waits for a person is none yet. It speaks for a criterion when
it earned the rubric's share of what the criterion asks of it: of a job, the line that is about the criterion; of a
practical, that it was met. A criterion is not decided on fewer pieces, or fewer machines, than the rubric wants, nor by
the kit alone where it has to be seen done by hand. Otherwise it is met when the same share of all pieces speaks for it.
Where a person saw it done more than once the newest decides: not yet there, and it is not yet met. An unsafe act on a
job is not averaged away: "safe" is not yet met, whatever else was done.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from enum import Enum

from kit.exercises import questions
from kit.exercises.criteria import CRITERIA, Criterion
from kit.marking.marks import LearnerMarks, Observed, Row
from kit.marking.practicals import newest
from kit.marking.rubric import LINES, Rubric

# Which lines of a job's mark a criterion is about; the others it takes from the whole of the mark.
ABOUT_LINES = {
    "safe": ("prepared",), "prove": ("prepared",), "find": ("located",), "suspects": ("located",), "cause": ("cause",),
    "repair": ("repaired",), "measure": ("sheet",), "report": ("sheet",),
}
UNSAFE = "A"
PRACTICAL = "P"  # what a practical's name begins with among the pieces


class Proposal(Enum):
    """What is proposed of a criterion; the letter stands for it where there is little room."""

    MET = ("met", "M")
    NOT_YET = ("not yet", "N")
    TOO_LITTLE = ("not enough evidence", "?")

    @property
    def word(self) -> str:
        return self.value[0]

    @property
    def letter(self) -> str:
        return self.value[1]


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """One exercise or practical (``P06``) as evidence: its machine, and its points of so many for this criterion.

    ``speaks_for`` tells whether they are enough.
    """

    question: str
    machine: str
    points: int
    of: int
    speaks_for: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """What is proposed of one criterion for one learner, on which pieces, and why in a sentence."""

    criterion: Criterion
    proposal: Proposal
    pieces: tuple[Piece, ...]
    observed: Observed | None
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Coverage:
    """What a course has for one criterion: its exercises and their machines, and what is missing (empty: nothing)."""

    criterion: Criterion
    exercises: tuple[str, ...]
    machines: tuple[str, ...]
    missing: str


def standings(one: LearnerMarks, rubric: Rubric) -> tuple[Standing, ...]:
    """A learner's standing on every criterion, in the criteria's order."""
    return tuple(_standing(criterion, one, rubric) for criterion in CRITERIA.values())


def coverage(rubric: Rubric, lessons: Iterable[str] = ()) -> tuple[Coverage, ...]:
    """What the questions of these lessons (of all, where none is named) are evidence for, criterion by criterion."""
    wanted = set(lessons)
    asked = [one for one in questions().values() if not wanted or one.lesson in wanted]
    found = []
    for criterion in CRITERIA.values():
        mine = [one for one in asked if criterion.id in one.criteria]
        machines = tuple(dict.fromkeys(one.picture.machine for one in mine))
        missing = "" if mine else "no exercise covers it"
        if mine and (len(mine) < rubric.exercises or len(machines) < rubric.machines):
            missing = (f"{_count(len(mine), 'exercise')} on {_count(len(machines), 'machine')}; the rubric wants "
                       f"{rubric.exercises} on {rubric.machines}")
        found.append(Coverage(
            criterion=criterion, exercises=tuple(one.id for one in mine), machines=machines, missing=missing,
        ))
    return tuple(found)


def handed_back(row: Row) -> bool:
    """Whether the work of a row is done: any answer, and of a job a machine that was handed back."""
    if not row.attempts:
        return False
    acts = row.raw if row.kind == "job" and isinstance(row.raw, Sequence) else ()
    return row.kind != "job" or any(isinstance(act, dict) and act.get("act") == "hand back" for act in acts)


def _standing(criterion: Criterion, one: LearnerMarks, rubric: Rubric) -> Standing:
    rows = [row for row in one.rows if criterion.id in row.criteria and handed_back(row)]
    observed = [each for each in one.observed if each.criterion == criterion.id]
    pieces = (*(piece for row in rows for piece in _pieces(criterion, row, rubric)), *_practised(observed))
    seen = newest(observed)
    unsafe = [row.question for row in rows if any(cap.startswith(f"{UNSAFE}:") for cap in row.caps)]
    # An unsafe act speaks against "safe" on any job, also where the job is not there as evidence for it.
    if criterion.id == "safe":
        unsafe = [row.question for row in one.rows if any(cap.startswith(f"{UNSAFE}:") for cap in row.caps)]
    proposal, why = _proposed(criterion, pieces, seen, unsafe if criterion.id == "safe" else [], rubric)
    return Standing(criterion=criterion, proposal=proposal, pieces=pieces, observed=seen, why=why)


def _proposed(
    criterion: Criterion, pieces: Sequence[Piece], seen: Observed | None, unsafe: Sequence[str], rubric: Rubric
) -> tuple[Proposal, str]:
    machines = {piece.machine for piece in pieces}
    speaking = [piece for piece in pieces if piece.speaks_for]
    noun = "piece" if any(piece.question.startswith(PRACTICAL) for piece in pieces) else "exercise"
    told = f"{len(speaking)} of {_count(len(pieces), noun)} speak{'s' if len(speaking) == 1 else ''} for it"
    where = f" in practical {seen.practical}, {seen.date}" if seen is not None and seen.practical else ""
    if unsafe:
        return Proposal.NOT_YET, f"An unsafe act in {', '.join(unsafe)}; it is not averaged away."
    if seen is not None and not seen.met:
        return Proposal.NOT_YET, f"{seen.marker} saw it done{where}, and not yet well enough; {told}."
    if len(pieces) < rubric.exercises or len(machines) < rubric.machines:
        return Proposal.TOO_LITTLE, (
            f"{_count(len(pieces), noun)} on {_count(len(machines), 'machine')}; it takes {rubric.exercises} on "
            f"{rubric.machines} to say.")
    if 100 * len(speaking) < rubric.share * len(pieces):
        return Proposal.NOT_YET, f"{told}; {rubric.share} % are wanted."
    if criterion.by_hand and seen is None:
        return Proposal.TOO_LITTLE, f"{told}; a person has to see it done on real metal before it can be met."
    by = f", and {seen.marker} saw it done{where}" if seen is not None else ""
    return Proposal.MET, f"{told}{by}."


def _pieces(criterion: Criterion, row: Row, rubric: Rubric) -> Iterable[Piece]:
    """The row as evidence, or nothing where a person has not marked it yet.

    Points are those before weights, hints and lateness: what was shown, not what it counts.
    """
    points, of = row.kit_points, row.kit_of
    if row.by_hand:
        points, of = (row.hand, row.by_hand) if row.hand is not None else (0, 0)
    wanted = ABOUT_LINES.get(criterion.id, ())
    if row.lines and wanted:
        lines = [line for name, line in zip(LINES, row.lines, strict=False) if name in wanted]
        points, of = sum(line.points for line in lines), sum(line.of for line in lines)
    if of:
        yield Piece(
            question=row.question, machine=row.machine, points=points, of=of,
            speaks_for=100 * points >= rubric.share * of,
        )


def _practised(observed: Iterable[Observed]) -> Iterable[Piece]:
    """What was watched in practicals, each one piece on the machine or board it was done on."""
    for seen in observed:
        if seen.practical:
            machine = " ".join(seen.machine.split()).casefold()
            yield Piece(
                question=f"{PRACTICAL}{seen.practical}", machine=machine, points=int(seen.met), of=1,
                speaks_for=seen.met,
            )


def _count(number: int, noun: str) -> str:
    return f"{number} {noun}{'' if number == 1 else 's'}"
