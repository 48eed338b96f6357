"""Lessons as they lie in the repository, turned into web pages without any kernel."""

import re
from pathlib import Path

import nbformat
import pytest
from nbconvert import HTMLExporter

ROOT = Path(__file__).parents[2]
PAGES = sorted([*ROOT.glob("lessons/*.ipynb"), *ROOT.glob("solutions/*.ipynb")])


@pytest.mark.parametrize("path", PAGES, ids=lambda path: f"{path.parent.name}/{path.stem}")
def test_every_page_shows_pictures_and_sentences_and_no_error(path):
    notebook = nbformat.read(path, as_version=4)
    page, _ = HTMLExporter().from_notebook_node(notebook)
    asked = [cell for cell in notebook.cells if re.search(r"^kit\.(ask|bay|job|corner|today)\(", cell.source, re.M)]
    assert page.count("press the button at the top of this page") >= len(asked)
    for cell in notebook.cells:
        if cell.cell_type != "code":
            continue
        assert not [output for output in cell.outputs if output.output_type == "error"]
        assert not [output for output in cell.outputs if "widget-view" in str(list(output.get("data", ())))]
    for cell in asked:
        assert "data:image/svg+xml;base64," in cell.outputs[-1].data["text/html"]
    assert "Error displaying widget" not in page and "Traceback" not in page
    assert "widgets" not in notebook.metadata
