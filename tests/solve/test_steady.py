"""Relays, fuses and faults in small circuits: what moves, in what order, and what is remembered."""

from dataclasses import replace

import pytest
from networks import between, circuit, node, resistor, source

from kit.circuit import Change, Fault, Fuse, Joint, Motor, Ohms, Relay, ShortTo, Switch, Terminal, Welded
from kit.errors import FaultError, SolveError
from kit.solve import Outcome, State, settle
from kit.solve.fast_time import FastRunner
from kit.solve.time import run


def relay(name: str, coil: tuple[int, int], contact: tuple[int, int], pull=7.0, drop=3.0, coil_ohms=80.0):
    part = Relay(
        id=name, title=name, coil_ohms=coil_ohms, pull_in_volts=pull, drop_out_volts=drop, contact_ohms=1e-3
    )
    ends = (("86", coil[0]), ("85", coil[1]), ("30", contact[0]), ("87", contact[1]))
    leads = [
        Joint(id=f"{name}:{end}", title=end, start=Terminal(name, end), end=node(number), ohms=1e-6)
        for end, number in ends
    ]
    return [part, *leads]


def button(start: int, end: int):
    return between(Switch(id="S1", title="button", ohms=0.01), start, end)


def fuse(name: str, start: int, end: int, amps: float):
    return between(Fuse(id=name, title=name, amps=amps, ohms=0.01), start, end)


FED = circuit(source("G1", 0, 1, 12.0, 0.02), button(1, 2), relay("K1", (2, 0), (1, 3)), resistor("R1", 3, 0, 2.0))
# Its own contact feeds the coil once it is in.
HOLDING = circuit(source("G1", 0, 1, 12.0, 0.02), button(1, 2), relay("K1", (2, 0), (1, 2)), resistor("R1", 2, 0, 50.0))
# It takes its own coil away: a buzzer.
BUZZER = circuit(
    source("G1", 0, 1, 12.0, 0.02), button(1, 2), resistor("R2", 2, 3, 40.0), relay("K1", (3, 0), (3, 0), drop=6.0)
)


def test_a_relay_pulls_in_and_lets_go():
    pressed = settle(FED, closed_switches={"S1"})
    assert pressed.state.closed == {"K1"} and pressed.amps["R1"] == pytest.approx(5.93, abs=0.01)
    released = settle(FED, before=pressed.state)
    assert released.state.closed == frozenset() and released.amps["R1"] == pytest.approx(0.0, abs=1e-9)


def test_a_holding_relay_remembers():
    assert settle(HOLDING).outcome is Outcome.LATCHED
    assert settle(HOLDING).state.closed == frozenset()
    pressed = settle(HOLDING, closed_switches={"S1"})
    assert pressed.outcome is Outcome.SETTLED
    held = settle(HOLDING, before=pressed.state)
    assert held.state.closed == {"K1"} and held.outcome is Outcome.LATCHED


def test_a_buzzer_chatters_and_both_halves_of_the_swing_are_given():
    now = settle(BUZZER, closed_switches={"S1"})
    assert now.outcome is Outcome.CHATTERS and now.chattering == {"K1"}
    assert now.state.closed == {"K1"} and now.other_swing.state.closed == frozenset()
    assert now.across["K1.coil"] < 0.1 and now.other_swing.across["K1.coil"] == pytest.approx(8.0, abs=0.05)


def test_an_open_coil_does_not_pull_in_by_its_terminal_volts():
    coil_open = FED.plant(Fault(id="K1 coil open", part="K1", edit=Ohms(ohms=1e9, at="coil")))
    now = settle(coil_open, closed_switches={"S1"})
    assert now.state.closed == frozenset()
    assert now.volts["K1.86"] == pytest.approx(12.0, abs=0.01)


@pytest.mark.parametrize(("volts", "closed"), [(6.99, False), (7.01, True)])
def test_pull_in_is_where_the_part_says(volts, closed):
    board = circuit(source("G1", 0, 1, volts), relay("K1", (1, 0), (1, 2)))
    assert bool(settle(board).state.closed) is closed


@pytest.mark.parametrize(("volts", "closed"), [(2.99, False), (3.01, True)])
def test_drop_out_is_where_the_part_says(volts, closed):
    board = circuit(source("G1", 0, 1, volts), relay("K1", (1, 0), (1, 2)))
    assert bool(settle(board, before=State(closed=frozenset({"K1"}))).state.closed) is closed


def test_of_two_relays_the_one_pushed_harder_moves_first():
    """Each takes the other's coil feed away when it pulls in; K2, at twice its pull-in, is there first."""
    def pair(first_pull: float, second_pull: float):
        return circuit(
            source("G1", 0, 1, 12.0), resistor("R1", 1, 2, 40.0), resistor("R2", 1, 3, 40.0),
            relay("K1", (2, 0), (3, 0), pull=first_pull, drop=1.0),
            relay("K2", (3, 0), (2, 0), pull=second_pull, drop=1.0),
        )

    assert settle(pair(7.5, 4.0)).state.closed == {"K2"}
    assert settle(pair(4.0, 7.5)).state.closed == {"K1"}


# --- fuses


def overloaded(share: float):
    """A 10 A fuse with so many times its rating through it, from a source too stiff to sag."""
    return circuit(source("G1", 0, 1, 12.0, 1e-6), fuse("F1", 1, 2, 10.0), resistor("R1", 2, 0, 1.2 / share - 0.01))


@pytest.mark.parametrize("seconds", [1.0, 5.0, 60.0, 600.0])
@pytest.mark.parametrize("share", [1.1, 1.25, 1.5, 1.6, 2.1, 3.5])
def test_a_fuse_melts_in_an_operation_when_it_does_so_in_time(share, seconds):
    now = settle(overloaded(share), seconds=seconds)
    course = run(overloaded(share), [(0.0, ())], seconds, runner=FastRunner)
    assert now.state == course.state
    assert (now.amps["F1"] == 0.0) is bool(now.state.melted)


# Blade fuses: what a time-current band says for sure of an operation of so many seconds; ISO 8820-3, from memory.
@pytest.mark.parametrize(
    ("share", "seconds", "melts"),
    [(1.1, 360_000.0, False), (1.35, 0.75, False), (1.35, 600.0, True), (1.6, 0.25, False), (1.6, 50.0, True),
     (2.0, 0.15, False), (2.0, 5.0, True), (3.5, 0.04, False), (3.5, 0.5, True), (6.0, 0.02, False), (6.0, 0.1, True)],
)
def test_a_held_operation_keeps_to_the_band(share, seconds, melts):
    assert bool(settle(overloaded(share), seconds=seconds).state.melted) is melts


def test_an_operation_of_no_time_is_refused():
    with pytest.raises(SolveError, match="more than no time"):
        settle(overloaded(1.0), seconds=0.0)


def test_a_melted_fuse_stays_melted_when_the_short_is_gone():
    board = circuit(source("G1", 0, 1, 12.0, 0.02), fuse("F1", 1, 2, 10.0), resistor("R1", 2, 0, 6.0))
    shorted = board.plant(Fault(id="short", part="R1", edit=ShortTo(start=node(2), end=node(0), ohms=0.02)))
    state = settle(shorted).state
    assert state.melted == {"F1"}
    assert settle(board, before=state).amps["R1"] == pytest.approx(0.0, abs=1e-9)
    assert settle(board).amps["R1"] == pytest.approx(12 / 6.03, rel=1e-4)


def test_of_two_fuses_in_a_row_only_the_weaker_melts():
    board = circuit(
        source("G1", 0, 1, 12.0, 0.02), fuse("F1", 1, 2, 30.0), fuse("F2", 2, 3, 10.0), resistor("R1", 3, 0, 0.02)
    )
    assert settle(board).state.melted == {"F2"}


# --- faults


def test_more_ohms_inside_a_battery_leave_its_open_circuit_volts():
    board = circuit(source("G1", 0, 1, 12.0, 0.1), resistor("R1", 1, 0, 1e6))
    worn = board.plant(Fault(id="G1 post", part="G1", edit=Ohms(ohms=0.4)))
    assert settle(worn).volts[str(node(1))] == pytest.approx(12.0, abs=1e-4)
    loaded = circuit(source("G1", 0, 1, 12.0, 0.1), resistor("R1", 1, 0, 0.5)).plant(*worn.faults)
    assert settle(loaded).volts[str(node(1))] == pytest.approx(6.0, abs=1e-4)  # 0.5 ohm against 0.5 ohm


def test_series_ohms_in_a_device_are_refused_in_words():
    motor = Motor(id="M1", title="motor", ohms=0.04, load_amps=90.0, drag=0.07, cranking_emf=7.0)
    board = circuit(source("G1", 0, 1, 12.0, 0.02), between(motor, 1, 0))
    with pytest.raises(FaultError, match="a motor takes no series ohms; plant them in the wire beside it"):
        settle(board.plant(Fault(id="M1 high", part="M1", edit=Ohms(ohms=1.0))))


def test_two_faults_on_one_part_both_count():
    board = circuit(source("G1", 0, 1, 12.0), resistor("R1", 1, 0, 1.0))
    both = board.plant(
        Fault(id="a", part="R1", edit=Ohms(ohms=2.0)), Fault(id="b", part="R1", edit=Change(field="ohms", value=3.0))
    )
    assert settle(both).amps["R1"] == pytest.approx(12 / 5, rel=1e-5)


def test_a_motor_driven_backwards_turns_backwards():
    motor = Motor(id="M1", title="motor", ohms=0.04, load_amps=90.0, drag=0.07, cranking_emf=7.0)
    forwards = settle(circuit(source("G1", 0, 1, 12.0, 0.02), between(motor, 1, 0)))
    backwards = settle(circuit(source("G1", 1, 0, 12.0, 0.02), between(motor, 1, 0)))
    assert forwards.speeds["M1"] > 0.8
    assert backwards.speeds["M1"] == pytest.approx(-forwards.speeds["M1"], rel=1e-9)
    assert settle(circuit(source("G1", 0, 1, 0.0), between(motor, 1, 0))).speeds["M1"] == 0.0


@pytest.mark.parametrize(("weld", "still", "pressed"), [
    ("", ("87a",), ("87",)), ("contact", ("87",), ("87",)), ("rest", ("87a",), ("87a",)),
])
def test_a_welded_contact_holds_the_armature_so_the_other_cannot_close(weld, still, pressed):
    """Common practice: welded on 87, 87a stays open at rest; welded on 87a, the coil draws its amps and 87 is dead."""
    parts = relay("K1", (2, 0), (1, 3))
    parts[0] = replace(parts[0], contacts="change-over")
    rest = Joint(id="K1:87a", title="87a", start=Terminal("K1", "87a"), end=node(4), ohms=1e-6)
    here = circuit(source("G1", 0, 1, 12.0, 0.02), button(1, 2), [*parts, rest],
                   resistor("R1", 3, 0, 20.0), resistor("R2", 4, 0, 20.0))
    here = here.plant(Fault(id="K1 welded", part="K1", edit=Welded(at=weld))) if weld else here
    for closed, fed in ((frozenset(), still), (frozenset({"S1"}), pressed)):
        found = settle(here, closed_switches=closed)
        assert found.outcome is Outcome.SETTLED
        assert tuple(end for end in ("87", "87a") if found.volts[f"K1.{end}"] > 11.0) == fed
        assert found.amps["K1.coil"] == pytest.approx(12.0 / 80.0 if closed else 0.0, rel=0.01)
    assert weld == "" or not found.state.closed


def test_only_a_change_over_contact_welds_one_way_or_the_other():
    with pytest.raises(FaultError, match="only a change-over relay's contact or rest can weld"):
        FED.plant(Fault(id="K1 welded", part="K1", edit=Welded(at="contact")))
