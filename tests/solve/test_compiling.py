"""What was compiled once is there in the next process; a damaged or locked folder only costs the time to compile."""

import numba

from kit.solve import compiling, shelf


def twice(x):
    return x + x


def made(monkeypatch, folder):
    monkeypatch.setattr(compiling, "_folder", lambda: folder)
    return compiling.kept(numba.njit(twice), "numpy")


def test_it_is_loaded_and_not_compiled_again(monkeypatch, tmp_path):
    first = made(monkeypatch, tmp_path)
    assert first(2.0) == 4.0 and sum(first.stats.cache_misses.values()) == 1
    again = made(monkeypatch, tmp_path)
    assert again(3.0) == 6.0 and sum(again.stats.cache_hits.values()) == 1
    # Another flavour is another function: numba itself would take one for the other.
    other = compiling.kept(numba.njit(twice), "python")
    assert other(2.0) == 4.0 and not other.stats.cache_hits


def test_damaged_files_are_compiled_over(monkeypatch, tmp_path):
    assert made(monkeypatch, tmp_path)(2.0) == 4.0
    files = [path for path in tmp_path.rglob("*.nb?")]
    assert files
    for content in (b"", b"not a pickle at all", b"\x80\x04K\x01."):
        for path in files:
            path.write_bytes(content)
        assert made(monkeypatch, tmp_path)(2.0) == 4.0
        # And lies there whole again.
        again = made(monkeypatch, tmp_path)
        assert again(2.0) == 4.0 and sum(again.stats.cache_hits.values()) == 1


def test_without_a_folder_it_is_compiled_all_the_same(monkeypatch, tmp_path):
    assert made(monkeypatch, None)(2.0) == 4.0
    file = tmp_path / "a file"
    file.write_text("in the way")
    assert made(monkeypatch, file)(2.0) == 4.0


def test_it_never_lies_in_a_folder_a_class_shares(monkeypatch, tmp_path):
    """Arrays may be shared; what is run may not."""
    monkeypatch.setenv("KIT_CACHE", str(tmp_path))
    assert shelf.shelf() == tmp_path and tmp_path not in compiling._folder().parents
