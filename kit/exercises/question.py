"""What every question has, and the variant of it a learner gets."""

import hashlib
import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import ClassVar

from kit.exercises.figures import Figure, fill, show

# Marking tries every edition to find the one an answer was given to, so there is an end to them.
MOST_EDITIONS, TRIES = 200, 40


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """What to draw beside a question: a stage of a machine."""

    machine: str
    stage: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """A question as a value; its truth is computed, never a field.

    ``version`` goes up with any change of content. ``given`` lists, for each name, what a variant picks one of: ids and
    decimal text. ``words`` adds further words to a pick, ``told`` are figures the text may show. Braces in texts are
    filled from all three. ``hints`` help one step further each;
    ``criteria`` are the ids of what an answer is evidence for (``kit.exercises.criteria``).
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


def variant(question: Question, course: str, learner: str, edition: int = 0) -> Variant:
    """The variant of a question for one learner on one course: always the same, on every machine.

    A counter is hashed with SHA-256 and the result picks from the question's own ordered lists.
    """
    # The first edition's seed is as it always was, so that old answers keep their variants.
    seed = (course, learner, question.id, question.version, *((edition,) if edition else ()))
    draw = _Draw(*seed)
    picks = {name: options[draw.below(len(options))] for name, options in question.given.items()}
    order = list(range(question.to_order))
    for last in range(len(order) - 1, 0, -1):
        other = draw.below(last + 1)
        order[last], order[other] = order[other], order[last]
    seal = json.dumps([question.id, question.version, picks, order], ensure_ascii=True)
    return Variant(
        question=question.id, version=question.version, course=course, learner=learner, picks=picks, order=tuple(order),
        key=hashlib.sha256(seal.encode()).hexdigest()[:12], edition=edition,
    )


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
    return _Draw(*seed).below(limit)


class _Draw:
    """Whole numbers from SHA-256 over a seed and a counter: 64 bits against a handful of options leave no bias."""

    def __init__(self, *seed: object) -> None:
        self._seed = json.dumps(seed, ensure_ascii=True)
        self._count = 0

    def below(self, limit: int) -> int:
        block = hashlib.sha256(f"{self._seed}#{self._count}".encode()).digest()
        self._count += 1
        return int.from_bytes(block[:8], "big") % limit
