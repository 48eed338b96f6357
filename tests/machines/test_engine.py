"""The engine: it fires when cranked with what it needs, runs on, and stops when it loses it (common practice)."""

import pytest

import kit
from kit.errors import OperationError
from kit.exercises.acts import Operate
from kit.exercises.work import work
from kit.instruments import TestLamp
from kit.machines.engine import OVERRUN_SHARE
from kit.machines.loader import machine_from_text

BIKE = kit.machine("orchard-bike")
PRESSED = {"key": "on", "start_button": "pressed"}


def started(*faults: str):
    return BIKE.operate(*faults, **PRESSED).then(start_button="released")


def test_a_sound_start_ends_with_the_engine_running():
    pressed = BIKE.operate(**PRESSED)
    # What is measured with the button held is measured while it cranks.
    assert (pressed.word("M1"), pressed.word("engine"), pressed.running) == ("cranks", "runs", True)
    assert pressed.amps["M1"] == pytest.approx(90, abs=1)
    released = pressed.then(start_button="released")
    assert (released.word("M1"), released.word("engine")) == ("still", "runs")


@pytest.mark.parametrize("moves", [{"key": "off"}, {"stop_switch": "stop"}])
def test_key_and_stop_switch_stop_it(moves):
    stopped = started().then(**moves)
    assert (stopped.word("engine"), stopped.running) == ("stops", False)
    back = stopped.then(**{name: BIKE.controls[name].rest for name in moves})
    assert back.word("engine") == "stopped"


def test_without_its_ignition_it_cranks_and_will_not_fire():
    now = BIKE.operate("K2 dead", **PRESSED)
    assert (now.word("M1"), now.word("engine"), now.running) == ("cranks", "will not fire", False)
    assert now.then(start_button="released").word("engine") == "stopped"


def test_turned_too_slowly_it_does_not_fire():
    # 0.3 of full cranking speed; a flat battery's relay clatters and its engine only twitches.
    assert BIKE.operate("G1 sulphated", **PRESSED).word("engine") == "stopped"
    slow = BIKE.operate("X8 high resistance 0.5 ohm", **PRESSED)
    assert slow.word("M1") == "cranks slowly"
    assert slow.running is (slow.solution.speeds["M1"] >= 0.3)


def test_a_starter_held_on_a_running_engine_overruns():
    now = started().then(start_button="pressed")
    assert (now.word("M1"), now.word("engine")) == ("overruns", "runs")
    # Data sheet of the bike: 22 A running free, a quarter of what it takes to crank.
    assert now.amps["M1"] == pytest.approx(22, abs=3)
    assert pytest.approx(22 / 90, abs=0.02) == OVERRUN_SHARE
    assert kit.Multimeter("volts", black="G1.-", red="G1.+").read(now).value > BIKE.operate(**PRESSED).volts["G1.+"]


def test_a_welded_starter_hangs_on_to_the_engine_that_has_fired():
    # The button let go, the engine turns the starter and not the other way round: a whine, and the amps of running free
    # (data sheet: 22 A), not the 90 of cranking. Stopped by its switch, it is cranked again.
    now = BIKE.operate("K1 contacts welded", **PRESSED)
    assert (now.word("M1"), now.word("engine")) == ("cranks", "runs") and now.amps["M1"] == pytest.approx(90, rel=0.02)
    let_go = now.then(start_button="released")
    assert (let_go.word("M1"), let_go.word("engine")) == ("overruns", "runs")
    assert let_go.amps["M1"] == pytest.approx(22, abs=3)
    # Whatever else is moved while a hand stays on the button, the figures are those of cranking.
    assert now.then(clutch_lever="pulled").word("M1") == "cranks"
    off = let_go.then(stop_switch="stop")
    assert (off.word("M1"), off.word("engine")) == ("cranks", "stops")


def test_a_big_lamp_cranks_it_through_an_open_interlock_and_it_fires():
    # Common practice: 21 W through the clutch switch's two wires is enough for the relay's coil.
    now = BIKE.operate(key="on", gear="first", stand="up", start_button="pressed")
    assert now.word("M1") == "still"
    lit = TestLamp(clip="B1.2", tip="B1.1", watts=21).put_on(now)
    assert (lit.word("M1"), lit.word("engine")) == ("cranks", "runs")
    assert TestLamp(clip="B1.2", tip="B1.1").put_on(now).word("engine") == "stopped"


def test_work_carries_the_engine_on():
    acts = (Operate(control="key", position="on"), Operate(control="start_button", position="pressed"),
            Operate(control="start_button", position="released"), Operate(control="key", position="off"))
    shown = [step.shown for step in work(BIKE, (), acts)]
    assert "The engine fires and runs." in shown[1]
    assert "The engine runs." in shown[2]
    assert "The engine stops." in shown[3]


# --- a small mower and a small diesel, written as files

HEAD = """\
machine: test-engine
title: Test engine
volts: 12 V
reference: G1.-
parts:
  G1: {kind: battery, title: battery, volts: 12.7 V, ohms: 14 mohm}
  S1: {kind: switch, title: key, ohms: 10 mohm}
  S2: {kind: switch, title: start, ohms: 0.1 mohm}
  M1: {kind: motor, title: starter, ohms: 30 mohm, load_amps: 100 A, drag: 0.07 A/V, cranking_emf: 7.0 V}
  X1: {kind: joint, title: feed, from: G1.+, to: S2.1, ohms: 0.1 mohm}
  X2: {kind: joint, title: stud, from: S2.2, to: M1.stud, ohms: 0.1 mohm}
  X3: {kind: joint, title: body, from: M1.body, to: X9.block, ohms: 0.1 mohm}
  X4: {kind: joint, title: strap, from: X9.block, to: G1.-, ohms: 0.1 mohm}
  X9: {kind: metal, title: block, terminal: block}
"""
TAIL = """
stages:
  all: {about: All of it., parts: [%s]}
controls:
  key: {title: key, positions: [off, on], closes: {%s: [S1]}}
  start: {title: start, positions: [released, pressed], closes: {pressed: [S2]}, springs_back: true}
  glow: {title: glow, positions: [released, pressed], closes: {pressed: [S9]}, springs_back: true}
truth: []
points: {}
engine:
  cranked_by: M1
"""


def engine(parts: str, more: str, *, key: str = "on"):
    head = HEAD + parts + "  S9: {kind: switch, title: glow switch, ohms: 1 mohm}\n"
    ids = [line.split(":")[0].strip() for line in head.split("parts:\n")[1].splitlines()]
    return machine_from_text(head + TAIL % (", ".join(ids), key) + more)


MOWER = engine(
    # The key grounds the kill wire while it is off.
    "  T1: {kind: magneto, title: module}\n"
    "  X5: {kind: joint, title: module on the block, from: T1.ground, to: X9.block, ohms: 1 mohm}\n"
    "  W1: {kind: wire, title: kill wire, from: T1.kill, to: S1.1, mm2: 1 mm2, metres: 1 m, colour: BK}\n"
    "  X6: {kind: joint, title: key ground, from: S1.2, to: X9.block, ohms: 1 mohm}\n",
    "  needs: {T1: free}\n  start: [{key: on}, {start: pressed}]\n", key="off",
)


def test_a_kill_wire_on_ground_stops_a_magneto():
    running = MOWER.start(key="on")
    assert (running.word("T1"), running.word("engine")) == ("free", "runs")
    assert running.then(key="off").word("engine") == "stops"
    assert MOWER.operate(start="pressed").word("engine") == "will not fire"
    assert MOWER.start("W1 shorted to ground").word("engine") == "stopped"


def test_a_kill_wire_broken_does_not_stop_it():
    now = MOWER.start("W1 open").then(key="off")
    assert (now.word("T1"), now.word("engine"), now.running) == ("free", "runs", True)


@pytest.mark.parametrize(("fault", "word"), [("T1 dead", "dead"), ("T1 grounded inside", "grounded")])
def test_a_bad_module_cranks_and_will_not_fire(fault, word):
    now = MOWER.operate(fault, key="on", start="pressed")
    assert (now.word("T1"), now.word("M1"), now.word("engine")) == (word, "cranks", "will not fire")


@pytest.mark.parametrize(("ohms", "word"), [(90, "grounded"), (110, "free")])
def test_about_a_hundred_ohms_outside_decide(ohms, word):
    # Through the switch, the wire, and the block: a leak that a person would find with an ohmmeter.
    from kit.circuit import Fault, Ohms
    leak = Fault(id="W1 leaks", part="W1", edit=Ohms(ohms=ohms))
    assert MOWER.operate(leak, key="off").solution.outside_ohms["T1"] == pytest.approx(ohms, abs=0.1)
    assert MOWER.operate(leak, key="off").word("T1") == word


def plug(name: str) -> str:
    return (
        f"  {name}: {{kind: glow plug, title: plug, cold_ohms: 0.45 ohm, hot_ohms: 1.1 ohm, volts: 11 V}}\n"
        f"  W{name}: {{kind: wire, title: plug, from: S9.2, to: {name}.stud, mm2: 4 mm2, metres: 0.1 m, colour: RD}}\n"
        f"  X{name}: {{kind: joint, title: plug, from: {name}.body, to: X9.block, ohms: 1 mohm}}\n"
    )


DIESEL = engine(
    plug("E1") + plug("E2")
    + "  W9: {kind: wire, title: f, from: G1.+, to: S9.1, mm2: 6 mm2, metres: 1 m, colour: RD}\n",
    "  warm_up: {plugs: [E1, E2], from: 6 A}\n  start: [{glow: pressed}, {glow: released}, {start: pressed}]\n",
)


@pytest.mark.parametrize(
    ("faults", "word"),
    [((), "runs"), (("E1 open",), "runs rough"), (("E1 open", "E2 open"), "will not fire")],
)
def test_a_cold_diesel_wants_its_plugs(faults, word):
    now = DIESEL.operate(*faults, glow="pressed").then(glow="released").then(start="pressed")
    assert now.word("engine") == word
    assert DIESEL.operate(*faults, start="pressed").word("engine") == "will not fire", "nothing has glowed"


def test_what_glowed_stays_warm_and_white_smoke_is_seen():
    rough = DIESEL.start("E1 open")
    text = next(notice.text for notice in rough.noticed if notice.part == "engine")
    assert text == "The engine runs rough, with white smoke."
    assert rough.engine.warm == {"E2"}


# --- what the running engine moves

CHARGER = engine(
    "  G2: {kind: alternator, title: alternator, volts: 13.9 V, amps: 50 A, idle_amps: 20 A, rotor_ohms: 3.5 ohm}\n"
    "  X5: {kind: joint, title: b, from: G2.body, to: X9.block, ohms: 1 mohm}\n"
    "  W1: {kind: wire, title: w, from: G2.B+, to: G1.+, mm2: 10 mm2, metres: 1 m, colour: RD}\n"
    "  P1: {kind: lamp, title: charge lamp, watts: 3 W, volts: 13.5 V}\n"
    "  W2: {kind: wire, title: w, from: G1.+, to: S1.1, mm2: 1 mm2, metres: 1 m, colour: RD}\n"
    "  W3: {kind: wire, title: w, from: S1.2, to: P1.1, mm2: 1 mm2, metres: 1 m, colour: RD}\n"
    "  W4: {kind: wire, title: w, from: P1.2, to: G2.D+, mm2: 1 mm2, metres: 1 m, colour: RD}\n"
    "  P2: {kind: lamp, title: oil lamp, watts: 3 W, volts: 13.5 V}\n"
    "  B5: {kind: switch, title: oil switch, ohms: 10 mohm}\n"
    "  W5: {kind: wire, title: w, from: S1.2, to: P2.1, mm2: 1 mm2, metres: 1 m, colour: RD}\n"
    "  W6: {kind: wire, title: w, from: P2.2, to: B5.1, mm2: 1 mm2, metres: 1 m, colour: RD}\n"
    "  X6: {kind: joint, title: b, from: B5.2, to: X9.block, ohms: 1 mohm}\n",
    "  running: {closes: [G2.idle], opens: [B5]}\n  start: [{key: on, start: pressed}]\n",
)


def test_running_turns_the_alternator_and_the_oil_lamp_goes_out():
    on = CHARGER.operate(key="on")
    assert (on.word("P1"), on.word("P2")) == ("lit", "lit")
    running = CHARGER.start(key="on")
    assert (running.word("P1"), running.word("P2")) == ("out", "out")
    # 13.6 to 14.2 V: US Army TM 9-2330-356-14.
    assert 13.6 <= kit.Multimeter("volts", black="G1.-", red="G1.+").read(running).value <= 14.2


def test_an_oil_switch_that_stays_shut_is_no_need_of_this_engine():
    assert CHARGER.start("B5 stuck closed", key="on").word("P2") == "lit"


def test_what_an_engine_turns_stands_with_it():
    assert not CHARGER.closed_switches(CHARGER.positions()) & {"G2.idle", "G2.fast"}
    assert "G2.idle" in CHARGER.closed_switches(CHARGER.positions(), running=True)
    assert "B5" in CHARGER.closed_switches(CHARGER.positions())


def test_a_machine_without_an_engine_has_nothing_to_start():
    with pytest.raises(OperationError, match=r"^bench-board has no engine to start\.$"):
        kit.machine("bench-board").start()
    assert kit.machine("bench-board").operate(switch="on").word("engine") == ""
