"""A lead-acid battery's open-circuit volts and internal ohms, from its charge, temperature, age and dead cells."""

import math
from itertools import pairwise

from kit.circuit import Battery

# Charge, and how far below a full battery of six cells it rests. Source: US Army TM 5-3805-262-20 (12.6 V full, 12.4 V
# three quarters, 12.2 V half … as references.md has it); an AGM battery's steps are the same below 12.8 V (common
# practice).
REST_BELOW_FULL = ((0.0, 0.9), (0.25, 0.6), (0.5, 0.4), (0.75, 0.2), (1.0, 0.0))
TABLE_CELLS = 6
# Charge, and how many times its full ohms a battery then has; the acid thins and the plates' last paste is far away
# (common practice: half charged cranks a little slower, flat will not hold a relay).
OHMS_BY_CHARGE = ((0.0, 8.0), (0.25, 2.5), (0.5, 1.5), (0.75, 1.15), (1.0, 1.0))
# Cranking power against 80 °F (26.7 °C): one third lost at 32 °F, less than half left at 0 °F. Source: TB 43-PS-696.
# Power into the best load is volts²/4·ohms, so the ohms grow as the power shrinks: 1.5 times at 0 °C and, with 40 %
# taken for "less than half" (common practice), 2.5 times at −17.8 °C. In between exp(COLD_1·d + COLD_2·d²), d kelvins
# below 26.7 °C; above it only the first term.
POWER_CELSIUS = 80 / 1.8 - 32 / 1.8
COLD_1, COLD_2 = 0.0070874, 0.00030441
RATED_CELSIUS = 20.0
# A discharged cell in a string is driven backwards by its neighbours: it gives no volts, and counts as the ohms of so
# many sound cells (common practice: a clunk, and about 10.5 V).
DEAD_CELL_OHMS = 30.0
# Charge, and ohms a battery puts up against a charging current beside its own, as a multiple of its full ohms: near
# full its volts run up and the current tapers. At 14.4 V a full 75 Ah battery of 7 milliohm takes about half an amp
# (under 1 % of its ampere-hours), a half charged one 8 A, a flat one 20 A (common practice: it tapers to 1 or 2 %).
CHARGING_OHMS = ((0.0, 9.0), (0.25, 18.0), (0.5, 32.0), (0.75, 80.0), (1.0, 400.0))
# Forced further it boils: gassing takes so many volts over its ohms in amps at 2.7 V a cell (4 A for those 75 Ah), and
# ten times as many for every 0.19 V a cell more (the two electrodes' Tafel slopes, 0.07 and 0.12 V, from memory).
GASSING_CELL_VOLTS, GASSING_VOLTS, GASSING_DECADE = 2.7, 0.03, 0.19
SURFACE_GONE_AT = 5.0  # amps that take surface charge off within an operation (a head lamp for a minute does)
SURFACE_SHARE = 0.01  # of the ohms that sit with the surface volts, so that they are a source of their own
GRAVITY_BELOW_VOLTS = 0.845  # specific gravity = volts of the cell at rest − this. Source: DOE-HDBK-1084-95.


def rest_volts(battery: Battery) -> float:
    """Volts at rest with nothing connected, surface charge apart: 12.2 V for a flooded battery half charged."""
    below = _between(REST_BELOW_FULL, battery.charge) / TABLE_CELLS
    alive = battery.cells - battery.dead_cells
    return max(0.0, (battery.volts - below * battery.cells) * (alive / battery.cells))


def inner_ohms(battery: Battery) -> float:
    """Ohms inside, with the sag of the first seconds."""
    alive = battery.cells - battery.dead_cells
    ohms = battery.ohms * ((alive + DEAD_CELL_OHMS * battery.dead_cells) / battery.cells)
    cold = cranking_power(RATED_CELSIUS) / cranking_power(battery.celsius)
    return ohms * (1 + battery.aged) * cold * _between(OHMS_BY_CHARGE, battery.charge)


def charging_ohms(battery: Battery) -> float:
    """Ohms against a charging current, beside the inner ones; a sulphated battery's run up with its ohms."""
    ohms = battery.ohms * (battery.cells - battery.dead_cells) / battery.cells
    cold = cranking_power(RATED_CELSIUS) / cranking_power(battery.celsius)
    return ohms * (1 + battery.aged) * cold * _between(CHARGING_OHMS, battery.charge)


def gassing(battery: Battery) -> tuple[float, float]:
    """Saturation amps and slope volts of what gassing takes, from plus to minus; (0, 1) with every cell dead."""
    alive = battery.cells - battery.dead_cells
    if not alive:
        return 0.0, 1.0
    slope = GASSING_DECADE / math.log(10) * alive
    return GASSING_VOLTS / battery.ohms * math.exp(-GASSING_CELL_VOLTS * alive / slope), slope


def cranking_power(celsius: float) -> float:
    """The share of its cranking power at 80 °F that a full battery has at a temperature.

    >>> round(cranking_power(0), 2)
    0.67
    """
    below = POWER_CELSIUS - celsius
    return math.exp(-COLD_1 * below - (COLD_2 * below * below if below > 0 else 0.0))


def cell_gravities(battery: Battery) -> tuple[float, ...]:
    """Specific gravity of each cell at rest; a dead cell's is that of a flat one or less, so it stands out.

    >>> battery = Battery(id="G1", title="battery", volts=12.6, ohms=0.01)
    >>> [round(gravity, 3) for gravity in cell_gravities(battery)][:2]
    [1.255, 1.255]
    """
    full = battery.volts / battery.cells
    below = [_between(REST_BELOW_FULL, share) / TABLE_CELLS for share in (battery.charge, 0.0)]
    dead = int(battery.dead_cells)
    sound, flat = (full - step - GRAVITY_BELOW_VOLTS for step in below)
    return (flat,) * dead + (sound,) * (battery.cells - dead)


def _between(table: tuple[tuple[float, float], ...], at: float) -> float:
    for (x0, y0), (x1, y1) in pairwise(table):
        if at <= x1:
            return y0 + (y1 - y0) * ((at - x0) / (x1 - x0))
    return table[-1][1]
