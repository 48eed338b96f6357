"""Where records lie, whose they are, and for which course.

``KIT_RECORDS`` moves the folder, ``KIT_LEARNER`` names the learner, ``KIT_COURSE`` the course. Without them: the folder
``my-work`` beside the notebook, the first line of ``learner.txt`` in it, and for the course the first line of
``course.txt``, which a class's pack has beside its lessons and its kit, else ``self-study``.
"""

import codecs
import os
import re
import tomllib
from importlib import metadata
from pathlib import Path

from kit.errors import RecordError

DEFAULT_LEARNER = "me"
DEFAULT_COURSE = "self-study"
LEARNER_FILE = "learner.txt"
LESSONS = "lessons"
COURSE_FILE = Path(__file__).parents[2] / "course.txt"
MAX_NAME = 60


def records_folder() -> Path:
    """The folder for records: ``KIT_RECORDS``, or ``my-work`` in the working folder (a kernel's is its notebook's)."""
    moved = os.environ.get("KIT_RECORDS", "").strip()
    return Path(moved).expanduser() if moved else Path.cwd() / "my-work"


def learner_name(folder: Path) -> str:
    """The learner's pseudonym: ``KIT_LEARNER``, the first line of ``learner.txt`` in the folder, or ``me``."""
    return _tidy(os.environ.get("KIT_LEARNER", "")) or _tidy(_first_line(folder / LEARNER_FILE)) or DEFAULT_LEARNER


def sign(name: str, folder: Path | None = None) -> str:
    """Keep a learner's name in ``learner.txt`` and return it tidied; RecordError where there is none, or no way."""
    tidy = _tidy(name)
    if not tidy:
        raise RecordError("type a name or a number first.")
    folder = folder or records_folder()
    try:
        folder.mkdir(parents=True, exist_ok=True)
        (folder / LEARNER_FILE).write_text(tidy + "\n", encoding="utf-8")
    except OSError as reason:
        raise RecordError(f"{LEARNER_FILE} in {folder} cannot be written: {reason.strerror}.") from None
    return tidy


def course_name() -> str:
    """The course: ``KIT_COURSE``, the first line of ``course.txt`` beside the lessons or the kit, or ``self-study``.

    Beside the lessons first: a class may work with a kit that was put on its computers once for everybody.
    """
    here = Path.cwd()
    pack = here.parent if here.name == LESSONS else here
    of_lessons = _first_line(pack / COURSE_FILE.name) if (pack / LESSONS).is_dir() else ""
    said = (os.environ.get("KIT_COURSE", ""), of_lessons, _first_line(COURSE_FILE))
    return next(filter(None, map(_tidy, said)), DEFAULT_COURSE)


def kit_version() -> str:
    """The kit's version, as its ``pyproject.toml`` or the installed package states it."""
    written = Path(__file__).parents[1] / "pyproject.toml"
    if written.is_file():
        return tomllib.loads(written.read_text(encoding="utf-8"))["project"]["version"]
    try:
        return metadata.version("kit")
    except metadata.PackageNotFoundError:
        return "unknown"


def _first_line(path: Path) -> str:
    try:
        with path.open("rb") as file:
            start = file.read(1000)
    except FileNotFoundError:
        return ""
    except OSError as reason:
        raise RecordError(f"{path.name} in {path.parent} cannot be read: {reason.strerror}.") from None
    # Some text editors save UTF-16, and say so in the first two bytes.
    wide = start.startswith((codecs.BOM_UTF16_LE, codecs.BOM_UTF16_BE))
    lines = start.decode("utf-16" if wide else "utf-8-sig", "replace").splitlines()
    return next((line for line in lines if line.strip()), "")


def _tidy(name: str) -> str:
    printable = "".join(letter if letter.isprintable() else " " for letter in name)
    return re.sub(r"\s+", " ", printable).strip()[:MAX_NAME].strip()
