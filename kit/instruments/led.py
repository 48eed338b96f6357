"""The LED lamp: so little current that it loads nothing and harms no control unit, and so lights on ghost volts."""

from dataclasses import dataclass

from kit.circuit import Diode, Instrument, Part, Terminal
from kit.instruments.reading import Reading, lead, put_on, swings
from kit.machines import Operation

LED_WORDS = ("out", "red", "green")
# About 5 mA at 12 V. Each LED drops 1.85 V at 5 mA (emission 2, common practice for red and green ones).
SERIES_OHMS = 2200.0
LED_EMISSION = 2.0
LED_SATURATION = 1.44e-18
LINK_OHMS = 1e-3
# A modern LED is seen to glow in the shade of a machine from about 50 µA (common practice).
SEEN_FROM_AMPS = 50e-6
EITHER_SHARE = 0.3


@dataclass(frozen=True, slots=True, kw_only=True)
class LedLamp:
    """A test lamp with two LEDs, head to tail, behind a resistor: red where the tip is plus, green where it is minus.

    It says that there are volts, never that they can carry a load: through 50 kilohm of green salt it still lights.

    >>> import kit
    >>> now = kit.machine("orchard-bike").operate(key="off")
    >>> LedLamp(clip="G1.-", tip="F1.2").read(now).shown, LedLamp(clip="G1.+", tip="G1.-").read(now).shown
    ('red', 'green')
    """

    clip: str
    tip: str

    def body(self) -> tuple[Part, ...]:
        """What the circuit sees of it: a resistor at the tip, then the two LEDs."""
        red = Diode(id="LED red", title="red LED", saturation_amps=LED_SATURATION, emission=LED_EMISSION)
        green = Diode(id="LED green", title="green LED", saturation_amps=LED_SATURATION, emission=LED_EMISSION)
        inside, outside = Terminal("LED red", "A"), Terminal("LED red", "K")

        def link(name: str, start: Terminal, end: Terminal, ohms: float) -> Instrument:
            return Instrument(id=f"LED {name}", title=f"LED lamp's {name}", start=start, end=end, ohms=ohms)

        return (
            link("tip", lead(self.tip), inside, SERIES_OHMS), red, green,
            link("link in", Terminal("LED green", "K"), inside, LINK_OHMS),
            link("link out", Terminal("LED green", "A"), outside, LINK_OHMS),
            link("clip", outside, lead(self.clip), LINK_OHMS),
        )

    def put_on(self, operation: Operation) -> Operation:
        """The machine with the LED lamp on it."""
        return put_on(operation, self.body())

    def shows(self, now: Operation) -> Reading:
        """What is lit on a machine it has been put on."""
        amps = [swing.amps["LED tip"] for swing in swings(now.solution)]
        words = [led_words(swing) for swing in amps]
        leads = (self.clip, self.tip)
        if len({word[0] for word in words}) > 1:
            return Reading(instrument="LED lamp", leads=leads, shown="flickers", accepts=("flickers",))
        return Reading(instrument="LED lamp", leads=leads, shown=words[0][0], accepts=words[0])

    def read(self, operation: Operation) -> Reading:
        """Red, green or out; flickers while a relay chatters."""
        return self.shows(self.put_on(operation))


def led_words(amps: float) -> tuple[str, ...]:
    """What is lit at so many amps from tip to clip, and its neighbour where it could just be seen.

    >>> led_words(0.005), led_words(-0.005), led_words(55e-6), led_words(1e-6)
    (('red',), ('green',), ('red', 'out'), ('out',))
    """
    colour = "red" if amps > 0 else "green"
    words = (colour, "out") if abs(amps) >= SEEN_FROM_AMPS else ("out", colour)
    return words if abs(abs(amps) / SEEN_FROM_AMPS - 1) <= EITHER_SHARE else words[:1]
