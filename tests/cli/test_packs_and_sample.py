"""Packs, samples for a second marker, appeals, and one learner's own data."""

import hashlib
import json
import zipfile

import pytest
from click.testing import CliRunner

from kit.bay.hand_in import HandIn
from kit.cli.commands import kit
from kit.errors import RecordError
from kit.exercises import question, right_answer, variant
from kit.marking import moderation, privacy
from kit.marking.marks import LearnerMarks, Row
from kit.marking.packs import pseudonyms, write_assessor_pack, write_class_pack
from kit.records import Record, places


@pytest.fixture
def root(tmp_path):
    """A folder laid out as the kit's own, small."""
    for name in ("lessons/06.ipynb", "solutions/06.ipynb", "kit/a.py", "kit/__pycache__/a.pyc", "README.md",
                 "lessons/my-work/wren.jsonl", "kit/.hidden"):
        path = tmp_path / "root" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(name)
    return tmp_path / "root"


def test_packs_are_the_same_bytes_and_hold_what_they_should(root, tmp_path):
    names = pseudonyms("autumn", 2)
    digests = set()
    for number in range(2):
        path = write_class_pack(root, "autumn", names, tmp_path / f"class{number}.zip")
        digests.add(hashlib.sha256(path.read_bytes()).hexdigest())
        (root / "kit/a.py").touch()
    assert len(digests) == 1
    with zipfile.ZipFile(path) as archive:
        assert set(archive.namelist()) == {"README.md", "START.txt", "course.txt", "kit/a.py", "lessons/06.ipynb",
                                           "pseudonyms.txt"}
        start = archive.read("START.txt").decode()
    # The button first, by its own name, then the command; the course by its name, the folder's Python each time.
    assert start.startswith("Course: autumn\n") and "Keep the file course.txt" in start
    assert 0 < start.index(f'the button "{HandIn().button.description}"') < start.index("-m kit hand-in")
    assert start.count(".venv/bin/python -m kit open") == start.count(r".venv\Scripts\python -m kit open") == 1
    assessor = [write_assessor_pack(root, "autumn", names[:1], tmp_path / f"own{n}.zip") for n in range(2)]
    assert assessor[0].read_bytes() == assessor[1].read_bytes()
    with zipfile.ZipFile(assessor[0]) as archive:
        assert set(archive.namelist()) == {"key.json", "names.csv", "solutions/06.ipynb", "truth.jsonl"}
        truths = [json.loads(line) for line in archive.read("truth.jsonl").splitlines()]
    asked = question("06.1")
    given = variant(asked, "autumn", names[0])
    mine = next(each for each in truths if each["question"] == "06.1")
    assert (mine["variant"], mine["right"]) == (given.key, right_answer(asked, given))


def test_pseudonyms_are_as_many_as_asked_for_and_differ_between_courses():
    assert len(set(pseudonyms("autumn", 10_000))) == 10_000
    assert pseudonyms("autumn", 30) == pseudonyms("autumn", 30) != pseudonyms("spring", 30)


def one_with(name, points):
    row = Row(question="06.1", version=1, title="", prompt="", answer="", points=points, of=100, attempts=1, note="",
              reason="", ideas=())
    return LearnerMarks(learner=name, rows=(row,), troubles=())


def test_a_sample_has_the_cut_both_ends_and_others_and_is_drawn_by_nobody():
    learners = [one_with(f"l{n:02d}", 3 * n) for n in range(30)]
    drawn = moderation.sample(learners, 9, cut=60)
    assert len(drawn) == 9 and drawn == moderation.sample(list(reversed(learners)), 9, cut=60)
    # 57, 60 and 63 % lie nearest to the cut; 0 % and 87 % are the ends.
    assert {"l19", "l20", "l21", "l00", "l29"} <= set(drawn)
    assert len(moderation.sample(learners[:3], 9, cut=60)) == 3


def test_two_markers_are_compared_on_what_both_marked(tmp_path):
    first, second = tmp_path / "one.csv", tmp_path / "two.csv"
    first.write_text("learner,question,points\na,06.8,4\nb,06.8,2\nc,06.8,0\nd,06.8,\ne,safe,met\n")
    second.write_text("learner,question,points\na,06.8,4\nb,06.8,3\nc,06.8,0\nd,06.8,4\n")
    found = moderation.compare(first, second)
    # Alike 2 of 3; by chance 1/9 (4 and 4) + 1/9 (0 and 0): kappa = (2/3 − 2/9) / (7/9) = 4/7 (worked by hand).
    assert (found.both, found.alike, found.apart) == (3, 2, (("b", "06.8", 2, 3),))
    assert found.kappa == pytest.approx(4 / 7) and found.mean_difference == pytest.approx(1 / 3)


def test_an_appeal_is_added_and_nothing_there_is_changed(tmp_path):
    for number in (1, 2):
        assert privacy.append_appeal("wren", "06.3", "I meant\n12 V", tmp_path).number == number
        before = (tmp_path / privacy.APPEALS).read_bytes()
    privacy.append_appeal("heron", "06.1", "x", tmp_path)
    assert (tmp_path / privacy.APPEALS).read_bytes().startswith(before)
    with pytest.raises(RecordError, match="say in up to"):
        privacy.append_appeal("wren", "06.3", "  ", tmp_path)


def test_one_learner_is_exported_and_erased_and_no_other(tmp_path):
    folder = tmp_path / "handed-in"
    paths = {}
    for name in ("wren", "heron"):
        record = Record.open(course="autumn", learner=name, folder=folder)
        asked = question("06.3")
        record.append("answer", question="06.3", version=asked.version, raw="0 V",
                      variant=variant(asked, "autumn", name).key)
        record.close()
        paths[name] = record.path
    run = CliRunner().invoke
    result = run(kit, ["export", "wren", str(folder), "--out", str(tmp_path / "wren.zip")])
    assert result.exit_code == 0, result.output
    with zipfile.ZipFile(tmp_path / "wren.zip") as archive:
        assert archive.read("records/001.jsonl") == paths["wren"].read_bytes()
        marks = [json.loads(line) for line in archive.read("marks.jsonl").splitlines()]
    assert {each["learner"] for each in marks} == {"wren"} and any(each.get("answer") == "0 V" for each in marks)
    assert run(kit, ["erase", "wren", str(folder), "--yes"]).exit_code == 0
    assert not paths["wren"].exists() and paths["heron"].exists()
    assert run(kit, ["export", "wren", str(folder), "--out", str(tmp_path / "no.zip")]).exit_code == 2


def test_what_was_handed_in_as_a_zip_is_exported_and_erased_too(tmp_path):
    folder = tmp_path / "handed-in"
    folder.mkdir()
    records = {}
    for name in ("wren", "heron"):
        record = Record.open(course="autumn", learner=name, folder=tmp_path / name)
        asked = question("06.3")
        record.append("answer", question="06.3", version=asked.version, raw="0 V",
                      variant=variant(asked, "autumn", name).key)
        record.close()
        records[name] = record.path
    for archive, names in (("wren.zip", ["wren"]), ("both.zip", ["heron", "wren"])):
        with zipfile.ZipFile(folder / archive, "w") as file:
            for name in names:
                file.write(records[name], records[name].name)
    run = CliRunner().invoke
    marks = tmp_path / "marks"
    assert run(kit, ["mark", str(folder), "--out", str(marks), "--quiet"]).exit_code == 1  # wren's is there twice
    out = tmp_path / "out.zip"
    assert run(kit, ["export", "wren", str(folder), "--marks", str(marks), "--out", str(out)]).exit_code == 0
    with zipfile.ZipFile(out) as archive:
        assert archive.read("records/001.jsonl") == records["wren"].read_bytes()
        assert b"wren" in archive.read("marks/wren.html")
        for name in ("marks/totals.csv", "marks/audit.jsonl"):
            assert b"wren" in archive.read(name) and b"heron" not in archive.read(name)
    # An archive with another's records in it is not torn up, and nothing is deleted before that is settled.
    refused = run(kit, ["erase", "wren", str(folder), "--yes"])
    assert refused.exit_code == 2 and "both.zip holds others' records" in refused.stderr
    assert (folder / "wren.zip").exists()
    (folder / "both.zip").unlink()
    assert run(kit, ["erase", "wren", str(folder), "--yes"]).exit_code == 0 and not (folder / "wren.zip").exists()


@pytest.mark.parametrize(("words", "says"), [
    (("wren", "06.4x"), "no mark of wren for '06.4x'"), (("wran", "06.3"), "no learner 'wran'"),
])
def test_an_appeal_with_a_slip_in_it_is_not_taken(tmp_path, words, says):
    (tmp_path / "marks.csv").write_text("\ufefflearner,question\nwren,06.3\n", encoding="utf-8")
    run = CliRunner().invoke
    refused = run(kit, ["appeal", *words, "why", "--out", str(tmp_path)])
    assert refused.exit_code == 2 and says in refused.stderr
    assert run(kit, ["appeal", "wren", "06.3", "why", "--out", str(tmp_path / "elsewhere")]).exit_code == 2
    assert run(kit, ["appeal", "wren", "06.3", "why", "--out", str(tmp_path)]).exit_code == 0
    assert [path.name for path in tmp_path.iterdir() if path.name != "marks.csv"] == [privacy.APPEALS]


def test_who_works_in_a_classs_pack_is_on_its_course_without_doing_anything_for_it(tmp_path, monkeypatch):
    monkeypatch.delenv("KIT_COURSE", raising=False)
    monkeypatch.setattr(places, "COURSE_FILE", tmp_path / "course.txt")
    assert places.course_name() == places.DEFAULT_COURSE
    (tmp_path / "course.txt").write_text("autumn 31\n", encoding="utf-8")
    assert places.course_name() == "autumn 31"
    # A kit that was put on the class's computers once: the pack's own course counts, in its folder and its lessons'.
    pack = tmp_path / "pack"
    (pack / "lessons").mkdir(parents=True)
    (pack / "course.txt").write_text("winter\n", encoding="utf-8")
    for folder, course in ((pack, "winter"), (pack / "lessons", "winter"), (tmp_path, "autumn 31")):
        monkeypatch.chdir(folder)
        assert places.course_name() == course
    monkeypatch.setenv("KIT_COURSE", "spring")
    assert places.course_name() == "spring"
    assert CliRunner().invoke(kit, ["pack", "class", "--course", " ", "--out", str(tmp_path / "x.zip")]).exit_code == 2
