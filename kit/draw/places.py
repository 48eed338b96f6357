"""Where things go on a sheet placed by hand: the ``places`` of a machine file, read and checked.

All of it may be left out: ``arrange`` then works the layout out. A section for a stage wins for that stage; a section
``blocks`` places the block view, a list ``order`` sets the order of the whole sheet's columns.

One section a stage. Grid units of 20 px, x to the right and y down. A part with a symbol says where its first terminal
sits and which way its second lies; a terminal that is on no symbol here (a lug, a clamp, one that belongs to another
stage) says where it sits; wires and joints run straight between their terminals unless they are given corners::

    main feed:
      sheet: [40, 12]
      G1: {at: [5, 4], way: down, text: left}     # a symbol; text: the side its label is on
      X1.clamp: {at: [11, 4], name: above, tag: below}   # name, tag: the sides of its name and of its "to ..." arrow
      W2: {via: [[27, 4]], text: above, on: 1}    # corners; on: the stretch the label sits on, counted from 0
      K1.contact: {at: [21, 4]}                   # a relay's contact shown again away from its coil

Further, all optional: ``wrap`` (characters a line of the title), ``shift: [x, y]`` (moves the label), ``bar`` (length
of a body of metal).
"""

from collections.abc import Mapping
from dataclasses import dataclass

from kit.circuit import Joint, Metal, Part, Relay, Terminal, Wire
from kit.errors import CircuitError, DrawingError
from kit.machines.machine import Machine

# Px in a grid unit, at 1:1.
UNIT = 20
Spot = tuple[float, float]
WAYS = ("right", "down", "left", "up")
SIDES = ("above", "below", "left", "right")
CORNERS = (*SIDES, "above-left", "above-right", "below-left", "below-right")
WRAP = 16
# Sections that are no stage: the block view, and the order of the columns on the whole sheet.
BLOCKS, ORDER = "blocks", "order"


@dataclass(frozen=True, slots=True, kw_only=True)
class PartPlace:
    """Where a part sits (``at``, ``way``, ``bar``) or runs (``via``), and its label."""

    at: Spot | None = None
    way: str = "right"
    bar: float = 0.0
    via: tuple[Spot, ...] = ()
    on: int = -1
    text: str = ""
    wrap: int = WRAP
    shift: Spot = (0.0, 0.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class TerminalPlace:
    """Where a loose terminal sits, and the sides of its name and of its arrow to another stage."""

    at: Spot | None = None
    name: str = ""
    tag: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class StagePlaces:
    """The places of one stage; pairs instead of dicts so that it can be a key of a cache."""

    stage: str
    size: Spot
    parts: tuple[tuple[str, PartPlace], ...]
    contacts: tuple[tuple[str, PartPlace], ...]
    terminals: tuple[tuple[Terminal, TerminalPlace], ...]


def has_symbol(part: Part) -> bool:
    """Whether a part is drawn as a symbol with a place of its own (all but wires and joints)."""
    return not isinstance(part, (Wire, Joint))


def check_sections(machine: Machine, stage: str) -> bool:
    """Whether a stage has places by hand; raises DrawingError for an unknown stage, or places of one."""
    if stage not in machine.stages:
        raise DrawingError(f"{machine.id} has no stage '{stage}'; it has {', '.join(machine.stages)}.")
    for name in machine.places:
        if name not in machine.stages and name not in (BLOCKS, ORDER):
            raise DrawingError(
                f"{machine.id}, places: there is no stage '{name}'; expected {', '.join(machine.stages)}, {BLOCKS} or "
                f"{ORDER}."
            )
    return stage in machine.places


def read_places(machine: Machine, stage: str) -> StagePlaces:
    """The places of a stage that has them; raises DrawingError for a missing place or one that fits nothing."""
    section = machine.places[stage]
    page = Entry(machine.id, stage, "sheet", section)
    parts, contacts, terminals = [], [], []
    for key in section:
        if key == "sheet":
            continue
        entry = Entry(machine.id, stage, str(key), section[key])
        if "." not in entry.key:
            parts.append((entry.key, _part_place(machine, stage, entry)))
        elif entry.key.endswith(".contact"):
            contacts.append((entry.key.removesuffix(".contact"), _contact_place(machine, stage, entry)))
        else:
            terminals.append(_terminal_place(machine, entry))
    placed = dict(parts)
    for part_id in machine.stages[stage].parts:
        if has_symbol(machine.circuit[part_id]) and part_id not in placed:
            raise Entry(machine.id, stage, part_id, {}).error("no place", f"{part_id}: {{at: [x, y], way: right}}")
    return StagePlaces(
        stage=stage, size=page.pair("sheet"), parts=tuple(parts), contacts=tuple(contacts), terminals=tuple(terminals)
    )


class Entry:
    """One entry of the section while it is read; knows how to say where it is."""

    def __init__(self, machine: str, stage: str, key: str, given: object) -> None:
        self.machine, self.stage, self.key = machine, stage, key
        if not isinstance(given, Mapping):
            raise self.error(f"'{given}'", "a mapping such as {at: [4, 3]}")
        self.given = given

    def error(self, found: str, expected: str) -> DrawingError:
        return DrawingError(f"{self.machine}, places, {self.stage}, {self.key}: {found}; expected {expected}.")

    def allow(self, *names: str) -> None:
        for name in self.given:
            if name not in names:
                raise self.error(f"unknown word '{name}'", ", ".join(names))

    def word(self, name: str, allowed: tuple[str, ...], default: str) -> str:
        word = self.given.get(name, default)
        if word != default and word not in allowed:
            raise self.error(f"{name} is '{word}'", " or ".join(allowed))
        return word

    def number(self, name: str, default: float) -> float:
        return self._number(self.given.get(name, default), name)

    def pair(self, name: str, default: Spot | None = None) -> Spot:
        if name not in self.given and default is not None:
            return default
        if name not in self.given:
            raise self.error(f"no {name}", f"{name}: [x, y] in grid units")
        return self._pair(self.given[name], name)

    def pairs(self, name: str) -> tuple[Spot, ...]:
        listed = self.given.get(name, ())
        if not isinstance(listed, (list, tuple)):
            raise self.error(f"{name} is '{listed}'", f"{name}: [[x, y], [x, y]]")
        return tuple(self._pair(pair, name) for pair in listed)

    def _pair(self, pair: object, name: str) -> Spot:
        if not isinstance(pair, (list, tuple)) or len(pair) != 2:
            raise self.error(f"{name} is '{pair}'", f"{name}: [x, y] in grid units")
        return self._number(pair[0], name), self._number(pair[1], name)

    def _number(self, value: object, name: str) -> float:
        try:
            return float(value)
        except (TypeError, ValueError):
            raise self.error(f"{name} is '{value}'", "a number of grid units") from None


def _part_place(machine: Machine, stage: str, entry: Entry) -> PartPlace:
    if entry.key not in machine.circuit:
        raise entry.error(f"there is no part {entry.key}", "a part of this machine")
    if entry.key not in machine.stages[stage].parts:
        home, here = machine.stage_of(entry.key).id, ", ".join(machine.stages[stage].parts)
        raise entry.error(f"{entry.key} belongs to {home}", f"a part of this stage: {here}")
    part = machine.circuit[entry.key]
    label = _label(entry)
    if not has_symbol(part):
        entry.allow("via", "on", "text", "wrap", "shift")
        return PartPlace(via=entry.pairs("via"), on=int(entry.number("on", -1)), **label)
    if isinstance(part, Metal):
        entry.allow("at", "bar", "text", "wrap", "shift")
        return PartPlace(at=entry.pair("at"), bar=entry.number("bar", 4), **label)
    entry.allow("at", "way", "text", "wrap", "shift")
    return PartPlace(at=entry.pair("at"), way=entry.word("way", WAYS, "right"), **label)


def _contact_place(machine: Machine, stage: str, entry: Entry) -> PartPlace:
    relay = entry.key.removesuffix(".contact")
    if relay not in machine.circuit or not isinstance(machine.circuit[relay], Relay):
        raise entry.error(f"there is no relay {relay}", "a relay of this machine")
    if relay in machine.stages[stage].parts:
        raise entry.error(f"{relay} is drawn whole in this stage", f"{relay}: {{at: [x, y]}}")
    entry.allow("at", "way", "text", "wrap", "shift")
    return PartPlace(at=entry.pair("at"), way=entry.word("way", WAYS, "right"), **_label(entry))


def _label(entry: Entry) -> dict:
    return {
        "text": entry.word("text", SIDES, ""), "wrap": int(entry.number("wrap", WRAP)),
        "shift": entry.pair("shift", (0.0, 0.0)),
    }


def _terminal_place(machine: Machine, entry: Entry) -> tuple[Terminal, TerminalPlace]:
    try:
        terminal = Terminal.read(entry.key)
    except CircuitError:
        raise entry.error("this is no terminal", "part and terminal with a dot, like K1.86") from None
    if terminal not in machine.circuit.terminals:
        raise entry.error(machine.circuit.explain_missing(terminal).rstrip("."), "a terminal of this machine")
    entry.allow("at", "name", "tag")
    at = entry.pair("at") if "at" in entry.given else None
    return terminal, TerminalPlace(at=at, name=entry.word("name", CORNERS, ""), tag=entry.word("tag", SIDES, ""))
