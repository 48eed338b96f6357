"""Readings by the thousand: faults × positions × instruments × pairs of leads in one call, kept on disk.

    from kit.instruments.sweep import pairs_of, sweep
    found = sweep(bike, faults=[(), ("F1 blown",), ("F1 blown", "W7 open")], instruments=[lamp, meter],
                  leads=[("G1.-", "F1.1"), ("G1.-", "F1.2")])
    found.volts[1, 40, 0, 1], found.reading(1, 40, 0, 1).shown

A file of its own that nothing else here imports: it brings numpy and numba with it.
"""

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import dataclass, fields, replace
from itertools import combinations

import numpy as np

from kit.circuit import Fault
from kit.errors import OperationError
from kit.instruments.lamp import TestLamp
from kit.instruments.meter import Multimeter
from kit.instruments.reading import Reading, lead
from kit.machines import Machine, Operation
from kit.machines.operation import showing
from kit.solve import AT_REST, Outcome, Solution, State, shelf
from kit.solve import sweep as cases
from kit.solve.probes import Probes, probe

RANGES = ("volts", "millivolts", "ac volts")
PREFIX = "case "  # of the arrays of a ``Sweep``, beside those of the ``Probes``


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Readings:
    """What every instrument does on every pair of leads, whatever is wrong and however the controls stand.

    ``volts[f, p, i, k]``: across instrument ``instruments[i]`` with its leads at ``leads[k]`` (clip then tip, black
    then red; volts of the second against the first), faults ``faults[f]`` planted, controls at ``positions[p]``.
    ``other_volts`` is nan but where a relay chatters: then the two are the halves of its swing. ``alternating`` are the
    effective volts of what alternates about them where something turns. ``in_full`` tells which were solved with the
    instrument in the circuit; the rest are within 2 mV of that. ``cases`` is the machine with no instrument on it, as
    arrays over the same f and p.
    """

    machine: Machine
    faults: tuple[tuple[Fault, ...], ...]
    positions: tuple[Mapping[str, str], ...]
    instruments: tuple[TestLamp | Multimeter, ...]
    leads: tuple[tuple[str, str], ...]
    cases: cases.Sweep
    volts: np.ndarray
    other_volts: np.ndarray
    alternating: np.ndarray
    in_full: np.ndarray

    def reading(self, fault: int, position: int, instrument: int, pair: int) -> Reading:
        """What the instrument shows there, in its own words."""
        tool = at(self.instruments[instrument], self.leads[pair])
        body = tool.body()[0].id
        where = fault, position, instrument, pair
        halves = [float(self.volts[where]), float(self.other_volts[where])]
        swings = [_only(body, volts, float(self.alternating[where])) for volts in halves if volts == volts]
        solution = replace(swings[0], other_swing=swings[1]) if len(swings) > 1 else swings[0]
        return tool.shows(Operation(
            machine=self.machine, positions=self.positions[position], conditions=self.faults[fault], solution=solution,
            noticed=(),
        ))


def sweep(
    machine: Machine, *, faults: Sequence[Sequence[str | Fault]], instruments: Sequence[TestLamp | Multimeter],
    leads: Sequence[tuple[str, str]], positions: Sequence[Mapping[str, str]] = (), before: State = AT_REST,
    wiggled: Collection[str] = (), warm: Collection[str] = (), running: bool = False,
    progress: cases.Progress = cases.unwatched,
) -> Readings:
    """Put every instrument on every pair of leads of a machine with every set of faults in every position.

    ``faults``: one sequence a case, by id or as values, () for the sound machine; put it first, the rest then starts
    from it. ``positions``: all of the machine's unless given. ``instruments`` are lamps, or meters on volts; where
    their own leads are does not matter. ``before``, ``wiggled`` and ``warm`` as for an operation; ``running``: with the
    machine's engine running in all of them (whether it does is the caller's to know). ``progress`` is called with fault
    sets done, fault sets in all and the one at hand. What was asked before comes from disk (``kit.solve.shelf``).
    Raises OperationError for an unknown fault, control, terminal, or another instrument.
    """
    planted = tuple(tuple(machine.fault(one) if isinstance(one, str) else one for one in each) for each in faults)
    chosen = tuple(machine.positions(**given) for given in positions) or tuple(machine.all_positions())
    tools = tuple(_sweepable(tool, machine) for tool in instruments)
    if not (planted and tools and leads):
        raise OperationError("a sweep needs at least one set of faults (an empty one will do), instrument and pair.")
    ends = [(lead(second), lead(first)) for first, second in leads]
    for end in {end for pair in ends for end in pair}:
        if end not in machine.circuit.terminals:
            raise OperationError(f"there is no terminal {end}: {machine.circuit.explain_missing(end)}")
    name = shelf.name_of(
        machine.digest, planted, [sorted(where.items()) for where in chosen], tools, list(leads),
        sorted(before.closed), sorted(before.melted), sorted(wiggled), sorted(warm), running,
    )
    arrays = shelf.fetch(name)
    if arrays is None:
        shown = [showing(machine.circuit, each, wiggled, warm) for each in planted]
        circuits = [machine.as_it_runs(machine.circuit.plant(*each), running=running) for each in shown]
        closed = [machine.closed_switches(where, running=running) for where in chosen]
        alone = cases.sweep(circuits, closed, before)
        found = probe(circuits, closed, [tool.body()[0] for tool in tools], ends, before, progress)
        arrays = {item.name: getattr(found, item.name) for item in fields(Probes)}
        arrays |= {PREFIX + item.name: np.asarray(getattr(alone, item.name)) for item in fields(cases.Sweep)}
        shelf.keep(name, arrays)
    names = {"terminals", "paths", "relays", "fuses"}
    alone = {key.removeprefix(PREFIX): value for key, value in arrays.items() if key.startswith(PREFIX)}
    return Readings(
        machine=machine, faults=planted, positions=chosen, instruments=tools, leads=tuple(leads),
        cases=cases.Sweep(**{
            key: tuple(map(str, value)) if key in names else value for key, value in alone.items()
        }),
        **{item.name: arrays[item.name] for item in fields(Probes)},
    )


def alone_and_in_pairs(machine: Machine) -> Iterator[tuple[str, ...]]:
    """The sound machine, every single fault, and every two faults together, as ids for ``sweep``."""
    yield ()
    for number in (1, 2):
        yield from combinations(machine.faults, number)


def at(tool: TestLamp | Multimeter, leads: tuple[str, str]) -> TestLamp | Multimeter:
    """An instrument with its leads put elsewhere: clip then tip, black then red."""
    first, second = leads
    if isinstance(tool, TestLamp):
        return replace(tool, clip=first, tip=second)
    return replace(tool, black=first, red=second)


def _sweepable(tool: object, machine: Machine) -> TestLamp | Multimeter:
    if isinstance(tool, TestLamp):
        return tool.made_for(machine)
    if isinstance(tool, Multimeter) and tool.range in RANGES:
        return tool
    raise OperationError(
        f"a sweep takes test lamps and multimeters on {' or '.join(RANGES)}, not {tool!r}; read that one by one."
    )


def _only(body: str, volts: float, alternating: float) -> Solution:
    """A solution of which no more is known than the volts across one instrument."""
    return Solution(
        volts={}, island={}, amps={}, across={body: volts}, speeds={}, state=AT_REST, outcome=Outcome.SETTLED, raw={},
        alternates={body: alternating},
    )
