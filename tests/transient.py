"""ngspice's transient of a circuit in time, with the kit's own laws written out as elements: for tests and benchmarks.

It is an oracle for given relay states only: each switch and each relay contact is told the moments it moves.
"""

import subprocess
from pathlib import Path

from kit.circuit import Circuit
from kit.solve import AT_REST, kernel, time_kernel
from kit.solve.time import IRON, Runner

OPTIONS = "reltol=1e-5 vntol=1e-7 abstol=1e-9 gmin=1e-14 method=gear itl4=200"
EDGE = 1e-6  # seconds a switch takes


def deck(
    circuit: Circuit, switched: dict[str, list[tuple[float, int]]], seconds: float, longest: float = 1e-3
) -> tuple[list[str], list[int]]:
    """A netlist of the circuit from cold and still, and the positions of its nodes.

    ``switched``: switch or relay id → moments and whether it conducts from then on. ``longest``: seconds of
    ngspice's longest step; too long and it may step over an edge and give up.
    """
    going = Runner(circuit, (), AT_REST)
    case = going.case
    last = case.plan.n - 1

    def node(position: int) -> str:
        return "0" if position == last else f"n{position}"

    lines = ["* a course in time"]
    for i, branch in enumerate(case.net.branches):
        a, b = node(case.a[i]), node(case.b[i])
        u, p0, p1, p2 = f"V({a},{b})", case.p0[i], case.p1[i], case.p2[i]
        if case.kind[i] == kernel.LINEAR and p0 == 0.0:
            continue
        if branch.switch:
            points, level = [(0.0, 0)], 0
            for at, shut in switched.get(branch.switch, ()):
                points += [(at, level), (at + EDGE, shut)]
                level = shut
            told = " ".join(f"{at!r} {shut}" for at, shut in points)
            lines += [f"Vc{i} c{i} 0 PWL({told})", f"B{i} {a} {b} I={p0!r}*V(c{i})*{u}"]
        elif i in going.battery:
            ohms = 1 / p0
            slow = ohms * time_kernel.SLOW_SHARE
            lines += [
                f"V{i} v{i} {a} {p1 / p0!r}", f"R{i} v{i} s{i} {ohms * (1 - time_kernel.SLOW_SHARE)!r}",
                f"Rs{i} s{i} {b} {slow!r}", f"Cs{i} s{i} {b} {time_kernel.SLOW_SECONDS / slow!r} ic=0",
            ]
        elif i in going.winding:
            henries = going.henries[going.winding.index(i)]
            lines += [
                f"R{i} {a} w{i} {1 / p0!r}", f"L{i} w{i} {b} {henries!r} ic=0", f"Rw{i} w{i} {b} {IRON / p0!r}"
            ]
        elif i in going.lamp:
            seconds_warm = going.lamp_seconds[going.lamp.index(i)]
            warm = f"V(t{i})"
            rise = f"(({u}/{p1!r})^2+{p2!r})/{warm}-pow({warm},{1 / 0.225 - 1!r})"
            lines += [
                f"B{i} {a} {b} I={u}/({p0!r}*{warm})", f"Ct{i} t{i} 0 {seconds_warm!r} ic={p2**0.225!r}",
                f"Bt{i} 0 t{i} I={rise}",
            ]
        elif i in going.motor:
            inertia = going.inertia[going.motor.index(i)]
            amps = f"(({u}-V(e{i}))/{p0!r})"
            lines += [
                f"B{i} {a} {b} I={amps}", f"Ce{i} e{i} 0 {inertia!r} ic=0", f"Re{i} e{i} 0 1e9",
                # Its load holds it within a millivolt of EMF while it stands; a sharp edge would end ngspice's sums.
                f"Be{i} 0 e{i} I={amps}-{p1!r}*tanh(V(e{i})*2000)-{p2!r}*V(e{i})",
            ]
        elif case.kind[i] == kernel.DIODE:
            lines.append(f"B{i} {a} {b} I={p0!r}*(exp(min({u}/{p1!r},60))-1)+{kernel.LEAK!r}*{u}")
        else:
            lines.append(f"R{i} {a} {b} {1 / p0!r}")
    nodes = sorted({*case.a, *case.b} - {last})
    lines += [f"Rtie{position} n{position} 0 1e9" for position in nodes]  # a floating node would end ngspice's sums
    lines += [f".options {OPTIONS}", f".tran {longest!r} {seconds!r} 0 {longest!r} uic"]
    return lines, nodes


def run(ngspice: str, folder: Path, netlist: list[str], shown: list[int]) -> tuple[list[float], dict[int, list[float]]]:
    """The moments and the volts of the positions in ``shown``."""
    path, out = folder / "course.cir", folder / "course.txt"
    wanted = " ".join(f"v(n{position})" for position in shown)
    control = [".control", "run", "set wr_singlescale", f"wrdata {out} {wanted}", "quit", ".endc", ".end"]
    out.unlink(missing_ok=True)
    path.write_text("\n".join([*netlist, *control]))
    done = subprocess.run([ngspice, "-b", str(path)], capture_output=True, text=True, timeout=120)
    assert out.exists(), done.stdout[-2000:] + done.stderr[-2000:]
    rows = [[float(word) for word in line.split()] for line in out.read_text().splitlines()]
    assert rows[-1][0] >= 0.999 * until(netlist), f"ngspice gave up at {rows[-1][0]} s: {done.stderr[-2000:]}"
    return [row[0] for row in rows], {position: [row[1 + k] for row in rows] for k, position in enumerate(shown)}


def until(netlist: list[str]) -> float:
    """The seconds a netlist is to run."""
    return next(float(line.split()[2]) for line in netlist if line.startswith(".tran"))
