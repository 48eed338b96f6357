"""Writing into the folder of marks: a file is whole or as it was, whatever happens to the disk."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import BinaryIO

from kit.errors import RecordError
from kit.records.outgoing import whole_file


@contextmanager
def written(path: Path) -> Iterator[BinaryIO]:
    """A file to write; it takes the name's place when the block ends well, and leaves nothing behind when it does not.

    Raises RecordError where that cannot be done.
    """
    try:
        with whole_file(path) as file:
            yield file
    except OSError as reason:
        held = "; is it open in another program?" if isinstance(reason, PermissionError) else "."
        raise RecordError(f"{path} cannot be written ({reason.strerror}){held}") from None
