"""What the probe lamp and the meter show, and that they show nothing else."""

import pytest

import kit
from kit.circuit import Fault, Ohms
from kit.errors import CircuitError, OperationError
from kit.instruments import LAMP_WORDS, Multimeter, Reading, TestLamp, lamp_words

BIKE = kit.machine("orchard-bike")
POSITIONS = tuple(BIKE.all_positions())
POINTS = tuple(str(terminal) for terminal in BIKE.points)


@pytest.mark.parametrize(
    ("volts", "words"),
    [
        # Common practice for a 12 V lamp: out below 2 V, glow to 5, dim to 9, bright from 9.5; either word at an edge.
        (0.0, ("out",)), (1.7, ("out",)), (1.9, ("out", "glow")), (2.1, ("glow", "out")), (3.5, ("glow",)),
        (4.9, ("glow", "dim")), (5.1, ("dim", "glow")), (7.0, ("dim",)), (8.9, ("dim",)), (9.1, ("dim", "bright")),
        (9.4, ("bright", "dim")), (9.6, ("bright",)), (14.0, ("bright",)), (-12.0, ("bright",)),
    ],
)
def test_lamp_words(volts, words):
    assert lamp_words(volts) == words


def test_lamp_words_only_rise_with_the_volts():
    ranks = [LAMP_WORDS.index(lamp_words(volts / 100)[0]) for volts in range(1500)]
    assert ranks == sorted(ranks) and set(ranks) == {0, 1, 2, 3}


def test_the_lamp_does_not_care_which_end_is_which():
    now = BIKE.operate(key="on")
    one = TestLamp(clip="G1.-", tip="F1.2").read(now)
    other = TestLamp(clip="F1.2", tip="G1.-").read(now)
    assert one.shown == other.shown == "bright"


def test_swapped_meter_leads_change_the_sign():
    now = BIKE.operate(key="on")
    assert Multimeter("volts", black="G1.-", red="G1.+").read(now).shown == "12.71 V"
    assert Multimeter("volts", black="G1.+", red="G1.-").read(now).shown == "-12.71 V"


def test_a_meter_never_shows_minus_nothing():
    now = BIKE.operate("X1 open")
    assert Multimeter("volts", black="F1.1", red="F1.2").read(now).shown == "0.00 V"
    assert Multimeter("volts", black="F1.2", red="F1.1").read(now).shown == "0.00 V"


def test_a_chattering_relay_makes_both_instruments_jump():
    now = BIKE.operate("G1 sulphated", key="on", start_button="pressed")
    meter = Multimeter("volts", black="G1.-", red="G1.+").read(now)
    assert meter.shown.startswith("jumps between 2.") and meter.value is None
    assert TestLamp(clip="G1.-", tip="G1.+").read(now).shown == "flickers"


def test_a_reading_holds_only_what_is_shown():
    reading = TestLamp(clip="G1.-", tip="K1.86").read(BIKE.operate("W7 open", key="on", start_button="pressed"))
    assert reading == Reading(instrument="test lamp", leads=("G1.-", "K1.86"), shown="out", accepts=("out",))
    assert str(reading) == "out"


def test_ghost_volts_show_on_the_meter_and_not_on_the_lamp():
    """Common practice: 50 kilohm of green salt passes a meter's microamp and no lamp's quarter amp."""
    salt = Fault(id="F2 salt", part="F2", edit=Ohms(ohms=50e3))
    now = BIKE.operate(salt, key="on", stop_switch="stop", gear="first")
    # The neutral lamp and its dead ends hang on F2.2; nothing there draws a current.
    assert Multimeter("volts", black="G1.-", red="F2.2").read(now).value == pytest.approx(12.6, abs=0.1)
    assert TestLamp(clip="G1.-", tip="F2.2").read(now).shown == "out"


def test_a_melted_fuse_stays_melted_under_the_probe():
    now = BIKE.operate("W3 shorted to ground", key="on").then(key="off")
    assert now.state.melted == {"F1"}
    assert TestLamp(clip="G1.-", tip="F1.1").read(now).shown == "bright"
    assert TestLamp(clip="G1.-", tip="F1.2").read(now).shown == "out"


@pytest.mark.parametrize(
    ("make", "error", "message"),
    [
        (lambda: Multimeter("ohm", black="G1.-", red="G1.+"), OperationError,
         "the multimeter has no range 'ohm'; it has volts, millivolts, ac volts, ohms, continuity, diode test, amps."),
        (lambda: TestLamp(clip="G1.-", tip="F1.3").read(BIKE.operate()), OperationError,
         "there is no terminal F1.3: fuse F1 has no terminal '3'; it has 1, 2."),
        (lambda: TestLamp(clip="G1.-", tip="F1").read(BIKE.operate()), CircuitError,
         "'F1' is not a terminal; write part and terminal with a dot, like K1.86."),
    ],
)
def test_a_lead_on_nothing(make, error, message):
    with pytest.raises(error) as caught:
        make()
    assert str(caught.value) == message


def test_the_meter_agrees_with_the_circuit_and_calls_nothing_floating():
    """On a sample of faults, positions and points: the meter shows the volts; where it floats about 0 either way."""
    seen = {"floating": 0, "tied": 0}
    for number, fault in enumerate(BIKE.faults):
        now = BIKE.operate(fault, **POSITIONS[(11 * number + 40) % 64])
        if now.solution.other_swing is not None:
            continue
        floating = [point for point in POINTS if now.volts[point] is None]
        for point in (*(POINTS[(7 * number + 12 * k) % len(POINTS)] for k in range(4)), *floating[number % 5 :: 5]):
            from_minus = Multimeter("volts", black="G1.-", red=point).read(now).value
            if now.volts[point] is None:
                from_plus = Multimeter("volts", black="G1.+", red=point).read(now).value
                assert abs(from_minus) < 0.1 and abs(from_plus) < 0.1, (fault, point)
                seen["floating"] += 1
            else:
                # A dead end behind the diode gives up the drop of a diode at a microamp, and is tied one way only:
                # where a raised ground blocks the diode from the minus post, the plus post tells.
                against, shown, slack = 0.0, from_minus, 0.3 if point in DIODE_ENDS else 0.011
                if point in DIODE_ENDS and abs(from_minus) < 0.1:
                    against = now.volts["G1.+"]
                    shown = Multimeter("volts", black="G1.+", red=point).read(now).value
                assert shown == pytest.approx(now.volts[point] - against, abs=slack), (fault, point)
                seen["tied"] += 1
    assert min(seen.values()) >= 40, seen


DIODE_ENDS = {"R1.A", "R1.K", "K1.85", "K1.86", "S3.2", "B1.1", "B1.2", "B3.1", "B2.1", "P1.1", "P1.2"}
