"""What is handed in broken, by chance or to do harm: a line says so, the class is marked, nothing lands outside."""

import csv
import io
import json
import os
import random
import stat
import zipfile

import pytest
from click.testing import CliRunner

from kit.cli.commands import kit
from kit.exercises import question, questions, variant
from kit.marking import mark_folder
from kit.marking.by_hand import Given
from kit.marking.folder import find_handed_in, record_in
from kit.marking.learner import mark_learner
from kit.marking.rubric import default_rubric
from kit.records import Record
from kit.records.entries import digest

RIGHT = {"06.1": "4", "06.3": "4", "06.6": "4"}


def lines_of(learner, course="autumn", at=None, **more):
    """A record's lines made here, by hand, so that they may be such as the kit would never write."""
    at = at or ["2031-05-04T09:12:33.120415Z"] * 9
    opened = {"n": 0, "prev": "", "at": at[0], "kind": "opened", "schema": 1, "kit": "0.1", "course": course,
              "learner": learner, "digests": {}} | more
    return [json.dumps(opened).encode() + b"\n"]


def chained(first, *bodies):
    """These bodies (JSON text, with %d and %s for n and prev) after the first line, in a chain."""
    lines = [first]
    for n, body in enumerate(bodies, 1):
        lines.append((body % (n, digest(lines[-1]))).encode() + b"\n")
    return b"".join(lines)


ANSWER = '{"n":%%d,"prev":"%%s","at":"%s","kind":"answer","question":"06.3","version":1,"variant":"%s","raw":%s}'


def answer(raw, key="x", at="2031-05-04T09:13:33.120415Z"):
    return ANSWER % (at, key, raw)


def opened(learner="mallory"):
    return lines_of(learner)[0]


def packed(*members):
    """A zip of these (name, content), told of the mode where a third is given."""
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content, *mode in members:
            info = zipfile.ZipInfo(name)
            info.compress_type = zipfile.ZIP_DEFLATED
            info.external_attr = (mode[0] if mode else stat.S_IFREG | 0o644) << 16
            archive.writestr(info, content)
    return file.getvalue()


def zip_that_lies():
    """A member whose list says 100 bytes, and which holds 30 MB."""
    whole = packed(("a.jsonl", b" " * 30_000_000))
    return whole.replace((30_000_000).to_bytes(4, "little"), (100).to_bytes(4, "little"))


def overlapping():
    """Two names in an archive's list for the same bytes: as many times as one likes."""
    content = os.urandom(40_000).hex().encode()
    with zipfile.ZipFile(io.BytesIO(packed(("a.jsonl", content)))) as one:
        start = one.start_dir
    whole = packed(("a.jsonl", content))
    end = len(whole) - 22
    entry = whole[start:end]
    twice = bytearray(whole[:start] + entry + entry + whole[end:])
    tail = len(twice) - 22
    for place, size, value in ((8, 2, 2), (10, 2, 2), (12, 4, 2 * len(entry)), (16, 4, start)):
        twice[tail + place : tail + place + size] = value.to_bytes(size, "little")
    return bytes(twice)


FILES = {
    # name: (file name, content, what the one line says)
    "zip slip": ("a.zip", packed(("../../evil.jsonl", opened())), "leads out of the archive"),
    "zip slip, the other slash": ("a.zip", packed(("..\\evil.jsonl", opened())), "leads out of the archive"),
    "zip from the root": ("a.zip", packed(("/etc/evil.jsonl", opened())), "leads out of the archive"),
    "zip bomb": ("a.zip", packed(("a.jsonl", b"{" * 19_000_000)), "times its size"),
    "zip larger than any record": ("a.zip", packed(("a.jsonl", b" " * 90_000_000)), "opens up to 90 MB"),
    "zip that lies of its size": ("a.zip", zip_that_lies(), "whole file was left out"),
    "zip with members on top of each other": ("a.zip", overlapping(), "lie upon each other"),
    "zip in a zip": ("a.zip", packed(("b.zip", packed(("c.jsonl", opened())))), "archive in an archive"),
    "zip with a link": ("a.zip", packed(("a.jsonl", "/etc/passwd", stat.S_IFLNK | 0o777)), "links are not followed"),
    "zip that is none": ("a.zip", b"PK\x03\x04 not really", "cannot be opened"),
    "zip cut off": ("a.zip", packed(("a.jsonl", opened()))[:-30], "cannot be opened"),
    "deep JSON": ("a.jsonl", chained(opened(), answer("[" * 30_000 + "]" * 30_000)), "nested too deeply"),
    "NaN": ("a.jsonl", chained(opened(), answer("NaN")), "holds NaN"),
    "Infinity": ("a.jsonl", chained(opened(), answer("-Infinity")), "holds -Infinity"),
    "a number past all numbers": ("a.jsonl", chained(opened(), answer("1e999")), "too large"),
    "a number of 5,000 digits": ("a.jsonl", chained(opened(), answer("9" * 5000)), "line 2"),
    "UTF-16": ("a.jsonl", opened().decode().encode("utf-16"), "not UTF-8"),
    "Latin-1": ("a.jsonl", opened("x").replace(b'"x"', b'"\xe9"'), "not UTF-8"),
    "zero bytes": ("a.jsonl", b"\x00" * 5000, "line 1"),
    "half a surrogate": ("a.jsonl", chained(opened(), answer('"\\ud800"')), "characters that are none"),
    "a key twice": ("a.jsonl", chained(opened(), answer('{"a":1,"a":2}')), "names a key twice"),
    "a question that is none": ("a.jsonl", chained(opened(), answer('"1"').replace("06.3", "../../x")), "no question"),
    "another's variant": ("a.jsonl", chained(opened(), answer('"1"')), "not this learner's"),
    "another course": ("a.jsonl", lines_of("mallory", course="spring")[0], "a record of the course 'spring'"),
    "another schema": ("a.jsonl", lines_of("mallory", schema=7)[0], "schema 7"),
    "no learner": ("a.jsonl", lines_of(" ")[0], "names no learner"),
    "a card that is none": ("a.jsonl", chained(
        opened(), answer("1").replace('"answer"', '"act","job":"=J1","act":"x"')), "no job card"),
}


@pytest.fixture
def good(learner):
    one = learner("wren")
    for name in RIGHT:
        one.right(name)
    return one


def marked(handed_in, out, *more):
    """Mark by the command line and give its result and the rows; nothing but the folder of marks may change."""
    before = snapshot(handed_in.parent, out)
    got = CliRunner().invoke(kit, ["mark", str(handed_in), "--out", str(out), "--quiet", *map(str, more)])
    assert snapshot(handed_in.parent, out) == before
    assert got.exception is None or isinstance(got.exception, SystemExit), got.exception
    with (out / "marks.csv").open(encoding="utf-8-sig", newline="") as file:
        return got, list(csv.DictReader(file))


def snapshot(folder, out):
    return {
        path: path.lstat().st_size
        for path in folder.rglob("*") if out not in (path, *path.parents) and not path.is_dir()
    }


def points_of(rows, name="wren"):
    return {row["question"]: row["points"] for row in rows if row["learner"] == name and row["attempts"] != "0"}


@pytest.mark.parametrize("name", FILES)
def test_a_broken_hand_in_is_one_line_and_the_class_is_marked(name, good, handed_in, tmp_path):
    file, content, says = FILES[name]
    (handed_in / file).write_bytes(content)
    got, rows = marked(handed_in, tmp_path / "marks")
    assert got.exit_code == 1
    said = [line for line in got.output.splitlines() if line.startswith(f"  {file}")]
    assert len(said) == 1 and says in said[0] and len(said[0]) < 300
    assert points_of(rows) == RIGHT


def test_links_pipes_and_a_line_of_a_gigabyte_are_a_line_each_and_never_opened(good, handed_in, tmp_path):
    (tmp_path / "secret.jsonl").write_bytes(opened("secret"))
    (handed_in / "link.jsonl").symlink_to(tmp_path / "secret.jsonl")
    (handed_in / "round").symlink_to(handed_in)
    os.mkfifo(handed_in / "pipe.jsonl")
    with (handed_in / "long.jsonl").open("wb") as file:
        file.truncate(1_000_000_000)
    got, rows = marked(handed_in, tmp_path / "marks")
    assert got.exit_code == 1
    said = {"link.jsonl": "a link", "round": "a link", "pipe.jsonl": "a pipe", "long.jsonl": "1,000 MB"}
    for file, says in said.items():
        assert sum(line.startswith(f"  {file}: ") and says in line for line in got.output.splitlines()) == 1
    assert points_of(rows) == RIGHT and {row["learner"] for row in rows} == {"wren"}


def test_an_archive_an_archive_among_folders_and_a_single_record_give_the_same_marks(good, handed_in, tmp_path):
    whole = good.record.path.read_bytes()
    name = good.record.path.name
    _, plain = marked(handed_in, tmp_path / "plain")
    _, single = marked(good.record.path, tmp_path / "single")
    (tmp_path / "class.zip").write_bytes(packed((f"desk 1/{name}", whole), ("desk 1/learner.txt", "wren")))
    _, archive = marked(tmp_path / "class.zip", tmp_path / "archive")
    good.record.path.unlink()
    (handed_in / "desk 1").mkdir()
    (handed_in / "desk 1" / "work.zip").write_bytes(packed((name, whole)))
    got, inside = marked(handed_in, tmp_path / "inside")
    assert plain == single == archive == inside and points_of(plain) == RIGHT
    assert got.exit_code == 0, got.output


NASTY = ("../../evil", "/etc/passwd", "=cmd|' /C calc'!A0", "<script>alert(1)</script>", "@SUM(A1)", "a\u202eb", "CON")


def test_names_with_ways_formulae_and_scripts_stay_words_everywhere(good, learner, handed_in, tmp_path):
    import openpyxl

    for name in NASTY:
        one = learner(name)
        one.say("06.3", "<img src=x onerror=alert(1)>=1+1")
        one.record.append("act", job="J5", act="note", text="=1+1<script>alert(2)</script>")
    got, rows = marked(handed_in, tmp_path / "marks")
    assert points_of(rows) == RIGHT and len({row["learner"] for row in rows}) == len(NASTY) + 1
    assert got.exit_code == 0, got.output
    for page in (tmp_path / "marks").rglob("*.html"):
        text = page.read_text(encoding="utf-8")
        assert "<script" not in text and "<img" not in text
    for path in (tmp_path / "marks").glob("*.csv"):
        with path.open(encoding="utf-8-sig", newline="") as file:
            assert not [cell for row in csv.reader(file) for cell in row if cell.startswith(tuple("=+@"))]
    book = openpyxl.load_workbook(tmp_path / "marks" / "marks.xlsx")
    cells = [cell for sheet in book for row in sheet.iter_rows() for cell in row if cell.value is not None]
    assert len(cells) > 100 and {cell.data_type for cell in cells} <= {"s", "n"}
    assert not [cell for cell in cells if cell.data_type == "s" and cell.value.startswith(tuple("=+@"))]


def test_the_answer_given_first_counts_whatever_the_clock_did(handed_in, learner):
    from kit.exercises import right_answer

    item = question("06.2")
    mine = variant(item, "autumn", "wren")
    right = right_answer(item, mine)
    wrong = {point: ["out" for _ in row] for point, row in right.items()}
    bodies = [
        answer(json.dumps(raw), mine.key, at).replace("06.3", "06.2")
        for raw, at in ((wrong, "2031-05-04T09:20:00.000000Z"), (right, "2029-01-01T00:00:00.000000Z"))
    ]
    (handed_in / "wren.jsonl").write_bytes(chained(opened("wren"), *bodies))
    (marks,) = mark_folder(handed_in).learners
    found = next(row for row in marks.rows if row.question == "06.2")
    assert (marks.sources["06.2"].n, found.attempts) == (1, 2) and found.points < found.of
    (trouble,) = marks.troubles
    assert "entry 2: the clock went back" in trouble.text and "2029-01-01" in trouble.text


def test_two_learners_records_of_one_moment_and_one_learner_twice(good, learner, handed_in):
    other = learner("wren", sub="elsewhere")
    other.right("06.5")
    book = mark_folder(handed_in)
    assert [one.learner for one in book.learners] == ["wren"]
    assert ["from 2 folders" in one.text for one in book.troubles] == [True]


def test_a_sample_cut_off_at_every_byte_gives_what_stands_before_the_cut(good):
    whole = good.record.path.read_bytes()
    ends = [n for n, byte in enumerate(whole) if byte == 10]
    rubric = default_rubric()
    for size in range(len(whole)):
        found = record_in("wren.jsonl", whole[:size], "")
        # A line that lacks only its end is whole.
        lines = sum(end <= size for end in ends)
        assert len(found.entries) == lines
        assert len(found.problems) == (size not in (*(end for end in ends), *(end + 1 for end in ends)))
        if found.entries and size % 97 == 0:
            marks, refused = mark_learner([found], rubric, Given())
            assert not refused and sum(row.attempts for row in marks.rows) == lines - 1


JUNK = [
    None, True, -1, 0, 10**400, 1e308, -0.0, 5e-324, "", " ", "\x00", "=1+1", "9" * 3000, "1e5000", "٣", "½",
    "V" * 3000, "-", "1,,2",
    [], [[]], [1] * 500, {}, {"": ""}, {"F1.1": None}, {"F1.1": [1, None, {}]}, {"a": {"b": [{}]}}, ["A", "A"], [None],
    [{"act": "probe", "leads": 3}], {"test": [], "keep": {}}, "\ud7ff", "a" * 60_000,
]


def test_no_answer_to_any_question_makes_the_marking_fail():
    from kit.exercises import mark

    slow = {item.kind: item.id for item in questions().values() if item.kind in ("volts", "next test")}
    for item in questions().values():
        if item.kind == "job" or slow.get(item.kind, item.id) != item.id:
            continue
        mine = variant(item, "autumn", "wren")
        for raw in JUNK:
            got = mark(item, mine, raw)
            assert 0 <= got.points <= got.of, (item.id, str(raw)[:40])


@pytest.mark.parametrize("seed", range(8))
def test_records_with_bytes_changed_at_random_never_stop_the_class(seed, learner, handed_in, tmp_path):
    """Seeded, so that what fails once fails again."""
    chance = random.Random(seed)
    one = learner("robin")
    for name in ("06.1", "06.2", "06.3", "06.4", "06.5", "06.6"):
        one.right(name)
        one.record.append("hint", question=name, version=1, variant="x")
    one.do("operate", control="key", position="on")
    whole = one.record.path.read_bytes()
    rubric = default_rubric()
    for _ in range(40):
        changed = bytearray(whole)
        for _ in range(chance.choice((1, 1, 3, 20))):
            place = chance.randrange(len(changed))
            match chance.randrange(4):
                case 0:
                    changed[place] = chance.randrange(256)
                case 1:
                    del changed[place : place + chance.randrange(1, 60)]
                case 2:
                    changed[place:place] = bytes(chance.randrange(256) for _ in range(chance.randrange(1, 20)))
                case 3:
                    changed[place:place] = changed[: chance.randrange(200)]
        found = record_in("x.jsonl", bytes(changed), "")
        assert len(found.problems) <= 21
        # Nothing after a change counts, but for changes of the opening line that leave it a good one.
        if found.entries and found.learner == "robin":
            marks, _ = mark_learner([found], rubric, Given())
            assert all(0 <= row.points <= row.of for row in marks.rows)


@pytest.mark.parametrize("seed", range(4))
def test_entries_of_nonsense_in_a_sound_chain_are_left_out_or_marked(seed, handed_in):
    """What somebody can write who knows the format: every field of every kind may be anything."""
    chance = random.Random(seed)
    record = Record.open(course="autumn", learner="mallory", folder=handed_in)
    names = [name for name, item in questions().items() if item.kind != "job"]
    plain = [raw for raw in JUNK if len(str(raw)) < 5000]
    raws = [one for one in plain if isinstance(one, (str, int, float, list, dict)) and one is not True]
    for _ in range(120):
        name = chance.choice(names)
        item = questions()[name]
        key = variant(item, "autumn", "mallory", chance.choice((0, 0, 0, 1))).key
        raw = chance.choice(raws)
        match chance.randrange(5):
            case 0 | 1 | 2:
                record.append("answer", question=name, version=item.version, variant=key, raw=raw)
            case 3:
                record.append("hint", question=chance.choice(plain), variant=chance.choice(plain))
            case 4:
                record.append("undo", of=chance.choice((-1, 0, 3, 10**30)))
    for _ in range(10):
        record.append("act", job=chance.choice(("J1", "J2", "", [], {"a": 1}, 7)), version=1,
                      act=chance.choice(("probe", "x", "look")), leads=chance.choice(plain), part=chance.choice(plain))
    (marks,) = mark_folder(handed_in).learners
    assert marks.rows and not [one for one in marks.troubles if "the kit failed" in one.text]


def test_a_fault_of_the_kits_costs_one_learner_and_is_told_of(good, learner, handed_in, monkeypatch):
    learner("robin").right("06.1")

    def fails(records, *more, **named):
        if records[0].learner == "robin":
            raise ZeroDivisionError("oh")
        return mark_learner(records, *more, **named)

    monkeypatch.setattr("kit.marking.task.mark_learner", fails)
    book = mark_folder(handed_in)
    assert [(one.learner, bool(one.rows)) for one in book.learners] == [("robin", False), ("wren", True)]
    assert "ZeroDivisionError" in book.troubles[0].text


def test_what_was_handed_in_is_found_in_order_of_name(handed_in):
    for name in ("b.jsonl", "a.zip", "c/d.jsonl", "notes.txt"):
        (handed_in / name).parent.mkdir(exist_ok=True)
        (handed_in / name).write_bytes(packed(("z.jsonl", opened())) if name.endswith("zip") else opened())
    found, left = find_handed_in(handed_in)
    assert [one.name for one in found] == ["a.zip/z.jsonl", "b.jsonl", "c/d.jsonl"] and not left
