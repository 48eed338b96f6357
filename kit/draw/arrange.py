"""The layout of a machine worked out from its circuit and stages alone: which column each chain of parts stands in.

Nets are horizontal bars, parts in series are columns, and volts fall from top to bottom. The whole machine is arranged
once; a stage is the same arrangement with everything else left out and the empty columns closed up, so that a part is
found in the same order on every sheet. A machine file may say ``places: {order: [G1, M1, F2]}``: the columns that hold
these parts then stand in this order.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache

from kit.circuit import Battery, Circuit, Metal, Terminal
from kit.draw.chains import Chain, contract, has_source
from kit.draw.columns import order_columns
from kit.draw.labels import beyond, touched
from kit.draw.net import (
    CHANGE_OVER,
    Element,
    Kind,
    box_of,
    box_pins,
    changes_over,
    elements,
    elements_of,
    pieces_of,
    ranks,
    without_faults,
)
from kit.draw.places import ORDER
from kit.errors import DrawingError
from kit.machines.machine import Machine, Stage

# For the longest way through the circuit only.
LONG = {Kind.SYMBOL: 4.0, Kind.RUN: 2.0, Kind.PIN: 1.0, Kind.ARROW: 2.0}


@dataclass(frozen=True, slots=True)
class Arrow:
    """A way on to other stages: from which terminal, to or from where, and whether current comes in by it."""

    terminal: Terminal
    stages: tuple[str, ...]
    inward: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrangement:
    """Chains and their columns, from left to right; ``rank`` is each terminal's height, the smallest on top.

    ``arrows`` are the ways on to other stages, by the loose end that stands for each; ``again`` the parts of other
    stages of which a piece is drawn again.
    """

    circuit: Circuit
    parts: tuple[str, ...]
    chains: tuple[Chain, ...]
    columns: tuple[tuple[int, ...], ...]
    rank: Mapping[Terminal, float]
    arrows: Mapping[Terminal, Arrow]
    again: frozenset[str] = frozenset()


def arrange(machine: Machine, stage: str | None = None) -> Arrangement:
    """The arrangement of the whole machine, or of one stage in its order; raises DrawingError for no such stage."""
    if stage is not None and stage not in machine.stages:
        raise DrawingError(f"{machine.id} has no stage '{stage}'; it has {', '.join(machine.stages)}.")
    return arranged(without_faults(machine.circuit), tuple(machine.stages.values()), stage, read_order(machine))


def arranged(
    circuit: Circuit, stages: tuple[Stage, ...], stage: str | None, order: tuple[str, ...]
) -> Arrangement:
    """The same from a circuit and its stages, which can be keys of a cache."""
    if stage is None:
        return _whole(circuit, order)
    return _stage(circuit, order, stages, next(known for known in stages if known.id == stage))


def read_order(machine: Machine) -> tuple[str, ...]:
    """The ``order`` hint of a machine file; raises DrawingError for what is no part."""
    given = machine.places.get(ORDER, ())
    if not isinstance(given, (list, tuple)):
        raise DrawingError(f"{machine.id}, places, {ORDER}: '{given}'; expected a list of parts such as [G1, M1, F1].")
    known = {name for element in elements(machine.circuit) for name in (element.id, element.part)}
    for name in given:
        if name not in known:
            raise DrawingError(
                f"{machine.id}, places, {ORDER}: '{name}' stands in no column; expected a part such as F1, or a piece "
                f"such as K1.coil."
            )
    return tuple(given)


@lru_cache(maxsize=32)
def _whole(circuit: Circuit, order: tuple[str, ...]) -> Arrangement:
    rank = ranks(circuit)
    found = list(elements(circuit))
    arrows: dict[Terminal, Arrow] = {}
    heights: dict[Terminal, float] = dict(rank)
    _keep_lonely(found, circuit.terminals, arrows, heights)
    chains = contract(found, heights, _ends(circuit, circuit.terminals))
    lengths = [sum(LONG[element.kind] for element in chain.elements) for chain in chains]
    batteries = {part.id for part in circuit.parts if isinstance(part, Battery)}
    sources = frozenset(number for number, chain in enumerate(chains) if has_source(chain, batteries))
    columns = order_columns(chains, heights, lengths, sources, order)
    return Arrangement(
        circuit=circuit, parts=tuple(part.id for part in circuit.parts), chains=chains, columns=columns, rank=heights,
        arrows=arrows,
    )


def _ends(circuit: Circuit, terminals: Sequence[Terminal]) -> set[Terminal]:
    """Where chains end in any case: bodies of metal, the pins of boxes and the boxes themselves."""
    ends = {
        terminal for terminal in terminals
        if isinstance(circuit[terminal.part], Metal) or terminal in box_pins(circuit[terminal.part])
    }
    return ends | {box_of(terminal.part) for terminal in ends}


def _keep_lonely(
    found: list[Element], terminals: Sequence[Terminal], arrows: dict[Terminal, Arrow], rank: dict[Terminal, float]
) -> None:
    """A terminal that nothing joins gets a stub that shows nothing, so that it has a column to stand in."""
    joined = {end for element in found for end in (element.start, element.end)}
    for terminal in terminals:
        if terminal not in joined:
            _add_arrow(found, Arrow(terminal, (), False), arrows, rank, below=True)


def _add_arrow(
    found: list[Element], arrow: Arrow, arrows: dict[Terminal, Arrow], rank: dict[Terminal, float], *, below: bool
) -> None:
    end = Terminal(f"{arrow.terminal} {'in' if arrow.inward else 'out'}", "arrow")
    arrows[end] = arrow
    rank[end] = rank[arrow.terminal] + (0.5 if below else -0.5)
    found.append(Element(Kind.ARROW, str(arrow.terminal), "in" if arrow.inward else "out", arrow.terminal, end))


@lru_cache(maxsize=256)
def _stage(circuit: Circuit, order: tuple[str, ...], stages: tuple[Stage, ...], stage: Stage) -> Arrangement:
    whole = _whole(circuit, order)
    found = [element for part_id in stage.parts for element in elements_of(circuit[part_id])]
    shown = touched(circuit, stage)
    again = _again(circuit, stage, shown)
    found += again
    rank, arrows = dict(whole.rank), {}
    borrowed = frozenset(element.part for element in again)
    for terminal in shown:
        if terminal.part not in borrowed:
            _lead_on(circuit, stages, stage, terminal, found, arrows, rank)
    _keep_lonely(found, shown, arrows, rank)
    chains = contract(found, rank, _ends(circuit, shown))
    return Arrangement(
        circuit=circuit, parts=stage.parts, chains=chains, columns=_close_up(whole, chains, rank, arrows), rank=rank,
        arrows=arrows, again=borrowed,
    )


def _again(circuit: Circuit, stage: Stage, shown: Sequence[Terminal]) -> list[Element]:
    """Pieces of other stages' parts that lie between two terminals of this stage: a relay's contact, say."""
    near = set(shown)
    others = dict.fromkeys(terminal.part for terminal in shown if terminal.part not in stage.parts)
    for part_id in others:
        pins = [Terminal(part_id, name) for name in CHANGE_OVER]
        if changes_over(circuit[part_id]) and pins[0] in near and near & set(pins[1:]):
            near.add(box_of(part_id))
    return [
        element for part_id in others if pieces_of(circuit[part_id])
        for element in elements_of(circuit[part_id]) if {element.start, element.end} <= near
    ]


def _lead_on(
    circuit: Circuit, stages: tuple[Stage, ...], stage: Stage, terminal: Terminal, found: list[Element],
    arrows: dict[Terminal, Arrow], rank: dict[Terminal, float],
) -> None:
    """The arrows of one terminal: one for all the stages above it, one for all below."""
    inward: list[str] = []
    outward: list[str] = []
    reaches: dict[str, set[bool]] = {}
    mine = [element for element in found if terminal in (element.start, element.end)]
    for name in beyond(circuit, stages, stage, terminal):
        parts = next(other for other in stages if other.id == name).parts
        near = [
            element for part_id in parts for element in elements_of(circuit[part_id])
            if terminal in (element.start, element.end)
        ]
        # Where the other stage lies on both sides, or has no part here, it is opposite what this stage has here.
        above = _balance(circuit, near, terminal, rank) or -_balance(circuit, mine, terminal, rank)
        (inward if above > 0 else outward).append(name)
        reaches[name] = {_brings(circuit, element, terminal, rank) for element in near}
    # What only takes current from here is fed from somewhere, what only brings it feeds something.
    sides = {_brings(circuit, element, terminal, rank) for element in mine}
    for side, here, there in ((False, outward, inward), (True, inward, outward)):
        if sides == {side} and not there:
            moved = [name for name in here if (not side) in reaches[name]] or here[:]
            there += moved
            here[:] = [name for name in here if name not in moved]
    both = [Arrow(terminal, tuple(names), into) for names, into in ((inward, True), (outward, False)) if names]
    # Where only one thing hangs on a terminal, the arrow goes straight on from it.
    straight = len(both) == 1 and len(mine) == 1
    for arrow in both:
        below = _is_above(mine[0], terminal, rank) if straight else not arrow.inward
        _add_arrow(found, arrow, arrows, rank, below=below)


def _balance(
    circuit: Circuit, near: Sequence[Element], terminal: Terminal, rank: Mapping[Terminal, float]
) -> int:
    """How many more of the elements at a terminal bring current than take it; at a battery it alone decides."""
    sources = [element for element in near if isinstance(circuit[element.part], Battery)]
    return sum(1 if _brings(circuit, element, terminal, rank) else -1 for element in sources[:1] or near)


def _brings(circuit: Circuit, element: Element, terminal: Terminal, rank: Mapping[Terminal, float]) -> bool:
    """Whether an element brings current to its terminal: one that comes from above, but out of a battery's plus."""
    return _is_above(element, terminal, rank) != isinstance(circuit[element.part], Battery)


def _is_above(element: Element, terminal: Terminal, rank: Mapping[Terminal, float]) -> bool:
    far = element.end if element.start == terminal else element.start
    return rank[far] < rank[terminal]


def _close_up(
    whole: Arrangement, chains: Sequence[Chain], rank: Mapping[Terminal, float], arrows: Mapping[Terminal, Arrow]
) -> tuple[tuple[int, ...], ...]:
    """The columns of a stage: those of the whole machine, and where they clash one more beside them."""
    home = {
        element.id: float(column)
        for column, numbers in enumerate(whole.columns) for number in numbers
        for element in whole.chains[number].elements
    }
    taken: dict[float, list[int]] = {}

    def fits(column: float, chain: Chain) -> bool:
        return all(
            rank[chain.bottom] <= rank[chains[other].top] or rank[chains[other].bottom] <= rank[chain.top]
            for other in taken.get(column, ())
        )

    def put(number: int, wanted: Sequence[float]) -> None:
        column = next((column for column in wanted if fits(column, chains[number])), None)
        if column is None:
            column, step = wanted[-1], 0.5
            while not fits(column + step, chains[number]):
                step /= 2
            column += step
        taken.setdefault(column, []).append(number)

    stubs = [
        number for number, chain in enumerate(chains)
        if all(element.kind is Kind.ARROW for element in chain.elements)
    ]
    for number, chain in enumerate(chains):
        if number not in stubs:
            put(number, [next(home[element.id] for element in chain.elements if element.id in home)])
    for number in stubs:
        put(number, _wanted(whole, chains, number, taken, home, arrows))
    return tuple(tuple(sorted(taken[column], key=lambda n: rank[chains[n].top])) for column in sorted(taken))


def _wanted(
    whole: Arrangement, chains: Sequence[Chain], number: int, taken: Mapping[float, list[int]],
    home: Mapping[str, float], arrows: Mapping[Terminal, Arrow],
) -> list[float]:
    """Where an arrow would best stand: straight on from what is there, or where the other stage has its column."""
    chain = chains[number]
    arrow = arrows[chain.bottom] if chain.bottom in arrows else arrows[chain.top]
    near = [
        (not _owns(chains[other], arrow.terminal), column)
        for column, numbers in taken.items() for other in numbers
        if arrow.terminal in (chains[other].top, chains[other].bottom)
    ]
    beyond_here = [
        home[element.id] for known in whole.chains for element in known.elements
        if arrow.terminal in (element.start, element.end)
    ]
    return [*(column for _, column in sorted(near)), *sorted(beyond_here), 0.0]


def _owns(chain: Chain, terminal: Terminal) -> bool:
    """Whether the element of a chain at a terminal belongs to the terminal's own part."""
    first = chain.elements[0] if chain.top == terminal else chain.elements[-1]
    return first.part == terminal.part
