"""Run the lessons and solutions top to bottom and store their outputs: ``python tests/lessons/store_outputs.py``.

Widget views and widget state are left out: without a kernel they would show an error where the stored picture shows the
machine.
"""

import os
import sys
import tempfile
from pathlib import Path

import nbformat
from nbclient import NotebookClient

ROOT = Path(__file__).parents[2]
WIDGET_VIEW = "application/vnd.jupyter.widget-view+json"


def store(path: Path) -> None:
    """Execute one notebook in place and write it back with what is worth keeping."""
    notebook = nbformat.read(path, as_version=4)
    NotebookClient(notebook, timeout=300, resources={"metadata": {"path": str(path.parent)}}).execute()
    notebook.metadata.pop("widgets", None)
    for cell in notebook.cells:
        cell.metadata.pop("execution", None)
        for output in cell.get("outputs", ()):
            output.get("data", {}).pop(WIDGET_VIEW, None)
    nbformat.write(notebook, path)


if __name__ == "__main__":
    os.environ["KIT_RECORDS"] = tempfile.mkdtemp()
    os.environ["KIT_LEARNER"] = "stored"
    everything = sorted([*ROOT.glob("lessons/*.ipynb"), *ROOT.glob("solutions/*.ipynb")])
    for notebook in [Path(name) for name in sys.argv[1:]] or everything:
        print(notebook.name)
        store(notebook)
