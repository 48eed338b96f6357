"""Chains: elements in series, contracted into one column each between the nets where the circuit branches."""

from collections.abc import Collection, Iterable, Mapping
from dataclasses import dataclass

from kit.circuit import Terminal
from kit.draw.net import Element, Kind


@dataclass(frozen=True, slots=True)
class Chain:
    """Elements in series from the higher net to the lower: ``terminals`` has one more than ``elements``."""

    elements: tuple[Element, ...]
    terminals: tuple[Terminal, ...]

    @property
    def top(self) -> Terminal:
        return self.terminals[0]

    @property
    def bottom(self) -> Terminal:
        return self.terminals[-1]

    @property
    def id(self) -> str:
        return self.elements[0].id


def contract(
    elements: Iterable[Element], rank: Mapping[Terminal, float], ends: Collection[Terminal] = ()
) -> tuple[Chain, ...]:
    """Every element once, in chains that run down the ranks.

    A chain ends where other than two elements meet, at the ``ends`` given, and where going on would mean going up:
    so a plain loop has a top and a bottom too.
    """
    touching: dict[Terminal, list[Element]] = {}
    for element in elements:
        touching.setdefault(element.start, []).append(element)
        touching.setdefault(element.end, []).append(element)
    hubs = {
        terminal for terminal, near in touching.items()
        if terminal in ends or len(near) != 2 or _turns(terminal, near, rank)
    }
    chains = []
    for hub in sorted(hubs, key=rank.__getitem__):
        for first in touching[hub]:
            if rank[_far(first, hub)] < rank[hub]:
                continue
            terminal, element = _far(first, hub), first
            run, passed = [first], [hub, terminal]
            while terminal not in hubs:
                one, other = touching[terminal]
                element = other if element is one else one
                terminal = _far(element, terminal)
                run.append(element)
                passed.append(terminal)
            chains.append(Chain(tuple(run), tuple(passed)))
    return tuple(chains)


def _far(element: Element, terminal: Terminal) -> Terminal:
    return element.end if terminal == element.start else element.start


def _turns(terminal: Terminal, near: list[Element], rank: Mapping[Terminal, float]) -> bool:
    below = [rank[_far(element, terminal)] > rank[terminal] for element in near]
    return below[0] == below[1]


def has_source(chain: Chain, sources: Collection[str]) -> bool:
    """Whether a battery is in a chain."""
    return any(element.part in sources for element in chain.elements)


def boxes_in(chain: Chain) -> tuple[Terminal, ...]:
    """The middles of the boxes a chain starts or ends at."""
    return tuple(end for end in (chain.top, chain.bottom) if not end.name) if _has_pin(chain) else ()


def _has_pin(chain: Chain) -> bool:
    return any(element.kind is Kind.PIN for element in chain.elements)
