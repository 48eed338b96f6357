"""Writing a record: the design's own format, on the disk before anything else, whole after a failure."""

import hashlib
import json
import os
import resource
import subprocess
import sys

import pytest

from kit.errors import RecordError
from kit.records import MAX_LINE, Record, earlier_entries, kernel_record, learner_name, read_record, sign


def lines_of(record):
    return record.path.read_bytes().splitlines(keepends=True)


def test_a_record_is_json_lines_chained_by_the_sha_256_of_the_line_before(tmp_path):
    record = Record.open(course="autumn", learner="wren", folder=tmp_path, digests={"orchard-bike": "ab12"})
    record.append("answer", question="06.3", version=2, variant="1f", raw="12,4 V")
    record.append("act", job="J3", act="probe", instrument="lamp", leads=["G1.-", "F1.2"], shown="out")
    first, second, third = lines_of(record)
    # Worked out here by hand from the bytes, not with the kit's own digest.
    assert json.loads(second)["prev"] == hashlib.sha256(first[:-1]).hexdigest()
    assert json.loads(third)["prev"] == hashlib.sha256(second[:-1]).hexdigest()
    opened = json.loads(first)
    assert list(opened) == ["n", "prev", "at", "kind", "schema", "kit", "course", "learner", "digests"]
    assert (opened["n"], opened["prev"], opened["kind"], opened["schema"]) == (0, "", "opened", 1)
    assert opened["digests"] == {"orchard-bike": "ab12"}
    assert opened["at"].endswith("Z")
    assert list(json.loads(second)) == ["n", "prev", "at", "kind", "question", "version", "variant", "raw"]
    assert first.endswith(b"\n") and b"12,4 V" in second


def test_an_entry_is_synced_before_append_returns(tmp_path, monkeypatch):
    record = Record.open(course="c", learner="l", folder=tmp_path)
    on_disk = []
    monkeypatch.setattr(os, "fsync", lambda file: on_disk.append(os.fstat(file).st_size))
    record.append("hint", question="06.1")
    assert on_disk == [record.path.stat().st_size]


def test_every_kernel_has_a_file_of_its_own_and_no_host_name_in_it(tmp_path):
    names = {Record.open(course="c", learner="Ann / é", folder=tmp_path).path.name for _ in range(20)}
    assert len(names) == 20
    assert all(name.startswith("ann-") and os.uname().nodename.lower() not in name for name in names)


def test_a_full_disk_says_so_and_leaves_the_record_whole(tmp_path):
    program = """
import resource, signal, sys
from pathlib import Path
from kit.records import Record
from kit.errors import RecordError
record = Record.open(course="c", learner="l", folder=Path(sys.argv[1]))
limit = record.path.stat().st_size + 40
resource.setrlimit(resource.RLIMIT_FSIZE, (limit, resource.RLIM_INFINITY))
try:
    record.append("hint", question="06.1")
except RecordError as error:
    print(error)
resource.setrlimit(resource.RLIMIT_FSIZE, (resource.RLIM_INFINITY, resource.RLIM_INFINITY))
record.append("hint", question="06.2")
"""
    assert resource.RLIMIT_FSIZE
    ran = subprocess.run([sys.executable, "-c", program, str(tmp_path)], capture_output=True, text=True, check=True)
    assert "is full, so nothing was recorded" in ran.stdout
    (path,) = tmp_path.glob("*.jsonl")
    found = read_record(path)
    assert not found.problems
    assert [entry.fields.get("question") for entry in found.entries] == [None, "06.2"]


@pytest.mark.parametrize(
    ("kind", "fields", "says"),
    [
        ("guess", {}, "unknown kind 'guess'"),
        ("answer", {"question": "06.1", "version": 1, "variant": "x"}, "has no 'raw'"),
        ("answer", {"question": "06.1", "version": True, "variant": "x", "raw": "a"}, "'version'"),
        ("act", {"act": "probe", "shown": float("nan")}, "cannot be recorded"),
        ("act", {"act": "probe", "shown": object()}, "cannot be recorded"),
        ("act", {"act": "probe", "prev": "x"}, "'prev'"),
        ("act", {"act": "x" * MAX_LINE}, "too long"),
    ],
)
def test_what_a_record_cannot_hold_is_refused_and_nothing_is_written(tmp_path, kind, fields, says):
    record = Record.open(course="c", learner="l", folder=tmp_path)
    before = record.path.read_bytes()
    with pytest.raises(RecordError, match=says):
        record.append(kind, **fields)
    assert record.path.read_bytes() == before


def test_half_a_surrogate_from_a_keyboard_is_recorded_as_a_sign_for_it(tmp_path):
    record = Record.open(course="c", learner="l", folder=tmp_path)
    record.append("answer", question="06.1", version=1, variant="x", raw="12 \ud83d V")
    assert read_record(record.path).entries[1].fields["raw"] == "12 \ufffd V"


def test_a_folder_that_cannot_be_made_is_one_plain_line(tmp_path):
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(RecordError, match="cannot be written to"):
        Record.open(course="c", learner="l", folder=tmp_path / "file" / "my-work")


def test_the_learner_comes_from_the_environment_then_the_file_then_me(tmp_path, monkeypatch):
    monkeypatch.delenv("KIT_LEARNER", raising=False)
    assert learner_name(tmp_path) == "me"
    (tmp_path / "learner.txt").write_bytes("\n  blue\twren \nsecond line\n".encode("utf-16"))
    assert learner_name(tmp_path) == "blue wren"
    (tmp_path / "learner.txt").write_bytes("\ufeffgrey heron\r\n".encode())
    assert learner_name(tmp_path) == "grey heron"
    monkeypatch.setenv("KIT_LEARNER", "robin")
    assert learner_name(tmp_path) == "robin"


def test_a_widget_can_see_what_was_answered_before_a_reload_and_before_a_restart(tmp_path):
    def opened(learner):
        return Record.open(course="c", learner=learner, folder=tmp_path)

    before, stranger, now = opened("wren"), opened("heron"), opened("wren")
    for record, raw in ((before, "old"), (stranger, "other"), (now, "new")):
        record.append("answer", question="06.2", version=1, variant="x", raw=raw)
        record.append("answer", question="06.1", version=1, variant="x", raw="a")
    assert [entry.fields["raw"] for entry in now.about(question="06.2")] == ["new"]
    assert [entry.fields["raw"] for entry in earlier_entries(now, question="06.2")] == ["old"]


def test_a_kernel_has_one_record_until_the_learner_signs_in_under_another_name(tmp_path, monkeypatch):
    monkeypatch.delenv("KIT_LEARNER", raising=False)
    monkeypatch.setenv("KIT_RECORDS", str(tmp_path / "work"))
    first = kernel_record()
    assert kernel_record() is first and first.learner == "me"
    assert sign("  blue wren ") == "blue wren"
    assert kernel_record().learner == "blue wren" and kernel_record() is not first
    with pytest.raises(RecordError, match="type a name"):
        sign(" \x07 ")
