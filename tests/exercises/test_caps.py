"""Safety caps, each with a do and a don't; the rules are trade.md's table of cautions and caps (common practice)."""

import pytest

import kit
from kit.exercises.acts import (
    HandBack,
    Lift,
    MoveFuse,
    Operate,
    Plug,
    Prepare,
    Press,
    Probe,
    Prove,
    Unplug,
)
from kit.exercises.caps import CAP_A, CAP_B, Cap, crank_seconds, judge, limited
from kit.exercises.work import begin, carry_on

SAFE = (Prepare(step="secure"), Prepare(step="fumes"), Prove(instrument="lamp"), Prove(instrument="volts"),
        Prove(instrument="loading lamp"), Prove(instrument="led lamp"))


def on(control, position):
    return Operate(control=control, position=position)


def probe(instrument, *leads):
    return Probe(instrument=instrument, leads=leads)


def caps(name, *acts, faults=()):
    """Letter and subject of every cap these acts earn on a machine made safe, its instruments proved."""
    return bare_caps(name, *SAFE, *acts, faults=faults)


def bare_caps(name, *acts, faults=()):
    before, found = begin(kit.machine(name), faults), []
    for step in carry_on(before, acts):
        for cap in judge(before, step):
            assert cap.why.endswith((".", "?")) and len(cap.why) > 40
            found.append(f"{cap.letter} {cap.about}")
        before = step.situation
    return found


BIKE, TENDER, LOADER, MOWER = "orchard-bike", "harbour-tender", "compact-loader", "ride-on-mower"
KEY, START = on("key", "on"), Press(control="start_button", position="pressed", seconds=2.0)
RUN_TENDER = (on("isolator", "on"), KEY, START)


# --- A


def test_a_bigger_fuse():
    assert caps(BIKE, MoveFuse(part="F1", to="bigger")) == ["A bigger fuse"]
    assert caps(BIKE, probe("bare wire", "F1.1", "F1.2")) == ["A bigger fuse"]
    assert caps(BIKE, MoveFuse(part="F1", to="out"), MoveFuse(part="F1", to="new")) == []


def test_cranking_unsecured():
    assert bare_caps(BIKE, KEY, START) == ["A unsecured"]
    assert bare_caps(BIKE, KEY, Operate(control="start_button", position="pressed")) == ["A unsecured"]
    assert caps(BIKE, KEY, START) == []
    # Nobody can know that it will stay silent: pressing start is what counts. And luck is no fault: with the fault in
    # the relay or not, the same act is judged the same.
    assert bare_caps(BIKE, KEY, START, faults=("F1 blown",)) == ["A unsecured"]
    # In gear, lever out, the sound machine cannot turn: no cap for trying the interlock; and none for turning the key.
    assert bare_caps(BIKE, KEY, on("gear", "first"), START) == []
    # Through the open interlock a 21 W lamp cranks it all the same.
    lamp = probe("loading lamp", "G1.-", "K1.85")
    held = (KEY, on("gear", "first"), Operate(control="start_button", position="pressed"))
    assert bare_caps(BIKE, Prove(instrument="loading lamp"), *held, lamp) == ["A unsecured"]


def test_the_starter_bridged_by_a_tool():
    assert caps(BIKE, probe("bare wire", "K1.30", "K1.87")) == ["A bridged"]
    assert caps(BIKE, probe("bare wire", "X3.lug", "M1.stud")) == ["A bridged"]
    # A fused, secured, attended link on the trigger, taken off again, is allowed.
    link = (KEY, probe("jumper", "G1.+", "K1.86"), Lift(), HandBack())
    assert caps(BIKE, *link) == []


def test_a_link_left_on():
    assert caps(BIKE, probe("jumper", "S2.1", "S2.2"), HandBack()) == ["A bypass left"]
    assert caps(BIKE, probe("jumper", "S2.1", "S2.2"), Lift(), HandBack()) == []


def test_sparks_and_amps_across_the_battery():
    assert caps(BIKE, probe("bare wire", "G1.-", "G1.+")) == ["A sparked"]
    assert caps(BIKE, probe("amps", "G1.-", "G1.+")) == ["A amps across"]
    # A clamp and a block stand for the posts they are tied to.
    assert caps(BIKE, probe("amps", "X7.block", "X1.clamp")) == ["A amps across"]
    assert caps(BIKE, MoveFuse(part="F3", to="out"), KEY, probe("amps", "F3.2", "F3.1")) == []
    assert caps(BIKE, probe("volts", "G1.-", "G1.+"), probe("load tester", "G1.-", "G1.+")) == []


def test_fumes_come_first_on_the_boat():
    assert bare_caps(TENDER, Prepare(step="secure"), on("isolator", "on")) == ["A fumes"]
    assert caps(TENDER, on("isolator", "on")) == []
    assert bare_caps(BIKE, KEY) == []


# --- B


def test_ohms_live():
    for scale in ("ohms", "continuity", "diode test"):
        assert caps(BIKE, probe(scale, "F1.1", "F1.2")) == ["B ohms live"]
    assert caps(BIKE, KEY, probe("ohms", "S2.1", "S2.2")) == ["B ohms live"]
    # Key off, or minus off: dead, and so good practice.
    assert caps(BIKE, probe("ohms", "S2.1", "S2.2")) == []
    assert caps(BIKE, Unplug(part="X2"), probe("ohms", "F1.1", "F1.2")) == []
    assert caps(BIKE, Unplug(part="W7"), probe("ohms", "K1.85", "K1.86")) == []
    # A drop across a live contact is a voltage reading.
    assert caps(BIKE, KEY, START, probe("volts", "K1.87", "K1.30")) == []


def test_ohms_of_a_coil_unplugged_with_minus_off_are_no_cap():
    """Battery minus off, the winding's wire and link off: one end floats, the other is tied to plus by what is left."""
    off = [Unplug(part=part) for part in ("X2", "W9", "X4")]
    assert caps("site-generator", *off, probe("ohms", "K2.body", "K2.50")) == []
    assert caps("site-generator", on("key", "on"), probe("ohms", "K1.30", "K1.87")) == ["B ohms live"]


def test_battery_volts_onto_a_kill_wire():
    for tool in ("lamp", "loading lamp", "jumper"):
        assert caps(MOWER, probe(tool, "G1.+", "X15.tab")) == ["B onto a signal"], tool
    # Unplugged at the module, ohms or a lamp to ground tell.
    assert caps(MOWER, Unplug(part="X15"), probe("lamp", "G1.-", "X15.tab")) == []
    assert caps(MOWER, probe("volts", "G1.-", "X15.tab")) == []


def test_a_contact_that_is_shut_leads_to_the_kill_wire():
    """At rest the run relay's rest contact joins the interlock switches to the kill wire (trade.md 14)."""
    free = (on("seat", "taken"), on("key", "run"))
    for point in ("B4.1", "B5.1", "K2.87a"):
        for tool in ("lamp", "jumper"):
            assert caps(MOWER, probe(tool, "G1.+", point)) == ["B onto a signal"], (tool, point)
            assert caps(MOWER, probe(tool, point, "G1.+")) == ["B onto a signal"], (tool, point)
        # With the relay pulled in they hang on nothing but their own switches; from minus no volts come.
        assert caps(MOWER, *free, probe("lamp", "G1.+", point)) == [], point
        assert caps(MOWER, probe("lamp", "G1.-", point)) == [], point
        # Left on, it does the harm when the relay lets go.
        assert caps(MOWER, *free, probe("lamp", "G1.+", point), on("seat", "empty")) == ["B onto a signal"], point
        assert caps(MOWER, *free, probe("lamp", "G1.+", point), Lift(), on("seat", "empty")) == [], point
    # Unplugged at the module, or on the switches' ground side, it is good practice.
    for point in ("B4.2", "B5.2", "S3.2", "X7.block"):
        assert caps(MOWER, probe("lamp", "G1.+", point)) == [], point
    assert caps(MOWER, Unplug(part="X15"), probe("lamp", "G1.+", "B4.1")) == []
    # What nobody can know is not charged: a rest contact that has welded shows in nothing before the lamp is on.
    welded = next(fault for fault in kit.machine(MOWER).faults if fault.startswith("K2 rest contact welded"))
    assert caps(MOWER, *free, probe("lamp", "G1.+", "B4.1"), faults=(welded,)) == []


def test_a_lamp_on_a_signal_pin():
    assert caps(LOADER, KEY, probe("lamp", "X11.frame", "K2.neutral")) == ["B lamp on a signal"]
    assert caps(LOADER, KEY, probe("lamp", "G1.+", "K2.neutral")) == ["B onto a signal"]
    assert caps(LOADER, KEY, probe("lamp", "X11.frame", "K2.start")) == ["B lamp on a signal"]
    assert caps(LOADER, KEY, probe("volts", "X11.frame", "K2.neutral"), probe("led lamp", "X11.frame", "K2.seat_bar")
                ) == []
    # Its supply and ground, unplugged, are for the lamp; so is the relay at the other end of an output's wire.
    assert caps(LOADER, Unplug(part="K2"), KEY, probe("lamp", "K2.ground", "K2.supply")) == []
    assert caps(LOADER, KEY, probe("lamp", "G1.+", "K1.85")) == []


def test_isolator_or_battery_opened_with_the_engine_running():
    assert caps(TENDER, *RUN_TENDER, on("isolator", "off")) == ["B opened running"]
    assert caps(TENDER, *RUN_TENDER, Unplug(part="X2")) == ["B opened running"]
    assert caps(TENDER, *RUN_TENDER, on("kill_cord", "pulled"), on("isolator", "off"), Unplug(part="X2")) == []


@pytest.mark.parametrize(("name", "control", "position", "most"), [
    (BIKE, "start_button", "pressed", 5), (MOWER, "key", "start", 5), (TENDER, "start_button", "pressed", 10),
])
def test_over_long_crank(name, control, position, most):
    """trade.md 11: mower and bike 5 s on, diesels 10."""
    assert crank_seconds(kit.machine(name)) == most
    ready = {BIKE: (KEY,), MOWER: (on("key", "run"), on("brake_pedal", "down"), on("seat", "taken")),
             TENDER: (on("isolator", "on"), KEY)}[name]
    assert caps(name, *ready, Press(control=control, position=position, seconds=most)) == []
    assert caps(name, *ready, Press(control=control, position=position, seconds=most + 1)) == ["B over-long crank"]
    # Held on a machine that does not turn, nothing gets hot.
    assert caps(name, *ready, Press(control=control, position=position, seconds=most + 1), faults=("F1 blown",)) == []


def test_twelve_volts_from_one_of_a_pair():
    assert caps(LOADER, probe("jumper", "G1.-", "Q1.86")) == ["B 12 V tap"]
    # Each battery is load-tested and measured by itself.
    assert caps(LOADER, probe("load tester", "G2.-", "G2.+"), probe("volts", "G1.-", "G1.+"),
                probe("loading lamp", "G2.-", "G2.+")) == []


# --- C


def test_an_unproved_instrument():
    assert bare_caps(BIKE, probe("lamp", "G1.-", "F1.2")) == ["C unproved test lamp"]
    assert bare_caps(BIKE, probe("lamp", "G1.-", "G1.+"), probe("lamp", "G1.-", "F1.2")) == []
    assert bare_caps(BIKE, Prove(instrument="lamp"), probe("lamp", "G1.-", "F1.2")) == []
    # One meter, whatever its range; what cannot lie so needs no proof.
    assert bare_caps(BIKE, probe("volts", "G1.-", "G1.+"), probe("ohms", "S2.1", "S2.2")) == []
    assert bare_caps(BIKE, probe("clamp", "W9"), probe("load tester", "G1.-", "G1.+")) == []


def test_the_order_of_the_clamps():
    minus, plus = "X2", "X1"
    assert caps(BIKE, Unplug(part=minus), Unplug(part=plus), Plug(part=plus), Plug(part=minus)) == []
    assert caps(BIKE, Unplug(part=plus)) == ["C lead order"]
    assert caps(BIKE, Unplug(part=minus), Unplug(part=plus), Plug(part=minus), Plug(part=plus)) == ["C lead order"]
    # The link of a 24 V pair is neither clamp.
    assert caps(LOADER, Unplug(part="X2"), Unplug(part="X3"), Plug(part="X3"), Plug(part="X2")) == []


# --- what they do to a mark


def test_the_worst_cap_counts_and_small_ones_add_up_to_ten():
    def of(*letters):
        return tuple(Cap(letter=letter, about=f"{n}", why="because") for n, letter in enumerate(letters))

    assert limited(93, ()) == 93
    assert (limited(93, of("C")), limited(93, of("C", "C")), limited(93, of("C", "C", "C"))) == (88, 83, 83)
    assert (limited(93, of("B")), limited(50, of("B"))) == (CAP_B, 50)
    assert limited(93, of("B", "A", "C")) == CAP_A and limited(3, of("C")) == 0
