"""Finding the records that lie in a folder."""

import os
import stat
from pathlib import Path

from kit.errors import RecordError


def find_records(folder: Path) -> list[Path]:
    """Every ``*.jsonl`` file in a folder and its subfolders, in order of name.

    Links are not followed: a hand-in cannot point at files elsewhere. Pipes and devices are passed over, for opening
    one could wait for ever. Raises RecordError where the folder is not there or holds no record.
    """
    if not folder.is_dir():
        raise RecordError(f"there is no folder {folder}; name the one that holds the learners' records.")
    found = []
    for parent, folders, names in os.walk(folder, followlinks=False):
        folders.sort()
        for name in sorted(names):
            path = Path(parent, name)
            if name.lower().endswith(".jsonl") and _is_plain(path):
                found.append(path)
    if not found:
        raise RecordError(f"there are no records (files ending in .jsonl) in {folder}.")
    return found


def _is_plain(path: Path) -> bool:
    try:
        return stat.S_ISREG(path.lstat().st_mode)
    except OSError:
        return False
