"""Notebooks made ready to open: trusted, and without views of widgets whose kernel is gone."""

import nbformat
from nbformat.sign import NotebookNotary

from kit.cli.notebooks import WIDGET_VIEW, make_ready


def a_notebook(*outputs):
    cell = nbformat.v4.new_code_cell("kit.ready()", outputs=[
        nbformat.v4.new_output("display_data", data=data) for data in outputs
    ])
    return nbformat.v4.new_notebook(cells=[cell])


def trusted(path, data):
    notary = NotebookNotary(data_dir=str(data))
    try:
        return notary.check_signature(nbformat.read(path, as_version=4))
    finally:
        notary.store.close()


def test_dead_views_go_what_stands_in_for_them_stays_and_the_page_is_trusted(tmp_path):
    view = {"model_id": "gone"}
    path, data = tmp_path / "lesson.ipynb", tmp_path / "data"
    data.mkdir()
    nbformat.write(a_notebook({WIDGET_VIEW: view, "text/plain": "stands in"}, {WIDGET_VIEW: view}), path)
    assert not trusted(path, data)
    make_ready(tmp_path, data)
    first, bare = nbformat.read(path, as_version=4).cells[0].outputs
    assert dict(first.data) == {"text/plain": "stands in"}
    # With nothing to stand in for it, it is left: an empty output would be no better.
    assert WIDGET_VIEW in bare.data
    assert trusted(path, data)
    before = path.read_bytes()
    make_ready(tmp_path, data)
    assert path.read_bytes() == before


def test_what_is_no_notebook_is_left_as_it_is(tmp_path):
    data = tmp_path / "data"
    data.mkdir()
    (tmp_path / "a.ipynb").write_text("{ not json")
    (tmp_path / "b.ipynb").write_bytes(b"\xff\xfe\x00")
    (tmp_path / "c.ipynb").write_text("[]")
    nbformat.write(a_notebook({"text/plain": "well"}), tmp_path / "d.ipynb")
    make_ready(tmp_path, data)
    assert (tmp_path / "a.ipynb").read_text() == "{ not json" and (tmp_path / "c.ipynb").read_text() == "[]"
    assert trusted(tmp_path / "d.ipynb", data)
