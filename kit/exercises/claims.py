"""What a drawing claims, line by line, held against the machine with a test lamp.

Each line of a drawing says that two points are joined: always, or with a control in some positions. Two points that
are joined show the same to a lamp, clipped to either post, in every position and with any fuse out. Where the machine
shows otherwise, that line is wrong; no other line is judged by it. Figures and colours say nothing that a lamp shows.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from kit.circuit import Fault, Fuse, Open, Part, Switch, Wire
from kit.errors import QuestionError
from kit.instruments import Reading, TestLamp
from kit.machines import Machine, Operation, machine
from kit.machines.misdrawn import closed_in, switch_in_words

FIGURES = ("mm2", "colour", "amps")
# IEC 60757, as the fleet's wires have them.
COLOURS = {"BK": "black", "BN": "brown", "RD": "red", "OG": "orange", "YE": "yellow", "GN": "green", "BU": "blue",
           "VT": "violet", "GY": "grey", "WH": "white"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Condition:
    """How the machine stands for a test: positions of its controls, and the fuse that is out, if any."""

    positions: tuple[tuple[str, str], ...]
    out: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Claim:
    """One line of a drawing: its letter, what it says, and the two points it says are joined.

    ``control`` and ``shut``: only with this control in one of these positions. ``figure``: it claims a figure of
    ``part`` instead (``mm2``, ``colour``, ``amps``), and nothing is joined.
    """

    letter: str
    text: str
    part: str
    ends: tuple[str, str] = ("", "")
    control: str = ""
    shut: tuple[str, ...] = ()
    figure: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Pair:
    """What a lamp shows on the two points of a claim, its clip on ``clip``, the machine standing so."""

    condition: Condition
    clip: str
    one: Reading
    other: Reading

    @property
    def differs(self) -> bool:
        """Whether they differ beyond what a careful eye might call either way."""
        return not set(self.one.accepts) & set(self.other.accepts)

    @property
    def lights(self) -> bool:
        """Whether the lamp is lit on both, and alike."""
        return self.one.shown == self.other.shown != "out"


def claims_of(drawn: Machine, listed: Sequence[str]) -> tuple[Claim, ...]:
    """The claims of a drawing: ``W12`` and ``B1`` as they are drawn, ``W13 mm2`` for a figure; lettered A, B, C …"""
    return tuple(_claim(drawn, chr(ord("A") + place), text) for place, text in enumerate(listed))


def _claim(drawn: Machine, letter: str, text: str) -> Claim:
    name, _, figure = text.partition(" ")
    part = drawn.circuit[name]
    if figure:
        return Claim(letter=letter, text=_figure_in_words(part, figure), part=name, figure=figure)
    match part:
        case Wire():
            return Claim(letter=letter, text=f"{name} joins {part.start} and {part.end}.", part=name,
                         ends=(str(part.start), str(part.end)))
        case Fuse() | Switch():
            one, other = map(str, part.terminals)
            if isinstance(part, Fuse):
                text = f"{name} sits between {one} and {other}."
                return Claim(letter=letter, text=text, part=name, ends=(one, other))
            control, shut = closed_in(drawn, name)
            return Claim(letter=letter, text=switch_in_words(drawn, name), part=name, ends=(one, other),
                         control=control, shut=shut)
    raise QuestionError(f"a drawing's claim '{text}': {name} is a {part.word}; expected a wire, fuse or switch.")


def _figure_in_words(part: Part, figure: str) -> str:
    match figure:
        case "mm2":
            return f"The copper of {part.id} is {part.mm2:g} mm² thick."
        case "colour":
            names = [COLOURS[part.colour[place:place + 2]] for place in range(0, len(part.colour), 2)]
            return f"{part.id} is {' and '.join(names)}."
        case "amps":
            return f"{part.id} is a fuse of {part.amps:g} A."
    raise QuestionError(f"a drawing claims no figure '{figure}'; expected one of {', '.join(FIGURES)}.")


def pairs(claim: Claim, name: str, conditions: Sequence[Condition]) -> Iterator[Pair]:
    """Every test of a claim on the machine of this name: both points, the clip on either post; minus first."""
    if claim.figure:
        return
    battery = machine(name).circuit.reference.part
    for clip in (f"{battery}.-", f"{battery}.+"):
        for condition in conditions:
            if claim.control and dict(condition.positions)[claim.control] not in claim.shut:
                continue
            if condition.out == claim.part:
                continue
            one, other = (lamp(name, condition, clip, tip) for tip in claim.ends)
            yield Pair(condition=condition, clip=clip, one=one, other=other)


def contradiction(claim: Claim, name: str, conditions: Sequence[Condition]) -> Pair | None:
    """A pair of readings on the machine that cannot be if the claim is right; None where there is none.

    Bright against out goes before any other difference, and the clip on minus before the clip on plus.
    """
    found = [pair for pair in pairs(claim, name, conditions) if pair.differs]
    return next((pair for pair in found if {pair.one.shown, pair.other.shown} == {"bright", "out"}), None) or next(
        iter(found), None)


def support(claim: Claim, name: str, conditions: Sequence[Condition]) -> Pair | None:
    """A pair of readings that speaks for the claim: lit alike on both points. None where nothing ever lights there."""
    return next((pair for pair in pairs(claim, name, conditions) if pair.lights), None)


@lru_cache(maxsize=256)
def shows(claim: Claim, name: str, conditions: tuple[Condition, ...]) -> bool:
    """Whether a lamp on the ends of a part could tell that its claimed figure is another; colours no circuit knows."""
    if claim.figure == "colour":
        return False
    known = machine(name)
    part = known.circuit[claim.part]
    other = replace(part, **{claim.figure: getattr(part, claim.figure) * 1.5})
    parts = tuple(other if each is part else each for each in known.circuit.parts)
    changed = replace(known, circuit=replace(known.circuit, parts=parts))
    battery, points = known.circuit.reference.part, tuple(map(str, getattr(part, "terminals", ()))) or (
        str(part.start), str(part.end))
    return any(
        lamp(name, condition, clip, tip).shown
        != TestLamp(clip=clip, tip=tip, volts=known.volts).read(_stand(changed, condition)).shown
        for condition in conditions for clip in (f"{battery}.-", f"{battery}.+") for tip in points
    )


@lru_cache(maxsize=4096)
def lamp(name: str, condition: Condition, clip: str, tip: str) -> Reading:
    """What a probe lamp shows on the machine of this name, standing so."""
    return TestLamp(clip=clip, tip=tip, volts=machine(name).volts).read(_operated(name, condition))


@lru_cache(maxsize=256)
def _operated(name: str, condition: Condition) -> Operation:
    return _stand(machine(name), condition)


def _stand(known: Machine, condition: Condition) -> Operation:
    out = (Fault(id=f"{condition.out} out", part=condition.out, edit=Open()),) if condition.out else ()
    return known.operate(*out, **dict(condition.positions))


def in_words(pair: Pair, name: str, points: tuple[str, str]) -> str:
    """``key on, stop switch stop: clip on G1.-, the lamp is bright at F2.2 and out at K2.supply``"""
    known = machine(name)
    stands = [
        f"{known.controls[control].title} {position}" for control, position in pair.condition.positions
        if position != known.controls[control].rest
    ] or ["everything at rest"]
    if pair.condition.out:
        stands.append(f"{pair.condition.out} pulled out")
    one, other = pair.one.shown, pair.other.shown
    both = f"{one} at {points[0]} and {other} at {points[1]}" if one != other else f"{one} at both ends"
    return f"{', '.join(stands)}: clip on {pair.clip}, the lamp is {both}"


def full(known: Machine, positions: Mapping[str, str], out: str = "") -> Condition:
    """A condition with every control named, so that those who ask need name only what is not at rest."""
    return Condition(positions=tuple(sorted(known.positions(**positions).items())), out=out)
