"""How many times as much a reading is after a change as before it: a rule for questions with options."""

from collections.abc import Mapping
from dataclasses import dataclass

from kit.errors import QuestionError
from kit.exercises.figures import Figure, compute

ALIKE = 0.05  # a reading within 5 % of its old value is the same to somebody who reads a display


@dataclass(frozen=True, slots=True, kw_only=True)
class TimesAsMuch:
    """The options' ids are numbers; right is the one that says how many times ``before`` the figure ``now`` is."""

    before: Figure
    now: Figure


def times_as_much(rule: TimesAsMuch, words: Mapping[str, str]) -> float:
    """Now over before; raises QuestionError where there was nothing before."""
    before = compute(rule.before, words)
    if not before:
        raise QuestionError("nothing was there before the change, so nothing can be compared with it.")
    return compute(rule.now, words) / before


def says(option: str, times: float) -> bool:
    """Whether an option's number is this many times, to the eye."""
    return abs(float(option) - times) <= ALIKE * max(1.0, float(option))
