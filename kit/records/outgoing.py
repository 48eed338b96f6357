"""Files for other programs: whole or as they were, with no moment of their own and no text a spreadsheet computes."""

import os
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import BinaryIO
from zipfile import ZipInfo

# What makes a spreadsheet compute a cell instead of showing it, in both widths these signs come in.
FORMULA_SIGNS = tuple("=+-@|%＝＋－＠")

# No moment of its own in an archive: the same content is the same bytes.
STILL = (2000, 1, 1, 0, 0, 0)


def timeless(name: str) -> ZipInfo:
    """A member of an archive that does not tell when it was put there."""
    return ZipInfo(name, STILL)


@contextmanager
def whole_file(path: Path) -> Iterator[BinaryIO]:
    """A file to write, its folder made; it takes the name's place when the block ends well, and leaves nothing else.

    Raises OSError where that cannot be done; what was there before is there still.
    """
    part = path.with_name(f".{path.name}.part")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with part.open("wb") as file:
            yield file
        os.replace(part, path)
    finally:
        with suppress(OSError):
            part.unlink(missing_ok=True)
