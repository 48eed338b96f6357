"""Moderation: a blind sample for a second marker, and how far the two agree.

The sample is drawn from the marks themselves, the same at every run, so that nobody picks it: some near the cut, some
from the top and the bottom, the rest from anywhere. The second marker's table says nothing of what the first gave.
"""

import hashlib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

from kit.errors import RubricError
from kit.marking.by_hand import MET, NOT_YET, read_table
from kit.marking.marks import LearnerMarks
from kit.marking.statistics import agreement
from kit.marking.tables import write_table

HEAD = ("learner", "question", "points", "of", "marker", "note", "answer", "looks for")
# Of the sample, a third each lies nearest to the cut and at the two ends (common practice in moderation).
THIRDS = 3
WORDS = ("", *MET, *NOT_YET)


@dataclass(frozen=True, slots=True, kw_only=True)
class Agreement:
    """What two markers gave the same work: how many both marked, how many alike, kappa, and the mean difference.

    ``kappa`` is None where chance alone would agree on everything; ``apart`` lists learner, question and both marks.
    """

    both: int
    alike: int
    kappa: float | None
    mean_difference: float
    apart: tuple[tuple[str, str, int, int], ...]


def sample(learners: Iterable[LearnerMarks], number: int, cut: int) -> tuple[str, ...]:
    """The names of the learners whose work a second person should mark, in order of name."""
    percents = sorted(
        (one.percent, hashlib.sha256(one.learner.encode("utf-8", "backslashreplace")).hexdigest(),
         one.learner)
        for one in learners if one.of
    )
    if number >= len(percents):
        return tuple(sorted(name for _percent, _draw, name in percents))
    third = number // THIRDS
    near = sorted(percents, key=lambda each: (abs(each[0] - cut), each[1]))[:third]
    ends = [*percents[: third // 2], *percents[len(percents) - (third - third // 2) :]]
    chosen = {name for _percent, _draw, name in (*near, *ends)}
    anywhere = sorted(percents, key=lambda each: each[1])
    for _percent, _draw, name in anywhere:
        if len(chosen) >= number:
            break
        chosen.add(name)
    return tuple(sorted(chosen))


def write_sample(learners: Iterable[LearnerMarks], names: Sequence[str], out: Path) -> Path:
    """Write ``second-marks.csv``: what the sampled learners explained in words, without the first marker's points."""
    wanted = set(names)
    rows = [
        (one.learner, row.question, "", row.by_hand, "", "", row.answer, row.reason)
        for one in learners if one.learner in wanted for row in one.rows if row.by_hand and row.attempts
    ]
    return write_table(out / "second-marks.csv", HEAD, rows)


def compare(first: Path, second: Path) -> Agreement:
    """How far two tables of marks by hand agree, on what both have marked; RubricError where one is no such table."""
    one, other = _points(first), _points(second)
    both = sorted(one.keys() & other.keys())
    pairs = [(one[key], other[key]) for key in both]
    return Agreement(
        both=len(both), alike=sum(a == b for a, b in pairs),
        kappa=agreement([a for a, _ in pairs], [b for _, b in pairs]) if pairs else None,
        mean_difference=sum(b - a for a, b in pairs) / len(pairs) if pairs else 0.0,
        apart=tuple((*key, one[key], other[key]) for key in both if one[key] != other[key]),
    )


def _points(path: Path) -> dict[tuple[str, str], int]:
    found: dict[tuple[str, str], int] = {}
    for line, cells in read_table(path, ("learner", "question", "points")):
        points = cells["points"]
        # What was watched is a word, not points; two who watch the same moment are not two markers of one work.
        if points.lower() in WORDS:
            continue
        if not points.isdecimal():
            raise RubricError(f"{path.name} line {line}: '{points[:20]}' is no whole number of points.")
        found[cells["learner"], cells["question"]] = int(points)
    return found
