"""Lesson 03: the published load, what a lamp does to a coil, and the words that meet a wrong answer."""

from fractions import Fraction

import pytest
from editions import edition

from kit.exercises import mark, question, right_answer, truth, variant
from kit.exercises.next_test import best_tips, narrowed, split
from kit.exercises.number import wrong_numbers
from kit.exercises.prediction import wrong_tables
from kit.instruments import LedLamp, TestLamp
from kit.machines import machine


@pytest.mark.parametrize(("between", "published"), [("1 2", 8.627), ("2 0", 15.37)])
def test_03_5_is_the_published_circuit(between, published):
    """24 V over (100 ∥ 250) and (350 ∥ 200) ohms: 8.627 and 15.37 V (Kuphaldt, vol. I, series-parallel circuits)."""
    item, one = edition("03.5", beside="250", between=between)
    assert truth(item, one) == pytest.approx(published, rel=5e-4)
    first, second = Fraction(100 * 250, 350), Fraction(350 * 200, 550)
    share = {"1 2": first, "2 0": second}[between] / (first + second)
    assert truth(item, one) == pytest.approx(float(24 * share), rel=1e-6)


def test_03_5_without_the_load_the_first_part_has_more_by_a_fraction():
    second = Fraction(350 * 200, 550)
    item, one = edition("03.5", beside="1e12", between="1 2")
    assert truth(item, one) == pytest.approx(float(24 * 100 / (100 + second)), rel=1e-6)
    assert truth(item, one) > truth(*edition("03.5", beside="250", between="1 2"))
    # A learner works with the rounded 127 ohms of the question, and writes it in a way of their own.
    for said in ("10.6 V", "10,57", "10570 mV", "about 10.5 volts"):
        assert mark(item, one, said).points == 4


@pytest.mark.parametrize("beside", ["250", "1e12"])
@pytest.mark.parametrize("between", ["1 2", "2 0"])
def test_03_5_every_slip_is_met_with_its_own_words(beside, between):
    item, one = edition("03.5", beside=beside, between=between)
    for name, value in wrong_numbers(item, one).items():
        got, slip = mark(item, one, f"{value} V"), item.slips[name]
        assert (got.points, got.ideas) == (slip.points, (slip.idea,) if slip.idea else ()), name


def test_03_1_clip_on_plus_finds_minus_through_a_filament():
    """Common practice: a whole bulb passes the test lamp's current on; plus against plus is out."""
    item, one = edition("03.1", points="F1.2 S1.2 E1.1 E1.2")
    assert truth(item, one) == {
        "F1.2": ("out", "out"), "S1.2": ("bright", "out"), "E1.1": ("bright", "out"), "E1.2": ("bright", "bright"),
    }
    # By hand: the small lamp's 3 W / 13.5 V · (12.3 / 13.5)^0.55 A leave the big one, of 21 W, 0.37 V (Fink & Beaty).
    amps, big = 3 / 13.5 * (12.3 / 13.5) ** 0.55, 21 / 13.5
    now = TestLamp(clip="G1.+", tip="E1.1").put_on(machine("bench-board").operate(switch="off"))
    assert now.volts["E1.1"] == pytest.approx(13.5 * (amps / big) ** (1 / 0.55), rel=0.05)
    got = mark(item, one, {**right_answer(item, one), "F1.2": ["bright", "out"]})
    assert got.points == 7 and "nothing drives a current from plus to plus" in got.reason


@pytest.mark.parametrize("question_id", ["03.1", "03.3", "03.4"])
def test_the_idea_that_volts_need_current_is_recognised(question_id):
    """Where the big lamp, or the coil, carries nothing it would leave the test lamp out."""
    item = question(question_id)
    seen = set()
    for number in range(200):
        one = variant(item, "autumn", f"learner-{number}")
        table, right = wrong_tables(item, one)["no-current-no-volts"], truth(item, one)
        wrong = {point for point, row in table.items() if row != right[point]}
        if one.key in seen or not wrong - {next(iter(right))}:
            continue
        seen.add(one.key)
        assert mark(item, one, table).ideas == ("no-current-no-volts",), one.picks
    assert seen


def test_03_3_is_never_the_same_word_in_every_cell(editions):
    tables = [truth(item, one) for item, one in editions if item.id == "03.3"]
    assert len(tables) == 16
    assert all(len({word for row in table.values() for word in row}) == 2 for table in tables)


def test_03_3_a_piece_between_two_gaps_is_out_from_either_side():
    for clip in ("G1.-", "G1.+"):
        item, one = edition("03.3", broken="X3 open", clip=clip, points="F1.2 E1.1 E1.2 X4.rail")
        assert [row[0] for row in truth(item, one).values()][1:3] == ["out", "out"]
    got = mark(item, one, {point: ["bright"] * 2 for point in truth(item, one)})
    assert "joined to neither post" in got.reason and got.points == 2


def test_03_4_lamp_and_coil_share_the_volts_and_the_relay_pulls_in():
    """By hand: 3 W at 13.5 V is 0.222 A, amps with V^0.55 (Fink & Beaty, 1978); in a row with 90 ohms on 12.7 V."""
    item, one = edition("03.4", points="K1.30 K1.86 K1.85")
    assert truth(item, one) == {"K1.30": ("out", "out"), "K1.86": ("glow", "out"), "K1.85": ("bright", "bright")}
    low, high = 0.0, 12.7
    for _ in range(60):
        lamp = (low + high) / 2
        low, high = (lamp, high) if 3 / 13.5 * (lamp / 13.5) ** 0.55 < (12.7 - lamp) / 90 else (low, lamp)
    now = TestLamp(clip="G1.+", tip="K1.86").put_on(machine("bench-board").operate())
    assert 12.7 - now.volts["K1.86"] == pytest.approx(lamp, abs=0.05)
    assert 2.25 < lamp < 4.75, "a glow, and not near an edge of it"
    assert (now.word("K1"), now.word("E2")) == ("pulled in", "lit")
    got = mark(item, one, {**truth(item, one), "K1.86": ["bright", "out"]})
    assert got.points == 5 and "holds the current back" in got.reason


def test_03_6_what_its_answers_say_the_machines_do():
    """The three watts and the coils: trade.md, what must be right, 3 and 8 (common practice)."""
    boat = machine("harbour-tender").operate(isolator="on")
    probe, loading = (TestLamp(clip="G1.+", tip="K1.86", watts=watts) for watts in (3.0, 21.0))
    led = LedLamp(clip="G1.+", tip="K1.86")
    assert probe.read(boat).shown == "glow" and probe.put_on(boat).word("M1") == "cranks"
    assert loading.read(boat).shown == "out" and loading.put_on(boat).word("M1") == "cranks"
    assert led.read(boat).shown == "green" and led.put_on(boat).word("K1") == "at rest"
    bike = machine("orchard-bike").operate(key="off")
    assert probe.read(bike).shown == "bright" and probe.put_on(bike).word("K1") == "at rest"
    assert loading.put_on(bike).word("M1") == "cranks"
    rights = {need: truth(*edition("03.6", need=need)) for need in question("03.6").given["need"]}
    assert rights == {"small": "led", "real": "probe", "load": "loading", "signal": "none"}


def test_03_6_a_small_lamp_does_not_see_half_an_ohm_and_a_big_one_does():
    """A quarter of an amp through 0.5 ohm loses 0.1 V, one and a half amps 0.8 V: Ohm's law."""
    plug = machine("bench-board").operate("X2 high resistance 5 ohm", "E1 open", switch="on")
    small, big = (TestLamp(clip="G1.-", tip="E1.1", watts=watts) for watts in (3.0, 21.0))
    assert small.read(plug).shown == "bright" and big.read(plug).shown in ("dim", "glow")
    ghost = machine("bench-board").operate("X2 high resistance 50 kohm", "E1 open", switch="on")
    assert small.read(ghost).shown == "out" and LedLamp(clip="G1.-", tip="E1.1").read(ghost).shown == "red"


# By the drawing, clip on plus and nothing switched on: the way from the tip to the minus rail is cut by the last two.
@pytest.mark.parametrize(("case", "tip", "cut"), [
    ("E1 first", "E1.1", "E1 X3"), ("E1 home", "E1.2", "X3 W5"), ("E1 feed", "X2.a", "X2 E1"),
    ("E2 load", "E2.1", "E2 W11"),
])
def test_03_7_one_reading_asks_two_suspects(case, tip, cut):
    item, one = edition("03.7", case=case)
    mine, right = narrowed(item, one), truth(item, one)
    assert best_tips(mine) == (tip,) == (right["tip"],) and mark(item, one, right).points == 6
    assert {fault.split()[0] for fault in split(mine, tip)[1]} == set(cut.split())
    other = mark(item, one, {**right, "tip": mine.tips[-1]})
    assert other.points < 4 and "at worst" in other.reason
    # What is told before it clears: none of the four would make another picture of it.
    assert not split(mine, "X4.rail")[1]
    for fault in mine.suspects:
        board = machine("bench-board").operate(fault, switch="on", button="pressed")
        dark, lit = ("E2", "E1") if case == "E2 load" else ("E1", "E2")
        assert (board.word(dark), board.word(lit), board.word("K1")) == ("out", "lit", "pulled in")


@pytest.mark.parametrize("clip", ["minus", "plus"])
@pytest.mark.parametrize(("proved", "reasons"), [("nothing", 4), ("lamp", 3), ("both", 2)])
def test_03_2_what_is_proved_is_no_reason_any_more(clip, proved, reasons):
    """On the board: both that are always left put a sound lamp out, and so does a point that is joined to nothing."""
    item, one = edition("03.2", clip=clip, proved=proved)
    assert len(truth(item, one)) == reasons and {"not here", "thin"} <= set(truth(item, one))
    assert mark(item, one, right_answer(item, one)).points == 4
    everything = mark(item, one, list("abcdefg"))
    assert everything.points == (1 if reasons == 4 else 0) and "only-upstream-matters" in everything.ideas
    post, point, gone, thin = ("G1.-", "E1.1", "X2 open", "X2 high resistance 50 kohm") if clip == "minus" else (
        "G1.+", "E1.2", "X3 open", "X3 high resistance 50 kohm")
    for faults in ((gone, "E1 open"), (thin, "E1 open")):
        board = machine("bench-board").operate(*faults, switch="on")
        assert TestLamp(clip=post, tip=point).read(board).shown == "out"
    # A clip on something that is joined to nothing: out on a point that would light the lamp.
    board = machine("bench-board").operate("W10 open")
    assert TestLamp(clip="K1.87", tip="F1.2" if clip == "minus" else "X4.rail").read(board).shown == "out"
