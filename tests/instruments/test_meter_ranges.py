"""The meter's ranges: what its display says, on sound, open, live and moving circuits."""

import re
from dataclasses import replace

import pytest
from networks import circuit, node, resistor, source

import kit
from kit.circuit import Fault, Open
from kit.errors import CircuitError, OperationError
from kit.instruments import RANGES, ClampMeter, Multimeter, course_with, put_on
from kit.instruments.display import show_counts
from kit.instruments.hold import held
from kit.instruments.meter import STEPS
from kit.solve import settle

BIKE = kit.machine("orchard-bike")
POSITIONS = tuple(BIKE.all_positions())
POINTS = tuple(str(terminal) for terminal in BIKE.points)
CHATTER = BIKE.operate("G1 sulphated", key="on", start_button="pressed")


def bench(built):
    """A bare circuit on the bench: the bike without its circuit and controls."""
    return replace(BIKE, circuit=built, controls={}, faults={}).operate()


def read(range_, black, red, now, **meter):
    return Multimeter(range_, black=black, red=red, **meter).read(now)


@pytest.mark.parametrize(
    ("value", "range_", "text"),
    [
        (12.346, "volts", "12.35 V"), (59.99, "volts", "59.99 V"), (60.0, "volts", "60.0 V"),
        (599.94, "volts", "599.9 V"),
        (600, "volts", "OL"), (-0.004, "volts", "0.00 V"), (-0.006, "volts", "-0.01 V"),
        (0.02718, "millivolts", "27.2 mV"), (0.59994, "millivolts", "599.9 mV"), (0.6, "millivolts", "OL"),
        (0.0, "ohms", "0.0 Ω"), (599.94, "ohms", "599.9 Ω"), (600, "ohms", "0.600 kΩ"), (75e3, "ohms", "75.0 kΩ"),
        (69.77e3, "ohms", "69.8 kΩ"), (1.5e6, "ohms", "1.500 MΩ"), (59e6, "ohms", "59.00 MΩ"), (60e6, "ohms", "OL"),
        (5.9994, "amps", "5.999 A"), (6.0, "amps", "6.00 A"), (17.123, "amps", "17.12 A"),
        (0.4621, "diode test", "0.462 V"),
    ],
)
def test_six_thousand_counts(value, range_, text):
    shown, number = show_counts(value, STEPS[range_])
    assert shown == text
    assert number is None if text == "OL" else number == pytest.approx(value, rel=1e-3, abs=0.005)


@pytest.mark.parametrize("ohms", [0.5, 12.0, 599.0, 4.7e3, 33e3, 220e3, 1e6, 47e6])
def test_ohms_of_one_resistor_within_a_count(ohms):
    reading = read("ohms", str(node(0)), str(node(1)), bench(circuit(resistor("R1", 1, 0, ohms))))
    assert reading.value == pytest.approx(ohms + 0.2, abs=0.51 * _step(ohms))


def _step(ohms):
    return next(count for count, _ in STEPS["ohms"] if ohms < 6000 * count)


def test_ohms_on_a_live_circuit_are_nonsense():
    now = BIKE.operate(key="on", start_button="pressed")
    # Across a battery the meter is over-driven, whichever way round.
    assert read("ohms", "G1.-", "G1.+", now).shown == read("ohms", "G1.+", "G1.-", now).shown == "OL"
    # Half an engine strap with 90 A in it has 0.6 mohm; its volts are taken for ohms, or for less than none.
    volts = now.volts["X7.block"] - now.volts["G1.-"]
    one, other = read("ohms", "G1.-", "X7.block", now).value, read("ohms", "X7.block", "G1.-", now).value
    assert one == pytest.approx(3000 * volts / (3 - volts) + 0.2, abs=0.2) and one > 50
    assert other == pytest.approx(-3000 * volts / (3 + volts) + 0.2, abs=0.2) and other < -50
    # Stand still, and the same leads show the leads alone.
    assert read("ohms", "G1.-", "X7.block", BIKE.operate(key="off")).shown == "0.2 Ω"


def test_ohms_do_not_move_the_machine():
    now = BIKE.operate(key="on")
    assert Multimeter("ohms", black="K1.85", red="K1.86").put_on(now).relays == now.relays
    assert Multimeter("ohms", black="K1.85", red="S1.1").put_on(now).word("M1") == "still"


def test_nulled_leads():
    now = BIKE.operate(key="off")
    assert read("ohms", "K1.85", "K1.86", now).shown == "4.2 Ω"
    assert read("ohms", "K1.85", "K1.86", now, null=0.2).shown == "4.0 Ω"
    assert read("ohms", "K1.86", "K1.86", now, null=0.2).shown == "0.0 Ω"
    with pytest.raises(OperationError, match="less than 1 ohm"):
        Multimeter("ohms", black="K1.85", red="K1.86", null=3.0)


def test_continuity_beeps_below_thirty_ohms():
    now = BIKE.operate("F3 blown", key="off", gear="first")
    assert read("continuity", "F1.1", "F1.2", now).shown == "0.2 Ω, beeps"
    # In its holder a blown fuse does not read OL: there is a way round, through both loads.
    assert read("continuity", "F3.1", "F3.2", now).shown == "32.5 Ω"
    # Through the control unit, 32 ohm: shown, without a beep.
    assert read("continuity", "X12.eye", "S2.2", now).value == pytest.approx(32.3, abs=0.2)
    assert read("continuity", "X12.eye", "S2.2", now).shown.endswith(" Ω")
    # With the fuse in, the head lamp's cold filament beeps: a beep is no proof of a short, or of a wire.
    assert read("continuity", "X12.eye", "S2.2", BIKE.operate(key="off", gear="first")).shown == "0.5 Ω, beeps"


def test_diode_test_of_the_interlock_diode():
    out = BIKE.fault("W17 open")
    sound, shorted, opened = (
        BIKE.operate(out, *faults, key="off") for faults in ((), ("R1 shorted",), ("R1 open",))
    )
    assert read("diode test", "R1.K", "R1.A", sound).value == pytest.approx(0.46, abs=0.01)
    assert read("diode test", "R1.A", "R1.K", sound).shown == "OL"
    assert {read("diode test", *leads, shorted).shown for leads in (("R1.K", "R1.A"), ("R1.A", "R1.K"))} == {"0.000 V"}
    assert {read("diode test", *leads, opened).shown for leads in (("R1.K", "R1.A"), ("R1.A", "R1.K"))} == {"OL"}


def test_ac_volts_read_nothing_on_a_battery_and_something_on_chatter():
    assert read("ac volts", "G1.-", "G1.+", BIKE.operate(key="on")).shown == "0.00 V"
    low, high = (swing.across["multimeter"] for swing in _swings("G1.-", "G1.+"))
    reading = read("ac volts", "G1.-", "G1.+", CHATTER)
    assert reading.shown == f"unsteady, about {abs(high - low) / 2:.1f} V" and reading.value is None
    assert abs(high - low) > 3


def _swings(black, red):
    solution = Multimeter("volts", black=black, red=red).put_on(CHATTER).solution
    return solution, solution.other_swing


def test_amps_between_the_fuses_rating_and_twice_it_hold_for_an_operation():
    built = circuit(source("G1", 0, 1, 12.0, ohms=0.02), resistor("R1", 1, 2, 0.72))
    now = bench(built)
    reading = read("amps", str(node(0)), str(node(2)), now)
    # 12 V over 0.02 + 0.72 + 0.01 shunt + 0.01 fuse + 0.04 leads.
    assert reading.shown == "15.00 A" and not reading.meter_fuse_blown
    # Half of that resistance, and the meter's fuse goes; the machine has no other.
    harder = bench(circuit(source("G1", 0, 1, 12.0, ohms=0.02), resistor("R1", 1, 2, 0.34)))
    reading = read("amps", str(node(0)), str(node(2)), harder)
    assert reading.shown == "0.000 A" and reading.meter_fuse_blown


def test_what_the_meter_is_left_with_is_not_told():
    reading = read("amps", "G1.-", "G1.+", BIKE.operate())
    assert reading.meter_fuse_blown and "blown" not in repr(reading) and str(reading) == "0.000 A"


# --- min/max and the clamp


def test_hold_takes_means_over_its_measuring_time():
    # 12 V, 6 V for 20 ms, 12 V: five sixths of the dip is lost in the mean of a tenth of a second.
    seconds, values = (0.1, 0.14, 0.16, 0.3), (12.0, 12.0, 6.0, 12.0)
    assert held(seconds, values) == pytest.approx((10.8, 12.0))
    assert held(seconds, values, 0.02) == pytest.approx((6.0, 12.0))
    assert held((0.05,), (3.0,)) == (3.0, 3.0)


def test_min_max_of_a_crank():
    now = BIKE.operate(key="on", **{"gear": "first", "clutch_lever": "pulled", "stand": "up"})
    meter = Multimeter("volts", black="G1.-", red="G1.+")
    course = meter.watch(now, [(0.3, {"start_button": "pressed"})], 0.7)
    reading = meter.hold(course)
    low, high = map(float, re.fullmatch(r"min (\d+\.\d\d) V, max (\d+\.\d\d) V", reading.shown).groups())
    deepest = min(course.volts("G1.+", "G1.-"))
    assert high == pytest.approx(12.7, abs=0.1)
    # The starter's inrush is over in less than the meter needs: it shows a dip, not all of it.
    assert deepest + 0.1 < low < 11.5
    clamp = ClampMeter(wire="W9").hold(course).shown
    most = float(re.fullmatch(r"min 0\.0 A, max (\d+\.\d) A", clamp)[1])
    assert 100 < most < max(course.amps("W9"))


def test_a_series_meter_in_time():
    """In the head lamp's fuse holder: the cold filament's rush is more than the steady amps; a blown meter has none."""
    now = BIKE.operate(Fault(id="F3 out", part="F3", edit=Open()), key="off")
    for blown, low, high in ((False, 3.7, 4.1), (True, 0.0, 0.0)):
        meter = Multimeter("amps", black="F3.2", red="F3.1", fuse_blown=blown)
        course = meter.watch(now, [(0.0, {"key": "on"})], 1.0)
        assert low <= course.amps("multimeter")[-1] <= high
        reading = meter.hold(course)
        assert reading.meter_fuse_blown == blown
        least, most = map(float, re.fullmatch(r"min (\d+\.\d+) A, max (\d+\.\d+) A", reading.shown).groups())
        assert low <= least <= high and (most > 1.3 * high or blown)


def test_min_max_needs_the_meter_on_and_a_range_that_holds():
    course = course_with(BIKE.operate(key="off"), (), [(0.0, {"key": "on"})], 0.05)
    with pytest.raises(OperationError, match="was not on when the course was run"):
        Multimeter("volts", black="G1.-", red="G1.+").hold(course)
    with pytest.raises(OperationError, match="min/max works on volts"):
        Multimeter("ohms", black="G1.-", red="G1.+").hold(course)


def test_the_clamp_has_a_sign_a_step_and_no_load():
    now = BIKE.operate(key="on", start_button="pressed")
    big = ClampMeter(wire="W9").read(now)
    assert big.value == pytest.approx(now.amps["W9"], abs=0.0501) and big.leads == ("W9", "W9")
    assert ClampMeter(wire="W9", jaw="small").read(now).shown == "OL"
    small = ClampMeter(wire="W22", jaw="small").read(now)
    assert small.value == pytest.approx(now.amps["W22"], abs=0.0101)
    assert round(small.value / 0.02) * 0.02 == pytest.approx(small.value)
    straps = [ClampMeter(wire=wire).read(now).value for wire in ("W8", "W10")]
    assert straps[0] > 80 and straps[1] > 80
    assert ClampMeter(wire="W8").read(CHATTER).shown.startswith("jumps between ")
    with pytest.raises(OperationError, match="closes round a wire; K1 is a relay"):
        ClampMeter(wire="K1").read(now)
    with pytest.raises(OperationError, match="no jaw 'huge'"):
        ClampMeter(wire="W9", jaw="huge")
    with pytest.raises(CircuitError, match="there is no part W99"):
        ClampMeter(wire="W99").read(now)


def test_every_range_shows_something_a_meter_can_show_everywhere():
    """On a sample of faults, positions and points: digits, OL or digits that jump."""
    text = r"(-?\d+\.\d+ (m?V|[kM]?Ω|A)|OL)(, beeps)?"
    whole = re.compile(rf"{text}|jumps between (-?\d+\.\d+|{text}) and {text}|unsteady, about \d+\.\d V")
    seen = set()
    for number, fault in list(enumerate(BIKE.faults))[::4]:
        now = BIKE.operate(fault, **POSITIONS[(13 * number + 40) % 64])
        for k, name in enumerate(RANGES):
            black, red = POINTS[(5 * number + 3 * k) % len(POINTS)], POINTS[(11 * number + 7 * k + 1) % len(POINTS)]
            shown = read(name, black, red, now).shown
            assert whole.fullmatch(shown), (fault, name, black, red, shown)
            seen.add((name, "OL" in shown))
    assert {("ohms", True), ("ohms", False), ("diode test", True), ("continuity", False)} <= seen


def test_attached_is_all_there_is_to_it():
    """The same body in the circuit, solved from nothing, gives what the instrument gave."""
    now = BIKE.operate(key="on")
    body = Multimeter("amps", black="F3.2", red="F3.1").body()
    alone = settle(now.circuit.add(body), closed_switches=BIKE.closed_switches(now.positions))
    assert put_on(now, body).solution.amps["multimeter"] == pytest.approx(alone.amps["multimeter"], abs=1e-9)
