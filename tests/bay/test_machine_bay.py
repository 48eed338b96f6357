"""The bay without a browser: messages in, view out, and the record between the two."""

import errno
import json
import os
import threading
import time
from concurrent.futures import ThreadPoolExecutor

import pytest
from jobs_at_hand import a_job

import kit
from kit.bay import MachineBay, judging
from kit.bay.sight import Sight
from kit.circuit import Battery
from kit.diagnose.priors import KINDS, share_of_label
from kit.errors import KitError, OperationError
from kit.exercises.acts import ACTS
from kit.exercises.cards import card
from kit.machines import machine
from kit.records import Record, kernel_record, read_record

BIKE = machine("orchard-bike")
SEEN = {
    "number", "answered", "stood", "truth", "positions", "closed", "blown", "out", "bigger", "off", "swapped", "warm",
    "nodes", "probe", "noticed", "said", "minutes", "sheet", "asked", "prepared", "tidied", "notes", "findings",
    "repaired", "referred", "verified", "not_yet", "explained", "over", "planted", "review", "unmarked",
}
COUNTED = {"number", "answered"}
PROBE = {"act": "probe", "instrument": "lamp", "leads": ["G1.-", "F1.1"]}


def send(bay, number=None, **fields):
    """What arrives when the browser sends a message; returns the view that answers it."""
    bay._handle_custom_msg({"number": bay.view["number"] + 1 if number is None else number, **fields}, [])
    return bay.view


def test_what_a_machine_does_by_itself_is_said_before_anything_is_done(record):
    """A welded solenoid cranks with the key off; a sound mower, and one whose fault does nothing yet, stand still."""
    mower = machine("ride-on-mower")
    said = [MachineBay(mower, record=record, faults=faults).view["said"]
            for faults in ((), ("F1 blown",), ("K1 contacts welded",))]
    assert said == ["", "", "Nothing done yet. The engine cranks at full speed. The engine does not fire."]


def acts_on_disk(record):
    return [entry.fields for entry in read_record(record.path).entries if entry.kind == "act"]


def test_a_message_is_done_recorded_and_shown(job, record):
    view = send(job, **PROBE)
    assert view["number"] == 1
    assert view["probe"] == {
        "instrument": "lamp", "leads": ["G1.-", "F1.1"], "hold": "", "reading": "bright"}
    assert [(line["done"], line["shown"]) for line in view["sheet"]] == [("test lamp: clip G1.-, tip F1.1", "bright")]
    view = send(job, act="operate", control="key", position="on")
    assert view["positions"]["key"] == "on" and "S1" in view["closed"]
    assert view["sheet"][1]["condition"] == "key on" and "Reading: bright" in view["sheet"][1]["shown"]
    assert [(act["act"], act["shown"], act["job"], act["version"]) for act in acts_on_disk(record)] == [
        ("probe", "bright", "J1", 1), ("operate", "bright", "J1", 1)]


def test_an_act_is_on_the_disk_before_the_view_changes(job, record):
    found = []
    job.observe(lambda change: found.append((change.new["number"], len(acts_on_disk(record)))), "view")
    for number in (1, 2, 3):
        send(job, act="operate", control="key", position=("on", "off")[number % 2])
    assert found == [(1, 1), (2, 2), (3, 3)]


@pytest.mark.parametrize("reason", [errno.ENOSPC, errno.EROFS, errno.EIO])
def test_what_cannot_be_recorded_is_not_done_and_said_in_words(job, record, monkeypatch, reason):
    send(job, **PROBE)
    before = dict(job.view)

    def full(*_):
        raise OSError(reason, os.strerror(reason))

    with monkeypatch.context() as broken:
        broken.setattr(os, "write", full)
        after = send(job, act="operate", control="key", position="on")
    assert after["said"].startswith("Not done: ") and len(after["said"].split()) > 8
    assert {name for name in SEEN if before[name] != after[name]} == COUNTED | {"said"}
    assert len(acts_on_disk(record)) == 1
    assert send(job, act="operate", control="key", position="on")["positions"]["key"] == "on"
    assert [act["act"] for act in acts_on_disk(record)] == ["probe", "operate"]


@pytest.mark.parametrize("nonsense", [
    None, [], "on", 7, {}, {"act": None}, {"act": ["probe"]}, {"act": "solder"}, {"act": "probe"},
    {"act": "probe", "instrument": "lamp", "leads": ["G1.-"]}, {"act": "probe", "instrument": "lamp", "leads": "G1.-"},
    {"act": "probe", "instrument": "lamp", "leads": ["G1.-", "no such"]},
    {"act": "probe", "instrument": "lamp", "leads": ["G1.-", {"x": 1}]},
    {"act": "probe", "instrument": "lamp", "leads": ["G1.-", "K9.1"]},
    {"act": "probe", "instrument": "scope", "leads": ["G1.-", "G1.+"]},
    {"act": "operate", "control": "key", "position": "sideways"}, {"act": "operate", "control": "x", "position": "on"},
    {"act": "operate", "control": "key", "position": "on" * 1000}, {"act": "look", "part": "Z9"},
    {"act": "look", "part": ""}, {"act": "fuse", "part": "W3", "to": "out"},
    {"act": "fuse", "part": "F1", "to": "sideways"},
    {"act": "find", "role": "fault", "part": "F1", "fault": "blown", "readings": [True]},
    {"act": "find", "role": "fault", "part": "F1", "fault": "blown", "readings": "0123"},
    {"act": "plant", "fault": "F1 blown", "present": "no"}, {"act": "repair", "part": "\ud800"},
])
def test_nonsense_does_nothing_but_say_so(job, record, nonsense):
    before = dict(job.view)
    job._handle_custom_msg(nonsense if not isinstance(nonsense, dict) else {"number": 1} | nonsense, [])
    changed = {name for name in SEEN if before[name] != job.view[name]}
    assert changed == (COUNTED | {"said"} if isinstance(nonsense, dict) else set())
    assert acts_on_disk(record) == []
    if isinstance(nonsense, dict):
        assert len(job.view["said"]) < 400 and "Traceback" not in job.view["said"]
    assert send(job, **PROBE)["probe"]["reading"] == "bright"


@pytest.mark.parametrize("number", [True, None, "7", 1.5, [1]])
def test_a_message_without_a_proper_number_is_numbered_here(job, number):
    job._handle_custom_msg({**PROBE, "number": number}, [])
    assert job.view["number"] == 1 and type(job.view["number"]) is int


def test_messages_in_several_threads_and_out_of_order_are_done_one_by_one_in_order(job, record):
    moves = [{"number": n + 1, "act": "operate", "control": "key", "position": ("on", "off")[n % 2]} for n in range(40)]
    early_ones_last = [*moves[20:30], *moves[:20], *moves[30:]]
    with ThreadPoolExecutor(len(moves)) as pool:
        list(pool.map(lambda fields: job._handle_custom_msg(fields, []), early_ones_last))
    assert job.view["number"] == 40 and len(job.view["sheet"]) == 40
    assert [act["position"] for act in acts_on_disk(record)] == ["on", "off"] * 20


def test_a_message_that_never_comes_is_not_waited_for_without_end(job, monkeypatch):
    monkeypatch.setattr("kit.bay.turns.LATE", 0.01)
    send(job, number=5, **PROBE)
    assert job.view["answered"][""] == [5] and job.view["probe"]["reading"] == "bright"
    # It comes after all: done then, for it may have been held up.
    send(job, number=1, act="operate", control="key", position="on")
    assert job.view["answered"][""] == [5, 1] and job.view["positions"]["key"] == "on"


def test_an_act_that_is_sent_again_is_done_once_and_each_page_counts_its_own(job, record):
    for page, number in (("a", 1), ("a", 1), ("b", 1), ("a", 2), ("b", 1), ("a", 1)):
        send(job, number=number, page=page, **PROBE)
    assert len(acts_on_disk(record)) == 3 and job.view["number"] == 3
    assert job.view["answered"] == {"a": [1, 2], "b": [1]}


def test_a_job_goes_on_where_it_was_left_in_this_kernel_and_in_the_next(job, record, tmp_path):
    for fields in (
        {"act": "prepare", "step": "secure"}, PROBE, {"act": "look", "part": "F1"},
        {"act": "fuse", "part": "F1", "to": "out"},
        {"act": "find", "role": "fault", "part": "F1", "fault": "blown", "readings": [1, 2]},
    ):
        send(job, **fields)
    left = {name: job.view[name] for name in SEEN - COUNTED - {"said"}}
    same_kernel = a_job(record)
    next_kernel = a_job(Record.open(folder=tmp_path, course="autumn", learner="wren"))
    another = a_job(Record.open(folder=tmp_path, course="autumn", learner="robin"))
    for bay in (same_kernel, next_kernel):
        assert {name: bay.view[name] for name in SEEN - COUNTED - {"said"}} == left
        assert bay.view["said"] == "Here is where you left it."
    assert another.view["sheet"] == [] and another.view["said"] != "Here is where you left it."


def test_a_mark_that_takes_long_comes_late_and_the_page_is_answered_meanwhile(job, monkeypatch):
    go, told = threading.Event(), threading.Event()
    slow = judging.review
    monkeypatch.setattr(judging, "PATIENCE", 0.01)
    monkeypatch.setattr(judging, "review", lambda *work, **how: go.wait(60) and slow(*work, **how))
    send(job, **PROBE)
    view = send(job, act="hand back")
    assert view["over"] and view["review"] is None and not view["sheet"][0]["undone"]
    job.observe(lambda change: told.set(), "view")
    go.set()
    assert told.wait(60), "the mark never came"
    assert job.view["review"]["of"] == 100


def test_a_mark_that_comes_when_the_job_is_begun_again_is_not_shown(job, monkeypatch):
    go, done = threading.Event(), threading.Event()
    slow = judging.review
    monkeypatch.setattr(judging, "PATIENCE", 0.01)
    monkeypatch.setattr(judging, "review", lambda *work, **how: go.wait(60) and slow(*work, **how))
    tell = MachineBay._tell_mark
    monkeypatch.setattr(MachineBay, "_tell_mark", lambda bay, late: (tell(bay, late), done.set()))
    send(job, act="hand back")
    send(job, act="again")
    go.set()
    assert done.wait(60)
    assert job.view["review"] is None and not job.view["over"]


@pytest.mark.parametrize("patience", [0.01, 60.0], ids=["late", "at once"])
def test_a_mark_that_fails_is_said_and_can_be_tried_again(job, record, monkeypatch, patience, caplog):
    go, told, sound = threading.Event(), threading.Event(), judging.review

    def broken(*_work, **_how):
        assert patience > 1 or go.wait(60)
        raise ZeroDivisionError("no such weight")

    monkeypatch.setattr(judging, "PATIENCE", patience)
    monkeypatch.setattr(judging, "review", broken)
    send(job, **PROBE)
    view = send(job, act="hand back")
    if patience < 1:
        assert view["over"] and view["unmarked"] == ""
        job.observe(lambda change: told.set(), "view")
        go.set()
        assert told.wait(60), "the page was never told"
    view = job.view
    assert view["over"] and view["review"] is None and view["truth"] is not None
    assert "no such weight" in view["unmarked"] and "Nothing is lost" in view["unmarked"]
    assert "J1 could not be marked" in caplog.text
    assert [entry.fields["act"] for entry in record.entries if entry.kind == "act"] == ["probe", "hand back"]
    # What went wrong may have passed: a memory that was full, a file that was held by something else.
    monkeypatch.setattr(judging, "PATIENCE", 600.0)
    monkeypatch.setattr(judging, "review", sound)
    job._message(job, {"mark": True}, [])
    assert job.view["unmarked"] == "" and job.view["review"]["of"] == 100
    # A mark that is there stays.
    before = job._judging
    job._message(job, {"mark": True}, [])
    assert job._judging is before and job.view["review"]["of"] == 100


def test_who_works_by_name_is_told_that_a_mark_failed(job, monkeypatch):
    monkeypatch.setattr(judging, "review", lambda *_work, **_how: 1 / 0)
    assert "could not be worked out" in job.hand_back()


def test_handed_back_it_is_marked_and_only_again_goes_on(job):
    send(job, **PROBE)
    view = send(job, act="hand back")
    assert view["over"] and view["review"]["of"] == 100
    assert any("W3 shorted" in text for text in view["review"]["truth"])
    assert "handed back" in send(job, **PROBE)["said"] and len(job.view["sheet"]) == 1
    view = send(job, act="again")
    assert not view["over"] and view["review"] is None and view["sheet"] == [] and view["probe"] is None
    assert send(job, **PROBE)["probe"]["reading"] == "bright"


def sent(bay):
    """All that a bay sends of its own, as text; the rest of a widget's state is the same for all."""
    own = {name: value for name, value in bay.get_state().items() if name != "layout"}
    return json.dumps(own, sort_keys=True)


def test_a_finding_that_rests_on_no_line_is_taken_and_said_to(job):
    find = {"act": "find", "role": "fault", "part": "F1", "fault": "blown"}
    assert "No line of the test sheet is ticked" in send(job, **find)["said"]
    send(job, **PROBE)
    assert send(job, **find, readings=[1])["said"] == "Written on the card."


def test_once_handed_back_the_work_is_gone_through_and_not_before(job):
    send(job, story=True)
    assert job.story == [] and "handed back" in job.view["said"]
    for fields in ({"act": "operate", "control": "key", "position": "on"},
                   {"act": "probe", "instrument": "lamp", "leads": ["G1.-", "F1.1"]},
                   {"act": "probe", "instrument": "lamp", "leads": ["G1.-", "F1.2"]},
                   {"act": "find", "role": "fault", "part": "F1", "fault": "blown", "readings": [1, 2]},
                   {"act": "hand back"}):
        send(job, **fields)
    send(job, story=True)
    until = time.monotonic() + 120
    while len(job.story) < 2 and time.monotonic() < until:
        time.sleep(0.05)
    headings = {heading for heading, _ in job.story}
    assert "What your readings left" in headings and "One good way" in headings
    # The lamp out behind the fuse leaves fewer than the lamp lit before it did.
    assert any("F1.2" in text and "leaves" in text for _, text in job.story)
    send(job, act="again")
    assert job.story == []


def test_before_any_act_a_faulty_machine_sends_exactly_what_a_sound_one_sends(record):
    sound = a_job(record, ())
    assert set(sound.view) == SEEN and sound.view["nodes"] == {} and sound.view["planted"] == []
    for faults in (
        ("W3 shorted to ground", "F1 blown"), ("W2 shorted to ground", "F1 blown"), ("W2 open",), ("G1 flat",),
        ("S1 stuck open",), ("K1 coil open",),
    ):
        assert all(BIKE.fault(fault) for fault in faults)
        assert sent(a_job(record, faults)) == sent(sound), faults


def test_in_plain_view_neither_volts_nor_the_fault_are_sent_whatever_is_done(job, record):
    sound = a_job(Record.open(folder=record.path.parent / "other", course="autumn", learner="wren"), ())
    acts = (
        PROBE, {"act": "operate", "control": "key", "position": "on"},
        {"act": "operate", "control": "start_button", "position": "pressed"},
        PROBE | {"leads": ["G1.-", "F1.2"]}, {"act": "fuse", "part": "F2", "to": "out"}, {"act": "verify"},
    )
    for fields in acts:
        view, well = send(job, **fields), send(sound, **fields)
        assert view["nodes"] == {}
        assert "shorted to ground" not in json.dumps(view) and "blown" not in json.dumps(view["sheet"])
        # How the controls and fuses stand is all the drawing shows, so it is the same for a sound machine.
        assert [view[name] for name in ("positions", "closed", "blown", "out")] == [well[name] for name in (
            "positions", "closed", "blown", "out")]
    assert job.view["noticed"] != sound.view["noticed"] or job.view["probe"] != sound.view["probe"]
    assert send(job, act="look", part="F1")["blown"] == ["F1"]
    for text in (repr(job), str(job), repr(job.trait_values()), " ".join(name for name in dir(job) if name[0] != "_")):
        assert "W3 shorted" not in text and "F1 blown" not in text


def test_tell_all_sends_the_state_of_every_conductor(record):
    bay = MachineBay(BIKE, record=record, faults=("W2 open",), sight=Sight.TELL_ALL)
    assert bay.view["nodes"]["F1.2"] == "live" and bay.view["planted"] == ["W2 open"] and bay.setting["plant"]
    view = send(bay, act="plant", fault="W2 open", present="no")
    assert view["planted"] == [] and view["nodes"]["S1.1"] == "live"


def test_every_kind_of_act_has_a_typed_equivalent(monkeypatch, tmp_path):
    monkeypatch.setenv("KIT_RECORDS", str(tmp_path))
    bay = kit.job("J1")
    hidden = bay._first.planted
    wire = hidden[0].split(" ")[0]
    bay.prepare("secure", "protect", "battery")
    assert bay.lamp(clip="G1.-", tip="G1.+") == "bright"
    assert bay.volts(black="G1.-", red="G1.+") == "12.80 V"
    assert bay.operate(key="on") == "Nothing lights, nothing clicks, nothing turns." and "melted" in bay.look("F1")
    bay.fuse("F1", "out")
    bay.find("F1", "blown", readings=(4, 5))
    bay.find(wire, "shorted to ground", role="cause")
    bay.repair(wire)
    bay.fuse("F1", "new")
    part = {"part": "X8"}
    for name, fields in (
        ("press", {"control": "start_button", "position": "pressed", "seconds": 1}), ("lift", {}),
        ("prove", {"instrument": "lamp"}), ("renew", {"instrument": "multimeter"}), ("feel", part), ("wiggle", part),
        ("warm", part | {"to": "warm"}), ("unplug", part), ("plug", part), ("swap", {"part": "K1", "to": "spare"}),
        ("ask", {"question": "Is the battery old?"}), ("note", part | {"text": "slow, and its strap hangs"}),
        ("reason", {"reading": 4, "text": "halves the feed"}), ("undo", {"reading": 5}), ("tidy", {"step": "key"}),
        ("refer", part | {"text": "the engine shop"}), ("explain", {"text": "A wire was rubbed through."}),
    ):
        assert bay.act(name, **fields), name
    bay.verify()
    bay.hand_back()
    assert bay.view["over"] and bay.view["review"]["of"] == 100
    done = {act["act"] for act in acts_on_disk(kernel_record())}
    assert done == set(ACTS) - {"again", "plant"}


def test_who_says_verified_too_early_or_mends_again_can_say_it_again(job):
    """The mark asks for it after the last repair (kit.exercises.jobs): spent too early, it must not lock one out."""
    job.operate(key="on")
    assert not job.view["verified"]
    for mend in (lambda: job.repair("W1"), lambda: job.fuse("F1", "new"), lambda: job.fuse("F1", "bigger")):
        job.verify()
        assert job.view["verified"]
        mend()
        assert not job.view["verified"]
    job.verify()
    job.look("F1")
    assert job.view["verified"]


def test_an_instrument_tried_on_another_battery_is_not_told_as_a_reading_of_the_leads(job):
    job.lamp(clip="G1.-", tip="F1.2")
    job.act("prove", instrument="lamp")
    assert job.view["said"] == "Tried on the workshop's own battery, test lamp: bright."


def test_the_review_tells_the_cause_and_the_look_of_the_job_itself(record):
    """J2's lug is painted, not loose: what a close look showed and what the review tells are the same."""
    chosen = card("J2")
    bay = MachineBay(chosen.machine, record=record, faults=("X8 high resistance 0.5 ohm",), card=chosen)
    looked = bay.look("X8")
    bay.hand_back()
    assert bay.view["review"]["truth"] == [f"X8 high resistance 0.5 ohm: {chosen.case().cause}. {looked}"]


def test_the_doors_say_what_they_do_not_know(monkeypatch, tmp_path):
    monkeypatch.setenv("KIT_RECORDS", str(tmp_path))
    for call, named in (
        (lambda: kit.bay("no-such-bike"), "orchard-bike"), (lambda: kit.bay("orchard-bike", view="sly"), "tell-all"),
        (lambda: kit.bay("orchard-bike", stage="roof"), "main feed"),
        (lambda: kit.bay("orchard-bike", faults=("W2 bored",)), "W2"),
        (lambda: kit.job("J999"), "J1"), (lambda: kit.ask("99.9"), "06"),
    ):
        with pytest.raises(KitError, match=named):
            call()
    assert isinstance(kit.ask("06.7"), MachineBay) and kit.bay("orchard-bike").setting["card"] is None
    with pytest.raises(OperationError, match="it has"):
        kit.bay("orchard-bike").operate(choke="out")


def test_without_a_kernel_a_sentence_and_the_drawing_stand_in(job):
    data, _ = job._repr_mimebundle_()
    assert data["text/plain"].startswith("Job card J1: Orchard bike, main feed.")
    assert data["text/plain"] in data["text/html"] and "data:image/svg+xml;base64," in data["text/html"]
    assert "application/vnd.jupyter.widget-view+json" in data
    assert not any("shorted" in str(data[kind]) for kind in ("text/plain", "text/html"))


def test_a_meter_left_on_shows_what_a_running_engine_charges(record):
    """Cranked, the battery sags; the engine running, the display does not stand still at that (common practice)."""
    bay = MachineBay(machine("harbour-tender"), record=record)
    bay.operate(isolator="on", key="on")
    bay.act("probe", instrument="volts", leads=["G1.-", "G1.+"])
    bay.act("press", control="start_button", position="pressed", seconds=1.0)
    shown = bay.view["probe"]
    held, now = (float(shown[name].split()[0]) for name in ("reading", "now"))
    assert held < 11.5 and 13.8 <= now <= 14.5
    bay.operate(lights="on")
    assert "now" not in bay.view["probe"] and float(bay.view["probe"]["reading"].split()[0]) > 13.8


def test_a_card_tells_the_shares_its_work_is_weighed_by_and_nothing_of_its_fault(job, record):
    """trade.md forbids hidden likelihoods: they stand on the card, and are the same whatever is wrong."""
    told = dict(job.setting["card"]["often"])
    parts = {name: share for names, share in told["Of its parts"] for name in names.split(", ")}
    assert parts["battery"] == KINDS[Battery] and set(parts) == {part.word for part in BIKE.circuit.parts}
    within = {name: share for names, share in told["Within a part"] for name in names.split(", ")}
    assert within["blown"] == share_of_label("blown") > within["shorted"] > within["wrong spare"]
    other = MachineBay(BIKE, record=record, card=card("J5"), faults=card("J5").faults("wren", "autumn"))
    assert other.setting["card"]["often"] == job.setting["card"]["often"]
