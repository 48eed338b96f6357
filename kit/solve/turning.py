"""A circuit with something turning in it, solved at each angle of a turn: means, and what alternates about them.

Relays, contacts and fuses answer to a whole turn: magnets to the mean of their amps, fuses to the effective amps. A
filament is taken to follow within the turn, and shows its effective volts; that bends its law a little. A battery's
overvoltage does not follow within the turn: its plates hold it like a big capacitor, so it is that of the mean charging
current, and what alternates across a battery is what its inner ohms make of the current (common practice).
"""

import math
from collections.abc import Collection, Iterable
from typing import TYPE_CHECKING

from kit.errors import SolveError
from kit.solve import kernel
from kit.solve.branches import Network

if TYPE_CHECKING:
    from kit.solve.steady import Case

OVER_DONE, OVER_LIMIT = 5e-4, 60  # volts of overvoltage that are near enough; turns at most
Beating = tuple[tuple[int, tuple[float, ...]], ...]


def beating(net: Network, closed_switches: Collection[str]) -> Beating:
    """The branches that beat with these switches closed, by number, with ``p1`` at each angle."""
    return tuple(
        (i, values) for i, branch in enumerate(net.branches) if branch.beats and not branch.broken
        for values in [next((values for switch, values in branch.beats if switch in closed_switches), None)] if values
    )


def refuse(nets: Iterable[Network], switch_sets: Iterable[Collection[str]]) -> None:
    """Raise SolveError where something turns: probes by the thousand and courses in time know one angle only."""
    nets = tuple(nets)
    for closed in switch_sets:
        if any(beating(net, closed) for net in nets):
            raise SolveError("a turning stator, or an alternator with a bad diode, is solved one operation at a time.")


def run(case: "Case", *, melts: bool, moves: bool) -> int:
    """Settle a case that beats; leaves the means in ``amps`` and ``x``, and ``alternates`` (effective volts) in it."""
    seen: list[tuple[int, int]] = []
    while True:
        pattern = kernel._pattern(case.shut, case.contact)
        came = next((k for k, (before, _) in enumerate(seen) if before == pattern), -1)
        if came >= 0:
            case.flips[:] = [0] * len(case.flips)
            for _, worst in seen[came:]:
                case.flips[worst] += 1
            return kernel.CHATTERS
        heat = _charged_turn(case)
        if heat is None:
            return kernel.NO_END
        worst = -1
        if moves:
            worst = kernel._pushed(case.shut, case.amps, case.coil, case.second, case.contact, case.pull, case.drop)
        if worst >= 0:
            seen.append((pattern, worst))
            kernel.throw(case.shut, case.contact[worst], case.rest[worst], 1 - case.shut[case.contact[worst]])
            continue
        shares = [(heat[i] / limit, i) for i, limit in zip(case.fuse, case.melt, strict=True) if case.shut[i]]
        if not melts or not shares or max(shares)[0] < 1.0:
            return kernel.SETTLED
        case.shut[max(shares)[1]] = 0
        seen = []


def _charged_turn(case: "Case") -> list[float] | None:
    """A turn whose batteries' overvoltage fits the mean of what is charged into them; returns as ``_turn``."""
    slow = [i for i, kind in enumerate(case.kind) if kind == kernel.CHARGED and case.shut[i] and case.p0[i] > 0.0]
    heat = _turn(case)
    if heat is None or not slow:
        return heat
    # First as if the overvoltage followed at once; that is near where the ripple is small.
    sources = [_Source(case, i) for i in slow]
    try:
        for number in range(OVER_LIMIT):
            for source in sources:
                case.kind[source.branch], case.p1[source.branch] = kernel.LINEAR, source.p1 + source.p0 * source.over
            heat = _turn(case)
            if heat is None:
                return None
            # All of them, or the others would not be told.
            moved = max([source.move(case.amps[source.branch], number) for source in sources])
            if moved < OVER_DONE:
                return heat
        return None
    finally:
        for source in sources:
            case.kind[source.branch], case.p1[source.branch] = kernel.CHARGED, source.p1


class _Source:
    """A battery on its way to the overvoltage that asks for no more and no less: the more of it, the less goes in."""

    def __init__(self, case: "Case", branch: int) -> None:
        self.branch, self.p0, self.p1 = branch, case.p0[branch], case.p1[branch]
        self.ohms = 1 / case.p2[branch] - 1 / self.p0
        self.over = max(0.0, -case.amps[branch]) * self.ohms
        self.low, self.high = 0.0, math.inf
        self.last: tuple[float, float] | None = None

    def move(self, amps: float, number: int) -> float:
        """One secant step inside what is known; returns the volts it moved."""
        over, lacks = self.over, max(0.0, -amps) * self.ohms - self.over
        if lacks == 0.0:
            return 0.0
        if lacks > 0.0:
            self.low = max(self.low, over)
        else:
            self.high = min(self.high, over)
        steepest = -1.0 - self.ohms * self.p0
        slope = steepest
        if self.last is not None and over != self.last[0]:
            slope = min(-1.0, max(steepest, (lacks - self.last[1]) / (over - self.last[0])))
        self.last = over, lacks
        new = over - lacks / slope
        if not self.low <= new <= self.high or (number > OVER_LIMIT // 2 and self.high < math.inf):
            if self.high <= self.low:  # another battery has moved the answer out of it: look afresh
                self.low, self.high = 0.0, math.inf
                new = max(0.0, new)
            else:
                new = (self.low + self.high) / 2 if self.high < math.inf else max(self.low, new)
        self.over = new
        return abs(new - over)


def _turn(case: "Case") -> list[float] | None:
    """One turn with everything held: means into the case; the effective amps of each branch, None without an end."""
    number, branches, nodes = len(case.beating[0][1]), range(len(case.a)), range(case.plan.n)
    before = [(i, case.p1[i]) for i, _ in case.beating]
    amps, square, volts, swing = ([0.0] * len(case.a) for _ in range(4))
    x = [0.0] * case.plan.n
    code = kernel.SETTLED
    for angle in range(number):
        for i, values in case.beating:
            case.p1[i] = values[angle]
        code = case.run_once()
        if code != kernel.SETTLED:
            break
        for k in nodes:
            x[k] += case.x[k] / number
        for i in branches:
            across = case.x[case.a[i]] - case.x[case.b[i]]
            amps[i] += case.amps[i] / number
            square[i] += case.amps[i] ** 2 / number
            volts[i] += across / number
            swing[i] += across * across / number
    for i, p1 in before:
        case.p1[i] = p1
    if code != kernel.SETTLED:
        return None
    case.amps[:], case.x[:] = amps, x
    case.alternates = [math.sqrt(max(0.0, swing[i] - volts[i] ** 2)) for i in branches]
    return [math.sqrt(amps) for amps in square]
