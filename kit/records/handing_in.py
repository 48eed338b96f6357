"""Handing in: one learner's records as one zip, to be given to whoever marks."""

import zipfile
from dataclasses import dataclass
from pathlib import Path

from kit.errors import KitError, RecordError
from kit.records.outgoing import timeless, whole_file
from kit.records.places import learner_name
from kit.records.reader import read_opening

RECORDS = "*.jsonl"


@dataclass(frozen=True, slots=True, kw_only=True)
class HandIn:
    """What was put together: the file, whose work it is, how many records, and names whose records were left out."""

    path: Path
    learner: str
    records: int
    others: tuple[str, ...]


def hand_in(folder: Path, out: Path | None = None, learner: str = "") -> HandIn:
    """Put a learner's records into one zip, by default ``hand-in-NAME.zip`` in the working folder; they stay as well.

    Without a name it is the one the start page keeps. Raises KitError where there is no work, RecordError where the zip
    cannot be written.
    """
    name = learner or learner_name(folder)
    whose: dict[str, list[Path]] = {}
    for path in sorted(folder.glob(RECORDS)):
        with path.open("rb") as file:
            whose.setdefault(read_opening(file)[0], []).append(path)
    others = tuple(sorted(other for other in whose if other not in ("", name)))
    if name not in whose:
        theirs = f"; there is work of {', '.join(others)}: sign in under that name, or name it with --learner"
        instead = theirs if others else ""
        raise KitError(f"there is no work of '{name}' in {folder} yet{instead}.")
    # Where one name may not be a file's, its letters and digits are.
    plain = "".join(letter if letter.isalnum() else "-" for letter in name)
    out = out or Path(f"hand-in-{plain}.zip")
    try:
        with whole_file(out) as file, zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as archive:
            for path in whose[name]:
                archive.writestr(timeless(path.name), path.read_bytes(), zipfile.ZIP_DEFLATED)
    except OSError as reason:
        raise RecordError(f"{out} cannot be written ({reason.strerror}); name another file with --out.") from None
    return HandIn(path=out, learner=name, records=len(whose[name]), others=others)
