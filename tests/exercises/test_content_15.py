"""Lesson 15: the truths by a second route, and the ideas its wrong answers speak for."""

from itertools import chain, combinations, product

import pytest
from editions import edition

from kit.circuit import When
from kit.exercises import mark, question, right_answer, truth
from kit.exercises.acts import Operate, Probe, Wiggle
from kit.exercises.boxes import BOXES, boxes_alone, explains, least, sound_readings
from kit.exercises.cards import begun, card
from kit.exercises.next_test import best_tips, narrowed, split
from kit.exercises.number import wrong_numbers
from kit.exercises.prediction import true_readings, wrong_tables
from kit.exercises.question import Words
from kit.exercises.work import alike, carry_on
from kit.instruments import Multimeter, TestLamp
from kit.machines import machine

READY = {"key": "on", "seat_bar": "down"}
HELD = {"isolator": "on", "key": "on", "kill_cord": "pulled", "start_button": "pressed"}
PUBLISHED = (3, 2, 2, 3, 3)


def shown(now, black, red, what="volts"):
    return Multimeter(what, black=black, red=red).read(now)


def test_15_1_each_scene_is_what_the_sound_machine_reads_and_so_does_one_whose_fault_is_away():
    """The figures told, on the machines: sound, and with a fault of that very place that is away just now."""
    scenes = (
        ("compact-loader", "W24 open when wiggled", READY, ("G2.-", "K2.seat_bar", "volts"), 0.0),
        ("orchard-bike", "K1 coil open when warm", {}, ("K1.85", "K1.86", "ohms"), 4.0),
        ("harbour-tender", "W13 open when wiggled", HELD, ("G1.-", "K1.86", "volts"), 11.0),
        ("site-generator", "W19 open when wiggled", {"key": "on"}, ("G1.-", "K5.ground", "volts"), 0.0),
    )
    said = " ".join(words["scene"] for words in question("15.1").words.values())
    for name, fault, where, (black, red, what), figure in scenes:
        readings = [shown(machine(name).operate(*faults, **where), black, red, what) for faults in ((), (fault,))]
        assert readings[0].shown == readings[1].shown, name
        assert readings[0].value == pytest.approx(figure, abs=0.3), name
        assert f"{figure:g}" in said
    item, one = edition("15.1")
    assert mark(item, one, right_answer(item, one)).points == 4


@pytest.mark.parametrize(("hidden", "jumps", "spot"), [
    ("W24 open", 1, "first"), ("B2 stuck open", 2, "middle"), ("W25 open", 3, "last"),
    ("W22 open", 1, "first"), ("B1 stuck open", 2, "middle"), ("W23 open", 3, "last"),
])
def test_15_2_what_jumps_lies_between_the_unit_and_the_break(hidden, jumps, spot):
    """By hand: a pull-up lifts all on the unit's side of a break, the frame holds all behind it."""
    item, one = edition("15.2", hidden=hidden)
    words = Words(item, one)
    assert truth(item, one) == spot
    for place, name in enumerate(("one", "two", "three"), 1):
        assert float(words[f"{name}_low"].split()[0]) == pytest.approx(0, abs=0.02)
        assert float(words[f"{name}_high"].split()[0]) == pytest.approx(25.3 if place <= jumps else 0, abs=0.05)


def test_15_2_the_bay_keeps_the_same_two_figures_when_the_wire_is_wiggled():
    """The question's told figures against the bay's own min and max, act by act on the job's machine."""
    start = begun(card("J50"), ("W24 open when wiggled",))
    acts = [*(Operate(control=name, position=position) for name, position in READY.items()),
            Probe(instrument="volts", leads=("G2.-", "K2.seat_bar"), hold="min max"), Wiggle(part="W24")]
    *_, last = carry_on(start, acts)
    words = Words(*edition("15.2", hidden="W24 open"))
    assert last.reading == f"{words['one_low']}, then {words['one_high']}"


@pytest.mark.parametrize("bet", question("15.3").given["bet"])
def test_15_3_leaves_out_the_bet(bet):
    item, one = edition("15.3", bet=bet)
    right = right_answer(item, one)
    assert len(right) == 6 and "renew" not in truth(item, one)
    assert mark(item, one, right[::-1]).points == 0


@pytest.mark.parametrize("second", question("15.4").given["second"])
@pytest.mark.parametrize("first", question("15.4").given["first"])
def test_15_4_the_second_break_changes_no_cell(first, second):
    item, one = edition("15.4", first=first, second=second)
    boat = machine("harbour-tender")
    for point, row in true_readings(item, one).items():
        for place, column in enumerate(item.columns):
            alone = TestLamp(clip="G1.-", tip=point).read(boat.operate(first, **column.positions))
            assert alone.shown == row[place].shown and len(row[place].accepts) == 1, (point, column.title)
    # By the drawing: start held, bright as far as the first break.
    after = {"S2 stuck open": "S2.1", "W12 open": "S2.2", "B1 stuck open": "B1.1"}[first]
    row = [cells[1] for cells in truth(item, one).values()]
    lit = list(truth(item, one)).index(after) + 1
    assert row == ["bright"] * lit + ["out"] * (5 - lit)


def test_15_4_no_current_no_volts_is_recognised():
    item, one = edition("15.4", first="B1 stuck open")
    table = wrong_tables(item, one)["no-current-no-volts"]
    assert mark(item, one, {point: list(row) for point, row in table.items()}).ideas == ("no-current-no-volts",)


# By the drawing: the first two behind what was mended lie before the tip, and the next is as good by count.
@pytest.mark.parametrize(("first", "tip", "before", "as_good"), [
    ("W11 open", "S2.2", "W11 S2", "B1.1"), ("S2 stuck open", "B1.1", "S2 W12", "B1.2"),
    ("W12 open", "B1.2", "W12 B1", "X12.socket"), ("B1 stuck open", "X12.socket", "B1 W13", "K1.86"),
])
def test_15_5_two_of_five_before_the_tip_and_three_behind_it(first, tip, before, as_good):
    item, one = edition("15.5", first=first)
    mine = narrowed(item, one)
    lit, out = split(mine, tip)
    assert {fault.split()[0] for fault in out} == set(before.split()) and len(lit) == 3 and first in out
    assert best_tips(mine) == (tip, as_good) and mark(item, one, right_answer(item, one)).points == 6
    assert split(mine, Words(item, one)["one"])[1] == {first}
    # The point before the repair is bright whatever is left, so it tells nothing more.
    assert not split(mine, Words(item, one)["bright"])[1]


def test_15_5_a_fault_hidden_by_the_first_shows_after_it():
    boat = machine("harbour-tender")
    both = ("B1 stuck open", "X12 high resistance 50 kohm")
    lamps = [[TestLamp(clip="G1.-", tip=tip).read(boat.operate(*faults, **HELD)).shown
              for tip in ("B1.1", "B1.2", "X12.socket", "K1.86")] for faults in (both, both[1:])]
    assert lamps == [["bright", "out", "out", "out"], ["bright", "bright", "bright", "out"]]
    assert boat.operate(*both, **HELD).word("K1") == boat.operate(both[1], **HELD).word("K1") == "at rest"


def test_15_6_what_it_does_now_sorts_the_suspects():
    does = {"X12 high resistance 50 kohm": ("at rest", "still"), "K1 contacts open": ("pulled in", "still"),
            "W2 high resistance 0.02 ohm": ("pulled in", "cranks slowly")}
    seen = set()
    for hidden, words in does.items():
        item, one = edition("15.6", hidden=hidden)
        right = set(truth(item, one))
        assert hidden in right and not right & seen
        seen |= right
        for fault in right:
            now = machine("harbour-tender").operate(fault, **HELD)
            assert (now.word("K1"), now.word("M1")) == words, fault
    assert seen == {option.id for option in question("15.6").options}


def test_15_7_is_the_published_board():
    """F 10 and G 12 where 12 and 12 belong: the minimal diagnoses are {A1}, {M1}, {A2, M2}, {M2, M3} (de Kleer &
    Williams, Artificial Intelligence 32, 1987)."""
    assert sound_readings(PUBLISHED) == (12, 12)
    found = set(least(PUBLISHED, 10, 12))
    assert found == {frozenset(one) for one in (("A1",), ("M1",), ("A2", "M2"), ("M2", "M3"))}
    assert truth(*edition("15.7", shows="10 12")) == 2


def by_trying(first, second, bad):
    """Whether some whole outputs of the boxes at fault give the readings: tried, every one from -30 to 30."""
    a, b, c, d, e = PUBLISHED
    sound = {"M1": a * c, "M2": b * d, "M3": c * e}
    outputs = [range(-30, 31) if box in bad else (sound[box],) for box in sound]
    return any(
        ("A1" in bad or x + y == first) and ("A2" in bad or y + z == second) for x, y, z in product(*outputs)
    )


@pytest.mark.parametrize("shows", question("15.7").given["shows"])
def test_15_7_every_set_of_boxes_agrees_with_trying_all_outputs(shows):
    first, second = map(float, shows.split())
    sets = map(frozenset, chain.from_iterable(combinations(BOXES, size) for size in (1, 2)))
    assert all(explains(PUBLISHED, first, second, bad) == by_trying(first, second, bad) for bad in sets)
    item, one = edition("15.7", shows=shows)
    right = sum(by_trying(first, second, {box}) for box in BOXES)
    assert truth(item, one) == right == boxes_alone(PUBLISHED, first, second)
    # "Two", spelled as a number with or without its word; none is an answer too.
    for said in (f"{right}", f"{right} suspects", "none" if right == 0 else f"{right}.0"):
        assert mark(item, one, said).points == 4, said
    for name, value in wrong_numbers(item, one).items():
        got = mark(item, one, f"{value:g}")
        assert got.points < 4 and (got.points == item.slips[name].points or value in (5.0,)), name


def test_15_8_is_the_wire_at_the_hinge_and_no_reading_at_rest_rules_it_out():
    """A good reading while it works leaves every fault that comes and goes on the list; only the bending tells."""
    planted = "W24 open when wiggled"
    loader = machine("compact-loader")
    assert card("J50").case().faults == (planted,) and loader.fault(planted).when is When.WIGGLE
    acts = [*(Operate(control=name, position=position) for name, position in READY.items()),
            Probe(instrument="volts", leads=("G2.-", "K2.seat_bar"), hold="min max"), Wiggle(part="W24")]
    mine = tuple(carry_on(begun(card("J50"), (planted,)), acts))
    sometimes = [fault.id for fault in loader.faults.values() if fault.when is not When.ALWAYS]
    at_rest, bent = [], []
    for fault in sometimes:
        other = tuple(carry_on(begun(card("J50"), (fault,)), acts))
        same = [alike(one.told, two.told) for one, two in zip(mine, other, strict=True)]
        at_rest += [fault] if all(same[:3]) else []
        bent += [fault] if all(same) else []
    assert at_rest == sometimes and len(sometimes) > 40 and bent == [planted]
