"""A circuit in time: closed forms, relays with their delays, batteries, motors, lamps and fuses; plain and compiled."""

import math
from itertools import pairwise

import pytest
from networks import between, circuit, node, resistor, source

from kit.circuit import Battery, Fuse, Joint, Lamp, Motor, Relay, Switch, Terminal
from kit.errors import SolveError
from kit.solve import State, settle
from kit.solve import time_kernel as kernel
from kit.solve.fast_time import FastRunner
from kit.solve.time import IRON, Runner, run


def button(start: int, end: int, name: str = "S1"):
    return between(Switch(id=name, title="button", ohms=1e-3), start, end)


def relay(coil: tuple[int, int], contact: tuple[int, int], **figures):
    figures = {"coil_ohms": 80.0, "pull_in_volts": 7.0, "drop_out_volts": 3.0, "contact_ohms": 1e-3} | figures
    ends = (("86", coil[0]), ("85", coil[1]), ("30", contact[0]), ("87", contact[1]))
    return [
        Relay(id="K1", title="relay", **figures),
        *(Joint(id=f"K1:{end}", title=end, start=Terminal("K1", end), end=node(at), ohms=1e-6) for end, at in ends),
    ]


def stiff(volts: float = 12.0):
    """A battery too stiff to sag."""
    return source("G1", 0, 1, volts, 1e-6)


def at(course, figures, moment: float) -> float:
    """A figure at a moment, straight between the two samples beside it."""
    k = next(k for k, seconds in enumerate(course.seconds) if seconds >= moment)
    t0, t1 = course.seconds[k - 1], course.seconds[k]
    return figures[k - 1] + (figures[k] - figures[k - 1]) * (moment - t0) / (t1 - t0)


MOTOR = Motor(id="M1", title="motor", ohms=0.04, load_amps=60.0, drag=2.0, cranking_emf=7.0, spin_seconds=0.05)


# --- closed forms


@pytest.mark.parametrize("moment", [0.002, 0.005, 0.009, 0.02])
def test_a_coil_s_amps_rise_as_an_rl_circuit_s(moment):
    """volts/ohms·(1 − exp(−t/(L/R))), L in parallel with the iron's losses; an elementary closed form."""
    board = circuit(stiff(), button(1, 2), relay((2, 0), (1, 3), pull_in_volts=11.9), resistor("R1", 3, 0, 100.0))
    course = run(board, [(0.0, {"S1"})], 0.05)
    losses = IRON * 80.0
    # What magnetises rises with L·(1/R + 1/losses); the wire carries what the losses take on top.
    magnetising = 0.15 * (1 - math.exp(-moment / (0.009 * (1 + 1 / IRON))))
    expected = magnetising + (12.0 - 80.0 * magnetising) / (80.0 + losses)
    assert at(course, course.amps("K1.coil"), moment) == pytest.approx(expected, abs=0.004)


def test_a_battery_sags_and_recovers_as_an_rc_circuit():
    """Its slow volts go with exp(−t/1.5 s) to their share of ohms·amps, and back when the load goes."""
    board = circuit(
        between(Battery(id="G1", title="battery", volts=12.0, ohms=0.1), 1, 0), button(1, 2), resistor("R1", 2, 0, 0.9)
    )
    course = run(board, [(0.0, {"S1"}), (6.0, ())], 9.0)
    volts = course.volts("G1.+", "G1.-")
    # Under load the slow part sees the fast part and the load beside it: it settles a little sooner.
    fast, slow, load = 0.1 * (1 - kernel.SLOW_SHARE), 0.1 * kernel.SLOW_SHARE, 0.901
    seconds = kernel.SLOW_SECONDS / (1 + slow / (fast + load))
    for moment in (0.5, 1.5, 4.0):
        held = 12.0 * slow / (0.1 + load) * (1 - math.exp(-moment / seconds))
        expected = (12.0 - held) * load / (fast + load)
        assert at(course, volts, moment) == pytest.approx(expected, abs=0.005)
    left = 12.0 * slow / (0.1 + load) * (1 - math.exp(-6.0 / seconds))
    for moment in (0.5, 1.5):
        expected = 12.0 - left * math.exp(-moment / kernel.SLOW_SECONDS)
        assert at(course, volts, 6.0 + moment) == pytest.approx(expected, abs=0.005)


def test_a_motor_runs_up_and_down_as_its_equation_says():
    """J·de/dt = (u − e)/R − load − drag·e: an exponential up, and with no amps another one down to a stop."""
    course = run(circuit(stiff(), button(1, 2), between(MOTOR, 2, 0)), [(0.0, {"S1"}), (1.0, ())], 1.5)
    inertia = MOTOR.spin_seconds / MOTOR.ohms
    speeds, loss = course.speeds("M1"), 1 / (MOTOR.ohms + 1e-3) + MOTOR.drag
    top = (12.0 / (MOTOR.ohms + 1e-3) - MOTOR.load_amps) / loss
    for moment in (0.01, 0.03, 0.1, 0.9):
        expected = top * (1 - math.exp(-moment * loss / inertia)) / 7.0
        assert at(course, speeds, moment) == pytest.approx(expected, abs=0.02)
    for moment in (0.02, 0.1):
        rest = MOTOR.load_amps / MOTOR.drag
        expected = ((top + rest) * math.exp(-moment * MOTOR.drag / inertia) - rest) / 7.0
        assert at(course, speeds, 1.0 + moment) == pytest.approx(expected, abs=0.02)
    assert speeds[-1] == 0.0
    assert at(course, course.volts(str(node(2))), 1.02) > 5.0, "a motor running down is a generator"


def test_a_motor_the_wrong_way_round_turns_backwards_as_in_the_steady_state():
    board = circuit(source("G1", 1, 0, 12.0, 0.02), between(MOTOR, 1, 0))
    course = run(board, [(0.0, ())], 8.0)
    steady = settle(board).speeds["M1"]
    assert steady < -0.5 and course.speeds("M1")[-1] == pytest.approx(steady, abs=2e-3)


def test_a_motor_too_loaded_to_turn_is_a_plain_resistance():
    stuck = Motor(id="M1", title="motor", ohms=0.04, load_amps=1e4, drag=2.0, cranking_emf=7.0)
    course = run(circuit(source("G1", 0, 1, 12.0, 0.02), between(stuck, 1, 0)), [(0.0, ())], 8.0)
    assert set(course.speeds("M1")) == {0.0}
    assert course.amps("M1")[-1] == pytest.approx(200.0, rel=5e-3)  # 12 V over 60 mΩ, once the battery has sagged


# --- lamps


@pytest.mark.parametrize(("watts", "within"), [(3.0, 0.06), (55.0, 0.2)])
def test_a_cold_filament_takes_13_times_its_amps_and_less_within_some_tens_of_milliseconds(watts, within):
    """Cold = hot/13 (common practice); hot, the filament is where the steady law has it."""
    board = circuit(stiff(13.5), between(Lamp(id="E1", title="lamp", watts=watts, volts=13.5), 1, 0))
    course = run(board, [(0.0, ())], 2.0)
    amps, rated = course.amps("E1"), watts / 13.5
    assert 12.0 < amps[0] / rated < 13.1
    assert at(course, amps, 0.005) > 1.5 * rated
    assert at(course, amps, within) == pytest.approx(rated, rel=0.1)
    assert amps[-1] == pytest.approx(settle(board).amps["E1"], rel=1e-3)
    assert course.glow("E1")[-1] == pytest.approx(1.0, abs=1e-3)
    assert all(later <= now * (1 + 1e-9) for now, later in pairwise(amps)), "it only falls"


def test_a_lamp_switched_off_glows_on_for_a_moment_and_is_cold_in_the_end():
    board = circuit(stiff(), button(1, 2), between(Lamp(id="E1", title="lamp", watts=55.0, volts=13.5), 2, 0))
    course = run(board, [(0.0, {"S1"}), (1.0, ())], 9.0)
    assert at(course, course.glow("E1"), 1.01) > 0.5
    assert course.glow("E1")[-1] < 0.05
    assert course.amps("E1")[-1] == 0.0


# --- relays


def test_contacts_move_their_own_time_after_the_coil_s_amps_pass_the_limits():
    board = circuit(stiff(), button(1, 2), relay((2, 0), (1, 3)), resistor("R1", 3, 0, 10.0))
    course = run(board, [(0.1, {"S1"}), (0.3, ())], 0.5)
    pulled, let_go = course.events
    assert (pulled.what, let_go.what) == ("pulls in", "lets go")
    # 12 V·(1 − exp(−t/9.36 ms)) reaches 7 V after 8.2 ms, and the contact takes 8 ms more.
    assert pulled.at - 0.1 == pytest.approx(0.009 * (1 + 1 / IRON) * math.log(12 / 5) + 0.008, abs=4e-4)
    # Switched off, only the iron's losses are left to carry the flux: it is gone at once, and the contact takes 5 ms.
    assert let_go.at - 0.3 == pytest.approx(0.009 / IRON * math.log(12 / 3) + 0.005, abs=3e-4)


def test_a_coil_with_no_diode_kicks_and_one_with_a_diode_lets_go_later():
    """Some 300 V from a 12 V coil with nothing across it (common practice); with a diode, about 1 V and a slow fall."""
    def kicked(suppression: str):
        coil = relay((2, 0), (1, 3), suppression=suppression)
        board = circuit(stiff(), button(1, 2), coil, resistor("R1", 3, 0, 10.0))
        course = run(board, [(0.0, {"S1"}), (0.3, ())], 0.5)
        return min(course.volts("K1.86", "K1.85")), course.events[-1].at - 0.3

    (bare, soon), (kept, late) = kicked("none"), kicked("diode")
    assert -310 < bare < -150 and -1.5 < kept < -0.5
    assert late > soon + 0.005


def test_a_press_shorter_than_the_delays_pulls_nothing_in():
    board = circuit(stiff(), button(1, 2), relay((2, 0), (1, 3)), resistor("R1", 3, 0, 10.0))
    assert run(board, [(0.0, {"S1"}), (0.006, ())], 0.5).events == ()
    assert run(board, [(0.0, {"S1"}), (0.03, ())], 0.5).count("K1", "pulls in") == 1


def test_a_buzzer_chatters_and_three_presses_do_not():
    buzzer = circuit(
        stiff(), button(1, 2), resistor("R2", 2, 3, 40.0), relay((3, 0), (3, 0), drop_out_volts=6.0)
    )
    assert run(buzzer, [(0.0, {"S1"})], 0.5).chattering == {"K1"}
    board = circuit(stiff(), button(1, 2), relay((2, 0), (1, 3)), resistor("R1", 3, 0, 10.0))
    presses = [(0.1 * k, {"S1"} if k % 2 else set()) for k in range(10)]
    course = run(board, presses, 1.0)
    assert course.count("K1", "lets go") >= 4 and course.chattering == frozenset()


def test_a_relay_that_was_held_before_stays_held():
    board = circuit(stiff(), button(1, 2), relay((2, 0), (1, 2)), resistor("R1", 2, 0, 50.0))
    held = run(board, [(0.0, ())], 0.5, before=State(closed=frozenset({"K1"})))
    assert held.events == () and held.state.closed == {"K1"}
    assert held.amps("K1.coil")[0] == pytest.approx(0.15, abs=1e-3)


# --- fuses


BANDS = [(1.35, 0.75, 600.0), (1.6, 0.25, 50.0), (2.0, 0.15, 5.0), (3.5, 0.04, 0.5), (6.0, 0.02, 0.1)]


def fused(share: float, rating: float = 10.0):
    """A fuse with its rating times ``share`` through it."""
    ohms = 12.0 / (rating * share)
    return circuit(
        stiff(), between(Fuse(id="F1", title="fuse", amps=rating, ohms=1e-4), 1, 2), resistor("R1", 2, 0, ohms - 1e-4)
    )


@pytest.mark.parametrize("rating", [5.0, 30.0])
@pytest.mark.parametrize(("share", "soonest", "latest"), BANDS)
def test_a_fuse_melts_within_its_band(share, soonest, latest, rating):
    # Blade fuses, ISO 8820-3, from memory.
    course = run(fused(share, rating), [(0.0, ())], latest if latest < 60 else 60.0, runner=FastRunner)
    assert [event.what for event in course.events] == ["melts"]
    assert soonest < course.events[0].at < latest
    assert course.amps("F1")[-1] == 0.0


def test_a_fuse_carries_a_tenth_more_than_its_rating_for_good():
    # 110 % for at least 100 h: ISO 8820-3, from memory. An hour is 200 times its slowest time constant.
    assert run(fused(1.1), [(0.0, ())], 3600.0, runner=FastRunner).events == ()


def test_far_beyond_its_rating_the_same_amps_squared_seconds_melt_a_fuse():
    """No time for heat to leave: amps²·seconds is a constant (adiabatic limit)."""
    energy = []
    for share in (20.0, 30.0):
        course = run(fused(share), [(0.0, ())], 0.1)
        energy.append(share**2 * course.events[0].at)
    assert energy[0] == pytest.approx(energy[1], rel=0.08)


def test_a_fuse_remembers_being_warm():
    warm = run(fused(1.6), [(0.0, ())], 10.0).events[0].at
    board = circuit(
        stiff(), between(Fuse(id="F1", title="fuse", amps=10.0, ohms=1e-4), 1, 2), resistor("R1", 2, 0, 1.5),
        button(2, 3), resistor("R2", 3, 0, 12.0 / 8.0),
    )
    course = run(board, [(0.0, ()), (30.0, {"S1"})], 60.0)  # 80 % for half a minute, then 160 %
    assert course.events[0].at - 30.0 < 0.9 * warm


# --- the whole


def test_plain_and_compiled_are_the_same():
    board = circuit(
        source("G1", 0, 1, 12.0, 0.25), button(1, 2), relay((2, 0), (1, 3), coil_ohms=4.0, pull_in_volts=6.5),
        between(MOTOR, 3, 0), between(Lamp(id="E1", title="lamp", watts=55.0, volts=13.5), 1, 0),
        between(Fuse(id="F1", title="fuse", amps=5.0, ohms=0.01), 1, 4), resistor("R1", 4, 0, 0.6),
    )
    moves = [(0.0, ()), (0.2, {"S1"}), (1.0, ())]
    plain, fast = run(board, moves, 1.2), run(board, moves, 1.2, runner=FastRunner)
    assert plain.chattering == {"K1"} and plain.count("F1", "melts") == 1
    assert plain.events == fast.events and plain.state == fast.state and plain.moved == fast.moved
    assert plain.seconds == pytest.approx(fast.seconds, rel=1e-12)
    assert plain.volts(str(node(1))) == pytest.approx(fast.volts(str(node(1))), abs=1e-9)
    before = State(closed=frozenset({"K1"}))
    held, fast_held = (run(board, [(0.0, {"S1"})], 0.3, before, runner) for runner in (Runner, FastRunner))
    assert held.events == fast_held.events


def test_a_finer_step_changes_little(monkeypatch):
    """The steps are short enough: with ten times as many, a chatter moves by a twenty-fifth at most."""
    board = circuit(
        source("G1", 0, 1, 12.0, 0.2), button(1, 2), relay((2, 0), (1, 3), coil_ohms=4.0, pull_in_volts=6.5),
        between(MOTOR, 3, 0),
    )
    coarse = run(board, [(0.0, {"S1"})], 0.6)
    for name in ("SHORTEST", "LONGEST", "EMF_STEP", "WARM_STEP", "PULL_STEP", "HEAT_STEP", "SAG_STEP"):
        monkeypatch.setattr(kernel, name, getattr(kernel, name) / 10)
    fine = run(board, [(0.0, {"S1"})], 0.6)
    assert len(fine.seconds) > 5 * len(coarse.seconds)
    assert coarse.count("K1", "lets go") > 8
    assert coarse.events[9].at == pytest.approx(fine.events[9].at, rel=0.04)


@pytest.mark.parametrize(
    ("moves", "seconds"), [([], 1.0), ([(0.5, ()), (0.2, ())], 1.0), ([(-0.1, ())], 1.0), ([(0.0, ())], 0.0)]
)
def test_moves_out_of_order_are_refused(moves, seconds):
    with pytest.raises(SolveError, match="moves need moments in rising order"):
        run(fused(0.5), moves, seconds)


def test_unknown_names_are_refused():
    course = run(fused(0.5), [(0.0, ())], 0.1)
    with pytest.raises(SolveError, match="no terminal X9"):
        course.volts("X9.1")
    with pytest.raises(SolveError, match="no path R9"):
        course.amps("R9")
