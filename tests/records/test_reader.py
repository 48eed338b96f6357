"""Reading records that accidents, editors and jokers have been at: words instead of errors, the good part kept."""

import hashlib
import json

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from kit.records import MAX_BYTES, Record, read_record


@pytest.fixture
def lines(tmp_path):
    """Four lines of a sound record: opened and three answers 0, 1, 2."""
    record = Record.open(course="c", learner="wren", folder=tmp_path / "own")
    for raw in ("0", "1", "2"):
        record.append("answer", question="06.1", version=1, variant="x", raw=raw)
    return record.path.read_bytes().splitlines(keepends=True)


@pytest.fixture
def read(tmp_path):
    def read_lines(*lines):
        path = tmp_path / "handed-in.jsonl"
        path.write_bytes(b"".join(lines))
        return read_record(path)

    return read_lines


def raws(found):
    return [entry.fields["raw"] for entry in found.entries if entry.kind == "answer"]


def following(line, **changes):
    """A line that keeps the chain whole but holds something else."""
    entry = {"n": json.loads(line)["n"] + 1, "prev": hashlib.sha256(line.rstrip(b"\n")).hexdigest()}
    entry |= {"at": "2031-01-01T00:00:00Z", "kind": "hint"} | changes
    return json.dumps(entry).encode() + b"\n"


def test_a_sound_record_reads_back_whole(lines, read):
    found = read(*lines)
    assert (raws(found), found.problems, found.learner, found.course) == (["0", "1", "2"], (), "wren", "c")


def test_a_cut_off_last_line_is_left_out_and_named(lines, read):
    found = read(*lines[:3], lines[3][:30])
    assert raws(found) == ["0", "1"]
    assert [problem.line for problem in found.problems] == [4]
    assert "cut off" in found.problems[0].text


def test_a_last_line_that_only_lacks_its_newline_counts(lines, read):
    assert raws(read(*lines[:3], lines[3].rstrip(b"\n"))) == ["0", "1", "2"]


def test_an_edited_line_and_all_after_it_are_left_out(lines, read):
    found = read(lines[0], lines[1], lines[2].replace(b'"raw":"1"', b'"raw":"9"'), lines[3])
    assert raws(found) == ["0"]
    assert "line 3 and all after it were left out" in found.problems[0].text


def test_a_removed_line_breaks_the_chain(lines, read):
    found = read(lines[0], lines[1], lines[3])
    assert raws(found) == []
    assert found.problems[0].line == 3


@pytest.mark.parametrize(
    ("junk", "says"),
    [
        (b"not json\n", "not JSON"),
        (b"[1, 2]\n", "not a JSON object"),
        (b"\xff\xfe\n", "not UTF-8"),
        (b"[" * 60_000 + b"\n", "nested too deeply"),
        (b'{"n": NaN}\n', "NaN"),
        (b'{"n": 1e999}\n', "too large"),
        (b'{"n": ' + b"9" * 6000 + b"}\n", "line 3"),
        (b'{"n": 2, "n": 2}\n', "key twice"),
        (b'{"n": "\\ud800"}\n', "characters that are none"),
        (b'{"n":2,"prev":"","at":"yesterday","kind":"hint"}\n', "not a moment"),
        (b'{"n":true,"prev":"","at":"2031-01-01T00:00:00Z","kind":"hint"}\n', "envelope"),
        (b'{"kind":"hint"}\n', "no 'n'"),
        (b"x" * 70_000 + b"\n", "longer than 64 kB"),
    ],
)
def test_junk_in_the_middle_ends_trust_there_and_nowhere_earlier(lines, read, junk, says):
    found = read(lines[0], lines[1], junk, lines[2], lines[3])
    assert raws(found) == ["0"]
    assert len(found.problems) == 1
    assert says in found.problems[0].text and "line 3" in found.problems[0].text


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"kind": "whisper"}, "unknown kind 'whisper'"),
        ({"kind": "answer", "question": "06.1"}, "has no 'version'"),
        ({"kind": "opened", "schema": 1, "kit": "", "course": "", "learner": "x", "digests": {}}, "a second time"),
    ],
)
def test_a_line_that_says_nothing_usable_is_left_out_alone(lines, read, changes, says):
    odd = following(lines[1], **changes)
    after = following(odd, kind="answer", question="06.1", version=1, variant="x", raw="kept")
    found = read(lines[0], lines[1], odd, after)
    assert raws(found) == ["0", "kept"]
    assert [says in problem.text for problem in found.problems] == [True]


@pytest.mark.parametrize(
    ("first", "says"),
    [
        (b"", "the file is empty"),
        (b"hello\n", "not JSON"),
        (b'{"n":0,"prev":"","at":"2031-01-01T00:00:00Z","kind":"hint"}\n', "does not begin"),
        (
            b'{"n":0,"prev":"","at":"2031-01-01T00:00:00Z","kind":"opened","schema":7,"kit":"9","course":"c",'
            b'"learner":"l","digests":{}}\n',
            "schema 7",
        ),
        (
            b'{"n":0,"prev":"","at":"2031-01-01T00:00:00Z","kind":"opened","schema":1,"kit":"9","course":"c",'
            b'"learner":" ","digests":{}}\n',
            "names no learner",
        ),
    ],
)
def test_a_file_that_does_not_open_as_a_record_is_refused_whole(read, first, says):
    found = read(first)
    assert found.entries == ()
    assert says in found.problems[0].text and "whole file was left out" in found.problems[0].text


def test_mailed_line_ends_a_byte_order_mark_and_blank_lines_do_no_harm(lines, read):
    mailed = [line.replace(b"\n", b"\r\n") for line in lines]
    found = read(b"\xef\xbb\xbf", mailed[0], b"\r\n", *mailed[1:], b"\n\n")
    assert (raws(found), found.problems) == (["0", "1", "2"], ())


def test_a_hundred_megabytes_are_refused_without_being_read(tmp_path, monkeypatch):
    path = tmp_path / "huge.jsonl"
    with path.open("wb") as file:
        file.truncate(100_000_000)
    monkeypatch.setattr(type(path), "open", lambda *_, **__: pytest.fail("the file was opened"))
    found = read_record(path)
    assert found.entries == ()
    assert "100 MB" in found.problems[0].text and path.stat().st_size > MAX_BYTES


def test_a_missing_file_is_a_problem_in_words(tmp_path):
    assert "cannot be read" in read_record(tmp_path / "gone.jsonl").problems[0].text


@settings(max_examples=300, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(data=st.data())
def test_no_damage_makes_the_reader_raise_and_what_it_keeps_was_really_written(lines, read, data):
    whole = b"".join(lines)
    at = data.draw(st.integers(0, len(whole)))
    cut = data.draw(st.integers(0, 60))
    damaged = whole[:at] + data.draw(st.binary(max_size=40)) + whole[at + cut :]
    kept = raws(read(damaged))
    # Damage to the last line cannot be seen in the chain; everything before it is as written or left out.
    assert kept[:2] == ["0", "1"][: len(kept[:2])]
