"""A kernel that is killed while a learner answers, and two notebooks at once: whatever was acknowledged is kept.

The answers go in through the widget's own messages; what it shows afterwards is the acknowledgement. Kernels are
processes here, killed by SIGKILL at a random moment, which nothing can catch.
"""

import contextlib
import os
import random
import signal
import time

import pytest

from kit.bay import QuestionSheet
from kit.exercises import question
from kit.marking import mark_folder
from kit.records import Record, read_record

KILLS = 200
pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="kernels are forked here; this system cannot")


@pytest.fixture(scope="module")
def sheet(tmp_path_factory):
    """A question's widget, drawn once: each kernel is a copy of it that writes into a record of its own."""
    return QuestionSheet(
        question("06.3"), record=Record.open(course="autumn", learner="wren", folder=tmp_path_factory.mktemp("drawn")))


def kernel(sheet, folder, learner, told, answers):
    """A kernel that answers one question again and again, and tells each answer it has seen taken."""
    sheet._record = Record.open(course="autumn", learner=learner, folder=folder)
    for n in range(1, answers + 1):
        sheet._handle_custom_msg({"number": n, "raw": f"{n} V"}, [])
        if sheet.view["number"] == n and sheet.view["mark"] is not None:
            os.write(told, b"%d\n" % n)


def begun(*given):
    """A process that works as a kernel, and the pipe it tells on."""
    ear, told = os.pipe()
    child = os.fork()
    if child:
        os.close(told)
        return child, ear
    # No exit handlers, no pytest: a kernel that ends, or is ended, does nothing more.
    with contextlib.suppress(BaseException):
        kernel(*given[:3], told, *given[3:])
    os._exit(0)


def heard(ear, before=b""):
    with os.fdopen(ear, "rb") as file:
        return [int(word) for word in (before + file.read()).split(b"\n")[:-1]]


def raws(path):
    found = read_record(path)
    return [int(entry.fields["raw"].split()[0]) for entry in found.entries if entry.kind == "answer"], found.problems


@pytest.mark.filterwarnings("ignore:.*fork.*:DeprecationWarning")
def test_no_acknowledged_answer_is_lost_in_two_hundred_kills(sheet, tmp_path):
    chance = random.Random(9)
    acknowledged = killed_at_work = 0
    for number in range(KILLS):
        folder = tmp_path / str(number)
        child, ear = begun(sheet, folder, "wren", 10_000)
        # It is at work once it has told of one answer; then at any moment.
        first = os.read(ear, 1000)
        time.sleep(chance.uniform(0, 0.006))
        os.kill(child, signal.SIGKILL)
        _, status = os.waitpid(child, 0)
        killed_at_work += os.WIFSIGNALED(status)
        seen = heard(ear, first)
        acknowledged += len(seen)
        for path in folder.glob("*.jsonl"):
            kept, problems = raws(path)
            assert kept[: len(seen)] == seen
            # At most one more was on the disk and not yet told; a line cut off is named, and is the only trouble.
            assert len(kept) <= len(seen) + 1 and len(problems) <= 1
            assert all("cut off" in one.text or "empty" in one.text for one in problems)
        assert seen and list(folder.glob("*.jsonl"))
    assert killed_at_work == KILLS and acknowledged > KILLS


def test_two_notebooks_of_one_learner_at_once_lose_nothing(sheet, tmp_path):
    kernels = [begun(sheet, tmp_path, "wren", 40) for _ in range(2)]
    told = [heard(ear) for _child, ear in kernels]
    for child, _ear in kernels:
        os.waitpid(child, 0)
    assert told == [list(range(1, 41))] * 2
    paths = sorted(tmp_path.glob("*.jsonl"))
    assert [raws(path) for path in paths] == [(list(range(1, 41)), ())] * 2
    (marks,) = mark_folder(tmp_path).learners
    assert not marks.troubles
    assert next(row for row in marks.rows if row.question == "06.3").attempts == 80
