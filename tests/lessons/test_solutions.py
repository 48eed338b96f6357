"""Each solved lesson earns full marks: run top to bottom, its record marked like anybody's."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from kit.marking import mark_folder

ROOT = Path(__file__).parents[2]
SOLVED = sorted((ROOT / "solutions").glob("[0-9]*.ipynb"))


@pytest.mark.parametrize("notebook", SOLVED, ids=lambda path: path.stem)
def test_a_solved_lesson_earns_full_marks(notebook, tmp_path):
    records = tmp_path / "records"
    command = (sys.executable, "-m", "jupyter", "nbconvert", "--to", "notebook", "--execute", "--stdout", str(notebook))
    environment = {**os.environ, "KIT_RECORDS": str(records)}
    done = subprocess.run(command, env=environment, cwd=tmp_path, capture_output=True, text=True, timeout=300)
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
