"""Which column each chain stands in: chains that go on from one another share one, and nets stay short.

Weights are in columns: a net's bar costs its length, a bar crossing a chain as much as ``CROSSING`` columns of bar.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations, pairwise

from kit.circuit import Terminal
from kit.draw.chains import Chain, boxes_in
from kit.draw.net import CHANGE_OVER

CROSSING, COLUMN, TIE, LEFT, BROKEN_HINT = 3.0, 1.2, 0.25, 3.0, 1000.0
ROUNDS = 4

# A column is the numbers of its chains; a unit is columns that stay together: one, or as many as a box is pins wide.
Column = list[int]
Unit = list[Column]


@dataclass(frozen=True, slots=True)
class Problem:
    """What the cost of an order is worked out from, as numbers: of chains, and of nets (their place in the ranks)."""

    spans: tuple[tuple[float, float], ...]
    nets: tuple[tuple[tuple[int, ...], tuple[int, ...]], ...]
    ties: tuple[tuple[int, int], ...]
    hints: tuple[tuple[int, int], ...]
    sources: tuple[int, ...]

    def cost(self, units: Sequence[Unit]) -> float:
        place = [0] * len(self.spans)
        width = 0
        for unit in units:
            for column in unit:
                for chain in column:
                    place[chain] = width
                width += 1
        total = COLUMN * width
        for attached, passing in self.nets:
            low = high = place[attached[0]]
            for chain in attached:
                here = place[chain]
                if here < low:
                    low = here
                elif here > high:
                    high = here
            total += high - low
            if high - low > 1:
                for chain in passing:
                    if low < place[chain] < high:
                        total += CROSSING
        for one, other in self.ties:
            total += TIE * abs(place[one] - place[other])
        for chain in self.sources:
            total += LEFT * place[chain]
        for one, other in self.hints:
            if place[one] > place[other]:
                total += BROKEN_HINT
        return total

    def share(self, one: Column, other: Column) -> bool:
        """Whether the chains of two columns lie one under another."""
        spans = self.spans
        return all(spans[a][1] <= spans[b][0] or spans[b][1] <= spans[a][0] for a in one for b in other)


def order_columns(
    chains: Sequence[Chain], rank: Mapping[Terminal, float], lengths: Sequence[float], sources: frozenset[int],
    hints: Sequence[str] = (),
) -> tuple[tuple[int, ...], ...]:
    """The columns from left to right, each as the numbers of its chains; ``sources`` (batteries) stand at the left."""
    if not chains:
        return ()
    problem = _problem(chains, rank, sources, hints)
    units = _units(chains, rank, _tracks(chains, rank, lengths, sources))
    units.sort(key=lambda unit: _first(unit, problem))
    units = _by_median(units, problem)
    units = _insert(units, problem)
    units = _merge(units, problem)
    units = _insert(units, problem)
    units = _turn_boxes(units, chains, rank, problem)
    return tuple(tuple(sorted(column, key=lambda chain: problem.spans[chain])) for unit in units for column in unit)


def _first(unit: Unit, problem: Problem) -> tuple:
    """Batteries first, then from the top."""
    mine = [chain for column in unit for chain in column]
    return not set(mine) & set(problem.sources), min(problem.spans[chain] for chain in mine), min(mine)


def _problem(
    chains: Sequence[Chain], rank: Mapping[Terminal, float], sources: frozenset[int], hints: Sequence[str]
) -> Problem:
    spans = tuple((rank[chain.top], rank[chain.bottom]) for chain in chains)
    attached: dict[Terminal, list[int]] = {}
    pieces: dict[str, list[int]] = {}
    of: dict[str, int] = {}
    for number, chain in enumerate(chains):
        for end in (chain.top, chain.bottom):
            attached.setdefault(end, []).append(number)
        for element in chain.elements:
            of.setdefault(element.id, number)
            of.setdefault(element.part, number)
            if element.piece and (element.piece in CHANGE_OVER or not boxes_in(chain)):
                pieces.setdefault(element.part, []).append(number)
    nets = tuple(
        (tuple(here), tuple(n for n, (top, bottom) in enumerate(spans) if top < rank[net] < bottom))
        for net, here in sorted(attached.items(), key=lambda item: rank[item[0]])
    )
    ties = tuple((one, other) for tied in pieces.values() for one, other in pairwise(tied) if one != other)
    named = [of[hint] for hint in hints if hint in of]
    wanted = tuple((one, other) for one, other in pairwise(named) if one != other)
    return Problem(spans, nets, ties, wanted, tuple(sorted(sources)))


def _tracks(
    chains: Sequence[Chain], rank: Mapping[Terminal, float], lengths: Sequence[float], sources: frozenset[int]
) -> list[Column]:
    """Chains joined end to end, so that the longest way through a net goes straight on."""
    above: dict[Terminal, list[int]] = {}
    below: dict[Terminal, list[int]] = {}
    for number, chain in enumerate(chains):
        above.setdefault(chain.bottom, []).append(number)
        below.setdefault(chain.top, []).append(number)
    nets = sorted({*above, *below}, key=rank.__getitem__)
    down, up = dict.fromkeys(nets, 0.0), dict.fromkeys(nets, 0.0)
    for net in nets:
        for number in below.get(net, ()):
            bottom = chains[number].bottom
            down[bottom] = max(down[bottom], down[net] + lengths[number])
    for net in reversed(nets):
        for number in above.get(net, ()):
            top = chains[number].top
            up[top] = max(up[top], up[net] + lengths[number])
    boxes = [set(boxes_in(chain)) for chain in chains]
    follows: dict[int, int] = {}
    home = list(range(len(chains)))

    def track(number: int) -> int:
        while home[number] != number:
            number = home[number]
        return number

    for net in nets:
        if not net.name:
            continue
        coming = sorted(above.get(net, ()), key=lambda n: (n in sources, -(down[chains[n].top] + lengths[n]), n))
        going = sorted(below.get(net, ()), key=lambda n: (n in sources, -(up[chains[n].bottom] + lengths[n]), n))
        for one, other in zip(coming, going, strict=False):
            a, b = track(one), track(other)
            if (one in sources) != (other in sources) or (boxes[a] and boxes[b]):
                continue
            follows[one] = other
            home[b] = a
            boxes[a] |= boxes[b]
    tracks: dict[int, Column] = {}
    for number in range(len(chains)):
        tracks.setdefault(track(number), []).append(number)
    return list(tracks.values())


def _units(chains: Sequence[Chain], rank: Mapping[Terminal, float], tracks: list[Column]) -> list[Unit]:
    """Tracks as units: those that end on one box stand side by side, what comes from above over what goes down."""
    units: list[Unit] = []
    sides: dict[Terminal, tuple[list[Column], list[Column]]] = {}
    for track in tracks:
        box = next((box for number in track for box in boxes_in(chains[number])), None)
        if box is None:
            units.append([track])
            continue
        comes = any(chains[number].bottom == box for number in track)
        sides.setdefault(box, ([], []))[0 if comes else 1].append(track)
    for tops, bottoms in sides.values():
        wide = max(len(tops), len(bottoms))
        tops, bottoms = tops + [[]] * (wide - len(tops)), bottoms + [[]] * (wide - len(bottoms))
        units.append([[*top, *bottom] for top, bottom in zip(tops, bottoms, strict=True)])
    return units


def _by_median(units: list[Unit], problem: Problem) -> list[Unit]:
    """A few rounds of putting each unit at the median of what its nets join it to; the best order seen."""
    best, best_cost = units, problem.cost(units)
    for _ in range(ROUNDS):
        place = {chain: at for at, unit in enumerate(units) for column in unit for chain in column}
        near: dict[int, list[int]] = {at: [] for at in range(len(units))}
        for attached, _passing in problem.nets:
            spots = {place[chain] for chain in attached}
            for at in spots:
                near[at] += sorted(spots - {at})
        medians = [sorted(near[at])[len(near[at]) // 2] if near[at] else at for at in range(len(units))]
        units = [units[at] for at in sorted(range(len(units)), key=lambda at: (medians[at], at))]
        cost = problem.cost(units)
        if cost < best_cost:
            best, best_cost = units, cost
    return best


def _insert(units: list[Unit], problem: Problem) -> list[Unit]:
    """Each unit moved to where it costs least, as long as that helps."""
    cost = problem.cost(units)
    for _ in range(ROUNDS):
        before = cost
        for unit in list(units):
            at = next(n for n, known in enumerate(units) if known is unit)
            rest = units[:at] + units[at + 1:]
            for to in range(len(units)):
                if to == at:
                    continue
                tried = [*rest[:to], unit, *rest[to:]]
                tried_cost = problem.cost(tried)
                if tried_cost < cost - 1e-9:
                    units, cost = tried, tried_cost
        if cost >= before - 1e-9:
            break
    return units


def _merge(units: list[Unit], problem: Problem) -> list[Unit]:
    """Columns whose chains lie one under another become one, where that costs no more."""
    cost = problem.cost(units)
    while True:
        best = None
        for one, first in enumerate(units):
            if len(first) > 1:
                continue
            for other, second in enumerate(units):
                if one == other:
                    continue
                for at, column in enumerate(second):
                    if not problem.share(first[0], column):
                        continue
                    wider = [*second[:at], [*column, *first[0]], *second[at + 1:]]
                    tried = [wider if n == other else unit for n, unit in enumerate(units) if n != one]
                    tried_cost = problem.cost(tried)
                    if tried_cost < cost - 1e-9:
                        best, cost = tried, tried_cost
        if best is None:
            return units
        units = best


def _turn_boxes(
    units: list[Unit], chains: Sequence[Chain], rank: Mapping[Terminal, float], problem: Problem
) -> list[Unit]:
    """Pins of a box change places along its side, as long as that helps."""
    cost = problem.cost(units)
    for at, unit in enumerate(units):
        if len(unit) < 2:
            continue
        box = next(box for column in unit for number in column for box in boxes_in(chains[number]))
        above = frozenset(n for n, (top, _bottom) in enumerate(problem.spans) if top < rank[box])
        below = frozenset(range(len(chains))) - above
        swaps = [(side, *pair) for side in (above, below) for pair in combinations(range(len(unit)), 2)]
        for side, one, other in swaps * ROUNDS:
            turned = _swapped(units[at], one, other, side)
            if not _apart(turned, problem):
                continue
            tried = [*units[:at], turned, *units[at + 1:]]
            tried_cost = problem.cost(tried)
            if tried_cost < cost - 1e-9:
                units, cost = tried, tried_cost
    return units


def _swapped(unit: Unit, one: int, other: int, side: frozenset[int]) -> Unit:
    """A unit with what two columns hold on one side of the box changed over."""
    a, b = unit[one], unit[other]
    changed = list(unit)
    changed[one] = [n for n in b if n in side] + [n for n in a if n not in side]
    changed[other] = [n for n in a if n in side] + [n for n in b if n not in side]
    return changed


def _apart(unit: Unit, problem: Problem) -> bool:
    return all(
        problem.share([one], [other]) for column in unit for n, one in enumerate(column) for other in column[:n]
    )
