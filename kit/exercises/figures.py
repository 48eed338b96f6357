"""Figures a question asks for or tells, computed from a machine, its instruments or a plain sum.

Text in braces is filled from a variant's words first: ``Setup(machine="orchard-bike", faults=("{fault}",))`` is the
orchard bike with whatever fault the learner's variant picked.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, fields
from functools import cache
from typing import assert_never

from kit.circuit import Battery, Change, Circuit, Fault, Joint, Metal, Part, Terminal
from kit.circuit.conductors import CLASS_5, ohms_per_metre
from kit.exercises.batteries import ChargeAtRest, InnerOhms, charge_at_rest, inner_ohms
from kit.exercises.boxes import BoxesAlone, boxes_alone, figures_of_boxes
from kit.exercises.charging import Lasts, Running, lasts, shown
from kit.exercises.courses import CoilRise, figure_in_words, figure_of_start, rise
from kit.exercises.diodes import DiodeKeeps, diode_keeps
from kit.exercises.strategy import LeftAtWorst, MeanMinutes, MostTests, OfTrial, compute_strategy, told_of
from kit.exercises.windings import WarmCopper, warm_ohms
from kit.instruments import Multimeter
from kit.machines import Operation, machine
from kit.quantities import show_quantity
from kit.solve import settle


@dataclass(frozen=True, slots=True, kw_only=True)
class Setup:
    """A machine with faults planted and controls set; positions not named are at rest."""

    machine: str
    faults: tuple[str, ...] = ()
    positions: Mapping[str, str] = field(default_factory=dict)

    def operate(self, words: Mapping[str, str], **moved: str) -> Operation:
        """The operation, with the braces filled and further controls moved."""
        return operated(*self.filled(words, **moved))

    def filled(
        self, words: Mapping[str, str], **moved: str
    ) -> tuple[str, tuple[str, ...], tuple[tuple[str, str], ...]]:
        """The machine's id, the faults and all positions, the braces filled and further controls moved."""
        faults = tuple(fill(fault, words) for fault in self.faults)
        positions = {name: fill(position, words) for name, position in self.positions.items()} | moved
        return self.machine, faults, tuple(sorted(positions.items()))


@dataclass(frozen=True, slots=True, kw_only=True)
class MeterVolts:
    """What a voltmeter shows, in volts, red against black."""

    setup: Setup
    red: str
    black: str


@dataclass(frozen=True, slots=True, kw_only=True)
class AmpsIfHeld:
    """The amps a path would carry if this fuse were one that never melts."""

    setup: Setup
    path: str
    fuse: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WireDrop:
    """Volts lost along a copper wire, from the table of IEC 60228 (class 5, 20 °C): ohms a metre × metres × amps."""

    mm2: str
    metres: str
    amps: str


@dataclass(frozen=True, slots=True, kw_only=True)
class MilliohmsPerMetre:
    """Milliohms of a metre of class 5 copper at 20 °C (IEC 60228)."""

    mm2: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PathAmps:
    """The amps through a path of a machine: a part (``M1``), or one of its paths (``K1.coil``)."""

    setup: Setup
    path: str


@dataclass(frozen=True, slots=True, kw_only=True)
class MeterOhms:
    """What an ohmmeter shows; the setup has to leave the path dead. OL counts as infinite."""

    setup: Setup
    red: str
    black: str


@dataclass(frozen=True, slots=True, kw_only=True)
class OnStrip:
    """A figure off the strip chart of a press: the setup's controls before it, ``held`` moved (``courses.taken``).

    ``load`` is the path whose amps a learner's sum goes with, where there is one.
    """

    setup: Setup
    held: Mapping[str, str]
    of: str
    take: str
    load: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Network:
    """A published network of resistors on one source without a resistance of its own, solved.

    ``resistors`` maps a name to "from to ohms", nodes by number; the source has its plus on node 1 and its minus on
    node 0. ``asks`` is "volts 2 0" (node 2 against node 0) or "amps R1" (from its first node to its second).
    ``source`` names where it was published.
    """

    volts: str
    resistors: Mapping[str, str]
    asks: str
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class SmallestCable:
    """The smallest cross-section of IEC 60228 (class 5, 20 °C), in mm², that loses no more than ``drop`` volts."""

    metres: str
    amps: str
    drop: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FuseFor:
    """The smallest blade fuse that carries ``amps`` for hours: the load is 80 % of it at most (common practice)."""

    amps: str


Figure = (
    MeterVolts | AmpsIfHeld | WireDrop | MilliohmsPerMetre | PathAmps | MeterOhms | Network | SmallestCable | FuseFor
    | ChargeAtRest | InnerOhms | DiodeKeeps | WarmCopper | OnStrip | CoilRise | Running | Lasts
    | MostTests | LeftAtWorst | MeanMinutes | OfTrial | BoxesAlone
)
# Ratings of blade fuses on sale, in amps (ISO 8820-3, from memory).
BLADES = (1.0, 2.0, 3.0, 4.0, 5.0, 7.5, 10.0, 15.0, 20.0, 25.0, 30.0, 40.0)
FUSE_LOADED_TO = 0.8
STIFF = 1e-9  # ohms of a source, or of a lead, that a textbook draws without any


def compute(figure: Figure, words: Mapping[str, str]) -> float:
    """The figure's value in its base unit, as an instrument would show it where it is one that is read."""
    match figure:
        case MeterVolts():
            value = metered("volts", fill(figure.black, words), fill(figure.red, words), *figure.setup.filled(words))
            return math.nan if value is None else value
        case AmpsIfHeld():
            held = Fault(id=f"{figure.fuse} held", part=figure.fuse, edit=Change(field="amps", value=1e6))
            faults = tuple(fill(fault, words) for fault in figure.setup.faults)
            now = machine(figure.setup.machine).operate(*faults, held, **figure.setup.positions)
            return abs(now.amps[figure.path])
        case WireDrop():
            mm2, metres, amps = (float(fill(text, words)) for text in (figure.mm2, figure.metres, figure.amps))
            return ohms_per_metre(mm2) * metres * amps
        case MilliohmsPerMetre():
            return 1000 * ohms_per_metre(float(fill(figure.mm2, words)))
        case PathAmps():
            return abs(figure.setup.operate(words).amps[fill(figure.path, words)])
        case MeterOhms():
            value = metered("ohms", fill(figure.black, words), fill(figure.red, words), *figure.setup.filled(words))
            return math.inf if value is None else value
        case Network():
            resistors = tuple((name, fill(text, words)) for name, text in figure.resistors.items())
            return solved(float(fill(figure.volts, words)), resistors, fill(figure.asks, words))
        case SmallestCable():
            metres, amps, drop = (float(fill(text, words)) for text in (figure.metres, figure.amps, figure.drop))
            return next(mm2 for mm2 in sorted(CLASS_5) if ohms_per_metre(mm2) * metres * amps <= drop)
        case FuseFor():
            amps = float(fill(figure.amps, words))
            return next(rating for rating in BLADES if amps <= FUSE_LOADED_TO * rating)
        case ChargeAtRest():
            return charge_at_rest(float(fill(figure.volts, words)), fill(figure.build, words))
        case InnerOhms():
            return inner_ohms(*(float(fill(text, words)) for text in (figure.rest, figure.volts, figure.amps)))
        case DiodeKeeps():
            numbers = (figure.amps, figure.saturation_amps, figure.emission)
            return diode_keeps(*(float(fill(text, words)) for text in numbers))
        case WarmCopper():
            return warm_ohms(*(float(fill(text, words)) for text in (figure.ohms, figure.cold, figure.hot)))
        case OnStrip():
            held = tuple(sorted(figure.held.items()))
            asked = fill(figure.of, words), fill(figure.take, words)
            return figure_of_start(*figure.setup.filled(words), held, *asked)
        case MostTests() | LeftAtWorst() | MeanMinutes():
            return compute_strategy(figure, filled_fields(figure, words))
        case OfTrial():
            return math.nan  # words, no number
        case BoxesAlone():
            return boxes_alone(*figures_of_boxes(filled_fields(figure, words)))
        case Running():
            leads, moved = tuple(fill(lead, words) for lead in figure.leads), figure.moved
            return shown(fill(figure.machine, words), fill(figure.fault, words), figure.instrument, leads, moved)
        case Lasts():
            numbers = (float(fill(text, words)) for text in (figure.amp_hours, figure.amps, figure.share))
            return lasts(*numbers, figure.unit)
        case CoilRise():
            return rise(*(float(fill(text, words)) for text in (figure.henries, figure.ohms)))
        case _:
            assert_never(figure)


def show(figure: Figure, words: Mapping[str, str]) -> str:
    """The figure as a question's text tells it."""
    value = compute(figure, words)
    match figure:
        case MeterVolts() | WireDrop() | DiodeKeeps():
            return f"{value:.2f} V"
        case AmpsIfHeld():
            return f"{float(f'{value:.2g}'):g} A"
        case MilliohmsPerMetre():
            return f"{value:g} mΩ"
        case PathAmps():
            return show_quantity(value, "A")
        case MeterOhms():
            return "OL" if math.isinf(value) else show_quantity(value, "ohm")
        case Network():
            return show_quantity(value, "V" if figure.asks.startswith("volts") else "A")
        case SmallestCable():
            return f"{value:g} mm²"
        case FuseFor():
            return f"{value:g} A"
        case ChargeAtRest():
            return f"{100 * value:.0f} %"
        case InnerOhms() | WarmCopper():
            return show_quantity(value, "ohm")
        case OnStrip():
            return figure_in_words(figure.of, value)
        case CoilRise():
            return show_quantity(value, "s")
        case Running():
            return f"{value:.1f} A" if figure.instrument == "clamp" else f"{value:.1f} V"
        case Lasts():
            return show_quantity(value, figure.unit)
        case OfTrial():
            return told_of(figure, *(fill(text, words) for text in (figure.which, figure.trial, figure.suspect)))
        case MostTests() | LeftAtWorst() | BoxesAlone():
            return f"{value:g}"
        case MeanMinutes():
            return f"{value:g} min"
        case _:
            assert_never(figure)


def filled_fields(figure: object, words: Mapping[str, str]) -> dict[str, str]:
    """The texts of a figure that has nothing else, by name, their braces filled."""
    return {one.name: fill(getattr(figure, one.name), words) for one in fields(figure)}


def fill(text: str, words: Mapping[str, str]) -> str:
    """The text with its braces filled, and those in what filled them; KeyError for a word that is not there."""
    while "{" in text:
        text = text.format_map(words)
    return text


@cache
def operated(machine_id: str, faults: tuple[str, ...], positions: tuple[tuple[str, str], ...]) -> Operation:
    """An operation, kept: a class asks for the same few many times over."""
    return machine(machine_id).operate(*faults, **dict(positions))


@cache
def metered(
    what: str, black: str, red: str, machine_id: str, faults: tuple[str, ...], positions: tuple[tuple[str, str], ...]
) -> float | None:
    """What a multimeter shows there, kept likewise."""
    return Multimeter(what, black=black, red=red).read(operated(machine_id, faults, positions)).value


@cache
def solved(volts: float, resistors: tuple[tuple[str, str], ...], asks: str) -> float:
    """The volts or amps a ``Network`` asks for, in its base unit."""
    nodes, parts = {"0", "1"}, []
    for name, text in resistors:
        start, end, ohms = text.split()
        nodes |= {start, end}
        parts.append(Joint(id=name, title=name, start=_node(start), end=_node(end), ohms=float(ohms)))
    source: list[Part] = [
        Battery(id="G1", title="source", volts=volts, ohms=STIFF),
        Joint(id="X1", title="lead", start=Terminal("G1", "+"), end=_node("1"), ohms=STIFF),
        Joint(id="X0", title="lead", start=Terminal("G1", "-"), end=_node("0"), ohms=STIFF),
    ]
    metals = [Metal(id=f"N{name}", title=f"node {name}", terminal="t") for name in sorted(nodes)]
    found = settle(Circuit(parts=(*metals, *source, *parts), reference=_node("0")))
    what, *where = asks.split()
    if what == "amps":
        return found.amps[where[0]]
    return found.drop(str(_node(where[0])), str(_node(where[1]))) or 0.0


def _node(name: str) -> Terminal:
    return Terminal(f"N{name}", "t")
