"""Lesson 13: the truths by a second route, and the ideas its wrong answers speak for."""

import pytest
from editions import edition

from kit.exercises import mark, question, right_answer, truth
from kit.exercises.acts import Operate, Probe, Unplug
from kit.exercises.caps import judge
from kit.exercises.cards import begun, card
from kit.exercises.number import wrong_numbers
from kit.exercises.prediction import true_readings, wrong_tables
from kit.exercises.question import Words
from kit.exercises.situation import Step
from kit.exercises.volts_table import wrong_volts
from kit.exercises.work import apply
from kit.instruments import Multimeter, TestLamp
from kit.machines import machine

LOADER = "compact-loader"
ASKED = {"key": "on", "seat_bar": "down", "start_button": "pressed"}


def shown(now, black, red, what="volts"):
    return Multimeter(what, black=black, red=red).read(now).value


@pytest.mark.parametrize("points", question("13.1").given["points"])
def test_13_1_a_closed_switch_is_0_volts_and_an_open_one_the_supply(points):
    """By hand: 25.4 V less two milliohm batteries and a few thin wires; 4.7 kΩ of pull-up lose nothing into a meter."""
    item, one = edition("13.1", points=points)
    up = {"K2.supply": (25.3, 25.3), "K2.ground": (0, 0), "B1.2": (0, 0), "B2.2": (0, 0)}
    for point, row in truth(item, one).items():
        assert row == pytest.approx(up.get(point, (0, 25.3)), abs=0.06), point


def test_13_1_no_current_no_volts_is_recognised_at_the_open_switch():
    item, one = edition("13.1", points="K2.ground K2.neutral B1.1")
    said = {point: [f"{cell:.1f}" for cell in row] for point, row in
            wrong_volts(item, one)["no-current-no-volts"].items()}
    assert said["K2.neutral"] == ["0.0", "0.0"]
    assert mark(item, one, said).ideas == ("no-current-no-volts",)


@pytest.mark.parametrize(("volts", "inside", "wire"), [("15", "10", 10), ("15", "20", 5), ("24", "10", 16),
                                                       ("12", "20", 4), ("6", "10", 4)])
def test_13_2_is_the_published_divider(volts, inside, wire):
    """15 V over 10 kΩ and 20 kΩ: 5 V and 10 V (Circuit Analysis, circuit-analysis.github.io, chapter Dividers);
    other volts share alike, by the same rule V · R2 / (R1 + R2)."""
    item, one = edition("13.2", volts=volts, inside=inside)
    sensor = float(Words(item, one)["sensor"])
    assert truth(item, one) == pytest.approx(wire)
    assert float(volts) * sensor / (float(inside) + sensor) == pytest.approx(wire)
    assert mark(item, one, f"{wire},0 V").points == mark(item, one, f"{wire * 1000} mV").points == 4
    for name, value in wrong_numbers(item, one).items():
        got, slip = mark(item, one, f"{value:g} V"), item.slips[name]
        assert (got.points, got.ideas) == (slip.points, (slip.idea,) if slip.idea else ()), name


def step_of(card_id, *, off=(), **fields):
    there = begun(card(card_id), ())
    for part in off:
        there = apply(there, Unplug(part=part)).situation
    done = apply(there, Probe(**fields))
    return [cap.letter + " " + cap.about for cap in judge(there, done) if cap.letter == "B"], done


@pytest.mark.parametrize(("job", "pin", "plus"), [("J42", "K2.neutral", "G1.+"), ("J42", "K2.seat_bar", "G1.+"),
                                                 ("J36", "K5.oil", "G1.+")])
def test_13_3_what_the_question_forbids_is_what_a_job_card_caps(job, pin, plus):
    """The caps of a job know nothing of this question: the wrong ways cost there, the right ways do not."""
    caps, _ = step_of(job, instrument="lamp", leads=(plus, pin))
    assert caps == ["B onto a signal"]
    caps, _ = step_of(job, instrument="jumper", leads=(plus, pin))
    assert caps == ["B onto a signal"]
    caps, _ = step_of(job, instrument="volts", leads=("G2.-" if job == "J42" else "G1.-", pin))
    assert not caps


def test_13_3_the_lamp_in_the_empty_plug_costs_nothing():
    for job, unit in (("J42", "K2"), ("J36", "K5")):
        caps, done = step_of(job, off=(unit,), instrument="lamp", leads=(f"{unit}.ground", f"{unit}.supply"))
        assert not caps and isinstance(done, Step)


def test_13_3_ohms_tell_a_grounded_kill_wire_from_a_sound_one():
    mower = machine("ride-on-mower")
    at_run = {"key": "run", "brake_pedal": "down", "seat": "taken"}
    assert shown(mower.operate("X15 open", **at_run), "X7.block", "X15.tab", "ohms") is None  # OL
    assert shown(mower.operate("X15 open", "W10 shorted to ground", **at_run), "X7.block", "X15.tab", "ohms") < 2


def test_13_3_every_right_way_is_offered_once_and_the_dangerous_ones_say_stop():
    item, one = edition("13.3", site="lever")
    assert mark(item, one, right_answer(item, one)).points == 4
    for option in item.options:
        if option.id in ("lamp on", "jump"):
            assert mark(item, one, Words(item, one).fill(option.text)).reason.startswith("Stop")


def test_13_4_a_dead_unit_stands_for_an_unplugged_one():
    """The same lamp, the unit's plug taken off on a job instead: every cell alike."""
    for broken in question("13.4").given["broken"]:
        item, one = edition("13.4", broken=broken)
        clip, readings = one.picks["clip"], true_readings(item, one)
        for place, key in enumerate(("off", "on")):
            there = apply(begun(card("J42"), (broken,)), Unplug(part="K2")).situation
            there = apply(there, Operate(control="key", position=key)).situation
            for point, row in readings.items():
                done = apply(there, Probe(instrument="lamp", leads=(clip, point)))
                assert done.reading == row[place].shown, (broken, point, key)
                assert len(row[place].accepts) == 1


def test_13_4_the_idea_that_an_unplugged_wire_has_no_volts_is_recognised():
    item, one = edition("13.4", broken="W20 open")
    table = wrong_tables(item, one)["no-current-no-volts"]
    assert all(cell == "out" for row in table.values() for cell in row)
    assert mark(item, one, {point: list(row) for point, row in table.items()}).ideas == ("no-current-no-volts",)


def test_13_5_the_unit_gets_the_difference_of_the_two_readings():
    item = question("13.5")
    for broken in item.given["broken"]:
        for stop in item.given["stop"]:
            item, one = edition("13.5", broken=broken, stop=stop)
            words = Words(item, one)
            supply, ground = (float(words[name].split()[0]) for name in ("supply", "ground"))
            assert truth(item, one) == pytest.approx(supply - ground, abs=0.011)
            assert mark(item, one, f"{supply - ground:.2f} V").points == 4
            assert mark(item, one, f"{supply - ground:.1f}".replace(".", ",")).points == 4
            # Ground taken as perfect: clear of the truth by more than the tolerance, and an idea of its own.
            assert wrong_numbers(item, one)["from minus"] == pytest.approx(supply, abs=0.006)
            assert mark(item, one, f"{supply} V").ideas == ("wires-never-drop",)


def test_13_6_a_lit_display_leaves_the_asking_side_and_a_dark_one_the_units_own_wires():
    left = {"B1 stuck open": {"B1 stuck open", "W24 open", "F3 blown"}, "W20 open": {"W20 open", "W21 open", "K2 dead"},
            "F4 blown": {"F4 blown", "W8 open"}}
    for hidden, right in left.items():
        item, one = edition("13.6", hidden=hidden)
        assert set(truth(item, one)) == right
        awake = machine(LOADER).operate(hidden, key="on", seat_bar="down").word("K2") == "awake"
        assert awake == ("display, charge lamp and work lamps are lit" in Words(item, one)["seen"])


def test_13_7_the_place_follows_from_the_figures_alone():
    """Fed, told, asked, then answered: the rule as a workshop would use it, on the told figures, pick by pick."""
    for hidden in question("13.7").given["hidden"]:
        item, one = edition("13.7", hidden=hidden)
        words = Words(item, one)
        across, neutral, bar, start = (float(words[name].split()[0]) for name in ("across", "neutral", "bar", "start"))
        if across < 20:
            place = "feed"
        elif neutral > 20:
            place = "neutral"
        elif bar > 20:
            place = "bar"
        else:
            place = "unit" if start > 20 else "coil"
        assert truth(item, one) == place, hidden
        now = machine(LOADER).operate(hidden, **ASKED)
        assert (now.word("K1"), now.word("M1")) == ("at rest", "still")


@pytest.mark.parametrize("forbidden", question("13.8").given["forbidden"])
def test_13_8_leaves_out_the_one_that_kills_the_unit(forbidden):
    item, one = edition("13.8", forbidden=forbidden)
    right = right_answer(item, one)
    assert len(right) == 6 and "jump" not in truth(item, one)
    assert mark(item, one, right).points == 4 and mark(item, one, right[::-1]).points == 0
    harm = next(letter for letter in "abcdefg" if letter not in right)
    assert mark(item, one, [harm, *right]).points < 4 and "Never:" in mark(item, one, [harm, *right]).reason


def test_13_9_is_the_loader_whose_switch_slid_away():
    assert card("J42").case().faults == ("B1 stuck open",)
    assert "rock the lever" in card("J42").complaint


def test_the_lessons_surprise_a_lamp_on_an_input_cranks_the_loader_in_gear():
    """Common practice warns of it: a filament to minus is a closed switch to the unit. By hand: 3 W at 27 V is under
    250 Ω hot and a thirteenth of that cold, against 4.7 kΩ of pull-up, so the pin stays near 0 V."""
    in_gear = machine(LOADER).operate(**ASKED | {"lever": "forward"})
    lamp = TestLamp(clip="G2.-", tip="K2.neutral")
    assert in_gear.word("M1") == "still"
    assert lamp.read(in_gear).shown == "out" and lamp.put_on(in_gear).word("M1") == "cranks"
    meter = Multimeter("volts", black="G2.-", red="K2.neutral")
    assert meter.read(in_gear).value == pytest.approx(25.3, abs=0.1)


def test_the_worked_job_the_lamp_is_content_and_the_unit_resets():
    generator = machine("site-generator")
    plug_off = generator.operate("K5 dead", "X10 high resistance 5 ohm", key="on")
    assert TestLamp(clip="K5.ground", tip="K5.supply").read(plug_off).shown == "bright"
    now = generator.operate("X10 high resistance 5 ohm", key="on")
    amps = abs(now.amps["X10"])
    # By hand: what flows through the eyelet times its 5 Ω, and next to nothing from the frame to the post.
    assert shown(now, "G1.-", "K5.ground") == pytest.approx(5 * amps, abs=0.05) == pytest.approx(3.1, abs=0.1)
    assert generator.operate("X10 high resistance 5 ohm", key="start").word("K5") == "resets"
