"""The questions as a whole: found by id, picked per learner, shown without giving anything away."""

import dataclasses
import hashlib
import json
import subprocess
import sys

import pytest

from kit.errors import QuestionError
from kit.exercises import (
    IDEAS,
    Choice,
    Explain,
    JobQuestion,
    NextTest,
    Number,
    Ordered,
    Prediction,
    Several,
    Standing,
    VoltsTable,
    answer_form,
    library,
    mark,
    points_of,
    question,
    questions,
    right_answer,
    truth,
    variant,
)
from kit.exercises.criteria import CRITERIA
from kit.exercises.figures import Setup
from kit.exercises.number import agrees, wrong_numbers
from kit.exercises.question import Words, told_prompt


def test_lesson_06_has_seven_questions_of_four_kinds():
    found = [item for item in questions().values() if item.lesson == "06"]
    assert [item.id for item in found] == [f"06.{number}" for number in range(1, 8)]
    assert {item.kind for item in found} == {"choice", "number", "prediction", "job"}


def test_an_unknown_question_is_one_line_that_says_what_there_is():
    with pytest.raises(QuestionError, match=r"no question '06\.99'; lesson 06 has 06\.1, 06\.2"):
        question("06.99")
    with pytest.raises(QuestionError, match=r"no question '99\.1'; there are lessons 00, "):
        question("99.1")


def test_two_questions_with_one_id_are_refused(monkeypatch):
    twice = (question("06.1"), question("06.1"))
    monkeypatch.setattr(library, "CONTENTS", (twice,))
    library.questions.cache_clear()
    with pytest.raises(QuestionError, match=r"two questions have the id 06\.1"):
        library.questions()
    monkeypatch.undo()
    library.questions.cache_clear()


def test_a_variant_is_what_the_sha_256_counter_says():
    """Worked out here from hashlib alone: the first draw of 06.5 picks its cross-section."""
    item = question("06.5")
    seed = json.dumps(["autumn", "wren", "06.5", item.version])
    first = int.from_bytes(hashlib.sha256(f"{seed}#0".encode()).digest()[:8], "big")
    assert variant(item, "autumn", "wren").picks["mm2"] == ("1", "1.5", "2.5")[first % 3]
    assert variant(item, "autumn", "wren") == variant(item, "autumn", "wren")


def test_course_learner_and_version_each_change_what_is_drawn():
    item = question("06.5")
    newer = dataclasses.replace(item, version=item.version + 1)
    drawn = {
        "course": [variant(item, f"course {n}", "wren").key for n in range(40)],
        "learner": [variant(item, "autumn", f"learner {n}").key for n in range(40)],
    }
    assert all(len(set(keys)) > 10 for keys in drawn.values())
    assert variant(newer, "autumn", "wren").key != variant(item, "autumn", "wren").key


def test_a_class_spreads_over_every_pick_and_every_order(editions):
    for item in questions().values():
        if isinstance(item, JobQuestion):
            continue
        drawn = [one for other, one in editions if other.id == item.id]
        for name, options in item.given.items():
            assert {one.picks[name] for one in drawn} == set(options), (item.id, name)
        if isinstance(item, Choice):
            right_letters = {one.order.index(_right_index(item, one)) for one in drawn}
            assert right_letters == set(range(len(item.options)))


def _right_index(item, one):
    return [option.id for option in item.options].index(truth(item, one))


def test_every_edition_has_a_truth_full_marks_for_it_and_texts_that_fill(editions):
    for item, one in editions:
        if isinstance(item, JobQuestion):
            continue
        answer = "my own words, long enough to be kept" if item.kind == "explain" else right_answer(item, one)
        got = mark(item, one, answer)
        assert (got.points, got.understood, got.ideas) == (points_of(item, one), True, ()), (item.id, one.picks, got)
        assert got.points == got.of and (got.of > 0 or item.kind == "explain")
        words = Words(item, one)
        texts = [told_prompt(item, words), *item.hints, *_texts(item)]
        assert not any("{" in words.fill(text) or "}" in words.fill(text) for text in texts)


def test_a_question_is_worth_the_same_to_every_learner(editions):
    worth = {}
    for item, one in editions:
        if not isinstance(item, JobQuestion):
            worth.setdefault(item.id, set()).add(points_of(item, one))
    assert {name: found for name, found in worth.items() if len(found) > 1} == {}


def test_every_slip_of_every_number_is_met_with_its_own_words(editions):
    met = set()
    for item, one in editions:
        if not isinstance(item, Number):
            continue
        right, words = truth(item, one), Words(item, one)
        earlier = []
        for name, value in wrong_numbers(item, one).items():
            if not any(agrees(item, value, other) for other in (right, *earlier)):
                got, slip = mark(item, one, value), item.slips[name]
                assert (got.points, got.reason) == (slip.points, words.fill(slip.reason)), (item.id, one.picks, name)
                met.add((item.id, name))
            earlier.append(value)
    wanted = {(item.id, name) for item in questions().values() if isinstance(item, Number) for name in item.slips}
    assert met == wanted


def test_what_is_no_answer_is_asked_again_by_every_kind():
    for item in questions().values():
        if isinstance(item, JobQuestion):
            continue
        one = variant(item, "autumn", "wren")
        for raw in ("", "??", None, [], {}, [[]], {"tip": 3}, True, 10**400, "a" * 100_000, {"F1.1": [1, 2]}):
            if isinstance(item, Explain) and isinstance(raw, str):
                continue
            got = mark(item, one, raw)
            if not (isinstance(item, Number) and raw is not True):
                assert (got.points, got.understood) == (0, False), (item.id, raw, got)


def _texts(item):
    match item:
        case Choice() | Several() | Ordered():
            said = [text for option in item.options for text in (option.text, option.feedback)]
            return said + ([] if isinstance(item, Choice) else [item.why])
        case Number():
            return [item.why, item.hint, *(slip.reason for slip in item.slips.values())]
        case Prediction() | VoltsTable() | Standing():
            return [item.why, item.next]
        case NextTest():
            return [item.why, *item.suspects.values()]
        case Explain():
            return [*item.rubric, item.model]
        case _:
            return []


def test_every_idea_that_a_question_names_is_known():
    for item in questions().values():
        named = {option.idea for option in getattr(item, "options", ())}
        named |= {slip.idea for slip in item.slips.values()} if isinstance(item, Number) else set()
        assert named - {""} <= set(IDEAS)


def test_every_exercise_is_evidence_for_a_known_criterion():
    for item in questions().values():
        assert item.criteria and set(item.criteria) <= set(CRITERIA), item.id


def test_a_form_does_not_depend_on_what_is_right(monkeypatch):
    """Take the truth away, and the form stays the same, byte for byte: so it cannot tell."""
    forms = {item.id: json.dumps(answer_form(item, variant(item, "autumn", "wren"))) for item in questions().values()}

    def nothing(*_args, **_kwargs):
        raise AssertionError("a form asked for the truth")

    for kind, made in library.KINDS.items():
        for item in questions().values():
            if type(item) is not kind:
                continue
            with monkeypatch.context() as blind:
                blind.setattr(library, "KINDS", {**library.KINDS, kind: dataclasses.replace(made, truth=nothing)})
                assert json.dumps(answer_form(item, variant(item, "autumn", "wren"))) == forms[item.id]
    # What the machine does with its faults in is no part of a form either.
    for item in questions().values():
        if isinstance(getattr(item, "setup", None), Setup) and not item.setup.faults:
            changed = dataclasses.replace(item, setup=dataclasses.replace(item.setup, faults=("X1 open",)))
            assert json.dumps(answer_form(changed, variant(item, "autumn", "wren"))) == forms[item.id]
    broken = dataclasses.replace(question("06.2"), setup=Setup(machine="orchard-bike", faults=("X1 open",)))
    one = variant(broken, "autumn", "wren")
    assert truth(broken, one) != truth(question("06.2"), one)


def test_a_form_holds_no_feedback_no_idea_and_no_option_id():
    for item in questions().values():
        form = json.dumps(answer_form(item, variant(item, "autumn", "wren")), ensure_ascii=False)
        said = [] if hasattr(item, "options") or hasattr(item, "suspects") else _texts(item)
        said = [text.split("{")[0] for text in (*said, *item.hints, *([item.why] if hasattr(item, "why") else []))]
        if hasattr(item, "options"):
            said += [option.feedback.split("{")[0] for option in item.options]
            assert '"id"' not in form and '"right"' not in form and '"feedback"' not in form
        assert not [text for text in said if text and text in form]
        assert not [idea for idea in IDEAS if idea in form]


def test_questions_load_no_heavy_library():
    program = (
        "import sys, kit.exercises, kit.records;"
        "print([name for name in ('numpy', 'numba', 'schemdraw', 'anywidget', 'matplotlib', 'jinja2', 'rich', 'click')"
        " if name in sys.modules])"
    )
    ran = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert ran.stdout.strip() == "[]"
