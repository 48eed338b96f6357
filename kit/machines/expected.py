"""What a case says a test shows, as a rule a reading can be held against: "over 1 V", "dim or out", "OL"."""

import math
import re
from dataclasses import dataclass

from kit.errors import QuantityError
from kit.quantities import read_quantity

LAMPS, LEDS = ("out", "glow", "dim", "bright", "flickers"), ("out", "red", "green", "flickers")
UNITS = {
    "volts": "V", "millivolts": "V", "ac volts": "V", "ohms": "ohm", "continuity": "ohm", "diode test": "V",
    "amps": "A", "clamp": "A", "load tester": "V",
}
WORDS = {"lamp": LAMPS, "loading lamp": LAMPS, "led lamp": LEDS}
# How far a figure that stands alone may be off: a share of it, and as much of the unit it is written in (for nought).
ABOUT_SHARE, ABOUT_NOUGHT = 0.05, 0.05
OVER, JUMPS, BEEPS = "OL", "jumps", "beeps"
_RANGE = re.compile(r"(.+?) to (.+)")


@dataclass(frozen=True, slots=True)
class Rule:
    """``words`` any of which is right, or figures from ``low`` to ``high`` in the SI base unit, without their sign."""

    words: tuple[str, ...] = ()
    low: float = math.nan
    high: float = math.nan

    def fits(self, shown: str, value: float | None, accepts: tuple[str, ...] = ()) -> bool:
        """Whether a reading is what the rule says; a meter's OL is more than any figure, a jumping one is none."""
        if self.words:
            heard = (word for word in self.words if word in (JUMPS, BEEPS))
            return bool({shown, *accepts} & set(self.words)) or any(word in shown for word in heard)
        size = math.inf if shown == OVER else value
        return size is not None and self.low <= abs(size) <= self.high


def read_rule(tool: str, text: str) -> Rule:
    """The rule for what a tool shows; raises QuantityError where the text says nothing such a tool can show.

    >>> read_rule("volts", "11.5 to 12.8 V").fits("12.40 V", 12.4), read_rule("ohms", "over 1 kohm").fits("OL", None)
    (True, True)
    >>> read_rule("lamp", "out or glow").fits("dim", None, ("dim", "glow"))
    True
    """
    if tool in WORDS:
        words = tuple(text.split(" or "))
        for word in words:
            if word not in WORDS[tool]:
                raise QuantityError(f"a {tool} cannot show '{word}'; it shows {', '.join(WORDS[tool])}.")
        return Rule(words=words)
    if tool == "hydrometer":
        # All cells are drawn, one after another: what is said of them is how far they lie apart.
        return _figures(text, "")
    if text in (OVER, JUMPS) or (text == BEEPS and tool == "continuity"):
        return Rule(words=(text,))
    return _figures(text, UNITS[tool])


def _figures(text: str, unit: str) -> Rule:
    if text.startswith("over "):
        return Rule(low=_figure(text.removeprefix("over "), unit), high=math.inf)
    if text.startswith("under "):
        return Rule(low=0.0, high=_figure(text.removeprefix("under "), unit))
    found = _RANGE.fullmatch(text)
    if found:
        high = _figure(found[2], unit)
        low = _figure(found[1] if _has_unit(found[1]) else found[1] + re.sub(r"^[\d.,\s]+", " ", found[2]), unit)
        if low > high:
            raise QuantityError(f"'{text}' runs from more to less.")
        return Rule(low=low, high=high)
    value = _figure(text, unit)
    spare = ABOUT_SHARE * abs(value) or ABOUT_NOUGHT * _figure("1" + re.sub(r"^[\d.,\s]+", " ", text), unit)
    return Rule(low=max(0.0, value - spare), high=value + spare)


def _figure(text: str, unit: str) -> float:
    if not unit:
        try:
            return float(text)
        except ValueError:
            raise QuantityError(f"'{text}' is not a plain number, like 0.025.") from None
    return read_quantity(text, unit, unit_required=True)


def _has_unit(text: str) -> bool:
    return bool(re.search(r"[^\d.,\s]", text))
