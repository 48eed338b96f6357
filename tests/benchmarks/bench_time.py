"""A simulated second: the compiled time kernel, the plain one, and an ngspice process doing the same start.

    python tests/benchmarks/bench_time.py

prints milliseconds a simulated second and the ratios of one run. ngspice is given the moments the relay moves, for it
finds none itself, and its default number of threads; a process includes its start, as it does for whoever calls it.
"""

import shutil
import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

import transient

import kit
from kit.circuit import Change, Fault
from kit.solve.fast_time import FastRunner
from kit.solve.time import Runner, run

BIKE = kit.machine("orchard-bike")
ON = BIKE.closed_switches(BIKE.positions(key="on", gear="first", clutch_lever="pulled", stand="up"))
SECONDS = 2.0
MOVES = [(0.0, ON - {"S1"}), (0.1, ON), (0.4, ON | {"S3"}), (1.4, ON)]
# With the longest step ngspice may take: the longest it gets through with.
CASES = {
    "a healthy start": (BIKE.circuit, 1e-2),
    "a battery of 0.2 ohm (chatters)": (
        BIKE.circuit.plant(Fault(id="G1 worn", part="G1", edit=Change(field="ohms", value=0.2))), 1e-4,
    ),
}


def best(work, times: int) -> float:
    """The shortest of several runs, in seconds a simulated second."""
    taken = []
    for _ in range(times):
        begun = time.perf_counter()
        work()
        taken.append(time.perf_counter() - begun)
    return min(taken) / SECONDS


def main() -> None:
    ngspice = shutil.which("ngspice")
    if ngspice is None:
        sys.exit("ngspice is not installed; on Debian: apt-get install ngspice")
    for name, (circuit, longest) in CASES.items():
        course = run(circuit, MOVES, SECONDS, runner=FastRunner)
        switched = {switch: [(0.0, 1)] for switch in ON - {"S1"}} | {"S1": [(0.1, 1)], "S3": [(0.4, 1), (1.4, 0)]}
        switched["K1"] = [(event.at, int(event.what == "pulls in")) for event in course.events]
        netlist, nodes = transient.deck(circuit, switched, SECONDS, longest)
        fast = best(lambda circuit=circuit: run(circuit, MOVES, SECONDS, runner=FastRunner), 20)
        plain = best(lambda circuit=circuit: run(circuit, MOVES, SECONDS, runner=Runner), 3)
        with tempfile.TemporaryDirectory() as folder:
            theirs = best(lambda deck=netlist, n=nodes, f=folder: transient.run(ngspice, Path(f), deck, n), 5)
        print(
            f"{name}: compiled {1e3 * fast:.2f} ms a second, plain {1e3 * plain:.0f} ms, "
            f"ngspice {1e3 * theirs:.0f} ms; ngspice / compiled {theirs / fast:.0f}, / plain {theirs / plain:.1f}"
        )


if __name__ == "__main__":
    main()
