"""A question as it stands on a learner's paper: its words, the drawing beside it, and a form a pencil can fill.

Nothing here knows what is right.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType

from kit.draw import Picture
from kit.draw.ugly import page
from kit.exercises import AnyQuestion, answer_form, points_of
from kit.exercises.choice import Choice
from kit.exercises.explain import Explain
from kit.exercises.job_question import JobQuestion
from kit.exercises.library import has_drawing
from kit.exercises.mark_up import MarkUp, paper
from kit.exercises.next_test import NextTest
from kit.exercises.number import Number
from kit.exercises.ordered import Ordered
from kit.exercises.prediction import Prediction
from kit.exercises.question import Variant
from kit.exercises.several import Several
from kit.exercises.standing import Standing
from kit.exercises.volts_table import VoltsTable
from kit.paper.press import GOOD_SCALE, PAGE_WIDE, USUAL_SCALE, Pictures, Ready

# Which macro of forms.html prints which kind of question. A kind that is not here is printed as "other": its words and
# lines to write on, and a note to answer it at the screen; tests/paper tells when that happens.
FORMS: Mapping[type, str] = MappingProxyType({
    Choice: "choice", Several: "several", Number: "number", Prediction: "words_table", VoltsTable: "volts_table",
    Standing: "words_table", Ordered: "ordered", NextTest: "next_test", MarkUp: "mark_up", Explain: "explain",
    JobQuestion: "job",
})
OTHER = "other"
# Of a screen only; paper locks nothing.
_SCREEN_ONLY = re.compile(r"\s*The table locks[^.]*\.")
# A drawing no wider than this, in px, stands beside its question; a wider one above it; one that would be too small in
# that room has a place of its own before the question.
BESIDE, BESIDE_HIGH, ABOVE_HIGH, APART_HIGH = 250, 500, 430, 700


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """One question on paper.

    ``figure`` is its drawing, None where it stands at an earlier question, ``seen_at``; ``place`` says
    where it goes: above, beside, or apart. ``fields`` are those of the screen's form: options, rows, columns, unit.
    """

    id: str
    title: str
    prompt: str
    form: str
    worth: str
    fields: Mapping[str, object]
    caption: str
    figure: Ready | None = None
    place: str = "above"
    seen_at: str = ""


class Asking:
    """Puts the questions of one learner on paper, each drawing where it is met first."""

    def __init__(self, pictures: Pictures) -> None:
        self._pictures, self._seen = pictures, {}

    def ask(self, question: AnyQuestion, variant: Variant) -> Asked:
        """The question in this learner's variant."""
        fields = answer_form(question, variant)
        drawn = paper(question, variant)
        picture = page(drawn.machine, drawn.stage, drawn.look, numbered=drawn.numbered, ground="print")
        form = FORMS.get(type(question), OTHER)
        asked = Asked(
            id=question.id, title=question.title, prompt=_SCREEN_ONLY.sub("", str(fields["prompt"])), form=form,
            worth=_worth(question, variant), fields=fields,
            caption=picture.title if drawn.look == "three wires" else
            f"{drawn.machine.title}: {drawn.stage}{f', {drawn.look}' if drawn.look == 'split' else ''}",
        )
        return self._with_drawing(asked, picture) if has_drawing(question) else asked

    def _with_drawing(self, asked: Asked, picture: Picture) -> Asked:
        if picture.svg in self._seen:
            return replace(asked, seen_at=self._seen[picture.svg])
        self._seen[picture.svg] = asked.id
        room = {"beside": (BESIDE, BESIDE_HIGH), "above": (PAGE_WIDE, ABOVE_HIGH), "apart": (PAGE_WIDE, APART_HIGH)}
        place = "apart" if ABOVE_HIGH / picture.height < GOOD_SCALE else "above"
        if min(BESIDE_HIGH / picture.height, USUAL_SCALE) * picture.width <= BESIDE:
            place = "beside"
        wide, high = room[place]
        return replace(asked, place=place, figure=self._pictures.put(picture, wide=wide, high=high, turns=False))


def _worth(question: AnyQuestion, variant: Variant) -> str:
    match question:
        case JobQuestion():
            return "a job card"
        case Explain():
            return f"{question.by_hand} points, given by a person"
    points = points_of(question, variant)
    return f"{points} point{'' if points == 1 else 's'}"
