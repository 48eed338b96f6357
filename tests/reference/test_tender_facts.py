"""Facts of the trade, each held against the harbour tender.

"Common practice" marks what every workshop hand knows and no publication is cited for; the boat's own values are common
practice too. Figures marked (calc) are worked out here by hand from those values.
"""

import pytest

import kit
from kit.instruments import ClampMeter, LedLamp, Multimeter, TestLamp
from kit.machines.course import over_time

BOAT = kit.machine("harbour-tender")
KEY_ON = {"isolator": "on", "key": "on"}
START = {**KEY_ON, "start_button": "pressed"}
CRANKING = BOAT.operate(**START)


def volts(now, black: str, red: str) -> float:
    return Multimeter("volts", black=black, red=red).read(now).value


# --- the values of the boat (common practice): 75 Ah of 7 milliohm, starter 200 A cranking and 560 A stalled


def test_battery_volts_and_amps_while_cranking_and_stalled():
    # (calc) 12.7 V less 200 A or 560 A times 7 milliohm: 11.3 and 8.7 V. The model has the solenoid's 10 A beside it.
    assert volts(CRANKING, "G1.-", "G1.+") == pytest.approx(11.3, rel=0.02)
    assert CRANKING.amps["M1"] == pytest.approx(200, rel=0.02) and CRANKING.word("M1") == "cranks"
    stalled = BOAT.operate("M1 seized", **START)
    assert volts(stalled, "G1.-", "G1.+") == pytest.approx(8.7, rel=0.02)
    assert stalled.amps["M1"] == pytest.approx(560, rel=0.02) and stalled.word("M1") == "stalls"


@pytest.mark.parametrize(
    ("black", "red", "most"),
    [
        ("M1.stud", "G1.+", 0.5), ("G1.-", "M1.body", 0.3), ("G1.-", "X9.block", 0.3), ("Q1.2", "Q1.1", 0.2),
        ("M1.stud", "K3.30", 0.2), ("K1.87", "K1.30", 0.2),
        *((black, red, 0.1) for black, red in (
            ("X1.clamp", "G1.+"), ("Q1.1", "X3.lug"), ("X4.lug", "Q1.2"), ("K3.30", "X5.lug"), ("X10.lug", "X9.block"),
            ("G1.-", "X2.clamp"),
        )),
    ],
)
def test_the_sound_boat_keeps_the_limits_of_voltage_drop_while_cranking(black, red, most):
    # Common practice: joint 0.1, contact or solenoid 0.2, ground side 0.3, plus side 0.5 V.
    assert 0 <= volts(CRANKING, black, red) <= most


def test_three_metres_of_50_mm2_and_back_are_half_of_what_the_cranking_current_meets():
    # (calc) 6 m at 0.386 milliohm a metre (IEC 60228) times 200 A: 0.46 V. One of 10 mm² would lose 2.3 V.
    run = sum(abs(CRANKING.solution.across[wire]) for wire in ("W1", "W2", "W3"))
    assert run == pytest.approx(6 * 0.386e-3 * 200, rel=0.05)
    thin = BOAT.operate("W2 wrong spare 10 mm2", "W3 wrong spare 10 mm2", **START)
    assert thin.word("M1") == "cranks slowly"
    lost = thin.solution.across["W2"] + thin.solution.across["W3"]
    assert lost == pytest.approx(5.2 * 1.91e-3 * thin.amps["M1"], rel=0.06)


def test_the_run_solenoid_takes_35_amps_for_a_moment_and_one_to_hold():
    # (calc) 12.6 V over 0.35 ohm: 36 A, 13 ohm: 1 A. Common practice: in within a second.
    course = over_time(BOAT, [(0.0, KEY_ON)], 1.0)
    assert max(course.amps("Y1.pull")) == pytest.approx(35, rel=0.05)
    (since, _), = course.pulled_in("Y1")
    assert since < 1.0
    held = BOAT.operate(**KEY_ON)
    assert held.amps["Y1.pull"] == 0.0 and held.amps["Y1.hold"] == pytest.approx(12.7 / 13, rel=0.02)


def test_the_start_relay_draws_an_eighth_of_an_amp_and_pulls_in_by_seven_volts():
    # (calc) 11 V over 85 ohm.
    assert CRANKING.amps["K1.coil"] == pytest.approx(11 / 85, rel=0.03)
    off = [kit.circuit.Fault(id=f"{wire} off", part=wire, edit=kit.circuit.Open()) for wire in ("W13", "W14")]
    now = BOAT.operate(*off)
    assert Multimeter("ohms", black="K1.85", red="X12.socket").read(now).value == pytest.approx(85, abs=1)


# --- isolator, bilge pump, kill cord (common practice)


def test_the_isolator_kills_everything_but_the_bilge_pump():
    # Common practice: the pump is fused ahead of the isolator, about 3 A; nothing else drains a boat that is shut down.
    dry, wet = BOAT.operate(), BOAT.operate(bilge="high")
    assert abs(dry.amps["X2"]) < 5e-3
    assert wet.word("M2") == "runs" and wet.amps["M2"] == pytest.approx(3.0, rel=0.05)
    assert BOAT.operate("B4 stuck closed").word("M2") == "runs"
    assert BOAT.operate("F3 blown", bilge="high").word("M2") == "still"
    assert TestLamp(clip="G1.-", tip="F1.1").read(dry).shown == "out"
    assert TestLamp(clip="G1.-", tip="F3.1").read(dry).shown == "bright"


def test_a_float_that_sticks_empties_a_full_battery_within_two_days():
    # (calc) 75 Ah over the pump's 2.9 A: 26 hours, so "flat by Monday". The amps go with the pump's fuse.
    assert 75 / BOAT.operate("B4 stuck closed").amps["X2"] < 48
    assert abs(BOAT.operate("B4 stuck closed", "F3 blown").amps["X2"]) < 5e-3


def test_the_kill_cord_stops_a_running_engine_and_lets_it_crank_but_not_fire():
    # Common practice.
    assert BOAT.start().running
    pulled = BOAT.start().then(kill_cord="pulled")
    assert pulled.word("engine") == "stops" and pulled.word("Y1") == "at rest"
    without = BOAT.operate(**START, kill_cord="pulled")
    assert (without.word("M1"), without.word("engine")) == ("cranks", "will not fire")


# --- readings that mislead


def test_a_fuse_holder_with_salt_in_it_shows_twelve_volts_and_lights_no_lamp():
    # Common practice: a meter of ten megohm is content with what fifty kilohm let through. (calc) 12.7·10/10.05.
    ghost = BOAT.operate("F2 high resistance 50 kohm", isolator="on")
    assert volts(ghost, "G1.-", "F2.2") == pytest.approx(12.64, abs=0.01)
    assert TestLamp(clip="G1.-", tip="F2.2").read(ghost).shown == "out"
    assert LedLamp(clip="G1.-", tip="F2.2").read(ghost).shown == "red"
    loaded = ghost.then(key="on")
    assert volts(loaded, "G1.-", "F2.2") < 0.1 and loaded.word("P3") == "down"


def test_a_three_watt_lamp_between_plus_and_a_coil_of_85_ohm_cranks_the_engine():
    # (calc) A filament takes volts^0.55, so with 85 ohm in series 3 W of 13.5 V leaves the coil some 8 V of 12.6:
    # over its 7 V. (Through the bike's 4 ohm it leaves a tenth of that: there the lamp is safe.) Common practice: on
    # such a coil a meter or an LED, or secured as for cranking; the key need not even be on.
    lit = TestLamp(clip="K1.86", tip="G1.+").put_on(BOAT.operate(isolator="on"))
    assert lit.word("K1") == "pulled in" and lit.word("M1") == "cranks"
    now = BOAT.operate(isolator="on", kill_cord="pulled")
    assert LedLamp(clip="K1.86", tip="G1.+").put_on(now).word("K1") == "at rest"


def test_gauges_sag_when_the_block_stands_above_battery_minus():
    # Common practice: a loose minus cable at the engine makes the gauges go mad while cranking, and only then.
    loose = BOAT.operate("X10 high resistance 0.02 ohm", **KEY_ON)
    assert loose.word("P3") == "up" and volts(loose, "G1.-", "X9.block") < 0.1
    cranks = loose.then(start_button="pressed")
    assert (cranks.word("P3"), cranks.word("M1")) == ("sag", "cranks slowly")
    assert volts(cranks, "G1.-", "X9.block") > 3 and volts(CRANKING, "G1.-", "X9.block") < 0.3


# --- charging: 13.8 to 14.5 V at up to 50 A (common practice)


def test_the_lamp_wakes_the_alternator_and_goes_out():
    key_on, running = BOAT.operate(**KEY_ON), BOAT.start()
    assert key_on.word("P1") == "lit" and running.word("P1") == "out"
    # (calc) 2 W of 13.5 V is 0.15 A: half a volt over 3.5 ohm, and the regulator's. Common practice: about 1 to 2 V.
    assert 0.5 < volts(key_on, "G1.-", "G2.D+") < 2.0
    assert 13.8 <= volts(running, "G1.-", "G2.B+") <= 14.5
    assert ClampMeter(wire="W22").read(running).value > 0.5


def test_a_load_dump_leaves_the_lamp_lit_and_the_battery_uncharged():
    # Common practice: isolator opened with the engine running, diodes gone.
    running = BOAT.start("G2 exciter diodes open")
    assert running.running and running.word("P1") == "lit"
    assert volts(running, "G1.-", "G2.B+") < 12.8
    assert abs(ClampMeter(wire="W22").read(running).value) < 0.5
