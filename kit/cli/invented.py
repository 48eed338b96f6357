"""Thirty invented learners who answer the course: what each believes, how sure each is, how each works at a machine.

They know the kit only by its doors: a question's form and variant, the bay's acts, the record. What an idea would
answer the kit's questions compute themselves; slips are drawn from the learner's name, the same at every run.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from kit.exercises import IDEAS, AnyQuestion, Variant, answer_form, right_answer
from kit.exercises.number import wrong_numbers
from kit.exercises.prediction import wrong_tables
from kit.exercises.question import drawn_below
from kit.exercises.volts_table import wrong_volts
from kit.quantities import UNITS

NAMES = (
    "alder", "apple", "ash", "aspen", "beech", "birch", "box", "cedar", "cherry", "cypress", "dogwood", "elder", "elm",
    "fir", "gorse", "hawthorn", "hazel", "heather", "holly", "hornbeam", "juniper", "larch", "lime", "maple", "oak",
    "pear", "pine", "rowan", "willow", "yew",
)
# Believers of each idea, by place in the list of names; the rest believe none of them.
BELIEVERS: Mapping[str, tuple[int, ...]] = {
    "no-current-no-volts": (1, 5, 9, 13, 17, 21, 25), "equal-share": (3, 10, 17, 24),
    "wires-never-drop": (6, 14, 22, 28),
}
STOP_HALF_WAY = (11, 18)
WAYS = ("thorough", "thorough", "hasty", "guessing", "unsafe")
# One who does another's work again, act by act, for the questions an assessor may want to ask: place and place.
COPIES: Mapping[int, int] = {26: 25}
# In a hundred: how sure the surest and the least sure are of a question that is neither hard nor easy.
SUREST, LEAST_SURE = 96, 62
ACTS_ON_IDEA = 85
TEXTS = (
    "I took one reading after the other and wrote down what it left, then I looked at the part it pointed to.",
    "The lamp needs a way in and a way back, so I looked for where the way ends.",
    "Because the volts were there without load and gone under load, the joint is bad and not the battery.",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Invented:
    """One invented learner: ``sure`` in a hundred, the ideas believed in, a way to work, the lessons done.

    ``works_as`` names the learner whose acts these are: mostly the learner's own.
    """

    name: str
    sure: int
    ideas: tuple[str, ...]
    way: str
    lessons: int
    works_as: str

    def drawn(self, limit: int, *about: str) -> int:
        """A whole number below the limit, this learner's own for what it is about."""
        return drawn_below(limit, "invented", self.name, *about)


def invented_class(lessons: int) -> tuple[Invented, ...]:
    """The thirty, in order of name; two of them stop half way through the lessons."""
    found = []
    for place, name in enumerate(NAMES):
        ideas = tuple(idea for idea in IDEAS if place in BELIEVERS.get(idea, ()))
        sure = LEAST_SURE + drawn_below(SUREST - LEAST_SURE + 1, "invented", name, "sure")
        found.append(Invented(
            name=name, sure=sure, ideas=ideas, way=WAYS[COPIES.get(place, place) % len(WAYS)],
            lessons=lessons // 2 if place in STOP_HALF_WAY else lessons, works_as=NAMES[COPIES.get(place, place)],
        ))
    return tuple(found)


def answer_of(one: Invented, asked: AnyQuestion, given: Variant) -> object:
    """What this learner answers to this variant."""
    if asked.kind == "explain":
        return TEXTS[one.drawn(len(TEXTS), asked.id)]
    believed = {idea: raw for idea, raw in by_idea(asked, given) if idea in one.ideas}
    if believed and one.drawn(100, asked.id, "idea") < ACTS_ON_IDEA:
        return next(iter(believed.values()))
    # A question is as hard for everybody; a learner is as sure of all.
    hard = drawn_below(41, "invented", "hard", asked.id) - 25
    right = _with_unit(asked, right_answer(asked, given))
    return right if one.drawn(100, asked.id, "slip") < one.sure - hard else _slip(one, asked, given, right)


def by_idea(asked: AnyQuestion, given: Variant) -> Iterator[tuple[str, object]]:
    """What each idea would answer, in the form a learner gives it; nothing where no idea shows."""
    match asked.kind:
        case "number":
            values = wrong_numbers(asked, given)
            for name, slip in asked.slips.items():
                if slip.idea:
                    yield slip.idea, _with_unit(asked, values[name])
        case "prediction":
            yield from ((idea, {point: list(row) for point, row in table.items()})
                        for idea, table in wrong_tables(asked, given).items())
        case "volts":
            yield from ((idea, {point: [f"{volts:.2f} V" for volts in row] for point, row in table.items()})
                        for idea, table in wrong_volts(asked, given).items())
        case "choice":
            shown = answer_form(asked, given)["options"]
            for place, index in enumerate(given.order):
                if asked.options[index].idea:
                    yield asked.options[index].idea, shown[place]["key"]


def _slip(one: Invented, asked: AnyQuestion, given: Variant, right: object) -> object:
    """A wrong answer of no particular idea."""
    draw = one.drawn(1000, asked.id, "which")
    match asked.kind, right:
        case "choice", str():
            keys = [each["key"] for each in answer_form(asked, given)["options"] if each["key"] != right]
            return keys[draw % len(keys)]
        case ("several" | "ordered"), list():
            return right[1:] if len(right) > 2 else [*right[1:], *right[:1]] if len(right) > 1 else _another(
                asked, given, right)
        case "number", str():
            value, _, unit = right.partition(" ")
            return f"{float(value) * (0.61, 1.7, 3.3)[draw % 3]:.4g} {unit}"
        case "prediction", dict():
            return _changed(right, draw, lambda cell: "glow" if cell == "bright" else "bright")
        case "volts", dict():
            return _changed(right, draw, lambda cell: f"{float(cell.split()[0]) + 2.5:.2f} V")
        case "standing", dict():
            words = answer_form(asked, given)["words"]
            return _changed(right, draw, lambda cell: words[(words.index(cell) + 1) % len(words)])
        case "mark up", dict():
            rows = answer_form(asked, given)["rows"]
            chosen = rows[draw % len(rows)]
            others = [option["text"] for option in chosen["options"] if option["text"] != right[chosen["key"]]]
            return {**right, chosen["key"]: others[draw % len(others)]}
        case "next test", dict():
            tips = [tip for tip in answer_form(asked, given)["tips"] if tip != right.get("tip")]
            return {**right, "tip": tips[draw % len(tips)]} if "tip" in right else right
    return right


def _changed(table: Mapping[str, list[str]], draw: int, change: object) -> dict[str, list[str]]:
    """A table with one of its rows seen wrongly."""
    points = list(table)
    chosen = points[draw % len(points)]
    return {point: [change(cell) for cell in row] if point == chosen else list(row) for point, row in table.items()}


def _another(asked: AnyQuestion, given: Variant, right: list) -> list:
    return [each["key"] for each in answer_form(asked, given)["options"] if each["key"] not in right][:1]


def _with_unit(asked: AnyQuestion, value: object) -> object:
    """A number as a learner types it, with its unit."""
    if asked.kind != "number" or isinstance(value, str):
        return value
    return f"{value:.6g} {UNITS[asked.unit][0]}" if asked.unit != "share" else f"{100 * value:.4g} %"
