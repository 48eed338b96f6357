"""Wrong spares: what is fitted in a hurry because it was in the drawer and went in (common practice)."""

from collections.abc import Iterator
from dataclasses import dataclass

from kit.circuit import Fuse, Lamp, Part, Relay, Spare, When, Wire
from kit.circuit.conductors import CLASS_5

BLADES = (1.0, 2.0, 3.0, 5.0, 7.5, 10.0, 15.0, 20.0, 25.0, 30.0, 40.0, 50.0, 60.0, 80.0, 100.0)
# Watts of the lamp that belongs there, at the most, and of the one that was to hand.
LAMPS = ((5.0, 21.0), (10.0, 21.0), (21.0, 55.0), (70.0, 100.0))
HEAVY_FROM_MM2 = 10.0
CABLE_SHARE = 0.4  # of the right cross-section, at the most
LONG_FROM_METRES, LONG_SHARE = 2.0, 0.2  # on a long run even thinner ones are met
COIL_24_FROM = 9.0  # a coil that needs more volts than this to pull in is a 24 V one
FITTED = "fitted in a hurry: it was to hand"


@dataclass(frozen=True, slots=True)
class WrongSpare:
    """A fault of the catalogue that comes of a part that does not belong there."""

    label: str
    edit: Spare
    looks: str
    cause: str = FITTED
    repair: str = "Fit the right {what}, as the manual has it."
    when: When = When.ALWAYS


def spares(part: Part) -> Iterator[WrongSpare]:
    """The wrong spares that fit where this part sits."""
    match part:
        case Fuse(amps=amps):
            smaller = [size for size in BLADES if size <= amps / 2.5]
            bigger = [size for size in BLADES if size >= amps * 2]
            for size in (*smaller[-1:], *bigger[:1]):
                yield _spare(f"{size:g} A", f"{size:g} A is printed on it.", amps=size)
        case Lamp(watts=watts):
            for most, size in LAMPS:
                if watts <= most and size != watts:
                    yield _spare(f"{size:g} W", f"{size:g} W is stamped on its base.", watts=size)
                    return
        case Relay():
            rated, times = ("12 V", 0.5) if part.pull_in_volts > COIL_24_FROM else ("24 V", 2.0)
            yield _spare(
                f"{rated} coil", f"{rated} is printed on it.", coil_ohms=part.coil_ohms * times * times,
                pull_in_volts=part.pull_in_volts * times, drop_out_volts=part.drop_out_volts * times,
            )
        case Wire(mm2=mm2, metres=metres) if mm2 >= HEAVY_FROM_MM2:
            for share in (CABLE_SHARE, LONG_SHARE) if metres >= LONG_FROM_METRES else (CABLE_SHARE,):
                thinner = max(size for size in CLASS_5 if size <= mm2 * share)
                yield _spare(f"{thinner:g} mm2", f"{thinner:g} mm² is printed on it; thin for its job.", mm2=thinner)


def _spare(what: str, looks: str, **figures: float) -> WrongSpare:
    return WrongSpare(f"wrong spare {what}", Spare(figures=tuple(figures.items())), looks)
