"""Parts as a person beside a machine meets them: solenoids, control unit, LED, charge, intermittents, warm joints.

Small boards written as machine files, so that loader, catalogue, solver and notices are all in it (common practice).
"""

import numpy as np
import pytest

import kit
from kit.circuit import Change, Fault, When
from kit.diagnose.suspects import suspects
from kit.errors import FaultError, MachineFileError, OperationError
from kit.machines.loader import machine_from_text
from kit.solve import Outcome, settle
from kit.solve.sweep import sweep
from kit.solve.time import run

HEAD = """\
machine: test-board
title: Test board
volts: 12 V
reference: G1.-
parts:
  G1: {kind: battery, title: battery, volts: 12.7 V, ohms: 6 mohm, build: flooded, charge: 100 %, celsius: 20 °C}
  S1: {kind: switch, title: switch, ohms: 10 mohm}
"""
TAIL = """
stages:
  board: {about: All of it., parts: [%s]}
controls:
  switch: {title: switch, positions: [off, on], closes: {on: [S1]}}%s
truth: []
points: {}
"""


def board(parts: str, controls: str = "", head: str = HEAD):
    ids = [line.split(":")[0].strip() for line in (head.split("parts:\n")[1] + parts).splitlines() if line.strip()]
    return machine_from_text(head + parts + TAIL % (", ".join(ids), controls), "board.yaml")


def wire(name: str, start: str, end: str, mm2: str = "1") -> str:
    return f"  {name}: {{kind: wire, title: w, from: {start}, to: {end}, mm2: {mm2} mm2, metres: 0.5 m, colour: RD}}\n"


STARTER = board(
    "  K9: {kind: starter solenoid, title: starter solenoid, pull_ohms: 0.4 ohm, hold_ohms: 1.2 ohm, "
    "pull_in_volts: 7 V, drop_out_volts: 3 V, contact_ohms: 0.3 mohm}\n"
    "  M1: {kind: motor, title: starter motor, ohms: 12 mohm, load_amps: 219 A, drag: 0.5 A/V, cranking_emf: 8 V}\n"
    "  X9: {kind: joint, title: body, from: K9.body, to: G1.-, ohms: 0.1 mohm}\n"
    "  X8: {kind: joint, title: strap, from: M1.body, to: G1.-, ohms: 0.1 mohm}\n"
    "  X7: {kind: joint, title: link, from: K9.M, to: M1.stud, ohms: 0.1 mohm}\n"
    + wire("W1", "G1.+", "S1.1", "4") + wire("W2", "S1.2", "K9.50", "4") + wire("W3", "G1.+", "K9.30", "50")
)


def test_a_starter_solenoid_pulls_with_two_coils_and_holds_with_one():
    now = STARTER.operate(switch="on")
    assert (now.relays["K9"], now.word("M1")) == ("pulled in", "cranks")
    assert now.amps["K9.hold"] > 9 and abs(now.amps["K9.pull"]) < 1  # its contact has shorted the pull coil
    off = now.then(switch="off")
    # The two coils now lie in series between M and the body and pull against each other.
    assert (off.relays["K9"], off.word("M1"), off.amps["M1"]) == ("at rest", "still", 0.0)


@pytest.mark.parametrize(
    ("fault", "solenoid", "motor"),
    [
        ("K9 hold coil open", "chatters", "twitches"), ("K9 pull coil open", "at rest", "still"),
        ("M1 open", "at rest", "still"), ("K9 contacts open", "pulled in", "still"),
        ("K9 contacts welded", "at rest", "cranks"), ("K9 pulls in weakly", "at rest", "still"),
    ],
)
def test_what_a_starter_solenoid_does_wrong(fault, solenoid, motor):
    now = STARTER.operate(fault, switch="on")
    if fault == "K9 contacts welded":
        # Welded, it cranks with the switch off; pressed, the pull coil is shorted and the hold coil alone is too weak.
        assert STARTER.operate(fault, switch="off").word("M1") == "cranks"
    assert (now.relays["K9"], now.word("M1")) == (solenoid, motor)


def test_a_hold_coil_that_is_open_clatters_and_the_battery_is_well():
    now = STARTER.operate("K9 hold coil open", switch="on")
    assert now.solution.outcome is Outcome.CHATTERS
    assert now.solution.other_swing.volts["G1.+"] > 12.4
    course = run(now.circuit, [(0.1, ["S1"])], 1.0)
    assert 5 <= course.count("K9", "lets go") <= 30
    assert run(STARTER.circuit, [(0.1, ["S1"])], 1.0).count("K9", "lets go") == 0


FUEL = board(
    "  F1: {kind: fuse, title: fuel fuse, amps: 15 A, ohms: 5 mohm}\n"
    "  Y1: {kind: fuel solenoid, title: fuel solenoid, pull_ohms: 0.35 ohm, hold_ohms: 13 ohm, pull_in_volts: 7 V, "
    "drop_out_volts: 3 V}\n"
    "  X9: {kind: joint, title: body, from: Y1.body, to: G1.-, ohms: 0.1 mohm}\n"
    + wire("W1", "G1.+", "F1.1", "4") + wire("W2", "F1.2", "S1.1", "4") + wire("W3", "S1.2", "Y1.feed", "4")
)


def test_a_fuel_solenoid_takes_35_amps_for_a_moment_and_then_one():
    now = FUEL.operate(switch="on")
    assert now.relays["Y1"] == "pulled in" and 0.9 < now.amps["F1"] < 1.0 and not now.state.melted
    course = run(FUEL.circuit, [(0.1, ["S1"])], 2.0)
    assert 30 < max(course.amps("F1")) < 36 and course.count("F1", "melts") == 0
    # "35 A, under 1 s": over within the moment the plunger takes.
    assert sum(amps > 10 for amps in course.amps("F1")) and course.amps("F1")[-1] < 1.0
    assert now.then(switch="off").relays["Y1"] == "at rest"


def test_a_pull_coil_that_stays_on_blows_its_fuse_and_an_open_hold_coil_lets_go():
    assert FUEL.operate("Y1 pull coil stays on", switch="on").state.melted == {"F1"}
    assert FUEL.operate("Y1 hold coil open", switch="on").relays["Y1"] == "chatters"
    assert FUEL.operate("Y1 pull coil open", switch="on").relays["Y1"] == "at rest"
    stuck = run(FUEL.circuit.plant(FUEL.fault("Y1 pull coil stays on")), [(0.1, ["S1"])], 5.0)
    assert stuck.count("F1", "melts") == 1


UNIT = board(
    "  S2: {kind: switch, title: neutral switch, ohms: 10 mohm}\n"
    "  S3: {kind: switch, title: start request, ohms: 10 mohm}\n"
    "  A1: {kind: control unit, title: control unit, volts: 12.8 V, amps: 0.6 A, inputs: [neutral, request], "
    "outputs: {start: [neutral, request], awake: []}, panel: panel}\n"
    "  K1: {kind: relay, title: start relay, coil_ohms: 85 ohm, pull_in_volts: 7 V, drop_out_volts: 3 V, "
    "contact_ohms: 2 mohm}\n"
    "  P1: {kind: LED, title: ready light, volts: 12 V, amps: 15 mA}\n"
    + wire("W1", "G1.+", "S1.1") + wire("W2", "S1.2", "A1.supply") + wire("W3", "A1.ground", "G1.-")
    + wire("W4", "A1.neutral", "S2.1") + wire("W5", "S2.2", "G1.-") + wire("W6", "A1.request", "S3.1")
    + wire("W7", "S3.2", "G1.-") + wire("W8", "S1.2", "K1.86") + wire("W9", "K1.85", "A1.start")
    + wire("W10", "S1.2", "P1.A") + wire("W11", "P1.K", "A1.awake"),
    "\n  gear: {title: gear, positions: [first, neutral], closes: {neutral: [S2]}}"
    "\n  request: {title: request, positions: [off, on], closes: {on: [S3]}}",
)


@pytest.mark.parametrize("gear", ["first", "neutral"])
@pytest.mark.parametrize("request_", ["off", "on"])
@pytest.mark.parametrize("switch", ["off", "on"])
def test_a_control_unit_drives_what_its_inputs_allow(switch, gear, request_):
    now = UNIT.operate(switch=switch, gear=gear, request=request_)
    on = switch == "on"
    assert (now.relays["K1"] == "pulled in") is (on and gear == "neutral" and request_ == "on")
    assert (now.word("A1"), now.word("P1")) == (("awake", "lit") if on else ("asleep", "out"))
    if on:
        # A meter at an input: battery volts while it is open, nothing while it is grounded.
        read = kit.Multimeter("volts", black="G1.-", red="A1.neutral").read(now).value
        assert read == pytest.approx(12.6 if gear == "first" else 0.0, abs=0.15)


@pytest.mark.parametrize(
    "fault",
    ["W4 open", "A1 input neutral dead", "A1 output start dead", "A1 dead", "W3 open", "W9 open", "K1 coil open"],
)
def test_what_keeps_a_control_unit_from_starting(fault):
    assert UNIT.operate(fault, switch="on", gear="neutral", request="on").relays["K1"] == "at rest"


def test_an_output_stuck_on_asks_for_nothing():
    assert UNIT.operate("A1 output start stuck on", switch="on").relays["K1"] == "pulled in"


def test_a_control_unit_with_a_poor_ground_resets_when_its_relay_draws():
    """ "Panel reboots": the unit's ground carries the relay's current too, and lifts its own ground pin."""
    ground = Fault(id="W3 poor", part="W3", edit=UNIT.fault("W3 high resistance 5 ohm").edit)
    heavy = Fault(id="K1 heavy", part="K1", edit=Change(field="coil_ohms", value=6.0))
    sound = UNIT.operate(heavy, switch="on", gear="neutral", request="on")
    assert (sound.word("A1"), sound.relays["K1"]) == ("awake", "pulled in")
    now = UNIT.operate(ground, heavy, switch="on", gear="neutral", request="on")
    assert now.word("A1") == "resets"
    assert any(notice.text == "The panel goes dark and starts again." for notice in now.noticed)
    course = run(now.circuit, [(0.0, ["S1", "S2", "S3"])], 3.0)
    assert 2 <= course.count("A1", "lets go") <= 12  # it takes a third of a second to start again


def test_the_bikes_control_unit_resets_while_the_relay_clatters():
    bike = kit.machine("orchard-bike")
    now = bike.operate("G1 sulphated", key="on", start_button="pressed")
    assert now.word("K2") == "resets"
    assert bike.operate(key="on", start_button="pressed").word("K2") == "awake"


RELAY = board(
    "  F1: {kind: fuse, title: fuse, amps: 10 A, ohms: 8 mohm}\n"
    "  K1: {kind: relay, title: relay, coil_ohms: 85 ohm, pull_in_volts: 7 V, drop_out_volts: 3 V, "
    "contact_ohms: 2 mohm, contacts: change-over, suppression: diode}\n"
    "  E1: {kind: lamp, title: work lamp, watts: 21 W, volts: 13.5 V}\n"
    "  E2: {kind: lamp, title: rest lamp, watts: 5 W, volts: 13.5 V}\n"
    + wire("W1", "G1.+", "F1.1") + wire("W2", "F1.2", "S1.1") + wire("W3", "S1.2", "K1.86")
    + wire("W4", "K1.85", "G1.-") + wire("W5", "F1.2", "K1.30") + wire("W6", "K1.87", "E1.1")
    + wire("W7", "K1.87a", "E2.1") + wire("W8", "E1.2", "G1.-") + wire("W9", "E2.2", "G1.-"),
)


def test_a_change_over_contact_feeds_one_or_the_other():
    for switch, words in (("off", ("out", "lit")), ("on", ("lit", "out"))):
        now = RELAY.operate(switch=switch)
        assert (now.word("E1"), now.word("E2")) == words


def test_swapped_coil_wires_are_a_short_through_the_diode():
    """ "New relay, fuse blows"."""
    now = RELAY.operate("K1 85 and 86 swapped", switch="on")
    assert now.state.melted == {"F1"} and now.word("F1") == "melts"
    assert abs(RELAY.operate(switch="on").amps["K1.diode"]) < 1e-6
    assert ("K1 85 and 86 swapped", "F1 blown") in suspects(RELAY)


def test_a_diode_holds_a_relay_in_a_little_longer():
    def lets_go(suppression: str) -> float:
        text = suppression if suppression == "diode" else "none"
        machine = board("  K1: {kind: relay, title: relay, coil_ohms: 85 ohm, pull_in_volts: 7 V, drop_out_volts: 3 V, "
                        f"contact_ohms: 2 mohm, suppression: {text}}}\n" + wire("W1", "G1.+", "S1.1")
                        + wire("W2", "S1.2", "K1.86") + wire("W3", "K1.85", "G1.-") + wire("W4", "G1.+", "K1.30"))
        course = run(machine.circuit, [(0.0, ["S1"]), (0.2, [])], 0.5)
        return next(event.at for event in course.events if event.what == "lets go")

    assert 0.2 < lets_go("none") < lets_go("diode") < 0.25


def test_wrong_spares():
    bike = kit.machine("orchard-bike")
    press = {"key": "on", "start_button": "pressed"}
    assert bike.operate("K1 wrong spare 24 V coil", **press).relays["K1"] == "at rest"
    assert bike.operate("P1 wrong spare 21 W", **press).word("P1") == "glares"
    assert bike.operate("E1 wrong spare 100 W", **press).word("E1") == "glares"
    assert "W9" in {n.part for n in bike.operate("W9 wrong spare 6 mm2", **press).noticed if n.word == "warm"}
    # A short behind a fuse twice too big takes longer to be put out; behind a small one it is over at once.
    assert bike.operate("F2 wrong spare 3 A", "W7 shorted to ground", **press).state.melted == {"F2"}


def test_a_12_volt_relay_on_24_volts_works_and_smells():
    head = HEAD.replace("volts: 12.7 V, ohms: 6 mohm", "volts: 25.4 V, ohms: 10 mohm")
    loader = board("  K1: {kind: relay, title: start relay, coil_ohms: 320 ohm, pull_in_volts: 15 V, "
                   "drop_out_volts: 6 V, contact_ohms: 2 mohm}\n" + wire("W1", "G1.+", "S1.1")
                   + wire("W2", "S1.2", "K1.86")
                   + wire("W3", "K1.85", "G1.-") + wire("W4", "G1.+", "K1.30"), head=head)
    now = loader.operate("K1 wrong spare 12 V coil", switch="on")
    assert now.relays["K1"] == "pulled in" and now.amps["K1.coil"] * 80 == pytest.approx(25.3, abs=0.2)
    assert any("smell" in notice.text for notice in now.noticed)
    assert not any("smell" in notice.text for notice in loader.operate(switch="on").noticed)


# --- batteries on the bike

PRESS = {"key": "on", "start_button": "pressed"}
BIKE = kit.machine("orchard-bike")


def test_a_battery_cranks_as_its_charge_lets_it():
    words = [BIKE.operate(Fault(id="G1 low", part="G1", edit=Change(field="charge", value=charge)), **PRESS).word("M1")
             for charge in (1.0, 0.5, 0.25, 0.0)]
    assert words == ["cranks", "cranks slowly", "cranks slowly", "twitches"]
    assert BIKE.operate("G1 flat", key="on").word("E1") == "lit"
    # The engine in the frost: 20 mohm at 20 °C are half as much again and more at 0 °F.
    frost = [BIKE.operate(Fault(id="G1 cold", part="G1", edit=Change(field="celsius", value=celsius)), **PRESS)
             for celsius in (20.0, 0.0, -17.8)]
    speeds = [now.solution.speeds["M1"] for now in frost]
    assert speeds[0] > 0.98 > speeds[1] > speeds[2] > 0.3


def test_surface_charge_is_gone_once_loaded():
    fresh = board("  E1: {kind: resistor, title: heater, ohms: 1 ohm}\n" + wire("W1", "G1.+", "S1.1")
                  + wire("W2", "S1.2", "E1.1") + wire("W3", "E1.2", "G1.-"),
                  head=HEAD.replace("celsius: 20 °C", "celsius: 20 °C, surface_volts: 0.4 V"))
    before = fresh.operate(switch="off")
    assert before.volts["G1.+"] == pytest.approx(13.1)
    loaded = before.then(switch="on")
    assert loaded.amps["E1"] == pytest.approx(12.3, abs=0.2)
    assert loaded.then(switch="off").volts["G1.+"] == pytest.approx(12.7)


# --- intermittents

@pytest.mark.parametrize(
    ("fault", "hidden", "shown"),
    [("W7 open when wiggled", {}, {"wiggled": ["W7"]}), ("K1 coil open when warm", {}, {"warm": ["K1"]}),
     ("X5 high resistance 0.5 ohm when warm", {"wiggled": ["X5"]}, {"warm": ["X5"]}),
     ("W7 open when wiggled", {"wiggled": ["W6"], "warm": ["W7"]}, {"wiggled": ["W7", "W6"]})],
)
def test_an_intermittent_shows_itself_only_then(fault, hidden, shown):
    assert BIKE.operate(fault, **hidden, **PRESS).word("M1") == "cranks"
    now = BIKE.operate(fault, **shown, **PRESS)
    assert now.word("M1") == "still"
    # Let go of the wire and it is well again; what is warm stays warm.
    assert now.then().word("M1") == ("still" if "warm" in shown else "cranks")
    assert now.then(warm=()).word("M1") == "cranks"


def test_intermittents_are_no_suspects_yet_and_an_instrument_sees_what_the_machine_does():
    intermittent = {fault.id for fault in BIKE.faults.values() if fault.when is not When.ALWAYS}
    assert len(intermittent) == 38
    assert not intermittent & {fault for suspect in suspects(BIKE) for fault in suspect}
    still = BIKE.operate("W7 open when wiggled", **PRESS)
    moved = BIKE.operate("W7 open when wiggled", wiggled=["W7"], **PRESS)
    lamp = kit.TestLamp(clip="G1.-", tip="K1.86")
    assert (lamp.read(still).shown, lamp.read(moved).shown) == ("bright", "out")
    with pytest.raises(OperationError, match="has no part W99 to wiggle or warm"):
        BIKE.operate(wiggled=["W99"])


@pytest.mark.parametrize("celsius", [25, 60])
def test_a_warm_coil_has_more_ohms_and_the_same_amps_pull_it_in(celsius):
    """references.md: R2/R1 = (234.5 + T2)/(234.5 + T1) of copper; hot air makes it about 60 °C (common practice)."""
    loader = kit.machine("compact-loader")
    hot = celsius == 60
    here = loader.operate(warm=["K1"]) if hot else loader.operate(Fault(
        id="K1 at 25", part="K1", edit=Change(field="celsius", value=25.0)))
    shown = kit.Multimeter("ohms", black="K1.85", red="K1.86").read(here).shown
    assert float(shown.removesuffix(" Ω")) == pytest.approx(320 * (234.5 + celsius) / 254.5, abs=1.0)
    # Warm all over, each machine still starts: a healthy one has volts to spare.
    for name in ("orchard-bike", "ride-on-mower", "harbour-tender", "compact-loader", "site-generator") if hot else ():
        machine = kit.machine(name)
        coils = [part.id for part in machine.circuit.parts if part.word == "relay" or "solenoid" in part.word]
        assert machine.start(warm=coils).running
    assert not hot or "K1 warm" not in [fault.id for fault in here.then(warm=()).showing]


def test_nobody_hears_a_relay_whose_contacts_hold_its_armature():
    """Common practice: welded, it is in already; current in its coil moves nothing."""
    sound, welded = BIKE.operate(**PRESS), BIKE.operate("K1 contacts welded", **PRESS)
    assert [[notice.text for notice in now.noticed if notice.part == "K1"] for now in (sound, welded)] == [
        ["The starter relay clicks."], [""],
    ]
    assert welded.relays["K1"] == "pulled in"
    starter = STARTER.operate("K9 contacts welded", switch="on")
    assert "clunks" not in " ".join(notice.text for notice in starter.noticed)


# --- warm, hot, smoke

def felt(fault: str, **positions: str) -> dict[str, str]:
    return {notice.part: notice.word for notice in BIKE.operate(fault, **positions).noticed
            if notice.word in ("warm", "hot", "smokes", "smells")}


def test_nothing_of_a_healthy_bike_is_warm_or_smokes():
    for positions in BIKE.all_positions():
        now = BIKE.operate(**positions)
        assert not {n.word for n in now.noticed} & {"warm", "hot", "smokes", "smells", "glares", "resets"}


def test_no_thick_cable_of_a_sound_diesel_is_felt_to_be_warm():
    # 260 A with the plugs glowing in 50 mm², 26 W a metre for 5 s: one kelvin (copper, 3.45 J/(K cm³), from memory).
    generator = kit.machine("site-generator")
    now = generator.operate(key="start")
    assert now.word("M1") == "cranks" and abs(now.amps["W1"]) > 250
    assert not {n.word for n in now.noticed} & {"warm", "hot"}
    # A loose clip of a fuse is felt, as it is on metal: twenty watts under a finger.
    assert felt("F1 high resistance 5 ohm", key="on")["F1"] in ("warm", "hot")
    # A sound relay is not hot for the two hundred amps of a starter held still; a burnt one is.
    assert felt("M1 seized", **PRESS)["K1"] == "warm" and felt("K1 contacts burnt 0.5 ohm", **PRESS)["K1"] == "hot"
    # Ten kelvin are felt: the thin cables of the tender's refit.
    thin = kit.machine("harbour-tender").operate(
        "W2 wrong spare 10 mm2", isolator="on", key="on", start_button="pressed")
    assert "warm" in {n.word for n in thin.noticed if n.part == "W2"}


def test_a_bad_joint_is_hot_and_only_a_hand_tells():
    now = BIKE.operate("X8 high resistance 0.5 ohm", **PRESS)
    hot = next(notice for notice in now.noticed if notice.part == "X8")
    assert (hot.word, hot.text) == ("hot", "") and "hot: take the hand away" in hot.touch
    # "Clutch cable hot": the starter's current finds its way to the frame through the cable's sheath.
    assert felt("X8 open", **PRESS)["X11"] == "hot"
    assert felt("X12 high resistance 5 ohm", key="on")["X12"] == "warm"


def test_a_short_nothing_guards_smokes():
    # 280 A through 2.5 mm²: 112 A a mm², twice what melts PVC in five seconds (IEC 60364-5-54, k = 115, from memory).
    now = BIKE.operate("W1 shorted to ground", key="off")
    smoke = next(notice for notice in now.noticed if notice.part == "W1")
    assert smoke.word == "smokes" and smoke.text.startswith("Smoke: the insulation of wire W1")
    # Behind a fuse it is over before that.
    assert felt("W3 shorted to ground", key="on") == {}


# --- what is written in a file

@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ("charge: 100 %", "charge: 150 %", "line 6: battery G1: charge must be 1 at the most, not 1.5."),
        ("charge: 100 %", "charge: -1 %", "line 6: battery G1: charge must be zero or more, not -0.01."),
        ("charge: 100 %", "charge: 0.8", "line 6: battery G1, charge: '0.8' has no unit; write it like '0.8 percent'."),
        ("20 °C", "-300 °C", "line 6: battery G1: celsius cannot be -300 °C; nothing is colder than -273.15 °C."),
        ("20 °C", "-250 °C", "line 6: battery G1: celsius must be from -60 to 300 °C, not -250."),
        ("build: flooded", "build: dry", "line 6: battery G1: build is flooded or AGM, not 'dry'."),
        ("ohms: 6 mohm", "ohms: -6 mohm", "line 6: battery G1: ohms must be more than zero, not -0.006."),
        ("20 °C", "20 °C, dead_cells: 7 cells", "line 6: battery G1: 7 of its 6 cells cannot be dead."),
        ("20 °C", "20 °C, aged: -10 %", "line 6: battery G1: aged must be zero or more, not -0.1."),
    ],
)
def test_impossible_figures_are_refused_where_they_are_written(old, new, message):
    with pytest.raises(MachineFileError) as caught:
        board(wire("W1", "G1.+", "S1.1"), head=HEAD.replace(old, new, 1))
    assert str(caught.value) == f"board.yaml {message}"


@pytest.mark.parametrize(
    ("part", "message"),
    [
        ("A1: {kind: control unit, title: unit, volts: 12 V, amps: 1 A, wakes_at: 40 %}",
         "control unit A1: it must reset below the volts it wakes at (wakes at 40%, resets at 50%)."),
        ("A1: {kind: control unit, title: unit, volts: 12 V, amps: 1 A, inputs: [a, a]}",
         "control unit A1: pins need names of their own in letters, not 'a'."),
        ("A1: {kind: control unit, title: unit, volts: 12 V, amps: 1 A, inputs: [a], outputs: {start: [b]}}",
         "control unit A1: output start needs an input 'b' that is not there; its inputs are a."),
        ("E1: {kind: glow plug, title: plug, cold_ohms: 2 ohm, hot_ohms: 1 ohm, volts: 11 V}",
         "glow plug E1: it must have more ohms hot than cold (cold 2, hot 1 ohm)."),
        ("P1: {kind: LED, title: light, volts: 1.5 V, amps: 15 mA}",
         "LED P1: its 1.5 V leave nothing for the series resistor."),
        ("Y1: {kind: fuel solenoid, title: solenoid, pull_ohms: 1 ohm, hold_ohms: 13 ohm, pull_in_volts: 3 V, "
         "drop_out_volts: 7 V}",
         "fuel solenoid Y1: it must drop out below the volts it pulls in at (pull-in 3 V, drop-out 7 V)."),
    ],
)
def test_parts_that_cannot_be(part, message):
    with pytest.raises(MachineFileError) as caught:
        board(f"  {part}\n")
    assert str(caught.value) == f"board.yaml line 8: {message}"


def test_a_control_cannot_take_the_words_of_an_operation():
    with pytest.raises(MachineFileError, match=r"line 1[0-9]: a control cannot be called 'warm'"):
        board("", "\n  warm: {title: w, positions: [a, b], closes: {b: [S1]}}")


def test_a_fault_with_an_impossible_figure_is_refused():
    with pytest.raises(FaultError, match=r"fault 'G1 full': battery G1: charge must be 1 at the most, not 1\.5\."):
        BIKE.operate(Fault(id="G1 full", part="G1", edit=Change(field="charge", value=1.5)))


MANY = (STARTER, FUEL, UNIT, RELAY)


@pytest.mark.parametrize("machine", MANY, ids=["starter", "fuel", "unit", "relay"])
def test_any_two_faults_together_have_an_outcome(machine):
    faults = list(machine.faults.values())
    positions = [machine.positions(), {name: control.positions[-1] for name, control in machine.controls.items()}]
    for number, first in enumerate(faults):
        for second in faults[number + 1::7]:
            for place in positions:
                now = machine.operate(first, second, **place)
                assert isinstance(now.solution.outcome, Outcome) and abs(now.amps["G1"]) < 3000


@pytest.mark.parametrize("machine", MANY, ids=["starter", "fuel", "unit", "relay"])
def test_a_sweep_knows_these_parts_too(machine):
    sets = [machine.closed_switches(positions) for positions in machine.all_positions()]
    circuits = [machine.circuit, *(machine.circuit.plant(fault) for fault in machine.faults.values())]
    found = sweep(circuits, sets)
    for c, planted in enumerate(circuits):
        for s, closed in enumerate(sets):
            one = settle(planted, closed_switches=closed)
            assert found.outcome(c, s) is one.outcome
            assert {r for r, on in zip(found.relays, found.closed[c, s], strict=True) if on} == one.state.closed
            for t, terminal in enumerate(found.terminals):
                volts = one.volts[terminal]
                assert np.isnan(found.volts[c, s, t]) if volts is None else abs(found.volts[c, s, t] - volts) < 1e-6
