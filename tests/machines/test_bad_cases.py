"""A mistake in a machine file's engine, cases, data or own faults: one message, with the line and what was expected."""

import pytest

from kit.errors import MachineFileError
from kit.machines.cases import TOOLS
from kit.machines.loader import machine_from_text

GOOD = """\
machine: test-engine
title: Test engine
volts: 12 V
reference: G1.-
parts:
  G1: {kind: battery, title: battery, volts: 12.7 V, ohms: 14 mohm}
  S1: {kind: switch, title: start, ohms: 1 mohm}
  M1: {kind: motor, title: starter, ohms: 30 mohm, load_amps: 100 A, drag: 0.07 A/V, cranking_emf: 7.0 V}
  W1: {kind: wire, title: feed, from: G1.+, to: S1.1, mm2: 16 mm2, metres: 0.2 m, colour: RD}
  W2: {kind: wire, title: starter cable, from: S1.2, to: M1.stud, mm2: 16 mm2, metres: 0.2 m, colour: RD}
  W3: {kind: wire, title: ground, from: M1.body, to: G1.-, mm2: 16 mm2, metres: 0.2 m, colour: BK}
  E1: {kind: glow plug, title: plug, cold_ohms: 0.45 ohm, hot_ohms: 1.1 ohm, volts: 11 V}
  W4: {kind: wire, title: to the plug, from: S1.2, to: E1.stud, mm2: 4 mm2, metres: 0.2 m, colour: RD}
  W5: {kind: wire, title: from the plug, from: E1.body, to: G1.-, mm2: 4 mm2, metres: 0.2 m, colour: BK}
stages:
  all: {about: All of it., parts: [G1, S1, M1, W1, W2, W3, E1, W4, W5]}
controls:
  start: {title: start, positions: [off, on], closes: {on: [S1]}}
truth:
  - {when: {start: off}, then: {M1: still, engine: stopped}}
  - {when: {start: on}, then: {M1: cranks, engine: runs}}
points:
  G1.+: {minutes: 1 min, where: post}
  G1.-: {minutes: 1 min, where: post}
engine:
  cranked_by: M1
  fires_from: 0.3
  needs: {M1: cranks or overruns}
  warm_up: {plugs: [E1], from: 6 A}
  running: {closes: [], opens: []}
faults:
  W4 on ground: {bridge: [E1.stud, E1.body], looks: It touches., cause: chafed, repair: Clip it clear.}
  M1 tight: {change: {load_amps: 160 A}, looks: It turns hard., cause: rust, repair: Free it.}
data:
  battery: 12 V
cases:
  starter open:
    faults: [M1 open]
    owner: Nothing.
    tried: {start: on}
    does: {M1: still}
    shows: Nothing turns.
    tests:
      - {with: volts, black: G1.-, red: G1.+, set: {start: on}, shows: over 12 V}
      - {with: clamp, around: W2, set: [{start: off}, {start: on}], shows: 0 A}
    mistaken_for: the battery
    rivals: [G1 flat]
    cause: wear
    repair: New brushes.
    why: No amps.
"""
FIRST = "{with: volts, black: G1.-, red: G1.+, set: {start: on}, shows: over 12 V}"


def complaint(text: str) -> str:
    with pytest.raises(MachineFileError) as caught:
        machine_from_text(text, "board.yaml")
    return str(caught.value)


def test_the_good_file_is_good():
    known = machine_from_text(GOOD)
    assert known.operate(start="on").word("engine") == "runs"
    assert known.data == {"battery": "12 V"}
    assert known.cases["starter open"].tests[1].moves == ({"start": "off"}, {"start": "on"})
    assert known.operate("W4 on ground", start="on").word("M1") != known.operate(start="on").word("M1")
    assert known.notes["M1 tight"].cause == "rust"


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        # engine
        ("cranked_by: M1", "cranked_by: S1", "line 26: engine: it is cranked by a motor, and S1 is none."),
        ("cranked_by: M1", "turned_by: M1",
         "line 26: engine has no 'turned_by'; it can have cranked_by, fires_from, needs, warm_up, running, start."),
        ("fires_from: 0.3", "fires_from: 30 %",
         "line 27: engine: fires_from is a share of full cranking speed, from 0 to 1, not '30 %'."),
        ("needs: {M1:", "needs: {K9:", "line 28: engine: there is no part K9."),
        ("plugs: [E1]", "plugs: [M1]", "line 29: engine: M1 is no glow plug."),
        ("from: 6 A}", "from: 6}", "line 29: engine, from: '6' has no unit; write it like '6 amp'."),
        ("opens: []", "opens: [M1]", "line 30: engine: running opens M1, which is no switch."),
        ("opens: []", "shuts: []", "line 30: engine running has no 'shuts'; it can have closes, opens."),
        ("  running:", "  start: [{key: on}]\n  running:",
         "line 30: engine: there is no control 'key'; there are start."),
        ("  running:", "  start: [{start: up}]\n  running:",
         "line 30: engine: start cannot be 'up'; it can be off or on."),
        ("  running:", "  start: []\n  running:", "line 30: engine: 'start' is an empty list."),
        ("  running:", "  start: {start: off}\n  running:",
         "line 25: the sound engine should run once it is started; it is 'stopped'."),
        ("M1: cranks or overruns", "M1: cranks or still or overruns",
         "line 25: the sound engine should stop with every control back at rest, and it runs on; look for a way that "
         "feeds what it needs from D+ or B+, past the key."),
        ("M1: still, engine: stopped", "M1: still, engines: stopped", "line 20: there is no part engines."),
        ("engine: runs}}", "engine: runs rough}}",
         "line 21: engine should be 'runs rough' with start on, but the circuit as drawn makes it 'runs'."),
        ("{M1: cranks or overruns}", "{M1: awake}",
         "line 21: engine should be 'runs' with start on, but the circuit as drawn makes it 'will not fire'."),
        # own faults
        ("  W4 on ground:", "  Z4 on ground:",
         "line 32: 'Z4 on ground' should begin with the id of the part it sits on, like 'X1 bridged'."),
        ("  M1 tight:", "  M1 open:",
         "line 33: 'M1 open' is a fault already; leave bridge and change out, or give it another name."),
        ("[E1.stud, E1.body]", "[E1.stud]",
         "line 32: faults W4 on ground: a bridge joins two places, like [X1.a, X2.b]."),
        ("[E1.stud, E1.body]", "[E1.stud, E9.body]",
         "line 32: faults W4 on ground: E9.body is not a terminal: there is no part E9."),
        ("[E1.stud, E1.body]", "[E1.stud, body]",
         "line 32: faults W4 on ground: 'body' is not a terminal; write part and terminal with a dot, like K1.86."),
        ("{load_amps: 160 A}", "{weight: 160 A}",
         "line 33: faults M1 tight: a motor has no figure 'weight'; it has ohms, load_amps, drag, cranking_emf, "
         "spin_seconds."),
        ("{load_amps: 160 A}", "{load_amps: 160}",
         "line 33: faults M1 tight, load_amps: '160' has no unit; write it like '160 amp'."),
        ("{load_amps: 160 A}", "{}", "line 33: faults M1 tight: say which figure changes, like {ohms: 3 ohm}."),
        ("{load_amps: 160 A}", "{load_amps: 0 A}",
         "line 8: fault 'M1 tight': motor M1: load_amps must be more than zero, not 0."),
        ("looks: It turns hard., ", "", "line 33: faults M1 tight needs 'looks'."),
        # data
        ("battery: 12 V", "battery: [12 V]", "line 35: data: 'battery' should be a short text."),
        # cases
        ("    owner: Nothing.\n", "", "line 37: case starter open needs 'owner'."),
        ("    owner: Nothing.", "    says: Nothing.",
         "line 39: case starter open has no 'says'; it can have faults, owner, tried, wiggled, warm, does, shows, "
         "tests, mistaken_for, rivals, cause, repair, why, inspection."),
        ("faults: [M1 open]", "faults: [M1 gone]",
         "line 38: case starter open: there is no fault 'M1 gone'; M1 can have M1 open, M1 worn, "
         "M1 engine too stiff, M1 seized, M1 tight."),
        ("faults: [M1 open]", "faults: []", "line 38: case starter open needs a fault."),
        ("rivals: [G1 flat]", "rivals: [M1 open]",
         "line 47: case starter open: 'M1 open' is the fault itself, no rival."),
        ("rivals: [G1 flat]", "rivals: G1 flat", "line 47: case starter open: 'rivals' should be a list, like [a, b]."),
        ("tried: {start: on}", "tried: {key: on}",
         "line 40: case starter open: there is no control 'key'; there are start."),
        ("tried: {start: on}", "tried: []", "line 40: case starter open: 'tried' is an empty list."),
        ("does: {M1: still}", "does: {M2: still}", "line 41: case starter open: there is no part M2."),
        ("does: {M1: still}", "does: {}", "line 41: case starter open: say what at least one part does."),
        ("    shows: Nothing turns.", "    shows: Nothing turns.\n    wiggled: [W9]",
         "line 43: case starter open: there is no part W9."),
        ("with: volts, ", "with: voltmeter, ",
         f"line 44: case starter open, test 1: there is no tool 'voltmeter'; there are {', '.join(TOOLS)}."),
        ("black: G1.-, red", "clip: G1.-, red",
         "line 44: case starter open, test 1 has no 'clip'; it can have with, black, red, set, off, wiggled, warm, "
         "running, shows."),
        ("red: G1.+", "red: M1.stud",
         "line 44: case starter open, test 1: a lead cannot be put on M1.stud; it is not among the points."),
        ("red: G1.+", "red: G1.-", "line 44: case starter open, test 1: both leads are on G1.-."),
        ("shows: over 12 V", "shows: over 12",
         "line 44: case starter open, test 1, shows: '12' has no unit; write it like '12 volt'."),
        ("shows: over 12 V", "shows: 13 to 12 V",
         "line 44: case starter open, test 1, shows: '13 to 12 V' runs from more to less."),
        ("shows: over 12 V", "shows: bright",
         "line 44: case starter open, test 1, shows: 'bright' is not a number with a unit; write it like '12 V'."),
        (FIRST, "{with: lamp, clip: G1.-, tip: G1.+, shows: bright or blinding}",
         "line 44: case starter open, test 1, shows: a lamp cannot show 'blinding'; it shows out, glow, dim, bright, "
         "flickers."),
        (FIRST, "{with: hydrometer, at: M1, shows: over 0.025}",
         "line 44: case starter open, test 1: hydrometer needs a battery, and M1 is a motor."),
        (FIRST, "{with: hydrometer, at: G1, shows: uneven}",
         "line 44: case starter open, test 1, shows: 'uneven' is not a plain number, like 0.025."),
        (FIRST, "{with: load tester, black: G1.-, red: G1.+, shows: under 9.6 V}",
         "line 44: case starter open, test 1 needs 'cca'."),
        (FIRST, "{with: elsewhere, at: G1, shows: a spark}",
         "line 44: case starter open, test 1 has no 'at'; it can have with, how, shows."),
        ("around: W2", "around: M1", "line 45: case starter open, test 2: clamp needs a wire, and M1 is a motor."),
        ("around: W2", "around: W2, off: [W9]", "line 45: case starter open, test 2: there is no part W9."),
        ("around: W2", "around: W2, running: perhaps",
         "line 45: case starter open, test 2: running is true or false, not 'perhaps'."),
        ("[{start: off}, {start: on}]", "[{start: off}, {start: up}]",
         "line 45: case starter open, test 2: start cannot be 'up'; it can be off or on."),
    ],
)
def test_one_mistake_one_message(old, new, message):
    assert GOOD.count(old) == 1 or old in ("start: on", "cranked_by: M1")
    assert complaint(GOOD.replace(old, new, 1)) == f"board.yaml {message}"


def test_no_test_and_no_way_to_start():
    no_tests = "    tests: []\n" + GOOD.split("  - {with: clamp")[1].split("\n", 1)[1]
    assert complaint(GOOD.split("    tests:")[0] + no_tests) == "board.yaml line 43: case starter open needs a test."
    text = GOOD.replace(", engine: stopped", "").replace(", engine: runs", "")
    assert complaint(text) == (
        "board.yaml line 25: engine: say how it is started, with 'start' or with a rule of the truth table in which it "
        "runs."
    )


def test_a_test_with_the_engine_running_needs_an_engine():
    head, rest = GOOD.split("engine:\n  cranked_by")
    text = head + "faults:" + rest.split("faults:", 1)[1]
    for old, new in ((", engine: stopped", ""), (", engine: runs", ""), ("around: W2", "around: W2, running: true")):
        text = text.replace(old, new)
    assert complaint(text) == "board.yaml line 39: case starter open, test 2: this machine has no engine to run."
