"""Handing in: one zip with one learner's work in it, which marking reads as it is."""

import zipfile

import pytest
from click.testing import CliRunner

from kit.cli.commands import kit
from kit.exercises import question, variant
from kit.records import Record, sign


@pytest.fixture
def work(tmp_path, monkeypatch):
    folder = tmp_path / "my work, ünd more"
    monkeypatch.setenv("KIT_RECORDS", str(folder))
    monkeypatch.delenv("KIT_LEARNER", raising=False)
    monkeypatch.chdir(tmp_path)
    asked = question("06.3")
    for name in ("wren", "wren", "me"):
        record = Record.open(course="autumn", learner=name, folder=folder)
        record.append("answer", question="06.3", version=asked.version, raw="0 V",
                      variant=variant(asked, "autumn", name).key)
        record.close()
    return folder


def run(*words):
    return CliRunner().invoke(kit, [str(word) for word in words])


def test_what_is_handed_in_is_the_learners_own_and_can_be_marked(work, tmp_path):
    sign("wren", work)
    got = run("hand-in")
    assert got.exit_code == 0 and "holds 2 files of wren's work" in got.output
    assert "Left out is the work of me" in got.output
    with zipfile.ZipFile(tmp_path / "hand-in-wren.zip") as archive:
        assert {archive.read(name) for name in archive.namelist()} == {
            path.read_bytes() for path in work.glob("wren-*.jsonl")}
    handed_in = tmp_path / "handed-in"
    handed_in.mkdir()
    (tmp_path / "hand-in-wren.zip").rename(handed_in / "hand-in-wren.zip")
    marked = run("mark", handed_in, "--out", tmp_path / "marks", "--quiet")
    assert marked.exit_code == 0 and marked.output.startswith("1 learner marked.")


def test_the_name_everybody_has_is_told_and_no_work_is_one_line(work, tmp_path):
    assert "everybody's name" in run("hand-in").output
    nobody = run("hand-in", "--learner", "heron")
    assert nobody.exit_code == 2 and "no work of 'heron'" in nobody.stderr and "work of me, wren" in nobody.stderr
