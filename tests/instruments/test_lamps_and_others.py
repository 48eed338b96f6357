"""The LED lamp, the big lamp, the load tester, the jumper and the hydrometer on the bike, and what they refuse."""

import pytest

import kit
from kit import instruments
from kit.circuit import Change, Fault
from kit.errors import OperationError
from kit.instruments import (
    LED_WORDS,
    FusedJumper,
    Hydrometer,
    LedLamp,
    LoadTester,
    Multimeter,
    TestLamp,
    judge,
)
from kit.instruments.led import led_words

BIKE = kit.machine("orchard-bike")
POSITIONS = tuple(BIKE.all_positions())
POINTS = tuple(str(terminal) for terminal in BIKE.points)
IN_GEAR = {"key": "on", "gear": "first", "clutch_lever": "pulled", "stand": "up"}
LEANING = Fault(id="K1 leaning", part="K1", edit=Change(field="drop_out_volts", value=1.0))


def test_the_led_lamp_tells_the_way():
    now = BIKE.operate(key="on")
    assert LedLamp(clip="G1.-", tip="F1.2").read(now).shown == "red"
    assert LedLamp(clip="F1.2", tip="G1.-").read(now).shown == "green"
    assert LedLamp(clip="G1.-", tip="X9.frame").read(now).shown == "out"
    assert LedLamp(clip="G1.-", tip="F1.2").read(BIKE.operate("F1 blown", key="off")).shown == "out"


def test_the_led_lamp_takes_a_few_milliamps_and_moves_nothing():
    now = BIKE.operate(**IN_GEAR)
    on = LedLamp(clip="K1.86", tip="G1.+").put_on(now)
    assert 0.003 < on.solution.amps["LED tip"] < 0.006
    assert on.solution.across["K1.coil"] < 0.03 and on.relays["K1"] == "at rest"
    assert LedLamp(clip="K1.86", tip="G1.+").read(now).shown == "red"
    assert [notice.text for notice in on.noticed] == [notice.text for notice in now.noticed]


def test_led_words_at_the_edge_of_sight():
    assert led_words(1e-3) == ("red",) and led_words(-1e-3) == ("green",) and led_words(0.0) == ("out",)
    assert led_words(60e-6) == ("red", "out") and led_words(-40e-6) == ("out", "green")
    assert {led_words(amps * 1e-6)[0] for amps in range(-200, 201)} == set(LED_WORDS)


def test_chatter_makes_the_led_lamp_flicker_where_its_volts_come_and_go():
    now = BIKE.operate("G1 sulphated", key="on", start_button="pressed")
    assert LedLamp(clip="G1.-", tip="M1.stud").read(now).shown == "flickers"


def test_what_the_big_lamp_pulled_in_lets_go_when_it_comes_off():
    now = BIKE.operate(**IN_GEAR)
    lamp = TestLamp(clip="K1.86", tip="G1.+", watts=21)
    cranking = lamp.put_on(now)
    assert cranking.word("M1") == "cranks" and lamp.shows(cranking) == lamp.read(now)
    assert cranking.then().word("M1") == "still"


def test_hysteresis_alone_decides_whether_it_holds():
    """The 5 W lamp's kick stays where the relay lets go late; the probe lamp's inrush is too small even then."""
    now = BIKE.operate(LEANING, **IN_GEAR)
    assert TestLamp(clip="K1.86", tip="G1.+", watts=5).put_on(now).word("M1") == "cranks"
    assert TestLamp(clip="K1.86", tip="G1.+").put_on(now).word("M1") == "still"


def test_a_lamp_does_not_disturb_what_already_cranks():
    now = BIKE.operate(**IN_GEAR, start_button="pressed")
    for watts in (3, 21):
        lit = TestLamp(clip="G1.-", tip="G1.+", watts=watts).put_on(now)
        assert lit.word("M1") == "cranks" and lit.relays["K1"] == "pulled in"
        assert not any("clicks" in notice.text for notice in lit.noticed)


def test_the_load_tester_turns_its_knob_and_stops_at_its_end():
    rest = BIKE.operate(key="off")
    tester = LoadTester(minus="G1.-", plus="G1.+", cca=150)
    assert tester.put_on(rest).solution.amps["load tester"] == pytest.approx(75, rel=2e-3)
    assert tester.read(rest).value == pytest.approx(12.8 - 75 * 0.02, abs=0.01)
    dying = BIKE.operate(Fault(id="G1 dying", part="G1", edit=Change(field="ohms", value=0.5)), key="off")
    all_the_way = tester.put_on(dying).solution
    assert all_the_way.amps["load tester"] == pytest.approx(12.8 / 0.502, rel=2e-3)
    assert judge(rest_volts=12.8, volts=tester.read(dying).value, amps=25.5, cca=150, celsius=21.2) == "fails"
    # On a dead stretch it shows nothing, and swapped clamps show it the other way round.
    assert LoadTester(minus="G1.-", plus="X9.frame", cca=150).read(rest).value == 0
    assert LoadTester(minus="G1.+", plus="G1.-", cca=150).read(rest).value < -12


@pytest.mark.parametrize(
    ("figures", "verdict"),
    [
        ({"rest_volts": 12.39}, "charge it first"), ({"rest_volts": 12.4}, "holds"),
        ({"celsius": -5}, "too cold to judge"), ({"amps": 66}, "tester too small"), ({"amps": 69}, "holds"),
        ({"volts": 9.0, "amps": 90}, "tester too big"), ({"volts": 9.0, "amps": 80}, "fails"),
        ({"volts": 9.0, "amps": 40}, "fails"),
    ],
)
def test_when_a_load_test_says_something(figures, verdict):
    sound = {"rest_volts": 12.7, "volts": 10.9, "amps": 75, "cca": 150, "celsius": 20}
    assert judge(**(sound | figures)) == verdict
    assert verdict in instruments.VERDICTS


@pytest.mark.parametrize(
    ("make", "message"),
    [
        (lambda: TestLamp(clip="G1.-", tip="G1.+", watts=0), "a test lamp needs watts and volts, not 0 W and 12 V."),
        (lambda: FusedJumper(start="S3.1", end="S3.2", amps=-1), "needs more than zero amps, not -1."),
        (lambda: LoadTester(minus="G1.-", plus="G1.+", cca=0), "cca must be more than zero, not 0."),
        (lambda: Hydrometer(battery="K1").read(BIKE.operate()), "a hydrometer goes into a battery; K1 is none."),
        (lambda: Hydrometer(battery="G1", cell=7).read(BIKE.operate()), "G1 has cells 1 to 6, no cell 7."),
        (lambda: FusedJumper(start="S3.1", end="S3.9").read(BIKE.operate()), "there is no terminal S3.9: switch S3"),
        (lambda: LedLamp(clip="G1.-", tip="F1.3").read(BIKE.operate()), "there is no terminal F1.3: fuse F1"),
    ],
)
def test_what_is_refused(make, message):
    with pytest.raises(OperationError) as caught:
        make()
    assert message in str(caught.value)


def test_every_instrument_reads_on_a_sample_of_faults():
    for number, fault in list(enumerate(BIKE.faults))[::5]:
        now = BIKE.operate(fault, **POSITIONS[(7 * number + 3) % 64])
        one, other = POINTS[(5 * number) % len(POINTS)], POINTS[(11 * number + 1) % len(POINTS)]
        filament = TestLamp(clip=one, tip=other).read(now).shown
        led = LedLamp(clip=one, tip=other).read(now).shown
        # What lights a filament lights an LED.
        assert led != "out" or filament in ("out", "glow"), (fault, one, other)
        assert led in (*LED_WORDS, "flickers")
        assert FusedJumper(start=one, end=other).read(now).shown in instruments.JUMPER_WORDS
        assert TestLamp(clip=one, tip=other, watts=21).read(now).shown in (*instruments.LAMP_WORDS, "flickers")


def test_the_room_says_what_it_has():
    assert sorted(instruments.__all__, key=str.swapcase) == sorted(set(instruments.__all__), key=str.swapcase)
    assert all(hasattr(instruments, name) for name in instruments.__all__)
    assert Multimeter is kit.Multimeter and TestLamp is kit.TestLamp
