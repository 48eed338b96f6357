"""One answer, marked once for all of a class who gave it; and an answer as text for a person."""

import json
from collections.abc import Callable, Hashable, Mapping
from dataclasses import dataclass

from kit.exercises import AnyQuestion, Choice, Explain, JobQuestion, Mark, Variant, mark
from kit.exercises.choice import chosen_option, meant, shown_options
from kit.exercises.job_question import review_of_job
from kit.exercises.ordered import Ordered
from kit.exercises.question import Words, told_prompt
from kit.exercises.several import Several
from kit.marking.attempts import Attempt
from kit.marking.job_marks import Reviewed

LONGEST_ANSWER = 400
# Answers longer than this are marked each time.
LONGEST_KEPT = 400
MOST_KEPT = 20_000


class Kept(dict):
    """What was worked out once, by what it hangs on; when there is too much it is gathered anew."""

    def get_or(self, key: Hashable, work: Callable[[], object]) -> object:
        """What is kept under a key, worked out now where nothing is."""
        try:
            return self[key]
        except KeyError:
            if len(self) >= MOST_KEPT:
                self.clear()
            found = self[key] = work()
            return found


@dataclass(frozen=True, slots=True)
class Read:
    """An attempt with its mark, and the answer as text for a person; of a job, the review of its acts as well."""

    attempt: Attempt
    mark: Mark
    shown: str
    review: Reviewed | None = None


_marks = Kept()


def read_attempt(attempt: Attempt) -> Read:
    """An attempt marked; once for all who gave the same answer to the same variant."""
    question, raw = attempt.question, attempt.raw
    if isinstance(question, JobQuestion):
        reviewed = Reviewed(*review_of_job(question, attempt.variant, raw))
        unweighed = Mark(points=0, of=0, reason="", understood=bool(reviewed.done))
        return Read(attempt, unweighed, f"{len(raw)} acts", reviewed)

    def work() -> tuple[Mark, str]:
        return mark(question, attempt.variant, raw), shown(attempt)

    given = given_alike(raw)
    # What an answer earns depends on the variant's picks and order, which its key names, and on nothing else of it.
    # Hardly any two explain a thing in the same words.
    if given is not None and not isinstance(question, Explain):
        return Read(attempt, *_marks.get_or((question.id, attempt.variant.key, type(raw), given), work))
    return Read(attempt, *work())


def given_alike(raw: object) -> str | tuple[str, ...] | None:
    """What is the same for all answers of one type that are the same, and for no others; None for a very long one."""
    if type(raw) is list and set(map(type, raw)) == {str}:
        return tuple(raw) if len("".join(raw)) <= LONGEST_KEPT else None
    text = raw if type(raw) is str else json.dumps(raw)
    return text if len(text) <= LONGEST_KEPT else None


def prompt_of(question: AnyQuestion, drawn: Variant) -> str:
    """What was asked, as text for a person."""
    return told_prompt(question, Words(question, drawn))


def shown(attempt: Attempt) -> str:
    """A raw answer as text for a person."""
    match attempt.question, attempt.raw:
        case Choice() as choice, raw:
            option = chosen_option(choice, attempt.variant, raw)
            text = str(raw) if option is None else Words(choice, attempt.variant).fill(option.text)
        case (Several() | Ordered()) as asked, list() as raw:
            letters = shown_options(asked, attempt.variant)
            words = Words(asked, attempt.variant)
            options = [meant(letters, words, part) for part in raw]
            text = "; ".join(
                _cells(part) if option is None else words.fill(option.text)
                for part, option in zip(raw, options, strict=True)
            )
        case _, Mapping() as raw:
            text = "; ".join(f"{name}: {_cells(cells)}" for name, cells in raw.items())
        case _, list() as raw:
            text = "; ".join(_cells(row) for row in raw)
        case _, raw:
            text = str(raw)
    return shortened(text)


def shortened(text: str) -> str:
    """A text that is not too long to be shown in a table."""
    return text if len(text) <= LONGEST_ANSWER else text[: LONGEST_ANSWER - 3] + "..."


def _cells(cells: object) -> str:
    if isinstance(cells, Mapping):
        cells = list(cells.values())
    return ", ".join(str(cell) for cell in cells) if isinstance(cells, (list, tuple)) else str(cells)
