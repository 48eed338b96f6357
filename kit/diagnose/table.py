"""The outcome table: what every test would show, whatever is wrong. All reasoning rests on it and on nothing else.

It is built from arrays, so a published problem runs through it as printed, or from a machine (``kit.diagnose.trials``).
A file that brings numpy with it; ``kit.diagnose`` itself does not.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from kit.errors import DiagnosisError

SURE = 1e-9  # likelihoods of a cell sum to one within this


@dataclass(frozen=True, kw_only=True, eq=False)
class OutcomeTable:
    """Suspects × tests, and in each cell what may be shown there.

    ``outcomes[s, t, k]``: number of an outcome, ``likelihoods[s, t, k]``: how likely it is shown with suspect s there.
    One outcome a cell is the rule; a reading near an edge has two, and so has a fault that comes and goes. ``priors``
    sum to one; ``minutes`` are above nought. ``units[s]`` is the part that would be renewed, ``shown[t][o]`` an outcome
    in words, ``kinds[t]`` the instrument or way of testing, ``keys[t]`` what a test is to a program. Raises
    DiagnosisError where these do not fit together.
    """

    suspects: tuple[str, ...]
    units: tuple[str, ...]
    tests: tuple[str, ...]
    kinds: tuple[str, ...]
    shown: tuple[tuple[str, ...], ...]
    outcomes: np.ndarray
    likelihoods: np.ndarray
    priors: np.ndarray
    minutes: np.ndarray
    machine: str = ""
    keys: tuple[object, ...] = ()

    def __post_init__(self) -> None:
        suspects, tests = len(self.suspects), len(self.tests)
        if self.outcomes.shape[:2] != (suspects, tests) or self.outcomes.shape != self.likelihoods.shape:
            raise DiagnosisError(
                f"an outcome table of {suspects} suspects and {tests} tests needs outcomes and likelihoods of "
                f"{suspects} × {tests} cells, not {self.outcomes.shape} and {self.likelihoods.shape}."
            )
        if not (suspects and tests):
            raise DiagnosisError("an outcome table needs at least one suspect and one test.")
        for name, size in (("units", suspects), ("priors", suspects), ("kinds", tests), ("shown", tests),
                           ("minutes", tests)):
            if len(getattr(self, name)) != size:
                raise DiagnosisError(f"an outcome table needs {size} {name}, not {len(getattr(self, name))}.")
        if not self.keys:
            object.__setattr__(self, "keys", self.tests)
        if not (self.minutes > 0).all():
            raise DiagnosisError(f"test '{self.tests[int(np.argmin(self.minutes))]}' must take more than no time.")
        if not (self.priors > 0).all() or abs(self.priors.sum() - 1.0) > SURE:
            raise DiagnosisError("the chances of the suspects must be above nought and sum to one.")
        if self.outcomes.min() < 0 or (self.likelihoods < 0).any() or (
            np.abs(self.likelihoods.sum(axis=2) - 1.0) > SURE
        ).any():
            raise DiagnosisError("outcomes are numbers from 0 on, and the likelihoods of each cell sum to one.")
        for array in (self.outcomes, self.likelihoods, self.priors, self.minutes):
            array.setflags(write=False)

    @classmethod
    def from_arrays(
        cls, outcomes: Sequence | np.ndarray, *, likelihoods: Sequence | np.ndarray | None = None,
        priors: Sequence[float] | None = None, minutes: Sequence[float] | None = None,
        suspects: Sequence[str] = (), tests: Sequence[str] = (), units: Sequence[str] = (), kinds: Sequence[str] = (),
        shown: Sequence[Sequence[str]] = (), machine: str = "", keys: Sequence[object] = (),
    ) -> "OutcomeTable":
        """A table from plain arrays: suspects × tests, or suspects × tests × alternatives with their likelihoods.

        Chances left out are equal, minutes left out are one; chances need not sum to one. Units left out: each suspect
        is its own.
        """
        cells = np.asarray(outcomes, dtype=np.int64)
        if cells.ndim == 2:
            cells = cells[:, :, None]
        if cells.ndim != 3 or not cells.size:
            raise DiagnosisError(f"outcomes are suspects × tests (× alternatives), not an array of {cells.shape}.")
        chance = np.zeros(cells.shape) if likelihoods is None else np.asarray(likelihoods, dtype=float).copy()
        if likelihoods is None:
            chance[:, :, 0] = 1.0
        count, number, _ = cells.shape
        weights = np.ones(count) if priors is None else np.asarray(priors, dtype=float)
        names = tuple(suspects) or tuple(f"suspect {s + 1}" for s in range(count))
        most = cells.max(axis=(0, 2)) + 1
        return cls(
            suspects=names, units=tuple(units) or names, tests=tuple(tests) or tuple(
                f"test {t + 1}" for t in range(number)
            ),
            kinds=tuple(kinds) or ("test",) * number,
            shown=tuple(map(tuple, shown)) or tuple(tuple(str(o) for o in range(m)) for m in most),
            outcomes=cells.copy(), likelihoods=chance, priors=weights / weights.sum(),
            minutes=np.ones(number) if minutes is None else np.asarray(minutes, dtype=float).copy(), machine=machine,
            keys=tuple(keys),
        )

    @cached_property
    def most(self) -> int:
        """The number of outcomes of the test that has the most."""
        return int(self.outcomes.max()) + 1

    @cached_property
    def flat(self) -> np.ndarray:
        """``outcomes`` numbered through all tests: test t owns the numbers from ``t * most`` on."""
        return self.outcomes + (np.arange(len(self.tests)) * self.most)[None, :, None]

    @cached_property
    def plain(self) -> np.ndarray:
        """[s, t]: whether the cell has one outcome only, its first."""
        return np.isclose(self.likelihoods[:, :, 0], 1.0, atol=SURE, rtol=0.0)

    @cached_property
    def seconds(self) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """The cells' further alternatives that can happen: suspects, tests and places, k from 1 on."""
        found = np.nonzero(self.likelihoods[:, :, 1:] > 0)
        return found[0], found[1], found[2] + 1

    @cached_property
    def doubt(self) -> np.ndarray:
        """[s, t]: bits of doubt about what is shown even when the suspect is known; nought in a plain cell."""
        some = np.where(self.likelihoods > 0, self.likelihoods, 1.0)
        return -(self.likelihoods * np.log2(some)).sum(axis=2)

    @cached_property
    def signs(self) -> np.ndarray:
        """[s, t, outcome]: likelihood of each outcome; the table in its longest form."""
        whole = np.zeros((*self.outcomes.shape[:2], self.most))
        for k in range(self.outcomes.shape[2]):
            np.put_along_axis(
                whole, self.outcomes[:, :, k : k + 1],
                np.take_along_axis(whole, self.outcomes[:, :, k : k + 1], 2) + self.likelihoods[:, :, k : k + 1], 2,
            )
        return whole

    def likelihood(self, test: int, outcome: int) -> np.ndarray:
        """How likely each suspect is to show this outcome."""
        return np.where(self.outcomes[:, test] == outcome, self.likelihoods[:, test], 0.0).sum(axis=1)

    def with_tests(self, chosen: Sequence[int]) -> "OutcomeTable":
        """The same suspects with some of the tests, in the order given."""
        keep = list(chosen)
        return OutcomeTable(
            suspects=self.suspects, units=self.units, tests=tuple(self.tests[t] for t in keep),
            kinds=tuple(self.kinds[t] for t in keep), shown=tuple(self.shown[t] for t in keep),
            outcomes=self.outcomes[:, keep].copy(), likelihoods=self.likelihoods[:, keep].copy(), priors=self.priors,
            minutes=self.minutes[keep].copy(), machine=self.machine, keys=tuple(self.keys[t] for t in keep),
        )

    def with_suspects(self, chosen: Sequence[int]) -> "OutcomeTable":
        """The same tests with some of the suspects; their chances are made to sum to one again."""
        keep = list(chosen)
        weights = self.priors[keep]
        return OutcomeTable(
            suspects=tuple(self.suspects[s] for s in keep), units=tuple(self.units[s] for s in keep), tests=self.tests,
            kinds=self.kinds, shown=self.shown, outcomes=self.outcomes[keep].copy(),
            likelihoods=self.likelihoods[keep].copy(), priors=weights / weights.sum(), minutes=self.minutes,
            machine=self.machine, keys=self.keys,
        )

    def joined(self) -> "OutcomeTable":
        """Plain cells only: outcomes that one suspect may show either of count as one, for all.

        Plans are made on this: a plan that does not rest on a reading near an edge.
        """
        if self.plain.all():
            return self
        outcomes, shown = self.outcomes[:, :, 0].copy(), list(self.shown)
        for t in np.flatnonzero(~self.plain.all(axis=0)):
            name = list(range(len(shown[t])))
            for s in np.flatnonzero(~self.plain[:, t]):
                cell = self.outcomes[s, t][self.likelihoods[s, t] > 0]
                merged = {name[o] for o in cell}
                name = [min(merged) if one in merged else one for one in name]
            kept = sorted(set(name))
            outcomes[:, t] = [kept.index(name[o]) for o in outcomes[:, t]]
            shown[t] = tuple(
                _either([word for word, one in zip(shown[t], name, strict=True) if one == k]) for k in kept
            )
        return OutcomeTable(
            suspects=self.suspects, units=self.units, tests=self.tests, kinds=self.kinds, shown=tuple(shown),
            outcomes=outcomes[:, :, None], likelihoods=np.ones((*outcomes.shape, 1)), priors=self.priors,
            minutes=self.minutes, machine=self.machine, keys=self.keys,
        )

    def of_kind(self, *kinds: str) -> "OutcomeTable":
        """The table with the tests of these kinds alone, such as ``lamp``."""
        return self.with_tests([t for t, kind in enumerate(self.kinds) if kind in kinds])

    def worth_keeping(self) -> "OutcomeTable":
        """Without tests that tell nothing, and without the dearer of two that tell the same.

        Of two equally dear the first stays. Two tests tell the same where their cells agree but for the outcomes'
        numbers.
        """
        kept: dict[bytes, int] = {}
        for t in range(len(self.tests)):
            cells = renumbered(self.outcomes[:, t], self.likelihoods[:, t])
            if (cells[0] == cells[0][0]).all() and (cells[1] == cells[1][0]).all():
                continue
            key = cells[0].tobytes() + cells[1].tobytes()
            if key not in kept or self.minutes[t] < self.minutes[kept[key]] - SURE:
                kept[key] = t
        return self.with_tests(sorted(kept.values())) if kept else self.with_tests([int(np.argmin(self.minutes))])


def _either(words: Sequence[str]) -> str:
    """Outcomes that count as one, in words; what is told in sentences stays one.

    >>> _either(["dim", "bright"]), _either(["Nothing to see.", "It is browned.", "Green at the lug."])
    ('dim or bright', 'Nothing to see; or it is browned; or green at the lug.')
    """
    if len(words) < 2 or not any(word.endswith(".") for word in words):
        return " or ".join(words)
    first, *more = (word.rstrip(".") for word in words)
    return "; or ".join((first, *(word[:1].lower() + word[1:] for word in more))) + "."


def renumbered(outcomes: np.ndarray, likelihoods: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """A test's cells [s, k] with outcomes numbered as they first come, alternatives in order: equal if they part alike.

    Alternatives that never happen count as the cell's first.
    """
    order = np.argsort(-likelihoods, axis=1, kind="stable")
    cells = np.take_along_axis(outcomes, order, 1)
    chance = np.round(np.take_along_axis(likelihoods, order, 1), 12) + 0.0
    cells = np.where(chance > 0, cells, cells[:, :1])
    even = np.isclose(chance, chance[:, :1]).all(axis=1)
    cells[even] = np.sort(cells[even], axis=1)
    _, first, back = np.unique(cells.ravel(), return_index=True, return_inverse=True)
    rank = np.empty(len(first), np.int64)
    rank[np.argsort(first, kind="stable")] = np.arange(len(first))
    return rank[back].reshape(cells.shape), chance
