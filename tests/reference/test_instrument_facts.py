"""Instruments against published numbers and the facts of the trade, the source beside each.

LEC = T. R. Kuphaldt, Lessons in Electric Circuits. "Workshop" stands for common practice: the figures every hand knows,
with no single source.
"""

import math
from dataclasses import replace

import pytest
from networks import between, circuit, node, resistor, source
from scipy.optimize import brentq

import kit
from kit.circuit import Battery, Change, Circuit, Diode, Fault, Fuse, Joint, Lamp, Ohms, Open, Relay
from kit.instruments import (
    ClampMeter,
    FusedJumper,
    Hydrometer,
    LedLamp,
    LoadTester,
    Multimeter,
    TestLamp,
    attach,
    corrected,
    gravity,
    judge,
    lowest_volts,
    put_on,
    serviceable,
)
from kit.instruments.reading import across, cold
from kit.machines import Operation
from kit.machines.operation import operate
from kit.solve import State, settle
from kit.solve.battery import cell_gravities

BIKE = kit.machine("orchard-bike")
IN_GEAR = {"key": "on", "gear": "first", "clutch_lever": "pulled", "stand": "up"}
CRANKING = {"key": "on", "start_button": "pressed"}


def bench(built: Circuit) -> Operation:
    """A bare circuit on the bench: the bike without its circuit and controls."""
    return replace(BIKE, circuit=built, controls={}, faults={}, engine=None).operate()


def at(number: int) -> str:
    return str(node(number))


def volts(black: str, red: str, now: Operation) -> float | None:
    return Multimeter("volts", black=black, red=red).read(now).value


# --- published networks


def test_a_ten_megohm_meter_on_two_hundred_and_fifty():
    # LEC vol. I, DC metering circuits: 24 V across two 250 Mohm; a 10 Mohm meter on one shows 0.8889 V, not 12 V.
    now = bench(circuit(source("G1", 0, 1, 24.0), resistor("R1", 1, 2, 250e6), resistor("R2", 2, 0, 250e6)))
    meter = Multimeter("volts", black=at(0), red=at(2))
    assert now.volts[at(2)] == pytest.approx(12.0, abs=1e-6)
    assert across(now, meter.body())[0] == pytest.approx(0.8889, abs=5e-5)
    assert meter.read(now).shown == "0.89 V"


def test_a_megohm_beside_seventy_five_kilohms():
    # OpenStax College Physics, DC voltmeters and ammeters: 1 Mohm across 75 kohm leaves 69.77 kohm, 6.98 % less.
    ohms = Multimeter("ohms", black=at(0), red=at(1))
    alone = ohms.read(bench(circuit(resistor("R1", 1, 0, 75e3))))
    both = ohms.read(bench(circuit(resistor("R1", 1, 0, 75e3), resistor("R2", 1, 0, 1e6))))
    assert (alone.shown, both.shown) == ("75.0 kΩ", "69.8 kΩ")
    # The same with a constant current through them, so that volts follow the ohms.
    fed = [source("G1", 0, 2, 1000.0), resistor("R3", 2, 1, 1e9), resistor("R1", 1, 0, 75e3)]
    less = settle(circuit(*fed, resistor("R2", 1, 0, 1e6))).volts[at(1)] / settle(circuit(*fed)).volts[at(1)]
    assert less - 1 == pytest.approx(-0.0698, abs=1e-4)


@pytest.mark.parametrize(
    ("saturation", "emission"),
    [(18.8e-9, 2.0), (1e-14, 1.0)],  # LEC vol. III, diode model; and the textbook signal diode of references.md
)
def test_the_diode_test_reads_the_drop_at_a_milliamp(saturation, emission):
    diode = Diode(id="R1", title="diode", saturation_amps=saturation, emission=emission)
    now = bench(circuit(between(diode, 1, 0)))
    # 3 V through 2.4 kohm and 0.2 ohm of leads, against the diode's own law solved independently.
    drop = brentq(lambda u: (3 - u) / 2400.2 - saturation * math.expm1(u / (emission * 0.025852)), 0, 2)
    reading = Multimeter("diode test", black=at(0), red=at(1)).read(now)
    assert reading.value == pytest.approx(drop, abs=0.0006)
    assert (3 - drop) / 2400.2 == pytest.approx(1e-3, rel=0.05)
    assert Multimeter("diode test", black=at(1), red=at(0)).read(now).shown == "OL"


def test_gravity_of_a_cell_and_of_a_battery():
    # DOE-HDBK-1084-95: gravity = open-circuit volts of a cell − 0.845. TM 5-3805-262-20: 12.6 V full, 12.0 V 25 %.
    assert gravity(12.6 / 6) == pytest.approx(1.255)
    assert gravity(12.0 / 6) == pytest.approx(1.155)
    battery = Battery(id="G1", title="battery", volts=12.6, ohms=0.01, celsius=80 / 1.8 - 32 / 1.8)
    now = bench(Circuit(parts=(battery,), reference=battery.terminals[1]))
    assert Hydrometer(battery="G1", cell=6).read(now).shown == "1.255"
    assert gravity(12.6 / 6) == pytest.approx(cell_gravities(battery)[0])


def test_gravity_is_corrected_for_temperature():
    # US Army TM 5-4210-230: 0.004 for every 10 °F above 80 °F (26.67 °C); below, taken off.
    assert corrected(1.250, (100 - 32) / 1.8) == pytest.approx(1.258)
    assert corrected(1.250, (80 - 32) / 1.8) == pytest.approx(1.250)
    assert corrected(1.250, (30 - 32) / 1.8) == pytest.approx(1.230)
    for celsius in (-10.0, 20.0, 45.0):
        battery = Battery(id="G1", title="battery", volts=12.6, ohms=0.01, celsius=celsius)
        shown = Hydrometer(battery="G1").read(bench(Circuit(parts=(battery,), reference=battery.terminals[1]))).value
        assert corrected(shown, celsius) == pytest.approx(1.255, abs=0.0026)


def test_a_dead_cell_stands_out():
    # US Army TM 9-6140-200-14: more than 0.025 between cells is unserviceable.
    def gravities(**figures):
        battery = Battery(id="G1", title="battery", volts=12.6, ohms=0.01, **figures)
        now = bench(Circuit(parts=(battery,), reference=battery.terminals[1]))
        return [Hydrometer(battery="G1", cell=cell).read(now).value for cell in range(1, 7)]

    assert serviceable(gravities()) and serviceable(gravities(charge=0.25))
    assert not serviceable(gravities(dead_cells=1))
    assert serviceable((1.265, 1.240)) and not serviceable((1.265, 1.239))


@pytest.mark.parametrize(("fahrenheit", "least"), [(70, 9.6), (60, 9.5), (50, 9.4), (40, 9.3), (30, 9.1), (90, 9.6)])
def test_rows_of_the_half_cca_table(fahrenheit, least):
    # Workshop: half the cold cranking amps for 15 s.
    celsius = (fahrenheit - 32) / 1.8
    assert lowest_volts(celsius) == pytest.approx(least)
    same = {"rest_volts": 12.6, "amps": 75, "cca": 150, "celsius": celsius}
    assert judge(volts=least + 0.01, **same) == "holds"
    assert judge(volts=least - 0.01, **same) == "fails"


# --- trade.md point 1: a floating point shows about 0 V to either post, and only testing both ways proves it


def test_a_floating_wire_shows_nothing_to_either_post():
    now = BIKE.operate("W5 open", key="on", stop_switch="stop")
    floats, dead = "S2.1", BIKE.operate(key="off")
    assert now.volts[floats] is None
    assert abs(volts("G1.-", floats, now)) < 0.05 and abs(volts("G1.+", floats, now)) < 0.05
    assert TestLamp(clip="G1.-", tip=floats).read(now).shown == "out"
    assert TestLamp(clip="G1.+", tip=floats).read(now).shown == "out"
    # A grounded wire shows 0 V as well, but the lamp clipped to plus lights on it.
    assert abs(volts("G1.-", "X12.eye", dead)) < 0.05
    assert TestLamp(clip="G1.+", tip="X12.eye").read(dead).shown == "bright"


# --- trade.md point 2: a burnt contact lights the lamp with the cable off


def test_a_burnt_contact_with_the_starter_cable_off_and_on():
    off = BIKE.operate("K1 contacts burnt 0.5 ohm", Fault(id="cable off", part="W9", edit=Open()), **CRANKING)
    on = BIKE.operate("K1 contacts burnt 0.5 ohm", **CRANKING)
    assert TestLamp(clip="G1.-", tip="K1.87").read(off).shown == "bright"
    assert volts("G1.-", "K1.87", on) == pytest.approx(0.9, abs=0.1)
    assert TestLamp(clip="G1.-", tip="K1.87").read(on).shown == "out"
    # And the drop across the contact, in one reading under load, is nearly the whole battery.
    assert volts("K1.87", "K1.30", on) > 11


# --- trade.md point 3: lamp watts decide truth


@pytest.mark.parametrize(("watts", "coil_volts"), [(21, 10.4), (5, 7.2), (3, 5.7)])
def test_the_cold_inrush_through_a_relay_coil(watts, coil_volts):
    # Workshop: 12.6 V, 0.15 ohm of wiring, a 4 ohm coil; filament cold = hot/13, watts rated at 13.5 V.
    body = TestLamp(clip=at(3), tip=at(2), watts=watts).body()
    built = circuit(source("G1", 0, 1, 12.6), resistor("X1", 1, 2, 0.15), resistor("K1", 3, 0, 4.0))
    assert settle(attach(built, *cold(body))).across["K1"] == pytest.approx(coil_volts, rel=0.01)


def relay_on_the_bench(**figures) -> Operation:
    relay = Relay(id="K1", title="relay", **{
        "coil_ohms": 4.0, "pull_in_volts": 6.5, "drop_out_volts": 3.0, "contact_ohms": 1e-3, **figures})
    ends = [resistor(f"K1.{name}", number, 8 + i, 1e-6) for i, (name, number) in enumerate((("30", 1), ("87", 4)))]
    coil = [Joint(id=f"K1 {name}", title=name, start=node(number), end=relay.terminals[2 + i], ohms=1e-6)
            for i, (name, number) in enumerate((("85", 0), ("86", 3)))]
    return bench(circuit(source("G1", 0, 1, 12.6), resistor("X1", 1, 2, 0.15), [relay], coil, *ends))


@pytest.mark.parametrize(
    ("watts", "hot_coil_volts", "relay", "said"),
    # Workshop: 21 W holds what its inrush pulled in, 5 W gives a kick, 3 W does nothing.
    [(21, (3.5, 6.5), "pulled in", "clicks."), (5, (1, 3), "at rest", "clicks and lets go at once."),
     (3, (0, 3), "at rest", "")],
)
def test_what_the_inrush_leaves_behind(watts, hot_coil_volts, relay, said):
    now = TestLamp(clip=at(3), tip=at(2), watts=watts).put_on(relay_on_the_bench())
    assert hot_coil_volts[0] < now.solution.across["K1.coil"] < hot_coil_volts[1]
    assert now.relays["K1"] == relay
    assert [notice.text for notice in now.noticed] == [f"The relay {said}" if said else ""]


def test_a_loading_lamp_cranks_the_engine_through_an_open_interlock():
    # Workshop: the button is not touched; the lamp from battery plus to the relay's trigger wire does it.
    now = BIKE.operate(**IN_GEAR)
    assert (now.word("M1"), now.relays["K1"]) == ("still", "at rest")
    loaded = TestLamp(clip="K1.86", tip="G1.+", watts=21).put_on(now)
    assert (loaded.word("M1"), loaded.relays["K1"]) == ("cranks", "pulled in")
    assert any("cranks" in notice.text for notice in loaded.noticed)
    kicked = TestLamp(clip="K1.86", tip="G1.+", watts=5).put_on(now)
    assert (kicked.word("M1"), kicked.relays["K1"]) == ("still", "at rest")
    assert "The starter relay clicks and lets go at once." in [notice.text for notice in kicked.noticed]
    safe = TestLamp(clip="K1.86", tip="G1.+").put_on(now)
    assert [notice.text for notice in safe.noticed] == [notice.text for notice in now.noticed]


def test_without_hysteresis_the_inrush_leaves_nothing():
    # A relay that lets go at once below its pull-in volts cannot be held by the warm lamp.
    now = TestLamp(clip=at(3), tip=at(2), watts=21).put_on(relay_on_the_bench(drop_out_volts=6.4))
    assert now.relays["K1"] == "at rest"


def test_a_probe_lamp_sees_nothing_of_a_bad_cranking_joint():
    # Workshop: useless for milliohms in the cranking circuit; the meter across the joint tells.
    bad = Fault(id="X8 20 mohm", part="X8", edit=Ohms(ohms=0.02))
    now = BIKE.operate(bad, **CRANKING)
    healthy = BIKE.operate(**CRANKING)
    lamp = TestLamp(clip="X7.block", tip="X8.lug")
    assert lamp.read(now).shown == lamp.read(healthy).shown == "out"
    meter = Multimeter("volts", black="X8.lug", red="X7.block")
    assert meter.read(healthy).value < 0.1 < 1.2 < meter.read(now).value


def test_a_24_volt_machine_takes_a_24_volt_lamp():
    def shown(battery, **lamp):
        now = bench(circuit(source("G1", 0, 1, battery), resistor("R1", 1, 0, 1e3)))
        return TestLamp(clip=at(0), tip=at(1), **lamp).read(now).shown

    assert shown(25.2, volts=24) == "bright"
    assert shown(12.6, volts=24) == "dim"
    assert shown(12.6) == "bright"


# --- trade.md point 5: the meter and its ranges


def test_a_voltage_drop_is_one_reading_across_a_part_under_load():
    now = BIKE.operate(Fault(id="X1 loose", part="X1", edit=Ohms(ohms=0.02)), **CRANKING)
    one = Multimeter("volts", black="X1.clamp", red="G1.+").read(now).value
    two = volts("G1.-", "G1.+", now) - volts("G1.-", "X1.clamp", now)
    assert one == pytest.approx(two, abs=0.011)
    assert one == pytest.approx(abs(now.amps["X1"]) * 0.0203, abs=0.01)
    drop = Multimeter("millivolts", black="X4.lug", red="K1.87").read(now)
    assert drop.value == pytest.approx(abs(now.amps["X4"]) * 0.3e-3, abs=6e-5)
    assert drop.shown.endswith(" mV")


def test_ghost_volts():
    # Workshop: 50 kohm of green salt passes the meter's microamp and an LED's, not a filament's quarter amp.
    salt = Fault(id="F2 salt", part="F2", edit=Ohms(ohms=50e3))
    now = BIKE.operate(salt, key="on", stop_switch="stop", gear="first")
    assert volts("G1.-", "F2.2", now) == pytest.approx(12.6, abs=0.1)
    assert TestLamp(clip="G1.-", tip="F2.2").read(now).shown == "out"
    assert TestLamp(clip="G1.-", tip="F2.2", watts=21).read(now).shown == "out"
    assert LedLamp(clip="G1.-", tip="F2.2").read(now).shown == "red"


def test_ohms_see_every_way_round():
    # Workshop: in circuit an open lamp is not seen: the control unit (12.8 V, 0.4 A: 32 ohm) lies beside it, and in
    # neutral the cold neutral lamp as well (13.5²/3/13 ohm). Unplugged, it shows.
    fuse_out = Fault(id="F3 out", part="F3", edit=Open())
    meter = Multimeter("ohms", black="E1.2", red="E1.1", null=0.2)
    assert meter.read(BIKE.operate("E1 open", key="off", gear="first")).value == pytest.approx(32, abs=0.2)
    both = 1 / (1 / 32 + 13 * 3 / 13.5**2)
    assert meter.read(BIKE.operate("E1 open", key="off")).value == pytest.approx(both, abs=0.2)
    assert meter.read(BIKE.operate("E1 open", fuse_out, key="off")).shown == "OL"
    # And a sound filament, measured alone, has a thirteenth of its hot ohms.
    assert meter.read(BIKE.operate(fuse_out, key="off")).value == pytest.approx(13.5**2 / 55 / 13, abs=0.06)


def test_an_ammeter_across_a_battery_blows_its_own_fuse():
    now = BIKE.operate(key="off")
    first = Multimeter("amps", black="G1.-", red="G1.+").read(now)
    assert first.meter_fuse_blown and first.shown == "0.000 A"
    # Afterwards it shows nothing anywhere, and does not say why; the head lamp it stands in for stays out.
    head = BIKE.operate(Fault(id="F3 out", part="F3", edit=Open()), key="on")
    good, gone = (
        Multimeter("amps", black="F3.2", red="F3.1", fuse_blown=blown) for blown in (False, first.meter_fuse_blown)
    )
    assert good.read(head).value == pytest.approx(55 / 13.5, rel=0.06) and not good.read(head).meter_fuse_blown
    assert good.put_on(head).word("E1") == "lit"
    assert gone.read(head).value == 0 and gone.read(head).meter_fuse_blown
    assert gone.put_on(head).word("E1") == "out"
    # On volts the same meter is as good as ever.
    assert Multimeter("volts", black="G1.-", red="G1.+", fuse_blown=True).read(now).shown == "12.80 V"


def test_the_clamp_and_the_series_meter_agree_but_for_what_the_meter_takes():
    now = BIKE.operate(key="on")
    clamp = ClampMeter(wire="W19", jaw="small").read(now)
    meter = Multimeter("amps", black="F3.2", red="F3.1").read(
        BIKE.operate(Fault(id="F3 out", part="F3", edit=Open()), key="on"))
    assert clamp.value == pytest.approx(now.amps["W19"], abs=0.0101)
    assert 0 < now.amps["W19"] - meter.value < 0.1
    assert ClampMeter(wire="W9").read(BIKE.operate(**CRANKING)).value == pytest.approx(90, abs=1)


# --- trade.md point 12: half the cold cranking amps, from 12.4 V up, with a tester of the right size


def starting_battery(**figures) -> Operation:
    """A 12 V 75 Ah flooded battery of 600 A cold cranking amps, 7 milliohm."""
    figures = {"volts": 12.6, "ohms": 0.007, **figures}
    return bench(circuit(source("G1", 0, 1, **figures), resistor("R9", 1, 0, 1e6)))


@pytest.mark.parametrize(
    ("figures", "tester", "verdict"),
    [
        ({}, {}, "holds"),
        ({"volts": 12.6, "ohms": 0.015}, {}, "fails"),
        # Half charged and sound: it would fail, and that proves nothing.
        ({"volts": 12.2, "ohms": 0.0105}, {}, "charge it first"),
        ({}, {"largest_amps": 125}, "tester too small"),
        # A fixed load made for cars turns down a good small battery.
        ({"volts": 12.8, "ohms": 0.020}, {"cca": 150, "amps": 200}, "tester too big"),
        ({"volts": 12.8, "ohms": 0.020}, {"cca": 150}, "holds"),
        ({"volts": 12.6, "ohms": 0.5}, {}, "fails"),
    ],
)
def test_the_load_test(figures, tester, verdict):
    now = starting_battery(**figures)
    tester = LoadTester(minus=at(0), plus=at(1), **{"cca": 600, **tester})
    loaded = tester.put_on(now)
    amps = loaded.solution.amps["load tester"]
    source_volts, ohms = figures.get("volts", 12.6), figures.get("ohms", 0.007)
    assert loaded.solution.across["load tester"] == pytest.approx(source_volts - amps * ohms, abs=2e-3)
    if ohms < 0.02:
        assert amps == pytest.approx(tester.load_amps, rel=2e-3)
    assert judge(
        rest_volts=volts(at(0), at(1), now), volts=tester.read(now).value, amps=amps, cca=tester.cca, celsius=21.2
    ) == verdict


def test_no_gravity_on_a_sealed_battery():
    battery = Battery(id="G1", title="battery", volts=12.8, ohms=0.02, build="AGM")
    reading = Hydrometer(battery="G1").read(bench(Circuit(parts=(battery,), reference=battery.terminals[1])))
    assert reading.value is None and reading.shown.startswith("sealed")


# --- the fused jumper


def test_a_jumper_stands_in_for_a_switch_and_its_fuse_guards_a_short():
    asked = BIKE.operate("S3 stuck open", **CRANKING)
    jumper = FusedJumper(start="S3.1", end="S3.2")
    assert asked.word("M1") == "still" and jumper.put_on(asked).word("M1") == "cranks"
    assert jumper.read(asked).shown == "fuse holds"
    across_the_posts = FusedJumper(start="G1.+", end="G1.-")
    assert across_the_posts.read(asked).shown == "fuse melts"
    # It guards the machine's own bigger fuse: only the jumper's melts.
    shorted = BIKE.operate("S1 stuck open", "W3 shorted to ground", key="on")
    bridged = FusedJumper(start="S1.1", end="S1.2").put_on(shorted)
    assert bridged.state.melted == {"jumper fuse"}


def test_a_lamp_in_place_of_a_fuse_lights_on_a_short():
    # Workshop: 21 W in the fuse's place; bright while the short is there, and nothing burns.
    shorted = BIKE.operate("W3 shorted to ground", Fault(id="F1 out", part="F1", edit=Open()), key="on")
    assert TestLamp(clip="F1.2", tip="F1.1", watts=21).read(shorted).shown == "bright"
    assert put_on(shorted, TestLamp(clip="F1.2", tip="F1.1", watts=21).body()).state.melted == frozenset()


def test_a_lamp_on_a_blown_fuse_does_not_melt_another():
    # A 55 W filament takes 50 A in its first milliseconds and 4 A after: no 10 A fuse melts of that.
    fuse = Fuse(id="F1", title="fuse", amps=10.0, ohms=5e-3)
    now = bench(circuit(source("G1", 0, 1, 12.6, ohms=0.02), between(fuse, 1, 2)))
    lamp = TestLamp(clip=at(0), tip=at(2), watts=55)
    struck = settle(attach(now.circuit, *cold(lamp.body())))
    assert struck.state.melted == {"F1"}  # were it to stay cold
    assert lamp.put_on(now).state.melted == frozenset() and lamp.read(now).shown == "bright"


@pytest.mark.parametrize(("battery_ohms", "relay"), [(0.02, "pulled in"), (0.2, "at rest")])
def test_the_inrush_shakes_out_a_relay_that_barely_holds_but_melts_no_fuse_under_it(battery_ohms, relay):
    # A relay that history has pulled in (14 V) holds down to 8 V. A cold 55 W lamp, 0.25 ohm, pulls a stiff battery to
    # 11.7 V, a weak one to 7 V: there it lets go, and the warm lamp's 11.8 V does not bring it back.
    coil = Relay(id="K1", title="relay", coil_ohms=40.0, pull_in_volts=14.0, drop_out_volts=8.0, contact_ohms=1e-3)
    fuse = Fuse(id="F1", title="fuse", amps=10.0, ohms=1e-4)
    plus = Joint(id="X1", title="joint", start=node(2), end=coil.terminals[3], ohms=1e-6)
    minus = Joint(id="X2", title="joint", start=coil.terminals[2], end=node(0), ohms=1e-6)
    built = circuit(source("G1", 0, 1, 12.6, ohms=battery_ohms), between(fuse, 1, 2), [coil, plus, minus])
    held = operate(replace(BIKE, circuit=built, controls={}, faults={}), {}, (), State(closed=frozenset({"K1"})))
    assert held.relays["K1"] == "pulled in"
    lit = TestLamp(clip=at(0), tip=at(2), watts=55).put_on(held)
    assert lit.relays["K1"] == relay and lit.state.melted == frozenset()


def test_the_meters_filament_is_the_lamps():
    # One law for the machine's lamps and the test lamp: the same volts, the same amps.
    lamp = Lamp(id="E1", title="lamp", watts=3.0, volts=13.5)
    body = TestLamp(clip=at(0), tip=at(1)).body()
    now = put_on(bench(circuit(source("G1", 0, 1, 12.0), between(lamp, 1, 0))), body)
    assert now.amps["test lamp"] == pytest.approx(now.amps["E1"], rel=1e-5)


def test_a_weak_battery_reads_well_until_it_is_asked():
    # Workshop: sulphated, it shows 12.8 V at rest; half of its 150 A tells.
    rest = BIKE.operate("G1 sulphated", key="off")
    tester = LoadTester(minus="G1.-", plus="G1.+", cca=150)
    assert volts("G1.-", "G1.+", rest) == pytest.approx(12.8, abs=0.05)
    assert tester.read(rest).value < 9.6 < tester.read(BIKE.operate(key="off")).value
    worn = Fault(id="G1 worn", part="G1", edit=Change(field="ohms", value=0.06))
    assert tester.read(BIKE.operate(worn, key="off")).value == pytest.approx(12.8 - 75 * 0.06, abs=0.05)
