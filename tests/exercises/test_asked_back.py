"""A finding that names no such part, or contradicts itself, gets a question back; nothing recorded is lost."""

import pytest

import kit
from kit.errors import OperationError
from kit.exercises.acts import Find, Note, Refer
from kit.exercises.asked_back import question_back
from kit.exercises.evidence import finding
from kit.exercises.work import apply, begin, work

BIKE = kit.machine("orchard-bike")


def fault(part, words, role="fault"):
    return Find(role=role, part=part, fault=words)


@pytest.mark.parametrize(("act", "asks"), [
    (fault("K1", "contacts burnt 0.5 ohm"), ""),
    (fault("K1", "blown"), "F1 or F2 or F3 can"),
    (fault("K1", "F1 blown"), "You say K1 and then F1"),
    (fault("K1", "knackered"), "Is it coil open or"),
    (fault("K1", ""), "What is wrong with K1"),
    (fault("K1", "coil open", role="reason"), "what is wrong, or what made it happen"),
    # A cause is told in its own words.
    (fault("K1", "cranked on a weak battery", role="cause"), ""),
    (Note(text="it clicks", part="K1"), ""), (Note(text="nothing yet"), ""),
    (Note(text="it clicks", part="K1", fault="melted"), "Is it coil open or"),
    (Refer(part="M1", text="engine shop"), ""),
])
def test_what_is_asked(act, asks):
    said = question_back(BIKE, act)
    assert asks in said and bool(said) == bool(asks)


def test_no_such_part_is_asked_for_and_leaves_the_finding_before_it():
    now = begin(BIKE, ("F1 blown",))
    for part, words in (("K9", "mean K[12]"), ("starter relay", "mean K1"), ("zzz", "Which part do you mean")):
        with pytest.raises(OperationError, match=words):
            apply(now, fault(part, "blown"))


def test_what_was_said_stays_recorded_with_its_question():
    steps = list(work(BIKE, ("F1 blown",), [fault("F1", "blown"), fault("F1", "burnt to a crisp")]))
    assert steps[0].shown == "noted" and "Is it blown" in steps[1].shown
    # The last one said is the one that counts, question or not.
    assert finding(steps, "fault") == 1 and steps[1].act.fault == "burnt to a crisp"


def test_a_question_gives_nothing_away():
    """It is the same whatever is in the machine."""
    acts = [fault("K1", "knackered"), fault("F1", "coil open")]
    told = {tuple(step.shown for step in work(BIKE, faults, acts)) for faults in ((), ("F1 blown",), ("K1 coil open",))}
    assert len(told) == 1
