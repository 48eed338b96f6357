"""How far a learner has come, question by question, and what to practise next."""

from collections.abc import Iterable
from dataclasses import dataclass

from kit.exercises.library import AnyQuestion, locks, mark, points_of, questions
from kit.exercises.question import Variant, drawn_below, edition_of, fresh_edition, variant
from kit.records import Entry

# A learner is sure of a question after so many variants in a row got right at once and without help.
IN_A_ROW = 2
# A lesson begins with a question each from the lessons this far back (retrieval spaced out: Latimier 2021).
BACK = (1, 3, 6)


@dataclass(frozen=True, slots=True, kw_only=True)
class Progress:
    """One learner's standing on one question.

    ``points`` of ``of`` are those of the marked variant; ``practised`` counts the fresh ones answered after it,
    ``streak`` how many in a row were right at once without help, the latest last; ``last`` is the latest variant.
    """

    question: AnyQuestion
    points: int
    of: int
    answered: bool
    helped: int
    practised: int
    streak: int
    last: Variant

    @property
    def sure(self) -> bool:
        return self.streak >= IN_A_ROW

    @property
    def word(self) -> str:
        """Where it stands, in a few words."""
        if self.sure:
            return "sure"
        if not self.answered:
            return "not tried"
        return "right" if self.of and self.points == self.of else "tried"


def progress(entries: Iterable[Entry], course: str, learner: str) -> tuple[Progress, ...]:
    """The standing on every question but jobs, in the lessons' order, from a learner's entries, oldest first."""
    by_question: dict[str, list[Entry]] = {}
    for entry in entries:
        if entry.kind in ("answer", "hint"):
            by_question.setdefault(str(entry.fields.get("question")), []).append(entry)
    return tuple(
        _standing(item, by_question.get(item.id, []), course, learner)
        for item in questions().values() if item.kind != "job"
    )


def next_to_practise(found: Iterable[Progress]) -> Progress | None:
    """The question that most wants practice among those begun: first what went wrong, then what is not yet sure.

    None where nothing has been begun or everything is sure.
    """
    wanting = [one for one in found if one.answered and not one.sure and fresh_edition(one.question, one.last)]
    return min(wanting, key=lambda one: (one.points == one.of, one.streak, one.practised), default=None)


def starters(lesson: str, course: str, learner: str) -> tuple[tuple[AnyQuestion, int], ...]:
    """A question, and a fresh edition of it, from each of the lessons one, three and six back, where they exist.

    Which of a lesson's questions it is the learner's name decides, so that a class does not get all the same.
    """
    found = []
    for back in BACK:
        wanted = f"{int(lesson) - back:02d}"
        able = [
            item for item in questions().values()
            if item.lesson == wanted and item.kind not in ("job", "explain")
            and fresh_edition(item, variant(item, course, learner))
        ]
        if able:
            item = able[drawn_below(len(able), course, learner, "starter", lesson, wanted)]
            found.append((item, fresh_edition(item, variant(item, course, learner))))
    return tuple(found)


def _standing(item: AnyQuestion, entries: list[Entry], course: str, learner: str) -> Progress:
    first = variant(item, course, learner)
    helped: dict[str, int] = {}
    firsts: dict[str, bool] = {}
    counted, last = None, first
    for entry in entries:
        key = entry.fields.get("variant", first.key)
        if entry.fields.get("version") != item.version or not isinstance(key, str):
            continue
        if entry.kind == "hint":
            helped[key] = helped.get(key, 0) + 1
            continue
        mine = first if key == first.key else edition_of(item, course, learner, key)
        got = mark(item, mine, entry.fields["raw"]) if mine is not None else None
        if got is None or not got.understood:
            continue
        # What is explained in words has no points of the kit's, so it is never right at once.
        firsts.setdefault(key, 0 < got.of == got.points and not helped.get(key))
        last = max(last, mine, key=lambda one: one.edition)
        if mine is first and not (counted and locks(item)):
            counted = got
    streak = 0
    for right in firsts.values():
        streak = streak + 1 if right else 0
    return Progress(
        question=item, points=counted.points if counted else 0,
        of=counted.of if counted else points_of(item, first), answered=bool(firsts), helped=sum(helped.values()),
        practised=len(set(firsts) - {first.key}), streak=streak, last=last,
    )
