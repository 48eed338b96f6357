"""What an answer in letters means, whatever order its options were shown in.

Two learners who tick the same options of the same picks earn the same, and are told the same, under letters of their
own: a class works that out once. Only letters are taken to mean anything here; any other answer is marked by itself.
"""

from functools import lru_cache

from kit.exercises import AnyQuestion, Choice, Variant, question
from kit.exercises.choice import LETTERS
from kit.exercises.ordered import Ordered
from kit.exercises.question import Words
from kit.exercises.several import Several

Meaning = tuple[object, ...]
LETTERED = (Choice, Several, Ordered)


def meaning(asked: AnyQuestion, drawn: Variant, raw: object) -> Meaning | None:
    """All that the mark of an answer, and what is said of it, hang on; None where it may be more than this.

    No answer at all (None) means the same under any order as well.
    """
    if not isinstance(asked, LETTERED):
        return None
    picks = tuple(drawn.picks.items())
    if raw is None:
        return asked.id, picks
    letters = [raw] if isinstance(asked, Choice) else raw
    # A tick more than there are options, or one letter twice, is a slip that each kind has its own words for.
    if not isinstance(letters, list) or not 0 < len(letters) <= len(drawn.order) or not _only_letters(asked.id, picks):
        return None
    places = [LETTERS.find(one) if isinstance(one, str) and len(one) == 1 else -1 for one in letters]
    if len(set(places)) < len(places) or not all(0 <= place < len(drawn.order) for place in places):
        return None
    # Reasons name wrong ticks in the order the options are shown.
    given, shown = (tuple(drawn.order[place] for place in some) for some in (places, sorted(places)))
    return asked.id, picks, given, shown


@lru_cache(maxsize=2000)
def _only_letters(question_id: str, picks: tuple[tuple[str, str], ...]) -> bool:
    """Whether a letter can mean nothing but the option it stands before: no option's own text is a single sign."""
    asked = question(question_id)
    drawn = Variant(
        question=asked.id, version=asked.version, course="", learner="", picks=dict(picks),
        order=tuple(range(asked.to_order)), key="",
    )
    words = Words(asked, drawn)
    return all(len(words.fill(option.text).strip()) > 1 for option in asked.options)
