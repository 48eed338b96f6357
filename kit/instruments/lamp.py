"""Test lamps: a filament between a clip and a tip. It draws real current, so it tells a live wire that can carry
something from one that cannot; its watts decide how truthful it is."""

from dataclasses import dataclass, replace

from kit.circuit import Instrument
from kit.errors import OperationError
from kit.instruments.reading import Reading, lead, put_on, swings
from kit.machines import Machine, Operation

LAMP_WORDS = ("out", "glow", "dim", "bright")
# Volts across a 12 V lamp at which one word gives way to the next, and how close to an edge either word is right
# (common practice).
EDGES = (2.0, 5.0, 9.25)
EITHER_WITHIN = 0.25
RATED_AT = 13.5 / 12  # a lamp's watts are rated with the battery on charge
USUAL_VOLTS = 12.0
# A 12 V lamp on so many volts or more is blinding white and lasts a minute or two: life falls with the 12th to 16th
# power of the volts (Fink & Beaty, Standard Handbook for Electrical Engineers, 1978).
GLARES_FROM, GLARES = 18.0, "glares"
PROBE_WATTS, LOADING_WATTS = 3.0, 21.0


@dataclass(frozen=True, slots=True, kw_only=True)
class TestLamp:
    """A lamp with its clip and its tip on two terminals: 3 W to probe with, 21 W to load a circuit with.

    ``volts`` is the lamp's own; where nothing is said it is a lamp for the machine it is put on. A 24 V machine needs a
    24 V lamp: one of 12 V glares there, and a 24 V lamp on 12 V is dim where it should be bright.

    >>> import kit
    >>> now = kit.machine("orchard-bike").operate(key="off")
    >>> TestLamp(clip="G1.-", tip="F1.2").read(now).shown
    'bright'
    """

    __test__ = False  # not a test class, whatever pytest thinks of the name

    clip: str
    tip: str
    watts: float = PROBE_WATTS
    volts: float | None = None

    def __post_init__(self) -> None:
        volts = USUAL_VOLTS if self.volts is None else self.volts
        if not (self.watts > 0 and volts > 0):
            raise OperationError(f"a test lamp needs watts and volts, not {self.watts:g} W and {volts:g} V.")

    def made_for(self, machine: Machine) -> "TestLamp":
        """This lamp, or, where its volts are not said, the one that belongs to the machine."""
        return self if self.volts is not None else replace(self, volts=machine.volts)

    def body(self) -> tuple[Instrument, ...]:
        """What the circuit sees of it; a 12 V lamp where nothing is said of its volts."""
        return (Instrument(
            id="test lamp", title="test lamp", start=lead(self.tip), end=lead(self.clip), ohms=1.0, watts=self.watts,
            volts=(USUAL_VOLTS if self.volts is None else self.volts) * RATED_AT,
        ),)

    def put_on(self, operation: Operation) -> Operation:
        """The machine with the lamp on it: a big lamp can make it move."""
        return put_on(operation, self.made_for(operation.machine).body())

    def shows(self, now: Operation) -> Reading:
        """How bright it is on a machine it has been put on."""
        rated = self.made_for(now.machine).volts
        volts = [swing.effective("test lamp") * USUAL_VOLTS / rated for swing in swings(now.solution)]
        leads = (self.clip, self.tip)
        if min(abs(swing) for swing in volts) >= GLARES_FROM:
            return Reading(instrument="test lamp", leads=leads, shown=GLARES, accepts=(GLARES,))
        if len({lamp_words(swing)[0] for swing in volts}) > 1:
            return Reading(instrument="test lamp", leads=leads, shown="flickers", accepts=("flickers",))
        accepts = lamp_words(volts[0])
        return Reading(instrument="test lamp", leads=leads, shown=accepts[0], accepts=accepts)

    def read(self, operation: Operation) -> Reading:
        """How bright it is: out, glow, dim or bright; flickers while a relay chatters; glares on twice its volts."""
        return self.shows(self.put_on(operation))


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
