"""Criteria beside evidence, ideas named after two agreeing answers, the class report, questions for the assessor."""

from dataclasses import replace

import pytest

from kit.exercises.ideas import IDEAS
from kit.exercises.number import wrong_numbers
from kit.marking import default_rubric, mark_folder, write_pages
from kit.marking.class_report import class_report
from kit.marking.feedback import agreements, named_ideas, practice
from kit.marking.integrity import Kept, doubts, oral_questions
from kit.marking.marks import JobLine, LearnerMarks, Observed, Row
from kit.marking.matrix import Proposal, coverage, standings

RUBRIC = default_rubric()


def row(name, points, of=4, *, criteria=("figures",), machine="orchard-bike", **more):
    usual = {
        "question": name, "version": 1, "title": "t", "prompt": "p", "answer": "a", "points": points, "of": of,
        "attempts": 1, "note": "", "reason": "", "ideas": (), "kind": "number", "variant": "v", "kit_points": points,
        "kit_of": of, "criteria": criteria, "machine": machine,
    }
    return Row(**usual | more)


def marks(*rows, name="wren", **more):
    return LearnerMarks(learner=name, rows=rows, troubles=(), **more)


def proposed(one, criterion):
    return next(each for each in standings(one, RUBRIC) if each.criterion.id == criterion)


def job(*points, caps=(), back=True):
    lines = tuple(JobLine(what="l", points=got, of=of, why="") for got, of in zip(
        points, (15, 10, 30, 15, 15, 5, 10), strict=True))
    acts = [{"act": "probe", "instrument": "lamp", "leads": ["G1.-", "F1.1"]}]
    acts += [{"act": "hand back"}] if back else []
    return row("06.7", sum(points), 100, kind="job", lines=lines, caps=caps, raw=acts, card="J1",
               criteria=("find", "cause", "safe"))


# --- the matrix: the default rubric wants 3 exercises on 2 machines, each from 60 % of its points


@pytest.mark.parametrize(("earned", "wanted"), [
    ([(4, "a"), (4, "a"), (4, "a")], Proposal.TOO_LITTLE),  # one machine only
    ([(4, "a"), (4, "b")], Proposal.TOO_LITTLE),  # two exercises only
    ([(4, "a"), (4, "b"), (4, "b")], Proposal.MET),
    ([(4, "a"), (3, "b"), (2, "b")], Proposal.MET),  # 75 % speaks for it, 50 % does not: 2 of 3 are 67 %
    ([(4, "a"), (2, "b"), (2, "b")], Proposal.NOT_YET),
])
def test_met_not_yet_and_not_enough_evidence(earned, wanted):
    rows = [row(f"0{n}.1", points, machine=machine) for n, (points, machine) in enumerate(earned)]
    assert proposed(marks(*rows), "figures").proposal is wanted


def test_what_was_not_answered_or_waits_for_a_person_is_no_evidence():
    rows = [row(f"0{n}.1", 4, machine=machine) for n, machine in enumerate("aab")]
    waiting = row("09.9", 0, 0, by_hand=4)
    assert len(proposed(marks(*rows, waiting, row("08.1", 0, attempts=0)), "figures").pieces) == 3
    assert len(proposed(marks(*rows, replace(waiting, hand=1)), "figures").pieces) == 4


def test_a_job_speaks_by_its_own_lines_and_only_once_it_is_handed_back():
    one = marks(job(15, 10, 30, 0, 0, 5, 10))
    found = {name: proposed(one, name).pieces[0] for name in ("find", "cause", "safe")}
    assert (found["find"].points, found["find"].speaks_for) == (30, True)
    assert (found["cause"].points, found["cause"].speaks_for) == (0, False)
    assert not proposed(marks(job(15, 10, 30, 0, 0, 5, 10, back=False)), "find").pieces


def test_an_unsafe_act_is_not_averaged_away():
    good = [row(f"0{n}.1", 4, machine=machine, criteria=("safe",)) for n, machine in enumerate("aabbab")]
    seen = (Observed(criterion="safe", met=True, marker="rook"),)
    assert proposed(marks(*good, observed=seen), "safe").proposal is Proposal.MET
    capped = job(15, 10, 30, 15, 15, 5, 10, caps=("A: cranked unsecured",))
    unsafe = proposed(marks(*good, capped, observed=seen), "safe")
    assert unsafe.proposal is Proposal.NOT_YET and "averaged" in unsafe.why


def test_what_has_to_be_seen_by_hand_is_never_met_by_the_kit_alone():
    good = [row(f"0{n}.1", 4, machine=machine, criteria=("measure",)) for n, machine in enumerate("aab")]
    assert proposed(marks(*good), "measure").proposal is Proposal.TOO_LITTLE
    for met, wanted in ((True, Proposal.MET), (False, Proposal.NOT_YET)):
        seen = (Observed(criterion="measure", met=met, marker="rook"),)
        assert proposed(marks(*good, observed=seen), "measure").proposal is wanted


def test_criteria_no_exercise_covers_are_listed():
    # Lessons 00 to 02 ask nothing of batteries or charging.
    missing = {each.criterion.id: each.missing for each in coverage(RUBRIC, ("00", "01", "02"))}
    assert missing["battery"] == missing["charging"] == "no exercise covers it"
    assert missing["predict"] == ""


# --- ideas


def test_an_idea_is_named_only_when_two_exercises_agree(handed_in, learner, tmp_path):
    once, twice = learner("heron"), learner("wren")
    for one, names in ((once, ("06.3",)), (twice, ("06.3", "07.3"))):
        for name in names:
            assert "nothing" in wrong_numbers(*one.asked(name))
            one.say(name, "0 V")
    book = mark_folder(handed_in)
    heron, wren = book.learners
    assert named_ideas(heron) == () and len(agreements(heron)) == 1
    assert [(each.idea.id, each.questions) for each in named_ideas(wren)] == [
        ("no-current-no-volts", ("06.3", "07.3"))]
    assert {each.question for each in practice(wren)} >= {"06.3", "07.3"}
    write_pages(book, tmp_path)
    assert "consistent with" not in (tmp_path / "heron.html").read_text(encoding="utf-8")
    assert "consistent with\n“no current, so no volts”" in (tmp_path / "wren.html").read_text(encoding="utf-8")


def test_a_right_answer_speaks_for_no_idea():
    idea = (IDEAS["equal-share"],)
    one = marks(row("01.4", 4, ideas=idea), row("02.4", 4, ideas=idea), row("03.5", 0, ideas=idea))
    assert [each.questions for each in agreements(one)] == [("03.5",)]


# --- the class


def class_of(count):
    """Exercise 01.1 goes with how good a learner is, 01.2 against it, 01.3 is had by nobody."""
    return [marks(
        row("01.1", 4 if n >= count // 2 else 0), row("01.4", 4 if n >= count // 3 else 0),
        row("01.2", 0 if n >= count // 2 else 4), row("01.3", 0, answer="7 V"), name=f"l{n:03d}",
    ) for n in range(count)]


def test_the_class_report_counts_and_points_at_exercises():
    report = class_report(class_of(30), RUBRIC)
    # Totals: 0–9 have 4 of 16, 10–14 have 8, 15–29 have 8.
    assert report.bins == (0, 0, 10, 0, 0, 20, 0, 0, 0, 0) and report.at_the_cut == 0
    by_name = {each.question: each for each in report.exercises}
    assert by_name["01.1"].item.difficulty == 0.5
    look = {each.question: " ".join(each.look) for each in report.to_look_at}
    assert "no better" in look["01.2"]
    assert "same wrong answer" in look["01.3"] and "0 % of its points" in look["01.3"]


def test_a_small_class_is_not_judged_by_figures():
    report = class_report(class_of(8), RUBRIC)
    assert report.few and report.to_look_at == ()


# --- questions, never verdicts


def test_two_alike_where_few_others_are_becomes_a_question():
    wrong = [row(f"0{n}.1", 0, answer=f"{n} V odd") for n in range(7)]
    others = [marks(*(row(f"0{n}.1", 0, answer=f"{n} V {k}") for n in range(7)), name=f"o{k}") for k in range(10)]
    found = doubts([Kept.of(one) for one in (marks(*wrong, name="ash"), marks(*wrong, name="fir"), *others)])
    assert [each.learners for each in found] == [("ash", "fir")]
    assert "?" in found[0].ask


def test_what_the_whole_class_answers_is_no_question():
    wrong = [row(f"0{n}.1", 0) for n in range(7)]
    assert doubts([Kept.of(marks(*wrong, name=f"l{n}")) for n in range(10)]) == ()


def test_an_answer_to_anothers_variant_becomes_a_question(handed_in, learner):
    # Six options stand in 720 orders, so another's is not among one's own fresh variants either.
    one, other = learner("wren"), learner("heron").asked("01.6")[1]
    one.right("06.1")
    one.say("01.6", "a", variant=other.key)
    found = doubts([Kept.of(each) for each in mark_folder(handed_in).learners])
    assert [each.learners for each in found] == [("wren",)] and "01.6" in found[0].seen


def test_three_oral_questions_come_from_the_learners_own_record():
    one = marks(row("01.1", 0, answer="0 V"), row("01.2", 4, answer="12 V"), job(15, 10, 30, 0, 0, 5, 10))
    asked = oral_questions(one)
    assert len(asked) == 3 and "“0 V”" in asked[0] and "J1" in asked[1] and "“12 V”" in asked[2]
    assert oral_questions(marks()) == ()
