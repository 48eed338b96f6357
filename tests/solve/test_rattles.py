"""What a chatter heats a fuse: settled by its effective amps over a round, and the same machine's course in time."""

import math

import pytest

import kit
from kit.circuit import Battery, Circuit, Fuse, Relay, Resistor, Terminal, Wire
from kit.machines.course import over_time
from kit.solve import Outcome, settle
from kit.solve.branch import FED, Magnet
from kit.solve.fast_time import FastRunner
from kit.solve.fuses import melts_at
from kit.solve.sweep import sweep
from kit.solve.time import run


def buzzer(fuse_amps: float, load_ohms: float = 0.6) -> Circuit:
    """A relay that cuts its own coil, and a load beside the coil: through the fuse flow some 20 A, or nothing."""
    def wire(number: int, start: str, end: str) -> Wire:
        ends = {"start": Terminal.read(start), "end": Terminal.read(end)}
        return Wire(id=f"W{number}", title="wire", mm2=4, metres=0.2, colour="RD", **ends)

    return Circuit(reference=Terminal.read("G1.-"), parts=(
        Battery(id="G1", title="battery", volts=12.7, ohms=0.01),
        Fuse(id="F1", title="fuse", amps=fuse_amps, ohms=0.002),
        Relay(id="K1", title="buzzer", coil_ohms=80, pull_in_volts=7, drop_out_volts=3, contact_ohms=0.005,
              contacts="change-over"),
        Resistor(id="E1", title="load", ohms=load_ohms, volts=12),
        wire(1, "G1.+", "F1.1"), wire(2, "F1.2", "K1.30"), wire(3, "K1.87a", "K1.86"), wire(4, "K1.85", "G1.-"),
        wire(5, "K1.87a", "E1.1"), wire(6, "E1.2", "G1.-"),
    ))


def test_the_effective_amps_of_a_rattle_decide_whether_its_fuse_melts():
    # On for so much of a round, off for the rest, the root of the mean square is amps·√share: the definition of the
    # effective value (IEC 60050-103). Neither the mean, amps·share, nor the highest amps would split the two fuses.
    sound = settle(buzzer(100.0))
    assert sound.outcome is Outcome.CHATTERS
    amps = max(abs(half.amps["F1"]) for half in (sound, sound.other_swing))
    stays, away = Magnet("K1", "", "", 7 / 80, 3 / 80, coil_seconds=0.009, closes_seconds=0.008,
                         opens_seconds=0.005).rattles
    effective = amps * math.sqrt(away / (stays + away))
    assert amps * away / (stays + away) < 0.9 * effective < 0.8 * amps
    for share, melts in ((0.97, True), (1.03, False)):
        circuit = buzzer(share * effective / melts_at())
        found = settle(circuit)
        assert (found.state.melted == {"F1"}) is melts
        assert found.outcome is (Outcome.SETTLED if melts else Outcome.CHATTERS)
        many = sweep([circuit], [()])
        assert bool(many.melted[0, 0, 0]) is melts


def test_the_pace_of_a_rattle_is_that_of_its_course_in_time():
    stays, away = Magnet("K1", "", "", 7 / 80, 3 / 80, coil_seconds=0.009, closes_seconds=0.008,
                         opens_seconds=0.005).rattles
    # By hand: a coil fed 12/7 of its pull-in amps has them after τ·ln(12/5), and loses them to 3/7 after τ·ln(4).
    assert pytest.approx(12 / 7) == FED
    assert stays == pytest.approx(0.005 + 0.009 * math.log(4)) and away == pytest.approx(0.008 + 0.009 * math.log(2.4))
    course = run(buzzer(100.0), [(0.0, ())], 2.0)
    rounds = [event.at for event in course.events if event.what == "lets go"]
    assert (rounds[-1] - rounds[0]) / (len(rounds) - 1) == pytest.approx(stays + away, rel=0.15)


@pytest.mark.parametrize(
    ("machine_id", "fault", "positions", "melted"),
    [
        # The fuel solenoid rattles near its seat, its strong coil on for a quarter of the time: its fuse holds.
        ("site-generator", "Y1 hold coil open", {"key": "start"}, set()),
        ("site-generator", "W17 open", {"key": "start"}, set()),
        ("site-generator", "K8 contacts welded", {}, set()),
        ("harbour-tender", "Y1 hold coil open", {"isolator": "on", "key": "on"}, set()),
        ("compact-loader", "Y1 hold coil open", {"key": "on", "work_lamps": "on"}, set()),
        # Shorts while something chatters: four to ten times the rating, as good as at once.
        ("harbour-tender", "W21 shorted to ground", {"isolator": "on", "key": "on", "start_button": "pressed"}, {"F1"}),
        ("harbour-tender", "W12 shorted to supply", {"key": "on", "start_button": "pressed"}, {"F2"}),
        ("site-generator", "W36 shorted to ground", {"key": "start"}, {"F1"}),
        # Thirty amps for the sixth of a second its stroke takes: five times a 5 A fuse's rating, gone within 0.1 s
        # (``kit.solve.fuses``); 15 A bears them.
        ("site-generator", "F3 wrong spare 5 A", {"key": "start"}, {"F3"}),
        ("compact-loader", "F4 wrong spare 5 A", {"key": "on"}, {"F4"}),
        ("site-generator", "B1 stuck open", {"key": "start"}, set()),
        # The plunger does not get to the end that cuts its coil: nothing rattles, and the fuse goes (trade.md).
        ("site-generator", "Y1 pull coil stays on", {"key": "start"}, {"F3"}),
    ],
)
def test_settled_and_in_time_agree_which_fuses_melt(machine_id, fault, positions, melted):
    machine = kit.machine(machine_id)
    assert machine.operate(fault, **positions).state.melted == melted
    assert over_time(machine, [(0.0, positions)], 5.0, [fault], FastRunner).course.state.melted == melted


@pytest.mark.parametrize(
    ("machine_id", "fault", "before", "pressed", "chatter"),
    [
        # A fuel solenoid that rattles since the key was turned takes nothing from the start circuit: it cranks.
        ("compact-loader", "Y1 hold coil open", {"key": "on", "seat_bar": "down"}, {"start_button": "pressed"}, {"Y1"}),
        # With each stroke of the starter a weak battery lets every relay go it feeds: the mower's run relay, and the
        # generator's glow relay and timer, in while the others are away. A fuel solenoid's long stroke is not done.
        ("ride-on-mower", "G1 flat", {"key": "run", "brake_pedal": "down", "seat": "taken"}, {"key": "start"},
         {"K1", "K2"}),
        ("site-generator", "G1 sulphated", {"key": "on"}, {"key": "start"},
         {"K1", "K2", "K3", "K4", "K5", "K7", "K8"}),
        # Where the unit's reset sets the pace, its volts stay up, and the stroke has the time it takes.
        ("site-generator", "X10 high resistance 5 ohm", {"key": "on"}, {"key": "start"},
         {"K1", "K2", "K4", "K5", "K8", "Y1"}),
    ],
)
def test_what_takes_part_in_a_clatter_is_what_does_in_time(machine_id, fault, before, pressed, chatter):
    machine = kit.machine(machine_id)
    settled = machine.operate(fault, **before).then(**pressed)
    course = over_time(machine, [(0.0, before), (0.8, pressed)], 5.8, [fault], FastRunner)
    assert {part for part in settled.solution.chattering if "." not in part} == chatter
    assert course.course.chattering & set(course.course.magnets) == chatter
    assert (settled.word("M1") == "cranks") == any(moment.notice.word == "cranks" for moment in course.noticed)


def test_a_sweep_has_both_halves_of_a_swing_in_which_some_are_in_while_others_are_away():
    machine = kit.machine("site-generator")
    circuit, closed = machine.circuit.plant(machine.fault("G1 flat")), machine.closed_switches(
        machine.positions(key="start"))
    alone, many = settle(circuit, closed_switches=closed), sweep([circuit], [closed])
    assert {"K1", "K7"} <= alone.chattering
    assert ("K1" in alone.state.closed) != ("K7" in alone.state.closed)
    for column, terminal in enumerate(many.terminals):
        for half, volts in ((alone, many.volts), (alone.other_swing, many.other_volts)):
            if half.volts[terminal] is not None:
                assert volts[0, 0, column] == pytest.approx(half.volts[terminal], abs=1e-6)
    assert {name for name, moves in zip(many.relays, many.chattering[0, 0], strict=True) if moves} == alone.chattering
