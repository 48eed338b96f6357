"""What an answer in letters means, whatever order its options were shown in.

Two learners who tick the same options of the same picks earn the same, and are told the same, under letters of their
own: a class works that out once. Only letters are taken to mean anything here; any other answer is marked by itself.
"""

from functools import lru_cache
from typing import NamedTuple

from kit.exercises import AnyQuestion, Choice, Variant, question
from kit.exercises.choice import LETTERS
from kit.exercises.ordered import Ordered
from kit.exercises.question import Words
from kit.exercises.several import Several, right_options

LETTERED = (Choice, Several, Ordered)
PLACES = {letter: place for place, letter in enumerate(LETTERS)}


class Meaning(NamedTuple):
    """All that the mark of an answer, and what is said of it, hang on; and the texts of the options it names."""

    key: tuple[object, ...]
    texts: tuple[str, ...] = ()


def meaning(asked: AnyQuestion, drawn: Variant, raw: object) -> Meaning | None:
    """What an answer means under its variant's order; None where it may mean more than letters do.

    No answer at all (None) means the same under any order as well.
    """
    if not isinstance(asked, LETTERED):
        return None
    picks = tuple(drawn.picks.items())
    if raw is None:
        return Meaning((asked.id, picks))
    letters, order = [raw] if isinstance(asked, Choice) else raw, drawn.order
    # A tick more than there are options, or one letter twice, is a slip that each kind has its own words for.
    if not isinstance(letters, list) or not 0 < len(letters) <= len(order):
        return None
    places = [PLACES.get(one, -1) if type(one) is str else -1 for one in letters]
    if len(set(places)) < len(places) or min(places) < 0 or max(places) >= len(order):
        return None
    texts, wrong, only_letters = _options(asked.id, picks)
    if not only_letters:
        return None
    given = [order[place] for place in places]
    said = tuple([texts[option] for option in given])
    if not isinstance(asked, Several):
        return Meaning((asked.id, picks, tuple(given)), said)
    # What is said names wrong ticks in the order the options are shown, their ideas in the order they were ticked.
    shown = tuple([order[place] for place in sorted(places) if order[place] in wrong])
    ticked = tuple([option for option in given if option in wrong])
    return Meaning((asked.id, picks, frozenset(given), shown, ticked), said)


@lru_cache(maxsize=2000)
def _options(question_id: str, picks: tuple[tuple[str, str], ...]) -> tuple[tuple[str, ...], frozenset[int], bool]:
    """The texts of the options as the question lists them; of several, the wrong ones; whether only letters are short.

    Where no option's own text is a single sign, a letter can mean nothing but the option it stands before.
    """
    asked = question(question_id)
    listed = Variant(
        question=asked.id, version=asked.version, course="", learner="", picks=dict(picks),
        order=tuple(range(asked.to_order)), key="",
    )
    words = Words(asked, listed)
    texts = tuple(words.fill(option.text) for option in asked.options)
    right = right_options(asked, listed) if isinstance(asked, Several) else ()
    wrong = frozenset(place for place, option in enumerate(asked.options) if option.id not in right)
    return texts, wrong, all(len(text.strip()) > 1 for text in texts)
