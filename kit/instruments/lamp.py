"""The probe lamp: a small filament between a clip and a tip. It draws real current, so it tells a live wire that can
carry something from one that cannot; its watts decide how truthful it is."""

from dataclasses import dataclass

from kit.circuit import Instrument
from kit.instruments.reading import Reading, across, lead
from kit.machines import Operation

LAMP_WORDS = ("out", "glow", "dim", "bright")
# Volts across a 12 V lamp at which one word gives way to the next, and how close to an edge either word is right
# (common practice).
EDGES = (2.0, 5.0, 9.25)
EITHER_WITHIN = 0.25


@dataclass(frozen=True, slots=True, kw_only=True)
class TestLamp:
    """A 12 V probe lamp with its clip and its tip on two terminals; 3 W unless another is chosen.

    >>> import kit
    >>> now = kit.machine("orchard-bike").operate(key="off")
    >>> TestLamp(clip="G1.-", tip="F1.2").read(now).shown
    'bright'
    """

    __test__ = False  # not a test class, whatever pytest thinks of the name

    clip: str
    tip: str
    watts: float = 3.0

    def body(self) -> Instrument:
        """What the circuit sees of it."""
        return Instrument(
            id="test lamp", title="test lamp", start=lead(self.tip), end=lead(self.clip), ohms=1.0, watts=self.watts,
            volts=13.5,
        )

    def read(self, operation: Operation) -> Reading:
        """How bright it is: out, glow, dim or bright; flickers while a relay chatters."""
        volts = across(operation, self.body())
        words = {lamp_words(swing)[0] for swing in volts}
        if len(words) > 1:
            return Reading(instrument="test lamp", leads=(self.clip, self.tip), shown="flickers", accepts=("flickers",))
        accepts = lamp_words(volts[0])
        return Reading(instrument="test lamp", leads=(self.clip, self.tip), shown=accepts[0], accepts=accepts)


def lamp_words(volts: float) -> tuple[str, ...]:
    """The word for a 12 V lamp at so many volts, and its neighbour where the edge is near.

    >>> lamp_words(12.0), lamp_words(9.3)
    (('bright',), ('bright', 'dim'))
    """
    size = abs(volts)
    band = sum(size >= edge for edge in EDGES)
    words = [LAMP_WORDS[band]]
    for i, edge in enumerate(EDGES):
        if abs(size - edge) <= EITHER_WITHIN:
            words.append(LAMP_WORDS[i + 1] if band == i else LAMP_WORDS[i])
    return tuple(words)
