"""What every question has, and the variant of it a learner gets."""

import json
import struct
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from hashlib import sha256
from typing import ClassVar

from kit.exercises.figures import Figure, fill, show

# Marking tries every edition to find the one an answer was given to, so there is an end to them.
FIRST_64_BITS = struct.Struct(">Q24x").unpack
MOST_EDITIONS, TRIES = 200, 40
MOST_DECKS = 2000
MOST_LAID = 500  # variants of one question at hand


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """What to draw beside a question: a stage of a machine, and its look (``kit.draw.ugly``) where it is not plain."""

    machine: str
    stage: str
    look: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """A question as a value; its truth is computed, never a field.

    ``version`` goes up with any change of content. ``given`` lists, for each name, what a variant picks one of: ids and
    decimal text. ``words`` adds further words to a pick, ``told`` are figures the text may show. Braces in texts are
    filled from all three. ``pictures`` names by a pick what is drawn instead of ``picture``; in the criteria the
    question speaks for ``picture``'s machine. ``table`` are lines of a small table under the prompt, its head first,
    cells parted by `` | ``. ``hints`` help one step further each; ``criteria`` are the ids of what an answer is
    evidence for (``kit.exercises.criteria``).
    """

    kind: ClassVar[str] = "question"

    id: str
    version: int
    title: str
    prompt: str
    picture: Picture
    given: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    words: Mapping[str, Mapping[str, str]] = field(default_factory=dict)
    told: Mapping[str, Figure] = field(default_factory=dict)
    pictures: Mapping[str, Picture] = field(default_factory=dict)
    table: tuple[str, ...] = ()
    hints: tuple[str, ...] = ()
    criteria: tuple[str, ...] = ()

    @property
    def lesson(self) -> str:
        """The number of the lesson it belongs to, such as ``06``."""
        return self.id.split(".")[0]

    @property
    def to_order(self) -> int:
        """How many things of this question are shown in an order of the variant's own."""
        return 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Variant:
    """One learner's variant of a question: what was picked, in which order options stand, and a key that names it.

    ``edition`` 0 is the one that is marked; later ones are fresh variants to practise on.
    """

    question: str
    version: int
    course: str
    learner: str
    picks: Mapping[str, str]
    order: tuple[int, ...]
    key: str
    edition: int = 0


class Words(Mapping[str, str]):
    """What the braces of a question's texts may hold, for one variant; figures are computed when asked for."""

    def __init__(self, question: Question, variant: Variant) -> None:
        self._told = question.told
        self._plain = dict(variant.picks)
        for pick in variant.picks.values():
            self._plain |= question.words.get(pick, {})

    def __getitem__(self, name: str) -> str:
        return self._plain[name] if name in self._plain else show(self._told[name], self)

    def __iter__(self) -> Iterator[str]:
        return iter([*self._plain, *self._told])

    def __len__(self) -> int:
        return len(self._plain) + len(self._told)

    def fill(self, text: str) -> str:
        """The text with its braces filled."""
        return fill(text, self)


def picture_of(question: Question, variant: Variant) -> Picture:
    """What is drawn beside a question, for one variant."""
    found = (question.pictures[pick] for pick in variant.picks.values() if pick in question.pictures)
    return next(found, question.picture)


def told_table(question: Question, words: Words) -> list[list[str]]:
    """The rows of a question's table, the head first; empty where it has none. A figure may bring several rows."""
    lines = (line for text in question.table for line in words.fill(text).strip("\n").split("\n"))
    return [[cell.strip() for cell in line.split("|")] for line in lines]


def told_prompt(question: Question, words: Words) -> str:
    """All that a question tells, for a page of text: its prompt, and a line for each row of its table."""
    head, *rows = told_table(question, words) or [[]]
    lines = (
        (f"{head[0]} {first}: ".lstrip() if first else "")
        + "; ".join(f"{name} {cell}" for name, cell in zip(head[1:], cells, strict=True) if cell)
        for first, *cells in rows
    )
    return "\n".join((words.fill(question.prompt), *lines))


def variant(question: Question, course: str, learner: str, edition: int = 0) -> Variant:
    """The variant of a question for one learner on one course: always the same, on every machine.

    A counter is hashed with SHA-256 and the result picks from the question's own ordered lists.
    """
    mine = drawn_alike(question, course, learner, edition)
    return Variant(
        question=mine.question, version=mine.version, course=course, learner=learner, picks=dict(mine.picks),
        order=mine.order, key=mine.key, edition=edition,
    )


def drawn_alike(question: Question, course: str, learner: str, edition: int = 0) -> Variant:
    """A learner's variant without whose it is and which edition: one value for all who drew alike.

    A job's faults hang on whose it is; all else of an exercise does not.
    """
    deck = _decks.get(id(question)) or _new_deck(question)
    drawn = _drawn(_whose(course, learner), deck.of_edition(edition) if edition else deck.first)
    return deck.laid.get(drawn) or deck.lay(drawn)


def edition_of(question: Question, course: str, learner: str, key: str) -> Variant | None:
    """The learner's variant that this key names, None where no edition has it."""
    drawn = (variant(question, course, learner, edition) for edition in range(MOST_EDITIONS))
    return next((one for one in drawn if one.key == key), None)


def fresh_edition(question: Question, last: Variant) -> int:
    """The number of the next edition unlike every one up to ``last``; 0 where a good many tries find none."""
    met = {variant(question, last.course, last.learner, edition).key for edition in range(last.edition + 1)}
    for edition in range(last.edition + 1, min(last.edition + TRIES, MOST_EDITIONS)):
        if variant(question, last.course, last.learner, edition).key not in met:
            return edition
    return 0


def drawn_below(limit: int, *seed: str) -> int:
    """One whole number below ``limit``, always the same for these texts."""
    return _drawn(json.dumps(seed, ensure_ascii=True).encode() + b"#", ((b"0", limit),))[0]


def _drawn(seed: bytes, draws: tuple[tuple[bytes, int], ...]) -> tuple[int, ...]:
    """Whole numbers from SHA-256 over a seed and its end, each below a limit: 64 bits leave no bias."""
    return tuple([FIRST_64_BITS(sha256(seed + end).digest())[0] % limit for end, limit in draws])


# A class is half a million variants of a few hundred questions: what comes again is worked out once.


class _Deck:
    """What the variants of one question are drawn from.

    ``first`` are the ends of the seeds, each with the limit of what is drawn by it, for the edition that is marked:
    the question's part and a counter. ``laid`` are the variants met lately, by the numbers drawn.
    """

    def __init__(self, question: Question) -> None:
        self.question = question
        self.given = tuple(question.given.items())
        size = question.to_order
        self.limits = (*(len(options) for _name, options in self.given), *range(size, 1, -1))
        self.unshuffled = range(size)
        self.which = json.dumps([question.id, question.version], ensure_ascii=True)[1:-1].encode()
        # The first edition's seed is as it always was, so that old answers keep their variants.
        self.first = tuple((b"%b]#%d" % (self.which, number), limit) for number, limit in enumerate(self.limits))
        self.laid: dict[tuple[int, ...], Variant] = {}
        self._picked: dict[tuple[int, ...], tuple[Mapping[str, str], str]] = {}

    def of_edition(self, edition: int) -> tuple[tuple[bytes, int], ...]:
        """As ``first``, for a fresh variant to practise on."""
        return tuple((b"%b, %d]#%d" % (self.which, edition, n), limit) for n, limit in enumerate(self.limits))

    def lay(self, drawn: tuple[int, ...]) -> Variant:
        """What these numbers pick, the order they leave, and the key that names the two: nobody's variant yet."""
        picks, seal = self._pick(drawn[: len(self.given)])
        order = list(self.unshuffled)
        for last, other in zip(range(len(order) - 1, 0, -1), drawn[len(picks) :], strict=True):
            order[last], order[other] = order[other], order[last]
        # A list of whole numbers is the same text in Python and in JSON.
        key = sha256(f"{seal}, {order}]".encode()).hexdigest()[:12]
        question = self.question
        if len(self.laid) >= MOST_LAID:
            self.laid.clear()
        found = self.laid[drawn] = Variant(
            question=question.id, version=question.version, course="", learner="", picks=picks, order=tuple(order),
            key=key,
        )
        return found

    def _pick(self, drawn: tuple[int, ...]) -> tuple[Mapping[str, str], str]:
        """What these numbers pick, and the beginning of the text that a variant's key is made from."""
        if drawn not in self._picked:
            picks = {name: options[number] for (name, options), number in zip(self.given, drawn, strict=True)}
            seal = json.dumps([self.question.id, self.question.version, picks], ensure_ascii=True)
            self._picked[drawn] = picks, seal[:-1]
        return self._picked[drawn]


# By identity, and each holds its question, so that no other takes its place in memory.
_decks: dict[int, _Deck] = {}


def _new_deck(question: Question) -> _Deck:
    if len(_decks) >= MOST_DECKS:
        _decks.clear()
    deck = _decks[id(question)] = _Deck(question)
    return deck


@lru_cache(maxsize=100)
def _whose(course: str, learner: str) -> bytes:
    """The beginning of the seed, the same for all of a learner's variants."""
    return json.dumps([course, learner], ensure_ascii=True)[:-1].encode() + b", "
