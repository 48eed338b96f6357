"""The work review: what each act was worth, who is charged for what, and the work explained line by line.

One card (one click, and that is all: starter relay contacts burnt), and learners who met it in different ways. What a
fair instructor gives stands beside each, from trade.md's marks: efficiency 5, taken from the test sheet's 10 (lesson 14
on); a right guess unproved at most 10 of 30; luck never charged; good parts by how likely they were good.
"""

import random

import pytest

from kit.diagnose.account import start_weights
from kit.diagnose.plan import End, plan
from kit.exercises.acts import (
    Ask,
    Explain,
    Feel,
    Find,
    HandBack,
    Lift,
    Look,
    Operate,
    Plug,
    Prepare,
    Press,
    Probe,
    Prove,
    Repair,
    Swap,
    Tidy,
    Unplug,
    Verify,
)
from kit.exercises.cards import begun, card, card_ids
from kit.exercises.evidence import still_suspect
from kit.exercises.job_question import JobQuestion, mark_job_question, story_of_job
from kit.exercises.jobs import counted, review
from kit.exercises.story import FELT, FEWEST, GOOD_WAY, MINUTES, NARROWED, QUICKER, story
from kit.exercises.verdicts import located
from kit.exercises.weighing import account_of, good_by_then, shows_the_complaint, to_points, weigh, worth_of
from kit.exercises.work import carry_on

CLICK = next(found for found in map(card, card_ids("orchard-bike")) if "One click, and" in found.complaint)
STICK = next(found for found in map(card, card_ids("orchard-bike")) if "with a stick" in found.complaint)
FAULTS, BRUSHES = CLICK.faults("wren", "autumn"), STICK.faults("wren", "autumn")
UNIT, FAULT = FAULTS[0].split(" ", 1)
CAUSES = {CLICK.id: "weak battery", STICK.id: "brushes"}
KEY_ON, KEY_OFF = (Operate(control="key", position=position) for position in ("on", "off"))
START = Press(control="start_button", position="pressed", seconds=2.0)
TO_GEAR, TO_NEUTRAL = (Operate(control="gear", position=position) for position in ("first", "neutral"))
TO_STOP, TO_RUN = (Operate(control="stop_switch", position=position) for position in ("stop", "run"))
READY = [*(Prepare(step=step) for step in CLICK.preparations), Prove(instrument="volts"),
         Ask(question="What was done to it lately, and by whom?"), KEY_ON, START]


@pytest.fixture(scope="module", autouse=True)
def shelf(tmp_path_factory):
    """The bike's table is made once for this module, and lies where nobody else looks."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("KIT_CACHE", str(tmp_path_factory.mktemp("shelf")))
        worth_of.cache_clear()
        yield


def volts(*pairs):
    return [act for black, red in pairs
            for act in (Probe(instrument="volts", leads=(black, red), reason="what is lost here under load"), START)]


def handed_over(tests, job=CLICK):
    """The tests, the finding that rests on their readings, the repair, and all that follows."""
    first = len(READY)
    acts = [*READY, *tests]
    cited = tuple(n for n in range(first, len(acts)) if isinstance(acts[n], (Probe, Press, Look)))
    unit, fault = job.faults("wren", "autumn")[0].split(" ", 1)
    cause = next(each for each in job.causes if CAUSES[job.id] in each)
    return [*acts, Find(role="fault", part=unit, fault=fault, readings=cited),
            Find(role="cause", part=unit, fault=cause), KEY_OFF, Unplug(part="X2"),
            Repair(part=unit, how="replace", steps=("same rating", "seated", "measured")), Plug(part="X2"), KEY_ON,
            TO_GEAR, START, TO_NEUTRAL, TO_STOP, START, TO_RUN, START, KEY_OFF, Lift(), Verify(text="cranks well"),
            *(Tidy(step=step) for step in ("leads", "covers", "tools", "key")), Explain(text="Renewed, and why."),
            HandBack()]


# Every suspect but the right one first, each by itself, and a spare tried before it is measured.
SLOWLY = [*volts(("G1.-", "G1.+"), ("X1.clamp", "G1.+"), ("G1.-", "X2.clamp"), ("X2.clamp", "X7.block"),
                 ("X7.block", "M1.body"), ("K1.85", "K1.86"), ("X4.lug", "X5.lug"), ("M1.stud", "X5.lug")),
          Swap(part="K1", to="spare"), START, Swap(part="K1", to="own"), *volts(("K1.87", "K1.30")), Look(part="K1")]
# Each test as good as any; each time the likelier answer does not come.
PATIENTLY = volts(("G1.-", "X4.lug"), ("G1.-", "K1.30"), ("G1.-", "K1.87"))
AT_ONCE = [Look(part="K1"), *volts(("K1.87", "K1.30"))]


def marked(acts, efficiency=5, job=CLICK, faults=FAULTS):
    return review(job, faults, acts, efficiency=efficiency)


def line(found, what):
    return next((each.points, each.of) for each in found.lines if each.what == what)


def account(acts, job=CLICK, faults=FAULTS):
    return account_of(weigh(job, faults, tuple(carry_on(begun(job, faults, brief=True), counted(acts)))))


# --- three learners


def test_one_who_guessed_right_has_nothing_to_be_quick_about():
    acts = [act for act in handed_over([Look(part="K1")]) if not isinstance(act, (Probe, Prove))]
    found = marked(acts)
    # The relay it is; 10 of 30 for it, nothing for the way, for there was none. Nobody renews a relay by luck.
    assert line(found, "Located, justified by readings") == (10, 30)
    assert line(found, "Efficiency") == (0, 5)
    # 8 of 15 for getting ready with no instrument proved, nothing for a sheet with no reading; the rest was done well.
    # No pass, though 60 points are reached: what is not shown is not known.
    assert line(found, "Prepare safely, prove the instruments") == (8, 15)
    assert line(found, "Test sheet") == (0, 5) and (found.points, found.passed) == (63, False)
    # The right part is not called wasted, however little spoke for it.
    assert line(found, "Good parts wasted") == (5, 5)


def test_one_who_proved_it_slowly_passes_and_pays_for_the_order_alone():
    found = marked(handed_over(SLOWLY))
    # All proved: everything but the order of the tests, 3.3 minutes expected and about 18 more.
    assert line(found, "Efficiency") == (1, 5)
    assert (found.points, found.passed) == (96, True)
    # Before lesson 14 the order costs nothing.
    assert marked(handed_over(SLOWLY), efficiency=0).points == 100


def test_one_who_was_unlucky_loses_nothing():
    """The starter's brushes are through: the good tests for "one click" ask for the relay and its joints first."""
    acts = handed_over([*volts(("G1.-", "X4.lug")), Look(part="X6"), Look(part="X5"), Look(part="W9"),
                        *volts(("M1.body", "M1.stud"))], job=STICK)
    weighed, found = account(acts, STICK, BRUSHES), marked(acts, job=STICK, faults=BRUSHES)
    # More minutes than were to be expected, and every one of them luck's.
    assert weighed.whole.luck > 1.0 and weighed.counted == 0.0 and weighed.efficiency == 1.0
    assert line(found, "Efficiency") == (5, 5) and (found.points, found.passed) == (100, True)
    # And one whose first reading happens to show it all gets no more.
    lucky = account(handed_over(AT_ONCE))
    assert lucky.whole.luck < -1.0 and marked(handed_over(AT_ONCE)).points == 100


def test_proving_asking_looking_and_one_confirming_test_are_free():
    plain = account(handed_over(PATIENTLY))
    careful = account(handed_over([Look(part="M1"), *PATIENTLY, *volts(("M1.body", "M1.stud"))]))
    assert careful.counted == plain.counted == 0.0
    # A dozen more of them afterwards are too much of a good thing.
    fussy = account(handed_over([*PATIENTLY, *volts(*[("M1.body", "M1.stud"), ("X4.lug", "X5.lug")] * 6)]))
    assert fussy.counted > 2.0


def test_acts_that_tell_nothing_are_charged_together_and_by_themselves():
    """A hand on a part is within two minutes of the best; nine readings in a row are not, and no test pays for them."""
    one = account(handed_over([Feel(part="M1"), *AT_ONCE]))
    nine = account(handed_over([*volts(*[("X1.clamp", "G1.+"), ("G1.-", "X2.clamp"), ("X2.clamp", "X7.block")] * 3),
                                *AT_ONCE]))
    assert one.counted == 0.0 and nine.counted > 5.0
    idle = [stretch for stretch in nine.stretches if stretch.counted]
    assert len(idle) == 1 and len(idle[0].parts) == 1 and idle[0].judged.luck == pytest.approx(0.0, abs=1e-9)


# --- the identity, on anything done


def test_minutes_regret_luck_and_gap_add_up_whatever_is_done():
    rng = random.Random("identity")
    points = [str(terminal) for terminal in CLICK.machine.points]
    for _ in range(5):
        acts = [KEY_ON]
        for _ in range(12):
            acts.append(rng.choice([
                Probe(instrument=rng.choice(("volts", "lamp")), leads=tuple(rng.sample(points, 2))), START, START,
                Look(part=rng.choice(("K1", "M1", "X3", "X4"))), Swap(part="K1", to=rng.choice(("spare", "own"))),
                Operate(control="key", position=rng.choice(("on", "off"))),
            ]))
        whole = account([*acts, HandBack()]).whole
        assert whole.spent == pytest.approx(
            whole.expected - whole.left + whole.regret + whole.luck + whole.gap, abs=1e-9
        )
        assert whole.regret >= 0.0


def test_the_plan_itself_is_never_charged():
    """For every suspect that fits the complaint: whoever follows the plan pays nothing, and luck makes the difference.
    """
    worth = worth_of(CLICK.machine)
    table = worth.table
    fits = [" + ".join(suspect) for suspect in shows_the_complaint(CLICK, FAULTS)]
    way = plan(table, start_weights(table, fits), search=worth.search)
    for name in fits:
        at, acts = way.root, [KEY_ON, START]
        while not isinstance(at, End):
            kind, leads, _, part = table.keys[at.test]
            probe = "lamp" if kind == "lamp" else "volts"
            acts += [Look(part=part)] if kind == "look" else [Probe(instrument=probe, leads=leads), START]
            assert kind in ("look", "lamp", "volts")
            at = dict(at.branches)[int(table.outcomes[table.suspects.index(name), at.test, 0])]
        faults = tuple(name.split(" + "))
        steps = tuple(carry_on(begun(CLICK, faults, brief=True), acts))
        weighed = account_of(weigh(CLICK, faults, steps))
        assert weighed.counted == 0.0, name


# --- parts, points, story


def test_a_part_is_charged_by_how_likely_it_was_good():
    steps = tuple(carry_on(begun(CLICK, FAULTS, brief=True), READY))
    chance, elsewhere, of = good_by_then(CLICK, FAULTS, steps, "M1")
    # A click and a still engine: the starter is one of eight units, and no worse a guess than the relay.
    assert 0.5 < chance < 0.95 and 0 < elsewhere < of
    assert good_by_then(CLICK, FAULTS, steps, "F3")[0] == 1.0
    wrong = [*READY, Repair(part="M1", how="replace"), START, *AT_ONCE, Find(role="fault", part=UNIT, fault=FAULT)]
    blind = [*READY, *AT_ONCE, Repair(part="M1", how="replace"), Find(role="fault", part=UNIT, fault=FAULT)]
    mild, full = (line(marked([*acts, HandBack()]), "Good parts wasted")[0] for acts in (wrong, blind))
    assert full == 3 and mild == to_points(5 - 2 * chance) >= full


def test_points_are_whole_and_the_last_digit_decides_nothing():
    assert [to_points(points) for points in (2.5, 2.5 - 1e-9, 2.5 + 1e-9, 2.49, 0.0)] == [3, 3, 3, 2, 0]
    first, second = (marked(handed_over(SLOWLY)) for _ in range(2))
    assert first == second and all(isinstance(each.points, int) for each in first.lines)
    assert sum(each.of for each in first.lines) == 100


def test_the_story_of_the_slow_one():
    told = story(CLICK, FAULTS, handed_over(SLOWLY))
    lines = list(told.lines())
    headings = list(dict.fromkeys(heading for heading, _ in lines))
    assert headings == [NARROWED, FEWEST, FELT, QUICKER, GOOD_WAY, MINUTES]
    assert [each.after for each in told.narrowed][-1] == 1
    assert all(before.after == after.before for before, after in zip(told.narrowed, told.narrowed[1:], strict=False))
    # trade.md 2: under load a burnt contact leaves about 0.9 V at the stud.
    assert "Behind K1 there are 0.9 V" in told.felt
    assert len(told.quicker) == 3 and all("Charged" in text for text in told.quicker)
    assert told.better[-1] == "Left: K1."
    # Its own fewest are fewer than what it took, and rule out all it ruled out.
    assert told.fewest.startswith("4 lines") and "you took 9 readings" in told.fewest


def test_a_story_without_readings_says_what_is_missing():
    told = story(CLICK, FAULTS, [*READY, Find(role="fault", part=UNIT, fault=FAULT), HandBack()])
    assert told.fewest.startswith("Your readings do not show K1 yet") and "M1" in told.fewest
    assert not told.felt and not told.quicker and "about" in told.minutes


def test_the_question_has_the_same_mark_and_its_story():
    from kit.exercises import questions, variant
    from kit.exercises.acts import fields_from_act

    asked = next(item for item in questions().values()
                 if isinstance(item, JobQuestion) and card(item.card).machine_id == "orchard-bike")
    drawn = variant(asked, "autumn", "wren")
    raw = [fields_from_act(act) for act in (KEY_ON, Look(part="F1"))]
    assert story_of_job(asked, drawn, raw) == ()
    lines = story_of_job(asked, drawn, [*raw, fields_from_act(HandBack())])
    assert {heading for heading, _ in lines} >= {NARROWED, MINUTES}
    assert mark_job_question(asked, drawn, raw).of == 100


def test_where_the_complaint_leaves_nothing_the_good_way_is_the_proof():
    """trade.md, "neutral lamp lies": only the diode shows this, and the diode test, out, is what proves it."""
    lies = next(found for found in map(card, card_ids("orchard-bike")) if "neutral lamp lies" in found.complaint)
    told = story(lies, lies.faults("wren", "autumn"), [KEY_ON, HandBack()])
    assert told.better[0].startswith("The complaint leaves nothing else; to prove it: Diode test")
    assert "about 0.0 V one way, about 0.0 V the other" in told.better[0] and told.better[-1] == "Left: R1."


def test_a_way_that_needs_no_instrument_is_proved_with_one():
    """trade.md, "slow, clutch cable hot": the drop from the block to battery minus under load is what shows it."""
    slow = next(found for found in map(card, card_ids("orchard-bike")) if "clutch cable gets hot" in found.complaint)
    told = story(slow, slow.faults("wren", "autumn"), [KEY_ON, HandBack()])
    # What is printed on the other cable has an answer; whether this joint has gone green or not may stay hidden.
    assert told.better[0].startswith("Look at W10") and not any(line.startswith("Look at X8") for line in told.better)
    proof = next(line for line in told.better if "to prove it" in line)
    assert proof.startswith("What was seen leaves nothing else; to prove it: Meter black on X8.lug, red on X7.block")
    assert told.better[-1] == "Left: X8."


def test_what_is_taken_off_for_a_test_is_part_of_it():
    """A lug off, leads on: one test with its minutes, not an idle act and then a test."""
    acts = handed_over([Unplug(part="X5"), Probe(instrument="ohms", leads=("M1.body", "M1.stud"), reason="brushes?"),
                        Plug(part="X5"), *AT_ONCE])
    first = len(READY)
    stretch = next(each for each in account(acts).stretches if first + 1 in each.numbers)
    # OL with the brushes through, next to nothing with anything else: it does part the suspects.
    assert stretch.numbers == (first, first + 1) and len(stretch.parts) == 2
    minutes = [step.minutes for step in carry_on(begun(CLICK, FAULTS, brief=True), counted(acts))]
    assert stretch.judged.minutes == pytest.approx(minutes[first] + minutes[first + 1]) and minutes[first] > 0.0


def test_a_look_that_shows_nothing_clears_what_cannot_be_missed_alone():
    """A part can look fine and be bad (common practice): seen is there, not seen may be there all the same."""
    looked = [*READY, Look(part="X4")]
    left = {suspect[0] for suspect in still_suspect(CLICK, carried(looked), planted=FAULTS)}
    before = {suspect[0] for suspect in still_suspect(CLICK, carried(READY), planted=FAULTS)}
    # In two pieces or not, anybody sees; a dull edge under a boot is missed.
    assert {"X4 open", "X4 high resistance 0.5 ohm"} <= before
    assert before - left == {"X4 open"}
    # With the dull edge seen, nothing else is left but what shows it.
    furry = ("X4 high resistance 0.5 ohm",)
    steps = tuple(carry_on(begun(CLICK, furry, brief=True), looked))
    assert {suspect[0].split()[0] for suspect in still_suspect(CLICK, steps, planted=furry)} == {"X4"}
    # It weighs what it says: the joint is a quarter as likely by then, and the minutes still add up.
    look = next(each for each in account([*looked, HandBack()]).stretches if len(READY) in each.numbers)
    table, after = worth_of(CLICK.machine).table, look.parts[0]
    at = table.suspects.index(furry[0])
    assert after[at] == pytest.approx(0.25 * look.before[at])
    assert sum(part[at] for part in look.parts) == pytest.approx(look.before[at])


def carried(acts):
    return tuple(carry_on(begun(CLICK, FAULTS, brief=True), acts))


def test_a_battery_that_has_run_down_is_what_came_of_it():
    """trade.md, "flat by Monday": the battery is the usual wrong conclusion, and the owner said as much."""
    monday = next(found for found in map(card, card_ids("harbour-tender")) if "flat by Monday" in found.complaint)
    faults = monday.faults("wren", "autumn")
    assert faults[1] == "G1 flat"
    said = tuple(carry_on(begun(monday, faults, brief=True), [Find(role="fault", part="G1", fault="flat")]))
    line_ = located(monday, faults, said)
    assert line_.points == 4 and "Find what emptied it" in line_.why
