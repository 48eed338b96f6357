"""The work on a job with every suspect beside it, and the usual share of each."""

import math
from dataclasses import dataclass

from kit.circuit import When
from kit.diagnose import Suspect
from kit.diagnose.priors import AT_REST, prior
from kit.exercises.cards import JobCard
from kit.exercises.situation import Step
from kit.machines import Machine


@dataclass(frozen=True, slots=True, kw_only=True)
class Replay:
    """What one suspect would have shown, act by act, as far as it was followed.

    ``differs`` are the acts it would have shown something else at. A suspect that does not even fit the complaint is
    followed to the first of them only.
    """

    suspect: Suspect
    told: tuple[object, ...]
    differs: frozenset[int]

    @property
    def out(self) -> int | None:
        """The act that ruled it out; None for one that is left at the end."""
        return min(self.differs, default=None)

    def left_before(self, number: int) -> bool:
        """Whether it was still a suspect before an act."""
        return self.out is None or self.out >= number


@dataclass(frozen=True, slots=True, kw_only=True)
class Weighed:
    """The work up to the finding, every suspect beside it.

    ``open``: the suspects that fit the card's complaint, from which the work begins; all others are ruled out by it.
    """

    card: JobCard
    faults: Suspect
    steps: tuple[Step, ...]
    replays: tuple[Replay, ...]
    open: frozenset[Suspect]

    def before(self, number: int) -> int:
        """How many suspects there were before an act (after the last one: ``len(steps)``)."""
        return sum(replay.left_before(number) for replay in self.replays)

    @property
    def rivals(self) -> tuple[Replay, ...]:
        """The suspects that fit the complaint."""
        return tuple(replay for replay in self.replays if replay.suspect in self.open)


def share_of(machine: Machine, suspect: Suspect) -> float:
    """The usual share of a suspect; one that comes and goes is met less often than it is there."""
    sometimes = any(machine.fault(fault).when is not When.ALWAYS for fault in suspect)
    return prior(machine.circuit, suspect) * (AT_REST if sometimes else 1.0)


def to_points(points: float) -> int:
    """Whole points, halves up; what is a half but for the last digits of a float counts as one, everywhere alike."""
    return math.floor(round(points, 6) + 0.5)
