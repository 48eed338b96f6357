"""Choice: one of a few options is right, and each wrong one has something to say for itself."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import ClassVar, assert_never

from kit.circuit import Open, When
from kit.errors import QuestionError
from kit.exercises.batteries import LoadTestSays, verdict
from kit.exercises.courses import figure_in_words, figure_of_start
from kit.exercises.figures import Figure, Setup, compute, fill, operated
from kit.exercises.marks import Mark, asked_again
from kit.exercises.question import Question, Variant, Words
from kit.exercises.strategy import QuickestTest, quickest_option
from kit.exercises.times import TimesAsMuch, says, times_as_much
from kit.machines import machine

LETTERS = "abcdefgh"


@dataclass(frozen=True, slots=True, kw_only=True)
class Option:
    """One option: its id (never shown), its text, what to say when it is chosen, and the idea it speaks for."""

    id: str
    text: str
    feedback: str = ""
    idea: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Best:
    """The right option is a matter of good practice; ``source`` says whose."""

    option: str
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ExplainsAll:
    """The options' ids are stages; right is the stage in which one single break does all that was seen.

    ``seen`` is the machine with the hidden cause; ``moves`` are the positions it was watched in, ``watch`` the parts.
    """

    seen: Setup
    moves: tuple[Mapping[str, str], ...]
    watch: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class StripOf:
    """The options' ids are faults; right is the one whose start, drawn as a strip chart, has these figures.

    ``seen`` is the machine with the hidden fault, its controls before the press; ``held`` what is moved then.
    ``looked`` are figures told, each an ``of`` and a ``take`` (``courses.taken``). ``alike`` is the share within which
    two figures are one to a reader.
    """

    seen: Setup
    held: Mapping[str, str]
    looked: tuple[tuple[str, str], ...]
    alike: float = 0.05


@dataclass(frozen=True, slots=True, kw_only=True)
class Band:
    """Right is ``below``, ``within`` or ``above``: where a figure lies between two limits (text, braces filled)."""

    figure: Figure
    low: str
    high: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice(Question):
    """A question with options, shown in an order of the learner's own."""

    kind: ClassVar[str] = "choice"

    options: tuple[Option, ...]
    right: Best | ExplainsAll | LoadTestSays | StripOf | QuickestTest | TimesAsMuch | Band
    points: int = 4

    @property
    def to_order(self) -> int:
        return len(self.options)


def shown_options(question: Question, variant: Variant) -> dict[str, Option]:
    """The options of a question that has any, by the letter each has in this variant."""
    return {LETTERS[place]: question.options[index] for place, index in enumerate(variant.order)}


def right_option(question: Choice, variant: Variant) -> Option:
    """The one right option; raises QuestionError where the machine says there is none, or more than one."""
    words = Words(question, variant)
    match question.right:
        case Best():
            found = [option for option in question.options if option.id == words.fill(question.right.option)]
        case ExplainsAll() as rule:
            found = [option for option in question.options if _explaining(rule, option.id, words)]
        case LoadTestSays() as rule:
            found = [option for option in question.options if option.id == _load_test(rule, words)[0]]
        case Band() as rule:
            value = compute(rule.figure, words)
            low, high = (float(fill(text, words)) for text in (rule.low, rule.high))
            place = "below" if value < low else "above" if value > high else "within"
            found = [option for option in question.options if option.id == place]
        case StripOf() as rule:
            wanted = _drawn(rule, tuple(fill(fault, words) for fault in rule.seen.faults))
            found = [option for option in question.options if _same(_drawn(rule, (option.id,)), wanted, rule.alike)]
        case TimesAsMuch() as rule:
            times = times_as_much(rule, words)
            found = [option for option in question.options if says(option.id, times)]
        case QuickestTest() as rule:
            offered = {words.fill(option.id): option for option in question.options}
            found = [offered[quickest_option(rule, words.fill(rule.which), tuple(offered))]]
        case _:
            assert_never(question.right)
    if len(found) != 1:
        raise QuestionError(f"question {question.id} has {len(found)} right options in variant {dict(variant.picks)}.")
    return found[0]


def mark_choice(question: Choice, variant: Variant, raw: object) -> Mark:
    """Mark a letter, a letter with some punctuation, or an option's own text."""
    options = shown_options(question, variant)
    words = Words(question, variant)
    chosen = chosen_option(question, variant, raw)
    if chosen is None:
        return asked_again(question.points, f"Choose one of {', '.join(options)}; nothing has been marked yet.")
    right = right_option(question, variant)
    reason = words.fill(chosen.feedback)
    if isinstance(question.right, ExplainsAll):
        reason += " " + _what_the_machine_does(question.right, chosen.id, words)
    if isinstance(question.right, LoadTestSays):
        reason += " " + _load_test(question.right, words)[1]
    if isinstance(question.right, StripOf) and chosen != right:
        reason += " " + _what_the_strip_would_be(question.right, chosen.id)
    points = question.points if chosen == right else 0
    return Mark(points=points, of=question.points, reason=reason, ideas=(chosen.idea,) if chosen.idea else ())


def chosen_option(question: Choice, variant: Variant, raw: object) -> Option | None:
    """The option an answer means, None where it means none."""
    return meant(shown_options(question, variant), Words(question, variant), raw)


def meant(options: Mapping[str, Option], words: Words, raw: object) -> Option | None:
    """The option that a letter, a letter with some punctuation, or an option's own text means; None for nothing."""
    text = " ".join(str(raw).split()).casefold()
    if text in options and all(len(option.text) > 1 and "{" not in option.text for option in options.values()):
        return options[text]  # the usual case, without a look at what each option says
    for option in options.values():
        if text == " ".join(words.fill(option.text).split()).casefold():
            return option
    letter = re.fullmatch(r"(?:answer|option)?[\s(]*([a-z])[\s).:]*", text)
    return options.get(letter[1]) if letter else None


def _load_test(rule: LoadTestSays, words: Words) -> tuple[str, str]:
    """The verdict, and the figures it hangs on."""
    names = ("rest", "volts", "amps", "cca", "celsius")
    return verdict(**{name: float(fill(getattr(rule, name), words)) for name in names})


def _drawn(rule: StripOf, faults: tuple[str, ...]) -> tuple[float, ...]:
    """The figures of a start with these faults, in the order they are told."""
    before, held = (tuple(sorted(moves.items())) for moves in (rule.seen.positions, rule.held))
    return tuple(figure_of_start(rule.seen.machine, faults, before, held, *asked) for asked in rule.looked)


def _same(one: tuple[float, ...], other: tuple[float, ...], alike: float) -> bool:
    """Whether two strips read alike: each figure within a share of the other, or both next to nothing."""
    return all(abs(a - b) <= alike * max(abs(a), abs(b), 1.0) for a, b in zip(one, other, strict=True))


def _what_the_strip_would_be(rule: StripOf, fault: str) -> str:
    drawn = zip(rule.looked, _drawn(rule, (fault,)), strict=True)
    figures = [figure_in_words(of, value) for (of, _), value in drawn]
    return f"Tried on the machine: its strip would have {', '.join(figures)}, in the same order."


def _breaks(rule: ExplainsAll, stage: str) -> list[str]:
    """The faults of a stage that are one clean break, there at all times."""
    whole = machine(rule.seen.machine)
    if stage not in whole.stages:
        raise QuestionError(f"{whole.id} has no stage '{stage}' for an option to name.")
    parts = whole.stages[stage].parts
    return [
        fault.id for fault in whole.faults.values()
        if fault.part in parts and isinstance(fault.edit, Open) and fault.when is When.ALWAYS
    ]


def observed(rule: ExplainsAll, faults: tuple[str, ...]) -> list[tuple[str, ...]]:
    """What a person sees of the watched parts with these faults: one tuple of words a move."""
    positions = [tuple(sorted((dict(rule.seen.positions) | dict(move)).items())) for move in rule.moves]
    seen = [operated(rule.seen.machine, faults, position).noticed for position in positions]
    return [tuple(word for part in rule.watch for word in (_word(noticed, part),)) for noticed in seen]


def _word(noticed: tuple, part: str) -> str:
    return next(notice.word for notice in noticed if notice.part == part)


def _explaining(rule: ExplainsAll, stage: str, words: Words) -> list[str]:
    wanted = observed(rule, tuple(fill(fault, words) for fault in rule.seen.faults))
    return [fault for fault in _breaks(rule, stage) if observed(rule, (fault,)) == wanted]


def _what_the_machine_does(rule: ExplainsAll, stage: str, words: Words) -> str:
    whole = machine(rule.seen.machine)
    explaining = _explaining(rule, stage, words)
    if explaining:
        return (
            f"Tried on the machine: {len(explaining)} of the {len(_breaks(rule, stage))} single breaks in this stage "
            f"do all of what was seen; '{explaining[-1]}' is one."
        )
    breaks = _breaks(rule, stage)
    if not breaks:
        return "Tried on the machine: nothing in this stage can break on its own."
    wanted = observed(rule, tuple(fill(fault, words) for fault in rule.seen.faults))
    # The break that comes nearest makes the fairest example.
    nearest = max(breaks, key=lambda fault: _agreement(observed(rule, (fault,)), wanted))
    for move, was, would in zip(rule.moves, wanted, observed(rule, (nearest,)), strict=True):
        for part, here, there in zip(rule.watch, was, would, strict=True):
            if here != there:
                tried = f"Tried on the machine: with '{nearest}' and {', '.join(whole.in_words(move))}"
                return f"{tried} the {whole.circuit[part].title} is {there}; here it is {here}."
    raise QuestionError(f"stage '{stage}' explains what was seen and does not; please report it.")


def _agreement(one: list[tuple[str, ...]], other: list[tuple[str, ...]]) -> int:
    return sum(a == b for x, y in zip(one, other, strict=True) for a, b in zip(x, y, strict=True))
