"""Arrays and texts kept on disk between one run and the next: what took minutes to work out is there at once.

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
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np

ROOM = 2 << 30  # bytes; beyond, the files longest unused go
KEPT = (".npz", ".txt")
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
    return _named(_code(), asked)


def name_of_text(*asked: object) -> str:
    """The same for a text, which numpy has no part in: it is not even loaded."""
    return _named(_rooms(), asked)


def fetch(name: str) -> dict[str, "np.ndarray"] | None:
    """The arrays kept under a name, None where there are none or they are not whole."""
    import numpy as np

    # A ValueError is a file that is whole but holds something else than plain arrays.
    with contextlib.suppress(OSError, ValueError, KeyError):
        if data := _fetch(f"{name}.npz"):
            with np.load(io.BytesIO(data), allow_pickle=False) as kept:
                arrays = {key: kept[key] for key in kept.files}
            if str(arrays.pop(ASKED)) == name:
                return arrays
    return None


def keep(name: str, arrays: Mapping[str, "np.ndarray"]) -> None:
    """Keep arrays under a name. A full or locked disk is no reason to stop: then nothing is kept."""
    import numpy as np

    written = io.BytesIO()
    np.savez_compressed(written, **{ASKED: np.array(name)}, **arrays)
    _keep(f"{name}.npz", written.getvalue())


def fetch_text(name: str) -> str | None:
    """The text kept under a name, None where there is none or it is not whole."""
    asked, _, text = _fetch(f"{name}.txt").decode("utf-8", "replace").partition("\n")
    return text if asked == name else None


def keep_text(name: str, text: str) -> None:
    """Keep a text under a name, as far as the disk lets us."""
    _keep(f"{name}.txt", f"{name}\n{text}".encode())


def _named(code: str, asked: tuple[object, ...]) -> str:
    return hashlib.sha256("\x00".join((code, *map(repr, asked))).encode()).hexdigest()


def _fetch(file: str) -> bytes:
    """What a file of the shelf holds; nothing where it is not there or not whole."""
    path = shelf() / file
    with contextlib.suppress(OSError):
        data = path.read_bytes()
        # The sum comes first and is checked first: nobody reads on in a damaged file.
        if hashlib.sha256(data[SUM:]).digest() == data[:SUM]:
            path.touch()
            return data[SUM:]
    return b""


def _keep(file: str, data: bytes) -> None:
    with contextlib.suppress(OSError):
        folder = shelf()
        folder.mkdir(parents=True, exist_ok=True)
        # Written aside and moved into place whole: whoever reads meanwhile sees the old file or the new one.
        handle, aside = tempfile.mkstemp(dir=folder, suffix=".part")
        try:
            with os.fdopen(handle, "wb") as open_file:
                open_file.write(hashlib.sha256(data).digest())
                open_file.write(data)
            os.replace(aside, folder / file)
        except BaseException:
            Path(aside).unlink(missing_ok=True)
            raise
        _make_room(folder)


def _make_room(folder: Path) -> None:
    kept = (path for path in folder.iterdir() if path.suffix in KEPT)
    found = sorted(((path.stat().st_mtime, path.stat().st_size, path) for path in kept), reverse=True)
    held = 0
    for _, size, path in found:
        held += size
        if held > ROOM:
            path.unlink(missing_ok=True)


@cache
def _code() -> str:
    """A SHA-256 over the kit's own deciding files and the version of numpy."""
    import numpy as np

    return hashlib.sha256(f"{np.__version__}\x00{_rooms()}".encode()).hexdigest()


@cache
def _rooms() -> str:
    """A SHA-256 over the kit's own deciding files."""
    root, total = Path(__file__).parents[1], hashlib.sha256()
    for room in DECIDING:
        for path in sorted((root / room).glob("*.py")):
            total.update(path.name.encode() + b"\x00" + path.read_bytes())
    return total.hexdigest()
