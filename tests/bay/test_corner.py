"""The instructor's corner without a browser: what it sets, hides, tells, counts and replays."""

import json
from datetime import date

import pytest

import kit
from kit.bay import Corner, MachineBay
from kit.bay.replay import in_words
from kit.errors import OperationError, RecordError
from kit.exercises import question, truth, variant
from kit.exercises.acts import TIDY, Prepare, Tidy
from kit.exercises.cards import card
from kit.machines import machine
from kit.records import Record, read_record

BIKE = machine("orchard-bike")


@pytest.fixture
def corner(record):
    """A corner on the orchard bike."""
    return Corner(BIKE, record=record)


@pytest.fixture
def handed_in(tmp_path):
    """Two learners' records in a folder: one has handed J1 back, the other has only begun it."""
    folder = tmp_path / "handed-in"
    for learner in ("robin", "wren"):
        record = Record.open(folder=folder, course="autumn", learner=learner)
        chosen = card("J1")
        bay = MachineBay(chosen.machine, record=record, faults=chosen.faults(learner, "autumn"), card=chosen)
        bay.prepare("secure")
        bay.lamp(clip="G1.-", tip="G1.+")
        bay.operate(key="on")
        bay.lamp(clip="G1.-", tip="F1.2")
        bay.look("F1")
        if learner == "wren":
            bay.find("F1", "blown", readings=(3,))
            bay.hand_back()
            asked = question("06.3")
            right = truth(asked, variant(asked, "autumn", learner))
            record.append("answer", question="06.3", version=asked.version,
                          variant=variant(asked, "autumn", learner).key, raw=f"{right:.2f} V")
    return folder


def send(corner, what, **fields):
    corner._handle_custom_msg({"number": corner.view["number"] + 1, "page": "a", "do": what, **fields}, [])
    return corner.view


def sent(corner):
    return json.dumps([corner.view, corner.bay.view, corner.bay.strip])


def test_what_is_set_is_nowhere_until_it_is_revealed_and_hidden_again_it_is_gone(corner):
    view = send(corner, "set", faults=["W7 open"])
    assert view["set"] and view["revealed"] is None and "W7 open" not in sent(corner)
    assert "W7 open" not in repr(corner) + repr(corner.bay) + " ".join(dir(corner.bay))
    # What a start shows may be told: anybody could try it.
    assert view["symptom"] and not any("cranks" in text for text in view["symptom"])
    corner.bay.operate(key="on")
    assert "W7 open" not in sent(corner)
    view = send(corner, "reveal")
    assert view["revealed"][0]["fault"] == "W7 open" and view["revealed"][0]["repair"]
    assert corner.bay.view["truth"]["faults"] == ["W7 open"] and corner.bay.view["nodes"]
    view = send(corner, "hide")
    assert view["revealed"] is None and corner.bay.view["nodes"] == {} and "W7 open" not in sent(corner)


def test_the_lid_of_the_bay_itself_is_the_same_lid(corner):
    corner.set("W7 open")
    corner.bay._handle_custom_msg({"number": 1, "page": "b", "lid": "up"}, [])
    assert corner.view["revealed"][0]["fault"] == "W7 open"


def test_by_hand_a_pair_at_random_and_sound_again(corner):
    corner.set("W7 open", "F2 blown")
    assert corner.reveal() == "W7 open; F2 blown"
    send(corner, "random", kinds=["short to ground"], pair=True)
    assert corner.view["revealed"] is None and "shorted" not in sent(corner)
    assert corner.reveal().count("shorted to ground") == 2
    send(corner, "set", faults=[])
    assert not corner.view["set"] and corner.reveal() == "nothing wrong"
    for wrong in (("W7 open", "W7 open"), ("W7 open", "F1 blown", "F2 blown")):
        with pytest.raises(OperationError, match="one fault, or two"):
            corner.set(*wrong)
    assert "no fault" in send(corner, "set", faults=["W7 bored"])["said"]


def test_the_fault_of_the_day_is_everybodys(corner, monkeypatch, tmp_path):
    monkeypatch.setenv("KIT_RECORDS", str(tmp_path))
    monkeypatch.setenv("KIT_COURSE", "autumn")
    view = send(corner, "today", course="autumn", day="2031-05-04")
    mine = kit.today("orchard-bike", day="2031-05-04")
    assert view["owner"] and view["owner"] in mine.view["said"]
    mine.lift(up=True)
    assert "; ".join(mine.view["truth"]["faults"]) == corner.reveal()
    corner.today()
    assert date.today().isoformat() in corner.view["said"]
    assert "no day" in send(corner, "today", day="May")["said"]


def test_a_vote_is_counted_before_it_is_told_and_stands_then(corner):
    corner.set("F1 blown")
    corner.bay.operate(key="on")
    view = send(corner, "vote lamp", clip="G1.-", tip="F1.2")
    assert view["vote"]["told"] is None and view["vote"]["options"] == ["out", "glow", "dim", "bright"]
    assert "count the hands first" in send(corner, "tell")["said"]
    send(corner, "count", hands={"bright": 9})
    send(corner, "count", hands={"out": 4, "bright": 8})
    view = send(corner, "tell")
    assert view["vote"]["told"] == {"right": ["out"], "words": "It shows: out. 4 of 12 hands had it."}
    # It was really measured, on the bay.
    assert corner.bay.view["sheet"][-1]["done"] == "test lamp: clip G1.-, tip F1.2"
    assert "no vote open" in send(corner, "count", hands={"out": 12})["said"]
    assert corner.view["vote"]["counts"] == {"out": 4, "glow": 0, "dim": 0, "bright": 8}
    corner.vote_stage()
    corner.count(**{"main feed": 3, "loads": 1})
    assert corner.tell() == "It is in: main feed. 3 of 4 hands had it."
    assert send(corner, "end vote")["vote"] is None


@pytest.mark.parametrize("hands", [
    None, [], "7", {"bright": -1}, {"bright": 1.5}, {"bright": True}, {"warm": 1}, {"out": 9999},
])
def test_hands_are_whole_numbers_of_an_option(corner, hands):
    corner.vote_lamp("G1.-", "F1.2")
    before = dict(corner.view["vote"]["counts"])
    assert send(corner, "count", hands=hands)["vote"]["counts"] == before


def test_a_record_is_replayed_move_by_move_as_it_was_and_never_written(corner, handed_in):
    bytes_before = {path.name: path.read_bytes() for path in handed_in.iterdir()}
    assert corner.records(handed_in) == [("robin", "J1"), ("wren", "J1")]
    moves = corner.replay("wren", "J1")
    path = next(path for path in handed_in.iterdir() if path.name.startswith("wren"))
    acts = [entry.fields for entry in read_record(path).entries if entry.kind == "act"]
    assert moves == len(acts) == 7 and corner.view["replay"]["at"] == 0 and corner.bay.view["sheet"] == []
    for number, act in enumerate(acts, 1):
        view = send(corner, "move", to=number)
        told = corner._replay.steps[number - 1]
        assert (told.reading or told.shown) == act["shown"]
        assert view["replay"]["at"] == number
    assert corner.bay.view["over"] and corner.bay.view["review"] is None
    corner.move(4)
    assert corner.bay.view["probe"]["leads"] == ["G1.-", "F1.2"] and corner.bay.view["positions"]["key"] == "on"
    assert not any(fault in sent(corner) for fault in card("J1").faults("wren", "autumn"))
    # With the lid up the truth goes along; the room may go on by itself and is put back.
    corner.reveal()
    corner.move(3)
    assert corner.view["revealed"] and corner.bay.view["nodes"]
    corner.bay.fuse("F1", "out")
    corner.move(4)
    assert corner.bay.view["out"] == []
    for wrong in (-1, 8, True, "2", None):
        assert "no such move" in send(corner, "move", to=wrong)["said"]
    send(corner, "end replay")
    assert corner.view["replay"] is None and corner.bay.view["sheet"] == []
    assert {path.name: path.read_bytes() for path in handed_in.iterdir()} == bytes_before


def test_a_replay_says_what_was_ticked_as_the_card_does():
    job = card("J1")
    for step in job.preparations:
        assert in_words(Prepare(step=step), job) == f"got ready: {job.preparations[step]}" != f"got ready: {step}"
    for step in TIDY:
        assert in_words(Tidy(step=step), job) == f"tidied up: {TIDY[step]}"


def test_a_replay_on_another_machine_puts_that_machine_on_the_bench(record, handed_in):
    corner = Corner(machine("bench-board"), record=record)
    corner.records(handed_in)
    corner.replay("robin", "J1")
    assert corner.bay.setting["title"] == corner.view["machine"] == "Orchard bike"
    assert "F1.2" in corner.view["points"]
    corner.end_replay()
    assert corner.view["machine"] == "Bench board"


def test_the_class_wall_says_how_far_each_is_and_reads_only(corner, handed_in):
    (handed_in / "torn.jsonl").write_text("{", encoding="utf-8")
    view = send(corner, "wall", folder=str(handed_in))
    rows = {row["learner"]: row for row in view["wall"]["rows"]}
    assert view["wall"]["lessons"] == ["06"] and list(rows) == ["robin", "wren"]
    assert rows["robin"]["jobs"] == ["J1 at work, 5 acts"] and rows["robin"]["lessons"] == {}
    assert rows["wren"]["jobs"] == ["J1 handed back, 7 acts"]
    assert rows["wren"]["lessons"]["06"].endswith("answered, 1 right")
    assert "there is no folder" in send(corner, "wall", folder=str(handed_in.parent / "empty"))["said"]
    with pytest.raises(RecordError):
        corner.records(handed_in.parent / "empty")


@pytest.mark.parametrize("nonsense", [
    None, 7, [], {}, {"do": "dance"}, {"do": "set", "faults": "W7 open"}, {"do": "random", "kinds": [7]},
    {"do": "vote lamp", "clip": "G1.-", "tip": "K9.1"}, {"do": "vote lamp", "clip": "G1.-", "tip": "G1.-"},
    {"do": "replay", "learner": "wren", "job": "J1"}, {"do": "records", "folder": 7}, {"do": "tell"},
])
def test_nonsense_does_nothing_but_say_so(corner, nonsense):
    corner._handle_custom_msg({"number": 1} | nonsense if isinstance(nonsense, dict) else nonsense, [])
    assert not corner.view["set"] and corner.view["vote"] is None and "Traceback" not in corner.view["said"]


def test_a_message_that_comes_again_is_done_once(corner):
    for _ in range(3):
        corner._handle_custom_msg({"number": 1, "page": "a", "do": "vote stage"}, [])
    assert corner.view["answered"] == {"a": [1]}


def test_the_bay_of_a_job_cannot_be_set(job):
    with pytest.raises(OperationError, match="find it"):
        job.stand(job._first)


def test_without_a_kernel_a_sentence_and_the_stages_stand_in(corner):
    data, _ = corner._repr_mimebundle_()
    assert data["text/plain"].startswith("The instructor's corner: Orchard bike.")
    assert "data:image/svg+xml;base64," in data["text/html"]
    assert "application/vnd.jupyter.widget-view+json" in data
