"""Lesson 01: the truths by a second route, and the ideas its wrong answers speak for."""

from fractions import Fraction

import pytest
from editions import edition

from kit.exercises import mark, right_answer, truth
from kit.exercises.number import wrong_numbers
from kit.exercises.volts_table import wrong_volts
from kit.machines import machine


@pytest.mark.parametrize(("which", "volts"), [("R1", "1.5"), ("R2", "5.0"), ("R3", "2.5")])
def test_01_4_is_the_published_series_circuit(which, volts):
    """9 V over 3, 10 and 5 kΩ: 1.5, 5.0 and 2.5 V (Kuphaldt, Lessons in Electric Circuits, vol. I)."""
    item, one = edition("01.4", which=which)
    assert truth(item, one) == pytest.approx(float(volts), abs=1e-6)
    ohms = {"R1": 3000, "R2": 10_000, "R3": 5000}
    exact = Fraction(9) * ohms[which] / sum(ohms.values())
    assert truth(item, one) == pytest.approx(float(exact), abs=1e-6)
    assert mark(item, one, f"{volts.replace('.', ',')} V").points == 4


@pytest.mark.parametrize("which", ["R1", "R2", "R3"])
def test_01_4_every_slip_is_met_with_its_own_words(which):
    item, one = edition("01.4", which=which)
    for name, value in wrong_numbers(item, one).items():
        got = mark(item, one, f"{value} V")
        slip = item.slips[name]
        assert (got.points, got.ideas) == (slip.points, (slip.idea,) if slip.idea else ()), name


@pytest.mark.parametrize(("way", "behind"), [("E1", "W5"), ("E2", "W11")])
def test_01_5_the_current_behind_the_lamp_is_that_before_it(way, behind):
    """By hand: 21 W at 13.5 V is 1.556 A; amps go with V^0.55 (Fink & Beaty, 1978), and wires cost little."""
    item, one = edition("01.5", way=way)
    assert truth(item, one) == pytest.approx(21 / 13.5 * (12.5 / 13.5) ** 0.55, rel=0.02)
    for said in ("0 A", f"{truth(item, one) / 2:.3f} A"):
        assert mark(item, one, said).ideas == ("current-used-up",)
    assert mark(item, one, f"{1000 * truth(item, one):.0f} mA").points == 4


@pytest.mark.parametrize(("way", "own"), [("E1", "S1"), ("E2", "K1")])
def test_01_1_the_way_round_is_that_of_the_drawing(way, own):
    parts = ("G1", "F1", own, way, "X4")
    item, one = edition("01.1", way=way)
    assert truth(item, one) == parts
    raw = right_answer(item, one)
    assert mark(item, one, raw).points == 4
    assert 0 < mark(item, one, raw[:-1]).points < 4 and "not the end" in mark(item, one, raw[:-1]).reason
    assert mark(item, one, raw[::-1]).points == 0
    assert mark(item, one, [raw[0], raw[0]]).understood is False


def test_01_3_a_piece_between_two_gaps_floats_and_0_volts_on_it_is_not_ground():
    item, one = edition("01.3", broken="X3 open", points="F1.2 S1.2 E1.1 E1.2")
    assert truth(item, one) == {
        "F1.2": ("live", "live"),
        **{point: ("floating", "live") for point in ("S1.2", "E1.1", "E1.2")},
    }
    got = mark(item, one, {"F1.2": ["live"] * 2, **{point: ["ground", "live"] for point in ("S1.2", "E1.1", "E1.2")}})
    assert got.points == 5 and "Test both ways" in got.reason
    assert mark(item, one, {point: ["+", "-"] for point in truth(item, one)}).understood


def test_01_7_the_idea_that_volts_need_current_is_recognised():
    item, one = edition("01.7", broken="X3 open", points="F1.2 S1.2 E1.1 E1.2")
    volts = truth(item, one)
    # No current flows, so nothing is lost on the way (Kuphaldt, component failure): all the battery's volts.
    assert volts["E1.2"] == pytest.approx((0.0, 12.7), abs=0.02)
    idea = wrong_volts(item, one)["no-current-no-volts"]
    got = mark(item, one, {point: [f"{cell} V" for cell in row] for point, row in idea.items()})
    assert got.ideas == ("no-current-no-volts",) and "if it were so" in got.reason
    for form in ("12,7", "12.7V", "12700 mV", "12.7 volts"):
        assert mark(item, one, {**right_answer(item, one), "F1.2": [form, form]}).points == 8


def test_01_6_what_works_clears_what_it_needs():
    """Worked out from the drawing: only a break in the dark lamp's own branch does it."""
    for hidden, right in (
        ("E1 open", {"S1 stuck open", "X3 open", "E1 open"}), ("E2 open", {"K1 contacts open", "W11 open"}),
    ):
        item, one = edition("01.6", hidden=hidden)
        assert set(truth(item, one)) == right
        assert mark(item, one, right_answer(item, one)).points == 4
    board = machine("bench-board")
    assert board.operate("F1 blown", switch="on", button="pressed").word("E2") == "out"


@pytest.mark.parametrize("way", ["E1 return", "E1 feed", "E2 return", "E2 feed"])
def test_01_9_a_loop_opened_on_the_far_side_carries_nothing_on_the_near_one(way):
    """One loop has one current (Kirchhoff): with the wire loose there is no loop. Whoever lets two meet is met."""
    item, one = edition("01.9", way=way)
    assert truth(item, one) == "0"
    assert mark(item, one, "Nothing").points == 4
    for option in item.options:
        got = mark(item, one, option.text)
        assert (got.points > 0, got.ideas) == (option.id == "0", (option.idea,) if option.idea else ())
    assert {option.idea for option in item.options} == {"", "clashing-currents"}
