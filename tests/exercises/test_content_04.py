"""Lesson 04: the published meter, ghosts and floating points by a second route, and the ideas behind wrong answers."""

from fractions import Fraction
from itertools import product

import pytest
from editions import edition

from kit.errors import QuestionError
from kit.exercises import mark, right_answer, truth
from kit.exercises.content_04 import SOUND_OFF
from kit.exercises.figures import MeterVolts
from kit.exercises.number import wrong_numbers
from kit.exercises.question import Words
from kit.exercises.times import TimesAsMuch, times_as_much
from kit.exercises.volts_table import wrong_volts
from kit.instruments import Multimeter, TestLamp
from kit.machines import machine


def test_04_4_is_the_published_meter():
    """24 V over two of 250 MΩ, a meter of 10 MΩ on one: 0.8889 V, not 12 (Kuphaldt, vol. I, DC metering circuits)."""
    item, one = edition("04.4", source="24", ohms="250e6")
    assert truth(item, one) == pytest.approx(0.8889, abs=5e-5)
    for said in ("0.89 V", "0,889", "889 mV", "890mV", "about 0.9 V"):
        assert mark(item, one, said).points == 4, said


@pytest.mark.parametrize("source", ["24", "12"])
@pytest.mark.parametrize("ohms", ["250e6", "50e6"])
def test_04_4_by_fractions_and_every_slip_met(source, ohms):
    item, one = edition("04.4", source=source, ohms=ohms)
    each, meter = Fraction(ohms.replace("e6", "")), Fraction(10)
    both = each * meter / (each + meter)
    assert truth(item, one) == pytest.approx(float(int(source) * both / (each + both)), rel=1e-6)
    # The rounded megohms that the question tells lead to it as well.
    told = float(dict(item.words[ohms])["both"].split()[0])
    assert mark(item, one, f"{int(source) * told / (float(each) + told):.3f} V").points == 4
    for name, value in wrong_numbers(item, one).items():
        got, slip = mark(item, one, f"{value} V"), item.slips[name]
        assert (got.points, got.ideas) == (slip.points, (slip.idea,) if slip.idea else ()), name


@pytest.mark.parametrize("pair", ["S1.1 S1.2", "F1.2 X2.b", "X6.a E1.1"])
@pytest.mark.parametrize(("leads", "sign"), [("straight", 1), ("swapped", -1)])
def test_04_1_across_an_open_switch_stands_the_battery(pair, leads, sign):
    """All the source's volts stand across a break (Kuphaldt, vol. I, component failure analysis)."""
    item, one = edition("04.1", pair=pair, leads=leads)
    assert truth(item, one) == pytest.approx(sign * machine("bench-board").circuit["G1"].volts, abs=0.01)
    for name, value in wrong_numbers(item, one).items():
        got, slip = mark(item, one, f"{value} V"), item.slips[name]
        assert (got.points, got.ideas) == (slip.points, (slip.idea,) if slip.idea else ()), name
    assert mark(item, one, f"{'-' if sign < 0 else ''}12,7 volts").points == 4


def test_04_2_a_piece_between_two_gaps_floats_and_the_meter_shows_nothing_either_way():
    item, one = edition("04.2", broken="W11 open", points="K1.30 K1.87 E2.1 E2.2")
    assert truth(item, one) == {
        "K1.30": ("live", "live"), **{point: ("floating", "live") for point in ("K1.87", "E2.1", "E2.2")},
    }
    now = machine("bench-board").operate("W11 open", button="released")
    for black, red in (("G1.-", "E2.1"), ("E2.1", "G1.+")):
        assert Multimeter("volts", black=black, red=red).read(now).shown == "0.00 V"
    right = truth(item, one)
    ground = {point: ["ground" if word == "floating" else word for word in row] for point, row in right.items()}
    got = mark(item, one, ground)
    assert got.points == 5 and "Test both ways" in got.reason


@pytest.mark.parametrize("place", ["sound feed", "way home", "between", "green plus", "green minus"])
def test_04_3_the_told_readings_are_the_boards_own_and_fit_one_verdict(place):
    """Common practice (trade.md, what must be right, 1): the meter names the post, the lamp says whether it carries."""
    item, one = edition("04.3", place=place)
    words = item.words[place]
    now = machine("bench-board").operate(words["was"], words["too"], switch=words["switch"])
    lamps = [TestLamp(clip=clip, tip=words["spot"]).read(now).shown for clip in ("G1.-", "G1.+")]
    assert lamps == [words["lamps"], words["other"]]
    minus = Multimeter("volts", black="G1.-", red=words["spot"]).read(now).value
    plus = Multimeter("volts", black=words["spot"], red="G1.+").read(now).value
    joined = "plus" if minus > 6 else "minus" if plus > 6 else ""
    carries = "bright" in lamps
    verdict = {("plus", True): "live", ("minus", True): "ground", ("plus", False): "ghost of plus",
               ("minus", False): "ghost of minus", ("", False): "floating"}[joined, carries]
    assert truth(item, one) == verdict
    assert mark(item, one, right_answer(item, one)).points == 4


def test_04_5_a_ghost_is_there_for_the_meter_and_gone_with_the_bulb_in():
    """By hand: 10 MΩ of 10.05 MΩ on 12.70 V is 12.64 V; a cold 21 W bulb of an ohm behind 50 kΩ has nothing."""
    item, one = edition("04.5", out="E1 open")
    assert truth(item, one)["E1.1"] == pytest.approx((0.0, 12.7 * 10 / 10.05), abs=0.006)
    item, one = edition("04.5", out="E2 open")
    assert truth(item, one)["E1.1"] == pytest.approx((0.0, 0.0), abs=0.006)
    out = machine("bench-board").operate("X2 high resistance 50 kohm", "E1 open", switch="on")
    assert TestLamp(clip="G1.-", tip="E1.1").read(out).shown == "out"
    assert TestLamp(clip="G1.-", tip="X2.a").read(out).shown == "bright"


@pytest.mark.parametrize("out", ["E1 open", "E2 open"])
def test_04_5_the_idea_that_volts_need_current_is_recognised(out):
    item, one = edition("04.5", out=out)
    idea = wrong_volts(item, one)["no-current-no-volts"]
    got = mark(item, one, {point: [f"{cell} V" for cell in row] for point, row in idea.items()})
    assert got.ideas == ("no-current-no-volts",) and "if it were so" in got.reason
    assert mark(item, one, {point: [f"{cell:.2f}".replace(".", ",") for cell in row]
                            for point, row in truth(item, one).items()}).points == 8


def test_04_6_ohms_on_a_live_circuit_are_nonsense_and_the_order_keeps_them_off_it():
    """Battery off before resistance tests: references.md, safety (published); the steps are common practice."""
    ohms = Multimeter("ohms", black="X2.b", red="X2.a")
    board = machine("bench-board")
    assert ohms.read(board.operate("F1 blown", switch="on")).value == pytest.approx(0.2, abs=0.05)
    assert ohms.read(board.operate(switch="on")).value > 2
    for part, forbidden in product(("bulb", "coil", "wire"), ("fed", "by ohms")):
        item, one = edition("04.6", part=part, forbidden=forbidden)
        raw = right_answer(item, one)
        assert mark(item, one, raw).points == 4
        live = next("abcdefg"[n] for n, index in enumerate(one.order) if item.options[index].id == "live")
        assert mark(item, one, [live, *raw]).points < 4 and "nonsense" in mark(item, one, [live, *raw]).reason


@pytest.mark.parametrize("first", ["E1", "E2"])
@pytest.mark.parametrize("place", ["posts", "fuse and rail", "plus post and rail"])
def test_04_9_twice_the_amps_cost_a_few_hundredths_of_a_volt(first, place):
    """By hand: a second lamp of 1.5 A through 25 mΩ of battery and at most 55 mΩ of feed: 0.04 to 0.12 V of 12.6."""
    item, one = edition("04.9", **{"first one": first, "place": place})
    assert truth(item, one) == "1"
    ratio = times_as_much(item.right, Words(item, one))
    assert 1 - 0.12 / 12.6 <= ratio <= 1 - 0.03 / 12.7
    met = {option.id: mark(item, one, option.text) for option in item.options}
    assert {name: got.ideas for name, got in met.items()} == {
        "2": ("volts-follow-current",), "1": (), "0.5": ("equal-share",), "0": (),
    }
    assert [name for name, got in met.items() if got.points] == ["1"]


def test_a_change_from_nothing_is_an_error_where_it_was_written():
    item, one = edition("04.9", place="posts")
    nothing = TimesAsMuch(before=MeterVolts(setup=SOUND_OFF, red="X4.rail", black="X4.rail"), now=item.right.now)
    with pytest.raises(QuestionError, match="nothing was there"):
        times_as_much(nothing, Words(item, one))
