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
# What a learner reads first; whoever has never opened a terminal should get to the first page with it.
START = """\
Course: {course}

Unpack this zip into a folder of its own, and work in that folder. Keep the file course.txt in it as it is. Nothing in
here can be broken.

1. Open the lessons
   (Where the computer has been set up for you: your instructor shows you how. Go on with 2.)
   You need Python 3.11 or newer. Open a terminal in this folder and type these three lines, one after another:

       python3 -m venv .venv
       .venv/bin/python -m pip install -q -r requirements.txt
       .venv/bin/python -m kit open

   On Windows:

       py -m venv .venv
       .venv\\Scripts\\python -m pip install -q -r requirements.txt
       .venv\\Scripts\\python -m kit open

   The second line takes some minutes and shows nothing meanwhile. Next time the third line alone will do.
   Your browser shows the page "Start here". Leave the terminal open while you work, and close it when you are done.

2. Say who you are
   Press the button at the top of the page and wait for the word Ready. Then type the name your instructor gave you
   (one of those in pseudonyms.txt, not your own) and press "Sign in". Do that before you answer anything.

3. Choose a lesson
   Begin with 00. What you do is kept by itself; there is nothing to save.

4. Hand in
   On the page "Start here", further down, press the button "Hand in". It makes one file, hand-in-NAME.zip, in the
   folder lessons, and says so. Give that file to your instructor. You keep your work and can go on and hand in again:
   nothing counts twice.

   If no page will open any more, this line in a terminal does the same, and the file lies in this folder then (on
   Windows it begins as above):

       .venv/bin/python -m kit hand-in

If something does not work, it is not your fault: tell your instructor what it says on the screen.
"""
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
    files["START.txt"] = START.format(course=course).encode()
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
