"""What the marks of a class say about the class and about the exercises: figures for a person to think about.

Exercises are compared on the learners who have all of them in front of them: those that at least half of the class met
with, and whoever met with all of these; what was not answered earned nothing. What waits for a person's marks is left
out.
"""

import math
from array import array
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from kit.exercises import IDEAS, Idea
from kit.marking.feedback import agreements, lost
from kit.marking.marks import LearnerMarks, Row
from kit.marking.matrix import Coverage, Proposal, coverage, standings
from kit.marking.rubric import Rubric
from kit.marking.statistics import FEW, Item, Reliability, items, reliability

BINS = 10
# When an exercise is worth a look (common practice in item analysis): nearly nobody or nearly everybody gets it, those
# who do well on the rest do no better on it, many leave it out, or many give one wrong answer that no idea explains.
HARD, EASY, TELLING, LEFT_OUT, SAME_WRONG = 0.3, 0.97, 0.2, 0.4, 0.25
SURE = 1.96  # standard errors to either side, for 95 %


@dataclass(frozen=True, slots=True, kw_only=True)
class Exercise:
    """One exercise in figures: how many answered it, its item figures, and why it is worth a look (mostly nothing)."""

    question: str
    title: str
    kind: str
    answered: int
    met_with: int
    item: Item | None
    look: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class IdeaAbout:
    """An idea that is about: learners whose answers agree on it, and those with a single answer of the kind."""

    idea: Idea
    named: tuple[str, ...]
    once: int


@dataclass(frozen=True, slots=True, kw_only=True)
class CriterionCount:
    """How many learners of the class are proposed what on one criterion."""

    coverage: Coverage
    counts: tuple[tuple[Proposal, int], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ClassReport:
    """The class at a glance. ``bins`` count learners by tenths of the points; ``few`` says figures say little yet."""

    learners: int
    bins: tuple[int, ...]
    cut: int
    at_the_cut: int
    exercises: tuple[Exercise, ...]
    compared: int
    items: int
    reliability: Reliability | None
    points: float
    ideas: tuple[IdeaAbout, ...]
    criteria: tuple[CriterionCount, ...]
    few: bool

    @property
    def to_look_at(self) -> tuple[Exercise, ...]:
        return tuple(each for each in self.exercises if each.look)


class Tally:
    """What is kept of each learner while the marks go by, one after another; ``report`` says what it comes to."""

    def __init__(self, rubric: Rubric) -> None:
        self.rubric = rubric
        self.bins, self.at_the_cut, self.learners = [0] * BINS, 0, 0
        self.titles: dict[str, tuple[str, str]] = {}
        self.of: dict[str, int] = {}
        self.met_with: Counter[str] = Counter()
        self.answered: Counter[str] = Counter()
        self.wrong: dict[str, Counter[str]] = {}
        # A figure for each exercise in the order they were met with; no number where there is nothing to compare.
        self.scores: list[array] = []
        self.named: dict[str, list[str]] = {}
        self.once: Counter[str] = Counter()
        self.proposals: dict[str, Counter[Proposal]] = {}

    def take(self, one: LearnerMarks) -> None:
        """Count one learner in."""
        self.learners += 1
        if one.of:
            self.bins[min(BINS - 1, BINS * one.points // one.of)] += 1
            self.at_the_cut += one.percent >= self.rubric.cut
        mine: dict[str, float] = {}
        for row in one.rows:
            self._row(row, mine)
        self.scores.append(array("d", (mine.get(name, math.nan) for name in self.titles)))
        for each in agreements(one):
            if each.named:
                self.named.setdefault(each.idea.id, []).append(one.learner)
            else:
                self.once[each.idea.id] += 1
        for standing in standings(one, self.rubric):
            self.proposals.setdefault(standing.criterion.id, Counter())[standing.proposal] += 1

    def _row(self, row: Row, mine: dict[str, float]) -> None:
        self.titles.setdefault(row.question, (row.title, row.kind))
        self.met_with[row.question] += 1
        self.answered[row.question] += bool(row.attempts)
        if lost(row) and row.kind != "job" and not row.ideas:
            self.wrong.setdefault(row.question, Counter())[f"{row.variant} {row.answer}"] += 1
        if row.waits:
            return
        if row.of:
            # A variant may have a row more or less; the share of its own points is what can be compared.
            mine[row.question] = row.points / row.of
            self.of[row.question] = max(self.of.get(row.question, 0), row.of)


def class_report(learners: Iterable[LearnerMarks], rubric: Rubric) -> ClassReport:
    """The report of a whole class under a rubric."""
    tally = Tally(rubric)
    for one in learners:
        tally.take(one)
    return report(tally)


def report(tally: Tally) -> ClassReport:
    """What was counted comes to this."""
    names = list(tally.titles)
    half = tally.learners / 2
    # An exercise a person has to mark by hand first must not keep the whole class from being compared.
    places = [
        place for place, name in enumerate(names)
        if tally.titles[name][1] != "explain" and sum(_has(mine, place) for mine in tally.scores) >= half
    ]
    of = [tally.of[names[place]] for place in places]
    scores = [
        [mine[place] * most for place, most in zip(places, of, strict=True)]
        for mine in tally.scores if all(_has(mine, place) for place in places)
    ]
    figures = dict(zip((names[place] for place in places), items(scores, of), strict=True)) if scores else {}
    enough = len(scores) >= FEW
    return ClassReport(
        learners=tally.learners, bins=tuple(tally.bins), cut=tally.rubric.cut, at_the_cut=tally.at_the_cut,
        exercises=tuple(_exercise(name, tally, figures.get(name), enough=enough) for name in names),
        compared=len(scores), items=len(places),
        reliability=reliability(scores, of, cut=tally.rubric.cut / 100 * sum(of)) if scores else None, points=sum(of),
        ideas=tuple(_ideas(tally)), criteria=tuple(_criteria(tally)), few=not enough,
    )


def _has(mine: array, place: int) -> bool:
    return place < len(mine) and not math.isnan(mine[place])


def _exercise(name: str, tally: Tally, item: Item | None, *, enough: bool) -> Exercise:
    title, kind = tally.titles[name]
    answered, met_with = tally.answered[name], tally.met_with[name]
    return Exercise(
        question=name, title=title, kind=kind, answered=answered, met_with=met_with, item=item,
        look=tuple(_worth_a_look(name, tally, item)) if enough else (),
    )


def _worth_a_look(name: str, tally: Tally, item: Item | None) -> Iterable[str]:
    answered, met_with = tally.answered[name], tally.met_with[name]
    if answered < (1 - LEFT_OUT) * met_with:
        yield f"{met_with - answered} of {met_with} left it out"
    if item is not None and item.difficulty < HARD:
        yield f"on average {100 * item.difficulty:.0f} % of its points: too hard, or not taught yet?"
    if item is not None and item.difficulty > EASY:
        yield "nearly everybody has all of it: it tells nobody apart (well, if that is what it is for)"
    if item is not None and item.rest is not None and item.difficulty <= EASY and _surely(item.rest, tally) < TELLING:
        yield f"who does well on the rest does no better on it (correlation {item.rest:.2f}): is it clear?"
    for _given, number in tally.wrong.get(name, Counter()).most_common(1):
        if number >= max(3, SAME_WRONG * answered):
            yield f"{number} gave the same wrong answer, and no idea the kit knows explains it"


def _surely(rest: float, tally: Tally) -> float:
    """The highest a correlation may well be in truth (Fisher 1921): one of a small class jumps about a good deal."""
    held = min(max(rest, -0.999), 0.999)
    return math.tanh(math.atanh(held) + SURE / math.sqrt(max(tally.learners - 3, 1)))


def _ideas(tally: Tally) -> Iterable[IdeaAbout]:
    for name in sorted({*tally.named, *tally.once}, key=lambda name: (-len(tally.named.get(name, ())), name)):
        yield IdeaAbout(idea=IDEAS[name], named=tuple(tally.named.get(name, ())), once=tally.once[name])


def _criteria(tally: Tally) -> Iterable[CriterionCount]:
    # What the course offers, and not only what this class has got to.
    for each in coverage(tally.rubric):
        counts = tally.proposals.get(each.criterion.id, Counter())
        yield CriterionCount(coverage=each, counts=tuple((proposal, counts[proposal]) for proposal in Proposal))


def bars(found: ClassReport) -> Sequence[dict[str, float | int | str]]:
    """The bars of the distribution in a box 100 wide and 40 high, each with its count and its words."""
    most = max(found.bins, default=0) or 1
    return [
        {"x": 10 * place + 0.6, "y": 40 - 36 * number / most, "height": 36 * number / most, "number": number,
         "words": f"{10 * place} to {10 * place + (9 if place < BINS - 1 else 10)} %: {number}"}
        for place, number in enumerate(found.bins)
    ]
