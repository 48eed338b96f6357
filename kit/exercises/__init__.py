"""Questions as values, personal variants, and marks with reasons that teach."""

from kit.exercises.choice import Best, Choice, ExplainsAll, Option
from kit.exercises.ideas import IDEAS, Idea
from kit.exercises.job_question import JobQuestion
from kit.exercises.library import AnyQuestion, answer_form, mark, points_of, question, questions, truth
from kit.exercises.marks import Mark
from kit.exercises.number import Number, Slip
from kit.exercises.prediction import Column, Prediction
from kit.exercises.question import Picture, Question, Variant, variant

__all__ = [
    "IDEAS", "AnyQuestion", "Best", "Choice", "Column", "ExplainsAll", "Idea", "JobQuestion", "Mark", "Number",
    "Option", "Picture", "Prediction", "Question", "Slip", "Variant", "answer_form", "mark", "points_of", "question",
    "questions", "truth", "variant",
]
