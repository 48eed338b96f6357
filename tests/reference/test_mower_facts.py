"""Facts of the trade held against the ride-on mower, and its computed values.

"Common practice" marks what a workshop hand knows and no publication is cited for; so are the machine's own figures.
"""

import pytest

import kit
from kit.circuit import Fault, Open
from kit.instruments import Multimeter, TestLamp

MOWER = kit.machine("ride-on-mower")
START = {"key": "start", "brake_pedal": "down", "seat": "taken"}


def unplugged(*parts: str) -> tuple[Fault, ...]:
    return tuple(Fault(id=f"{part} off", part=part, edit=Open()) for part in parts)


def meter(function, now, red, black="G1.-"):
    return Multimeter(function, black=black, red=red).read(now)


def volts(now, red, black="G1.-"):
    return meter("volts", now, red, black).value


@pytest.fixture(scope="module")
def cranking():
    return MOWER.operate(**START)


@pytest.fixture(scope="module")
def running():
    return MOWER.start()


# --- computed values (common practice: starter 18/100/265 A, battery 24 Ah, 14 milliohm)


def test_battery_volts_and_amps_at_crank_and_stall(cranking):
    assert volts(cranking, "G1.+") == pytest.approx(11.3, rel=0.05)
    assert cranking.amps["M1"] == pytest.approx(100, rel=0.05) and cranking.word("M1") == "cranks"
    stalled = MOWER.operate("M1 seized", **START)
    assert volts(stalled, "G1.+") == pytest.approx(9.0, rel=0.05)
    assert stalled.amps["M1"] == pytest.approx(265, rel=0.05)


def test_cable_and_contacts_are_four_milliohms(cranking):
    lost = volts(cranking, "G1.+", "M1.stud") + volts(cranking, "M1.body")
    assert lost / cranking.amps["M1"] == pytest.approx(4e-3, rel=0.05)


def test_the_healthy_mower_keeps_the_drop_limits_while_cranking(cranking):
    # Common practice: joint 0.1 V, contact 0.2 V, ground side 0.3 V, whole plus side 0.5 V.
    for red, black in (("G1.+", "X1.clamp"), ("X3.lug", "K1.30"), ("X5.lug", "M1.stud"), ("X7.block", "X8.lug")):
        assert abs(volts(cranking, red, black)) < 0.1
    assert volts(cranking, "K1.30", "K1.87") < 0.2
    assert volts(cranking, "M1.body") < 0.3 and volts(cranking, "K1.85") < 0.3
    assert volts(cranking, "G1.+", "M1.stud") < 0.5


def test_the_weaker_the_battery_the_slower_until_it_clatters():
    # Common practice, in this order: slower, slow, clatter.
    speeds = [
        MOWER.operate(*fault, **START).solution.speeds["M1"]
        for fault in ((), ("G1 half charged",), ("G1 quarter charged",))
    ]
    assert speeds == sorted(speeds, reverse=True) and speeds[0] > 0.95 and 0.5 < speeds[2] < 0.75
    assert MOWER.operate("G1 flat", **START).word("K1") == "chatters"


# --- the solenoid with three posts (common practice)


def test_a_three_post_solenoid_finds_ground_through_its_case():
    found = meter("ohms", MOWER.operate(*unplugged("W7", "X10")), "K1.86", "K1.85").value
    assert found - 0.2 == pytest.approx(4.0, abs=0.11)  # the meter's own leads have 0.2 ohm
    now = MOWER.operate("X10 open", **START)
    assert now.relays["K1"] == "at rest" and volts(now, "K1.85") > 11
    assert volts(MOWER.operate("K1 coil open", **START), "K1.85") < 0.01


def test_a_big_lamp_cranks_through_an_open_interlock_and_the_probe_lamp_does_not():
    # trade.md point 3 (common practice): watts decide; 21 W can crank an engine past the blade switch, 3 W never.
    now = MOWER.operate("B2 stuck open", **START)
    assert TestLamp(clip="B2.2", tip="B2.1", watts=21).put_on(now).word("M1") == "cranks"
    assert TestLamp(clip="B2.2", tip="B2.1").put_on(now).word("M1") == "still"


def test_the_key_springs_back_from_start_to_run_and_stays_there():
    key = MOWER.controls["key"]
    assert [key.let_go(position) for position in key.positions] == ["off", "run", "run"]


# --- two interlocks (common practice): what cranks does not ask the seat, what runs does


@pytest.mark.parametrize("seat", ["empty", "taken"])
def test_the_crank_interlock_asks_brake_and_blades_and_not_the_seat(seat):
    def word(**where):
        return MOWER.operate(key="start", seat=seat, **where).word("M1")

    assert word(brake_pedal="down") == "cranks"
    assert word(brake_pedal="up") == word(brake_pedal="down", blades="on") == "still"


def test_whoever_rises_from_the_seat_stops_the_engine_unless_the_mower_is_safe(running):
    assert running.word("engine") == "runs" and running.word("T1") == "free"
    assert running.then(seat="empty").word("engine") == "stops"
    assert running.then(brake_pedal="down", blades="on").then(seat="empty").word("engine") == "stops"
    assert running.then(brake_pedal="down").then(seat="empty").word("engine") == "runs"


# --- magneto: grounded it stops (common practice; the ignition needs no battery)


def test_the_kill_wire_stops_the_engine_and_open_it_does_not(running):
    assert running.then(key="off").word("engine") == "stops"
    assert MOWER.start("W10 open").then(key="off").word("engine") == "runs"
    assert MOWER.start("W10 shorted to ground").running is False


def test_ohms_of_the_unplugged_kill_wire():
    off = unplugged("X15")
    assert meter("ohms", MOWER.operate(*off, key="off"), "X15.tab", "X7.block").value < 1
    assert meter("ohms", MOWER.operate(*off, key="run", seat="taken"), "X15.tab", "X7.block").shown == "OL"
    assert meter("ohms", MOWER.operate(*off, key="run", seat="empty"), "X15.tab", "X7.block").value < 1


# --- charging (common practice: 0.2 ohm, 30 V AC at 3,600 a minute unplugged, 13.8 to 14.7 V)


def test_the_stator_unplugged():
    still, turns = MOWER.operate(*unplugged("X16", "X17")), MOWER.start(*unplugged("X16", "X17"))
    assert meter("ohms", still, "G2.1", "G2.2").value - 0.2 == pytest.approx(0.2, abs=0.051)
    assert meter("ohms", still, "G2.1", "X9.frame").shown == "OL"
    assert meter("ac volts", turns, "G2.1", "G2.2").value == pytest.approx(30, rel=0.01)


def test_regulated_volts_with_and_without_lamps(running):
    lit = running.then(lights="on")
    for now in (running, lit):
        assert 13.8 <= volts(now, "G1.+") <= 14.7 and now.amps["G1"] < 0
    # Two lamps of 21 W at 13.5 V (common practice): about 1.6 A each, well under the 7.5 A fuse.
    assert lit.amps["E1"] == pytest.approx(1.6, abs=0.1) and lit.amps["F2"] < 0.75 * 7.5


def test_standing_drain_is_under_a_milliamp():
    reading = Multimeter("amps", black="G1.-", red="X2.clamp").read(MOWER.operate(*unplugged("X2")))
    assert abs(reading.value) < 1e-3
