"""A machine file found sound is kept as a tree: the same machine without parsing and proving it again, or nothing."""

from dataclasses import fields

import pytest

from kit.errors import MachineFileError
from kit.machines import Machine, loader, read_machine
from kit.machines.library import FLEET
from kit.machines.tree import grow, pressed, unpressed

BOARD = FLEET / "bench-board.yaml"


@pytest.fixture(autouse=True)
def shelf(tmp_path, monkeypatch):
    monkeypatch.setenv("KIT_CACHE", str(tmp_path / "shelf"))
    return tmp_path / "shelf"


@pytest.fixture
def parsed(monkeypatch):
    """The names of the files that are parsed."""
    found = []
    monkeypatch.setattr(loader, "read_text", lambda text, name, real=loader.read_text: found.append(name) or real(
        text, name))
    return found


@pytest.mark.parametrize("name", ["bench-board", "orchard-bike"])
def test_a_kept_machine_is_the_same_machine(name, parsed):
    first = read_machine(FLEET / f"{name}.yaml")
    again = read_machine(FLEET / f"{name}.yaml")
    assert parsed == [f"{name}.yaml"]
    assert again is not first
    for field in fields(Machine):
        assert getattr(again, field.name) == getattr(first, field.name), field.name
    assert [rule.line for rule in again.truth] == [rule.line for rule in first.truth]
    assert list(again.faults) == list(first.faults)


def test_a_changed_file_is_read_anew_and_one_with_a_mistake_never_kept(tmp_path, parsed, shelf):
    own = tmp_path / "own.yaml"
    text = BOARD.read_text(encoding="utf-8")
    own.write_text(text, encoding="utf-8")
    read_machine(own)
    own.write_text(text.replace("title: ", "title: my ", 1), encoding="utf-8")
    assert read_machine(own).title.startswith("my ")
    wrong = text.replace("reference: ", "reference: Z9.", 1)
    assert wrong != text
    own.write_text(wrong, encoding="utf-8")
    told = []
    for _ in range(2):
        with pytest.raises(MachineFileError, match=r"own\.yaml line \d+: reference") as caught:
            read_machine(own)
        told.append(str(caught.value))
    assert told[0] == told[1] and len(parsed) == 4 and len(list(shelf.iterdir())) == 2


def test_a_damaged_copy_counts_as_none(parsed, shelf):
    read_machine(BOARD)
    (kept,) = shelf.iterdir()
    whole = kept.read_bytes()
    kept.write_bytes(whole.replace(b"battery", b"batterY", 1))
    assert kept.read_bytes() != whole
    assert read_machine(BOARD).title and len(parsed) == 2


def test_a_tree_comes_back_with_its_lines():
    text = "a: 1\nb:\n  - x\n  - {c: true, d: ~}\n  - [1.50, 2001-01-01, '7', \"\"]\ne: |\n  two\n  lines\n"
    tree = grow(text, "some.yaml")
    back = unpressed(pressed(tree))
    assert back == tree == {"a": 1, "b": ["x", {"c": True, "d": None}, [1.5, "2001-01-01", "7", ""]],
                            "e": "two\nlines\n"}
    for one in (tree, back):
        assert one.lines == {"a": 1, "b": 2, "e": 6}
        assert one["b"].lines == [3, 4, 5] and one["b"][1].lines == {"c": 4, "d": 4}
