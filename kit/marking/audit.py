"""The audit file: for each mark the entry it comes from, what would have been right, and each step to the points.

Lines of JSON. The first names the rubric; then a line a mark, and after each learner's marks a line with the sum. Any
mark can be worked again with it by hand: the answer, the right one, the rule's words, the steps.
"""

import json
from pathlib import Path

from kit.exercises import AnyQuestion, Explain, JobQuestion, questions, right_answer, truth, variant
from kit.exercises.question import drawn_alike
from kit.marking.answers import Kept
from kit.marking.attempts import card_question
from kit.marking.marks import SHARED, LearnerMarks, MarkBook, Observed, Row
from kit.marking.rubric import Rubric
from kit.marking.writing import written
from kit.records.places import kit_version

DIGITS = 9  # of a right answer: those behind them may differ from one computer to another


def write_audit(book: MarkBook, rubric: Rubric, out: Path) -> Path:
    """Write ``audit.jsonl`` into ``out``; raises RecordError where that cannot be done."""
    path = out / "audit.jsonl"
    with written(path) as file:
        file.write(_line({"kit": kit_version(), "rubric": rubric.title, "cut": rubric.cut, "text": rubric.text}))
        for one in book.learners:
            whose = _piece({"learner": one.learner, "course": one.course})
            file.writelines(_line_of(whose, one, row) for row in one.rows)
            file.write(_line(_sum(one, rubric)))
    return path


def mark_audited(one: LearnerMarks, row: Row) -> dict[str, object]:
    """All that one mark rests on, as plain values."""
    found: dict[str, object] = {"learner": one.learner, "course": one.course} | _asked(row)
    source = one.sources.get(row.question)
    if source is None:
        return found | {"entry": None, "why": row.note}
    return found | {"entry": source._asdict()} | _earned(one, row)


def _asked(row: Row) -> dict[str, object]:
    return {
        "question": row.question, "version": row.version, "variant": row.variant, "points": row.points, "of": row.of,
    }


def _earned(one: LearnerMarks, row: Row) -> dict[str, object]:
    found: dict[str, object] = {
        "answer": row.raw, "right": _right(one, row), "kit_points": row.kit_points, "kit_of": row.kit_of,
        "why": row.reason, "steps": list(row.steps), "note": row.note, "hints": row.hints,
    }
    if row.lines:
        found |= {
            "lines": [{"what": line.what, "points": line.points, "of": line.of, "why": line.why} for line in row.lines],
            "caps": list(row.caps), "passed": row.passed,
        }
    if row.hand is not None:
        found |= {"hand": row.hand, "marker": row.marker}
    return found


def _line_of(whose: bytes, one: LearnerMarks, row: Row) -> bytes:
    """The line of ``mark_audited``; what of it is the same for all who have the row is put together once."""
    kept, source = SHARED.kept(row.common), one.sources.get(row.question)
    if kept is None or source is None:
        return _line(mark_audited(one, row))
    asked, worth, earned = _pieces.get_or(kept[0], lambda: _pieces_of(one, row))
    return b'{%b,%b,"variant":"%b",%b,"entry":{%b},"answer":%b,"right":%b,%b}\n' % (
        whose, asked, row.variant.encode(), worth, _piece(source._asdict()), WRITER.encode(row.raw).encode(),
        _right_texts.get_or((row.question, row.variant), lambda: WRITER.encode(_right(one, row)).encode()), earned,
    )


_pieces, _right_texts = Kept(), Kept()


def _pieces_of(one: LearnerMarks, row: Row) -> tuple[bytes, bytes, bytes]:
    """What stands before the variant, between it and the entry, and after what is right."""
    asked, earned = _asked(row), _earned(one, row)
    before = {name: asked.pop(name) for name in ("question", "version")}
    del asked["variant"], earned["answer"], earned["right"]
    return _piece(before), _piece(asked), _piece(earned)


def _sum(one: LearnerMarks, rubric: Rubric) -> dict[str, object]:
    percent = one.percent
    return {
        "learner": one.learner, "points": one.points, "of": one.of, "percent": percent,
        "at_the_cut": percent is not None and percent >= rubric.cut, "adjusted": list(one.adjusted),
        "observed": [_seen(seen) for seen in one.observed],
    }


def _seen(seen: Observed) -> dict[str, object]:
    found = {"criterion": seen.criterion, "met": seen.met, "marker": seen.marker, "date": seen.date}
    if seen.practical:
        found |= {"practical": seen.practical, "machine": seen.machine, "note": seen.note}
    return found


def _right(one: LearnerMarks, row: Row) -> object:
    question = questions()[row.question] if row.question in questions() else card_question(row.card)
    if isinstance(question, JobQuestion):
        return list(truth(question, variant(question, one.course, one.learner)))
    if isinstance(question, Explain):
        return None
    # The mark that counts is of the learner's first variant, so its key names all that is right.
    return _rights.get_or((question.id, row.variant), lambda: _right_answer(question, one))


_rights = Kept()


def _right_answer(question: AnyQuestion, one: LearnerMarks) -> object:
    found = right_answer(question, drawn_alike(question, one.course, one.learner))
    if isinstance(found, float):
        return float(f"{found:.{DIGITS}g}")
    return found if isinstance(found, (str, int, float, dict, list, type(None))) else json.loads(
        json.dumps(found, default=_plain))


def _plain(value: object) -> object:
    if hasattr(value, "items"):
        return {str(name): inner for name, inner in value.items()}
    return list(value) if hasattr(value, "__iter__") else str(value)


def _line(found: dict[str, object]) -> bytes:
    return WRITER.encode(found).encode() + b"\n"


def _piece(found: dict[str, object]) -> bytes:
    """The same without what stands around it, to be put together with others."""
    return WRITER.encode(found)[1:-1].encode()


WRITER = json.JSONEncoder(ensure_ascii=True, separators=(",", ":"), default=_plain)
