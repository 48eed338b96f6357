"""Parts against published figures; the source stands beside each. What is common practice or from memory says so."""

import math
from dataclasses import replace
from itertools import pairwise

import pytest
from networks import between, circuit, node, resistor, source

from kit.circuit import Battery, FuelSolenoid, Fuse, GlowPlug, Joint, Lamp, Motor, Relay, StarterSolenoid, Wire
from kit.circuit.conductors import winding_share
from kit.solve import settle
from kit.solve.battery import cell_gravities, cranking_power, inner_ohms, rest_volts
from kit.solve.time import run


def battery(**figures: float) -> Battery:
    return Battery(**{"id": "G1", "title": "battery", "volts": 12.6, "ohms": 0.02, **figures})


def wire(mm2: float, metres: float, celsius: float = 20.0) -> Wire:
    return Wire(
        id="W1", title="w", start=node(0), end=node(1), mm2=mm2, metres=metres, colour="RD", celsius=celsius
    )


# --- battery

@pytest.mark.parametrize(("charge", "volts"), [(0.0, 11.7), (0.25, 12.0), (0.5, 12.2), (0.75, 12.4), (1.0, 12.6)])
def test_open_circuit_volts_by_charge(charge, volts):
    # US Army TM 5-3805-262-20.
    assert rest_volts(battery(charge=charge)) == pytest.approx(volts, abs=1e-9)


def test_a_24_volt_battery_is_two_of_12():
    # The same table, twice (TM 5-3805-262-20).
    assert rest_volts(battery(volts=25.2, charge=0.5)) == pytest.approx(24.4, abs=1e-9)


@pytest.mark.parametrize(("fahrenheit", "low", "high"), [(80, 0.999, 1.001), (32, 0.66, 0.67), (0, 0.3, 0.5)])
def test_cranking_power_lost_in_the_cold(fahrenheit, low, high):
    # TB 43-PS-696: a third lost at 32 °F, less than half left at 0 °F. Power into the best load is volts²/(4·ohms).
    celsius = (fahrenheit - 32) / 1.8
    cold, warm = battery(celsius=celsius), battery(celsius=80 / 1.8 - 32 / 1.8)
    assert low <= inner_ohms(warm) / inner_ohms(cold) * (rest_volts(cold) / rest_volts(warm)) ** 2 <= high
    assert low <= cranking_power(celsius) <= high


def test_ohms_only_grow_as_it_gets_colder_emptier_and_older():
    for name, values in (("celsius", range(60, -41, -5)), ("charge", [k / 20 for k in range(20, -1, -1)]),
                         ("aged", (0.0, 0.2, 1.0)), ("dead_cells", (0, 1, 2))):
        ohms = [inner_ohms(battery(**{name: float(value)})) for value in values]
        assert all(a < b for a, b in pairwise(ohms)), name
    assert inner_ohms(battery()) == 0.02 and rest_volts(battery()) == 12.6


def test_gravity_follows_from_the_cell_and_a_dead_cell_stands_out():
    # Gravity = cell volts − 0.845: DOE-HDBK-1084-95. A spread over 0.025 is unserviceable: TM 9-6140-200-14.
    assert cell_gravities(battery())[0] == pytest.approx(2.1 - 0.845)
    assert max(cell_gravities(battery())) - min(cell_gravities(battery())) == 0
    dead = cell_gravities(battery(dead_cells=1.0))
    assert len(dead) == 6 and max(dead) - min(dead) > 0.025


def test_a_dead_cell_leaves_ten_and_a_half_volts():
    # Common practice: "10.5 V, and a clunk".
    assert rest_volts(battery(dead_cells=1.0)) == pytest.approx(10.5)


@pytest.mark.parametrize(
    ("volts", "ohms", "load", "amps", "terminal", "watts"),
    [
        # OpenStax University Physics, EMF.
        (12.0, 0.100, 10.0, 1.188, 11.88, None), (12.0, 0.100, 0.5, 20.0, 10.00, 200.0),
        (12.0, 0.5, 0.5, 12.0, 6.00, 72.0),
        # Kuphaldt, Lessons in Electric Circuits vol. I, batteries (the short through a micro-ohm).
        (10.0, 0.2, 1.0, 8.333, 8.333, None), (10.0, 0.2, 1e-6, 50.0, 0.0, None),
    ],
)
def test_a_battery_under_load(volts, ohms, load, amps, terminal, watts):
    solution = settle(circuit(source("G1", 0, 1, volts, ohms), resistor("R1", 1, 0, load)))
    assert solution.amps["R1"] == pytest.approx(amps, rel=1e-3)
    assert solution.volts["N1.t"] == pytest.approx(terminal, rel=1e-3, abs=1e-3)
    if watts:
        assert solution.amps["R1"] ** 2 * load == pytest.approx(watts, rel=1e-3)


# --- conductors

@pytest.mark.parametrize(("celsius", "factor"), [(5, 1.064), (30, 0.962), (40, 0.926), (60, 0.862)])
def test_correction_to_20_degrees(celsius, factor):
    # IEC 60228 annex: ohms measured at a temperature, times this, are those at 20 °C. Its table uses 250/(230 + t), the
    # kit copper's 0.00393 a kelvin (NBS Handbook 100): 0.3 % apart at the most.
    assert wire(16, 1.0, celsius).ohms * factor == pytest.approx(wire(16, 1.0).ohms, rel=3e-3)
    joint = Joint(id="X1", title="x", start=node(0), end=node(1), ohms=0.001, celsius=celsius)
    assert joint.warm_ohms * factor == pytest.approx(0.001, rel=3e-3)


@pytest.mark.parametrize(
    ("awg_ohms", "mm2_exact", "mm2"), [(0.9988, 5.261, 4), (2.525, 2.081, 1.5), (6.385, 0.8231, 0.75)]
)
def test_class_5_strands_are_a_little_worse_than_solid_copper(awg_ohms, mm2_exact, mm2):
    # NBS Handbook 100: ohms of 1,000 ft (304.8 m) of AWG 10, 14, 18 of solid annealed copper; IEC 60228 allows class 5
    # up to a sixth more a mm² of nominal cross-section.
    solid = awg_ohms / 304.8 * mm2_exact
    assert solid == pytest.approx(0.017241, rel=2e-3)
    assert 1.0 < wire(mm2, 1.0).ohms * mm2 / solid < 1.17


def test_cable_drop_of_a_fifth_of_a_volt_at_a_hundred_amps():
    # US Army TM 10-3930-671-24: 0.20 V per 100 A of cable at the most; a bike's two 0.6 m of 16 mm² keep it.
    assert 100 * wire(16, 1.2).ohms < 0.20 < 100 * wire(6, 1.2).ohms


# --- relay

def coil(**figures: float) -> Relay:
    return Relay(**{"id": "K1", "title": "relay", "coil_ohms": 320 / winding_share(25), "pull_in_volts": 14.7,
                    "drop_out_volts": 6.0, "contact_ohms": 1e-3, **figures})


def test_a_coil_of_320_ohm_at_25_degrees_has_443_at_125_and_wants_as_much_more():
    # R2/R1 = (234.5 + T2)/(234.5 + T1): copper.
    cold, hot = coil(celsius=25.0), coil(celsius=125.0)
    assert cold.winding_ohms == pytest.approx(320.0)
    assert hot.winding_ohms == pytest.approx(443.3, abs=0.05)
    wants = [relay.pull_in_amps * relay.winding_ohms for relay in (cold, hot)]
    assert wants[1] / wants[0] == pytest.approx(443.3 / 320, rel=1e-4)


def pulled_in(volts: float, **figures: float) -> bool:
    relay = coil(**figures)
    feed = Joint(id="f", title="f", start=node(1), end=relay.terminals[3], ohms=1e-3)
    back = Joint(id="b", title="b", start=relay.terminals[2], end=node(0), ohms=1e-3)
    return bool(settle(circuit(source("G1", 0, 1, volts), [relay, feed, back])).state.closed)


def test_a_hot_coil_does_not_pull_in_where_a_cold_one_does():
    # Pull-in volts scale with the ohms: 15.0 V at 25 °C, 20.8 V at 125 °C.
    assert pulled_in(15.1, celsius=25.0) and not pulled_in(20.5, celsius=125.0) and pulled_in(21.0, celsius=125.0)


@pytest.mark.parametrize(("kind", "places"), [(StarterSolenoid, (1, 3, 2)), (FuelSolenoid, (0, 1, 1))])
def test_the_windings_of_a_hot_solenoid_have_more_ohms_and_want_more_volts(kind, places):
    # Copper: 0.00393 a kelvin at 20 °C (NBS Handbook 100), so 1.157 times at 60 °C. Pull-in is a matter of amps.
    grown = 1 + 0.00393 * (60 - 20)
    part = kind(id="K1", title="solenoid", pull_ohms=0.4, hold_ohms=1.2, pull_in_volts=7, drop_out_volts=2.5,
                contact_ohms=1e-5)
    hot = replace(part, celsius=60.0)
    feed, body, through = (part.terminals[place] for place in places)

    def solved(solenoid, volts):
        joints = [Joint(id=name, title=name, start=start, end=end, ohms=1e-5) for name, start, end in (
            ("f", node(1), feed), ("g", body, node(0)), ("m", through, node(0)))]
        return settle(circuit(source("G1", 0, 1, volts), [solenoid, *joints]))

    cold_amps, hot_amps = (solved(each, 3.0).amps for each in (part, hot))
    for winding, ohms in (("K1.pull", 0.4), ("K1.hold", 1.2)):
        assert cold_amps[winding] == pytest.approx(3.0 / ohms, rel=2e-3)
        assert cold_amps[winding] / hot_amps[winding] == pytest.approx(grown, rel=1e-3)
    assert "K1" in solved(part, 7.1).state.closed and "K1" not in solved(hot, 7 * grown - 0.1).state.closed
    assert "K1" in solved(hot, 7 * grown + 0.1).state.closed


def test_half_the_turns_draw_twice_the_amps_and_pull_no_better():
    # Ampere-turns: half the turns have half the ohms, so at the same volts twice the amps, and the same pull.
    assert pulled_in(14.8) == pulled_in(14.8, turns=0.5)
    assert pulled_in(14.6) == pulled_in(14.6, turns=0.5)
    assert coil(turns=0.5).winding_ohms == pytest.approx(coil().winding_ohms / 2)


def test_a_12_volt_relay_and_a_24_volt_one():
    # Common practice: pull-in at 8 V or less, drop-out about 1.2 V or more; twice that at 24 V.
    assert pulled_in(16.0) and not pulled_in(5.0)


# --- lamps, plugs, motors

def lamp_amps(volts: float, watts: float = 21.0) -> float:
    lamp = Lamp(id="E1", title="lamp", watts=watts, volts=13.5)
    return settle(circuit(source("G1", 0, 1, volts), between(lamp, 1, 0))).amps["E1"]


def test_lamp_rerating():
    # Fink & Beaty, Standard Handbook for Electrical Engineers, 1978: I ∝ V^0.55, P ∝ V^1.6 (its own rounding of 1.55).
    low, high = lamp_amps(10.8), lamp_amps(13.5)
    assert math.log(high / low) / math.log(13.5 / 10.8) == pytest.approx(0.55, abs=0.005)
    assert math.log(high * 13.5 / (low * 10.8)) / math.log(13.5 / 10.8) == pytest.approx(1.6, abs=0.06)
    assert high * 13.5 == pytest.approx(21.0, rel=1e-3)


def test_a_cold_filament_has_a_thirteenth():
    # CRC wire tables give 5.28 µΩ·cm at 20 °C; a 2,500 °C filament about 13 times as much (common practice).
    assert 13.5**2 / 21 / (0.001 / lamp_amps(0.001)) == pytest.approx(13, rel=0.01)


def plug(volts: float) -> float:
    part = GlowPlug(id="E5", title="plug", cold_ohms=0.45, hot_ohms=1.1, volts=11.0)
    return settle(circuit(source("G1", 0, 1, volts), between(part, 1, 0))).amps["E5"]


def test_three_glow_plugs_take_75_amps_falling_to_30():
    # trade.md's values (common practice): 0.45 ohm cold, 1.1 hot, three of them 75 A falling to 30.
    assert 3 * plug(0.01) * 11.25 / 0.01 == pytest.approx(75, rel=0.01)
    assert 3 * plug(11.0) == pytest.approx(30, rel=0.01)


def test_a_series_motor_of_120_volts():
    # OpenStax University Physics: 120 V, 2.0 ohm. 10 A: back-EMF 100 V, 1.0 kW out, 200 W lost; 20 A: 80 V, 1.6 kW,
    # 800 W.
    for amps, emf, out, lost in ((10.0, 100.0, 1000.0, 200.0), (20.0, 80.0, 1600.0, 800.0)):
        motor = Motor(id="M1", title="motor", ohms=2.0, load_amps=amps, drag=1e-9, cranking_emf=emf)
        solution = settle(circuit(source("G1", 0, 1, 120.0), between(motor, 1, 0)))
        taken = solution.amps["M1"]
        assert taken == pytest.approx(amps, rel=1e-3)
        assert 120 - 2.0 * taken == pytest.approx(emf, rel=1e-3)
        assert (solution.speeds["M1"] * emf * taken, taken**2 * 2.0) == pytest.approx((out, lost), rel=1e-3)


# --- the six machines' cranking circuits (trade.md's values and what it computes from them; common practice)

CRANKING = {
    # volts, battery, cable and contacts, motor (ohms); amps cranking and stalled; battery volts cranking and stalled
    "orchard-bike": (12.8, 0.020, 0.005, 0.038, 90, 200, 10.9, 8.7),
    "ride-on-mower": (12.7, 0.014, 0.004, 0.030, 100, 265, 11.3, 9.0),
    "harbour-tender": (12.6, 0.007, 0.0035, 0.012, 200, 560, 11.3, 8.7),
    "site-generator": (12.7, 0.006, 0.002, 0.012, 220, 635, 11.4, 8.9),
    "compact-loader": (25.4, 0.010, 0.0028, 0.016, 280, 880, 22.6, 16.6),
}


@pytest.mark.parametrize("name", CRANKING)
def test_crank_and_stall_of_each_machine(name):
    volts, inside, cable, winding, crank, stall, crank_volts, stall_volts = CRANKING[name]
    emf = volts - crank * (inside + cable + winding)
    for load, amps, left in ((crank, crank, crank_volts), (100 * crank, stall, stall_volts)):
        motor = Motor(id="M1", title="starter", ohms=winding, load_amps=load * 0.995, drag=0.005 * load / emf,
                      cranking_emf=emf)
        parts = circuit(source("G1", 0, 1, volts, inside), resistor("W1", 1, 2, cable), between(motor, 2, 0))
        solution = settle(parts)
        assert solution.amps["M1"] == pytest.approx(amps, rel=0.05)
        assert solution.volts["N1.t"] == pytest.approx(left, rel=0.05)
        assert solution.speeds["M1"] == pytest.approx(1.0 if load == crank else 0.0, abs=0.01)


@pytest.mark.parametrize(("watts", "volts"), [(21.0, 10.4), (5.0, 7.2), (3.0, 5.7)])
def test_the_coil_behind_a_lamp(watts, volts):
    # trade.md, point 3: through 4 ohm of coil and 0.15 of wiring at 12.6 V, the lamp still cold, as it is in the first
    # tenth of a millisecond. Hot it gives the coil less.
    lamp = Lamp(id="E1", title="lamp", watts=watts, volts=13.5)
    wiring = [*resistor("W1", 2, 3, 0.15), *resistor("K1", 3, 0, 4.0)]
    parts = circuit(source("G1", 0, 1, 12.6), between(lamp, 1, 2), wiring)
    coil = run(parts, [(0.0, ())], 2.0).volts("N3.t")
    assert coil[0] == pytest.approx(volts, rel=0.05)
    assert coil[-1] == pytest.approx(settle(parts).volts["N3.t"], rel=1e-3)
    assert coil[-1] < coil[0]


def test_a_fuse_is_rated_not_its_wire():
    # Blade fuse at 110 % holds for hours (ISO 8820-3, from memory): nothing melts within an operation.
    fuse = Fuse(id="F1", title="fuse", amps=10.0, ohms=0.008)
    for load, melts in ((12.0 / 11.0, False), (12.0 / 25.0, True)):
        solution = settle(circuit(source("G1", 0, 1, 12.0), between(fuse, 1, 2), resistor("R1", 2, 0, load)))
        assert (solution.state.melted == {"F1"}) is melts
