"""Arrays kept on disk between one run and the next: what took minutes to work out is there at once.

They lie in the computer's folder for such things, or where ``KIT_CACHE`` says. Anything there may be deleted at any
time. Nothing kept is ever run: arrays of numbers, truths and text, and no pickles. A file that is cut short, damaged or
not the one asked for counts as absent.
"""

import contextlib
import hashlib
import io
import os
import sys
import tempfile
from collections.abc import Mapping
from functools import cache
from pathlib import Path

import numpy as np

ROOM = 2 << 30  # bytes; beyond, the files longest unused go
ASKED = "asked for"
SUM = hashlib.sha256().digest_size
# The rooms whose code decides what comes out.
DECIDING = ("circuit", "solve", "machines", "instruments")


def shelf() -> Path:
    """The folder: ``KIT_CACHE``, or ``kit`` in the system's folder for caches."""
    if chosen := os.environ.get("KIT_CACHE", "").strip():
        return Path(chosen).expanduser()
    return usual_folder()


def usual_folder() -> Path:
    """``kit`` in the system's folder for caches: this user's own, whatever ``KIT_CACHE`` says."""
    home = Path.home()
    match sys.platform:
        case "win32":
            usual = Path(os.environ.get("LOCALAPPDATA") or home / "AppData" / "Local")
        case "darwin":
            usual = home / "Library" / "Caches"
        case _:
            usual = Path(os.environ.get("XDG_CACHE_HOME") or home / ".cache")
    return usual / "kit"


def name_of(*asked: object) -> str:
    """A name for what was asked for: a SHA-256 over it and over the code that answers, so that no old answer fits."""
    return hashlib.sha256("\x00".join((_code(), *map(repr, asked))).encode()).hexdigest()


def fetch(name: str) -> dict[str, np.ndarray] | None:
    """The arrays kept under a name, None where there are none or they are not whole."""
    path = shelf() / f"{name}.npz"
    # A ValueError is a file that is whole but holds something else than plain arrays.
    with contextlib.suppress(OSError, ValueError, KeyError):
        data = path.read_bytes()
        # The sum comes first and is checked first: numpy never sees a damaged file.
        if hashlib.sha256(data[SUM:]).digest() == data[:SUM]:
            with np.load(io.BytesIO(data[SUM:]), allow_pickle=False) as kept:
                arrays = {key: kept[key] for key in kept.files}
            if str(arrays.pop(ASKED)) == name:
                path.touch()
                return arrays
    return None


def keep(name: str, arrays: Mapping[str, np.ndarray]) -> None:
    """Keep arrays under a name. A full or locked disk is no reason to stop: then nothing is kept."""
    with contextlib.suppress(OSError):
        folder = shelf()
        folder.mkdir(parents=True, exist_ok=True)
        # Written aside and moved into place whole: whoever reads meanwhile sees the old file or the new one.
        handle, aside = tempfile.mkstemp(dir=folder, suffix=".part")
        try:
            written = io.BytesIO()
            np.savez_compressed(written, **{ASKED: np.array(name)}, **arrays)
            with os.fdopen(handle, "wb") as file:
                file.write(hashlib.sha256(written.getbuffer()).digest())
                file.write(written.getbuffer())
            os.replace(aside, folder / f"{name}.npz")
        except BaseException:
            Path(aside).unlink(missing_ok=True)
            raise
        _make_room(folder)


def _make_room(folder: Path) -> None:
    found = sorted(((path.stat().st_mtime, path.stat().st_size, path) for path in folder.glob("*.npz")), reverse=True)
    held = 0
    for _, size, path in found:
        held += size
        if held > ROOM:
            path.unlink(missing_ok=True)


@cache
def _code() -> str:
    """A SHA-256 over the kit's own deciding files and the version of numpy."""
    root = Path(__file__).parents[1]
    total = hashlib.sha256(np.__version__.encode())
    for room in DECIDING:
        for path in sorted((root / room).glob("*.py")):
            total.update(path.name.encode() + b"\x00" + path.read_bytes())
    return total.hexdigest()
