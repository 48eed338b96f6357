"""Lesson 05: a battery's published figures, the truths by a second route, and what its wrong answers are met with."""

import pytest
from editions import edition

from kit.exercises import mark, question, right_answer, truth, variant
from kit.exercises.batteries import charge_at_rest
from kit.exercises.figures import solved
from kit.exercises.number import wrong_numbers
from kit.exercises.repairs import cures
from kit.exercises.volts_table import wrong_volts
from kit.instruments import Hydrometer, LoadTester, Multimeter
from kit.instruments.load_tester import lowest_volts
from kit.machines import machine, machine_ids
from kit.solve.battery import cranking_power

# --- published


@pytest.mark.parametrize(("volts", "percent"), [(11.7, 0), (12.0, 25), (12.2, 50), (12.4, 75), (12.6, 100)])
def test_the_table_of_charge_is_the_published_one(volts, percent):
    """US Army TM 5-3805-262-20: open-circuit volts and state of charge. AGM 0.2 V higher: common practice."""
    assert 100 * charge_at_rest(volts, "flooded") == pytest.approx(percent)
    assert 100 * charge_at_rest(volts + 0.2, "AGM") == pytest.approx(percent)


def test_05_2_is_the_published_battery_with_ohms_inside():
    """12.00 V with 0.100 Ω: 10.0 V and 20 A into 0.5 Ω, 11.90 V (as printed) into 10 Ω (OpenStax, EMF)."""
    item, one = edition("05.2", case="0.1 and 0.5")
    assert truth(item, one) == pytest.approx(10.0, abs=1e-6)
    assert mark(item, one, "10,0 V").points == 4
    assert mark(item, one, "12 V").points == 0 and mark(item, one, "6 V").ideas == ("equal-share",)
    assert solved(12.0, (("inside", "1 2 0.1"), ("load", "2 0 0.5")), "amps load") == pytest.approx(20.0, abs=1e-6)
    light = solved(12.0, (("inside", "1 2 0.1"), ("load", "2 0 10")), "volts 2 0")
    assert light == pytest.approx(11.90, abs=0.02) and light == pytest.approx(12 * 10 / 10.1, abs=1e-6)


def test_half_an_ohm_inside_leaves_half_as_the_lesson_says():
    """With 0.500 Ω inside and 0.500 Ω outside: 12.0 A and 6.00 V (OpenStax, University Physics, EMF)."""
    loop = (("inside", "1 2 0.5"), ("load", "2 0 0.5"))
    assert solved(12.0, loop, "amps load") == pytest.approx(12.0, abs=1e-6)
    assert solved(12.0, loop, "volts 2 0") == pytest.approx(6.0, abs=1e-6)


def test_the_lessons_least_volts_and_cold_are_those_of_the_tables():
    """9.6 V at 70 °F, 9.5 at 60, 9.4 at 50, 9.3 at 40, 9.1 at 30 (common practice); cold: TB 43-PS-696."""
    said = {21: 9.6, 16: 9.5, 10: 9.4, 4: 9.3, -1: 9.1}
    assert {celsius: round(lowest_volts(celsius), 1) for celsius in said} == said
    assert cranking_power(0) == pytest.approx(2 / 3, abs=0.01) and cranking_power(-17.8) < 0.5


def test_beyond_the_table_a_battery_is_empty_or_full():
    assert charge_at_rest(10.6, "flooded") == 0.0 and charge_at_rest(13.2, "AGM") == 1.0


# --- a second route


@pytest.mark.parametrize(("name", "machine_id", "minus", "plus", "cca"), [
    ("bike", "orchard-bike", "G1.-", "G1.+", 150), ("mower", "ride-on-mower", "G1.-", "G1.+", 250),
    ("boat", "harbour-tender", "G1.-", "G1.+", 600), ("generator", "site-generator", "G1.-", "G1.+", 640),
    ("loader", "compact-loader", "G2.-", "G2.+", 800),
])
def test_05_3_tells_what_the_machines_own_battery_shows(name, machine_id, minus, plus, cca):
    item, one = edition("05.3", battery=name)
    told, now = item.words[name], machine(machine_id).operate(key="off")
    assert Multimeter("volts", black=minus, red=plus).read(now).value == pytest.approx(float(told["rest"]), abs=0.011)
    tester = LoadTester(minus=minus, plus=plus, cca=cca)
    assert tester.read(now).value == pytest.approx(float(told["volts"]), abs=0.011)
    assert tester.load_amps == float(told["amps"]) == cca / 2
    ohms = now.circuit[plus.split(".")[0]].ohms
    assert truth(item, one) == pytest.approx(ohms, rel=0.01)
    for form in (f"{1000 * ohms:g} mΩ", f"{1000 * ohms:g} milliohm", f"{ohms:g}".replace(".", ",") + " ohm"):
        assert mark(item, one, form).points == 4, form
    assert float(told["lost"]) == pytest.approx(float(told["rest"]) - float(told["volts"]))


@pytest.mark.parametrize(("case", "right"), [
    ("strong", "holds"), ("cold", "holds"), ("warm", "fails"), ("weak", "fails"), ("low", "charge it first"),
    ("half", "charge it first"), ("small", "tester too small"), ("hand tester", "tester too small"),
])
def test_05_4_is_judged_as_a_hand_would_by_the_rule(case, right):
    """At rest 12.4 V or more, half the cranking amps, then 9.6 V at 21 °C and 9.1 V at −1 °C (common practice)."""
    item, one = edition("05.4", case=case)
    figures = {name: float(value) for name, value in item.words[case].items()}
    least = {21: 9.6, 10: 9.4, -1: 9.1}[figures["celsius"]]
    by_hand = (
        "charge it first" if figures["rest"] < 12.4 else "tester too small" if figures["amps"] < 0.4 * figures["cca"]
        else "holds" if figures["volts"] >= least else "fails"
    )
    assert truth(item, one) == by_hand == right
    got = mark(item, one, right_answer(item, one))
    assert got.points == 4 and "The figures: rested at" in got.reason


def test_05_7_is_amps_times_ohms_and_signed():
    """4.06 A through 0.5 Ω is 2.03 V."""
    for loose in ("X1 high resistance 0.5 ohm", "X2 high resistance 0.5 ohm"):
        for leads, sign in (("straight", 1), ("swapped", -1)):
            item, one = edition("05.7", loose=loose, leads=leads)
            amps = machine("orchard-bike").operate(loose, key="on").amps["W1"]
            assert truth(item, one) == pytest.approx(sign * abs(amps) * 0.5, abs=0.01)
            assert mark(item, one, f"{sign * 2030} mV").points == 4
            assert mark(item, one, "0 V").ideas == ("wires-never-drop",)
            assert mark(item, one, f"{-sign * 2.03} V").points == 2


def test_05_8_each_of_two_sound_batteries_has_half():
    item, one = edition("05.8", black="G2.-", points="G2.+ G1.- G1.+")
    volts = truth(item, one)
    assert volts["G1.+"] == pytest.approx((25.4, 22.42), abs=0.01)
    for middle in ("G2.+", "G1.-"):
        assert volts[middle] == pytest.approx([top / 2 for top in volts["G1.+"]], abs=0.06)
    idea = wrong_volts(item, one)["no-current-no-volts"]
    asleep = {point: [f"{cell} V" for cell in row] for point, row in idea.items()}
    assert mark(item, one, asleep).ideas == ("no-current-no-volts",)
    forms = {"G2.+": ["12,7", "11.2"], "G1.-": ["12.7 V", "11.2V"], "G1.+": ["25.4", "22400 mV"]}
    assert mark(item, one, forms).points == 6
    minus_is_zero = mark(item, one, {"G2.+": ["12.7", "11.2"], "G1.-": ["0", "0"], "G1.+": ["25.4", "22.4"]})
    assert minus_is_zero.points == 4 and "G1.- is a minus post" in minus_is_zero.reason


def test_05_6_what_lamps_and_starter_share_is_what_makes_both_suffer():
    """Worked out from the drawing: battery and clamps carry all; W8 and M1 are the starter's alone."""
    for hidden, right in (
        ("X1 high resistance 0.5 ohm", {"G1 sulphated", "X1 high resistance 0.5 ohm", "X2 high resistance 0.5 ohm"}),
        ("G1 half charged", {"G1 half charged", "W8 high resistance 0.05 ohm", "M1 worn"}),
    ):
        item, one = edition("05.6", hidden=hidden)
        assert set(truth(item, one)) == right


# --- wrong answers, and forms


@pytest.mark.parametrize("case", ["flooded 12.0", "flooded 12.2", "flooded 12.4", "AGM 12.2", "AGM 12.4"])
def test_05_1_percent_in_any_form_and_both_slips(case):
    item, one = edition("05.1", case=case)
    percent = {"flooded 12.0": 25, "flooded 12.2": 50, "flooded 12.4": 75, "AGM 12.2": 25, "AGM 12.4": 50}[case]
    for form in (f"{percent} %", f"{percent}%", f"{percent}", f"about {percent} percent", f"{percent / 100}"):
        assert mark(item, one, form).points == 4, form
    for name, value in wrong_numbers(item, one).items():
        assert mark(item, one, f"{100 * value:.4f} %").reason == item.slips[name].reason, name


@pytest.mark.parametrize("question_id", ["05.2", "05.3", "05.7"])
def test_every_slip_is_met_with_its_own_words(question_id):
    item, one = question(question_id), variant(question(question_id), "autumn", "wren")
    for name, value in wrong_numbers(item, one).items():
        got, slip = mark(item, one, value), item.slips[name]
        assert (got.points, got.ideas) == (slip.points, (slip.idea,) if slip.idea else ()), name


@pytest.mark.parametrize("danger", ["spark", "ammeter"])
@pytest.mark.parametrize(("comes", "steps"), [("charger", 6), ("ride", 6), ("shelf", 5)])
def test_05_5_no_spark_and_no_step_before_its_time(comes, steps, danger):
    """Surface charge is there after charging only; the steps are common practice."""
    item, one = edition("05.5", comes=comes, danger=danger)
    raw, letters = right_answer(item, one), {item.options[index].id: "abcdefgh"[n] for n, index in enumerate(one.order)}
    assert len(raw) == steps and ("surface" in truth(item, one)) == (comes != "shelf")
    assert mark(item, one, raw).points == 4 and mark(item, one, raw[::-1]).points == 0
    got = mark(item, one, [letters["danger"], *raw])
    assert got.points < 4 and "Never" in got.reason
    if comes == "shelf":
        extra = mark(item, one, [raw[0], letters["surface"], *raw[1:]])
        assert extra.points == 3 and "no surface charge is left" in extra.reason


# --- what the lesson shows on the machines


def test_what_the_worked_jobs_show():
    """One cell of 2.1 V missing: about 10.5 V, gravities apart; sulphated: full at rest, nothing under load."""
    mower, bike, loader = (machine(name) for name in ("ride-on-mower", "orchard-bike", "compact-loader"))
    dead = mower.operate("G1 dead cell", key="off")
    assert 10.2 <= Multimeter("volts", black="G1.-", red="G1.+").read(dead).value <= 10.8
    floats = [Hydrometer(battery="G1", cell=cell).read(dead).value for cell in range(1, 7)]
    assert max(floats[1:]) - min(floats[1:]) <= 0.025 < floats[1] - floats[0]  # US Army TM 9-6140-200-14
    tester = LoadTester(minus="G1.-", plus="G1.+", cca=150)
    hard = bike.operate("G1 sulphated", key="off")
    assert Multimeter("volts", black="G1.-", red="G1.+").read(hard).value >= 12.6
    assert tester.read(hard).value < 9.6 < tester.read(bike.operate(key="off")).value
    weak = loader.operate("G2 sulphated", key="on", seat_bar="down")
    cranking = weak.then(start_button="pressed")
    volts = {name: [Multimeter("volts", black=f"{name}.-", red=f"{name}.+").read(now).value for now in (weak, cranking)]
             for name in ("G1", "G2")}
    assert volts["G1"][0] == pytest.approx(volts["G2"][0], abs=0.3)
    assert volts["G1"][1] > 10.5 and volts["G2"][1] < 9


def test_no_charger_brings_back_a_dead_cell_or_a_sulphated_battery():
    tried = 0
    for name in machine_ids():
        whole = machine(name)
        for fault in whole.faults:
            if fault.endswith((" dead cell", " sulphated")):
                assert not cures(whole, "charge", fault), (name, fault)
                tried += 1
            elif fault.endswith((" flat", " half charged", " quarter charged")):
                assert cures(whole, "charge", fault), (name, fault)
    assert tried >= 12
