"""Volts, amps, ohms and their like, from text and to text.

One small reader serves the machine files (where a unit is a must) and learners' answers (where it may be
left out, a comma may stand for the point and "12v" is welcome).
"""

import math
import re

from kit.errors import QuantityError

# The accepted spellings of each unit; the first is the one we show. Spellings are compared without case
# except for the prefixes, where m (milli) and M (mega) differ.
UNITS = {
    "V": ("V", "volt", "volts"),
    "A": ("A", "amp", "amps", "ampere", "amperes"),
    "ohm": ("Ω", "ohm", "ohms"),
    "W": ("W", "watt", "watts"),
    "m": ("m", "metre", "metres", "meter", "meters"),
    "mm2": ("mm²", "mm2"),
    "s": ("s", "second", "seconds"),
    "min": ("min", "minute", "minutes"),
    "h": ("h", "hour", "hours"),
    "d": ("days", "day", "d"),
    "A/V": ("A/V",),
    "celsius": ("°C", "celsius", "degC"),
    "cells": ("cells", "cell"),
    "diodes": ("diodes", "diode"),
    "share": ("%", "percent"),
    "tests": ("tests", "test"),
    "suspects": ("suspects", "suspect"),
}
PREFIXES = {"p": 1e-12, "n": 1e-9, "u": 1e-6, "µ": 1e-6, "μ": 1e-6, "m": 1e-3, "": 1.0, "k": 1e3, "K": 1e3, "M": 1e6}
WORDS = {"milli": 1e-3, "kilo": 1e3, "mega": 1e6, "micro": 1e-6}
UNPREFIXED = {"m", "mm2", "min", "h", "d", "A/V", "celsius", "cells", "diodes", "share", "tests", "suspects"}
PERCENT = 100.0  # a share is written in percent: 80 % is 0.8

_NUMBER = re.compile(r"\s*([+\-−]?(?:\d+(?:[.,]\d*)?|[.,]\d+)(?:[eE][+\-]?\d+)?)\s*(.*?)\s*$", re.DOTALL)


def read_quantity(text: str, unit: str, *, unit_required: bool = False) -> float:
    """Read text such as ``12.4 V``, ``12,4``, ``12400 mV`` or ``20 mohm`` as a number in the base unit.

    Raises QuantityError where there is no number, the unit is another one, or it is missing and required.

    >>> read_quantity("12,4 V", "V")
    12.4
    >>> read_quantity("20 mohm", "ohm")
    0.02
    >>> read_quantity("80 %", "share")
    0.8
    """
    shown = UNITS[unit][0]
    found = _NUMBER.match(text)
    if found is None:
        raise QuantityError(f"'{_short(text)}' is not a number with a unit; write it like '12 {shown}'.")
    number = float(found[1].replace(",", ".").replace("−", "-"))
    if not math.isfinite(number):
        raise QuantityError(f"'{_short(text)}' is too large to be real.")
    written = found[2]
    if not written:
        if unit_required:
            like = f"{_short(text.strip())} {UNITS[unit][:2][-1]}"
            raise QuantityError(f"'{_short(text)}' has no unit; write it like '{like}'.")
        return number
    factor = _factor(written, unit)
    if factor is None:
        name = UNITS[unit][min(2, len(UNITS[unit]) - 1)]
        raise QuantityError(f"'{_short(text)}' is not in {name}; write it like '12 {shown}'.")
    if unit == "share":
        return number / PERCENT
    return float(f"{number!r}") * factor if factor >= 1 else number / round(1 / factor)


def show_quantity(value: float, unit: str, *, digits: int = 3) -> str:
    """Write a value with a fitting prefix: 0.02 ohm becomes ``20 mΩ``.

    >>> show_quantity(0.02, "ohm")
    '20 mΩ'
    >>> show_quantity(12.44, "V")
    '12.4 V'
    """
    symbol = UNITS[unit][0]
    value = value * PERCENT if unit == "share" else value
    scales = ((1.0, ""),) if unit in UNPREFIXED else ((1e6, "M"), (1e3, "k"), (1.0, ""), (1e-3, "m"), (1e-6, "µ"))
    size = abs(value)
    scale, prefix = next(((s, p) for s, p in scales if size >= s * 0.9995), scales[-1] if size else (1.0, ""))
    return f"{float(f'{value / scale:.{digits}g}'):g} {prefix}{symbol}"


def _factor(written: str, unit: str) -> float | None:
    for spelling in UNITS[unit]:
        if written.lower() == spelling.lower() and not (unit == "m" and written == "M"):
            return 1.0
        if unit in UNPREFIXED or not written.lower().endswith(spelling.lower()):
            continue
        prefix = written[: -len(spelling)].strip()
        if prefix in PREFIXES:
            return PREFIXES[prefix]
        if prefix.lower() in WORDS:
            return WORDS[prefix.lower()]
    return None


def _short(text: str) -> str:
    return text if len(text) <= 40 else text[:37] + "..."
