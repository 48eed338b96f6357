"""A circuit as a drawing sees it: what joins two terminals, and which terminal is above which."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from enum import Enum

from kit.circuit import (
    Alternator,
    Battery,
    Circuit,
    Diode,
    FuelSolenoid,
    Fuse,
    Instrument,
    Joint,
    Magneto,
    Metal,
    Part,
    Relay,
    StarterSolenoid,
    Switch,
    Terminal,
    Wire,
)
from kit.solve.branches import Branch, Network
from kit.solve.case import Case
from kit.solve.kernel import LINEAR
from kit.solve.solution import AT_REST

# For the heights only: a load drops twenty times what anything else does, so it lies in the middle of its path.
LOAD_OHMS, OTHER_OHMS, SOURCE_VOLTS = 20.0, 1.0, 12.0
WEAK_OHMS = 200.0
# A dead end leaks a little, so that it too runs down.
LEAK_OHMS = 1e4


class Kind(Enum):
    """What an element is on the sheet: a wire or joint, a symbol, a pin of a box, an arrow to another stage."""

    RUN = "run"
    SYMBOL = "symbol"
    PIN = "pin"
    ARROW = "arrow"


@dataclass(frozen=True, slots=True)
class Element:
    """Something drawn between two terminals. ``piece`` tells the pieces of a part apart that is drawn in several.

    A box (a part of many pins, the change-over contact of a relay) stands in the middle of its pins as the terminal
    ``K2.`` with no name.
    """

    kind: Kind
    part: str
    piece: str
    start: Terminal
    end: Terminal

    @property
    def id(self) -> str:
        return f"{self.part}.{self.piece}" if self.piece else self.part


# A part of many terminals that is drawn in pieces: what each is called, and the two terminals it lies between.
RELAY_PIECES = (("contact", "30", "87"), ("coil", "86", "85"))
CHANGE_OVER = ("30", "87", "87a")
SOLENOID_PIECES = (("contact", "30", "M"), ("pull", "50", "M"), ("hold", "50", "body"))


def pieces_of(part: Part) -> tuple[tuple[str, str, str], ...]:
    """The pieces a part with contacts and coils is drawn in; none for any other part."""
    match part:
        case Relay():
            return RELAY_PIECES[1:] if changes_over(part) else RELAY_PIECES
        case StarterSolenoid():
            return SOLENOID_PIECES
        case FuelSolenoid():
            return tuple((piece, feed, "body") for piece, feed in zip(("pull", "hold"), part.feeds, strict=True))
    return ()


def changes_over(part: Part) -> bool:
    """Whether a part has a contact that is drawn as one change-over symbol, with three pins."""
    return isinstance(part, Relay) and part.contacts == "change-over"


def box_pins(part: Part) -> tuple[Terminal, ...]:
    """The pins of a part that is drawn as a box, or of its change-over contact; none where it has neither."""
    if changes_over(part):
        return tuple(Terminal(part.id, name) for name in CHANGE_OVER)
    return part.terminals if len(part.terminals) > 2 and not pieces_of(part) else ()


def box_of(part: str) -> Terminal:
    """The terminal that stands for the middle of a box."""
    return Terminal(part, "")


def elements_of(part: Part) -> tuple[Element, ...]:
    """What a part puts on the sheet; a body of metal puts nothing but its terminal, an instrument nothing at all."""
    match part:
        case Wire() | Joint():
            return (Element(Kind.RUN, part.id, "", part.start, part.end),)
        case Metal() | Instrument():
            return ()
    pieces = tuple(
        Element(Kind.SYMBOL, part.id, piece, Terminal(part.id, first), Terminal(part.id, second))
        for piece, first, second in pieces_of(part)
    )
    pins = tuple(Element(Kind.PIN, part.id, pin.name, pin, box_of(part.id)) for pin in box_pins(part))
    if pieces or pins or len(part.terminals) < 2:
        return (*pieces, *pins)
    return (Element(Kind.SYMBOL, part.id, "", part.terminals[0], part.terminals[1]),)


def elements(circuit: Circuit) -> tuple[Element, ...]:
    """Every element of a circuit, in the order of its parts."""
    return tuple(element for part in circuit.parts for element in elements_of(part))


def ranks(circuit: Circuit) -> dict[Terminal, int]:
    """Each terminal's place from top to bottom: by its volts while everything conducts, ties by the order of the parts.

    The volts come from the solver's kernel; boxes are in it by the terminal of their middle.
    """
    found = elements(circuit)
    terminals = (*circuit.terminals, *(box_of(part.id) for part in circuit.parts if box_pins(part)))
    degree = dict.fromkeys(terminals, 0)
    for element in found:
        degree[element.start] += 1
        degree[element.end] += 1
    branches = [branch for element in found for branch in _branches(circuit[element.part], element, circuit.reference)]
    loose = [terminal for terminal in terminals if degree[terminal] < 2 and terminal != circuit.reference]
    branches += [
        Branch(f"leak {terminal}", terminal, circuit.reference, LINEAR, 1 / LEAK_OHMS) for terminal in loose
    ]
    net = Network(terminals, circuit.reference, tuple(branches), (), (), ())
    case = Case(net, (), AT_REST)
    case.run(melts=False, moves=False)
    volts = {terminal: round(case.x[place], 9) for terminal, place in case.place.items()}
    for path in _between_batteries(circuit, found):
        # From one battery's minus down to the next one's plus, though current runs the other way.
        volts |= dict(zip(path, sorted((volts[terminal] for terminal in path), reverse=True), strict=True))
    number = {terminal: place for place, terminal in enumerate(terminals)}
    ordered = sorted(terminals, key=lambda terminal: (-volts[terminal], number[terminal]))
    return {terminal: rank for rank, terminal in enumerate(ordered)}


def _between_batteries(circuit: Circuit, found: Sequence[Element]) -> Iterator[list[Terminal]]:
    """The ways from the minus of a battery straight to the plus of another, where they are in series."""
    touching: dict[Terminal, list[Element]] = {}
    for element in found:
        touching.setdefault(element.start, []).append(element)
        touching.setdefault(element.end, []).append(element)
    batteries = {element.start: element for element in found if isinstance(circuit[element.part], Battery)}
    for battery in batteries.values():
        for element in touching[battery.end]:
            path = [battery.end]
            onward = [] if element is battery else [element]
            while len(onward) == 1:
                element = onward[0]
                path.append(element.end if element.start == path[-1] else element.start)
                onward = [other for other in touching[path[-1]] if other is not element]
                if path[-1] in batteries:
                    if batteries[path[-1]] is not battery:
                        yield path
                    break


def _branches(part: Part, element: Element, reference: Terminal) -> tuple[Branch, ...]:
    if isinstance(part, Battery):
        return (Branch(element.id, element.end, element.start, LINEAR, 1 / OTHER_OHMS, SOURCE_VOLTS / OTHER_OHMS),)
    if isinstance(part, Magneto):
        # As if fed at its kill terminal, so that this lies above all that grounds it.
        fed = Branch(f"{element.id} fed", reference, element.start, LINEAR, 1 / LOAD_OHMS, SOURCE_VOLTS / LOAD_OHMS)
        return fed, Branch(element.id, element.start, element.end, LINEAR, 1 / LOAD_OHMS)
    light = isinstance(part, (Wire, Joint, Fuse, Switch, Diode))
    contact = element.piece == "contact" or (changes_over(part) and element.kind is Kind.PIN)
    ohms = OTHER_OHMS if light or contact else LOAD_OHMS
    # A solenoid's contact as if hardly shut: so M lies under 50, and contact and coils side by side. An alternator's
    # output as if hardly joined: so the charge lamp's current comes down to D+, as it does before the engine turns.
    if (contact and isinstance(part, StarterSolenoid)) or (isinstance(part, Alternator) and element.piece == "B+"):
        ohms = WEAK_OHMS
    return (Branch(element.id, element.start, element.end, LINEAR, 1 / ohms),)


def without_faults(circuit: Circuit) -> Circuit:
    """The sound circuit: a drawing never shows what is wrong by its shape."""
    return replace(circuit, faults=()) if circuit.faults else circuit
