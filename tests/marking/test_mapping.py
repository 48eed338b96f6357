"""Exercises, criteria and standards: what the tables of the instructor's guide say is what the questions hold."""

import pytest

import kit
from kit.errors import QuestionError
from kit.exercises import questions
from kit.exercises.criteria import CRITERIA, STANDARDS


def test_every_exercise_is_evidence_for_something():
    for one in questions().values():
        assert one.criteria, one.id
        assert set(one.criteria) <= set(CRITERIA), one.id


def test_every_code_of_a_criterion_is_a_standard_that_is_explained():
    assert {code for one in CRITERIA.values() for code in one.standards} == set(STANDARDS)


def test_a_lesson_lists_its_exercises_with_their_standards():
    table = kit.mapping("06")
    rows = {row[0]: row for row in table.rows}
    assert list(rows) == [one.id for one in questions().values() if one.lesson == "06"]
    assert rows["06.5"][4:] == ("figures, drop", "AURETR007, AURETR130, AURETR112")
    assert "repair" in table.under and "figures" not in table.under


def test_the_course_is_laid_out_by_standard_and_says_what_is_thin():
    rows = {row[0].split()[0]: row for row in kit.mapping().rows}
    assert list(rows) == list(STANDARDS)
    assert rows["IMICA01"][2:] == ("00", "safe, report", "00.1, 00.2, 00.6, 00.7")
    assert rows["AURETR129"][0] == "AURETR129 (from memory)"


@pytest.mark.parametrize("lesson", sorted({name for one in STANDARDS.values() for name in one.lessons}))
def test_a_lesson_that_goes_with_a_standard_has_exercises_for_it(lesson):
    """The plan of which lesson goes with which standard (the lessons' plan): none of it is an empty promise."""
    for code in (one.code for one in STANDARDS.values() if lesson in one.lessons):
        names = {one.id for one in CRITERIA.values() if code in one.standards}
        assert any(set(one.criteria) & names for one in questions().values() if one.lesson == lesson), (lesson, code)


def test_a_lesson_there_is_none_of_is_told():
    with pytest.raises(QuestionError, match="no lesson '99'; there are 00, 01"):
        kit.mapping("99")


def test_a_bar_in_a_title_does_not_break_the_table():
    from kit.marking.mapping import Table

    assert "| a/b |" in str(Table(head=("x",), rows=[("a|b",)]))
