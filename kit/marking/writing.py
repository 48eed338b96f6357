"""Writing into the folder of marks: a file is whole or as it was, whatever happens to the disk."""

import os
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import BinaryIO

from kit.errors import RecordError


@contextmanager
def written(path: Path) -> Iterator[BinaryIO]:
    """A file to write; it takes the name's place when the block ends well, and leaves nothing behind when it does not.

    Raises RecordError where that cannot be done.
    """
    part = path.with_name(f".{path.name}.part")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with part.open("wb") as file:
            yield file
        os.replace(part, path)
    except OSError as reason:
        raise RecordError(f"{path} cannot be written ({reason.strerror}); is it open in another program?") from None
    finally:
        with suppress(OSError):
            part.unlink(missing_ok=True)
