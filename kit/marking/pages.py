"""The marks as pages: one a learner, and one that lists the class. Plain HTML that needs nothing from outside."""

import hashlib
import re
from pathlib import Path

from kit.errors import RecordError
from kit.marking.markbook import LearnerMarks, MarkBook

TEMPLATES = Path(__file__).parent
# Names a page must not have: the list itself, and devices that Windows finds in every folder.
RESERVED = re.compile(r"index|con|prn|aux|nul|com\d|lpt\d")


def write_pages(book: MarkBook, out: Path) -> tuple[Path, ...]:
    """Write ``index.html`` and a page a learner into ``out``; raises RecordError where that cannot be done."""
    from jinja2 import Environment, FileSystemLoader, StrictUndefined

    templates = Environment(
        loader=FileSystemLoader(TEMPLATES), autoescape=True, undefined=StrictUndefined, trim_blocks=True,
        lstrip_blocks=True,
    )
    names = page_names(book.learners)
    page = templates.get_template("learner.html")
    written = [
        _write(out / names[one.learner], page.render(marks=one, finished=_finished(one))) for one in book.learners
    ]
    listing = templates.get_template("index.html").render(book=book, names=names)
    return (_write(out / "index.html", listing), *written)


def page_names(learners: tuple[LearnerMarks, ...]) -> dict[str, str]:
    """A file name for each learner's page: theirs where it is plain, else made plain with a mark of its own."""
    names: dict[str, str] = {}
    for one in learners:
        plain = re.sub(r"[^a-z0-9]+", "-", one.learner.lower()).strip("-")[:40] or "learner"
        if plain != one.learner or RESERVED.fullmatch(plain) or f"{plain}.html" in names.values():
            plain = f"{plain}-{hashlib.sha256(one.learner.encode()).hexdigest()[:12]}"
        names[one.learner] = f"{plain}.html"
    return names


def _finished(one: LearnerMarks) -> int:
    return sum(row.attempts > 0 for row in one.rows)


def _write(path: Path, text: str) -> Path:
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8", newline="\n")
    except OSError as reason:
        raise RecordError(f"{path} cannot be written ({reason.strerror}).") from None
    return path
