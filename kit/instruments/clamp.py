"""The clamp meter: closed round a wire it feels the field of its current, and the circuit feels nothing of it."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from kit.circuit import Wire
from kit.errors import OperationError
from kit.instruments.display import OVER
from kit.instruments.hold import held, means
from kit.instruments.reading import Reading, swings
from kit.machines import Operation
from kit.solve.time import Course

# Steps and limits, amps. The big jaw's display has tenths. The small jaw cannot hold its nought better than about
# 20 mA: an amp makes some 0.6 mT in its 2 mm gap, and turning it a little in the ground's own 0.05 mT is worth that
# much. Sleep currents of a few milliamps are below both: they take the multimeter in series.
JAWS: Mapping[str, tuple[float, float]] = MappingProxyType({"big": (0.1, 600.0), "small": (0.02, 20.0)})
INRUSH_SECONDS = 0.02


@dataclass(frozen=True, slots=True, kw_only=True)
class ClampMeter:
    """A DC clamp meter round a wire, its arrow from the wire's start to its end; ``jaw`` big (0.1 A) or small (20 mA).

    >>> import kit
    >>> now = kit.machine("orchard-bike").operate(key="on", start_button="pressed")
    >>> ClampMeter(wire="W9").read(now).shown
    '90.0 A'
    """

    wire: str
    jaw: str = "big"

    def __post_init__(self) -> None:
        if self.jaw not in JAWS:
            raise OperationError(f"the clamp meter has no jaw '{self.jaw}'; it has {', '.join(JAWS)}.")

    def read(self, operation: Operation) -> Reading:
        """Amps along the wire; two figures while a relay chatters. Raises OperationError where it is no wire."""
        part = operation.circuit[self.wire]
        if not isinstance(part, Wire):
            raise OperationError(f"a clamp meter closes round a wire; {self.wire} is a {part.word}.")
        texts = sorted({self._display(swing.amps[self.wire]) for swing in swings(operation.solution)}, key=_size)
        shown = texts[0] if len(texts) == 1 else f"jumps between {texts[0]} and {texts[-1]}"
        value = None if len(texts) > 1 or texts[0] == OVER else float(texts[0].removesuffix(" A"))
        return self._reading(shown, value)

    def hold(self, course: Course) -> Reading:
        """Lowest and highest amps of a course in time, each the mean of a fiftieth of a second: it catches inrush."""
        low, high = held(course.seconds, course.amps(self.wire), INRUSH_SECONDS)
        return self._reading(f"min {self._display(low)}, max {self._display(high)}", None)

    def record(self, course: Course) -> tuple[tuple[float, float, str], ...]:
        """What it shows one after another in a course: moment, amps, display."""
        kept = means(course.seconds, course.amps(self.wire), INRUSH_SECONDS)
        return tuple((at, amps, self._display(amps)) for at, amps in kept)

    def _display(self, amps: float) -> str:
        step, limit = JAWS[self.jaw]
        if abs(amps) > limit:
            return OVER
        places = 1 if step >= 0.1 else 2
        return f"{round(amps / step) * step + 0.0:.{places}f} A"

    def _reading(self, shown: str, value: float | None) -> Reading:
        # It has no leads: both places are the wire it closes round.
        return Reading(
            instrument="clamp meter", leads=(self.wire, self.wire), shown=shown, accepts=(shown,), value=value
        )


def _size(text: str) -> float:
    return float("inf") if text == OVER else float(text.removesuffix(" A"))
