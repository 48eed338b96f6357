"""Where the boxes of a block view stand when a machine file does not say: in order, what feeds what at their right."""

from collections.abc import Mapping
from dataclasses import dataclass

from kit.circuit import Battery
from kit.draw.arrange import arrange
from kit.machines.machine import Machine

LANE = 16.0


@dataclass(frozen=True, slots=True)
class Trunk:
    """Everything one stage feeds: a line out of its box, down a lane, and into each of the others."""

    stage: str
    fed: tuple[str, ...]
    lane: int


def feeds(machine: Machine) -> tuple[tuple[str, str], ...]:
    """Which stage leads on to which, as current runs; the way back into a battery is left out."""
    found: dict[tuple[str, str], None] = {}
    for stage in machine.stages:
        for arrow in arrange(machine, stage).arrows.values():
            part = machine.circuit[arrow.terminal.part]
            if isinstance(part, Battery) and arrow.terminal == part.terminals[1]:
                continue
            for other in arrow.stages:
                found[(other, stage) if arrow.inward else (stage, other)] = None
    order = {stage: number for number, stage in enumerate(machine.stages)}
    return tuple(sorted(found, key=lambda pair: (order[pair[0]], order[pair[1]])))


def trunks(machine: Machine) -> tuple[Trunk, ...]:
    """A trunk for each stage that feeds others; short ones next to the boxes, none upon another."""
    order = {stage: number for number, stage in enumerate(machine.stages)}
    fed: dict[str, list[str]] = {}
    for start, end in feeds(machine):
        fed.setdefault(start, []).append(end)
    spans = {stage: _span(stage, others, order) for stage, others in fed.items()}
    taken: list[list[tuple[int, int]]] = []
    found = []
    for stage in sorted(fed, key=lambda stage: (spans[stage][1] - spans[stage][0], order[stage])):
        low, high = spans[stage]
        lane = next(
            (number for number, here in enumerate(taken) if all(high <= a or b <= low for a, b in here)), len(taken)
        )
        if lane == len(taken):
            taken.append([])
        taken[lane].append((low, high))
        found.append(Trunk(stage, tuple(fed[stage]), lane))
    return tuple(sorted(found, key=lambda trunk: order[trunk.stage]))


def _span(stage: str, others: list[str], order: Mapping[str, int]) -> tuple[int, int]:
    ends = [order[stage], *(order[other] for other in others)]
    return min(ends), max(ends)
