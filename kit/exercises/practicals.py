"""Practicals on real metal, as values: what is planted and how, what it then shows, what a person watches.

A practical stands beside a lesson. Its faults are planted by hand, on the training board or on a real machine, and a
person judges it with an observation sheet. What each planting shows is computed on the board's machine file by whoever
prints it; ``shows`` of a test is the band a real board may lie in.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib import import_module

from kit.errors import QuestionError
from kit.exercises.criteria import CRITERIA
from kit.machines.cases import CaseTest

BOARD = "training-board"
CONTENT = ("practicals_03_06", "practicals_07_10", "practicals_11_13", "practicals_14_16")


@dataclass(frozen=True, slots=True, kw_only=True)
class Planting:
    """One way to plant faults: on the board, and on a real machine where that is safe (else ``machine`` says why not).

    ``owner`` is all the learner is told. ``put_in`` and ``take_out`` are steps for the instructor, ``minutes`` the time
    to plant it; ``faults`` are those of the board's machine file it stands for, ``tests`` what it then shows.
    """

    id: str
    title: str
    faults: tuple[str, ...]
    owner: str
    put_in: tuple[str, ...]
    take_out: str
    machine: str
    minutes: int
    tests: tuple[CaseTest, ...]
    caution: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Watched:
    """One criterion a person watches in a practical, and what there is to see of it, a line a thing."""

    criterion: str
    seen: tuple[str, ...]

    def __post_init__(self) -> None:
        if self.criterion not in CRITERIA:
            raise QuestionError(f"a practical watches '{self.criterion}', which is no criterion.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Practical:
    """The practical beside a lesson. ``minutes`` are the learner's; ``stops`` end it at once."""

    lesson: str
    title: str
    minutes: int
    task: tuple[str, ...]
    cautions: tuple[str, ...]
    needs: tuple[str, ...]
    plantings: tuple[Planting, ...]
    watched: tuple[Watched, ...]
    never: tuple[str, ...]
    stops: tuple[str, ...]
    goes_wrong: tuple[str, ...]

    @property
    def criteria(self) -> tuple[str, ...]:
        return tuple(one.criterion for one in self.watched)


def practical(lesson: str) -> Practical:
    """The practical beside a lesson; raises QuestionError where there is none."""
    found = practicals().get(lesson)
    if found is None:
        raise QuestionError(
            f"there is no practical beside lesson '{lesson}'; there are {', '.join(practicals())}.")
    return found


@cache
def practicals() -> Mapping[str, Practical]:
    """Every practical by its lesson, in order."""
    found = [one for name in CONTENT for one in import_module(f"kit.exercises.{name}").PRACTICALS]
    return {one.lesson: one for one in found}


# Short ways to write a test down: the tool, its two places, what it shows, and the controls.


def lamp(clip: str, tip: str, shows: str, *, off: tuple[str, ...] = (), **controls: str) -> CaseTest:
    """The 3 W test lamp."""
    return CaseTest(tool="lamp", places=(clip, tip), shows=shows, moves=(controls,), off=off)


def loading_lamp(clip: str, tip: str, shows: str, *, off: tuple[str, ...] = (), **controls: str) -> CaseTest:
    """The 21 W loading lamp."""
    return CaseTest(tool="loading lamp", places=(clip, tip), shows=shows, moves=(controls,), off=off)


def meter(
    tool: str, black: str, red: str, shows: str, *, off: tuple[str, ...] = (), wiggled: tuple[str, ...] = (),
    **controls: str,
) -> CaseTest:
    """The multimeter on a range."""
    return CaseTest(tool=tool, places=(black, red), shows=shows, moves=(controls,), off=off, wiggled=wiggled)


def sign(part: str, shows: str, *, wiggled: tuple[str, ...] = (), **controls: str) -> CaseTest:
    """What a person sees or hears of a part."""
    return CaseTest(tool="notice", places=(part,), shows=shows, moves=(controls,), wiggled=wiggled)
