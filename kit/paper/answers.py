"""What is right on a worksheet, and what each wrong answer would mean: for the instructor, on a sheet apart."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from math import isfinite

from kit.exercises import IDEAS, AnyQuestion, points_of, right_answer
from kit.exercises.choice import Choice, shown_options
from kit.exercises.explain import Explain
from kit.exercises.mark_up import REALLY, Correct, MarkUp
from kit.exercises.next_test import NextTest, best_tips, lettered, narrowed, split
from kit.exercises.number import Number, true_number, wrong_numbers
from kit.exercises.ordered import Ordered
from kit.exercises.prediction import Prediction, true_readings, wrong_tables
from kit.exercises.question import Variant, Words
from kit.exercises.several import Several
from kit.exercises.standing import Standing
from kit.exercises.volts_table import VoltsTable, near, true_volts, wrong_volts
from kit.paper.asked import FORMS
from kit.quantities import show_quantity

FLOATS_AS_GROUND = "0 V on a meter is not ground: a point joined to nothing shows 0 V to either post"
USED_UP = "current-used-up"


@dataclass(frozen=True, slots=True, kw_only=True)
class Wrong:
    """A wrong answer, what it means, and the idea it speaks for."""

    said: str
    means: str = ""
    idea: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """The right answer to one question.

    ``given`` is it as marking takes it, in the very words that are printed: text, letters, a table by point, or the
    tip and letters of a next test; None for what a person marks. ``notes`` are sentences beside it.
    """

    id: str
    title: str
    worth: str
    given: object = None
    columns: Sequence[str] = ()
    notes: Sequence[str] = ()
    wrong: Sequence[Wrong] = ()
    lines: Sequence[str] = field(default=())

    @property
    def form(self) -> str:
        """How it is laid out: ``table``, ``tip``, ``text``, or ``none``."""
        if isinstance(self.given, Mapping):
            return "tip" if "tip" in self.given else "table"
        return "none" if self.given is None else "text"


def answer(question: AnyQuestion, variant: Variant) -> Answer:
    """The right answer to a question in a learner's variant, with what wrong ones would mean.

    What is behind a job card stands elsewhere: ``kit.paper.job_cards.card_answer``.
    """
    words = Words(question, variant)
    worth = "by hand" if isinstance(question, Explain) else f"{points_of(question, variant)} points"
    columns = tuple(column.title for column in getattr(question, "columns", ())) or ("right",)
    return Answer(
        id=question.id, title=question.title, worth=worth, given=_given(question, variant), columns=columns,
        notes=tuple(words.fill(text) for text in _notes(question, variant) if text),
        wrong=tuple(
            Wrong(said=each.said, means=words.fill(each.means), idea=IDEAS[each.idea].title if each.idea else "")
            for each in _wrong(question, variant)
        ),
        lines=tuple(words.fill(line) for line in getattr(question, "rubric", ())),
    )


def _given(question: AnyQuestion, variant: Variant) -> object:
    right = right_answer(question, variant)
    match question:
        case Explain():
            return None
        case _ if type(question) not in FORMS:
            # Nobody has said yet how it prints: its paper says that it is answered at the screen.
            return None
        case Number():
            return show_quantity(right, question.unit) if isfinite(right) else "OL"
        case Several() | Ordered():
            return ", ".join(right)
        case MarkUp():
            return {row: (text,) for row, text in right.items()}
        case NextTest():
            return {name: ", ".join(value) if isinstance(value, list) else value for name, value in right.items()}
    return right


def _notes(question: AnyQuestion, variant: Variant) -> Iterator[str]:
    match question:
        case Choice() | Several() | Ordered():
            options, letters = shown_options(question, variant), _letters(right_answer(question, variant))
            for letter in letters:
                yield f"{letter}: {options[letter].text}"
            if isinstance(question, Choice):
                yield options[letters[0]].feedback
        case NextTest():
            names = {fault: letter for letter, fault in lettered(question, variant).items()}
            mine = narrowed(question, variant)
            best = best_tips(mine)
            for tip in mine.tips:
                lit, out = (", ".join(sorted(names[one] for one in left)) or "nobody" for left in split(mine, tip))
                yield f"Tip on {tip}{' (as good as any)' if tip in best else ''}: lit leaves {lit}; out leaves {out}."
        case Prediction():
            for point, row in true_readings(question, variant).items():
                for column, reading in zip(question.columns, row, strict=True):
                    also = [word for word in reading.accepts if word != reading.shown]
                    if also:
                        yield f"At {point}, {column.title}, {' or '.join(also)} counts as right, too."
        case Number():
            yield f"Right within {100 * question.within:g} % of it."
        case VoltsTable():
            yield "Right within 0.1 V or 3 %."
        case Explain():
            yield f"One good answer: {question.model}"
    yield getattr(question, "why", "")


def _letters(right: object) -> list[str]:
    return [right] if isinstance(right, str) else list(right)


def _wrong(question: AnyQuestion, variant: Variant) -> Iterator[Wrong]:
    match question:
        case Choice() | Several():
            right = _letters(right_answer(question, variant))
            for letter, option in shown_options(question, variant).items():
                if letter not in right:
                    yield Wrong(said=letter, means=option.feedback, idea=option.idea)
        case Ordered():
            for letter, option in shown_options(question, variant).items():
                if option.feedback:
                    yield Wrong(said=f"{letter} out of place", means=option.feedback, idea=option.idea)
        case Number():
            for name, value in wrong_numbers(question, variant).items():
                slip = question.slips[name]
                if isfinite(value) and value != true_number(question, variant):
                    earns = f" (earns {slip.points})" if slip.points else ""
                    yield Wrong(said=show_quantity(value, question.unit) + earns, means=slip.reason, idea=slip.idea)
        case Prediction():
            truth = true_readings(question, variant)
            for idea, table in wrong_tables(question, variant).items():
                cells = [
                    (point, n, table[point][n]) for point, row in truth.items() for n, reading in enumerate(row)
                    if table[point][n] not in reading.accepts
                ]
                yield from _cells(question, idea, cells)
            yield Wrong(said="dimmer from point to point down a lit column", idea=USED_UP)
        case VoltsTable():
            truth = true_volts(question, variant)
            for idea, table in wrong_volts(question, variant).items():
                cells = [
                    (point, n, f"{table[point][n]:.1f} V") for point, row in truth.items()
                    for n, volts in enumerate(row) if not near(table[point][n], volts)
                ]
                yield from _cells(question, idea, cells)
        case MarkUp() if isinstance(question.task, Correct):
            yield Wrong(said=f"every line right, but for {REALLY}", idea="drawing-never-wrong")
            yield Wrong(said="right or wrong for a colour or a thickness", idea="colour-tells-all")
        case Standing():
            if any("floating" in row for row in right_answer(question, variant).values()):
                yield Wrong(said="ground, where it floats", means=f"{FLOATS_AS_GROUND}. Test both ways.")


def _cells(question: AnyQuestion, idea: str, cells: Sequence[tuple[str, int, str]]) -> Iterator[Wrong]:
    """Cells an idea fills wrongly, as one entry."""
    if cells:
        said = "; ".join(f"{point}, {question.columns[n].title}: {text}" for point, n, text in cells)
        yield Wrong(said=said, idea=idea)
