"""Making notebooks ready to open: signed as trusted, and without views of widgets whose kernel is gone."""

from pathlib import Path

import nbformat
from nbformat.reader import NotJSONError
from nbformat.sign import NotebookNotary
from nbformat.validator import ValidationError

WIDGET_VIEW = "application/vnd.jupyter.widget-view+json"


def make_ready(folder: Path, data: Path) -> None:
    """Make every notebook of a folder ready; ``data`` is Jupyter's data folder, where its signatures are kept.

    Whoever starts the lessons means to run them. Unsigned, Jupyter asks at every button whether it may, and hides the
    drawings until then.
    """
    notary = NotebookNotary(data_dir=str(data))
    try:
        for path in sorted(folder.glob("*.ipynb")):
            _make_ready(path, notary)
    finally:
        notary.store.close()


def _make_ready(path: Path, notary: NotebookNotary) -> None:
    """A file that is no notebook, or cannot be written, is left as it is for JupyterLab to tell of."""
    try:
        notebook = nbformat.read(path, as_version=4)
        if _dead_views_out(notebook):
            nbformat.write(notebook, path)
    except (OSError, ValueError, NotJSONError, ValidationError, AttributeError, KeyError, TypeError):
        # The last three are what nbformat raises for JSON of another shape.
        return
    notary.sign(notebook)


def _dead_views_out(notebook: nbformat.NotebookNode) -> bool:
    """Take out saved widget views, which would show an error now, wherever a picture or text stands in for them."""
    outputs = [output for cell in notebook.cells for output in cell.get("outputs", ())]
    dead = [output.data for output in outputs if WIDGET_VIEW in output.get("data", ()) and len(output.data) > 1]
    for data in dead:
        del data[WIDGET_VIEW]
    return bool(dead)
