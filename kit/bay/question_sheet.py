"""A question on the screen: the answer is recorded, then marked, then talked about."""

from pathlib import Path

import anywidget
import traitlets

from kit.bay.scripts import script
from kit.bay.setting import inks
from kit.bay.stand_in import with_stand_in
from kit.bay.turns import Turns
from kit.circuit import Terminal
from kit.draw.picture import Picture
from kit.draw.ugly import page
from kit.errors import KitError
from kit.exercises import AnyQuestion, Mark, Variant, answer_form, mark, truth, variant
from kit.exercises.library import hints_of, locks
from kit.exercises.mark_up import paper
from kit.exercises.question import Words, fresh_edition, picture_of
from kit.machines import machine
from kit.records import Record, earlier_entries

HERE = Path(__file__).parent
OFFERS_AFTER = 2


class QuestionSheet(anywidget.AnyWidget):
    """One question in the learner's own variant, and after it as many fresh variants as there are, for practice.

    ``form`` holds nothing of the truth and changes only with the variant; ``view`` follows every answer. Answers come
    in as messages ``{"number": n, "page": "…", "raw": …}``, each page counting its own, a call for help with ``"hint":
    true``, a wish for a fresh variant with ``"fresh": true``; what got no reply comes again and is done once. A table
    locks with its first understood answer, and only then are the true readings sent.
    """

    _esm = script("question_sheet.js")
    _css = HERE / "bay.css"

    form = traitlets.Dict().tag(sync=True)
    view = traitlets.Dict().tag(sync=True)

    def __init__(self, question: AnyQuestion, *, record: Record, edition: int = 0) -> None:
        self._question, self._record = question, record
        self._turns = Turns()
        self._begin(edition)
        self._restore()
        super().__init__(form=self._form(), view=self._seen())
        self.on_msg(self._message)

    def answer(self, raw: object) -> str:
        """Give an answer by name instead of by hand; returns the reason shown."""
        with self._turns.take():
            self._answer(raw)
            self.view = self._seen()
        return self._said

    def _begin(self, edition: int) -> None:
        self._variant = variant(self._question, self._record.course, self._record.learner, edition)
        self._picture = _drawing(self._question, self._variant)
        self._raw, self._mark, self._said, self._tries, self._helped = None, None, "", 0, 0

    def _message(self, _widget: object, content: object, _buffers: object = None) -> None:
        if not isinstance(content, dict):
            return
        with self._turns.take(content.get("number"), content.get("page")) as fresh:
            try:
                if fresh and content.get("hint"):
                    self._help()
                elif fresh and content.get("fresh"):
                    self._another()
                elif fresh and "raw" in content:
                    self._answer(content["raw"])
            except KitError as error:
                self._said = f"Not taken: {error}"
            self.view = self._seen()

    def _help(self) -> None:
        self._record.append(
            "hint", question=self._question.id, version=self._question.version, variant=self._variant.key
        )
        self._helped += 1

    def _another(self) -> None:
        edition = fresh_edition(self._question, self._variant)
        if edition and self._mark is not None:
            self._begin(edition)
            # Both at once: a page that got only the form would fill it with the old answer.
            with self.hold_sync():
                self.form, self.view = self._form(), self._seen()

    def _answer(self, raw: object) -> None:
        if self._locked():
            self._said = "This is locked: your first answer is the one that counts. Ask for another one like it."
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
            mine = entry.fields.get("variant", self._variant.key) == self._variant.key
            if mine and entry.kind == "hint":
                self._helped += 1
            elif mine and entry.kind == "answer" and not self._locked():
                self._take(entry.fields["raw"])

    def _locked(self) -> bool:
        return locks(self._question) and self._mark is not None

    def _tabled(self) -> bool:
        return self._locked() and self._mark.cells is not None

    def _hints(self) -> tuple[str, ...]:
        words = Words(self._question, self._variant)
        return tuple(words.fill(text) for text in hints_of(self._question))

    def _form(self) -> dict:
        form = answer_form(self._question, self._variant)
        if "rows" in form:
            form["rows"] = [self._with_sheet(row) for row in form["rows"]]
        return form | {
            "svg": self._picture.svg, "inks": inks(), "has_hint": bool(self._hints()),
            "edition": self._variant.edition,
        }

    def _with_sheet(self, row: dict) -> dict:
        """A row; and where its point is not on the drawing beside it, the sheet to look for it on."""
        picture = picture_of(self._question, self._variant)
        if picture.look or row.get("point", "") in ("", *self._picture.points):
            return row
        part, stages = Terminal.read(row["point"]).part, machine(picture.machine).stages
        sheet = next((name for name, stage in stages.items() if part in stage.parts), "")
        return row | {"where": f"{row['where']} (sheet: {sheet})"} if sheet else row

    def _seen(self) -> dict:
        found: Mark | None = self._mark
        hints = self._hints()
        whole = found is not None and found.points == found.of
        return {
            "number": self._turns.count,
            "answered": self._turns.done(),
            "raw": self._raw,
            # Beside a table that shows it, what was said and what is so need not be said again.
            "said": found.beside or self._said if self._tabled() and self._said == found.reason else self._said,
            "tries": self._tries,
            "locked": self._locked(),
            "mark": None if found is None else {"points": found.points, "of": found.of},
            "truth": _table(truth(self._question, self._variant)) if self._tabled() else None,
            "right": {point: list(row) for point, row in found.cells.items()} if self._tabled() else None,
            "hints": list(hints[: self._helped]),
            "more_hints": self._helped < len(hints),
            # Help is offered after two misses; a fresh variant once this one is done with, or all help is used up.
            "offers_help": self._tries >= OFFERS_AFTER and not whole and self._helped < len(hints),
            "fresh": found is not None and (whole or self._locked() or (self._tries >= OFFERS_AFTER
                     and self._helped >= len(hints))) and bool(fresh_edition(self._question, self._variant)),
        }

    def _repr_mimebundle_(self, **kwargs: object) -> tuple[dict, dict]:
        title = self._question.title
        about = f"Question {self._question.id}: {title}{'' if title.endswith('?') else '.'}"
        words = f"{about} To answer it, press the button at the top of this page."
        # A page without a kernel knows no learner: it shows nobody's own variant, but one of them all.
        nobody = _drawing(self._question, variant(self._question, "", ""))
        return with_stand_in(super()._repr_mimebundle_(**kwargs), words, nobody)


def _drawing(question: AnyQuestion, given: Variant) -> Picture:
    """The drawing that goes with a variant of a question."""
    drawn = paper(question, given)
    return page(drawn.machine, drawn.stage, drawn.look, numbered=drawn.numbered)


def _table(right: dict) -> dict:
    """A table of true readings as it is shown: words, or volts with two digits."""
    return {
        point: [f"{cell:.2f} V" if isinstance(cell, float) else cell for cell in row] for point, row in right.items()
    }
