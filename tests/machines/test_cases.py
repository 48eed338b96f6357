"""Every case of every machine of the fleet, held against the solver: its tests show what it says, and they decide.

The rows are those of the workshop's table of sixty faults (common practice).
"""

from functools import cache

import pytest

import kit
from kit.circuit import Battery, Joint, Motor, Relay, StarterSolenoid, Switch, Terminal
from kit.diagnose.decisive import FAULT, NOT_COMPUTED, SOUND, Verdict, decide
from kit.instruments import Multimeter
from kit.machines import machine_ids
from kit.machines.cases import ELSEWHERE
from kit.machines.library import FLEET
from kit.machines.loader import machine_from_text

# The sixty, by the first words of each row; one machine's ten in a line.
ROWS = {
    "orchard-bike": (
        "F1 blown", "clamp loose", "battery sulphated", "stop switch open", "button resistive", "relay contacts burnt",
        "engine ground corroded", "clutch switch open", "interlock diode shorted", "brushes worn",
    ),
    "ride-on-mower": (
        "solenoid case ungrounded", "run seat switch open", "brake switch out", "blade switch open",
        "kill wire grounded", "kill wire open", "solenoid welded", "dead cell", "regulator dead", "decompression lost",
    ),
    "harbour-tender": (
        "isolator burnt", "lug corroded inside", "neutral switch out", "kill-cord open", "relay socket green",
        "float switch stuck", "engine minus loose", "fuse holder ghost", "alternator diodes failed", "cable undersized",
    ),
    "site-generator": (
        "one plug open", "glow contacts burnt", "glow timer dead", "hold coil open", "pull coil stays on",
        "oil switch stuck", "emergency stop open", "unit ground resistive", "starter hold winding open",
        "float charger off",
    ),
    "compact-loader": (
        "one battery weak", "link corroded", "main relay coil open", "main contacts burnt", "neutral input lost",
        "charge lamp open", "alternator diode open", "12 V relay fitted", "85 and 86 swapped", "seat-bar wire broken",
    ),
    "bench-board": (
        "F1 blown", "lamp open", "switch open", "holder minus open", "joint 5 ohm", "joint 50 kohm", "battery flat",
        "switch bridged", "short after switch", "wrong-watt lamp",
    ),
}
CASES = [(name, case) for name in machine_ids() for case in kit.machine(name).cases]


@cache
def verdict(name: str, case: str) -> Verdict:
    return decide(kit.machine(name), kit.machine(name).cases[case])


@pytest.mark.parametrize(("name", "case"), CASES)
def test_the_tests_of_a_case_decide_it(name, case):
    found = verdict(name, case)
    assert found.complaints() == ()
    assert found.decided


@pytest.mark.parametrize("name", machine_ids())
def test_the_ten_of_each_machine_are_there(name):
    assert set(kit.machine(name).cases) == set(ROWS[name])


def test_every_case_names_a_wrong_guess_a_cause_and_a_repair():
    for name, case in CASES:
        known = kit.machine(name).cases[case]
        assert all((known.owner, known.mistaken_for, known.cause, known.repair, known.why, known.shows)), (name, case)


# --- healthy drops while cranking: joint 0.1, contact or solenoid 0.2, ground side 0.3, plus side 0.5 V; twice that at
# 24 V (common practice)


def cranking():
    for name in machine_ids():
        known = kit.machine(name)
        for motor in (part for part in known.circuit.parts if isinstance(part, Motor)):
            rule = next(rule for rule in known.truth if rule.then.get(motor.id) == "cranks")
            yield pytest.param(known, motor, dict(rule.when), id=name)


@pytest.mark.parametrize(("known", "motor", "positions"), tuple(cranking()))
def test_a_healthy_machine_passes_its_own_drop_limits_while_cranking(known, motor, positions):
    now, times = known.operate(**positions), known.volts / 12
    assert now.word(motor.id) == "cranks"
    across = {path: abs(volts) for path, volts in now.solution.across.items()}
    carries = {path: abs(amps) > 1 for path, amps in now.amps.items()}
    joints = [part.id for part in known.circuit.parts if isinstance(part, Joint)]
    moved = [f"{part.id}.contact" for part in known.circuit.parts if isinstance(part, (Relay, StarterSolenoid))]
    contacts = moved + [part.id for part in known.circuit.parts if isinstance(part, Switch)]
    assert {joint: across[joint] for joint in joints if across[joint] > 0.1 * times and carries[joint]} == {}
    assert {path: across[path] for path in contacts if carries[path] and across[path] > 0.2 * times} == {}
    posts = [Terminal(part.id, "+") for part in known.circuit.parts if isinstance(part, Battery)]
    plus = max(posts, key=lambda post: now.volts[str(post)])
    minus, stud, body = known.circuit.reference, f"{motor.id}.stud", f"{motor.id}.body"
    assert 0 < Multimeter("volts", black=stud, red=str(plus)).read(now).value <= 0.5 * times
    assert 0 < Multimeter("volts", black=str(minus), red=body).read(now).value <= 0.3 * times


# --- the checker itself


BOARD = kit.machine("bench-board")


def changed(old: str, new: str):
    text = (FLEET / "bench-board.yaml").read_text(encoding="utf-8")
    assert text.count(old) == 1
    return machine_from_text(text.replace(old, new))


def test_a_test_that_shows_something_else_is_told():
    board = changed('set: {switch: on}, shows: "over 12 V"}\n    mistaken_for: the fuse',
                    'set: {switch: on}, shows: "under 1 V"}\n    mistaken_for: the fuse')
    found = decide(board, board.cases["switch open"])
    assert not found.decided
    assert found.complaints()[0] == "switch open: test 1 (volts) shows '12.70 V', not 'under 1 V'"


def test_a_rival_that_shows_the_same_is_told():
    board = changed("rivals: [S1 stuck open]", "rivals: [S1 stuck open, E1 wrong spare 55 W, X3 open]")
    assert decide(board, board.cases["lamp open"]).decided
    board = changed(
        '''      - {with: lamp, clip: G1.+, tip: E1.2, set: {switch: on}, shows: bright}
    mistaken_for: the switch
    rivals: [S1 stuck open]''',
        "    mistaken_for: the switch\n    rivals: [X3 open]",
    )
    assert decide(board, board.cases["lamp open"]).complaints() == ("lamp open: its tests show the same with X3 open",)


def test_a_complaint_the_sound_machine_has_as_well_is_told():
    board = changed("does: {E1: out, E2: out}", "does: {E2: out}")
    assert decide(board, board.cases["lamp open"]).complaints() == (
        "lamp open: what it does in the tried positions, the sound machine does as well",
    )
    board = changed("does: {E1: out, E2: out}", "does: {E1: dim}")
    assert decide(board, board.cases["lamp open"]).complaints() == ("lamp open: E1 is 'out', not 'dim'",)


def test_a_test_done_elsewhere_is_not_computed_and_parts_no_sound_machine():
    board = changed(
        '      - {with: amps, black: F1.2, red: F1.1, set: {switch: on, button: pressed}, off: [F1], '
        'shows: "5.1 to 5.6 A"}',
        '''      - {with: volts, black: G1.-, red: G1.+, shows: "over 12 V"}
      - {with: elsewhere, how: "Read the base of the lamp.", shows: "55 W"}''',
    )
    found = decide(board, board.cases["wrong-watt lamp"])
    assert found.shown[FAULT][1].shown == NOT_COMPUTED and found.case.tests[1].tool == ELSEWHERE
    assert found.unparted == (SOUND,) and found.left == ("W4 shorted to ground",)
