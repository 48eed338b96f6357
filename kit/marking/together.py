"""Many learners marked one by one: here, and in other processes as well once that pays.

A copy of this process knows all that was worked out so far and is there at once. Where none can be made, another one is
begun afresh; that has to read the kit and the machines before it is of any use, and is not begun for what is soon done.
"""

import gc
import sys
import threading
from collections import deque
from collections.abc import Iterable, Iterator, Sequence
from concurrent.futures import Future, ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from multiprocessing import get_context
from time import perf_counter

from kit.errors import RecordError
from kit.marking.marks import LearnerMarks, Line, Trouble, as_line
from kit.marking.rubric import Rubric, rubric_from
from kit.marking.task import Task, mark_task

# From another process the marks come as a line, with what was wrong beside it; None where they are known already.
# Each process sends every shared row it names but once.
Marked = LearnerMarks | tuple[Line, tuple[Trouble, ...]] | None
# Seconds of work that have to be left for a copy of this process to be made, or another one to be begun afresh.
WORTH = {"fork": 0.2, "spawn": 2.0}
RARELY = (50_000, 20, 20)
# The most learners handed to another process at once, and such parcels under way for each process.
PARCEL, UNDER_WAY = 32, 2


def mark_all(tasks: Sequence[Task], rubric: Rubric, jobs: int) -> Iterator[tuple[str, str, Marked]]:
    """Each learner's name, the digest of what was marked, and the marks, in whatever order they get done.

    At most ``jobs`` processes work on it, this one among them.
    """
    waiting, begun, way, before = deque(tasks), perf_counter(), _way(), gc.get_threshold()
    # Python looks through all a class has in common for what can be forgotten, and hardly ever finds anything.
    gc.set_threshold(*RARELY)
    try:
        while waiting:
            done = len(tasks) - len(waiting)
            if jobs > 1 and done and (perf_counter() - begun) / done * len(waiting) > WORTH[way]:
                yield from _together(waiting, rubric, jobs, way)
                return
            yield mark_task(waiting.popleft(), rubric)
    finally:
        gc.set_threshold(*before)


def _way() -> str:
    """How another process begins. In a copy the other threads are missing, and what they had locked stays so."""
    return "fork" if sys.platform == "linux" and threading.active_count() == 1 else "spawn"


def _together(waiting: deque[Task], rubric: Rubric, jobs: int, way: str) -> Iterator[tuple[str, str, Marked]]:
    others = min(jobs - 1, len(waiting))
    pool = ProcessPoolExecutor(
        others, mp_context=get_context(way), initializer=_begin, initargs=(rubric.name, rubric.text),
    )
    # A small class is dealt out in small parcels, so that no process has all of it.
    size = max(1, min(PARCEL, len(waiting) // (8 * jobs)))
    under_way: deque[Future] = deque()
    try:
        while waiting or under_way:
            while waiting and len(under_way) < UNDER_WAY * others:
                parcel = [waiting.popleft() for _ in range(min(size, len(waiting)))]
                under_way.append(pool.submit(_mark_parcel, parcel))
            if waiting and not under_way[0].done():
                yield mark_task(waiting.popleft(), rubric)
            else:
                yield from under_way.popleft().result()
    except BrokenProcessPool:
        raise RecordError(
            "a process that was marking was ended from outside; mark again and it goes on from there, with fewer "
            "--jobs if the memory ran out."
        ) from None
    finally:
        pool.shutdown(cancel_futures=True)


_rubric: list[Rubric] = []
_sent: set[str] = set()


def _begin(name: str, text: str) -> None:
    _rubric[:] = [rubric_from(name, text)]
    _sent.clear()


def _mark_parcel(tasks: Iterable[Task]) -> list[tuple[str, str, Marked]]:
    done = (mark_task(task, _rubric[0]) for task in tasks)
    return [
        (learner, digest, (_to_send(marks), marks.troubles) if marks is not None else None)
        for learner, digest, marks in done
    ]


def _to_send(marks: LearnerMarks) -> Line:
    line = as_line(marks)
    new = line.rows.keys() - _sent
    _sent.update(new)
    return Line(line.text, {name: line.rows[name] for name in new})
