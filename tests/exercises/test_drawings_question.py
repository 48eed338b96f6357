"""Mark up and correct: what the machine says of a wrong drawing, by readings, by the edit, by a second instrument."""

from functools import cache

import pytest
from editions import edition

from kit.circuit import Fault, Open
from kit.errors import OperationError, QuestionError
from kit.exercises import IDEAS, MarkUp, answer_form, mark, points_of, question, questions, right_answer, truth, variant
from kit.exercises.claims import Claim, contradiction, lamp, support
from kit.exercises.mark_up import (
    REALLY,
    Correct,
    claims,
    conditions,
    drawn,
    paper,
    really,
    rows,
    verdict,
    wrong_drawing,
)
from kit.instruments import Multimeter, TestLamp
from kit.machines import machine
from kit.machines.misdrawn import misdrawn, parts_of, read_mistake, undone

WRONG_ONES = [item for item in questions().values() if isinstance(item, MarkUp) and isinstance(item.task, Correct)]
CASES = [(item.id, mistake) for item in WRONG_ONES for mistake in item.given["mistake"]]


@cache
def stand(known, condition):
    """The machine so, by the doors anybody uses."""
    out = [Fault(id="out", part=condition.out, edit=Open())] if condition.out else []
    return known.operate(*out, **dict(condition.positions))


def test_there_are_three_or_more_mistakes_of_a_kind_to_a_question_and_four_kinds_in_all():
    assert len(WRONG_ONES) == 4
    for item in WRONG_ONES:
        assert len(item.given["mistake"]) >= 3
        assert len(item.given["mistake"]) * len(item.given["hidden"]) >= 9
        assert len({type(read_mistake(text)) for text in item.given["mistake"]}) == 1, "equally hard: one kind"


@pytest.mark.parametrize(("name", "mistake"), CASES)
def test_the_readings_find_the_lines_that_were_edited_and_no_others(name, mistake):
    """What the lamp says of each line, against what was done to the drawing."""
    item, one = edition(name, mistake=mistake)
    edited = parts_of(read_mistake(mistake))
    found = {claim.part for claim in claims(item, one) if verdict(item, claim) == "wrong"}
    assert found == set(edited)
    assert drawn(item, one).circuit != machine(item.picture.machine).circuit or "other way" in mistake


@pytest.mark.parametrize(("name", "mistake"), CASES)
def test_a_second_instrument_agrees_on_every_line(name, mistake):
    """Two points that are joined show next to no volts between them, those that are not do (common practice).

    The lamp is read anew here too, by its own door, not by what the question keeps.
    """
    item, one = edition(name, mistake=mistake)
    known = machine(item.picture.machine)
    for claim in claims(item, one):
        if claim.figure:
            continue
        here = [each for each in conditions(item) if each.out != claim.part
                and (not claim.control or dict(each.positions)[claim.control] in claim.shut)]
        if verdict(item, claim) == "right":
            assert support(claim, known.id, conditions(item)), "nothing ever lights there, so nobody could say"
            for condition in here:
                across = Multimeter("volts", black=claim.ends[0], red=claim.ends[1]).read(stand(known, condition))
                assert abs(across.value) < 0.1
            continue
        pair = contradiction(claim, known.id, conditions(item))
        now = stand(known, pair.condition)
        words = [TestLamp(clip=pair.clip, tip=tip, volts=known.volts).read(now).shown for tip in claim.ends]
        assert sorted(words) == ["bright", "out"]
        across = Multimeter("volts", black=claim.ends[0], red=claim.ends[1]).read(now)
        assert abs(across.value) > 3 or "out" in (
            TestLamp(clip="G1.-", tip=tip, volts=known.volts).read(now).shown for tip in claim.ends)


@pytest.mark.parametrize(("name", "mistake"), CASES)
def test_only_one_of_what_may_really_be_so_gives_the_machines_readings(name, mistake):
    """Each option is a machine: the drawing with that change. All but one show something that the machine does not."""
    item, one = edition(name, mistake=mistake)
    known = machine(item.picture.machine)
    points = sorted({end for claim in claims(item, one) if not claim.figure for end in claim.ends})

    def told_apart(candidate):
        return any(
            TestLamp(clip=clip, tip=tip, volts=known.volts).read(stand(candidate, condition)).shown
            != lamp(known.id, condition, clip, tip).shown
            for condition in conditions(item)[::-1] for clip in ("G1.-", "G1.+") for tip in points
        )

    right = rows(item, one)[-1].right
    for key, change in really(item, one).items():
        if key != right:
            assert told_apart(misdrawn(drawn(item, one), change)), change
    texts = list(rows(item, one)[-1].options.values())
    assert len(set(texts)) == len(texts)


def test_taking_a_mistake_back_gives_the_machine():
    for name, mistake in CASES:
        known = machine(question(name).picture.machine)
        made = read_mistake(mistake)
        again = misdrawn(misdrawn(known, made), undone(made, known))
        joined = [(part.start, part.end) for part in known.circuit.parts if part.word == "wire"]
        assert [(part.start, part.end) for part in again.circuit.parts if part.word == "wire"] == joined
        for control in known.controls:
            assert {at: set(shut) for at, shut in again.controls[control].closes.items() if shut} == {
                at: set(shut) for at, shut in known.controls[control].closes.items() if shut}


def test_a_fuse_left_out_is_seen_only_with_the_fuse_out():
    """A fuse that is in is a wire: 11 milliohms and a quarter of an amp lose 3 mV, worked out by hand."""
    item, one = edition("17.5", mistake="W21 from F2.1")
    wrong = next(claim for claim in claims(item, one) if claim.part == "W21")
    assert contradiction(wrong, item.picture.machine, conditions(item)).condition.out == "F2"
    inside = tuple(each for each in conditions(item) if not each.out)
    assert contradiction(wrong, item.picture.machine, inside) is None


def test_measuring_cranks_nothing():
    for item in WRONG_ONES:
        known = machine(item.picture.machine)
        for condition in conditions(item):
            now = stand(known, condition)
            assert now.word("M1") == "still" and not now.running, (item.id, condition)


def answers(item, one, **said):
    return {**right_answer(item, one), **said}


def test_marks_by_part_and_the_reading_against_the_drawing_is_told():
    item, one = edition("17.3", mistake="W21 from F3.2", hidden="W20 colour")
    whole = mark(item, one, right_answer(item, one))
    assert whole.points == whole.of == points_of(item, one) == 7
    assert "stop switch stop: clip on G1.-, the lamp is bright at F3.2 and out at K2.supply" in whole.reason
    assert truth(item, one)["C"] == ("wrong",)
    missed = mark(item, one, answers(item, one, C="right", A="wrong"))
    assert missed.points == 7 - 2 - 1
    assert "C, you said right" in missed.reason and "bright at F3.2 and out at K2.supply" in missed.reason
    assert "A, you said wrong" in missed.reason and "in no position did the two differ" in missed.reason
    assert missed.cells["A"] == missed.cells["C"] == (False,) and missed.cells["B"] == (True,)
    wrong_end = next(key for key in really(item, one) if key != rows(item, one)[-1].right)
    off = mark(item, one, answers(item, one, really=wrong_end))
    assert off.points == 5 and "What is really so: W21 comes from S2.2, not from F3.2." in off.reason


def test_calling_everything_right_earns_nothing_and_the_idea_is_met():
    for item in WRONG_ONES:
        one = variant(item, "autumn", "wren")
        last = rows(item, one)[-1]
        wrong = next(key for key in last.options if key != last.right)
        said = {row.key: "right" for row in rows(item, one)} | {REALLY: wrong}
        got = mark(item, one, said)
        assert got.points == 0 and "drawing-never-wrong" in got.ideas
        figure = next(claim.letter for claim in claims(item, one) if claim.figure)
        # A figure left open earns its point; the sound lines count only beside one that is called wrong.
        assert mark(item, one, {**said, figure: "not shown"}).points == 1
        assert IDEAS["drawing-never-wrong"].help in got.reason


def test_a_colour_is_left_open_and_whoever_does_not_is_met():
    item, one = edition("17.4", hidden="W6 colour")
    letter = next(claim.letter for claim in claims(item, one) if claim.figure)
    got = mark(item, one, answers(item, one, **{letter: "right"}))
    assert got.ideas == ("colour-tells-all",) and IDEAS["colour-tells-all"].help in got.reason
    assert got.points == got.of - 1


def test_a_figure_a_lamp_could_tell_is_refused():
    """The tender's start relay has 85 ohm: half as much again, and a lamp through it goes dark."""
    item, one = edition("17.6")
    told = Claim(letter="F", text="The coil of K1 has 85 Ω.", part="K1", figure="coil_ohms")
    with pytest.raises(QuestionError, match=r"question 17\.6: a lamp can tell whether 'The coil of K1 has 85 Ω\.'"):
        verdict(item, told)
    assert {verdict(item, claim) for claim in claims(item, one) if claim.figure} == {"not shown"}


def test_answers_are_read_in_sane_forms():
    item, one = edition("17.6", mistake="W11 to x W13 from")
    whole = right_answer(item, one)
    text = "; ".join(f"{key} {value}" for key, value in whole.items())
    lines = "\n".join(f"{key.lower()}: {value.upper()}" for key, value in whole.items())
    listed = {key: [value] for key, value in whole.items()}
    for raw in (text, lines, listed, {**whole, REALLY: rows(item, one)[-1].right}):
        assert mark(item, one, raw).points == points_of(item, one), raw
    lacking = mark(item, one, {key: value for key, value in whole.items() if key != "C"})
    assert not lacking.understood and lacking.reason.startswith("C has nothing we can read. Use one of right, wrong")


def test_names_are_marked_one_by_one_and_told_by_the_lines():
    item = question("17.1")
    drawn = (variant(item, "autumn", f"learner-{number}") for number in range(100))
    one = next(each for each in drawn if not {"E1", "E2"} - set(paper(item, each).numbered)
               and "K1.87" not in paper(item, each).numbered)
    assert points_of(item, one) == 7
    numbered = paper(item, one).numbered
    # Seven are numbered, all nine names are offered, and two fit no number.
    assert len(numbered) == 7 and all(len(row.options) == 9 for row in rows(item, one))
    lamps = [str(numbered.index(name) + 1) for name in ("E1", "E2")]
    whole = right_answer(item, one)
    assert [whole[key] for key in lamps] == ["lamp", "second lamp"]
    swapped = mark(item, one, {**whole, lamps[0]: "second lamp", lamps[1]: "lamp"})
    assert swapped.points == 5
    assert f"Number {lamps[1]} is drawn as a lamp: one end is joined to a relay's contact" in swapped.reason


def test_a_form_holds_what_the_drawing_says_and_nothing_of_the_truth():
    item, one = edition("17.3", mistake="W21 from F3.2")
    form = answer_form(item, one)
    assert form["kind"] == "mark up" and form["picture"]["stage"] == "loads"
    assert [row["key"] for row in form["rows"]] == ["A", "B", "C", "D", "E", REALLY]
    assert form["rows"][2]["text"] == "W21 joins F3.2 and K2.supply."
    assert [option["key"] for option in form["rows"][0]["options"]] == ["right", "wrong", "not shown"]


def test_what_is_no_mistake_or_has_no_wrong_drawing_is_refused():
    bike = machine("orchard-bike")
    with pytest.raises(OperationError, match="'W12 upside down' is no mistake of a drawing"):
        read_mistake("W12 upside down")
    for text, said in (("W99 to B1.2", "no wire W99"), ("W12 to B1.1", "changes nothing"),
                       ("F1 other way", "no switch F1"), ("W12 to B9.1", "cannot be drawn so")):
        with pytest.raises(OperationError, match=said):
            misdrawn(bike, read_mistake(text))
    with pytest.raises(QuestionError, match=r"17\.1 has no wrong drawing"):
        wrong_drawing(question("17.1"), machine("bench-board"), "autumn", "wren")
    with pytest.raises(QuestionError, match="has a drawing of orchard-bike, not of bench-board"):
        wrong_drawing(question("17.3"), machine("bench-board"), "autumn", "wren")
