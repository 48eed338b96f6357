"""Parts that move a contact, or a driver, by the current in a coil or at a pin."""

from dataclasses import dataclass
from typing import ClassVar

from kit.circuit.conductors import winding_share
from kit.circuit.figures import Part, choice, figure, temperature
from kit.circuit.terminals import Terminal
from kit.errors import CircuitError


@dataclass(frozen=True, slots=True, kw_only=True)
class Relay(Part):
    """A coil (85, 86) that pulls in a contact (30, 87) by its ampere-turns and lets go at fewer.

    ``pull_in_volts`` and ``drop_out_volts`` are across the whole coil at 20 °C. A coil at ``celsius`` has the ohms of
    warm copper, so it needs more volts for the same amps (references.md: 320 ohm at 25 °C, 443.3 ohm at 125 °C). With
    ``turns`` of its turns left, the rest shorted, it has that share of its ohms and needs so many more amps: it draws
    more, heats up, and through the ohms of its feed pulls a little weaker. ``contacts: change-over`` adds 87a, shut at
    rest; ``suppression: diode`` lies across the coil, 86 plus. In time, the coil's current follows with
    ``coil_seconds`` (L/R) and the contact moves ``closes_seconds`` or ``opens_seconds`` after it was told to.
    """

    word: ClassVar[str] = "relay"
    terminal_names: ClassVar[tuple[str, ...]] = ("30", "87", "85", "86")

    coil_ohms: float = figure("ohm")
    pull_in_volts: float = figure("V")
    drop_out_volts: float = figure("V")
    contact_ohms: float = figure("ohm")
    celsius: float = temperature()
    turns: float = figure("share", default=1.0, most=1.0)
    contacts: str = choice("make", "change-over")
    suppression: str = choice("none", "diode")
    coil_seconds: float = figure("s", default=0.009)
    closes_seconds: float = figure("s", default=0.008)
    opens_seconds: float = figure("s", default=0.005)

    def __post_init__(self) -> None:
        Part.__post_init__(self)
        _check_hysteresis(self)

    @property
    def terminals(self) -> tuple[Terminal, ...]:
        more = ("87a",) if self.contacts == "change-over" else ()
        return tuple(Terminal(self.id, name) for name in (*self.terminal_names, *more))

    @property
    def makes(self) -> tuple[Terminal, Terminal]:
        """The two terminals it joins when it is pulled in."""
        return Terminal(self.id, "30"), Terminal(self.id, "87")

    @property
    def inside(self) -> tuple[str, ...]:
        rest = ("rest",) if self.contacts == "change-over" else ()
        return ("coil", "contact", *rest, *(("diode",) if self.suppression == "diode" else ()))

    @property
    def winding_ohms(self) -> float:
        """The coil's ohms as it is now: its temperature, its sound turns."""
        return self.coil_ohms * winding_share(self.celsius) * self.turns

    @property
    def pull_in_amps(self) -> float:
        return self.pull_in_volts / self.coil_ohms / self.turns

    @property
    def drop_out_amps(self) -> float:
        return self.drop_out_volts / self.coil_ohms / self.turns


@dataclass(frozen=True, slots=True, kw_only=True)
class StarterSolenoid(Part):
    """The solenoid on a starter: a pull coil (50 to M) and a hold coil (50 to body) of as many turns on one iron.

    At rest the pull coil finds its ground through the motor, and both pull: pull_in_volts·(1/pull + 1/hold) amps.
    Pulled in, its contact (30, M) puts the same volts on both ends of the pull coil, so the hold coil holds alone, down
    to drop_out_volts/hold amps. With 50 let go, both carry the same amps against each other: it drops out.
    A hold winding that is open lets go as soon as it has pulled in: it clatters, and the battery's volts stay high.
    Ohms and volts are those at 20 °C; windings at ``celsius`` have those of warm copper, and need more volts.
    """

    word: ClassVar[str] = "starter solenoid"
    terminal_names: ClassVar[tuple[str, ...]] = ("30", "50", "M", "body")

    pull_ohms: float = figure("ohm")
    hold_ohms: float = figure("ohm")
    pull_in_volts: float = figure("V")
    drop_out_volts: float = figure("V")
    contact_ohms: float = figure("ohm")
    celsius: float = temperature()
    coil_seconds: float = figure("s", default=0.005)
    closes_seconds: float = figure("s", default=0.02)
    opens_seconds: float = figure("s", default=0.015)

    def __post_init__(self) -> None:
        Part.__post_init__(self)
        _check_hysteresis(self)

    @property
    def makes(self) -> tuple[Terminal, Terminal]:
        """The two terminals it joins when it is pulled in."""
        return Terminal(self.id, "30"), Terminal(self.id, "M")

    @property
    def inside(self) -> tuple[str, ...]:
        return ("pull", "hold", "contact")

    @property
    def windings(self) -> tuple[float, float]:
        """The ohms of its pull and its hold coil as they are now."""
        share = winding_share(self.celsius)
        return self.pull_ohms * share, self.hold_ohms * share

    @property
    def pull_in_amps(self) -> float:
        return self.pull_in_volts * (1 / self.pull_ohms + 1 / self.hold_ohms)

    @property
    def drop_out_amps(self) -> float:
        return self.drop_out_volts / self.hold_ohms


@dataclass(frozen=True, slots=True, kw_only=True)
class FuelSolenoid(Part):
    """A diesel's fuel solenoid (feed, body): a strong pull coil, cut by its own rest contact once in, and a hold coil.

    ``wires: three`` (pull, hold, body): the start circuit feeds the pull coil, the key the hold coil, and a meter finds
    each by itself. Held in by the hold coil alone. A hold coil that is open lets go once the pull coil is cut: it
    chatters, and the engine dies; no further from its seat than its contact needs to shut again, so that the pull coil
    is on for the lesser part of the time, and its fuse holds. ``opens_seconds`` pass till that contact shuts, and as
    many more till it is back at rest. A rest contact that does not open leaves the pull coil on, tens of amps for
    seconds: its fuse blows. Ohms and volts are those at 20 °C; at ``celsius`` as for the starter solenoid.
    """

    word: ClassVar[str] = "fuel solenoid"
    terminal_names: ClassVar[tuple[str, ...]] = ("feed", "body")

    pull_ohms: float = figure("ohm")
    hold_ohms: float = figure("ohm")
    pull_in_volts: float = figure("V")
    drop_out_volts: float = figure("V")
    contact_ohms: float = figure("ohm", default=0.005)
    celsius: float = temperature()
    wires: str = choice("two", "three")
    coil_seconds: float = figure("s", default=0.005)
    closes_seconds: float = figure("s", default=0.15)
    opens_seconds: float = figure("s", default=0.05)

    def __post_init__(self) -> None:
        Part.__post_init__(self)
        _check_hysteresis(self)

    @property
    def terminals(self) -> tuple[Terminal, ...]:
        names = ("hold", "body", "pull") if self.wires == "three" else self.terminal_names
        return tuple(Terminal(self.id, name) for name in names)

    @property
    def feeds(self) -> tuple[str, str]:
        """The terminals that feed the pull coil and the hold coil."""
        return ("pull", "hold") if self.wires == "three" else ("feed", "feed")

    @property
    def inside(self) -> tuple[str, ...]:
        return ("pull", "hold", "rest")

    @property
    def windings(self) -> tuple[float, float]:
        """The ohms of its pull and its hold coil as they are now."""
        share = winding_share(self.celsius)
        return self.pull_ohms * share, self.hold_ohms * share

    @property
    def pull_in_amps(self) -> float:
        return self.pull_in_volts * (1 / self.pull_ohms + 1 / self.hold_ohms)

    @property
    def drop_out_amps(self) -> float:
        return self.drop_out_volts / self.hold_ohms


# Each output by its name, with the inputs that must all be grounded before it is driven.
Outputs = tuple[tuple[str, tuple[str, ...]], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ControlUnit(Part):
    """A control unit: a load of so many amps at the rated volts that wakes, resets, reads pins and drives outputs.

    It wakes when its supply (against its own ground pin) reaches ``wakes_at`` of the rated volts and resets below
    ``resets_at``. An input is held up to the supply by ``pull_up_ohms`` and counts as grounded when the pull-up loses
    0.4 of the rated volts (until it loses less than 0.3). An output joins its pin to the ground pin through
    ``output_ohms`` while the unit is awake and every input it needs is grounded. ``panel`` names what its driver sees
    of it, where there is something to see. Once its supply is there it takes ``starts_seconds``; through a dip, such
    as a starter makes in its first moment, its own capacitor carries it for ``rides_seconds``. Shares, ohms and
    seconds: common practice.
    """

    word: ClassVar[str] = "control unit"
    terminal_names: ClassVar[tuple[str, ...]] = ("supply", "ground")

    volts: float = figure("V")
    amps: float = figure("A")
    wakes_at: float = figure("share", default=0.7, most=1.0)
    resets_at: float = figure("share", default=0.5, most=1.0)
    inputs: tuple[str, ...] = ()
    outputs: Outputs = ()
    pull_up_ohms: float = figure("ohm", default=4700.0)
    output_ohms: float = figure("ohm", default=0.1)
    panel: str = ""
    starts_seconds: float = figure("s", default=0.3)
    rides_seconds: float = figure("s", default=0.02)

    def __post_init__(self) -> None:
        Part.__post_init__(self)
        if self.resets_at >= self.wakes_at:
            raise CircuitError(
                f"control unit {self.id}: it must reset below the volts it wakes at "
                f"(wakes at {self.wakes_at:.0%}, resets at {self.resets_at:.0%})."
            )
        pins = [*self.terminal_names, *self.inputs, *(name for name, _ in self.outputs)]
        for pin in pins:
            if pins.count(pin) > 1 or not pin.isidentifier():
                raise CircuitError(f"control unit {self.id}: pins need names of their own in letters, not '{pin}'.")
        for name, needs in self.outputs:
            for pin in needs:
                if pin not in self.inputs:
                    raise CircuitError(
                        f"control unit {self.id}: output {name} needs an input '{pin}' that is not there; "
                        f"its inputs are {', '.join(self.inputs) or 'none'}."
                    )

    @property
    def terminals(self) -> tuple[Terminal, ...]:
        return tuple(Terminal(self.id, name) for name in (*self.terminal_names, *self.inside[1:]))

    @property
    def inside(self) -> tuple[str, ...]:
        return ("", *self.inputs, *(name for name, _ in self.outputs))


def _check_hysteresis(part: "Relay | StarterSolenoid | FuelSolenoid") -> None:
    if part.drop_out_volts >= part.pull_in_volts:
        raise CircuitError(
            f"{part.word} {part.id}: it must drop out below the volts it pulls in at "
            f"(pull-in {part.pull_in_volts:g} V, drop-out {part.drop_out_volts:g} V)."
        )
