"""Facts of the trade on the bench board, and its figures against the workshop's own table (common practice)."""

import pytest

import kit
from kit.circuit import Instrument, Joint, Switch, Terminal, Wire
from kit.solve import settle

BOARD = kit.machine("bench-board")
LAMP_LOOP = ("X1", "W1", "W2", "X6", "S1", "X7", "W3", "X2", "W4", "X3", "W5", "W12", "X5")


def volts(now, black: str, red: str) -> float:
    return kit.Multimeter("volts", black=black, red=red).read(now).value


def test_figures_of_the_table():
    # 12 V 7 Ah, 25 mohm; 1 mm², a metre there and a metre back; cable and contacts 60 mohm; fuse 5 A; relay 90 ohm.
    circuit = BOARD.circuit
    assert (circuit["G1"].ohms, circuit["F1"].amps, circuit["E1"].watts) == (0.025, 5.0, 21.0)
    assert (circuit["K1"].coil_ohms, circuit["K1"].pull_in_volts, circuit["K1"].drop_out_volts) == (90.0, 7.0, 3.0)
    loop = [circuit[part] for part in LAMP_LOOP]
    assert {part.mm2 for part in loop if isinstance(part, Wire)} == {1.0}
    assert sum(part.metres for part in loop if isinstance(part, Wire)) == pytest.approx(2.0)
    assert sum(part.ohms for part in loop if isinstance(part, (Wire, Joint, Switch))) == pytest.approx(0.060, rel=0.05)


def test_a_lamp_of_21_watts_takes_about_an_amp_and_a_half():
    # 21 W at 13.5 V, I ∝ V^0.55 (Fink & Beaty, 1978).
    now = BOARD.operate(switch="on")
    expected = 21 / 13.5 * (now.solution.across["E1"] / 13.5) ** 0.55
    assert now.amps["E1"] == pytest.approx(expected, rel=2e-3)
    assert 1.4 < now.amps["E1"] < 1.6


def test_an_open_switch_keeps_all_the_volts_and_a_closed_one_none():
    # The error it speaks to: "no current, so no volts" (Engelhardt & Beichner, AJP 72, 2004).
    assert volts(BOARD.operate(switch="off"), "S1.2", "S1.1") == pytest.approx(12.7, abs=0.01)
    assert volts(BOARD.operate(switch="on"), "S1.2", "S1.1") < 0.05


def test_green_salt_lets_a_meter_see_volts_and_no_lamp_light():
    # With the lamp in, it holds the point at nought; with the lamp out, the meter's 10 Mohm read 12.6 of the 12.7 V.
    salt = "X2 high resistance 50 kohm"
    assert volts(BOARD.operate(salt, switch="on"), "G1.-", "E1.1") < 0.01
    without = BOARD.operate(salt, "E1 open", switch="on")
    assert volts(without, "G1.-", "E1.1") == pytest.approx(12.7 * 10 / 10.05, abs=0.01)
    assert kit.TestLamp(clip="G1.-", tip="E1.1").read(without).shown == "out"


def test_a_break_on_the_minus_side_puts_battery_volts_on_both_pins():
    now = BOARD.operate("X3 open", switch="on")
    assert volts(now, "G1.-", "E1.1") == volts(now, "G1.-", "E1.2") == pytest.approx(12.7, abs=0.01)


def test_a_battery_run_down_gives_ten_and_a_half_volts_at_its_twenty_hour_amps():
    # By that such batteries are rated (common practice): 7 Ah in twenty hours, down to 1.75 V a cell; through 30 ohm.
    load = Instrument(id="load", title="load", start=Terminal("G1", "+"), end=Terminal("G1", "-"), ohms=10.5 / 0.35)
    run_down = BOARD.circuit.plant(BOARD.fault("G1 run down")).add([load])
    now = settle(run_down)
    assert now.volts["G1.+"] == pytest.approx(6 * 1.75, abs=0.05)
    assert now.amps["load"] == pytest.approx(7 / 20, abs=0.005)


def test_a_wrong_lamp_is_more_than_the_fuse_is_for_and_wears_it_out_in_days():
    # 5 A: at 110 % such a fuse lasts a hundred hours or more (ISO 8820-3, from memory): it goes "later", not at once.
    now = BOARD.operate("E1 wrong spare 55 W", switch="on", button="pressed")
    assert 1.0 * 5 < now.amps["F1"] < 1.1 * 5
    # Two of them are half as much again, 135 to 160 %: seconds to minutes by the same band.
    lamps = ("E1 wrong spare 55 W", "E2 wrong spare 55 W")
    two = BOARD.operate(*lamps, "F1 wrong spare 10 A", switch="on", button="pressed")
    assert 1.35 * 5 < two.amps["F1"] < 1.6 * 5
