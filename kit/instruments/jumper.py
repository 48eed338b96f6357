"""The fused jumper: a wire with a fuse in it that stands in for a switch, a wire or a ground; the machine answers."""

from dataclasses import dataclass

from kit.circuit import Fuse, Instrument, Part, Terminal
from kit.errors import OperationError
from kit.instruments.reading import Reading, lead, put_on
from kit.machines import Operation

JUMPER_AMPS = 10.0
# Half a metre of 1 mm² and a clip at either end of the fuse (common practice).
HALF_OHMS, FUSE_OHMS = 0.02, 0.008
JUMPER_WORDS = ("fuse holds", "fuse melts")


@dataclass(frozen=True, slots=True, kw_only=True)
class FusedJumper:
    """A jumper wire between two terminals, its fuse of 10 A unless another is fitted.

    What it proves is what the machine does with it on: ``put_on(now).noticed``. It is no repair, and it never goes
    across an interlock of a machine that is not secured.

    >>> import kit
    >>> now = kit.machine("orchard-bike").operate("S3 stuck open", key="on", start_button="pressed")
    >>> FusedJumper(start="S3.1", end="S3.2").put_on(now).word("M1")
    'cranks'
    """

    start: str
    end: str
    amps: float = JUMPER_AMPS

    def __post_init__(self) -> None:
        if not self.amps > 0:
            raise OperationError(f"a jumper's fuse needs more than zero amps, not {self.amps:g}.")

    def body(self) -> tuple[Part, ...]:
        """What the circuit sees of it: half a wire, a fuse, half a wire."""
        first, last = Terminal("jumper fuse", "1"), Terminal("jumper fuse", "2")
        return (
            Instrument(id="jumper", title="jumper", start=lead(self.start), end=first, ohms=HALF_OHMS),
            Fuse(id="jumper fuse", title="the jumper's fuse", amps=self.amps, ohms=FUSE_OHMS),
            Instrument(id="jumper end", title="jumper", start=last, end=lead(self.end), ohms=HALF_OHMS),
        )

    def put_on(self, operation: Operation) -> Operation:
        """The machine with the jumper on it."""
        return put_on(operation, self.body())

    def shows(self, now: Operation) -> Reading:
        """What is seen through its fuse's window."""
        shown = JUMPER_WORDS["jumper fuse" in now.state.melted]
        return Reading(instrument="fused jumper", leads=(self.start, self.end), shown=shown, accepts=(shown,))

    def read(self, operation: Operation) -> Reading:
        """Whether its fuse holds or melts."""
        return self.shows(self.put_on(operation))
