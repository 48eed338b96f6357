"""What can be said of a battery from readings alone: its charge at rest, its ohms inside, what a load test is worth."""

from dataclasses import dataclass
from itertools import pairwise

from kit.instruments.load_tester import REST_VOLTS, judge, lowest_volts
from kit.solve.battery import REST_BELOW_FULL

# Volts of a full 12 V battery, rested. Source: US Army TM 5-3805-262-20 for flooded; AGM 0.2 V higher is common
# practice.
FULL_AT_REST = {"flooded": 12.6, "AGM": 12.8}


@dataclass(frozen=True, slots=True, kw_only=True)
class ChargeAtRest:
    """The share of its charge a 12 V battery has by its volts at rest; ``build`` is flooded or AGM."""

    volts: str
    build: str


@dataclass(frozen=True, slots=True, kw_only=True)
class InnerOhms:
    """A battery's ohms inside, from its volts at rest and its volts while so many amps are taken."""

    rest: str
    volts: str
    amps: str


@dataclass(frozen=True, slots=True, kw_only=True)
class LoadTestSays:
    """The options' ids are verdicts of a load test; right is what these figures are worth."""

    rest: str
    volts: str
    amps: str
    cca: str
    celsius: str


def charge_at_rest(volts: float, build: str) -> float:
    """The charge, as a share, at these volts; between two lines of the table in proportion.

    >>> [round(charge_at_rest(volts, "flooded"), 2) for volts in (11.7, 12.0, 12.2, 12.4, 12.6)]
    [0.0, 0.25, 0.5, 0.75, 1.0]
    """
    below = round(FULL_AT_REST[build] - volts, 9)
    if below >= REST_BELOW_FULL[0][1]:
        return 0.0
    for (less, low), (more, high) in pairwise(REST_BELOW_FULL):
        if below >= high:
            return less + (more - less) * (low - below) / (low - high)
    return 1.0


def inner_ohms(rest: float, volts: float, amps: float) -> float:
    """Ohms inside: the volts lost under load by the amps that cost them.

    >>> round(inner_ohms(12.7, 10.95, 125), 3)
    0.014
    """
    return (rest - volts) / amps


def wrong_charges(volts: float, build: str) -> dict[str, float]:
    """What a look at the other table answers, what volts by volts do, and both of a pair taken for one battery."""
    other = next(name for name in FULL_AT_REST if name != build)
    return {
        "other build": charge_at_rest(volts, other), "share of full": volts / FULL_AT_REST[build],
        "both as one": charge_at_rest(2 * volts, build),
    }


def wrong_ohms(rest: float, volts: float, amps: float) -> dict[str, float]:
    """What other volts by the amps answer, the volts alone, and the amps by the volts."""
    lost = rest - volts
    return {
        "loaded volts": volts / amps, "rest volts": rest / amps, "volts only": lost, "upside down": amps / lost,
        "thousand": 1000 * lost / amps,
    }


def verdict(*, rest: float, volts: float, amps: float, cca: float, celsius: float) -> tuple[str, str]:
    """What the load test says, one of the tester's verdicts, and the figures it hangs on as a sentence."""
    least = lowest_volts(celsius)
    wanted = "none that is known" if least is None else f"{least:.1f} V"
    figures = (
        f"The figures: rested at {rest:g} V, at least {REST_VOLTS:g} V wanted; {amps:g} A taken, half of {cca:g} A is "
        f"{cca / 2:g} A; {volts:g} V left, and the least at {celsius:g} °C is {wanted}."
    )
    return judge(rest_volts=rest, volts=volts, amps=amps, cca=cca, celsius=celsius), figures
