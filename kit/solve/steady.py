"""One case settled: its relays and fuses come to rest, and what is then where."""

from collections.abc import Collection
from dataclasses import replace

from kit.circuit import Circuit, Magneto
from kit.errors import SolveError
from kit.solve import kernel
from kit.solve.branches import motor_speed, network
from kit.solve.case import Case
from kit.solve.fuses import HELD_SECONDS, melts_at
from kit.solve.movers import _swing
from kit.solve.outside import outside_ohms
from kit.solve.solution import AT_REST, Outcome, Solution, State


def settle(
    circuit: Circuit, *, closed_switches: Collection[str] = (), before: State = AT_REST,
    seconds: float = HELD_SECONDS,
) -> Solution:
    """Settle a circuit with these switches closed and held for so many seconds, going on from ``before``.

    Relays move by their coil current; a fuse melts that would from cold within those seconds (``kit.solve.fuses``: at
    1.54 times its rating in 5 s, 1.16 in a minute), where relays chatter by its effective amps. Raises SolveError for
    no time at all, or where the sums find no end (a bug worth reporting, never a learner's doing).
    """
    return history_decided(*come_to_rest(circuit, closed_switches=closed_switches, before=before, seconds=seconds))


def come_to_rest(
    circuit: Circuit, *, closed_switches: Collection[str] = (), before: State = AT_REST,
    seconds: float = HELD_SECONDS,
) -> tuple[Solution, Case]:
    """As ``settle``, not looking for a second state it could rest in, which ``history_decided`` does from the case."""
    if not seconds > 0:
        raise SolveError(f"a circuit settles in more than no time; {seconds:g} s will not do.")
    net = network(circuit)
    case = Case(net, closed_switches, before)
    if seconds != HELD_SECONDS:
        longer = melts_at(seconds) / melts_at()
        case.melt = [longer * amps for amps in case.melt]
        for r in range(len(net.relays)):
            case.pace[3 * r + 2] /= longer
    code = case.run()
    if code == kernel.NO_END:
        raise SolveError(
            f"the circuit of {len(net.terminals)} terminals found no rest with {sorted(closed_switches)} closed "
            f"and faults {[fault.id for fault in circuit.faults]}; please report this."
        )
    if code == kernel.CHATTERS:
        return _chattering(circuit, case), case
    return _solution(circuit, case, case.state(), Outcome.SETTLED), case


def history_decided(solution: Solution, case: Case) -> Solution:
    """The same solution, LATCHED where it settled and its case would rest in another state too."""
    if solution.outcome is Outcome.SETTLED and case.rests_elsewhere():
        return replace(solution, outcome=Outcome.LATCHED)
    return solution


def _chattering(circuit: Circuit, case: Case) -> Solution:
    moving = frozenset(relay.id for relay, flips in zip(case.net.relays, case.flips, strict=False) if flips)
    swings = []
    for closed in (True, False):
        _swing(case.shut, case.contact, case.rest, case.flips, int(closed))
        if case.run(melts=False, moves=False) != kernel.SETTLED:
            raise SolveError("a chattering circuit found no rest even with its relays held; please report this.")
        swings.append(_solution(circuit, case, case.state(), Outcome.CHATTERS))
    return replace(swings[0], chattering=moving, other_swing=replace(swings[1], chattering=moving))


def _solution(circuit: Circuit, case: Case, state: State, outcome: Outcome) -> Solution:
    isle = [0] * case.plan.n
    kernel.islands(case.plan.n, case.a, case.b, case.kind, case.shut, case.g, case.amps, case.x, isle)
    home = isle[case.plan.n - 1]
    raw = {str(terminal): case.x[p] for terminal, p in case.place.items()}
    island = {str(terminal): isle[p] for terminal, p in case.place.items()}
    branches = case.net.branches
    across = {
        branch.name: 0.0 if branch.broken else case.x[case.a[i]] - case.x[case.b[i]]
        for i, branch in enumerate(branches)
    }
    speeds = {}
    for branch in branches:
        if branch.kind == kernel.MOTOR:
            speeds[branch.name] = motor_speed(branch, across[branch.name], circuit[branch.name].cranking_emf)
    return Solution(
        volts={name: value if island[name] == home else None for name, value in raw.items()},
        island=island,
        amps={branch.name: case.amps[i] for i, branch in enumerate(branches)},
        across=across,
        speeds=speeds,
        state=state,
        outcome=outcome,
        raw=raw,
        alternates={
            branch.name: volts for branch, volts in zip(branches, case.alternates, strict=True)
            if volts > 0.0 and not branch.broken
        },
        outside_ohms={part.id: outside_ohms(case, part.id) for part in circuit.parts if isinstance(part, Magneto)},
    )


