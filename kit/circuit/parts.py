"""The kinds of part a machine is made of.

Each kind lists its terminals and the figures a wiring diagram or a data sheet would give, in SI base units. What moves
a contact by a current is in ``coils``.
"""

from dataclasses import dataclass
from typing import ClassVar

from kit.circuit.charging import Alternator, FloatCharger, RegulatorRectifier, Stator
from kit.circuit.coils import ControlUnit, FuelSolenoid, Relay, StarterSolenoid
from kit.circuit.conductors import ohms_per_metre, warm_ohms
from kit.circuit.figures import Part, choice, figure, temperature
from kit.circuit.terminals import Terminal
from kit.errors import CircuitError

CELL_VOLTS = 2.1  # of a full lead-acid cell, at rest


@dataclass(frozen=True, slots=True, kw_only=True)
class Battery(Part):
    """A lead-acid battery: open-circuit volts behind an internal resistance, both as ``kit.solve.battery`` works out.

    ``volts`` and ``ohms`` (with the sag of the first seconds) are those of the sound, full, rested battery at 20 °C.
    ``charge`` is what is left in it, ``celsius`` how warm it is, ``aged`` the share its ohms have grown by with age,
    ``dead_cells`` how many give nothing. ``surface_volts`` stand on top after charging and are gone once loaded.
    A full AGM battery rests a fifth of a volt higher than a flooded one: that is in its ``volts`` (common practice).
    """

    word: ClassVar[str] = "battery"
    terminal_names: ClassVar[tuple[str, ...]] = ("+", "-")

    volts: float = figure("V", zero=True)
    ohms: float = figure("ohm")
    build: str = choice("flooded", "AGM")
    charge: float = figure("share", default=1.0, zero=True, most=1.0)
    celsius: float = temperature()
    aged: float = figure("share", default=0.0, zero=True)
    dead_cells: float = figure("cells", default=0.0, zero=True)
    surface_volts: float = figure("V", default=0.0, zero=True)

    def __post_init__(self) -> None:
        Part.__post_init__(self)
        if self.dead_cells not in range(self.cells + 1):
            raise CircuitError(f"battery {self.id}: {self.dead_cells:g} of its {self.cells} cells cannot be dead.")

    @property
    def cells(self) -> int:
        """How many cells of about 2.1 V it has."""
        return max(1, round(self.volts / CELL_VOLTS))


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
    celsius: float = temperature()

    def __post_init__(self) -> None:
        Part.__post_init__(self)
        _check_ends(self)
        ohms_per_metre(self.mm2)

    @property
    def ohms(self) -> float:
        """Ohms end to end at its temperature: IEC 60228's largest at 20 °C, and copper's 0.393 % a kelvin."""
        return warm_ohms(ohms_per_metre(self.mm2) * self.metres, self.celsius)


@dataclass(frozen=True, slots=True, kw_only=True)
class Joint(Part):
    """Two pieces of metal held together: post and clamp, stud and lug, body and block.

    One or both of its ends may be its own terminal (the clamp, the lug); the other belongs to the part it sits on.
    """

    word: ClassVar[str] = "joint"

    start: Terminal
    end: Terminal
    ohms: float = figure("ohm")
    celsius: float = temperature()

    def __post_init__(self) -> None:
        Part.__post_init__(self)
        _check_ends(self)

    @property
    def warm_ohms(self) -> float:
        """Ohms at its temperature; ``ohms`` are those at 20 °C."""
        return warm_ohms(self.ohms, self.celsius)

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
class LED(Part):
    """A light-emitting diode with its series resistor, from A (anode) to K: ``amps`` at ``volts``, none backwards.

    The chip keeps ``forward_volts`` at those amps (amps = s·(exp(u/2·25.85 mV) − 1): the diode law with emission 2);
    the resistor takes the rest. Typical figures of a red one: 2 V (from memory).
    """

    word: ClassVar[str] = "LED"
    terminal_names: ClassVar[tuple[str, ...]] = ("A", "K")

    volts: float = figure("V")
    amps: float = figure("A")
    forward_volts: float = figure("V", default=2.0)

    def __post_init__(self) -> None:
        Part.__post_init__(self)
        if not 1.0 <= self.forward_volts <= 4.0:
            raise CircuitError(f"LED {self.id}: forward_volts must be from 1 to 4 V, not {self.forward_volts:g}.")
        if self.forward_volts >= self.volts:
            raise CircuitError(f"LED {self.id}: its {self.volts:g} V leave nothing for the series resistor.")


@dataclass(frozen=True, slots=True, kw_only=True)
class Lamp(Part):
    """A filament lamp, its watts rated at its volts; cold it has a thirteenth of its hot resistance."""

    word: ClassVar[str] = "lamp"
    terminal_names: ClassVar[tuple[str, ...]] = ("1", "2")

    watts: float = figure("W")
    volts: float = figure("V")


@dataclass(frozen=True, slots=True, kw_only=True)
class Resistor(Part):
    """A load that is a plain resistance: a heater, a pump at its speed, gauges. amps = volts/ohms.

    Where a person notices that it has its rated ``volts``, ``shows`` says how: a pump's hum, a gauge's needle.
    """

    word: ClassVar[str] = "resistor"
    terminal_names: ClassVar[tuple[str, ...]] = ("1", "2")

    ohms: float = figure("ohm")
    volts: float = figure("V", default=0.0, zero=True)
    shows: str = choice("nothing", "hum", "needle")

    def __post_init__(self) -> None:
        Part.__post_init__(self)
        if self.shows != "nothing" and not self.volts:
            raise CircuitError(f"resistor {self.id}: what shows a {self.shows} needs its rated volts.")


@dataclass(frozen=True, slots=True, kw_only=True)
class GlowPlug(Part):
    """A glow plug, from its stud to its body: ``cold_ohms`` when cold, ``hot_ohms`` once it glows at ``volts``.

    In between the filament's law: ohms = k·((volts/rated)² + p)^0.225, k and p such that both ends are right. It takes
    ``seconds`` to warm. Settled, it is hot.
    """

    word: ClassVar[str] = "glow plug"
    terminal_names: ClassVar[tuple[str, ...]] = ("stud", "body")

    cold_ohms: float = figure("ohm")
    hot_ohms: float = figure("ohm")
    volts: float = figure("V")
    seconds: float = figure("s", default=5.0)

    def __post_init__(self) -> None:
        Part.__post_init__(self)
        if self.cold_ohms >= self.hot_ohms:
            raise CircuitError(
                f"glow plug {self.id}: it must have more ohms hot than cold "
                f"(cold {self.cold_ohms:g}, hot {self.hot_ohms:g} ohm)."
            )


@dataclass(frozen=True, slots=True, kw_only=True)
class Magneto(Part):
    """An ignition module at a flywheel magnet: it makes its own sparks, and its kill terminal grounded stops it.

    ``ohms`` are what a meter finds from kill to ground through the module itself, and tell nothing of its health. What
    it makes while it spins (hundreds of volts) is left out: nothing is connected to it then. It is grounded when the
    wiring outside brings kill to its ground through less than about 100 ohm (common practice).
    """

    word: ClassVar[str] = "magneto"
    terminal_names: ClassVar[tuple[str, ...]] = ("kill", "ground")

    ohms: float = figure("ohm", default=5000.0)


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
class Instrument(Part):
    """A test instrument's body between its two leads: plain ohms, or a filament where watts are given.

    ``emf`` is a small source behind the ohms, as an ohmmeter has; its plus is at ``start``. A filament has none.
    """

    word: ClassVar[str] = "instrument"

    start: Terminal
    end: Terminal
    ohms: float = figure("ohm")
    watts: float = figure("W", default=0.0, zero=True)
    volts: float = figure("V", default=0.0, zero=True)
    emf: float = figure("V", default=0.0, zero=True)


def _check_ends(part: "Wire | Joint") -> None:
    if part.start == part.end:
        raise CircuitError(f"{part.word} {part.id}: both ends are {part.start}; a {part.word} needs two places.")


# What a machine file may call `kind`.
KINDS: dict[str, type[Part]] = {
    kind.word: kind
    for kind in (
        Battery, Fuse, Wire, Joint, Metal, Switch, Relay, StarterSolenoid, FuelSolenoid, Diode, LED, Lamp, Resistor,
        GlowPlug, Magneto, Motor, ControlUnit, Alternator, Stator, RegulatorRectifier, FloatCharger,
    )
}
