"""Many cases at once: every circuit (one a fault, say) with every set of closed switches, compiled.

The kernel's own functions are compiled here, not copies of them, and every circuit keeps the elimination plan it has in
``kit.solve.settle``; so both give the same volts to the last bit. Compiling takes a few seconds, once a process.
"""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from functools import cache
from types import FunctionType

import numba
import numpy as np

from kit.circuit import Circuit
from kit.errors import SolveError
from kit.solve import kernel
from kit.solve.branches import Network, network
from kit.solve.kernel import CHATTERS, SETTLED, islands, solve, throw
from kit.solve.solution import AT_REST, Outcome, State
from kit.solve.steady import Case, conducting

LATCHED = kernel.NO_END + 1
OUTCOMES = {SETTLED: Outcome.SETTLED, LATCHED: Outcome.LATCHED, CHATTERS: Outcome.CHATTERS}


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


def sweep(circuits: Sequence[Circuit], switch_sets: Sequence[Collection[str]], before: State = AT_REST) -> Sweep:
    """Settle every circuit with every set of closed switches, each going on from ``before``.

    The circuits are one machine with different faults: same terminals, relays and fuses. Raises SolveError where they
    are not, or where a case finds no end (as ``settle`` does).
    """
    nets = [network(circuit) for circuit in circuits]
    if not nets or not switch_sets:
        raise SolveError("a sweep needs at least one circuit and one set of switches.")
    terminals, relays, fuses = nets[0].terminals, _relays(nets[0]), _fuses(nets[0])
    for circuit, net in zip(circuits, nets, strict=True):
        if (net.terminals, _relays(net), _fuses(net)) != (terminals, relays, fuses):
            raise SolveError(
                f"the circuit with faults {[fault.id for fault in circuit.faults]} has other terminals, relays or "
                "fuses than the first; a sweep takes one machine."
            )
    paths = tuple(dict.fromkeys(branch.name for net in nets for branch in net.branches))
    shape = (len(nets), len(switch_sets))
    volts, other = np.full((*shape, len(terminals)), np.nan), np.full((*shape, len(terminals)), np.nan)
    amps, across = np.full((*shape, len(paths)), np.nan), np.full((*shape, len(paths)), np.nan)
    closed, chattering = np.zeros((*shape, len(relays)), np.bool_), np.zeros((*shape, len(relays)), np.bool_)
    melted, codes = np.zeros((*shape, len(fuses)), np.bool_), np.zeros(shape, np.uint8)
    column = {path: number for number, path in enumerate(paths)}
    run = compiled()
    for c, net in enumerate(nets):
        case = Case(net, (), before)
        here = np.array([column[branch.name] for branch in net.branches])
        shuts = np.array([conducting(net, switches, before) for switches in switch_sets])
        whole = np.array([not branch.broken for branch in net.branches])
        found = [np.full((len(switch_sets), len(net.branches)), np.nan) for _ in range(2)]
        run(
            case.plan.n, *map(_integers, (case.plan.row, case.plan.col, case.plan.fill, case.a, case.b, case.slot)),
            _integers(case.kind), *map(_floats, (case.p0, case.p1, case.p2)), shuts, whole,
            *map(_integers, (case.coil, case.second, case.contact, case.rest)), *map(_floats, (case.pull, case.drop)),
            _integers(case.fuse), _floats(case.melt), _integers([case.place[terminal] for terminal in terminals]),
            len(case.w), volts[c], other[c], *found, closed[c], chattering[c], melted[c], codes[c],
        )
        amps[c][:, here], across[c][:, here] = found
    if (codes == kernel.NO_END).any():
        c, s = np.argwhere(codes == kernel.NO_END)[0]
        raise SolveError(
            f"the circuit of {len(terminals)} terminals found no rest with {sorted(switch_sets[s])} closed "
            f"and faults {[fault.id for fault in circuits[c].faults]}; please report this."
        )
    return Sweep(
        terminals=tuple(map(str, terminals)), paths=paths, relays=relays, fuses=fuses, volts=volts, other_volts=other,
        amps=amps, across=across, closed=closed, chattering=chattering, melted=melted, codes=codes,
    )


@cache
def compiled():
    """``_cases`` over the kernel's functions, all compiled.

    Compiled code cannot call plain functions, and the kernel stays plain for browsers without numba; so each function
    is made anew from its own code over a namespace where the names it calls are the compiled ones.
    """
    namespace = {**vars(kernel), "np": np, "LATCHED": LATCHED}
    functions = [function for function in vars(kernel).values() if isinstance(function, FunctionType)]
    for function in (*functions, _keep, _cases):
        twin = FunctionType(function.__code__, namespace, function.__name__)
        namespace[function.__name__] = numba.njit(twin)
    return namespace["_cases"]


def _cases(n, row, col, fill, a, b, slot, kind, p0, p1, p2, shuts, whole, coil, second, contact, rest, pull, drop,
           fuse, melt, place, edges, volts, other, amps_out, across_out, closed, chattering, melted, codes):
    """One circuit with every switch set, step by step as ``settle`` does it; plain enough to be compiled."""
    branches, relays, fuses = len(a), len(coil), len(fuse)
    u, amps, g, j = np.zeros(branches), np.zeros(branches), np.zeros(branches), np.zeros(branches)
    w, h, x = np.zeros(edges), np.zeros(edges), np.zeros(n)
    isle = np.zeros(n, np.int64)
    flips = np.zeros(relays, np.int64)
    seen = np.zeros(4 << max(relays, 1), np.int64)
    no_relays, no_fuses = coil[:0], fuse[:0]
    for s in range(len(shuts)):
        shut = shuts[s].copy()
        u[:] = 0.0
        flips[:] = 0
        code = solve(n, row, col, fill, a, b, slot, kind, p0, p1, p2, shut, u, amps, g, j, w, h, x,
                     coil, second, contact, rest, pull, drop, flips, seen, fuse, melt)
        if code == CHATTERS:
            for swing in range(2):
                for r in range(relays):
                    if flips[r] != 0:
                        chattering[s, r] = True
                        throw(shut, contact[r], rest[r], 1 - swing)
                held = solve(n, row, col, fill, a, b, slot, kind, p0, p1, p2, shut, u, amps, g, j, w, h, x,
                             no_relays, second, no_relays, rest, pull, drop, flips, seen, no_fuses, melt)
                if held != SETTLED:
                    code = held
                if swing == 0:
                    _keep(n, a, b, kind, shut, g, amps, x, isle, whole, place, volts[s], amps_out[s], across_out[s])
                    for r in range(relays):
                        closed[s, r] = shut[contact[r]] != 0
                else:
                    islands(n, a, b, kind, shut, g, amps, x, isle)
                    for t in range(len(place)):
                        if isle[place[t]] == isle[n - 1]:
                            other[s, t] = x[place[t]]
        elif code == SETTLED:
            _keep(n, a, b, kind, shut, g, amps, x, isle, whole, place, volts[s], amps_out[s], across_out[s])
            for r in range(relays):
                closed[s, r] = shut[contact[r]] != 0
        for f in range(fuses):
            melted[s, f] = shut[fuse[f]] == 0
        if code == SETTLED:
            # Would the relays also rest elsewhere, had they all let go, or all been pulled in, before?
            settled = shut.copy()
            for start in range(2):
                same = True
                for r in range(relays):
                    same = same and closed[s, r] == (start == 1)
                if same:
                    continue
                for i in range(branches):
                    shut[i] = settled[i]
                for r in range(relays):
                    throw(shut, contact[r], rest[r], start)
                u[:] = 0.0
                again = solve(n, row, col, fill, a, b, slot, kind, p0, p1, p2, shut, u, amps, g, j, w, h, x,
                              coil, second, contact, rest, pull, drop, flips, seen, no_fuses, melt)
                for r in range(relays):
                    if again == SETTLED and (shut[contact[r]] != 0) != closed[s, r]:
                        code = LATCHED
        codes[s] = code


def _keep(n, a, b, kind, shut, g, amps, x, isle, whole, place, volts, amps_out, across_out):
    islands(n, a, b, kind, shut, g, amps, x, isle)
    for t in range(len(place)):
        if isle[place[t]] == isle[n - 1]:
            volts[t] = x[place[t]]
    for i in range(len(a)):
        amps_out[i] = amps[i]
        across_out[i] = x[a[i]] - x[b[i]] if whole[i] else 0.0


def _relays(net: Network) -> tuple[str, ...]:
    return tuple(relay.id for relay in net.relays)


def _fuses(net: Network) -> tuple[str, ...]:
    return tuple(name for name, _ in net.fuses)


def _integers(values) -> np.ndarray:
    return np.array(values, dtype=np.int64)


def _floats(values) -> np.ndarray:
    return np.array(values, dtype=np.float64)
