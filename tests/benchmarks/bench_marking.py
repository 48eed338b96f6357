"""How fast a class is marked, and whether memory stays flat: plain answers, job cards, 100 to 10,000 learners.

Run it by hand: ``python tests/benchmarks/bench_marking.py [--large]``. It prints processor seconds as well as the
clock's, for the clock counts whatever else the machine is at. Nothing is asserted: a figure of one machine is no rule.
"""

import json
import os
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Sequence
from contextlib import contextmanager
from pathlib import Path

from kit.exercises import questions, right_answer, variant
from kit.exercises.cards import card
from kit.exercises.choice import LETTERS
from kit.exercises.question import Question
from kit.marking import mark_folder, write_audit, write_tables, write_workbook
from kit.marking.rubric import default_rubric
from kit.records.entries import digest

AT = "2031-05-04T09:12:33.120415Z"
ANSWERS = 40


def write_record(folder: Path, learner: str, entries: list[dict]) -> None:
    """A record as the kit writes it, without waiting for the disk after each line."""
    opened = {"kind": "opened", "schema": 1, "kit": "0.1", "course": "autumn", "learner": learner, "digests": {}}
    lines, prev = [], ""
    for n, fields in enumerate((opened, *entries)):
        line = json.dumps({"n": n, "prev": prev, "at": AT} | fields, separators=(",", ":")).encode()
        prev = digest(line)
        lines.append(line)
    (folder / f"{learner}.jsonl").write_bytes(b"\n".join(lines) + b"\n")


def wrong(item: Question, right: object) -> object:
    """An answer that can be read and is wrong, as a learner gives it: another letter, one too few, an order turned."""
    if item.kind == "choice":
        letters = LETTERS[:item.to_order]
        return letters[(letters.index(right) + 1) % len(letters)]
    if item.kind in ("several", "ordered"):
        return right[1:] if item.kind == "several" and len(right) > 1 else right[::-1]
    return "12"


def plain_class(folder: Path, size: int) -> None:
    """Learners who answer forty questions each, a third of them wrong."""
    # Tables of volts and next tests are worked out by solving the machine many times; they are no plain answers.
    kinds = ("choice", "several", "number", "prediction", "ordered", "standing", "explain")
    asked = [item for item in questions().values() if item.kind in kinds]
    rights: dict[tuple[str, str], object] = {}
    for number in range(size):
        learner, entries = f"learner-{number:05d}", []
        for place in range(ANSWERS):
            item = asked[place % len(asked)]
            mine = variant(item, "autumn", learner)
            if (item.id, mine.key) not in rights:
                right = right_answer(item, mine)
                rights[item.id, mine.key] = f"{right:.3g}" if item.kind == "number" else right
            right = rights[item.id, mine.key]
            raw = right if (number + place) % 3 else wrong(item, right)
            if isinstance(raw, str) and item.kind == "explain":
                raw = f"I would say that it is so because of {number} things."
            entries.append({"kind": "answer", "question": item.id, "version": item.version, "variant": mine.key,
                            "raw": raw})
        write_record(folder, learner, entries)


def job_class(folder: Path, size: int, job: str) -> None:
    """Learners at one card: ready, the complaint seen, some probes in an order of their own, a finding, handed back."""
    chosen = card(job)
    points = [str(point) for point in chosen.machine.points]
    for number in range(size):
        acts = [{"act": "prepare", "step": step} for step in chosen.preparations]
        acts += [{"act": "operate", "control": name, "position": position}
                 for moves in chosen.moves for name, position in moves.items()]
        acts += [{"act": "probe", "instrument": "volts", "leads": ["G1.-", points[(number * 7 + n * 5) % len(points)]]}
                 for n in range(8)]
        part = points[number % len(points)].split(".")[0]
        acts += [{"act": "find", "role": "fault", "part": part, "fault": "open", "readings": []}, {"act": "hand back"}]
        about = {"kind": "act", "job": job, "version": chosen.version}
        write_record(folder, f"learner-{number:05d}", [about | one for one in acts])


@contextmanager
def timed(what: str, number: int, unit: str = "records"):
    clock, work = time.perf_counter(), _work()
    yield
    clock, work = time.perf_counter() - clock, _work() - work
    peak = max(resource.getrusage(who).ru_maxrss for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN)) / 1024
    print(f"{what:48} {number / work:9,.0f} {unit}/s of processor, {number / clock:9,.0f} by the clock, "
          f"{work:7.1f} s, peak {peak:5.0f} MB", flush=True)


def _work() -> float:
    times = os.times()
    return times.user + times.system + times.children_user + times.children_system


def plain(size: int, jobs: int) -> None:
    with tempfile.TemporaryDirectory() as place:
        folder, out = Path(place, "in"), Path(place, "out")
        folder.mkdir()
        # Another process makes the class: this one is to know nothing yet of what it marks.
        subprocess.run([sys.executable, __file__, "make", str(folder), str(size)], check=True)
        with timed(f"plain, {size} learners, {jobs} processes: marked", size):
            book = mark_folder(folder, out=out, jobs=jobs)
        if jobs > 1:
            return
        with timed(f"plain, {size} learners: tables", size):
            write_tables(book, out)
        if size <= 1000:
            with timed(f"plain, {size} learners: workbook", size):
                write_workbook(book, out)
        with timed(f"plain, {size} learners: audit", size):
            write_audit(book, default_rubric(), out)


def cards(size: int, job: str, jobs: int) -> None:
    with tempfile.TemporaryDirectory() as place:
        job_class(Path(place), size, job)
        with timed(f"{job}, {size} learners, {jobs} processes", size, "cards"):
            mark_folder(Path(place), jobs=jobs, stories=False)


def everything(sizes: Sequence[int]) -> None:
    """Each class of plain answers by itself, so that none knows what an earlier one had worked out."""
    for size in sizes:
        for jobs in dict.fromkeys((1, os.cpu_count() or 1)):
            subprocess.run([sys.executable, __file__, "plain", str(size), str(jobs)], check=True)
    for job in ("J5", "J30"):
        for size in (1, 30, 300):
            cards(size, job, 1)


if __name__ == "__main__":
    match sys.argv[1:]:
        case ["make", folder, size]:
            plain_class(Path(folder), int(size))
        case ["plain", size, jobs]:
            plain(int(size), int(jobs))
        case more:
            everything((100, 1000, 10_000) if "--large" in more else (100, 1000))
