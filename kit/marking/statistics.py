"""What the answers of a class say about the exercises: how hard, how telling, how dependable the whole is.

Scores are a table of numbers, a row a learner and a column an item; ``of`` are the most points of each item. Every
figure is None where there is nothing to compute it from (no spread, too few learners or items).
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import fmean, pvariance, variance

Scores = Sequence[Sequence[float]]
# Fewer than this many learners say next to nothing about an item, and the report says so (common practice).
FEW = 20


@dataclass(frozen=True, slots=True, kw_only=True)
class Item:
    """One item: ``difficulty`` is the mean share of its points, ``rest`` its correlation with all the other items."""

    difficulty: float
    rest: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Reliability:
    """How dependable a total is: alpha (KR-20 where items are right or wrong), its interval, and the error it leaves.

    ``error`` is the standard error of a total, in points; ``at_cut`` that of a total at the cut (Lord's binomial error
    with Keats's correction). Sources: Kuder and Richardson 1937; Cronbach 1951; Feldt 1965; Lord 1957, Keats 1957.
    """

    alpha: float
    low: float
    high: float
    error: float
    at_cut: float | None


def items(scores: Scores, of: Sequence[float]) -> tuple[Item, ...]:
    """The items' figures, in the columns' order."""
    totals = [sum(row) for row in scores]
    found = []
    for place, most in enumerate(of):
        column = [row[place] for row in scores]
        rest = [total - mine for total, mine in zip(totals, column, strict=True)]
        found.append(Item(
            difficulty=fmean(column) / most if column and most else math.nan, rest=correlation(column, rest),
        ))
    return tuple(found)


def reliability(
    scores: Scores, of: Sequence[float], *, cut: float | None = None, sure: float = 0.95,
) -> Reliability | None:
    """Alpha with its interval; ``cut`` is a total in points. None for fewer than two items or three learners."""
    learners, count = len(scores), len(of)
    if learners < 3 or count < 2:
        return None
    totals = [sum(row) for row in scores]
    spread = variance(totals)
    if spread <= 0:
        return None
    parts = sum(variance([row[place] for row in scores]) for place in range(count))
    alpha = count / (count - 1) * (1 - parts / spread)
    low, high = _interval(alpha, learners, count, sure)
    error = math.sqrt(max(spread * (1 - alpha), 0.0))
    at_cut = None if cut is None else _at_cut(cut, totals, sum(of), alpha)
    return Reliability(alpha=alpha, low=low, high=high, error=error, at_cut=at_cut)


def correlation(one: Sequence[float], other: Sequence[float]) -> float | None:
    """Pearson's correlation; None where either does not vary."""
    if len(one) < 3 or pvariance(one) <= 0 or pvariance(other) <= 0:
        return None
    mean_one, mean_other = fmean(one), fmean(other)
    together = fmean((a - mean_one) * (b - mean_other) for a, b in zip(one, other, strict=True))
    return together / math.sqrt(pvariance(one) * pvariance(other))


def agreement(one: Sequence[object], other: Sequence[object]) -> float | None:
    """Cohen's kappa of two markers' verdicts on the same work; None where chance alone would agree on everything."""
    pairs = list(zip(one, other, strict=True))
    if not pairs:
        return None
    seen = fmean(a == b for a, b in pairs)
    words = {*one, *other}
    chance = sum(fmean(a == word for a in one) * fmean(b == word for b in other) for word in words)
    return (seen - chance) / (1 - chance) if chance < 1 else None


def _interval(alpha: float, learners: int, count: int, sure: float) -> tuple[float, float]:
    """Feldt's interval: (1 − alpha) over its true value follows F."""
    from scipy.stats import f  # only a report of a class needs it

    first, second = learners - 1, (learners - 1) * (count - 1)
    tail = (1 - sure) / 2
    return (
        1 - (1 - alpha) * float(f.isf(tail, first, second)), 1 - (1 - alpha) * float(f.isf(1 - tail, first, second))
    )


def _at_cut(cut: float, totals: Sequence[float], most: float, alpha: float) -> float | None:
    mean, spread = fmean(totals), variance(totals)
    if most <= 1 or not 0 <= cut <= most:
        return None
    simple = most / (most - 1) * (1 - mean * (most - mean) / (most * spread))  # KR-21
    if simple >= 1 or alpha >= 1:
        return None
    return math.sqrt(cut * (most - cut) / (most - 1) * (1 - alpha) / (1 - simple))
