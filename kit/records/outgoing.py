"""Files for other programs: whole or as they were, and with no text in them that a spreadsheet would compute."""

import os
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import BinaryIO

# What makes a spreadsheet compute a cell instead of showing it, in both widths these signs come in.
FORMULA_SIGNS = tuple("=+-@|%＝＋－＠")


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
