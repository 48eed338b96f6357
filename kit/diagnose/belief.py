"""What is still suspect after some observations, and how likely: counts for people, chances inside.

A weight is a suspect's chance times how likely it was to show all that was seen; weights need not sum to one. What a
suspect cannot show takes its weight to nought, what it shows only now and then merely lowers it.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from kit.diagnose.table import OutcomeTable
from kit.errors import DiagnosisError


@dataclass(frozen=True, slots=True, kw_only=True)
class Observation:
    """One test done: its number, the number of the outcome shown, and how far it is trusted.

    ``trust`` is the share of such observations that are what they seem: 1 for a reading taken with care, less for one
    that was hurried, or told by somebody else. Below 1 it weakens suspects and rules none out.
    """

    test: int
    outcome: int
    trust: float = 1.0

    def __post_init__(self) -> None:
        if not 0.0 <= self.trust <= 1.0:
            raise DiagnosisError(f"trust lies between 0 and 1; {self.trust:g} does not.")


def weights(table: OutcomeTable, observations: Iterable[Observation] = ()) -> np.ndarray:
    """Each suspect's chance times the likelihood of all that was seen. All nought: nothing on the list shows this.

    The same test twice with the same outcome counts once: whoever reads a lamp again reads the same lamp.
    """
    found = table.priors.copy()
    for seen in dict.fromkeys(observations):
        found = found * sign(table, seen)
    return found


def sign(table: OutcomeTable, seen: Observation) -> np.ndarray:
    """How likely each suspect was to show this, an untrusted observation blurred over the test's outcomes."""
    if not 0 <= seen.test < len(table.tests):
        raise DiagnosisError(f"there is no test {seen.test}; there are {len(table.tests)}.")
    likely = table.likelihood(seen.test, seen.outcome)
    if seen.trust == 1.0:
        return likely
    return seen.trust * likely + (1.0 - seen.trust) / max(2, len(table.shown[seen.test]))


def left(weight: np.ndarray) -> tuple[int, ...]:
    """The suspects that still fit, by number."""
    return tuple(int(s) for s in np.flatnonzero(weight > 0))


def chances(weight: np.ndarray) -> np.ndarray:
    """Weights made to sum to one; all nought where nothing fits."""
    total = weight.sum()
    return weight / total if total > 0 else weight


def groups(
    table: OutcomeTable, suspects: Sequence[int], tests: Sequence[int] | None = None
) -> tuple[tuple[int, ...], ...]:
    """Ambiguity groups: suspects that no available test can part, each a tuple of numbers, in the table's order."""
    chosen = slice(None) if tests is None else list(tests)
    signs = table.signs[:, chosen]
    found: dict[bytes, list[int]] = {}
    for s in suspects:
        found.setdefault(np.round(signs[s], 12).tobytes(), []).append(s)
    return tuple(map(tuple, found.values()))


def units_of(table: OutcomeTable, suspects: Iterable[int]) -> tuple[str, ...]:
    """The replaceable units among some suspects, each once."""
    return tuple(dict.fromkeys(table.units[s] for s in suspects))


def settled(table: OutcomeTable, suspects: Sequence[int], tests: Sequence[int] | None = None) -> bool:
    """Whether there is nothing left to find out: one unit, or one ambiguity group."""
    return len(units_of(table, suspects)) <= 1 or len(groups(table, suspects, tests)) <= 1


def count(number: int, what: str = "suspect") -> str:
    """A count a person reads.

    >>> count(0), count(1), count(7, "part")
    ('no suspect', 'one suspect', '7 parts')
    """
    return {0: f"no {what}", 1: f"one {what}"}.get(number, f"{number} {what}s")
