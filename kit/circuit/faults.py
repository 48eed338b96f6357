"""Faults: what is wrong with a part, as a value an instructor can read.

A fault names the part, and an edit says what that does to the electrics. ``at`` picks the path inside a part that has
more than one: ``coil`` or ``contact`` of a relay, ``pull`` or ``hold`` of a solenoid; elsewhere it stays empty. Every
fault planted in a circuit is there; ``when`` is for an operation, which plants only those that show themselves.
"""

from dataclasses import dataclass
from enum import Enum

from kit.circuit.terminals import Terminal
from kit.errors import FaultError


class When(Enum):
    """When a fault shows itself."""

    ALWAYS = "always"
    WIGGLE = "when wiggled"
    HEAT = "when warm"


@dataclass(frozen=True, slots=True, kw_only=True)
class Open:
    """The path is broken."""

    at: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Ohms:
    """So many ohms too many in the path."""

    ohms: float
    at: str = ""

    def __post_init__(self) -> None:
        if not self.ohms > 0:
            raise FaultError(f"a high resistance must be more than zero ohms, not {self.ohms}.")


@dataclass(frozen=True, slots=True, kw_only=True)
class ShortTo:
    """``start`` touches ``end`` through ``ohms``."""

    start: Terminal
    end: Terminal
    ohms: float

    def __post_init__(self) -> None:
        if not self.ohms > 0:
            raise FaultError(f"a short needs more than zero ohms, not {self.ohms}; real shorts have a few milliohms.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """A figure of the part is not what it should be: ``field`` is now ``value`` (SI base unit)."""

    field: str
    value: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Spare:
    """Another part than the right one is fitted: some of its figures (SI base units) differ."""

    figures: tuple[tuple[str, float], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Reversed:
    """What has a direction is fitted the wrong way round: a diode, or the diode in a relay."""

    at: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Welded:
    """A change-over relay's contact holds on for good, ``contact`` or ``rest``: the other cannot close any more."""

    at: str


Edit = Open | Ohms | ShortTo | Change | Spare | Reversed | Welded


@dataclass(frozen=True, slots=True, kw_only=True)
class Fault:
    """One thing wrong with one part; ``leads_to`` is the id of a fault it has brought about."""

    id: str
    part: str
    edit: Edit
    when: When = When.ALWAYS
    leads_to: str = ""


def part_of(fault_id: str) -> str:
    """The id of the part a fault's id begins with.

    >>> part_of("W3 shorted to ground")
    'W3'
    """
    return fault_id.split(" ")[0]
