"""What goes out to a class and what stays with the assessor: two zips, the same bytes whenever and wherever made.

The class pack holds the kit, the lessons and the pseudonyms, no solutions and no names. The assessor's pack holds the
solutions, what is right for each learner's own variants, the hidden faults, and an empty map from pseudonym to name: it
is filled in and kept apart from the marks. Hidden faults are sealed in the kit, not secret: who writes Python against
the kit can open them, so assessed work is supervised.
"""

import csv
import hashlib
import io
import json
import zipfile
from collections.abc import Callable, Iterator, Mapping, Sequence
from pathlib import Path

from kit.errors import RecordError
from kit.exercises import Explain, JobQuestion, questions, right_answer, truth, variant
from kit.marking.writing import written
from kit.records.outgoing import timeless
from kit.records.places import kit_version

LEFT_OUT = ("__pycache__", ".ipynb_checkpoints", "my-work", "kit.egg-info")
SHADES = ("amber", "blue", "copper", "coral", "golden", "green", "grey", "ivory", "olive", "red", "silver", "white")
TREES = ("alder", "apple", "ash", "beech", "birch", "cedar", "cherry", "elder", "elm", "fir", "hazel", "holly", "larch",
         "lime", "maple", "oak", "pear", "pine", "rowan", "willow", "yew")
Progress = Callable[[int, int, str], None]


def pseudonyms(course: str, number: int) -> tuple[str, ...]:
    """So many names for learners of a course, in alphabetical order; another course has others."""
    pairs = [f"{shade}-{tree}" for shade in SHADES for tree in TREES]
    pairs.sort(key=lambda name: hashlib.sha256(f"{course}\x1f{name}".encode()).hexdigest())
    rounds, last = divmod(number, len(pairs))
    found = [f"{name}-{turn + 1}" if turn else name for turn in range(rounds) for name in pairs]
    found += [f"{name}-{rounds + 1}" if rounds else name for name in pairs[:last]]
    return tuple(sorted(found))


def write_class_pack(root: Path, course: str, learners: Sequence[str], out: Path) -> Path:
    """Write the zip for the class from the kit's own folder; raises RecordError where its files are not all there."""
    files = dict(_files(root, ("README.md", "requirements.txt"), ("kit", "lessons")))
    if not any(name.startswith("lessons/") for name in files):
        raise RecordError(f"{root} has no lessons; packs are made from the kit's own folder.")
    files["course.txt"] = f"{course}\n".encode()
    files["pseudonyms.txt"] = "".join(f"{name}\n" for name in learners).encode()
    files["START.txt"] = (
        f"Course: {course}\n\n"
        "1. README.md has the command that sets up and opens the lessons. Keep course.txt where it is.\n"
        "2. On the page \"start here\" type the name you were given; it is one of those in pseudonyms.txt.\n"
        "3. To hand in, stop the lessons (Ctrl-C twice) and run the same Python with: -m kit hand-in\n"
    ).encode()
    return _pack(files, out)


def write_assessor_pack(
    root: Path, course: str, learners: Sequence[str], out: Path,
    progress: Progress = lambda done, total, name: None,
) -> Path:
    """Write the assessor's zip: solutions, truth.jsonl, key.json and an empty names.csv."""
    files = dict(_files(root, (), ("solutions",)))
    files["key.json"] = _json({
        "course": course, "kit": kit_version(), "learners": list(learners),
        "questions": {one.id: one.version for one in questions().values()},
    })
    files["truth.jsonl"] = b"".join(_truths(course, learners, progress))
    table = io.StringIO()
    csv.writer(table, lineterminator="\n").writerows([("pseudonym", "name"), *((name, "") for name in learners)])
    files["names.csv"] = table.getvalue().encode()
    return _pack(files, out)


def _truths(course: str, learners: Sequence[str], progress: Progress) -> Iterator[bytes]:
    kept: dict[tuple[str, str], object] = {}
    for done, learner in enumerate(learners):
        progress(done, len(learners), learner)
        for asked in questions().values():
            given = variant(asked, course, learner)
            if isinstance(asked, JobQuestion):
                right: object = list(truth(asked, given))
            elif isinstance(asked, Explain):
                continue
            else:
                if (asked.id, given.key) not in kept:
                    kept[asked.id, given.key] = right_answer(asked, given)
                right = kept[asked.id, given.key]
            yield _json({"learner": learner, "question": asked.id, "variant": given.key, "right": right})


def _files(root: Path, single: Sequence[str], folders: Sequence[str]) -> Iterator[tuple[str, bytes]]:
    for name in single:
        if (root / name).is_file():
            yield name, (root / name).read_bytes()
    for folder in folders:
        for path in sorted((root / folder).rglob("*")):
            inside = path.relative_to(root)
            hidden = any(part in LEFT_OUT or part.startswith(".") for part in inside.parts)
            if path.is_file() and not path.is_symlink() and not hidden:
                yield inside.as_posix(), path.read_bytes()


def _pack(files: Mapping[str, bytes], out: Path) -> Path:
    # Stored, not deflated: another version of the packer would give other bytes.
    with written(out) as file, zipfile.ZipFile(file, "w", zipfile.ZIP_STORED) as archive:
        for name in sorted(files):
            info = timeless(name)
            # The same whoever packs it, on whatever system.
            info.create_system, info.external_attr = 3, 0o644 << 16
            archive.writestr(info, files[name])
    return out


def _json(value: object) -> bytes:
    return json.dumps(value, ensure_ascii=True, sort_keys=True, default=_plain).encode() + b"\n"


def _plain(value: object) -> object:
    return dict(value) if isinstance(value, Mapping) else list(value)
