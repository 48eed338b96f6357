"""One case: a network laid out for the kernel on plain lists, no numpy, no numba."""

import math
from collections.abc import Collection

from kit.circuit import Terminal
from kit.solve import kernel, turning
from kit.solve.branches import Network
from kit.solve.fuses import melts_at
from kit.solve.ordering import Ordering, order
from kit.solve.solution import State
from kit.solve.turn_kernel import SWING, settle_turning, turning_rests_elsewhere


class Case:
    """A network laid out for the kernel, with its switches set and its work space beside it."""

    def __init__(self, net: Network, closed_switches: Collection[str], state: State) -> None:
        self.net = net
        self.beating = turning.beating(net, closed_switches)
        self.plan, place = plan(net, turning.lively(net))
        self.place = place
        branches = net.branches
        self.a = [place[branch.a] for branch in branches]
        self.b = [place[branch.b] for branch in branches]
        self.slot = [
            -1 if p == q else self.plan.slot[(min(p, q), max(p, q))] for p, q in zip(self.a, self.b, strict=True)
        ]
        # A broken path is one of no conductance: its relay or fuse may move, but closes nothing.
        self.kind = [kernel.LINEAR if branch.broken else branch.kind for branch in branches]
        self.p0 = [0.0 if branch.broken else branch.p0 for branch in branches]
        self.p1 = [0.0 if branch.broken else branch.p1 for branch in branches]
        self.p2 = [branch.p2 for branch in branches]
        index = {branch.name: i for i, branch in enumerate(branches)}
        self.shut = conducting(net, closed_switches, state)
        size, wires = self.plan.n, len(self.plan.col)
        self.u, self.amps, self.g, self.j = ([0.0] * len(branches) for _ in range(4))
        self.w, self.h, self.x = [0.0] * wires, [0.0] * wires, [0.0] * size
        self.live, self.base = [0] * max(len(branches), size), [[0.0] * wires for _ in range(2)]
        self.coil = [index[relay.coil] for relay in net.relays]
        self.second = [index.get(relay.second, -1) for relay in net.relays]
        self.contact = [index[relay.contact] for relay in net.relays]
        self.rest = [index.get(relay.rest, -1) for relay in net.relays]
        self.pull = [relay.pull for relay in net.relays]
        self.drop = [relay.drop for relay in net.relays]
        self.pace = pace(net)
        self.fuse = [index[name] for name, _ in net.fuses]
        self.melt = [amps for _, amps in net.fuses]
        self.flips = [0] * (2 * len(net.relays))
        self.began = [0] * (len(self.contact) + len(self.fuse))
        self.turn = turning.Turn(self.beating, self.kind, self.p0, size)

    def run(self, *, melts: bool = True, moves: bool = True) -> int:
        """Settle; with ``moves`` off the relays stay as they are."""
        relays = len(self.coil) if moves else 0
        self.began = [self.shut[i] for i in (*self.contact, *self.fuse)]
        asked = (
            *self._network(), self.coil[:relays], self.second, self.contact[:relays], self.rest, self.pull, self.drop,
            self.pace, self.flips, [0] * path_room(relays), self.fuse if melts else [], self.melt,
        )
        if self.beating:
            self.turn.afresh()
            return settle_turning(*asked, *self.turn.arguments())
        return kernel.solve(*asked)

    @property
    def alternates(self) -> list[float]:
        """Effective volts of what alternates across each branch."""
        return self.turn.work[SWING] if self.beating else [0.0] * len(self.a)

    def rests_elsewhere(self) -> bool:
        """Whether a settled case would also rest in another state, had its relays all let go, or all pulled in.

        Afterwards the case itself is elsewhere.
        """
        shut, u, room = list(self.shut), list(self.u), path_room(len(self.coil))
        # With every relay let go it began, and came to here; only a fuse that has melted since makes that another way.
        been = self.began == [*([0] * len(self.contact)), *(shut[i] for i in self.fuse)]
        for pulled in (0, 1):
            if all(shut[contact] == pulled for contact in self.contact) or (been and pulled == 0):
                continue
            self.shut[:], self.u[:] = shut, u
            asked = (
                *self._network(), self.coil, self.second, self.contact, self.rest, self.pull, self.drop, [0] * room,
                pulled,
            )
            if self.beating:
                found = turning_rests_elsewhere(*asked, *self.turn.arguments())
            else:
                found = kernel.rests_elsewhere(*asked)
            if found:
                return True
        return False

    def _network(self) -> tuple:
        plan = self.plan
        return (
            plan.n, plan.row, plan.col, plan.fill, self.a, self.b, self.slot, self.kind, self.p0, self.p1, self.p2,
            self.shut, self.u, self.amps, self.g, self.j, self.w, self.h, self.x, self.live,
            self.base,
        )

    def state(self) -> State:
        """Which relays are pulled in and which fuses have melted."""
        return State(
            closed=frozenset(relay.id for relay, i in zip(self.net.relays, self.contact, strict=True) if self.shut[i]),
            melted=frozenset(name for (name, _), i in zip(self.net.fuses, self.fuse, strict=True) if not self.shut[i]),
        )


def pace(net: Network) -> list[float]:
    """Three numbers a relay for ``kit.solve.movers``, and room for a number a fuse."""
    found: list[float] = []
    for relay in net.relays:
        takes = relay.pulls_in_after
        found += [*relay.rattles, melts_at(takes) / melts_at() if takes > 0.0 else math.inf]
    return found + [0.0] * len(net.fuses)


def path_room(relays: int) -> int:
    """Numbers needed to note the states relays go through: two a state, and no case goes through a thousand."""
    return 2 * min(2 << relays, 1000)


def plan(net: Network, late: Collection[Terminal] = ()) -> tuple[Ordering, dict]:
    """The elimination plan of a network, some of its terminals late, and each terminal's position in it."""
    number = {terminal: i for i, terminal in enumerate(net.terminals)}
    pairs = ((number[branch.a], number[branch.b]) for branch in net.branches)
    edges = frozenset((min(p, q), max(p, q)) for p, q in pairs if p != q)
    ordering = order(len(net.terminals), number[net.reference], edges, frozenset(number[terminal] for terminal in late))
    return ordering, {terminal: ordering.place[i] for terminal, i in number.items()}


def conducting(net: Network, closed_switches: Collection[str], state: State) -> list[int]:
    """1 for each branch that conducts to begin with: shut switches, pulled-in relays' contacts, fuses not melted."""
    shut = set(closed_switches) | set(state.closed)
    return [
        0 if branch.name in state.melted or (branch.switch and (branch.switch in shut) == branch.shut_at_rest) else 1
        for branch in net.branches
    ]
