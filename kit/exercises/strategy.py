"""Strategy as figures and rules: how many tests a row takes, what an order of looking costs, which first test is best.

Everything here is worked out from a handful of suspects and tests (``kit.diagnose.handful``) or from plain figures of a
variant; people are shown counts of suspects and minutes, never chances.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise, permutations
from typing import assert_never

from kit.diagnose import handful
from kit.diagnose.handful import Handful
from kit.errors import QuestionError

NEAR = 1.1  # two things to look at whose cards a minute differ by less than this share have no right order


@dataclass(frozen=True, slots=True, kw_only=True)
class MostTests:
    """The most tests that halving needs for so many suspects in a row, each test with two outcomes."""

    suspects: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LeftAtWorst:
    """Suspects left at worst of one weighing, so many a side, where one of ``things`` is too heavy or too light."""

    things: str
    each: str


@dataclass(frozen=True, slots=True, kw_only=True)
class MeanMinutes:
    """Minutes a job until the cause is found, on average over the cards.

    ``cards`` and ``minutes`` are figures with a space between, one a cause; ``order`` are the causes' numbers from 1.
    """

    cards: str
    minutes: str
    order: str


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class OfTrial:
    """What is told of a trial in the handful that ``which`` picks: see ``told_of`` for what may be asked."""

    few: Mapping[str, Handful]
    which: str
    asks: str
    trial: str = ""
    suspect: str = ""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class QuickestTest:
    """Right is the option (a trial's id) with which the work takes fewest minutes on average, the rest at its best."""

    few: Mapping[str, Handful]
    which: str


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SameTo:
    """Right are the suspects that no trial with these tools parts from ``suspect``, itself among them."""

    few: Handful
    suspect: str
    tools: str


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ChartWay:
    """Right are the trials that the quickest plan goes through with ``suspect`` in the machine, in its order."""

    few: Handful
    suspect: str


@dataclass(frozen=True, slots=True, kw_only=True)
class QuickestLook:
    """Right is the order of looking that takes fewest minutes on average; ``cards`` and ``minutes`` one an option."""

    cards: str
    minutes: str


def most_tests(suspects: int) -> float:
    """Tests that halving takes at most."""
    return float(math.ceil(math.log2(suspects)))


def wrong_most_tests(suspects: int) -> dict[str, float]:
    """What slips would answer: half of them, one after another, one test too few."""
    right = most_tests(suspects)
    return {"half of them": suspects / 2, "one by one": float(suspects - 1), "all": float(suspects),
            "one short": right - 1, "one more": right + 1}


def left_at_worst(things: int, each: int) -> float:
    """Suspects left at worst: those of the scales where they tip, those beside them where they do not."""
    return float(max(2 * each, 2 * (things - 2 * each)))


def wrong_left(things: int, each: int) -> dict[str, float]:
    """What slips would answer: only one outcome, things instead of suspects, all of them."""
    tips, level = 2.0 * each, 2.0 * (things - 2 * each)
    return {"the better outcome": min(tips, level), "things": max(tips, level) / 2, "all": 2.0 * things,
            "one side": float(each)}


def figures_of(text: str) -> tuple[float, ...]:
    """Figures written with spaces between."""
    return tuple(map(float, text.split()))


def mean_minutes(cards: Sequence[float], minutes: Sequence[float], order: Sequence[int]) -> float:
    """Minutes until the cause is found, on average: each cause is met after all that is looked at before it."""
    spent = total = 0.0
    for one in order:
        spent += minutes[one]
        total += cards[one] * spent
    return total / sum(cards)


def wrong_means(cards: Sequence[float], minutes: Sequence[float], order: Sequence[int]) -> dict[str, float]:
    """What slips would answer: every cause always looked at, cards left out of it, the other order, the first alone."""
    running = [sum(minutes[one] for one in order[: place + 1]) for place in range(len(order))]
    own = sum(card * each for card, each in zip(cards, minutes, strict=True)) / sum(cards)
    return {
        "all of them": sum(minutes), "cards left out": sum(running) / len(running), "no waiting": own,
        "not shared out": mean_minutes(cards, minutes, order) * sum(cards), "first alone": minutes[order[0]],
    }


def quickest_look(cards: Sequence[float], minutes: Sequence[float]) -> tuple[int, ...]:
    """The best order by trying them all; raises QuestionError where two things next to each other might swap."""
    best = min(permutations(range(len(cards))), key=lambda order: mean_minutes(cards, minutes, order))
    rates = [cards[one] / minutes[one] for one in best]
    if any(one < NEAR * other for one, other in pairwise(rates)):
        raise QuestionError(f"cards {cards} in {minutes} minutes have no one best order.")
    return best


def quickest_option(rule: QuickestTest, which: str, offered: Sequence[str]) -> str:
    """The trial among those offered that is quickest; raises QuestionError where another is about as good."""
    # Within 15 % or 2 minutes of the best a test is as good, so no option may lie in between.
    from kit.diagnose.worth import FAIR_MINUTES, FAIR_SHARE

    few = rule.few[which]
    first, second, *_ = sorted(offered, key=lambda trial: handful.minutes_if_first(few, trial))
    best, next_best = handful.minutes_if_first(few, first), handful.minutes_if_first(few, second)
    if next_best - best < max(FAIR_MINUTES, FAIR_SHARE * best):
        raise QuestionError(f"'{first}' ({best:.2f} min) and '{second}' ({next_best:.2f} min) are about as good.")
    return first


def told_of(figure: OfTrial, which: str, trial: str, suspect: str) -> str:
    """What a question tells of a handful: suspects and chart as rows, or of a trial what it says, shows, leaves, costs.
    """
    few = figure.few[which]
    match figure.asks:
        case "suspects":
            return "\n".join(f"{few.cards[fault]} | {words}" for fault, words in few.suspects.items())
        case "chart":
            return "\n".join(" | ".join(row) for row in handful.boxes(few))
        case "says":
            one = few.trial(trial)
            return f"{one.says} ({handful.minutes(few, one):g} min)"
        case "leaves":
            return " or ".join(
                f"{len(left)} if {shown}" for shown, left in sorted(handful.leaves(few, trial).items())
            )
        case "minutes":
            return f"{handful.minutes_if_first(few, trial):.1f} min"
        case "best":
            return f"{handful.plan_of(few).minutes:.1f} min"
        case "shows":
            return handful.outcomes(few)[trial][suspect]
    raise QuestionError(f"nothing is told of a trial's '{figure.asks}'.")


Strategic = MostTests | LeftAtWorst | MeanMinutes


def compute_strategy(figure: Strategic, filled: Mapping[str, str]) -> float:
    """The value of one of the figures, its texts filled."""
    match figure:
        case MostTests():
            return most_tests(int(filled["suspects"]))
        case LeftAtWorst():
            return left_at_worst(int(filled["things"]), int(filled["each"]))
        case MeanMinutes():
            return mean_minutes(*_figures(filled))
        case _:
            assert_never(figure)


def wrong_strategy(figure: Strategic, filled: Mapping[str, str]) -> dict[str, float]:
    """The slips of one of the figures, its texts filled."""
    match figure:
        case MostTests():
            return wrong_most_tests(int(filled["suspects"]))
        case LeftAtWorst():
            return wrong_left(int(filled["things"]), int(filled["each"]))
        case MeanMinutes():
            return wrong_means(*_figures(filled))
        case _:
            assert_never(figure)


def _figures(filled: Mapping[str, str]) -> tuple[tuple[float, ...], tuple[float, ...], tuple[int, ...]]:
    order = tuple(int(one) - 1 for one in filled["order"].split())
    return figures_of(filled["cards"]), figures_of(filled["minutes"]), order
