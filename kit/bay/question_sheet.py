"""A question on the screen: the answer is recorded, then marked, then talked about."""

from pathlib import Path

import anywidget
import traitlets

from kit import draw
from kit.bay.stand_in import with_stand_in
from kit.bay.turns import Turns
from kit.errors import KitError
from kit.exercises import AnyQuestion, Mark, Number, Prediction, answer_form, mark, truth, variant
from kit.exercises.question import Words
from kit.machines import machine
from kit.records import Record, earlier_entries

HERE = Path(__file__).parent


class QuestionSheet(anywidget.AnyWidget):
    """One question in the learner's own variant.

    ``form`` is sent once and holds nothing of the truth; ``view`` follows every answer. Answers come in as messages
    ``{"number": n, "raw": …}``, a call for help as ``{"number": n, "hint": true}``. A prediction locks with its first
    understood answer, and only then are the true readings sent.
    """

    _esm = HERE / "question_sheet.js"
    _css = HERE / "bay.css"

    form = traitlets.Dict().tag(sync=True)
    view = traitlets.Dict().tag(sync=True)

    def __init__(self, question: AnyQuestion, *, record: Record) -> None:
        self._question, self._record = question, record
        self._variant = variant(question, record.course, record.learner)
        self._turns, self._raw, self._mark, self._said, self._tries = Turns(), None, None, "", 0
        self._hinted = False
        self._restore()
        self._picture = draw.schematic(machine(question.picture.machine), question.picture.stage)
        form = answer_form(question, self._variant) | {"svg": self._picture.svg, "has_hint": bool(self._hint())}
        super().__init__(form=form, view=self._seen())
        self.on_msg(self._message)

    def answer(self, raw: object) -> str:
        """Give an answer by name instead of by hand; returns the reason shown."""
        with self._turns.take():
            self._answer(raw)
            self.view = self._seen()
        return self._said

    def _message(self, _widget: object, content: object, _buffers: object = None) -> None:
        if not isinstance(content, dict):
            return
        with self._turns.take(content.get("number")):
            try:
                if content.get("hint"):
                    self._record.append("hint", question=self._question.id, version=self._question.version)
                    self._hinted = True
                elif "raw" in content:
                    self._answer(content["raw"])
            except KitError as error:
                self._said = f"Not taken: {error}"
            self.view = self._seen()

    def _answer(self, raw: object) -> None:
        if self._locked():
            self._said = "This prediction is locked; compare it with the readings."
            return
        self._record.append(
            "answer", question=self._question.id, version=self._question.version, variant=self._variant.key, raw=raw
        )
        self._take(raw)

    def _take(self, raw: object) -> None:
        found = mark(self._question, self._variant, raw)
        self._said = found.reason
        if found.understood:
            self._raw, self._mark = raw, found
            self._tries += 1

    def _restore(self) -> None:
        """Show what this learner answered before, in this kernel or an earlier one."""
        question = self._question
        about = (*earlier_entries(self._record, question=question.id), *self._record.about(question=question.id))
        for entry in about:
            if entry.fields.get("version") != question.version:
                continue
            if entry.kind == "hint":
                self._hinted = True
            elif entry.kind == "answer" and entry.fields.get("variant") == self._variant.key and not self._locked():
                self._take(entry.fields["raw"])

    def _locked(self) -> bool:
        return isinstance(self._question, Prediction) and self._mark is not None

    def _hint(self) -> str:
        question = self._question
        return Words(question, self._variant).fill(question.hint) if isinstance(question, Number) else ""

    def _seen(self) -> dict:
        found: Mark | None = self._mark
        return {
            "number": self._turns.last,
            "raw": self._raw,
            "said": self._said,
            "tries": self._tries,
            "locked": self._locked(),
            "mark": None if found is None else {"points": found.points, "of": found.of},
            "truth": {point: list(row) for point, row in truth(self._question, self._variant).items()}
            if self._locked() else None,
            "hint": self._hint() if self._hinted else "",
        }

    def _repr_mimebundle_(self, **kwargs: object) -> tuple[dict, dict]:
        title = self._question.title
        about = f"Question {self._question.id}: {title}{'' if title.endswith('?') else '.'}"
        words = f"{about} To answer it, press the button at the top of this page."
        return with_stand_in(super()._repr_mimebundle_(**kwargs), words, self._picture)
