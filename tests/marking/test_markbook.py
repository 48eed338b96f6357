"""Marks of a folder, against marks worked out by hand; whatever is broken is named and spoils nothing else."""

import json
import os

import pytest

from kit.errors import RecordError
from kit.exercises import question, truth
from kit.marking import find_records, mark_folder

ANSWERED = ("06.1", "06.2", "06.3", "06.4", "06.5", "06.6")


def points(book, name):
    (found,) = [one for one in book.learners if one.learner == name]
    return {row.question: (row.points, row.of) for row in found.rows}


def row(book, name, question_id):
    (found,) = [one for one in book.learners if one.learner == name]
    return next(one for one in found.rows if one.question == question_id)


def all_right(one):
    for name in ANSWERED:
        one.right(name)
    return one


RIGHT = {"06.1": (4, 4), "06.2": (10, 10), "06.3": (4, 4), "06.4": (10, 10), "06.5": (4, 4), "06.6": (4, 4)}


def test_everything_right_is_full_marks_and_what_was_not_done_is_none(handed_in, learner):
    all_right(learner("wren"))
    book = mark_folder(handed_in)
    assert points(book, "wren") == RIGHT | {"06.7": (0, 100)}
    assert row(book, "wren", "06.7").note == "not answered"
    assert not book.troubles


def test_wrong_in_named_ways_by_hand(handed_in, learner):
    one = learner("heron")
    one.choose("06.6", "bigger")
    one.say("06.3", "0 V")
    two = learner("robin")
    two.say("06.3", f"{-truth(*two.asked('06.3'))} V")
    two.say("06.5", "nothing")
    table = {point: ["bright", "bright"] for point in truth(*two.asked("06.4"))}
    live = sum(words == ("bright", "bright") for words in truth(*two.asked("06.4")).values())
    two.say("06.4", table)
    book = mark_folder(handed_in)
    assert points(book, "heron")["06.6"] == (0, 4)
    assert [idea.id for idea in row(book, "heron", "06.6").ideas] == ["short-not-seen"]
    assert points(book, "heron")["06.3"] == (0, 4)
    assert [idea.id for idea in row(book, "heron", "06.3").ideas] == ["no-current-no-volts"]
    assert points(book, "robin")["06.3"] == (2, 4)
    assert points(book, "robin")["06.5"] == (0, 4)
    assert points(book, "robin")["06.4"] == (2 * live, 10)


def test_the_last_answer_that_could_be_read_counts_but_a_prediction_counts_the_first_time(handed_in, learner):
    one = learner("wren")
    one.say("06.3", "0 V")
    one.right("06.3")
    one.say("06.3", "no idea")
    wrong = {point: ["out", "out"] for point in truth(*one.asked("06.2"))}
    one.say("06.2", "what?")
    one.say("06.2", wrong)
    one.right("06.2")
    book = mark_folder(handed_in)
    three, two = row(book, "wren", "06.3"), row(book, "wren", "06.2")
    assert (three.points, three.attempts, three.note) == (4, 2, "2 answers, the last one counts; 1 could not be read")
    out = sum(words.count("out") for words in truth(*one.asked("06.2")).values())
    assert (two.points, two.attempts, two.note) == (out, 2, "2 answers, the first one counts; 1 could not be read")


def test_an_answer_undone_is_as_if_not_given(handed_in, learner):
    one = learner("wren")
    one.right("06.3")
    slip = one.say("06.3", "0 V")
    one.record.append("undo", of=slip.n)
    assert points(mark_folder(handed_in), "wren")["06.3"] == (4, 4)


def test_the_files_of_a_learner_are_taken_together_in_the_order_of_time(handed_in, learner):
    learner("wren").say("06.3", "0 V")
    learner("wren").right("06.3")
    learner("wren").right("06.5")
    book = mark_folder(handed_in)
    assert len(book.learners) == 1 and not book.troubles
    assert points(book, "wren")["06.3"] == points(book, "wren")["06.5"] == (4, 4)
    assert row(book, "wren", "06.3").attempts == 2


def test_acts_of_a_job_are_done_again_across_kernels_up_to_the_first_handing_back(handed_in, learner):
    first, second = learner("wren"), learner("wren")
    for step in ("secure", "protect", "battery"):
        first.do("prepare", step=step)
    first.do("operate", control="warp drive", position="on")
    second.do("operate", control="key", position="on")
    unfinished = row(mark_folder(handed_in), "wren", "06.7")
    # By hand: 8 of 15 for three steps of getting ready without an instrument, 5 for the complaint seen, 5 for no good
    # part wasted.
    assert (unfinished.points, unfinished.of, unfinished.attempts) == (18, 100, 1)
    assert unfinished.note == "not handed back yet"
    assert "passed over: 1" in unfinished.reason
    second.do("hand back")
    second.do("again")
    second.do("look", part="F1")
    second.do("hand back")
    done = row(mark_folder(handed_in), "wren", "06.7")
    assert (done.points, done.note) == (18, "worked again for practice; the first time counts")


def test_acts_on_another_version_of_a_card_are_named(handed_in, learner):
    one = learner("wren")
    one.do("operate", control="key", position="on", version=99)
    one.right("06.1")
    book = mark_folder(handed_in)
    assert "another version of J1 than this kit's 1; acts left out: 1" in book.troubles[0].text
    assert row(book, "wren", "06.7").note == "not answered"


def test_planting_cannot_mend_a_job(handed_in, learner):
    one = learner("wren")
    for fault in ("F1 blown", "W2 shorted to ground", "W3 shorted to ground"):
        one.do("plant", fault=fault, present="no")
    one.do("operate", control="key", position="on")
    got = row(mark_folder(handed_in), "wren", "06.7")
    assert "still wrong or missing" in got.reason


def test_unknown_questions_versions_variants_and_jobs_are_named_and_all_else_is_marked(handed_in, learner):
    one = learner("wren")
    one.say("06.3", "0 V", question="99.1")
    one.say("06.3", "0 V", version=99)
    one.say("06.3", "0 V", variant="another")
    one.record.append("act", job="J99", act="operate", control="key", position="on")
    one.right("06.3")
    book = mark_folder(handed_in)
    assert points(book, "wren")["06.3"] == (4, 4)
    assert [trouble.question for trouble in book.troubles] == ["99.1", "06.3", "06.3", "J99"]
    said = " ".join(trouble.text for trouble in book.troubles)
    for part in ("question '99.1'", "version 99 of 06.3", "06.3 that is not this learner's", "card 'J99'"):
        assert part in said
    assert all(trouble.file.startswith("wren-") and trouble.learner == "wren" for trouble in book.troubles)


def test_broken_files_are_a_row_each_and_the_class_is_marked(handed_in, learner):
    all_right(learner("wren"))
    cut = all_right(learner("heron")).record.path
    cut.write_bytes(cut.read_bytes()[:-20])
    (handed_in / "notes.jsonl").write_text("I forgot to save\n")
    (handed_in / "empty.jsonl").write_text("")
    with (handed_in / "huge.jsonl").open("wb") as file:
        file.truncate(100_000_000)
    edited = all_right(learner("robin")).record.path
    edited.write_text(edited.read_text().replace('"question":"06.5"', '"question":"06.1"'))
    book = mark_folder(handed_in)
    assert points(book, "wren") == RIGHT | {"06.7": (0, 100)}
    # The cut went through the last answer, 06.6; the edit touched 06.5, so 06.6 after it cannot be trusted either.
    assert points(book, "heron") == RIGHT | {"06.6": (0, 4), "06.7": (0, 100)}
    assert points(book, "robin") == RIGHT | {"06.5": (0, 4), "06.6": (0, 4), "06.7": (0, 100)}
    files = sorted(trouble.file.split("-")[0] for trouble in book.troubles)
    assert files == ["empty.jsonl", "heron", "huge.jsonl", "notes.jsonl", "robin"]


def test_a_file_handed_in_twice_counts_once_in_its_longer_state(handed_in, learner):
    one = all_right(learner("wren"))
    whole = one.record.path.read_bytes()
    (handed_in / "a copy.jsonl").write_bytes(b"".join(whole.splitlines(keepends=True)[:3]))
    book = mark_folder(handed_in)
    assert points(book, "wren") == RIGHT | {"06.7": (0, 100)}
    assert row(book, "wren", "06.1").attempts == 1
    assert [trouble.file for trouble in book.troubles] == ["a copy.jsonl"]


def test_one_name_from_two_folders_is_marked_and_pointed_out(handed_in, learner):
    learner("me", sub="desk 1").right("06.1")
    learner("me", sub="desk 2").right("06.5")
    book = mark_folder(handed_in)
    assert [one.learner for one in book.learners] == ["me"]
    assert "came from 2 folders" in book.troubles[0].text


def test_marks_are_the_same_for_the_same_records(handed_in, learner):
    all_right(learner("wren"))
    learner("heron").say("06.3", "0 V")
    assert mark_folder(handed_in) == mark_folder(handed_in)


def test_a_stored_score_is_never_believed(handed_in, learner):
    one = learner("wren")
    one.say("06.3", "0 V", points=4, of=4, mark=4)
    assert points(mark_folder(handed_in), "wren")["06.3"] == (0, 4)


def test_progress_goes_from_none_to_all(handed_in, learner):
    for name in ("wren", "heron"):
        learner(name).right("06.1")
    told = []
    mark_folder(handed_in, progress=lambda done, total, name: told.append((done, total)))
    assert told[0] == (0, 4) and told[-1] == (4, 4)
    assert told == sorted(told)


def test_links_and_pipes_are_not_opened(tmp_path, handed_in, learner):
    learner("wren").right("06.1")
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    (elsewhere / "x.jsonl").write_text(json.dumps({"secret": 1}))
    (handed_in / "link.jsonl").symlink_to(elsewhere / "x.jsonl")
    (handed_in / "folder").symlink_to(elsewhere)
    os.mkfifo(handed_in / "pipe.jsonl")
    assert [path.name[:5] for path in find_records(handed_in)] == ["wren-"]


def test_a_file_name_that_is_no_text_is_shown_as_far_as_it_goes(handed_in, learner):
    learner("wren").right("06.1")
    with open(os.fsencode(handed_in) + b"/\x1b[31m\xff.jsonl", "wb") as file:
        file.write(b"nope\n")
    (trouble,) = mark_folder(handed_in).troubles
    assert trouble.file == "\ufffd[31m\ufffd.jsonl"


def test_nothing_to_mark_is_one_plain_line(tmp_path):
    with pytest.raises(RecordError, match="there is no folder"):
        mark_folder(tmp_path / "gone")
    with pytest.raises(RecordError, match="there are no records"):
        mark_folder(tmp_path)


def test_marks_do_not_need_the_bay(handed_in, learner):
    import subprocess
    import sys

    learner("wren").right("06.1")
    program = (
        "import sys; from pathlib import Path; from kit.marking import mark_folder; mark_folder(Path(sys.argv[1]));"
        "print([name for name in sys.modules if name.startswith('kit.bay') or name in ('anywidget', 'schemdraw')])"
    )
    ran = subprocess.run([sys.executable, "-c", program, str(handed_in)], capture_output=True, text=True, check=True)
    assert ran.stdout.strip() == "[]"
    assert question("06.1").version == 1
