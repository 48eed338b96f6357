"""What a person beside the bike notices (common practice), and what an operation carries over to the next."""

import math

import pytest

import kit
from kit.machines.course import over_time

BIKE = kit.machine("orchard-bike")
CRANK = {"key": "on", "start_button": "pressed"}


def test_lamps_pulse_while_the_relay_clatters_even_where_half_the_swing_leaves_them_dark():
    now = BIKE.operate("X1 high resistance 0.5 ohm", **CRANK)
    assert now.relays["K1"] == "chatters"
    assert now.word("E1") == now.word("P1") == "pulses"


def test_twenty_amps_do_not_make_a_starter_clunk_and_two_hundred_do():
    # "One click, and the lamps do not dim" is a burnt contact; a clunk and dim lamps are a seized engine.
    assert BIKE.operate("K1 contacts burnt 0.5 ohm", **CRANK).word("M1") == "still"
    seized = BIKE.operate("M1 seized", **CRANK)
    assert (seized.word("M1"), seized.word("E1")) == ("stalls", "dim")


def test_the_same_amps_move_a_starter_as_little_through_a_loose_clamp_as_through_a_burnt_contact():
    # Half an ohm leaves it 0.9 V and 22 A either way, which is what it takes to run free with no engine to turn
    # (trade.md, values: 22 A free, 0.9 V): it stands. What differs is the relay: the clamp's ohms are in its coil's
    # feed as well and leave it 0.3 V, under the 3 V it lets go at; the contact's are not, and it holds at 10.9 V.
    burnt, loose = (BIKE.operate(f"{part} 0.5 ohm", **CRANK) for part in ("K1 contacts burnt", "X1 high resistance"))
    for now in (burnt, loose):
        assert now.amps["M1"] == pytest.approx(22, rel=0.03) and now.word("M1") == "still"
        assert now.solution.across["M1"] == pytest.approx(0.9, abs=0.1)
    assert loose.solution.across["K1.coil"] == pytest.approx(0.25, abs=0.05) and loose.relays["K1"] == "chatters"
    assert burnt.solution.across["K1.coil"] == pytest.approx(10.9, abs=0.1) and burnt.relays["K1"] == "pulled in"
    assert burnt.word("E1") == "lit" and loose.word("E1") == "pulses"
    # A worn-out battery gives three times those amps in jerks; in time it is told so, too, and the clamp is not.
    worn = BIKE.operate("G1 sulphated", **CRANK)
    assert worn.amps["M1"] > 60 and worn.word("M1") == "twitches"
    for fault, twitches in (("G1 sulphated", True), ("X1 high resistance 0.5 ohm", False)):
        course = over_time(BIKE, [(0.0, CRANK)], 1.0, [fault])
        assert any(moment.notice.word == "twitches" for moment in course.noticed) is twitches


def test_a_motor_with_no_path_stands_at_nought_and_not_at_minus_nought():
    speed = BIKE.operate("X6 open", **CRANK).solution.speeds["M1"]
    assert speed == 0.0 and math.copysign(1, speed) == 1


def test_in_gear_the_coil_floats_behind_its_diode():
    # The neutral lamp puts 12.6 V on the cathode; nothing comes back through the diode, whatever a drawing suggests.
    now = BIKE.operate(key="on", gear="first")
    assert now.volts["R1.K"] == pytest.approx(12.6, abs=0.05)
    for point in ("R1.A", "K1.85", "K1.86"):
        assert now.volts[point] is None
        assert abs(kit.Multimeter("volts", black="G1.-", red=point).read(now).value) < 0.05


def test_a_ground_wire_on_the_frame_is_no_fault():
    shorted = {fault.part for fault in BIKE.faults.values() if fault.id.endswith("shorted to ground")}
    assert shorted == {"W1", "W2", "W3", "W4", "W5", "W6", "W7", "W12", "W13", "W15", "W16", "W17", "W18", "W19", "W21"}


def test_melted_fuses_and_clicks_carry_over():
    blown = BIKE.operate("W3 shorted to ground", key="on")
    assert blown.word("F1") == "melts"
    again = blown.then(start_button="pressed")
    assert again.word("F1") == "" and again.state.melted == {"F1"}
    assert "clicks" in text(BIKE.operate(**CRANK), "K1")
    released = BIKE.operate(**CRANK).then(start_button="released")
    assert "lets go" in text(released, "K1") and released.relays["K1"] == "at rest"


def test_a_weak_button_leaves_the_coil_between_drop_out_and_pull_in():
    # A weak button: pressed from rest nothing; once in, the same 5 ohm would hold it.
    from_rest = BIKE.operate("S3 high resistance 5 ohm", **CRANK)
    assert from_rest.relays["K1"] == "at rest"
    assert "K1.coil" in from_rest.amps and 3 < 4 * from_rest.amps["K1.coil"] < 6.5


def text(now, part: str) -> str:
    return next(notice.text for notice in now.noticed if notice.part == part)
