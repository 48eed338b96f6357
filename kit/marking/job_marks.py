"""A reviewed job under a rubric: other worths for its lines, caps on or off, and what makes it a pass."""

from dataclasses import dataclass

from kit.exercises.caps import limited
from kit.exercises.jobs import Review
from kit.marking.marks import JobLine
from kit.marking.rubric import LINES, Rubric

# What the lines are worth where a rubric says nothing (kit.exercises.jobs); the order of the tests takes its points
# from the test sheet.
WORTHS = (15, 10, 30, 15, 15, 5, 10)
LOCATED = LINES.index("located")


@dataclass(frozen=True, slots=True)
class Reviewed:
    """A review, how many acts were done, and how many made no sense on the machine."""

    review: Review
    done: int
    passed_over: int


@dataclass(frozen=True, slots=True, kw_only=True)
class JobMark:
    """A job's mark under a rubric; ``reason`` has a line for every line of it."""

    points: int
    of: int
    lines: tuple[JobLine, ...]
    caps: tuple[str, ...]
    passed: bool
    reason: str


def mark_job(reviewed: Reviewed, rubric: Rubric) -> JobMark:
    """Weigh a review's lines, limit the sum by its caps, and say whether it is a pass.

    A line that is worth more or less than usual keeps its share, rounded down. A dangerous act is named, and is no
    pass, whatever the rubric says of caps.
    """
    found = reviewed.review
    lines = tuple(
        JobLine(what=line.what, points=line.points * worth // line.of, of=worth, why=line.why)
        for line, worth in zip(found.lines, _worths(rubric, [line.of for line in found.lines]), strict=True)
    )
    total, of = sum(line.points for line in lines), sum(line.of for line in lines)
    points = total
    if rubric.caps and of:
        # A cap is so many of a hundred, whatever the lines are worth.
        points = limited(total, found.caps) if of == 100 else limited(100 * total // of, found.caps) * of // 100
        points = min(points, total)
    dangerous = any(cap.letter == "A" for cap in found.caps)
    located = lines[LOCATED]
    justified = 100 * located.points >= rubric.justified_at * located.of
    passed = not dangerous and points >= rubric.pass_at and justified and found.whole
    reason = [f"{line.what}: {line.points} of {line.of}. {line.why}" for line in lines]
    if found.cap and rubric.caps:
        reason.insert(0, found.cap)
    elif found.caps:
        reason.insert(0, " ".join(cap.why for cap in found.caps))
    reason.append("Passed." if passed else "Not yet a pass.")
    if reviewed.passed_over:
        reason.append(f"Acts that made no sense on this machine and were passed over: {reviewed.passed_over}.")
    return JobMark(
        points=points, of=of, lines=lines, caps=tuple(f"{cap.letter}: {cap.why}" for cap in found.caps), passed=passed,
        reason="\n".join(reason),
    )


def worth_of_job(rubric: Rubric, *, efficiency: int) -> int:
    """The most points a job can earn; ``efficiency`` of them are for the order of its tests."""
    usual = [*WORTHS[:-1], WORTHS[-1] - efficiency, *([efficiency] if efficiency else [])]
    return sum(_worths(rubric, usual))


def _worths(rubric: Rubric, usual: list[int]) -> list[int]:
    return [rubric.lines.get(name, of) for name, of in zip(LINES, usual, strict=False)]
