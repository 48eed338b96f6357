"""How fast the solver is, as ratios measured side by side in one run on one core.

    python tests/benchmarks/bench_solver.py

The cases are the orchard bike with each of its faults that change a straight path, in all its positions (ngspice and
numpy: every fourth). ngspice (its shared library, Debian: libngspice0) holds one netlist in this process; each case
alters what differs from the case before and runs ``op``. It is told the relay and fuse states the kit found. So there
are two rows of the kit's own: the same task, states given, and the whole of it, which also finds the states, looks for
a second one it could rest in, sorts out what floats and lays the circuits out. ngspice's two rows differ in tolerances.
A probe in ngspice is the lamp between two nodes that resistors lead to every test point, two of them altered.
Both are printed, the fair one marked: a case of the kit is good to a nanovolt, so tolerances for microvolts are nearer
to it; a probe answer's shortcut is good to a tenth of a millivolt or better (told below, against full solves), which
lies between the two, and there the faster of them counts.
numpy solves the last linearised system of each case once, as one batch of dense matrices already filled; the kit fills
and solves several a case. Compiling is left out, and told.
"""

import os
import sys
import time
from collections.abc import Callable
from itertools import combinations

import numpy as np
from ngspice_library import Ngspice

import kit
from kit.circuit import When
from kit.instruments import Multimeter, TestLamp
from kit.solve import AT_REST, kernel, probes
from kit.solve.branches import Branch, network
from kit.solve.case import Case
from kit.solve.kernel import solve
from kit.solve.probes import probe
from kit.solve.sweep import Cases, compiled, sweep

OPEN = 1e12  # ohms of what is open, in ngspice
TOLERANCES = {
    "its own tolerances": "",
    "tolerances for microvolts": "reltol=1e-6 vntol=1e-9 abstol=1e-12 gmin=1e-14",
}
# Which of the two to compare with, for a case and for a probe answer.
FAIR = {"a case": "tolerances for microvolts", "a probe answer": "its own tolerances"}
ROUNDS = 5
MACHINE = "orchard-bike"


def one_core() -> None:
    """Start again with one core for everybody: numpy asks for its threads when it is first imported."""
    names = ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS")
    if any(os.environ.get(name) != "1" for name in names):
        os.execve(sys.executable, [sys.executable, *sys.argv], os.environ | dict.fromkeys(names, "1"))


def best(work: Callable[[], object]) -> float:
    """Processor seconds of the fastest of a few rounds: others at work on the machine count little."""
    spent = []
    for _ in range(ROUNDS):
        began = time.process_time()
        work()
        spent.append(time.process_time() - began)
    return min(spent)


class Deck:
    """The bike as one netlist: every path any case has, its resistances to be altered."""

    def __init__(self, cases: list[Case], more: tuple[str, ...] = ()) -> None:
        self.node = {terminal: f"n{number}" for number, terminal in enumerate(cases[0].net.terminals)}
        self.node[cases[0].net.reference] = "0"
        self.paths: dict[str, Branch] = {}
        for case in cases:
            for branch in case.net.branches:
                self.paths.setdefault(branch.name, branch)
        self.number = {name: number for number, name in enumerate(self.paths)}
        self.lines = [line for name, branch in self.paths.items() for line in self._element(name, branch)]
        self.lines += more
        self.now = {name: (OPEN, 0.0) for name, branch in self.paths.items() if branch.kind == kernel.LINEAR}
        self.nothing = dict(self.now)

    def _element(self, name: str, branch: Branch) -> list[str]:
        k, ends = self.number[name], f"{self.node[branch.a]} {self.node[branch.b]}"
        u = f"V({self.node[branch.a]},{self.node[branch.b]})"
        p0, p1, p2 = branch.p0, branch.p1, branch.p2
        match branch.kind:
            case kernel.LINEAR:
                return [f"R{k} {ends} {OPEN}", *([f"I{k} {ends} DC 0"] if p1 else [])]
            case kernel.DIODE:
                return [f"D{k} {ends} m{k}", f".model m{k} D(IS={p0!r} N={p1 / 0.025852!r})"]
            case kernel.LAMP:
                return [f"B{k} {ends} I={u}/({p0!r}*pow(({u}/{p1!r})*({u}/{p1!r})+{p2!r},0.225))"]
            case _:
                slope, turns = p2 / (1 + p0 * p2), p0 * p1
                return [f"B{k} {ends} I={slope!r}*{u}+{1 / p0 - slope!r}*max({-turns!r},min({turns!r},{u}))"]

    def commands(self, case: Case) -> list[str]:
        """What to alter from the case before to this one."""
        then = dict(self.nothing)
        for i, branch in enumerate(case.net.branches):
            if branch.kind == kernel.LINEAR and case.shut[i] and case.p0[i]:
                then[branch.name] = (1 / case.p0[i], case.p1[i])
        told = []
        for name, (ohms, amps) in then.items():
            if ohms != self.now[name][0]:
                told.append(f"alter R{self.number[name]} = {ohms!r}")
            if amps != self.now[name][1]:
                told.append(f"alter I{self.number[name]} = {amps!r}")
        self.now = then
        return told


def spice(machine: Ngspice, cases: list[Case], options: str, points: tuple = ()) -> tuple[float, float]:
    """Seconds a case in one netlist, and the worst volts out where ngspice found an answer and nothing dangles.

    With ``points`` a 3 W lamp is on in each case, its leads on two of them.
    """
    deck = Deck(cases)
    law, u = TestLamp(clip="G1.-", tip="G1.+").body()[0], "V(tip,clip)"
    if points:
        rated, volts = law.volts**2 / law.watts, law.volts
        share = f"({u}/{volts!r})"
        deck.lines.append(f"Blamp tip clip I={u}/({rated!r}*pow({share}*{share}+{kernel.COLD!r},0.225))")
        for k, point in enumerate(points):
            deck.lines += [f"R{end}{k} {end} {deck.node[point]} {OPEN}" for end in ("tip", "clip")]
    machine.load(["* bike", *deck.lines, f".options temp=26.85 tnom=26.85 itl1=500 {options}", ".end"])
    spent = worst = 0.0
    lost = 0
    on: list[str] = []
    for number, case in enumerate(cases):
        commands = deck.commands(case)
        if points:
            commands += [f"alter {lead} = {OPEN}" for lead in on]
            on = [f"Rtip{7 * number % len(points)}", f"Rclip{(3 * number + 1) % len(points)}"]
            commands += [f"alter {lead} = 1e-3" for lead in on]
        began = time.process_time()
        for command in commands:
            machine.do(command)
        machine.do("op")
        spent += time.process_time() - began
        try:
            for terminal in () if points else firm(case):
                worst = max(worst, abs(machine.volts(deck.node[terminal]) - case.x[case.place[terminal]]))
        except RuntimeError:
            lost += 1
        machine.do("destroy all")
    machine.do("remcirc")
    if lost:
        print(f"  (ngspice found no answer for {lost} of {len(cases)} cases with {options or 'its own tolerances'})")
    return spent / len(cases), worst


def firm(case: Case) -> list:
    """Terminals that conduct to the reference other than through a diode that carries nothing."""
    shut = [
        0 if kind == kernel.DIODE and abs(amps) <= 1e-9 else on
        for kind, amps, on in zip(case.kind, case.amps, case.shut, strict=True)
    ]
    isle = [0] * case.plan.n
    kernel.islands(case.plan.n, case.a, case.b, case.kind, shut, case.g, case.amps, case.x, isle)
    return [terminal for terminal, place in case.place.items()
            if isle[place] == isle[-1] and terminal != case.net.reference]


def straight(machine, fault) -> bool:
    """Whether a fault changes straight paths only, which ngspice can alter."""
    sound = {branch.name: branch for branch in network(machine.circuit).branches}
    return all(
        branch == sound.get(branch.name) or branch.kind == kernel.LINEAR == sound.get(branch.name, branch).kind
        for branch in network(machine.circuit.plant(fault)).branches
    )


def dense(cases: list[Case]) -> tuple[np.ndarray, np.ndarray]:
    """The last linearised system of every case as dense matrices; floating nodes are tied by a nanosiemens."""
    n = cases[0].plan.n - 1
    matrix, amps = np.zeros((len(cases), n, n)), np.zeros((len(cases), n, 1))
    for c, case in enumerate(cases):
        matrix[c] += np.eye(n) * 1e-9
        for a, b, g, j in zip(case.a, case.b, case.g, case.j, strict=True):
            for p, q, sign in ((a, b, 1), (b, a, -1)):
                if p < n:
                    matrix[c, p, p] += g
                    amps[c, p, 0] -= sign * j
                    if q < n:
                        matrix[c, p, q] -= g
    return matrix, amps


def _given(n, row, col, fill, a, b, slot, kind, p0, p1, p2, edges, shuts, coil, second, contact, rest, pull, drop,
           pace, fuse, melt, room, starts):
    """Volts of every case with its relays and fuses as they are; to be compiled."""
    branches = len(a)
    u, amps, g, j = np.zeros(branches), np.zeros(branches), np.zeros(branches), np.zeros(branches)
    w, h, x = np.zeros(edges), np.zeros(edges), np.zeros(n)
    live, base = np.zeros(branches, np.int64), np.zeros((2, edges))
    flips, seen = np.zeros(1, np.int64), np.zeros(room, np.int64)
    for s in range(len(shuts)):
        u[:] = starts[0, s]
        solve(n, row, col, fill, a, b, slot, kind, p0, p1, p2, shuts[s], u, amps, g, j, w, h, x, live, base,
              coil[:0], second,
              contact[:0], rest, pull, drop, pace, flips, seen, fuse[:0], melt)


def states_given(circuits: list, sets: list) -> float:
    """Seconds a case where the states are given, as ngspice has them: nothing but the volts."""
    found = sweep(circuits, sets)
    laid_out, run = [], compiled(_given)
    cases = Cases(circuits, sets, AT_REST)
    for c in range(len(circuits)):
        laid = cases.laid_out(c)
        arrays = list(laid.arrays)
        shuts = arrays[SHUTS].copy()
        for r, (contact, rest) in enumerate(zip(arrays[CONTACT], arrays[CONTACT + 1], strict=True)):
            shuts[:, contact] = found.closed[c, :, laid.relay[r]]
            if rest >= 0:
                shuts[:, rest] = ~found.closed[c, :, laid.relay[r]]
        for f, fuse in enumerate(arrays[FUSE]):
            shuts[:, fuse] = ~found.melted[c, :, laid.fuse[f]]
        arrays[SHUTS] = shuts
        if c == 0:
            run(*arrays, laid.starts)
            # What a sweep starts every other circuit from.
            alone = laid.starts
            for s in range(len(sets)):
                across = dict(zip(found.paths, found.across[0, s], strict=True))
                alone[0, s] = [across[branch.name] for branch in cases.nets[0].branches]
            cases.remember(0, alone)
        laid_out.append((*arrays, laid.starts))

    def all_of_them() -> None:
        for each in laid_out:
            run(*each)
    return best(all_of_them) / found.codes.size


SHUTS, CONTACT, FUSE = 12, 15, 20  # where these stand among a laid-out circuit's arrays


def main() -> int:
    bike = kit.machine(MACHINE)
    faults = [fault for fault in bike.faults.values() if fault.when is When.ALWAYS and straight(bike, fault)]
    circuits = [bike.circuit, *(bike.circuit.plant(fault) for fault in faults)]
    sets = [bike.closed_switches(positions) for positions in bike.all_positions()]
    solved = [Case(network(circuit), closed, AT_REST) for circuit in circuits for closed in sets[::4]]
    cases = [case for case in solved if case.run() == kernel.SETTLED]
    print(f"{MACHINE}: {len(circuits)} circuits × {len(sets)} positions, {cases[0].plan.n} nodes, one core\n")

    began = time.process_time()
    sweep(circuits[:1], sets[:1])
    compiling = time.process_time() - began
    whole = best(lambda: sweep(circuits, sets)) / (len(circuits) * len(sets))
    given = states_given(circuits, sets)
    matrix, amps = dense(cases)
    numpys = best(lambda: np.linalg.solve(matrix, amps)) / len(cases)

    leads = list(combinations(bike.points, 2))
    tools = [TestLamp(clip="G1.-", tip="G1.+").body()[0], Multimeter("volts", black="G1.-", red="G1.+").body()[0]]
    began = time.process_time()
    probe(circuits[:1], sets[:1], tools, leads[:2])
    compiling += time.process_time() - began
    some = circuits[::6], sets[::4]
    found = probe(*some, tools, leads)
    answer = best(lambda: probe(*some, tools, leads)) / found.volts.size

    ours = {"states given": given, "the whole of it": whole}
    rows = [(f"kit: a case, {title}", seconds) for title, seconds in ours.items()]
    rows += [("numpy: one dense solve of the same size", numpys)]
    rows += [("kit: a probe answer (lamp or meter, any two points)", answer)]
    told = [f"a case, {title}: {numpys / each:.1f} × bare batched numpy.linalg.solve" for title, each in ours.items()]
    try:
        machine = Ngspice()
    except OSError:
        print("ngspice's library is not installed (Debian: libngspice0); its rows are left out\n")
        machine = None
    for title, options in TOLERANCES.items() if machine else ():
        seconds, worst = spice(machine, cases, options)
        on, _ = spice(machine, cases, options, tuple(bike.points))
        rows.append((f"ngspice: a case, {title} ({worst:.0e} V out)", seconds))
        rows.append((f"ngspice: a probe answer, {title}", on))
        case, reading = (" (the fair one)" if FAIR[what] == title else "" for what in FAIR)
        told += [f"a case, {mine}: {seconds / each:.0f} × ngspice with {title}{case}" for mine, each in ours.items()]
        told.append(f"a probe answer: {on / answer:.0f} × ngspice with {title}{reading}")
    rows += interactive(bike)
    width = max(len(title) for title, _ in rows)
    out = shortcuts_out(circuits[::24], sets[::4], tools, leads[::3])
    for title, seconds in rows:
        print(f"{title:<{width}}  {seconds * 1e6:10.2f} µs")
    print(f"{'compiling, once a process':<{width}}  {compiling:10.1f} s")
    print(f"{'readings solved in full':<{width}}  {found.in_full.mean():10.2%}")
    print(f"{'the worst of the rest against a full solve':<{width}}  {out:10.0e} V\n")
    print("\n".join(told))
    return 0


def shortcuts_out(*asked) -> float:
    """How many volts the worst shortcut is from the full solve."""
    quick, felt = probe(*asked), probes.FELT
    try:
        probes.FELT = -1.0
        full = probe(*asked)
    finally:
        probes.FELT = felt
    return float(np.abs(quick.volts - full.volts)[~quick.in_full].max())


def interactive(bike) -> list[tuple[str, float]]:
    """One operation and one reading, plain Python: no numpy, no numba. Every start of every machine; two bad diodes."""
    pressed = {"key": "on", "start_button": "pressed"}
    now = bike.operate("W7 high resistance 5 ohm", **pressed)
    lamp, meter = TestLamp(clip="G1.-", tip="K1.86"), Multimeter("volts", black="G1.-", red="K1.86")
    return [
        ("kit: one operation, plain Python", best(lambda: bike.operate("W7 high resistance 5 ohm", **pressed))),
        ("kit: one lamp reading, plain Python", best(lambda: lamp.read(now))),
        ("kit: one meter reading, plain Python", best(lambda: meter.read(now))),
        *starts("ride-on-mower"), *starts("harbour-tender"), *starts("compact-loader"), *starts("site-generator"),
        *starts("harbour-tender", "G2 diode open"), *starts("site-generator", "G2 diode open"),
    ]


def starts(machine_id: str, *faults: str) -> list[tuple[str, float]]:
    """The slowest move of a start, and one more operation with the engine running."""
    machine = kit.machine(machine_id)
    first, *more = machine.engine.start
    spent, now = [best(lambda: machine.operate(*faults, **first))], machine.operate(*faults, **first)
    free = {name: machine.controls[name].let_go(position) for name, position in now.positions.items()}
    for moves in more or [free]:
        spent.append(best(lambda now=now, moves=moves: now.then(**moves)))
        now = now.then(**moves)
    name = " ".join((f"{machine_id}:", *(f"{fault}," for fault in faults)))
    return [(f"kit: {name} a start's slowest move, plain Python", max(spent)),
            (f"kit: {name} engine running, plain Python", best(now.then))]


if __name__ == "__main__":
    one_core()
    sys.exit(main())
