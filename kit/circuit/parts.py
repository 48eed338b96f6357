"""The kinds of part a machine is made of.

Each kind lists its terminals and the figures a wiring diagram or a data sheet would give, in SI base units.
A field made with ``figure(unit)`` carries its unit with it, so the machine file's reader needs no list of its own.
"""

import math
from dataclasses import dataclass, field, fields
from typing import ClassVar

from kit.circuit.conductors import ohms_per_metre
from kit.circuit.terminals import Terminal
from kit.errors import CircuitError

# No figure of a real part, in SI base units, lies outside (a diode's saturation amps come nearest).
SMALLEST, LARGEST = 1e-18, 1e15


def figure(unit: str, *, default: float | None = None, zero: bool = False):
    """A positive number in ``unit`` (``zero``: nought is allowed too)."""
    metadata = {"unit": unit, "zero": zero}
    return field(metadata=metadata) if default is None else field(default=default, metadata=metadata)


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """What every part has: an id such as ``F1`` and a name a person would use."""

    word: ClassVar[str] = "part"
    terminal_names: ClassVar[tuple[str, ...]] = ()

    id: str
    title: str

    def __post_init__(self) -> None:
        for item in fields(self):
            if "unit" not in item.metadata:
                continue
            value = getattr(self, item.name)
            low_enough = value >= 0 if item.metadata["zero"] else value > 0
            if not (math.isfinite(value) and low_enough):
                least = "zero or more" if item.metadata["zero"] else "more than zero"
                raise CircuitError(f"{self.word} {self.id}: {item.name} must be {least}, not {value:g}.")
            if value and not SMALLEST <= value <= LARGEST:
                raise CircuitError(
                    f"{self.word} {self.id}: {item.name} cannot be {value:g}; no real part is like that."
                )

    @property
    def terminals(self) -> tuple[Terminal, ...]:
        """The terminals this part owns."""
        return tuple(Terminal(self.id, name) for name in self.terminal_names)


@dataclass(frozen=True, slots=True, kw_only=True)
class Battery(Part):
    """Open-circuit volts behind an internal resistance (which includes the sag of the first seconds)."""

    word: ClassVar[str] = "battery"
    terminal_names: ClassVar[tuple[str, ...]] = ("+", "-")

    volts: float = figure("V", zero=True)
    ohms: float = figure("ohm")


@dataclass(frozen=True, slots=True, kw_only=True)
class Fuse(Part):
    """A fuse of a rating in amps; whether it has melted is state, not part of the part."""

    word: ClassVar[str] = "fuse"
    terminal_names: ClassVar[tuple[str, ...]] = ("1", "2")

    amps: float = figure("A")
    ohms: float = figure("ohm")


@dataclass(frozen=True, slots=True, kw_only=True)
class Wire(Part):
    """A wire from one terminal to another; its ohms follow from cross-section and length."""

    word: ClassVar[str] = "wire"

    start: Terminal
    end: Terminal
    mm2: float = figure("mm2")
    metres: float = figure("m")
    colour: str

    def __post_init__(self) -> None:
        Part.__post_init__(self)
        _check_ends(self)
        ohms_per_metre(self.mm2)

    @property
    def ohms(self) -> float:
        """Ohms end to end at 20 °C."""
        return ohms_per_metre(self.mm2) * self.metres


@dataclass(frozen=True, slots=True, kw_only=True)
class Joint(Part):
    """Two pieces of metal held together: post and clamp, stud and lug, body and block.

    One or both of its ends may be its own terminal (the clamp, the lug); the other belongs to the part it sits on.
    """

    word: ClassVar[str] = "joint"

    start: Terminal
    end: Terminal
    ohms: float = figure("ohm")

    def __post_init__(self) -> None:
        Part.__post_init__(self)
        _check_ends(self)

    @property
    def terminals(self) -> tuple[Terminal, ...]:
        return tuple(end for end in (self.start, self.end) if end.part == self.id)


@dataclass(frozen=True, slots=True, kw_only=True)
class Metal(Part):
    """A body of metal that conducts: the engine block, the frame."""

    word: ClassVar[str] = "metal"

    terminal: str

    @property
    def terminals(self) -> tuple[Terminal, ...]:
        return (Terminal(self.id, self.terminal),)


@dataclass(frozen=True, slots=True, kw_only=True)
class Switch(Part):
    """A contact worked by hand (S) or by the machine (B); open unless a control closes it."""

    word: ClassVar[str] = "switch"
    terminal_names: ClassVar[tuple[str, ...]] = ("1", "2")

    ohms: float = figure("ohm")


@dataclass(frozen=True, slots=True, kw_only=True)
class Relay(Part):
    """A coil (85, 86) that pulls in a contact (30, 87) by its current and lets go at a lower one.

    In time, the coil's current follows with ``coil_seconds`` (L/R) and the contact moves ``closes_seconds`` or
    ``opens_seconds`` after it was told to.
    """

    word: ClassVar[str] = "relay"
    terminal_names: ClassVar[tuple[str, ...]] = ("30", "87", "85", "86")

    coil_ohms: float = figure("ohm")
    pull_in_volts: float = figure("V")
    drop_out_volts: float = figure("V")
    contact_ohms: float = figure("ohm")
    coil_seconds: float = figure("s", default=0.009)
    closes_seconds: float = figure("s", default=0.008)
    opens_seconds: float = figure("s", default=0.005)

    def __post_init__(self) -> None:
        Part.__post_init__(self)
        if self.drop_out_volts >= self.pull_in_volts:
            raise CircuitError(
                f"relay {self.id}: it must drop out below the volts it pulls in at "
                f"(pull-in {self.pull_in_volts:g} V, drop-out {self.drop_out_volts:g} V)."
            )

    @property
    def pull_in_amps(self) -> float:
        return self.pull_in_volts / self.coil_ohms

    @property
    def drop_out_amps(self) -> float:
        return self.drop_out_volts / self.coil_ohms


@dataclass(frozen=True, slots=True, kw_only=True)
class Diode(Part):
    """A diode from A (anode) to K (cathode): amps = saturation_amps·(exp(volts/(emission·25.85 mV)) − 1)."""

    word: ClassVar[str] = "diode"
    terminal_names: ClassVar[tuple[str, ...]] = ("A", "K")

    saturation_amps: float = figure("A")
    emission: float

    def __post_init__(self) -> None:
        Part.__post_init__(self)
        if not 0.5 <= self.emission <= 10:
            raise CircuitError(f"diode {self.id}: emission must be between 0.5 and 10, not {self.emission:g}.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Lamp(Part):
    """A filament lamp, its watts rated at its volts; cold it has a thirteenth of its hot resistance."""

    word: ClassVar[str] = "lamp"
    terminal_names: ClassVar[tuple[str, ...]] = ("1", "2")

    watts: float = figure("W")
    volts: float = figure("V")


@dataclass(frozen=True, slots=True, kw_only=True)
class Motor(Part):
    """A starter motor turning its engine.

    Below ``load_amps`` it cannot turn and is a plain resistance; above, it turns, makes a back-EMF in step with its
    speed and takes little more current the faster it goes (``drag`` amps a volt of back-EMF). ``cranking_emf`` is the
    back-EMF at healthy cranking speed: 100 % speed. In time its speed follows with ``spin_seconds``.
    """

    word: ClassVar[str] = "motor"
    terminal_names: ClassVar[tuple[str, ...]] = ("stud", "body")

    ohms: float = figure("ohm")
    load_amps: float = figure("A")
    drag: float = figure("A/V")
    cranking_emf: float = figure("V")
    spin_seconds: float = figure("s", default=0.05)


@dataclass(frozen=True, slots=True, kw_only=True)
class ControlUnit(Part):
    """A control unit as its supply sees it: a load of so many amps at the rated volts."""

    word: ClassVar[str] = "control unit"
    terminal_names: ClassVar[tuple[str, ...]] = ("supply", "ground")

    volts: float = figure("V")
    amps: float = figure("A")


@dataclass(frozen=True, slots=True, kw_only=True)
class Instrument(Part):
    """A test instrument's body between its two leads: plain ohms, or a filament where watts are given."""

    word: ClassVar[str] = "instrument"

    start: Terminal
    end: Terminal
    ohms: float = figure("ohm")
    watts: float = figure("W", default=0.0, zero=True)
    volts: float = figure("V", default=0.0, zero=True)


def _check_ends(part: "Wire | Joint") -> None:
    if part.start == part.end:
        raise CircuitError(f"{part.word} {part.id}: both ends are {part.start}; a {part.word} needs two places.")


# What a machine file may call `kind`.
KINDS: dict[str, type[Part]] = {
    kind.word: kind
    for kind in (Battery, Fuse, Wire, Joint, Metal, Switch, Relay, Diode, Lamp, Motor, ControlUnit)
}
