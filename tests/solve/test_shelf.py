"""What is kept on disk: whole or not at all, never run, never in the way."""

import hashlib
import io
import os
import pickle
import zipfile

import numpy as np
import pytest

from kit.solve import shelf

ARRAYS = {"volts": np.linspace(0, 12.8, 5000), "names": np.array(["G1.+", "Ω µ"]), "lit": np.array([[True], [False]])}
NAME = shelf.name_of("a question")


@pytest.fixture(autouse=True)
def folder(tmp_path, monkeypatch):
    monkeypatch.setenv("KIT_CACHE", str(tmp_path / "here"))
    return tmp_path / "here"


def same(one, other):
    return one is not None and one.keys() == other.keys() and all((one[key] == other[key]).all() for key in other)


def test_kept_and_fetched(folder):
    assert shelf.fetch(NAME) is None
    shelf.keep(NAME, ARRAYS)
    assert same(shelf.fetch(NAME), ARRAYS)
    assert [path.suffix for path in folder.iterdir()] == [".npz"]


def test_where_it_lies(monkeypatch, tmp_path):
    assert shelf.shelf() == tmp_path / "here"
    monkeypatch.delenv("KIT_CACHE")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "caches"))
    monkeypatch.setattr(shelf.sys, "platform", "linux")
    assert shelf.shelf() == tmp_path / "caches" / "kit"
    monkeypatch.setattr(shelf.sys, "platform", "darwin")
    assert shelf.shelf().parts[-3:] == ("Library", "Caches", "kit")
    monkeypatch.setattr(shelf.sys, "platform", "win32")
    monkeypatch.setenv("LOCALAPPDATA", str(tmp_path / "local"))
    assert shelf.shelf() == tmp_path / "local" / "kit"


def test_another_question_or_other_code_has_another_name(monkeypatch):
    assert shelf.name_of("a question") == NAME != shelf.name_of("another")
    monkeypatch.setattr(shelf, "_code", lambda: "changed")
    assert shelf.name_of("a question") != NAME


@pytest.mark.parametrize("share", [0.0, 0.001, 0.3, 0.9, 0.999])
def test_a_file_cut_short_counts_as_absent(folder, share):
    shelf.keep(NAME, ARRAYS)
    path = folder / f"{NAME}.npz"
    whole = path.read_bytes()
    path.write_bytes(whole[: int(len(whole) * share)])
    assert shelf.fetch(NAME) is None
    shelf.keep(NAME, ARRAYS)
    assert same(shelf.fetch(NAME), ARRAYS)


def test_a_damaged_byte_never_gives_other_figures(folder):
    """Every seventh byte in turn: either it is noticed, or it was one that says nothing (a date, say)."""
    shelf.keep(NAME, ARRAYS)
    path = folder / f"{NAME}.npz"
    whole = path.read_bytes()
    noticed = 0
    for at in range(0, len(whole), 7):
        path.write_bytes(whole[:at] + bytes([whole[at] ^ 0xFF]) + whole[at + 1:])
        found = shelf.fetch(NAME)
        noticed += found is None
        assert found is None or same(found, ARRAYS)
    assert noticed > 0.9 * len(whole) / 7


def test_a_file_under_another_name_is_not_believed(folder):
    shelf.keep(NAME, ARRAYS)
    other = shelf.name_of("another")
    (folder / f"{NAME}.npz").rename(folder / f"{other}.npz")
    assert shelf.fetch(other) is None


class Trap:
    """Something that would run when unpickled."""

    def __reduce__(self):
        return os.mkdir, ("sprung",)


def test_a_pickle_is_never_opened(folder, monkeypatch, tmp_path):
    monkeypatch.chdir(tmp_path)
    folder.mkdir()
    path = folder / f"{NAME}.npz"
    with_objects, archive_of_one = io.BytesIO(), io.BytesIO()
    np.savez(with_objects, **{shelf.ASKED: np.array(NAME), "volts": np.array([Trap()], dtype=object)})
    with zipfile.ZipFile(archive_of_one, "w") as archive:
        archive.writestr("volts.npy", pickle.dumps(Trap()))
    for body in (with_objects.getvalue(), pickle.dumps(Trap()), archive_of_one.getvalue()):
        # Even where the sum is right: somebody made this file on purpose.
        path.write_bytes(hashlib.sha256(body).digest() + body)
        assert shelf.fetch(NAME) is None
    assert not (tmp_path / "sprung").exists()


def test_a_folder_that_cannot_be_is_no_reason_to_stop(folder):
    folder.write_text("a file where the folder should be")
    shelf.keep(NAME, ARRAYS)
    assert shelf.fetch(NAME) is None


def test_what_is_longest_unused_goes_first(folder, monkeypatch):
    names = [shelf.name_of(number) for number in range(4)]
    for number, name in enumerate(names[:3]):
        shelf.keep(name, ARRAYS)
        os.utime(folder / f"{name}.npz", (number + 1.0, number + 1.0))
    shelf.fetch(names[0])
    monkeypatch.setattr(shelf, "ROOM", 3 * (folder / f"{names[0]}.npz").stat().st_size + 100)
    shelf.keep(names[3], ARRAYS)
    assert [shelf.fetch(name) is not None for name in names] == [True, False, True, True]
