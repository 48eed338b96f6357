"""The job cards of the solved lessons: the acts their typed calls do, and the marks that are stored beside them."""

import contextlib
import io
import json
import os
import re
import tempfile
from dataclasses import dataclass, replace
from pathlib import Path
from unittest import mock

import pytest

from kit.bay import MachineBay
from kit.exercises.acts import Act
from kit.exercises.cards import JobCard

SOLVED = Path(__file__).parents[2] / "solutions"
BEGINS = re.compile(r"^job = kit\.(?:job|ask)\(", re.M)
MACHINES = re.compile(r"^(?:import kit|\w+ = kit\.machine\()", re.M)
BACK = "job.hand_back()"


@dataclass(frozen=True, slots=True, kw_only=True)
class SolvedJob:
    """One card as a solved lesson does it: what is hidden in it, its acts to handing back, the workshop's minutes they
    take, and the lines of the mark that are printed there."""

    card: JobCard
    faults: tuple[str, ...]
    acts: tuple[Act, ...]
    minutes: float
    printed: str = ""

    @property
    def points(self) -> int:
        """The points of the stored lines, "6 of 6 …" each."""
        return sum(int(points) for points in re.findall(r"^(\d+) of \d+ ", self.printed, re.M))


class Unmarked:
    """Stands where the marking stands when only the acts are wanted: a mark that never comes."""

    trouble = ""

    def __init__(self, *_asked: object) -> None: ...

    def mark(self, _patience: object) -> None:
        return None


def solved_jobs(lesson: str) -> list[SolvedJob]:
    """Every card of a solved lesson (``16-final-jobs``), its own cells run to where the machine is handed back."""
    cells = json.loads((SOLVED / f"{lesson}.ipynb").read_text(encoding="utf-8"))["cells"]
    found: list[SolvedJob] = []
    names: dict[str, object] = {}
    working = False
    # A twin's first cell says whose it is, for the process it runs in: that ends with its cells, as its record does.
    with (
        tempfile.TemporaryDirectory() as records, mock.patch.dict(os.environ, KIT_RECORDS=records),
        pytest.MonkeyPatch.context() as patch, contextlib.redirect_stdout(io.StringIO()),
    ):
        patch.setattr("kit.bay.machine_bay.Judging", Unmarked)
        for cell in cells:
            source = "".join(cell["source"])
            if cell["cell_type"] != "code":
                continue
            working = working or bool(BEGINS.search(source))
            if working or MACHINES.search(source):
                before, back, _ = source.partition(BACK)
                exec(before + back, names)
                if back:
                    found.append(_done(names["job"]))
                    working = False
            if 'view["review"]' in source:
                printed = "".join("".join(output.get("text", "")) for output in cell["outputs"])
                found[-1] = replace(found[-1], printed=printed)
    return found


def _done(job: MachineBay) -> SolvedJob:
    acts = tuple(step.act for step in job._steps)
    return SolvedJob(card=job._card, faults=job._first.planted, acts=acts, minutes=job.view["minutes"])


def lessons_with_jobs() -> list[str]:
    """Names of the solved lessons that have a job card."""
    return sorted(path.stem for path in SOLVED.glob("[0-9]*.ipynb") if "job = kit." in path.read_text(encoding="utf-8"))
