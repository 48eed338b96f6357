"""What every part has, and how its figures are declared and checked.

A field made with ``figure(unit)`` carries its unit with it, so the machine file's reader needs no list of its own.
"""

import math
from dataclasses import dataclass, field, fields
from typing import ClassVar

from kit.circuit.conductors import COLDEST, REFERENCE_CELSIUS, WARMEST
from kit.circuit.terminals import Terminal
from kit.errors import CircuitError

# No figure of a real part, in SI base units, lies outside (a diode's saturation amps come nearest).
SMALLEST, LARGEST = 1e-18, 1e15
ABSOLUTE_ZERO = -273.15


def figure(unit: str, *, default: float | None = None, zero: bool = False, most: float = LARGEST):
    """A positive number in ``unit``, ``most`` at the largest (``zero``: nought is allowed too)."""
    metadata = {"unit": unit, "zero": zero, "most": most}
    return field(metadata=metadata) if default is None else field(default=default, metadata=metadata)


def temperature():
    """Degrees Celsius, 20 where nothing is said."""
    return field(default=REFERENCE_CELSIUS, metadata={"unit": "celsius"})


def choice(*words: str):
    """One of a few words, the first where nothing is said."""
    return field(default=words[0], metadata={"choices": words})


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """What every part has: an id such as ``F1`` and a name a person would use."""

    word: ClassVar[str] = "part"
    terminal_names: ClassVar[tuple[str, ...]] = ()

    id: str
    title: str

    def __post_init__(self) -> None:
        for item in fields(self):
            value = getattr(self, item.name)
            if "choices" in item.metadata and value not in item.metadata["choices"]:
                words = " or ".join(item.metadata["choices"])
                raise CircuitError(f"{self.word} {self.id}: {item.name} is {words}, not '{value}'.")
            if item.metadata.get("unit") == "celsius":
                self._check_temperature(item.name, value)
            elif "unit" in item.metadata:
                self._check_figure(item.name, value, zero=item.metadata["zero"], most=item.metadata["most"])

    @property
    def terminals(self) -> tuple[Terminal, ...]:
        """The terminals this part owns."""
        return tuple(Terminal(self.id, name) for name in self.terminal_names)

    @property
    def inside(self) -> tuple[str, ...]:
        """What a fault's ``at`` may name; one empty name where there is only one path."""
        return ("",)

    def _check_figure(self, name: str, value: float, *, zero: bool, most: float) -> None:
        if not (math.isfinite(value) and (value >= 0 if zero else value > 0)):
            least = "zero or more" if zero else "more than zero"
            raise CircuitError(f"{self.word} {self.id}: {name} must be {least}, not {value:g}.")
        if value and not SMALLEST <= value <= LARGEST:
            raise CircuitError(f"{self.word} {self.id}: {name} cannot be {value:g}; no real part is like that.")
        if value > most:
            raise CircuitError(f"{self.word} {self.id}: {name} must be {most:g} at the most, not {value:g}.")

    def _check_temperature(self, name: str, value: float) -> None:
        if not value >= ABSOLUTE_ZERO:
            raise CircuitError(
                f"{self.word} {self.id}: {name} cannot be {value:g} °C; nothing is colder than {ABSOLUTE_ZERO} °C."
            )
        if not COLDEST <= value <= WARMEST:
            raise CircuitError(
                f"{self.word} {self.id}: {name} must be from {COLDEST:g} to {WARMEST:g} °C, not {value:g}."
            )
