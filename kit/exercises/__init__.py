"""Questions as values, personal variants, and marks with reasons that teach."""

from kit.exercises.choice import Best, Choice, ExplainsAll, Option
from kit.exercises.explain import Explain
from kit.exercises.ideas import IDEAS, Idea
from kit.exercises.job_question import JobQuestion
from kit.exercises.library import AnyQuestion, answer_form, mark, points_of, question, questions, right_answer, truth
from kit.exercises.mark_up import Correct, MarkUp, NameThem
from kit.exercises.marks import Mark
from kit.exercises.next_test import NextTest
from kit.exercises.number import Number, Slip
from kit.exercises.ordered import CurrentPath, InThisOrder, Ordered
from kit.exercises.prediction import Column, Prediction
from kit.exercises.question import Picture, Question, Variant, variant
from kit.exercises.several import AllOf, Several
from kit.exercises.standing import Standing
from kit.exercises.volts_table import VoltsTable

__all__ = [
    "IDEAS", "AllOf", "AnyQuestion", "Best", "Choice", "Column", "Correct", "CurrentPath", "Explain", "ExplainsAll",
    "Idea", "InThisOrder", "JobQuestion", "Mark", "MarkUp", "NameThem", "NextTest", "Number", "Option", "Ordered",
    "Picture", "Prediction", "Question", "Several", "Slip", "Standing", "Variant", "VoltsTable", "answer_form", "mark",
    "points_of", "question", "questions", "right_answer", "truth", "variant",
]
