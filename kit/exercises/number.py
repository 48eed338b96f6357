"""Number: an answer with a unit, and the wrong numbers that mean something."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import ClassVar

from kit.circuit.conductors import CLASS_5, ohms_per_metre
from kit.errors import QuantityError, QuestionError
from kit.exercises.batteries import ChargeAtRest, InnerOhms, wrong_charges, wrong_ohms
from kit.exercises.boxes import BoxesAlone, figures_of_boxes, wrong_boxes
from kit.exercises.charging import Lasts, wrong_lasts
from kit.exercises.courses import CoilRise, wrong_rises
from kit.exercises.diodes import DiodeKeeps, wrong_keeps
from kit.exercises.figures import (
    BLADES,
    Figure,
    FuseFor,
    MeterVolts,
    Network,
    OnStrip,
    SmallestCable,
    WireDrop,
    compute,
    fill,
    filled_fields,
)
from kit.exercises.marks import Mark, asked_again
from kit.exercises.question import Question, Variant, Words
from kit.exercises.strategy import LeftAtWorst, MeanMinutes, MostTests, wrong_strategy
from kit.exercises.windings import WarmCopper, wrong_ohms_warm
from kit.machines import machine
from kit.quantities import PERCENT, UNITS, read_quantity

MAX_RAW = 200
_NOTHING = ("zero", "nought", "nothing", "none")
_AROUND = re.compile(r"^(?:about|around|approximately|approx\.?|circa|ca\.?|it shows|the meter shows|[~≈=])\s*", re.I)


@dataclass(frozen=True, slots=True, kw_only=True)
class Slip:
    """A wrong number with a known way to it: what to say, the points it still earns, the idea it speaks for."""

    reason: str
    points: int = 0
    idea: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Number(Question):
    """A question whose answer is a number in ``unit``; right within ``within`` (a share of the true value).

    ``slips`` are keyed by the names ``wrong_numbers`` computes for what is asked.
    """

    kind: ClassVar[str] = "number"

    unit: str
    asks: Figure
    why: str
    hint: str
    slips: Mapping[str, Slip]
    within: float = 0.03
    points: int = 4


def true_number(question: Number, variant: Variant) -> float:
    """The right answer in the base unit."""
    return compute(question.asks, Words(question, variant))


def mark_number(question: Number, variant: Variant, raw: object) -> Mark:
    """Mark text such as ``12.4 V``, ``12,4`` or ``12400 mV``; what cannot be read is asked again."""
    value = _read(question, raw)
    if isinstance(value, str):
        return asked_again(question.points, value)
    words = Words(question, variant)
    if agrees(question, value, true_number(question, variant)):
        return Mark(points=question.points, of=question.points, reason=words.fill(question.why))
    for name, wrong in wrong_numbers(question, variant).items():
        if agrees(question, value, wrong):
            slip = question.slips[name]
            ideas = (slip.idea,) if slip.idea else ()
            return Mark(points=slip.points, of=question.points, reason=words.fill(slip.reason), ideas=ideas)
    if agrees(question, value * 1000, true_number(question, variant)) and value:
        return Mark(points=0, of=question.points, reason="A thousand times too small: look at the unit.")
    return Mark(points=0, of=question.points, reason=words.fill(question.hint))


def agrees(question: Number, value: float, target: float) -> bool:
    """Whether a value is a target's within the question's tolerance (or the last digit a meter shows)."""
    return abs(value - target) <= max(question.within * abs(target), _digit(question))


def wrong_numbers(question: Number, variant: Variant) -> dict[str, float]:
    """What each slip of the question would answer, computed for this variant."""
    words = Words(question, variant)
    known = _known_wrong(question.asks, words)
    if missing := [name for name in question.slips if name not in known]:
        raise QuestionError(f"question {question.id}: nothing computes the slip '{missing[0]}'.")
    return {name: known[name] for name in question.slips}


def _known_wrong(asks: Figure, words: Words) -> dict[str, float]:
    truth = compute(asks, words)
    match asks:
        case MeterVolts():
            whole = machine(asks.setup.machine)
            unbroken = replace(asks, setup=replace(asks.setup, faults=()))
            loads = sum(notice.word in ("lit", "awake") for notice in unbroken.setup.operate(words).noticed)
            return {
                "nothing": 0.0,
                "reversed": -truth,
                # The break, and each load behind it, counted as equals in one chain.
                "equal share": truth / (1 + loads),
                "half": truth / 2,
                "nominal": whole.volts if truth > 0 else -whole.volts,
                # The same point read from battery minus: whatever its own ground side loses is not seen.
                "from minus": compute(replace(asks, black=str(whole.circuit.reference)), words),
                "thousand": truth * 1000,
            }
        case WireDrop():
            mm2, metres, amps = (float(fill(text, words)) for text in (asks.mm2, asks.metres, asks.amps))
            a_metre = ohms_per_metre(mm2)
            return {
                "nothing": 0.0,
                "one metre": a_metre * amps,
                "there and back": 2 * truth,
                "ohms only": a_metre * metres,
                "thousand": 1000 * truth,
            }
        case Network():
            return {
                "nothing": 0.0, "thousand": 1000 * truth, "reversed": -truth, "half": truth / 2, "twice": 2 * truth,
            } | _network_ideas(asks, words, truth)
        case SmallestCable():
            sizes = sorted(CLASS_5)
            place = sizes.index(truth)
            half = replace(asks, metres=str(float(fill(asks.metres, words)) / 2))
            return {
                "one smaller": sizes[max(place - 1, 0)], "one larger": sizes[min(place + 1, len(sizes) - 1)],
                "one way only": compute(half, words),
            }
        case FuseFor():
            place, amps = BLADES.index(truth), float(fill(asks.amps, words))
            return {
                "just the load": next(rating for rating in BLADES if amps <= rating),
                "one larger": BLADES[min(place + 1, len(BLADES) - 1)], "twice": 2 * truth,
            }
        case ChargeAtRest():
            return wrong_charges(float(fill(asks.volts, words)), fill(asks.build, words))
        case InnerOhms():
            return wrong_ohms(*(float(fill(text, words)) for text in (asks.rest, asks.volts, asks.amps)))
        case DiodeKeeps():
            numbers = (asks.amps, asks.from_amps, asks.saturation_amps, asks.emission)
            return wrong_keeps(*(float(fill(text, words)) for text in numbers))
        case WarmCopper():
            return wrong_ohms_warm(*(float(fill(text, words)) for text in (asks.ohms, asks.cold, asks.hot)))
        case OnStrip():
            low, rest = (compute(replace(asks, take=take), words) for take in (f"lowest 0 {asks.take}", "0"))
            load = replace(asks, of=f"amps {asks.load}")
            then, most = (compute(replace(load, take=take), words) for take in (asks.take, f"highest 0 {asks.take}"))
            return {
                "stays low": low, "as before": rest, "what is lost": (rest - low) * then / most,
                "thousand": 1000 * truth,
            }
        case BoxesAlone():
            return wrong_boxes(*figures_of_boxes(filled_fields(asks, words)))
        case MostTests() | LeftAtWorst() | MeanMinutes():
            return wrong_strategy(asks, filled_fields(asks, words))
        case Lasts():
            return wrong_lasts(
                *(float(fill(text, words)) for text in (asks.amp_hours, asks.amps, asks.share)), asks.unit)
        case CoilRise():
            return wrong_rises(*(float(fill(text, words)) for text in (asks.henries, asks.ohms)))
        case _:
            return {"nothing": 0.0, "thousand": truth * 1000, "half": truth / 2, "twice": 2 * truth}


def _network_ideas(asks: Network, words: Words, truth: float) -> dict[str, float]:
    """What ideas about networks would answer: an equal share each, all in one row, or a source of fixed current."""
    volts = float(fill(asks.volts, words))
    ohms = {name: float(fill(text, words).split()[2]) for name, text in asks.resistors.items()}
    what, *where = fill(asks.asks, words).split()
    if what == "volts":
        return {
            "equal share": volts / len(ohms), "half the source": volts / 2, "nominal": volts, "rest": volts - truth,
        }
    own = ohms[where[0]]
    total = volts / sum(ohms.values())
    return {
        "as if in one row": total, "own ohms only": volts / own, "the whole current": truth_of_source(asks, words),
        "equal share": truth_of_source(asks, words) / len(ohms),
    }


def truth_of_source(asks: Network, words: Words) -> float:
    """The amps the source of a network gives."""
    leaving = [name for name, text in asks.resistors.items() if "1" in fill(text, words).split()[:2]]
    return sum(abs(compute(replace(asks, asks=f"amps {name}"), words)) for name in leaving)


def _digit(question: Number) -> float:
    match question.asks:
        case MeterVolts():
            return 0.01
        case WireDrop():
            # Half of the last digit, for an answer rounded to what a meter would show.
            return 0.005
        case _:
            return 0.0


def _read(question: Number, raw: object) -> float | str:
    """The number in the base unit, or what to say where there is none."""
    shown = UNITS[question.unit][0]
    if isinstance(raw, bool) or not isinstance(raw, (str, int, float)):
        return f"Write a number with its unit, such as 5 {shown}; nothing has been marked yet."
    text = _AROUND.sub("", str(raw)[: MAX_RAW + 1].strip()).rstrip(" .!")
    if len(text) > MAX_RAW:
        return f"That is a long answer. Write the number and its unit only, such as 5 {shown}."
    for word in _NOTHING:
        text = re.sub(rf"^{word}\b", "0", text, flags=re.I)
    if re.match(r"^[+\-−]?[1-9]\d{0,2},\d{3}(?!\d)", text):
        return f"'{text}' can be read two ways. Write it with a point or without a comma; nothing is marked yet."
    try:
        value = read_quantity(text, question.unit)
        # The form shows the % itself, so the bare figure means percent.
        return value / PERCENT if question.unit == "share" and value > 1 else value
    except QuantityError as error:
        return f"{error} Nothing has been marked yet."
    except OverflowError:
        return "That number is too large to be real. Nothing has been marked yet."
