"""Parts that charge the battery: an alternator with its charge lamp, a magnet stator and its regulator-rectifier.

How fast the engine turns is a switch of theirs, which a control of the machine closes like any other: ``G2.idle`` at
idle, ``G2.fast`` at working speed, neither while it stands::

    engine: {title: engine, positions: [stopped, idle, fast], closes: {idle: [G2.idle], fast: [G2.fast]}}
"""

from dataclasses import dataclass
from typing import ClassVar

from kit.circuit.figures import Part, choice, figure
from kit.circuit.terminals import Terminal
from kit.errors import CircuitError

SPEEDS = ("idle", "fast")


@dataclass(frozen=True, slots=True, kw_only=True)
class Alternator(Part):
    """An alternator (B+, D+, body): regulated ``volts`` at B+ up to so many amps, excited through the charge lamp.

    With the key on the lamp sends a fraction of an amp through D+, brushes and rotor (``rotor_ohms``) to the body. Once
    it turns, that little field makes enough for the exciter diodes to feed D+, and it feeds itself from then on: D+
    stands at B+ and the lamp, with the same volts on both sides, goes out. Without the lamp's current it stays dead
    (one that wakes by itself at high speed, from what magnetism is left, is left out). ``idle_amps`` and ``amps`` are
    what it gives at idle and at working speed. Its diodes let nothing back, but for ``leak_amps`` at its volts. Of its
    six main diodes ``open_diodes`` gives nothing, ``shorted_diodes`` lets the battery back in as far as the rotor.
    """

    word: ClassVar[str] = "alternator"
    terminal_names: ClassVar[tuple[str, ...]] = ("B+", "body", "D+")

    volts: float = figure("V")
    amps: float = figure("A")
    idle_amps: float = figure("A")
    rotor_ohms: float = figure("ohm")
    leak_amps: float = figure("A", default=0.0, zero=True)
    open_diodes: float = figure("diodes", default=0.0, zero=True, most=1.0)
    shorted_diodes: float = figure("diodes", default=0.0, zero=True, most=1.0)

    def __post_init__(self) -> None:
        Part.__post_init__(self)
        if self.idle_amps > self.amps:
            raise CircuitError(
                f"alternator {self.id}: it cannot give more at idle than fast "
                f"(idle {self.idle_amps:g} A, fast {self.amps:g} A)."
            )
        for diodes in (self.open_diodes, self.shorted_diodes):
            if diodes not in (0, 1):
                raise CircuitError(f"alternator {self.id}: one diode is open or shorted, or none, not {diodes:g}.")

    @property
    def inside(self) -> tuple[str, ...]:
        return ("brushes", "regulator", "exciter", "output")

    @property
    def speeds(self) -> tuple[str, ...]:
        """The switches a control closes to turn it."""
        return tuple(f"{self.id}.{speed}" for speed in SPEEDS)


@dataclass(frozen=True, slots=True, kw_only=True)
class Stator(Part):
    """The stator of a magnet generator: alternating volts between its terminals whenever it turns.

    ``ohms`` lie between any two terminals, ``idle_volts`` and ``fast_volts`` (effective) stand there unplugged; more
    than about ``amps`` it cannot give, for its own field holds the current back (iron and inductance: a plain limit
    here, the phase shift is left out). No terminal touches the frame. ``turns``: the share of sound turns of the phase
    at terminal 1, the others shorted; it loses volts long before an ohmmeter sees it.
    """

    word: ClassVar[str] = "stator"
    terminal_names: ClassVar[tuple[str, ...]] = ("1", "2")

    phases: str = choice("three", "one")
    ohms: float = figure("ohm")
    idle_volts: float = figure("V")
    fast_volts: float = figure("V")
    amps: float = figure("A")
    turns: float = figure("share", default=1.0, most=1.0)

    @property
    def terminals(self) -> tuple[Terminal, ...]:
        return _phases(self)

    @property
    def inside(self) -> tuple[str, ...]:
        return tuple(terminal.name for terminal in _phases(self)) if self.phases == "three" else ("winding",)

    @property
    def speeds(self) -> tuple[str, ...]:
        """The switches a control closes to turn it."""
        return tuple(f"{self.id}.{speed}" for speed in SPEEDS)


@dataclass(frozen=True, slots=True, kw_only=True)
class RegulatorRectifier(Part):
    """A regulator-rectifier: the stator's phases in at 1, 2 (and 3), regulated ``volts`` out between + and -.

    A bridge of diodes, and a shunt that takes what would lift the output over ``volts``, as those of small machines do:
    the stator always gives all it has. ``amps`` is what it is made for. Nothing runs back from the battery.
    """

    word: ClassVar[str] = "regulator-rectifier"
    terminal_names: ClassVar[tuple[str, ...]] = ("+", "-")

    phases: str = choice("three", "one")
    volts: float = figure("V")
    amps: float = figure("A")

    @property
    def terminals(self) -> tuple[Terminal, ...]:
        return (*(Terminal(self.id, name) for name in self.terminal_names), *_phases(self))

    @property
    def inside(self) -> tuple[str, ...]:
        return ("output", "regulator", *(f"{phase.name}{side}" for phase in _phases(self) for side in "+-"))


@dataclass(frozen=True, slots=True, kw_only=True)
class FloatCharger(Part):
    """A mains charger that holds a resting battery at ``volts`` between + and -, and gives ``amps`` at the most.

    A control plugs it in by closing ``T1.mains``. It looks at its own clips, which show ``volts`` hanging free, too.
    Nothing runs back into it. What lies on its mains side is left out: that is for licensed persons only.
    """

    word: ClassVar[str] = "float charger"
    terminal_names: ClassVar[tuple[str, ...]] = ("+", "-")

    volts: float = figure("V")
    amps: float = figure("A")

    @property
    def inside(self) -> tuple[str, ...]:
        return ("output",)

    @property
    def speeds(self) -> tuple[str, ...]:
        """The switch a control closes to plug it in."""
        return (f"{self.id}.mains",)


def _phases(part: "Stator | RegulatorRectifier") -> tuple[Terminal, ...]:
    return tuple(Terminal(part.id, name) for name in ("1", "2", "3")[:3 if part.phases == "three" else 2])
