"""Figures a question asks for or tells, computed from a machine, its instruments or a plain sum.

Text in braces is filled from a variant's words first: ``Setup(machine="orchard-bike", faults=("{fault}",))`` is the
orchard bike with whatever fault the learner's variant picked.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cache
from typing import assert_never

from kit.circuit import Change, Fault
from kit.circuit.conductors import ohms_per_metre
from kit.instruments import Multimeter
from kit.machines import Operation, machine


@dataclass(frozen=True, slots=True, kw_only=True)
class Setup:
    """A machine with faults planted and controls set; positions not named are at rest."""

    machine: str
    faults: tuple[str, ...] = ()
    positions: Mapping[str, str] = field(default_factory=dict)

    def operate(self, words: Mapping[str, str], **moved: str) -> Operation:
        """The operation, with the braces filled and further controls moved."""
        faults = tuple(fill(fault, words) for fault in self.faults)
        positions = {name: fill(position, words) for name, position in self.positions.items()} | moved
        return operated(self.machine, faults, tuple(sorted(positions.items())))


@dataclass(frozen=True, slots=True, kw_only=True)
class MeterVolts:
    """What a voltmeter shows, in volts, red against black."""

    setup: Setup
    red: str
    black: str


@dataclass(frozen=True, slots=True, kw_only=True)
class AmpsIfHeld:
    """The amps a path would carry if this fuse were one that never melts."""

    setup: Setup
    path: str
    fuse: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WireDrop:
    """Volts lost along a copper wire, from the table of IEC 60228 (class 5, 20 °C): ohms a metre × metres × amps."""

    mm2: str
    metres: str
    amps: str


@dataclass(frozen=True, slots=True, kw_only=True)
class MilliohmsPerMetre:
    """Milliohms of a metre of class 5 copper at 20 °C (IEC 60228)."""

    mm2: str


Figure = MeterVolts | AmpsIfHeld | WireDrop | MilliohmsPerMetre


def compute(figure: Figure, words: Mapping[str, str]) -> float:
    """The figure's value in its base unit, as an instrument would show it where it is one that is read."""
    match figure:
        case MeterVolts():
            now = figure.setup.operate(words)
            value = Multimeter("volts", black=fill(figure.black, words), red=fill(figure.red, words)).read(now).value
            return math.nan if value is None else value
        case AmpsIfHeld():
            held = Fault(id=f"{figure.fuse} held", part=figure.fuse, edit=Change(field="amps", value=1e6))
            faults = tuple(fill(fault, words) for fault in figure.setup.faults)
            now = machine(figure.setup.machine).operate(*faults, held, **figure.setup.positions)
            return abs(now.amps[figure.path])
        case WireDrop():
            mm2, metres, amps = (float(fill(text, words)) for text in (figure.mm2, figure.metres, figure.amps))
            return ohms_per_metre(mm2) * metres * amps
        case MilliohmsPerMetre():
            return 1000 * ohms_per_metre(float(fill(figure.mm2, words)))
        case _:
            assert_never(figure)


def show(figure: Figure, words: Mapping[str, str]) -> str:
    """The figure as a question's text tells it."""
    value = compute(figure, words)
    match figure:
        case MeterVolts() | WireDrop():
            return f"{value:.2f} V"
        case AmpsIfHeld():
            return f"{float(f'{value:.2g}'):g} A"
        case MilliohmsPerMetre():
            return f"{value:g} mΩ"
        case _:
            assert_never(figure)


def fill(text: str, words: Mapping[str, str]) -> str:
    """The text with its braces filled, and those in what filled them; KeyError for a word that is not there."""
    while "{" in text:
        text = text.format_map(words)
    return text


@cache
def operated(machine_id: str, faults: tuple[str, ...], positions: tuple[tuple[str, str], ...]) -> Operation:
    """An operation, kept: a class asks for the same few many times over."""
    return machine(machine_id).operate(*faults, **dict(positions))
