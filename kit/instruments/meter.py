"""The multimeter: 6000 counts, and what each of its ranges does to the circuit it is put on.

It never says "floating": on a floating point it shows about 0.00 V against either post. Only testing both ways, best
with a lamp, tells a dead wire from a grounded one. Inner figures are those of an everyday workshop meter (common
practice): ten megohms on volts, a milliamp and three volts at most on ohms, a 10 A fuse in front of the shunt.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from kit.circuit import Fuse, Instrument, Part, Terminal
from kit.errors import OperationError, SolveError
from kit.instruments.display import OVER, show_counts
from kit.instruments.hold import held, means
from kit.instruments.reading import Reading, course_with, lead, put_on, swings
from kit.machines import Operation
from kit.solve import Solution
from kit.solve.time import Course

INPUT_OHMS = 10e6
LEAD_OHMS = 0.2  # both leads, their tips and sockets, at a milliamp
# Ohms and continuity: 3 V behind 3 kilohm, then ten times as much a range: 1 mA at most, and half a volt at full scale.
TEST_VOLTS = 3.0
TEST_OHMS = 3000.0
FULL_SCALE_VOLTS = 0.5
LOWEST_LIMIT = 600.0
OHM_RANGES = 6
BEEPS_BELOW = 30.0
# Diode test: the same 3 V through 2.4 kilohm, 1.0 mA through a silicon diode; above two volts the display gives up.
DIODE_OHMS = 2400.0
DIODE_VOLTS = 2.0
# Amps: shunt, fuse, and leads in firm contact, as amps ask for.
SHUNT_OHMS, METER_FUSE_AMPS, METER_FUSE_OHMS, AMPS_LEAD_OHMS = 0.01, 10.0, 0.01, 0.04

STEPS: Mapping[str, tuple[tuple[float, str], ...]] = MappingProxyType({
    "volts": ((0.01, "V"), (0.1, "V")),
    "millivolts": ((1e-4, "mV"),),
    "ac volts": ((0.01, "V"), (0.1, "V")),
    "ohms": ((0.1, "Ω"), (1.0, "kΩ"), (10.0, "kΩ"), (100.0, "kΩ"), (1e3, "MΩ"), (1e4, "MΩ")),
    "continuity": ((0.1, "Ω"),),
    "diode test": ((1e-3, "V"),),
    "amps": ((1e-3, "A"), (0.01, "A")),
})
RANGES = tuple(STEPS)
HOLDS = ("volts", "millivolts", "amps")


@dataclass(frozen=True, slots=True, kw_only=True)
class Multimeter:
    """A multimeter set to a range, its black and red lead on two terminals.

    ``fuse_blown``: its 10 A fuse has gone, so amps show nothing until it is renewed. ``null``: ohms of its own leads
    taken off what ohms and continuity show.

    >>> import kit
    >>> now = kit.machine("orchard-bike").operate(key="off")
    >>> Multimeter("volts", black="G1.-", red="G1.+").read(now).shown
    '12.80 V'
    >>> Multimeter("ohms", black="K1.85", red="K1.86").read(now).shown
    '4.2 Ω'
    """

    range: str
    black: str
    red: str
    fuse_blown: bool = False
    null: float = 0.0

    def __init__(
        self, range: str, *, black: str, red: str, fuse_blown: bool = False, null: float = 0.0
    ) -> None:
        if range not in RANGES:
            raise OperationError(f"the multimeter has no range '{range}'; it has {', '.join(RANGES)}.")
        if not 0 <= null < 1:
            raise OperationError(f"a meter's leads have less than 1 ohm; {null:g} ohm cannot be taken off.")
        values = (("range", range), ("black", black), ("red", red), ("fuse_blown", fuse_blown), ("null", null))
        for name, value in values:
            object.__setattr__(self, name, value)

    def body(self) -> tuple[Part, ...]:
        """What the circuit sees of it; on ohms, of its lowest range."""
        match self.range:
            case "volts" | "millivolts" | "ac volts":
                return (self._inside(INPUT_OHMS),)
            case "ohms" | "continuity":
                return self._ohms_body(0)
            case "diode test":
                return (self._inside(DIODE_OHMS + LEAD_OHMS, TEST_VOLTS),)
        shunt = Instrument(
            id="multimeter", title="multimeter", start=lead(self.red), end=Terminal("meter fuse", "1"),
            ohms=SHUNT_OHMS + AMPS_LEAD_OHMS / 2,
        )
        out = Instrument(
            id="meter lead", title="black lead", start=Terminal("meter fuse", "2"), end=lead(self.black),
            ohms=AMPS_LEAD_OHMS / 2,
        )
        fuse = Fuse(id="meter fuse", title="the meter's own fuse", amps=METER_FUSE_AMPS, ohms=METER_FUSE_OHMS)
        return (shunt, fuse, out)

    def put_on(self, operation: Operation) -> Operation:
        """The machine with the meter on it; on ohms in the lowest range that holds the reading."""
        if self.range != "ohms":
            return put_on(operation, self.body(), melted=self._gone())
        number = 0
        while True:
            now = put_on(operation, self._ohms_body(number))
            inlet, amps = _inlet(now.solution)
            if number + 1 == OHM_RANGES or abs(inlet) <= FULL_SCALE_VOLTS:
                return now
            # Straight to the range the ohms ask for; with the smaller current there a diode shows only more of them.
            number += 1
            while number + 1 < OHM_RANGES and (amps <= 0 or inlet / amps > LOWEST_LIMIT * 10**number):
                number += 1

    def shows(self, now: Operation) -> Reading:
        """What its display says on a machine it has been put on."""
        found = swings(now.solution)
        blown = self.fuse_blown or "meter fuse" in now.state.melted
        if self.range == "ac volts":
            volts = alternating(found)
            if len(found) > 1:
                return self._reading(f"unsteady, about {volts:.1f} V", None, blown)
            return self._reading(*show_counts(volts, STEPS[self.range]), blown)
        # By size, OL last.
        texts = sorted({self._display(swing) for swing in found}, key=lambda text: (text[1] is None, text[1] or 0.0))
        if len(texts) == 1:
            return self._reading(*texts[0], blown)
        return self._reading(_jumping(texts[0][0], texts[-1][0]), None, blown)

    def read(self, operation: Operation) -> Reading:
        """What its display says; two figures while a relay chatters, for the digits jump."""
        return self.shows(self.put_on(operation))

    def watch(
        self, operation: Operation, moves: Sequence[tuple[float, Mapping[str, str]]], seconds: float
    ) -> Course:
        """The machine's course in time with the meter on it (``kit.instruments.course_with``); then ``hold`` it."""
        return course_with(operation, self.body(), moves, seconds, melted=self._gone())

    def hold(self, course: Course) -> Reading:
        """Lowest and highest reading of a course it was on for, each the mean of a tenth of a second.

        Raises OperationError for a range that cannot hold, or where it was not on the circuit.
        """
        if self.range not in HOLDS:
            raise OperationError(f"min/max works on {', '.join(HOLDS)}, not on {self.range}.")
        low, high = (self._text(value) for value in held(course.seconds, self._values(course)))
        return self._reading(f"min {low}, max {high}", None, self.fuse_blown or "meter fuse" in course.state.melted)

    def record(self, course: Course) -> tuple[tuple[float, float, str], ...]:
        """What it shows one after another in a course it was on for: moment, figure, display. Errors as ``hold``."""
        if self.range not in HOLDS:
            raise OperationError(f"a recorder works on {', '.join(HOLDS)}, not on {self.range}.")
        kept = means(course.seconds, self._values(course))
        return tuple((at, value, self._text(value)) for at, value in kept)

    def _values(self, course: Course) -> tuple[float, ...]:
        """Volts or amps it is given, sample by sample of a course it was on for."""
        try:
            amps = course.amps("multimeter")
        except SolveError as error:
            raise OperationError("the multimeter was not on when the course was run; use its watch().") from error
        return amps if self.range == "amps" else tuple(value * INPUT_OHMS for value in amps)

    def _text(self, value: float) -> str:
        return show_counts(value, STEPS[self.range])[0]

    def _display(self, swing: Solution) -> tuple[str, float | None]:
        volts, steps = swing.across["multimeter"], STEPS[self.range]
        match self.range:
            case "volts" | "millivolts":
                return show_counts(volts, steps)
            case "diode test":
                return show_counts(volts, steps) if abs(volts) <= DIODE_VOLTS else (OVER, None)
            case "amps":
                return show_counts(swing.amps["multimeter"], steps)
        inlet, amps = _inlet(swing)
        if abs(inlet) > FULL_SCALE_VOLTS:
            return OVER, None
        text, value = show_counts(inlet / amps - self.null, steps)
        if self.range == "continuity" and value is not None and value < BEEPS_BELOW:
            text = f"{text}, beeps"
        return text, value

    def _reading(self, shown: str, value: float | None, blown: bool) -> Reading:
        return Reading(
            instrument="multimeter", leads=(self.black, self.red), shown=shown, accepts=(shown,), value=value,
            meter_fuse_blown=blown,
        )

    def _gone(self) -> frozenset[str]:
        return frozenset({"meter fuse"} if self.fuse_blown else ())

    def _inside(self, ohms: float, emf: float = 0.0) -> Instrument:
        return Instrument(
            id="multimeter", title="multimeter", start=lead(self.red), end=lead(self.black), ohms=ohms, emf=emf
        )

    def _ohms_body(self, number: int) -> tuple[Instrument, ...]:
        return (self._inside(TEST_OHMS * 10**number + LEAD_OHMS, TEST_VOLTS),)


def alternating(found: Sequence[Solution]) -> float:
    """Effective volts of what alternates across the meter: nothing in a settled circuit.

    A chattering relay makes a square wave, its halves taken as equally long: half the swing. What turns alternates by
    itself (``Solution.alternates``). ``found`` is the solution, or the two it swings between.
    """
    volts = [swing.across["multimeter"] for swing in found]
    ripple = max(swing.alternates.get("multimeter", 0.0) for swing in found)
    return math.hypot((max(volts) - min(volts)) / 2, ripple)


def _inlet(solution: Solution) -> tuple[float, float]:
    """Volts the meter finds at its inlet (its leads' own included), and amps it sends out of the red lead.

    On a dead circuit their quotient is its resistance and the leads' own. On a live one it is nonsense, for the
    circuit's volts are taken for the meter's: a few millivolts one way add ohms, the other way take them off, even
    below nought; beyond half a volt either way the inlet is over-driven and the display shows OL (common practice;
    meters differ here, which is one reason more to prove dead first).
    """
    amps = -solution.amps["multimeter"]
    return solution.across["multimeter"] + amps * LEAD_OHMS, amps


def _jumping(first: str, last: str) -> str:
    one, _, unit = first.rpartition(" ")
    if last.endswith(f" {unit}") and one:
        return f"jumps between {one} and {last}"
    return f"jumps between {first} and {last}"
