"""The multimeter on DC volts: ten megohms between its leads, two digits behind the point.

It never says "floating": on a floating point it shows about 0.00 V against either post. Only testing both ways, best
with a lamp, tells a dead wire from a grounded one.
"""

from dataclasses import dataclass

from kit.circuit import Instrument
from kit.errors import OperationError
from kit.instruments.reading import Reading, across, lead
from kit.machines import Operation

INPUT_OHMS = 10e6
RANGES = ("volts",)


@dataclass(frozen=True, slots=True, kw_only=True)
class Multimeter:
    """A multimeter set to a range, its black and red lead on two terminals.

    >>> import kit
    >>> now = kit.machine("orchard-bike").operate(key="off")
    >>> Multimeter("volts", black="G1.-", red="G1.+").read(now).shown
    '12.80 V'
    """

    range: str
    black: str
    red: str

    def __init__(self, range: str, *, black: str, red: str) -> None:
        if range not in RANGES:
            raise OperationError(f"the multimeter has no range '{range}'; it has {', '.join(RANGES)}.")
        for name, value in (("range", range), ("black", black), ("red", red)):
            object.__setattr__(self, name, value)

    def body(self) -> Instrument:
        """What the circuit sees of it."""
        return Instrument(
            id="multimeter", title="multimeter", start=lead(self.red), end=lead(self.black), ohms=INPUT_OHMS
        )

    def read(self, operation: Operation) -> Reading:
        """Volts of red against black, to 0.01 V; two figures while a relay chatters, for the digits jump."""
        digits = sorted({round(swing, 2) + 0.0 for swing in across(operation, self.body())})
        leads = (self.black, self.red)
        if len(digits) > 1:
            shown = f"jumps between {digits[0]:.2f} and {digits[-1]:.2f} V"
            return Reading(instrument="multimeter", leads=leads, shown=shown, accepts=(shown,))
        shown = f"{digits[0]:.2f} V"
        return Reading(instrument="multimeter", leads=leads, shown=shown, accepts=(shown,), value=digits[0])
