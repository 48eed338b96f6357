"""Lesson 07: the truths by a second route, and the ideas its wrong answers speak for."""

from fractions import Fraction

import pytest
from editions import edition

from kit.exercises import mark, right_answer, truth
from kit.exercises.next_test import best_tips, narrowed, split
from kit.exercises.number import wrong_numbers
from kit.exercises.prediction import wrong_tables
from kit.instruments import Multimeter
from kit.machines import machine

MOWER = machine("ride-on-mower")
READY = {"key": "start", "seat": "taken", "brake_pedal": "down", "blades": "off"}


def every_slip_is_met(item, one):
    for name, value in wrong_numbers(item, one).items():
        got = mark(item, one, f"{value} {item.unit}")
        slip = item.slips[name]
        assert (got.points, got.ideas) == (slip.points, (slip.idea,) if slip.idea else ()), name


@pytest.mark.parametrize(
    ("which", "milliamps", "ohms"), [("R1", "0.9", 10_000), ("R2", "4.5", 2000), ("R3", "9", 1000)])
def test_07_7_is_the_published_parallel_circuit(which, milliamps, ohms):
    """9 V over 10, 2 and 1 kΩ side by side: 0.9, 4.5 and 9 mA (Kuphaldt, Lessons in Electric Circuits, vol. I)."""
    item, one = edition("07.7", which=which)
    assert truth(item, one) == pytest.approx(float(milliamps) / 1000, rel=1e-6)
    assert truth(item, one) == pytest.approx(float(Fraction(9, ohms)), rel=1e-6)
    for said in (f"{milliamps} mA", f"{milliamps.replace('.', ',')}mA", f"{float(milliamps) / 1000:g} A"):
        assert mark(item, one, said).points == 4
    every_slip_is_met(item, one)
    # All three together, from the same page: 14.4 mA.
    assert wrong_numbers(item, one)["the whole current"] == pytest.approx(0.0144, rel=1e-6)


@pytest.mark.parametrize("battery", ["12.4", "12.6"])
@pytest.mark.parametrize("dirt", ["5", "6", "8", "12"])
def test_07_4_volts_go_by_ohms_in_a_row_of_two(dirt, battery):
    """The voltage divider formula: own ohms over all ohms (Kuphaldt, vol. I, voltage divider circuits)."""
    item, one = edition("07.4", dirt=dirt, battery=battery)
    exact = Fraction(battery) * Fraction(dirt) / (Fraction(dirt) + 4)
    assert truth(item, one) == pytest.approx(float(exact), rel=1e-6)
    every_slip_is_met(item, one)
    assert mark(item, one, "0").ideas == ("wires-never-drop",)
    assert mark(item, one, f"{float(exact):.1f}".replace(".", ",")).points == 4


def test_07_4_is_what_the_mower_itself_shows():
    """Five ohms in the brake switch, on the machine with all its wires: the solenoid stays at rest, as told."""
    now = MOWER.operate("B1 high resistance 5 ohm", **READY)
    posts, across = (
        Multimeter("volts", black=black, red=red).read(now).value for black, red in (("G1.-", "G1.+"), ("B1.2", "B1.1"))
    )
    assert across == pytest.approx(posts * 5 / 9, rel=0.03) and now.word("K1") == "at rest"


@pytest.mark.parametrize("leads", ["straight", "swapped"])
@pytest.mark.parametrize("switch", ["B1", "B2"])
def test_07_3_all_the_battery_stands_across_the_one_open_switch(switch, leads):
    """An open part in a loop has all of the source's volts (Kuphaldt, vol. I, component failure analysis)."""
    item, one = edition("07.3", open=switch, leads=leads)
    sign = 1 if leads == "straight" else -1
    # The mower's battery rests at 12.7 V and feeds next to nothing: panel and run relay.
    assert truth(item, one) == pytest.approx(sign * 12.7, abs=0.02)
    every_slip_is_met(item, one)
    assert mark(item, one, f"about {sign * 12.7} volts").points == 4
    assert mark(item, one, "no idea").understood is False


def test_between_two_gaps_a_meter_across_either_shows_nothing():
    """Trade rule: a floating point shows about 0.00 V to anything (common practice)."""
    now = MOWER.operate(**READY | {"brake_pedal": "up", "blades": "on"})
    shown = {
        pair: Multimeter("volts", black=pair[1], red=pair[0]).read(now).value
        for pair in (("B1.1", "B1.2"), ("B2.1", "B2.2"), ("B1.1", "B2.2"))
    }
    assert list(shown.values()) == pytest.approx([0, 0, 12.69], abs=0.02)
    item, one = edition("07.2", key="start", points="B1.1 B1.2 B2.1 K1.86")
    assert truth(item, one) == {
        "B1.1": ("live", "live"), "B1.2": ("ground", "floating"), "B2.1": ("ground", "floating"),
        "K1.86": ("ground", "ground"),
    }
    got = mark(item, one, {point: [row[0], "ground" if row[1] == "floating" else row[1]]
                           for point, row in truth(item, one).items()})
    assert got.points == 6 and "Test both ways" in got.reason


@pytest.mark.parametrize(("way", "row"), [("B1", ("F1", "S2", "B1", "B2", "K1")), ("B3", ("F1", "S1", "K2", "B3"))])
def test_07_1_each_coil_has_its_own_row(way, row):
    """Read off the drawing: the solenoid's row, and the run relay's."""
    item, one = edition("07.1", way=way)
    assert truth(item, one) == row
    assert mark(item, one, right_answer(item, one)).points == 4


@pytest.mark.parametrize(
    ("broken", "lit"), [("B1 stuck open", 2), ("W6 open", 3), ("B2 stuck open", 4), ("W7 open", 5)])
def test_07_5_the_light_ends_at_the_break(broken, lit):
    item, one = edition("07.5", broken=broken)
    down = [row[1] for row in truth(item, one).values()]
    assert down == ["bright"] * lit + ["out"] * (6 - lit)
    assert [row[0] for row in truth(item, one).values()] == ["bright"] * 2 + ["out"] * 4
    (idea, table), = wrong_tables(item, one).items()
    assert mark(item, one, {point: list(row) for point, row in table.items()}).ideas == (idea,)


def test_07_6_the_middle_of_the_row_is_the_best_first_test():
    """Counted on the drawing: so many of those left lie before each tip, and the worst case is the larger share."""
    row = {"S2.2": "S2", "B1.1": "W5", "B1.2": "B1", "B2.1": "W6", "B2.2": "B2", "K1.86": "W7"}
    best = {"coil sound": "B1.2", "key and case sound": "B2.1", "key side sound": "B2.2", "blade side sound": "B1.2"}
    for cleared, middle in best.items():
        item, one = edition("07.6", cleared=cleared)
        mine, passed = narrowed(item, one), set()
        for tip, behind in row.items():
            passed |= {fault for fault in mine.suspects if fault.startswith(f"{behind} ")}
            assert split(mine, tip)[1] == passed, (cleared, tip)
        assert best_tips(mine) == (middle,) and len(split(mine, middle)[1]) == 3
        first = mark(item, one, {"tip": "S2.2", "lit": [], "out": list("abcdef")})
        assert first.points == 0 and "of 6" in first.reason
        # All six leave the mower silent and its hour counter lit.
        for fault in mine.suspects:
            now = MOWER.operate(fault, **READY)
            assert (now.word("K1"), now.word("K3"), now.word("M1")) == ("at rest", "awake", "still"), fault
