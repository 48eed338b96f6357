"""The volts a diode keeps at given amps: a figure for questions, and the wrong answers that mean something."""

import math
from collections.abc import Mapping
from dataclasses import dataclass

from kit.solve.branch import THERMAL_VOLTS


@dataclass(frozen=True, slots=True, kw_only=True)
class DiodeKeeps:
    """Volts across a diode that passes ``amps``: the usual exponential law at 27 °C, turned round.

    ``saturation_amps`` and ``emission`` are the diode's own. ``from_amps`` is the current at which a question tells the
    volts; the wrong answers start there.
    """

    amps: str
    from_amps: str
    saturation_amps: str
    emission: str


def diode_keeps(amps: float, saturation_amps: float, emission: float) -> float:
    """Volts across the diode, from amps = saturation · (exp(volts / (emission · kT/q)) − 1)."""
    return emission * THERMAL_VOLTS * math.log1p(amps / saturation_amps)


def wrong_keeps(amps: float, from_amps: float, saturation_amps: float, emission: float) -> Mapping[str, float]:
    """What it would be for a perfect valve, for a fixed 0.7 V, for a resistor, and with one step of ten only."""
    told = diode_keeps(from_amps, saturation_amps, emission)
    truth = diode_keeps(amps, saturation_amps, emission)
    step = emission * THERMAL_VOLTS * math.log(10)
    up = 1 if amps > from_amps else -1
    return {
        "nothing": 0.0, "as told": told, "as a resistor": told * amps / from_amps, "one step": told + up * step,
        "wrong way": 2 * told - truth, "thousand": 1000 * truth,
    }
