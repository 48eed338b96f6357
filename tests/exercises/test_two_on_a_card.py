"""A job card with two faults that have nothing to do with each other: found, proved, mended and retested one by one.

What is asked is common practice of the trade: a repair is proved by its own reading, tried under the owner's own
complaint, and where that is not gone the search begins anew from what the machine does then. That a single fault is
assumed first and two only when no single one explains all: de Kleer and Williams, Artificial Intelligence 32, 1987.
"""

import pytest

from kit.bay import MachineBay
from kit.cli.invented_work import worked
from kit.exercises import question
from kit.exercises.acts import (
    TIDY,
    Again,
    Ask,
    Explain,
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
    fields_from_act,
)
from kit.exercises.cards import NO_CAUSE, begun, card, unseal
from kit.exercises.evidence import pinned, still_suspect
from kit.exercises.job_question import mark_job_question
from kit.exercises.jobs import review
from kit.exercises.legs import legs
from kit.exercises.pairs import beside, share_of_two
from kit.exercises.question import variant
from kit.exercises.repairs import WAYS
from kit.exercises.story import FEWEST, GOOD_WAY, LEGS, NARROWED, ORDER, story
from kit.exercises.work import carry_on
from kit.paper.job_cards import card_answer
from kit.records import Record

JOB = card("J61")
BOAT = JOB.machine
LEVER, BUTTON, SOCKET = PAIRS = tuple(unseal(each) for each in JOB.sealed)
MINUS = "G1.-"
START = Press(control="start_button", position="pressed", seconds=2.0)
WHY = "does the current come this far while start is held?"
HOW = {"B1": "adjust", "S2": "replace", "X12": "replace", "K1": "replace", "X8": "clean", "X5": "clean"}


def put(**positions):
    return [Operate(control=name, position=at) for name, at in positions.items()]


def held(*leads):
    """Volts on each pair of points, or the clamp round a wire, start held for each."""
    return [act for each in leads for act in (
        Probe(instrument="volts" if len(each) == 2 else "clamp", leads=each, reason=WHY), START)]


READY = [*(Prepare(step=step) for step in JOB.preparations), Prove(instrument="volts"),
         Ask(question="What was done to it lately, and by whom?"), *put(isolator="on", key="on"), START]


def stated(fault, cited, cause=None):
    part, _, words = fault.partition(" ")
    return [Find(role="fault", part=part, fault=words, readings=tuple(cited)),
            Find(role="cause", part=part, fault=cause or BOAT.notes[fault].cause)]


def mended(part, how=""):
    how = how or HOW[part]
    return [*put(key="off", isolator="off"), Lift(), Unplug(part="X2"),
            Repair(part=part, how=how, steps=tuple(WAYS[how].steps)), Plug(part="X2"), *put(isolator="on", key="on")]


def shown(acts, fault, *tests):
    """The acts, then these tests and the finding that rests on them."""
    acts = [*acts, *tests]
    return [*acts, *stated(fault, range(len(acts) - len(tests), len(acts)))]


HANDED = [*put(key="off", isolator="off"), Lift(), *(Tidy(step=step) for step in TIDY), Explain(text="two things"),
          HandBack()]
OVER = [*put(lever="ahead"), START, *put(lever="neutral"), START, Verify(text="she starts"), *HANDED]

# For each pair a way to both that no test of another order would have beaten by more than is fair.
ROUTES = {
    LEVER: ([*held((MINUS, "X12.socket"), (MINUS, "B1.1"), (MINUS, "B1.2")), Look(part="B1")],
            held((MINUS, "K1.87"), ("K1.87", "K1.30"))),
    BUTTON: ([*held((MINUS, "X12.socket"), (MINUS, "S2.2"), (MINUS, "S2.1")), Look(part="S2")],
             [*held(("W1",), (MINUS, "K1.87")), Look(part="X8")]),
    SOCKET: ([*held((MINUS, "X12.socket"), (MINUS, "K1.86")), Look(part="X12")], held(("W1",), ("K3.30", "X5.lug"))),
}


def first_done(pair):
    return [*shown(READY, pair[0], *ROUTES[pair][0]), *mended(pair[0].split()[0])]


def both_done(pair):
    return [*shown([*first_done(pair), START, Verify()], pair[1], *ROUTES[pair][1]), *mended(pair[1].split()[0]), *OVER]


def marked(pair, acts):
    return review(JOB, pair, acts, efficiency=5)


def points(found):
    return [line.points for line in found.lines]


def why(found, what):
    return next(line.why for line in found.lines if line.what.startswith(what))


def done(pair, acts):
    return tuple(carry_on(begun(JOB, pair), acts))


# --- the card


def test_three_pairs_one_complaint_and_after_the_first_repair_another():
    """Each first fault alone shows all that both show; each second alone does something, and never starts."""
    asked = JOB.complaint_positions
    does = [tuple(BOAT.operate(*faults, **asked).word(part) for part in ("K1", "K3", "M1"))
            for pair in PAIRS for faults in (pair, pair[:1], pair[1:])]
    silent, click, clunk = ("at rest", "at rest", "still"), ("pulled in", "at rest", "still"), (
        "pulled in", "pulled in", "still")
    assert does == [silent, silent, click, silent, silent, click, silent, silent, clunk]
    assert all(BOAT.operate(**asked).word(part) == word for part, word in JOB.healthy.items())
    assert len({part for pair in PAIRS for fault in pair for part in fault.split()[:1]}) == 6
    assert {JOB.faults(f"learner {n}", "autumn") for n in range(30)} == set(PAIRS)
    causes = [BOAT.notes[fault].cause for pair in PAIRS for fault in pair]
    assert set(causes) < set(JOB.causes) and JOB.causes[-1] == NO_CAUSE


def test_the_burnt_contact_reads_what_ohms_law_says():
    """0.5 Ω of contact before the solenoid's two windings: pull 0.4 Ω through the motor's 0.012, hold 1.2 Ω.

    They are 0.31 Ω together; with W15, W16, the isolator side and the minus cable, 25 mΩ, on 12.7 V: 7.7 V on the
    contact. Kirchhoff by hand, wires by IEC 60228.
    """
    windings = 1 / (1 / 0.412 + 1 / 1.2)
    by_hand = 12.7 * 0.505 / (0.505 + windings + 0.025)
    *_, last = done(LEVER[1:], [*put(isolator="on", key="on"), *held(("K1.87", "K1.30"))])
    assert float(last.reading.split()[0]) == pytest.approx(by_hand, abs=0.15)


def test_a_rival_of_a_pair_does_alone_what_the_one_in_its_place_does():
    pairs = beside(JOB, LEVER)
    assert pairs[0] == LEVER and len(pairs) == len(set(pairs)) > 15
    assert (LEVER[0], "W16 open") in pairs and ("S2 stuck open", LEVER[1]) in pairs
    assert (LEVER[0], "W13 open") not in pairs and ("W16 open", LEVER[1]) not in pairs
    # Two at once are met far more seldom than either alone (common practice; kit.diagnose.priors).
    assert share_of_two(BOAT, LEVER, LEVER) < 0.1


# --- whoever does both well


@pytest.mark.parametrize("pair", PAIRS, ids=lambda pair: pair[0].split()[0])
def test_both_found_proved_mended_and_retested_earn_full_marks(pair):
    found = marked(pair, both_done(pair))
    assert (points(found), found.points, found.passed) == ([15, 10, 30, 15, 15, 5, 5, 5], 100, True)


def test_no_reading_from_before_the_repair_proves_the_second_unless_it_still_parts():
    """After the lever switch is set eleven could make a silent starter; a reading taken before tells them apart only
    where it was of the far side."""
    part = LEVER[1].split()[0]
    near = [*READY, *ROUTES[LEVER][0], *mended("B1"), START]
    left = still_suspect(JOB, done(LEVER, near), planted=LEVER)
    assert len(left) == 11 and not pinned(JOB, part, left)
    # A link past the switch asks the relay while the switch is still dead: it clicks, and K1.87 stays low.
    link = Probe(instrument="jumper", leads=("B1.1", "B1.2"))
    far = [*READY, link, START, *ROUTES[LEVER][0], *mended("B1"), START]
    assert len(still_suspect(JOB, done(LEVER, far), planted=LEVER)) == 11
    # No single fault explains that click, so the order of the tests is weighed up to there and no further.
    one, *_ = legs(JOB, LEVER, done(LEVER, far))
    assert one.before(len(one.steps)) > 0 and [type(step.act) for step in one.steps].count(Press) == 1
    # The ohms of the starter's ground, with minus off, rule the ground out before anything is mended, and for good.
    ohms = [*put(key="off", isolator="off"), Unplug(part="X2"), Probe(instrument="ohms", leads=("M1.body", "X9.block")),
            Lift(), Plug(part="X2"), *put(isolator="on", key="on")]
    left = still_suspect(JOB, done(LEVER, [*READY, *ohms, *ROUTES[LEVER][0], *mended("B1"), START]), planted=LEVER)
    assert 0 < len(left) < 11 and not any("X8" in fault for suspect in left for fault in suspect)


# --- half a job, wrong findings, parts on a guess


@pytest.mark.parametrize("tried", [[START], []], ids=["tried", "not tried"])
def test_one_found_and_handed_back_is_half_a_job_and_says_so(tried):
    found = marked(LEVER, [*first_done(LEVER), *tried, Verify(), *HANDED])
    assert points(found) == [15, 10, 15, 8, 3, 5, 3, 0] and not found.passed and not found.whole
    assert "K1 was never found: with that fault left this is half a job" in why(found, "Located")
    assert "Half a job: B1 is put right and stays so, K1 is not" in why(found, "Repair")
    assert ("it did not start" in why(found, "Repair")) is bool(tried)
    assert "No cause was stated for K1" in why(found, "Root cause")


def test_both_mended_and_only_one_proved_is_no_pass():
    acts = [*first_done(LEVER), START, *mended("K1"), *stated(LEVER[1], ()), *OVER]
    found = marked(LEVER, acts)
    assert found.whole and not found.passed and points(found)[2] == 17
    assert "K1 it is, but when it was put right your readings had not shown it" in why(found, "Located")


def test_a_wrong_first_finding_costs_what_it_cost_and_the_right_ones_stand():
    acts = shown(READY, "W13 open", *held((MINUS, "X12.socket")), Look(part="X12"))
    acts = [*acts, *mended("W13", "replace"), START]
    acts = [*shown(acts, LEVER[0], *held((MINUS, "B1.1"), (MINUS, "B1.2"))), *mended("B1"), START]
    acts = [*shown(acts, LEVER[1], *ROUTES[LEVER][1]), *mended("K1"), *OVER]
    found = marked(LEVER, acts)
    assert points(found)[2:5] == [30, 15, 15] and found.passed
    assert points(found)[5] == 3 and "W13" in why(found, "Good parts") and points(found)[7] < 5


def test_parts_on_a_guess_prove_nothing_and_are_charged_as_on_any_card():
    acts = [*READY, *(act for part in ("S2", "W12", "B1", "W13", "K1") for act in (*mended(part, "replace"), START))]
    found = marked(LEVER, [*acts, *stated(LEVER[0], ()), *stated(LEVER[1], ()), *OVER])
    assert points(found)[2] == 4 and points(found)[5:] == [0, 0, 0] and not found.passed and found.whole
    # By hand: S2 one of eleven that could be it, W12 of ten, W13 of the far side: about 1.5 + 1.9 + 2 of the 5 points.
    assert all(part in why(found, "Good parts") for part in ("S2", "W12", "W13"))


def test_naming_everything_is_to_have_found_nothing():
    acts = [*READY, *ROUTES[LEVER][0]]
    finds = [Find(role="fault", part=part, fault="open", readings=(11, 13))
             for part in ("S2", "W12", "W13", "B1", "K1")]
    swept = marked(LEVER, [*acts, *finds, *mended("B1"), HandBack()])
    # B1 proved and called something else, K1 not shown: 10 + 2, and five off for the third sound part.
    assert points(swept)[2] == 10 + 2 - 5 and "name everything" in why(swept, "Located")
    changed = marked(LEVER, [*acts, *stated(LEVER[0], ()), *finds[:1], HandBack()])
    assert points(changed)[2] == 0 and "S2 does not fit your own readings: it was B1" in why(changed, "Located")


def test_the_hidden_one_first_is_right_too_and_stated_late_counts_by_what_was_shown_before():
    start = [*READY, Look(part="X5")]
    acts = [*shown(start, SOCKET[1], Look(part="X5")), *mended("X5"), START, Verify()]
    acts = [*acts, *ROUTES[SOCKET][0], *mended("X12"), *stated(SOCKET[0], range(len(acts), len(acts) + 4)), *OVER]
    found = marked(SOCKET, acts)
    assert points(found)[2:6] == [30, 15, 15, 5] and found.passed
    told = list(story(JOB, SOCKET, acts).lines())
    assert any("You put X5 right first, though X12 hid it" in text for _, text in told)


def test_a_good_spare_proves_a_part_and_is_no_repair():
    acts = [*first_done(LEVER), START, *put(key="off"), Swap(part="K1", to="spare"), *put(key="on"), START]
    swapped = [*acts, *stated(LEVER[1], (len(acts) - 1,)), *put(key="off", isolator="off"), Swap(part="K1", to="own"),
               *mended("K1"), *OVER]
    assert points(marked(LEVER, swapped))[2] == 30
    # Left in for good it is a part renewed, and the second leg begins there.
    stays = shown(READY, LEVER[0], *ROUTES[LEVER][0], Swap(part="B1", to="spare"), START)
    stays = [*shown(stays, LEVER[1], *ROUTES[LEVER][1]), *mended("K1"), *OVER]
    found = marked(LEVER, stays)
    assert found.whole and points(found)[2] == 30 and len(legs(JOB, LEVER, done(LEVER, stays))) == 2


@pytest.mark.parametrize(("said", "looked", "earned"), [
    (NO_CAUSE, True, 10), ("contacts burnt 0.5 ohm", True, 10), ("chafed through", True, 8),
    ("cranked on a weak battery", False, 12)])
def test_each_fault_has_a_cause_of_its_own(said, looked, earned):
    """By hand, half of 15 for the lever's, and half of the relay's: 5 (none, or the fault again), 0, or 8 unasked."""
    acts = both_done(LEVER)
    if not looked:
        acts = [act for act in acts if not isinstance(act, Ask)]
    acts = [Find(role="cause", part="K1", fault=said) if isinstance(act, Find) and act.role == "cause"
            and act.part == "K1" else act for act in acts]
    assert points(marked(LEVER, acts))[3] == earned


# --- verified too soon


def test_verified_is_answered_by_what_the_machine_does():
    def answers(pair, acts):
        return [step.shown for step in done(pair, acts) if isinstance(step.act, Verify)]

    (early,) = answers(LEVER, [*READY, Verify()])
    assert early == "Not yet: nothing has been mended so far."
    untried, changed, well = answers(LEVER, [*first_done(LEVER), Verify(), START, Verify(), *mended("K1"), *OVER])
    assert "was not tried as the owner had it" in untried and well == "noted"
    assert "it does something new. The start relay clicks. That is your repair. Read once more" in changed
    assert "Begin anew from what it does now." in changed and "K1" not in changed
    # The wrong part renewed, or the hidden one first: it does what it did, and the reading at one's own work decides.
    for pair, part, how in ((LEVER, "W13", "replace"), (SOCKET, "X5", "clean")):
        (same,) = answers(pair, [*READY, *mended(part, how), START, Verify()])
        assert "it does what it did before" in same and "Look at your own work first" in same
    # A light switched on is nothing new, and a plug left off no repair: what was done otherwise is only told.
    lit, off = (answers(LEVER, [*READY, *mended("W13", "replace"), *more, START, Verify()])[0] for more in (
        put(lights="on"), [Unplug(part="X2")]))
    assert "it does this now:" in lit and off.startswith("Not yet: X2 is still off")
    (again,) = answers(LEVER, [*first_done(LEVER), START, Again(), *READY, Verify()])
    assert again == early


def test_work_goes_on_in_another_kernel_between_the_two_repairs(tmp_path):
    def bay():
        record = Record.open(folder=tmp_path, course="autumn", learner="wren")
        return MachineBay(BOAT, record=record, faults=JOB.faults("wren", "autumn"), card=JOB), record

    before, record = bay()
    for act in (*first_done(LEVER), START):
        before.do(act)
    first = before.do(Verify())
    assert first.startswith("Not yet, but you have come on: as the owner had it") and before.view["not_yet"] == first
    assert not before.view["verified"] and [one["part"] for one in before.view["findings"]] == ["B1", "B1"]
    record.close()
    after, record = bay()
    assert after.view["said"] == "Here is where you left it." and after.view["not_yet"] == first
    for act in both_done(LEVER)[len(first_done(LEVER)) + 2:]:
        after.do(act)
    assert after.view["review"]["points"] == 100 and after.view["verified"] and not after.view["not_yet"]
    assert [line.split(":")[0] for line in after.view["review"]["truth"]] == list(LEVER)


# --- the work told, and the assessor's rows


def test_the_story_has_a_leg_for_each_fault_and_sums_both():
    told = list(story(JOB, LEVER, both_done(LEVER), efficiency=5).lines())
    headings = [heading for heading, _ in told]
    for leg, part in zip(LEGS, ("B1", "K1"), strict=True):
        assert {f"{leg}: {each[0].lower()}{each[1:]}" for each in (NARROWED, FEWEST, GOOD_WAY)} <= set(headings)
        way = [text for heading, text in told if heading.startswith(leg) and heading.endswith("one good way")]
        assert way[-1] == f"Left: {part}."
    assert headings[-1] == ORDER and told[-1][1].startswith("5 of 5")
    one, two = legs(JOB, LEVER, done(LEVER, both_done(LEVER)))
    assert (one.faults, two.faults) == (LEVER[:1], LEVER[1:]) and len(one.open) == len(two.open) == 11
    # The repaired part is sound in the second leg, and all start from one fault alone.
    assert all(len(name) == 1 and "B1" not in name[0] for name in two.open)


def test_a_marked_record_has_the_reasons_of_both_halves():
    asked = question("15.10")
    mine = variant(asked, "autumn", "wren")
    pair = JOB.faults("wren", "autumn")
    found = mark_job_question(asked, mine, [fields_from_act(act) for act in [*first_done(pair), START, *HANDED]])
    assert (found.points, found.of) == (59, 100) and found.reason.endswith("Not yet a pass.")
    assert "half a job" in found.reason.lower()


def test_the_instructors_paper_tells_both():
    told = card_answer("J61", "wren", "autumn")
    assert all(part in " ".join(told.faults) for part in ("B1", "K1")) and "and with it" not in told.faults[0]
    assert "With B1 put right: The start relay clicks." in told.shows and "B1 hides K1" in told.why
    assert told.cause == "B1: linkage wear. K1: cranked on a weak battery"


def test_invented_learners_work_it_in_their_ways():
    """What a fair instructor gives: who measures passes, who is hasty has half a job, who guesses nothing."""
    assert marked(BUTTON, worked(JOB, BUTTON, "thorough")).passed
    hasty = marked(BUTTON, worked(JOB, BUTTON, "hasty"))
    assert points(hasty)[2] == 15 and not hasty.passed
    assert points(marked(BUTTON, worked(JOB, BUTTON, "guessing")))[2] == 0
