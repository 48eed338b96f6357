"""Lesson 08: the truths by a second route, and the ideas its wrong answers speak for."""

from itertools import product

import pytest
from editions import edition

from kit.exercises import mark, right_answer, truth
from kit.exercises.next_test import best_tips, narrowed, split
from kit.exercises.number import wrong_numbers
from kit.exercises.prediction import wrong_tables
from kit.exercises.volts_table import wrong_volts
from kit.instruments import Multimeter, TestLamp
from kit.machines import machine

BIKE = machine("orchard-bike")
PRESSED = {"key": "on", "start_button": "pressed"}
BURNT = "K1 contacts burnt 0.5 ohm"


def every_slip_is_met(item, one):
    for name, value in wrong_numbers(item, one).items():
        got = mark(item, one, f"{value} {item.unit}")
        slip = item.slips[name]
        assert (got.points, got.ideas) == (slip.points, (slip.idea,) if slip.idea else ()), name


def volts(now, red, black):
    return Multimeter("volts", black=black, red=red).read(now).value


@pytest.mark.parametrize(("coil", "ohms"), [
    # Copper winding, 320 Ω at 25 °C: 443.3 Ω at 125 °C (copper relation, 234.5 °C; references.md). The rest by hand.
    ("loader", 443.3), ("generator", 85 * 339.5 / 254.5), ("bike", 4 * 329.5 / 254.5),
    ("run relay", 90 * 344.5 / 249.5),
])
def test_08_7_is_the_published_copper_winding(coil, ohms):
    item, one = edition("08.7", coil=coil)
    assert truth(item, one) == pytest.approx(ohms, abs=0.05)
    every_slip_is_met(item, one)
    for said in (f"{ohms:.1f}".replace(".", ","), f"{ohms:.1f} ohm", f"{ohms / 1000:.5f} kΩ"):
        assert mark(item, one, said).points == 4


def test_08_7_agrees_with_the_temperature_coefficient_of_copper():
    """A second route: 0.00393 a degree from 20 °C (NBS Handbook 100, annealed copper)."""
    item, one = edition("08.7", coil="generator")
    assert truth(item, one) == pytest.approx(85 * (1 + 0.00393 * (105 - 20)), rel=0.002)


@pytest.mark.parametrize("leads", ["straight", "swapped"])
@pytest.mark.parametrize("broken", [BURNT, "X3 high resistance 0.5 ohm", "X5 high resistance 0.5 ohm"])
def test_08_5_half_an_ohm_keeps_what_the_starter_should_have(broken, leads):
    """By hand from trade.md: 12.8 V over 0.5 Ω, battery 20, motor 38 and cables about 5 mΩ; 0.5 Ω takes its share."""
    item, one = edition("08.5", broken=broken, leads=leads)
    sign = 1 if leads == "straight" else -1
    assert truth(item, one) == pytest.approx(sign * 12.8 * 0.5 / 0.563, rel=0.02)
    every_slip_is_met(item, one)
    assert mark(item, one, f"{abs(truth(item, one)):.1f} V").points == (4 if sign > 0 else 2)
    assert mark(item, one, "lots").understood is False


def test_a_burnt_contact_lights_the_lamp_with_the_cable_off_and_shows_its_drop_under_load():
    """trade.md, what must be right, 2: cable off the lamp lights at the stud; connected it has about 0.9 V."""
    off, on = BIKE.operate(BURNT, "X5 open", **PRESSED), BIKE.operate(BURNT, **PRESSED)
    lamp = TestLamp(clip="G1.-", tip="K1.87")
    assert (lamp.read(off).shown, lamp.read(on).shown) == ("bright", "out")
    assert volts(on, "K1.87", "G1.-") == pytest.approx(0.9, abs=0.05)
    assert volts(off, "K1.30", "K1.87") == 0 and volts(on, "K1.30", "K1.87") > 10
    # A good contact, cranking: 0.2 V at most (common practice).
    assert 0 < volts(BIKE.operate(**PRESSED), "K1.30", "K1.87") <= 0.2


@pytest.mark.parametrize(("cable", "last"), [("X5 open", "bright"), ("X4 open", "out")])
def test_08_4_the_lamp_is_bright_behind_a_burnt_contact(cable, last):
    item, one = edition("08.4", cable=cable)
    released, pressed = zip(*truth(item, one).values(), strict=True)
    assert released == ("out", "bright", "out", "out") and pressed == ("bright", "bright", "bright", last)
    (idea, table), = wrong_tables(item, one).items()
    assert mark(item, one, {point: list(row) for point, row in table.items()}).ideas == (idea,)


@pytest.mark.parametrize(("broken", "falls_at"), [
    ("X3 high resistance 0.5 ohm", 1), (BURNT, 2), ("X5 high resistance 0.5 ohm", 3)])
def test_08_6_the_volts_fall_at_the_bad_place_and_nowhere_else(broken, falls_at):
    item, one = edition("08.6", broken=broken, points="G1.+ K1.30 K1.87 M1.stud")
    held = [row[1] for row in truth(item, one).values()]
    assert all(value == pytest.approx(12.2, abs=0.1) for value in held[:falls_at])
    assert all(value == pytest.approx(0.9, abs=0.1) for value in held[falls_at:])
    # What a learner can work out from what is told is near enough.
    told = {point: [f"{row[0]:.1f}", "12.2" if n < falls_at else "0.95"]
            for n, (point, row) in enumerate(truth(item, one).items())}
    assert mark(item, one, told).points == 8
    for idea, table in wrong_volts(item, one).items():
        said = {point: [f"{cell:.2f} V" for cell in row] for point, row in table.items()}
        assert mark(item, one, said).ideas == (idea,)


def test_08_1_a_click_parts_the_list_in_two():
    """Worked out from the drawing: what the coil needs, and what its contact feeds."""
    for hidden, right in (
        ("W9 open", {BURNT, "W9 open", "M1 open"}), ("W7 open", {"S3 stuck open", "W7 open", "K1 coil open"}),
    ):
        item, one = edition("08.1", hidden=hidden)
        assert set(truth(item, one)) == right
        assert mark(item, one, right_answer(item, one)).points == 4
    assert BIKE.operate("M1 seized", **PRESSED).word("E1") == "dim"


def test_08_2_the_trigger_parts_those_who_ask_from_those_who_answer():
    """Counted on the drawing: three of the six before 86, three behind, whatever has been cleared."""
    for asks, answers in product(("S2", "W7"), ("W18", "coil")):
        item, one = edition("08.2", **{"of those who ask": asks, "of those who answer": answers})
        mine = narrowed(item, one)
        assert "K1.86" in best_tips(mine)
        lit, out = split(mine, "K1.86")
        assert {fault.split()[0] for fault in out} == {"S2", "W6", "S3", "W7"} - {asks}
        assert {fault.split()[0] for fault in lit} == {"K1", "W17", "R1", "W18"} - {"W18" if answers == "W18" else "K1"}
        for fault in mine.suspects:
            now = BIKE.operate(fault, **PRESSED)
            assert (now.word("P1"), now.word("K1")) == ("lit", "at rest"), fault
            # What the card says is cleared reads as told with every one of the six.
            assert asks != "S2" or TestLamp(clip="G1.-", tip="S2.2").read(now).shown == "bright"
            assert answers != "W18" or TestLamp(clip="G1.+", tip="R1.K").read(now).shown == "bright"


@pytest.mark.parametrize("job", ["off", "back on"])
def test_08_3_minus_comes_off_before_the_starter_cable(job):
    """HSE leaflet INDG139: the grounded post first off, last on."""
    item, one = edition("08.3", job=job)
    steps = truth(item, one)
    assert steps.index("minus off") < steps.index("cable") < steps.index("minus on") and "never" not in steps
    assert mark(item, one, right_answer(item, one)).points == 4
