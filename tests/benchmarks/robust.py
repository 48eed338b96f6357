"""A million random circuits and states, none of which may end without an outcome.

    python tests/benchmarks/robust.py [number] [seed]

Prints what it found; ends with status 1 if a case had no outcome or stood higher than all its sources in series.
"""

import sys
import time
from collections import Counter
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1]))
from random_circuits import all_sources, wild_circuits

from kit.errors import SolveError
from kit.solve.sweep import sweep

VARIANTS, SETS = 8, 25


def main(number: int = 1_000_000, seed: int = 2) -> int:
    began, counts, wrong = time.perf_counter(), Counter(), 0
    circuits = -(-number // (VARIANTS * SETS))
    for k, wild in enumerate(wild_circuits(seed, circuits, variants=VARIANTS, switch_sets=SETS)):
        try:
            found = sweep(wild.circuits, wild.switch_sets, wild.before)
        except SolveError as error:
            wrong += 1
            print(f"circuit {seed}/{k}: {error}")
            continue
        counts.update(found.outcome(*case).value for case in np.ndindex(found.codes.shape))
        for c, circuit in enumerate(wild.circuits):
            if np.nanmax(np.abs(found.volts[c])) > all_sources(circuit) * (1 + 1e-9) + 1e-9:
                wrong += 1
                print(f"circuit {seed}/{k}, variant {c}: stands higher than all its sources")
        if (k + 1) % 500 == 0:
            print(f"{counts.total():,} cases, {wrong} wrong", flush=True)
    told = ", ".join(f"{count:,} {what}" for what, count in counts.most_common())
    spent = time.perf_counter() - began
    print(f"{counts.total():,} cases of {circuits:,} circuits: {told}; {wrong} wrong ({spent:.0f} s)")
    return int(wrong > 0)


if __name__ == "__main__":
    sys.exit(main(*map(int, sys.argv[1:])))
