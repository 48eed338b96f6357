"""Lesson 16: six cards on six machines, the report, the hand-over, and a published table read for a pair."""

import pytest
from editions import edition

from kit.exercises import mark, question, questions, right_answer, truth
from kit.exercises.cards import card
from kit.exercises.content_16 import JOBS
from kit.exercises.job_question import JobQuestion
from kit.exercises.number import wrong_numbers
from kit.exercises.question import Words
from kit.exercises.verdicts import refers
from kit.machines import machine, machine_ids


def test_six_jobs_one_a_machine_none_met_before():
    cards = [card(job.card) for job in JOBS]
    assert sorted(each.machine_id for each in cards) == sorted(machine_ids())
    others = {item.card for item in questions().values() if isinstance(item, JobQuestion) and item.lesson != "16"}
    assert not others & {each.id for each in cards}
    assert all(job.efficiency == 5 for job in JOBS)


def test_the_six_are_of_six_stages_and_one_is_to_be_referred():
    faults = {job.card: card(job.card).case().faults for job in JOBS}
    stages = {
        machine(card(name).machine_id).stage_of(each[0].split(" ")[0]).id for name, each in faults.items()
    }
    assert len(stages) == 6 - 1  # mower and tender are both met in the cranking circuit, and part there
    assert [name for name, each in faults.items() if refers(each)] == ["J14"]


def test_no_prompt_of_a_job_names_its_fault():
    for job in JOBS:
        for fault in card(job.card).case().faults:
            part, label = fault.split(" ", 1)
            told = f"{job.title} {job.prompt}"
            assert part not in told and label not in told


@pytest.mark.parametrize("never", question("16.1").given["never"])
def test_16_1_the_form_goes_from_asking_to_proof_and_no_part_is_tried(never):
    item, one = edition("16.1", never=never)
    order = truth(item, one)
    assert order[:3] == ("ask", "safe", "see") and "swap" not in order and order[-1] == "mend"
    raw = right_answer(item, one)
    assert mark(item, one, raw).points == 4
    swap = next(letter for letter in "abcdefgh" if letter not in raw)
    assert mark(item, one, [swap, *raw]).points < 4 and "no step" in mark(item, one, [swap, *raw]).reason


@pytest.mark.parametrize("case", question("16.2").given["case"])
def test_16_2_a_guess_blame_and_luck_have_no_place_in_a_report(case):
    item, one = edition("16.2", case=case)
    assert set(truth(item, one)) == {"unit", "readings", "cause", "done", "verified"}
    everything = list("abcdefgh")
    assert mark(item, one, everything).points < mark(item, one, right_answer(item, one)).points == 5


@pytest.mark.parametrize(("case", "name", "least", "most"), [
    # A contact or a ground with start held: 0.2 V at most (common practice); open, green or 5 Ω: volts.
    ("bike", "bike", 2.0, 0.2), ("boat", "boat", 11.0, 0.2), ("generator", "set", 2.0, 0.2),
    ("loader", "loader", 20.0, 0.2),
])
def test_16_2_the_readings_of_a_report_are_those_of_the_fault_and_of_the_repair(case, name, least, most):
    words = Words(*edition("16.2", case=case))
    before, after = (float(words[key].split()[0]) for key in (name, f"{name}_after"))
    assert before >= least and abs(after) <= most
    assert words[name] in words.fill("{seen}") and words[f"{name}_after"] in words.fill("{done}")


def test_16_3_the_side_is_worked_out_from_the_readings_told_and_the_mowers_own_limits():
    data = machine("ride-on-mower").data
    assert "10.5 V or more" in data["volts while cranking"] and "100 A" in data["cranking amps"]
    assert data["drop, plus side / ground side"] == "0.5 V / 0.3 V"
    for hidden in question("16.3").given["hidden"]:
        item, one = edition("16.3", hidden=hidden)
        words = Words(item, one)
        battery, plus, ground, starter, amps = (
            float(words[name].split()[0]) for name in ("battery", "plus", "ground", "starter", "amps")
        )
        if amps > 200:
            side = "refer" if "springs back" in words["hand"] else "starter"
        elif amps < 1 and starter > 12:
            side = "starter"
        else:
            over = {"battery": battery < 10.5, "plus": plus > 0.5, "ground": ground > 0.3}
            (side,) = (name for name, wrong in over.items() if wrong)
        assert truth(item, one) == side, (hidden, words["battery"], words["amps"])
        # One loop: what is lost on both sides and what the starter gets make up the battery's volts.
        assert plus + ground + starter == pytest.approx(battery, abs=0.03)


@pytest.mark.parametrize(("pair", "share"), [("24.0", 0.25), ("24.4", 0.50), ("24.8", 0.75), ("24.2", 0.375)])
def test_16_4_is_the_published_table_read_for_half_the_volts(pair, share):
    """Open-circuit volts → charge: ≤ 11.7 0 %; 12.0 25; 12.2 50; 12.4 75; ≥ 12.6 100 (US Army TM 5-3805-262-20)."""
    item, one = edition("16.4", pair=pair)
    assert truth(item, one) == pytest.approx(share)
    assert {"12.6 V and more | 100 %", "12.4 V | 75 %", "12.2 V | 50 %", "12.0 V | 25 %"} <= set(item.table)
    for said in (f"{100 * share:g} %", f"{100 * share:g}", f"about {100 * share:g} percent"):
        assert mark(item, one, said).points == 4
    # Both taken for one battery of 12 V: more than full.
    assert wrong_numbers(item, one)["both as one"] == 1.0
    assert "halve" in mark(item, one, "100 %").reason
