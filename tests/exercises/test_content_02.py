"""Lesson 02: the published loop, the stages that a complaint leaves, and the ideas behind wrong answers."""

from fractions import Fraction

import pytest
from editions import edition

from kit.exercises import mark, question, right_answer, truth
from kit.exercises.number import wrong_numbers
from kit.machines import machine


@pytest.mark.parametrize(("question_id", "second", "published"), [
    ("02.3", "300", 0.020), ("02.3", "1e-6", 0.060), ("02.4", "300", 6.0), ("02.4", "1e12", 9.0),
])
def test_the_loop_is_the_published_one(question_id, second, published):
    """9 V over 150 and 300 ohms: sound 20 mA; 300 shorted 60 mA; 300 open 0 mA and 9 V across the break.

    Source: Kuphaldt, Lessons in Electric Circuits, vol. I, component failure analysis; 6 V by hand, two thirds of 9.
    """
    item, one = edition(question_id, second=second)
    assert truth(item, one) == pytest.approx(published, rel=1e-6)
    ohms = Fraction(second) if second == "300" else Fraction(float(second))
    amps = Fraction(9) / (150 + ohms)
    assert truth(item, one) == pytest.approx(float(amps if question_id == "02.3" else amps * ohms), rel=1e-6)


@pytest.mark.parametrize("question_id", ["02.3", "02.4"])
def test_every_slip_is_met_with_its_own_words(question_id):
    for second in question(question_id).given["second"]:
        item, one = edition(question_id, second=second)
        met = {name: mark(item, one, value) for name, value in wrong_numbers(item, one).items()}
        assert all(got.points < 4 for name, got in met.items() if abs(wrong_numbers(item, one)[name] - truth(item, one))
                   > 0.03 * truth(item, one))
    assert mark(*edition("02.4", second="1e12"), "0 V").ideas == ("no-current-no-volts",)
    assert mark(*edition("02.3", second="300"), "60 mA").ideas == ("only-upstream-matters",)
    for said in ("20 mA", "0,02", "0.02 A"):
        assert mark(*edition("02.3", second="300"), said).points == 4


def test_02_1_the_stages_of_a_lamp_and_of_the_starter_are_those_of_the_drawing():
    assert truth(*edition("02.1", **{"load part": "E1"})) == ("main feed", "key feed", "loads", "grounds")
    assert truth(*edition("02.1", **{"load part": "M1"})) == (
        "main feed", "cranking circuit", "starter relay", "grounds",
    )


@pytest.mark.parametrize(("hidden", "stage"), [
    ("S2 stuck open", "start request"), ("R1 open", "neutral interlock"), ("B1 stuck open", "ground side"),
])
def test_02_2_the_story_is_what_the_bike_does(hidden, stage):
    item, one = edition("02.2", hidden=hidden)
    assert truth(item, one) == stage
    bike = machine("orchard-bike")
    neutral = bike.operate(hidden, key="on", start_button="pressed")
    gear = bike.operate(hidden, key="on", start_button="pressed", gear="first", clutch_lever="pulled", stand="up")
    assert (neutral.word("E1"), neutral.word("P1")) == ("lit", "lit")
    story = dict(question("02.2").words[hidden])["seen"]
    assert ("neutral: it cranks" in story) == (neutral.word("M1") == "cranks")
    assert ("stand up: it cranks" in story) == (gear.word("M1") == "cranks")


def test_02_5_a_click_parts_the_suspects_in_two():
    """Silent: what asks the solenoid. A click: what it switches (common practice)."""
    silent, clicks = edition("02.5", hidden="B1 stuck open"), edition("02.5", hidden="W8 open")
    assert set(truth(*silent)) == {"B1 stuck open", "W7 open", "X10 open"}
    assert set(truth(*clicks)) == {"K1 contacts open", "W8 open", "M1 open"}
    for pair in (silent, clicks):
        assert mark(*pair, right_answer(*pair)).points == 4


def test_02_6_plus_ends_at_the_first_open_contact():
    item, one = edition("02.6", blades="off", points="S2.2 B1.1 B1.2 B2.2")
    assert truth(item, one) == {
        "S2.2": ("bright", "bright"), "B1.1": ("bright", "bright"),
        "B1.2": ("out", "bright"), "B2.2": ("out", "bright"),
    }
