"""The audit file: for each mark the entry it comes from, what would have been right, and each step to the points.

Lines of JSON. The first names the rubric; then a line a mark, and after each learner's marks a line with the sum. Any
mark can be worked again with it by hand: the answer, the right one, the rule's words, the steps.
"""

import json
from functools import lru_cache
from pathlib import Path

from kit.exercises import AnyQuestion, Explain, JobQuestion, Variant, questions, right_answer, truth, variant
from kit.marking.attempts import card_question
from kit.marking.marks import LearnerMarks, MarkBook, Observed, Row
from kit.marking.rubric import Rubric
from kit.marking.writing import written
from kit.records.places import kit_version


def write_audit(book: MarkBook, rubric: Rubric, out: Path) -> Path:
    """Write ``audit.jsonl`` into ``out``; raises RecordError where that cannot be done."""
    path = out / "audit.jsonl"
    with written(path) as file:
        file.write(_line({"kit": kit_version(), "rubric": rubric.title, "cut": rubric.cut, "text": rubric.text}))
        for one in book.learners:
            for row in one.rows:
                file.write(_line(mark_audited(one, row)))
            file.write(_line(_sum(one, rubric)))
    return path


def mark_audited(one: LearnerMarks, row: Row) -> dict[str, object]:
    """All that one mark rests on, as plain values."""
    found: dict[str, object] = {
        "learner": one.learner, "course": one.course, "question": row.question, "version": row.version,
        "variant": row.variant, "points": row.points, "of": row.of,
    }
    source = one.sources.get(row.question)
    if source is None:
        return found | {"entry": None, "why": row.note}
    found |= {
        "entry": {"file": source.file, "n": source.n, "at": source.at}, "answer": row.raw,
        "right": _right(one, row), "kit_points": row.kit_points, "kit_of": row.kit_of, "why": row.reason,
        "steps": list(row.steps), "note": row.note, "hints": row.hints,
    }
    if row.lines:
        found |= {
            "lines": [{"what": line.what, "points": line.points, "of": line.of, "why": line.why} for line in row.lines],
            "caps": list(row.caps), "passed": row.passed,
        }
    if row.hand is not None:
        found |= {"hand": row.hand, "marker": row.marker}
    return found


def _sum(one: LearnerMarks, rubric: Rubric) -> dict[str, object]:
    percent = 100 * one.points // one.of if one.of else None
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
    question = _asked(row)
    drawn = variant(question, one.course, one.learner)
    if isinstance(question, JobQuestion):
        return list(truth(question, drawn))
    return _kept_right(question.id, drawn.key, _Given(question, drawn))


def _asked(row: Row) -> AnyQuestion:
    return questions()[row.question] if row.question in questions() else card_question(row.card)


class _Given:
    """A question and a variant carried past a cache that already asks for what parts them."""

    def __init__(self, question: AnyQuestion, drawn: Variant) -> None:
        self.question, self.drawn = question, drawn

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Given)

    def __hash__(self) -> int:
        return 0


@lru_cache(maxsize=20_000)
def _kept_right(_question: str, _key: str, given: _Given) -> object:
    if isinstance(given.question, Explain):
        return None
    found = right_answer(given.question, given.drawn)
    return found if isinstance(found, (str, int, float, dict, list, type(None))) else json.loads(
        json.dumps(found, default=_plain))


def _plain(value: object) -> object:
    if hasattr(value, "items"):
        return {str(name): inner for name, inner in value.items()}
    return list(value) if hasattr(value, "__iter__") else str(value)


def _line(found: dict[str, object]) -> bytes:
    return json.dumps(found, ensure_ascii=True, separators=(",", ":"), default=_plain).encode() + b"\n"
