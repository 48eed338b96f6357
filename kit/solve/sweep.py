"""Many cases at once: every circuit (one a fault, say) with every set of closed switches, compiled.

The kernel's own functions are compiled here, not copies of them, and every circuit keeps the elimination plan it has in
``kit.solve.settle``. The first circuit is solved from nothing, as ``settle`` does it and to the same last bit; every
other one starts from its volts, which halves the work and leaves the same answer within ``kernel.STILL``. Compiling
takes a few seconds, once a process.
"""

from collections.abc import Callable, Collection, Iterable, Sequence
from dataclasses import dataclass, replace

import numpy as np

from kit.circuit import Circuit
from kit.errors import SolveError
from kit.solve import kernel, turning
from kit.solve.branches import Network, network
from kit.solve.case import Case, conducting, pace, path_room
from kit.solve.compiling import compiled
from kit.solve.kernel import CHATTERS, LATCHED, SETTLED, islands, rests_elsewhere, solve
from kit.solve.movers import _swing
from kit.solve.solution import AT_REST, Outcome, State
from kit.solve.turn_sweep import _keep, _space, _turned_case

OUTCOMES = {SETTLED: Outcome.SETTLED, LATCHED: Outcome.LATCHED, CHATTERS: Outcome.CHATTERS}

# Called with circuits done, circuits in all, and the faults of the one at hand.
Progress = Callable[[int, int, str], None]


def unwatched(done: int, total: int, name: str) -> None:
    """The progress of work nobody watches."""


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Sweep:
    """Every circuit × every switch set; the first index is the circuit, the second the switch set.

    ``volts[c, s, t]`` of terminal ``terminals[t]`` against the reference, nan where it floats; ``amps[c, s, p]`` and
    ``across[c, s, p]`` of path ``paths[p]``, nan where circuit c has no such path (another circuit's short);
    ``closed[c, s, r]`` and ``chattering[c, s, r]`` of ``relays[r]``; ``melted[c, s, f]`` of ``fuses[f]``;
    ``codes[c, s]``, read by ``outcome``. Signs and meanings are those of ``Solution``; where a relay chatters, these
    are the half of the swing with it closed, and ``other_volts``, nan everywhere else, the half with it open.
    """

    terminals: tuple[str, ...]
    paths: tuple[str, ...]
    relays: tuple[str, ...]
    fuses: tuple[str, ...]
    volts: np.ndarray
    other_volts: np.ndarray
    amps: np.ndarray
    across: np.ndarray
    closed: np.ndarray
    chattering: np.ndarray
    melted: np.ndarray
    codes: np.ndarray

    def outcome(self, circuit: int, switch_set: int) -> Outcome:
        """How one case ended."""
        return OUTCOMES[int(self.codes[circuit, switch_set])]


def sweep(
    circuits: Sequence[Circuit], switch_sets: Sequence[Collection[str]], before: State = AT_REST,
    progress: Progress = unwatched,
) -> Sweep:
    """Settle every circuit with every set of closed switches, each going on from ``before``.

    The circuits are one machine with different faults, so with the same terminals; fastest with the sound one first.
    A relay or fuse a circuit lacks is False there. ``progress`` is called after each circuit. Raises SolveError where
    terminals differ, or where a case finds no end (as ``settle`` does).
    """
    cases = Cases(circuits, switch_sets, before)
    shape = (len(cases.nets), len(switch_sets))
    volts, other = np.full((*shape, len(cases.terminals)), np.nan), np.full((*shape, len(cases.terminals)), np.nan)
    amps, across = np.full((*shape, len(cases.paths)), np.nan), np.full((*shape, len(cases.paths)), np.nan)
    closed, chattering = (np.zeros((*shape, len(cases.relays)), np.bool_) for _ in range(2))
    melted, codes = np.zeros((*shape, len(cases.fuses)), np.bool_), np.zeros(shape, np.uint8)
    run = compiled(_keep, _cases)
    for c in range(len(cases.nets)):
        laid, turns = cases.laid_out(c), cases.turns(c)
        where = laid.whole, laid.place, laid.path, laid.relay, laid.fuse
        run(*laid.arrays, laid.starts, *where, _still(turns, shape[1]), volts[c], other[c], amps[c], across[c],
            closed[c], chattering[c], melted[c], codes[c])
        for s, turn in turns.items():
            codes[c, s] = compiled(_keep, _space, _turned_case)(
                *laid.of_set(s), *turn, *where, volts[c, s], other[c, s], amps[c, s], across[c, s], closed[c, s],
                chattering[c, s], melted[c, s],
            )
        if (codes[c] == kernel.NO_END).any():
            raise cases.without_end(c, int(np.argmax(codes[c] == kernel.NO_END)))
        cases.remember(c, laid.starts)
        progress(c + 1, len(cases.nets), cases.name(c))
    return Sweep(
        terminals=tuple(map(str, cases.terminals)), paths=cases.paths, relays=cases.relays, fuses=cases.fuses,
        volts=volts, other_volts=other, amps=amps, across=across, closed=closed, chattering=chattering, melted=melted,
        codes=codes,
    )


@dataclass(frozen=True, slots=True, eq=False)
class Laid:
    """One circuit as compiled code takes it.

    ``arrays``: the kernel's, in the order of ``_cases``; ``starts``: volts the branches start from. ``whole``: 1 for a
    branch that is not broken; the rest are columns: of each terminal, and where in the sweep's arrays each branch,
    relay and fuse goes.
    """

    arrays: tuple
    starts: np.ndarray
    whole: np.ndarray
    place: np.ndarray
    path: np.ndarray
    relay: np.ndarray
    fuse: np.ndarray

    def of_set(self, s: int) -> tuple:
        """The arrays for one switch set alone, and the volts it starts from (they are left as those it ended with)."""
        return (*self.arrays[:SHUTS], self.arrays[SHUTS][s].copy(), *self.arrays[SHUTS + 1:], self.starts[0, s])


class Cases:
    """Circuits of one machine laid out as the compiled kernel takes them, each started from the first one's volts."""

    def __init__(
        self, circuits: Sequence[Circuit], switch_sets: Sequence[Collection[str]], before: State
    ) -> None:
        if not circuits or not switch_sets:
            raise SolveError("a sweep needs at least one circuit and one set of switches.")
        self.circuits, self.switch_sets, self.before = circuits, switch_sets, before
        self.terminals = circuits[0].terminals
        for circuit in circuits:
            if circuit.terminals != self.terminals or circuit.reference != circuits[0].reference:
                raise SolveError(
                    f"the circuit with faults {[fault.id for fault in circuit.faults]} has other terminals than the "
                    "first; a sweep takes one machine."
                )
        self.nets = [network(circuit) for circuit in circuits]
        self.paths = _names(branch.name for net in self.nets for branch in net.branches)
        self.relays = _names(relay.id for net in self.nets for relay in net.relays)
        self.fuses = _names(fuse for net in self.nets for fuse, _ in net.fuses)
        self._columns = [{name: k for k, name in enumerate(names)} for names in (self.paths, self.relays, self.fuses)]
        self._first: Laid | None = None
        # Where the first circuit's branches ended, and which of them is which.
        self._ends = np.zeros((3, len(switch_sets), 0))
        self._column: dict[str, int] = {}

    def laid_out(self, c: int) -> Laid:
        """A circuit as compiled code takes it; one that differs from the first in its figures only shares the rest."""
        net = self.nets[c]
        changed = None if self._first is None else _changed(self.nets[0], net)
        if changed is None:
            laid = self._from_nothing(net)
            self._first = self._first or laid
            return laid
        arrays, whole = list(self._first.arrays), self._first.whole.copy()
        for number in (KIND, P0, P0 + 1, P0 + 2):
            arrays[number] = arrays[number].copy()
        for i in changed:
            branch = net.branches[i]
            whole[i] = not branch.broken
            # As ``Case`` has it: a broken path is one of no conductance.
            figures = (kernel.LINEAR, 0.0, 0.0) if branch.broken else (branch.kind, branch.p0, branch.p1)
            arrays[KIND][i], arrays[P0][i], arrays[P0 + 1][i] = figures
            arrays[P0 + 2][i] = branch.p2
        arrays[PULL] = _floats([relay.pull for relay in net.relays])
        arrays[PULL + 1] = _floats([relay.drop for relay in net.relays])
        arrays[PULL + 2] = _floats(pace(net))
        arrays[MELT] = _floats([amps for _, amps in net.fuses])
        return replace(self._first, arrays=tuple(arrays), whole=whole, starts=self._ends.copy())

    def turns(self, c: int) -> dict[int, tuple]:
        """The switch sets something turns with, and what ``kit.solve.turn_sweep`` takes from ``beat`` to ``slow``."""
        net, found = self.nets[c], {}
        for s, switches in enumerate(self.switch_sets if any(branch.beats for branch in net.branches) else ()):
            if beating := turning.beating(net, switches):
                charged = (branch.kind == kernel.CHARGED and not branch.broken for branch in net.branches)
                slow = [i for i, charges in enumerate(charged) if charges]
                beat, values = [i for i, _ in beating], [value for _, values in beating for value in values]
                found[s] = _integers(beat), _floats(values), len(turning.ANGLES), _integers(slow)
        return found

    def remember(self, c: int, ends: np.ndarray) -> None:
        """Take the volts the first circuit's branches ended with as the start of all others."""
        if c == 0:
            self._ends = ends.copy()
            self._column = {branch.name: i for i, branch in enumerate(self.nets[0].branches)}

    def name(self, c: int) -> str:
        """The faults of a circuit, for a person to read."""
        return " + ".join(fault.id for fault in self.circuits[c].faults) or "no fault"

    def without_end(self, c: int, s: int) -> SolveError:
        """The error for a case that found no rest."""
        return SolveError(
            f"the circuit of {len(self.nets[c].terminals)} terminals found no rest with "
            f"{sorted(self.switch_sets[s])} closed and faults {[fault.id for fault in self.circuits[c].faults]}; "
            "please report this."
        )

    def _from_nothing(self, net: Network) -> Laid:
        case = Case(net, (), self.before)
        plan = case.plan
        shuts = self._conducting(net)
        arrays = (
            plan.n, *map(_integers, (plan.row, plan.col, plan.fill, case.a, case.b, case.slot, case.kind)),
            *map(_floats, (case.p0, case.p1, case.p2)), len(case.w), shuts,
            *map(_integers, (case.coil, case.second, case.contact, case.rest)), *map(_floats, (case.pull, case.drop)),
            _floats(case.pace), _integers(case.fuse), _floats(case.melt), path_room(len(case.coil)),
        )
        path, relay, fuse = self._columns
        return Laid(
            arrays, self._starts(net), _integers([not branch.broken for branch in net.branches]),
            _integers([case.place[terminal] for terminal in self.terminals]),
            _integers([path[branch.name] for branch in net.branches]),
            _integers([relay[magnet.id] for magnet in net.relays]), _integers([fuse[name] for name, _ in net.fuses]),
        )

    def _conducting(self, net: Network) -> np.ndarray:
        """``steady.conducting`` with each switch set: one row, and only what has a switch looked at again."""
        shuts = np.tile(_integers(conducting(net, (), self.before)), (len(self.switch_sets), 1))
        moved = [(i, branch) for i, branch in enumerate(net.branches) if branch.switch]
        for row, switches in zip(shuts, self.switch_sets, strict=True):
            for i, branch in moved:
                if branch.switch in switches and branch.switch not in self.before.closed:
                    row[i] = int(not branch.shut_at_rest and branch.name not in self.before.melted)
        return shuts

    def _starts(self, net: Network) -> np.ndarray:
        starts = np.zeros((3, len(self.switch_sets), len(net.branches)))
        known = [(i, self._column[branch.name]) for i, branch in enumerate(net.branches) if branch.name in self._column]
        if known:
            mine, theirs = zip(*known, strict=True)
            starts[:, :, mine] = self._ends[:, :, theirs]
        return starts


KIND, P0, SHUTS, PULL, MELT = 7, 8, 12, 17, 21  # where these stand among the kernel's arrays


def _changed(first: Network, net: Network) -> list[int] | None:
    """The branches whose figures differ from the first network's; None where more than figures does."""
    if len(net.branches) != len(first.branches) or [relay.id for relay in net.relays] != [
        relay.id for relay in first.relays
    ]:
        return None
    changed = []
    for i, (mine, theirs) in enumerate(zip(net.branches, first.branches, strict=True)):
        if mine is theirs:
            continue
        if (mine.name, mine.a, mine.b, mine.switch, mine.shut_at_rest) != (
            theirs.name, theirs.a, theirs.b, theirs.switch, theirs.shut_at_rest
        ):
            return None
        changed.append(i)
    return changed


def _cases(n, row, col, fill, a, b, slot, kind, p0, p1, p2, edges, shuts, coil, second, contact, rest, pull, drop,
           pace, fuse, melt, room, starts, whole, place, path, relay, blade, still, volts, other, amps_out, across_out,
           closed, chattering, melted, codes):
    """One circuit with every switch set, step by step as ``settle`` does it; plain enough to be compiled.

    ``still`` names the switch sets. ``starts`` holds the volts the branches start from, and in the end those they ended
    with: of the case itself, with its relays let go, and with them pulled in.
    """
    branches, relays, fuses = len(a), len(coil), len(fuse)
    u, amps, g, j = np.zeros(branches), np.zeros(branches), np.zeros(branches), np.zeros(branches)
    w, h, x = np.zeros(edges), np.zeros(edges), np.zeros(n)
    live, base = np.zeros(max(n, branches), np.int64), np.zeros((2, edges))
    isle = np.zeros(n, np.int64)
    flips = np.zeros(2 * relays, np.int64)
    seen = np.zeros(room, np.int64)
    no_relays, no_fuses = coil[:0], fuse[:0]
    for s in still:
        shut = shuts[s].copy()
        idle = True
        for r in range(relays):
            idle = idle and shut[contact[r]] == 0
        u[:] = starts[0, s]
        flips[:] = 0
        code = solve(n, row, col, fill, a, b, slot, kind, p0, p1, p2, shut, u, amps, g, j, w, h, x, live, base,
                     coil, second, contact, rest, pull, drop, pace, flips, seen, fuse, melt)
        starts[0, s] = u
        if code == CHATTERS:
            for swing in range(2):
                for r in range(relays):
                    if flips[r] != 0:
                        chattering[s, relay[r]] = True
                _swing(shut, contact, rest, flips, 1 - swing)
                held = solve(n, row, col, fill, a, b, slot, kind, p0, p1, p2, shut, u, amps, g, j, w, h, x, live, base,
                             no_relays, second, no_relays, rest, pull, drop, pace, flips, seen, no_fuses, melt)
                if held != SETTLED:
                    code = held
                if swing == 0:
                    _keep(n, a, b, kind, shut, g, amps, x, isle, whole, place, path, volts[s], amps_out[s],
                          across_out[s])
                    for r in range(relays):
                        closed[s, relay[r]] = shut[contact[r]] != 0
                else:
                    islands(n, a, b, kind, shut, g, amps, x, isle)
                    for t in range(len(place)):
                        if isle[place[t]] == isle[n - 1]:
                            other[s, t] = x[place[t]]
        elif code == SETTLED:
            _keep(n, a, b, kind, shut, g, amps, x, isle, whole, place, path, volts[s], amps_out[s],
                          across_out[s])
            for r in range(relays):
                closed[s, relay[r]] = shut[contact[r]] != 0
        for f in range(fuses):
            melted[s, blade[f]] = shut[fuse[f]] == 0
            idle = idle and shut[fuse[f]] == shuts[s, fuse[f]]
        if code == SETTLED:
            settled = shut.copy()
            for pulled in range(2):
                same = True
                for r in range(relays):
                    same = same and (settled[contact[r]] != 0) == (pulled == 1)
                if same or (idle and pulled == 0):
                    continue  # from there it has just come
                shut[:] = settled
                u[:] = starts[1 + pulled, s]
                if rests_elsewhere(n, row, col, fill, a, b, slot, kind, p0, p1, p2, shut, u, amps, g, j, w, h,
                                   x, live, base, coil, second, contact, rest, pull, drop, seen, pulled):
                    code = LATCHED
                starts[1 + pulled, s] = u
        codes[s] = code


def _still(turns: Collection[int], sets: int) -> np.ndarray:
    """The switch sets nothing turns with."""
    return _integers([s for s in range(sets) if s not in turns])


def _names(names: Iterable[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(names))


def _integers(values) -> np.ndarray:
    return np.array(values, dtype=np.int64)


def _floats(values) -> np.ndarray:
    return np.array(values, dtype=np.float64)
