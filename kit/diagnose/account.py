"""The account of a job: every act weighed against the best one there was, and what of it a fair instructor charges.

``kit.diagnose.worth`` weighs one act; here the acts of a whole job follow one another. What is charged obeys the rules
of fairness (trade.md): nothing for what is free, nothing for acts that together stay within 15 % or 2 minutes of the
best, nothing for one confirming test.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from kit.diagnose.looks import FOUND
from kit.diagnose.table import OutcomeTable
from kit.diagnose.worth import FAIR_MINUTES, FAIR_SHARE, Account, Judged, Worth

DIGITS = 6  # regrets and efficiency are rounded here before anything is decided by them: the same on every computer


@dataclass(frozen=True, slots=True, kw_only=True)
class Deed:
    """One act as an account needs it.

    ``shown``: what each suspect still in question would have shown, by its name in the table, in a form that is equal
    or not; ``saw`` what was shown. Nobody is told apart by an act where all show the same. ``missed``: what a suspect
    shows, once in four times, to one who looks and misses it (``kit.diagnose.looks``). ``free``: it is not charged
    whatever it was worth. ``sets``: "leads", "controls" or "off" (a plug or fuse taken out), where it sets up what the
    next act may show. ``tests``: it is a test (the first one after all is found is a confirmation, and free).
    """

    number: int
    minutes: float
    shown: Mapping[str, object]
    saw: object
    free: bool = False
    sets: str = ""
    tests: bool = True
    missed: Mapping[str, object] = field(default_factory=dict)


@dataclass(frozen=True, slots=True, kw_only=True)
class Stretch:
    """One step of the work: acts that follow one another, weighed as one.

    Putting leads on and then pressing start is one test; acts that could tell nothing, one after another, are one idle
    stretch. ``numbers`` are the acts, ``before`` the weights they began with, ``parts`` what the last of them could
    leave. A ``free`` one is not charged.
    """

    numbers: tuple[int, ...]
    judged: Judged
    before: np.ndarray
    parts: tuple[np.ndarray, ...]
    free: bool = False

    @property
    def counted(self) -> float:
        """The regret that is charged."""
        fair = max(FAIR_SHARE * self.judged.best, FAIR_MINUTES)
        small = round(self.judged.regret, DIGITS) <= round(fair, DIGITS)
        return 0.0 if self.free or small else self.judged.regret


@dataclass(frozen=True, slots=True, kw_only=True)
class JobAccount:
    """Where the minutes of a job went."""

    stretches: tuple[Stretch, ...]

    @property
    def whole(self) -> Account:
        """The sums, with the gap that says how far they can be trusted."""
        return Account(acts=tuple(stretch.judged for stretch in self.stretches))

    @property
    def counted(self) -> float:
        """The minutes of regret that are charged."""
        return sum(stretch.counted for stretch in self.stretches)

    @property
    def efficiency(self) -> float:
        """The minutes to be expected at the start, over themselves and the regret charged; rounded.

        Where the complaint alone says nearly all, the least that is fair stands for them: a proof takes a test anyway.
        """
        expected = max(self.whole.expected, FAIR_MINUTES)
        return round(expected / (expected + self.counted), DIGITS)


def account(worth: Worth, weight: np.ndarray, deeds: Sequence[Deed]) -> JobAccount:
    """Weigh a job's acts in their order, from these weights of the table's suspects on."""
    stretches: list[Stretch] = []
    open_: list[Deed] = []
    free_ = _confirming(worth, weight, deeds)

    def weighed(chosen: Sequence[Deed], parts: Sequence[np.ndarray], shown: int, *, free: bool = False) -> None:
        minutes = sum(deed.minutes for deed in chosen)
        stretches.append(Stretch(
            numbers=tuple(deed.number for deed in chosen), before=weight, parts=tuple(parts), free=free,
            judged=worth.judged(weight, parts, shown, minutes),
        ))

    for deed in deeds:
        parts, shown = _split(worth.table, weight, deed)
        if deed.free or deed.number in free_:
            if len(parts) > 1 and open_:
                weighed(open_, [weight], 0)
                open_ = []
            weighed([deed], parts, shown, free=True)
        elif len(parts) > 1:
            at = _set_up_from(open_, deed)
            if at:
                weighed(open_[:at], [weight], 0)
            weighed([*open_[at:], deed], parts, shown)
            open_ = []
        else:
            open_.append(deed)
        weight = parts[shown]
    if open_:
        weighed(open_, [weight], 0)
    return JobAccount(stretches=tuple(sorted(stretches, key=lambda stretch: stretch.numbers)))


def _confirming(worth: Worth, weight: np.ndarray, deeds: Sequence[Deed]) -> frozenset[int]:
    """The one confirming test that is free, and what goes with it, by number.

    Of the tests after all is found it is the one that takes longest, so that it does not matter which came first. What
    sets it up is free as well, and what is put back or taken off before the first of them. What is free anyhow, such as
    the first inspection, is not it.
    """
    at = 0
    while at < len(deeds) and worth.value(weight) > 0.0:
        parts, shown = _split(worth.table, weight, deeds[at])
        weight, at = parts[shown], at + 1
    tests = [place for place in range(at, len(deeds)) if deeds[place].tests and not deeds[place].free]
    if not tests:
        return frozenset(deed.number for deed in deeds[at:])
    longest = max(tests, key=lambda place: (deeds[place].minutes, -place))
    first = at + _set_up_from(deeds[at:longest], deeds[longest])
    return frozenset(deed.number for place, deed in enumerate(deeds)
                     if at <= place < tests[0] or first <= place <= longest)


def _set_up_from(before: Sequence[Deed], deed: Deed) -> int:
    """From which of the idle acts before it an act was set up: controls just moved, what was taken off for it, and the
    leads it was read with."""
    at = len(before)
    while at and before[at - 1].sets in ("controls", "off"):
        at -= 1
    return at - 1 if at and before[at - 1].sets == "leads" and deed.sets == "controls" else at


def start_weights(table: OutcomeTable, names: Sequence[str]) -> np.ndarray:
    """The chances of these suspects, nought for the others."""
    wanted = set(names)
    return np.where([name in wanted for name in table.suspects], table.priors, 0.0)


def _split(table: OutcomeTable, weight: np.ndarray, deed: Deed) -> tuple[list[np.ndarray], int]:
    """The parts an act splits the weights into, and which of them was shown; one part where it tells nothing."""
    parts: dict[object, np.ndarray] = {}
    for s in np.flatnonzero(weight > 0):
        mostly = deed.shown.get(table.suspects[s], deed.saw)
        rarely = deed.missed.get(table.suspects[s], mostly)
        for kind, share in ((mostly, FOUND), (rarely, 1.0 - FOUND)) if rarely != mostly else ((mostly, 1.0),):
            parts.setdefault(kind, np.zeros(len(weight)))[s] += share * weight[s]
    if not parts:
        return [weight], 0
    return list(parts.values()), list(parts).index(deed.saw)
