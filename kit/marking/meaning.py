"""What an answer in letters means, whatever order its options were shown in.

Two learners who tick the same options of the same picks earn the same, and are told the same, under letters of their
own: a class works that out once. Only letters are taken to mean anything here; any other answer is marked by itself.
"""

from functools import lru_cache

from kit.exercises import AnyQuestion, Choice, Variant, question
from kit.exercises.choice import LETTERS
from kit.exercises.ordered import Ordered
from kit.exercises.question import Words
from kit.exercises.several import Several, right_options

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
    given = tuple(drawn.order[place] for place in places)
    if not isinstance(asked, Several):
        return asked.id, picks, given
    # What is said names wrong ticks in the order the options are shown, their ideas in the order they were ticked.
    wrong, shown = _wrong_options(asked.id, picks), (drawn.order[place] for place in sorted(places))
    in_turn = (tuple(option for option in some if option in wrong) for some in (shown, given))
    return asked.id, picks, frozenset(given), *in_turn


@lru_cache(maxsize=2000)
def _only_letters(question_id: str, picks: tuple[tuple[str, str], ...]) -> bool:
    """Whether a letter can mean nothing but the option it stands before: no option's own text is a single sign."""
    asked = question(question_id)
    words = Words(asked, _unshuffled(asked, picks))
    return all(len(words.fill(option.text).strip()) > 1 for option in asked.options)


@lru_cache(maxsize=2000)
def _wrong_options(question_id: str, picks: tuple[tuple[str, str], ...]) -> frozenset[int]:
    """The places of the options that are wrong, as the question lists them."""
    asked = question(question_id)
    right = right_options(asked, _unshuffled(asked, picks))
    return frozenset(place for place, option in enumerate(asked.options) if option.id not in right)


def _unshuffled(asked: AnyQuestion, picks: tuple[tuple[str, str], ...]) -> Variant:
    """The variant with these picks that shows its options as the question lists them."""
    return Variant(
        question=asked.id, version=asked.version, course="", learner="", picks=dict(picks),
        order=tuple(range(asked.to_order)), key="",
    )
