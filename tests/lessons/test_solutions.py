"""Each solved lesson earns full marks: run top to bottom, its record marked like anybody's."""

import os
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from kit.marking import mark_folder

ROOT = Path(__file__).parents[2]
SOLVED = sorted((ROOT / "solutions").glob("[0-9]*.ipynb"))


@pytest.fixture(scope="module")
def runs(request, tmp_path_factory):
    """Each notebook asked for, run beside the others: what came of it, and where its records are."""
    asked = [item.callspec.params["notebook"] for item in request.session.items
             if getattr(item, "module", None) is request.module and hasattr(item, "callspec")]
    with ThreadPoolExecutor(os.cpu_count() or 1) as pool:
        yield {path: pool.submit(run, path, tmp_path_factory.mktemp(path.stem)) for path in asked}


def run(notebook, folder):
    command = (sys.executable, "-m", "jupyter", "nbconvert", "--to", "notebook", "--execute", "--stdout", str(notebook))
    environment = {**os.environ, "KIT_RECORDS": str(folder / "records")}
    done = subprocess.run(command, env=environment, cwd=folder, capture_output=True, text=True, timeout=900)
    return done, folder / "records"


@pytest.mark.parametrize("notebook", SOLVED, ids=lambda path: path.stem)
def test_a_solved_lesson_earns_full_marks(notebook, runs):
    done, records = runs[notebook].result()
    assert done.returncode == 0, done.stderr[-2000:]
    book = mark_folder(records, stories=False)
    assert not book.troubles
    (solver,) = book.learners
    lesson = notebook.stem.split("-")[0]
    rows = [row for row in solver.rows if row.question.startswith(f"{lesson}.")]
    assert rows
    assert {row.question: row.points for row in rows} == {row.question: row.of for row in rows}


def test_every_lesson_has_its_solved_twin():
    lessons = {path.name for path in (ROOT / "lessons").glob("[0-9]*.ipynb")}
    assert lessons == {path.name for path in SOLVED} != set()
