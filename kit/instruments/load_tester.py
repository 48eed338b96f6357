"""The battery load tester: a carbon pile across the posts, turned up to half the cold cranking amps for 15 s."""

from dataclasses import dataclass
from itertools import pairwise

from kit.circuit import Instrument
from kit.errors import OperationError
from kit.instruments.reading import Reading, lead, put_on, swings
from kit.machines import Operation

# Lowest volts at half the cold cranking amps after 15 s, against the battery's temperature in °F (common practice).
LIMITS = ((30.0, 9.1), (40.0, 9.3), (50.0, 9.4), (60.0, 9.5), (70.0, 9.6))
REST_VOLTS = 12.4  # a battery below this is charged first (common practice)
SIZE_SHARE = 0.1  # how far the load may be off half the cold cranking amps and still count
LARGEST_AMPS = 500.0
REST_OHMS, LEAST_OHMS = 10e6, 2e-3  # the pile let go; the pile screwed down, with its leads
VERDICTS = ("holds", "fails", "charge it first", "tester too small", "tester too big", "too cold to judge")


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadTester:
    """A carbon pile with a voltmeter, its clamps on the two posts of one battery.

    The load is half of ``cca`` (the cold cranking amps on the label), or ``amps`` where the tester has only one, up to
    the tester's ``largest_amps``. It shows volts and amps and gives no verdict: ``judge`` says when there is one.

    >>> import kit
    >>> now = kit.machine("orchard-bike").operate(key="off")
    >>> LoadTester(minus="G1.-", plus="G1.+", cca=150).read(now).shown
    '11.30 V at 75 A'
    """

    minus: str
    plus: str
    cca: float
    amps: float | None = None
    largest_amps: float = LARGEST_AMPS

    def __post_init__(self) -> None:
        for name in ("cca", "amps", "largest_amps"):
            value = getattr(self, name)
            if value is not None and not value > 0:
                raise OperationError(f"the load tester's {name} must be more than zero, not {value:g}.")

    @property
    def load_amps(self) -> float:
        """The amps its knob is turned to."""
        return min(self.amps or self.cca / 2, self.largest_amps)

    def body(self, ohms: float = REST_OHMS) -> tuple[Instrument, ...]:
        """What the circuit sees of it with the pile at so many ohms."""
        return (Instrument(
            id="load tester", title="load tester", start=lead(self.plus), end=lead(self.minus), ohms=ohms
        ),)

    def put_on(self, operation: Operation) -> Operation:
        """The machine with the pile turned until its amps are reached, or as far down as it goes."""
        now = put_on(operation, self.body())
        rest = now.solution.across["load tester"]
        if rest <= 0:
            return now
        # A battery is nearly a source behind ohms: what it dropped at the last try tells the next one.
        inside = 0.0
        for _ in range(8):
            ohms = max(rest / self.load_amps - inside, LEAST_OHMS)
            now = put_on(operation, self.body(ohms))
            amps = now.solution.amps["load tester"]
            if abs(amps - self.load_amps) < 1e-3 * self.load_amps or (ohms == LEAST_OHMS and amps < self.load_amps):
                break
            inside = (rest - now.solution.across["load tester"]) / amps
        return now

    def shows(self, now: Operation) -> Reading:
        """Volts and amps at the end of the 15 s, on a machine it has been put on."""
        found = [(swing.across["load tester"] + 0.0, swing.amps["load tester"]) for swing in swings(now.solution)]
        volts, amps = min(found)
        shown = f"{volts:.2f} V at {amps:.0f} A"
        if len(found) > 1:
            shown = f"jumps between {volts:.2f} and {max(found)[0]:.2f} V"
        return Reading(
            instrument="load tester", leads=(self.minus, self.plus), shown=shown, accepts=(shown,),
            value=round(volts, 2) if len(found) == 1 else None,
        )

    def read(self, operation: Operation) -> Reading:
        """Volts under the load (the battery's ohms hold its sag of the first seconds)."""
        return self.shows(self.put_on(operation))


def lowest_volts(celsius: float) -> float | None:
    """Lowest volts at half the cold cranking amps; None below −1 °C (30 °F), where it is warmed up first.

    >>> lowest_volts(21.2), lowest_volts(10), lowest_volts(-10)
    (9.6, 9.4, None)
    """
    fahrenheit = round(celsius * 1.8 + 32, 6)
    if fahrenheit >= LIMITS[-1][0]:
        return LIMITS[-1][1]
    for (cold, low), (warm, high) in pairwise(LIMITS):
        if cold <= fahrenheit < warm:
            return round(low + (high - low) * (fahrenheit - cold) / (warm - cold), 3)
    return None


def judge(*, rest_volts: float, volts: float, amps: float, cca: float, celsius: float) -> str:
    """What a load test says of a 12 V battery, one of ``VERDICTS``.

    ``rest_volts`` before the load, ``volts`` and ``amps`` at its end. A battery not charged says nothing; a load too
    small proves none good, one too big proves none bad.

    >>> judge(rest_volts=12.7, volts=10.4, amps=75, cca=150, celsius=21.2)
    'holds'
    """
    least = lowest_volts(celsius)
    if rest_volts < REST_VOLTS:
        return "charge it first"
    if least is None:
        return "too cold to judge"
    if volts >= least:
        return "tester too small" if amps < (1 - SIZE_SHARE) * cca / 2 else "holds"
    return "tester too big" if amps > (1 + SIZE_SHARE) * cca / 2 else "fails"
