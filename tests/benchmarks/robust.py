"""A million random circuits and states, none of which may end without an outcome.

    python tests/benchmarks/robust.py [number] [seed]
    python tests/benchmarks/robust.py readings [number] [seed]

Prints what it found; ends with status 1 if a case had no outcome or stood higher than all its sources in series. With
``readings`` it puts two lamps and a meter on random pairs of leads instead, by shortcut and in full, and ends with
status 1 if one is more than two millivolts out or misses a relay that chatters.
"""

import sys
import time
from collections import Counter
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1]))
from random_circuits import all_sources, wild_circuits

from kit.errors import SolveError
from kit.instruments import Multimeter, TestLamp
from kit.solve import probes
from kit.solve.sweep import sweep

VARIANTS, SETS = 8, 25
PAIRS, WITHIN = 24, 2e-3  # pairs of leads; volts


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


def readings(number: int = 10_000_000, seed: int = 12) -> int:
    """Shortcuts against full solves."""
    tools = [TestLamp(clip="G1.-", tip="G1.+", watts=watts).body()[0] for watts in (3.0, 21.0)]
    tools.append(Multimeter("volts", black="G1.-", red="G1.+").body()[0])
    began, short, seen, worst, wrong, felt = time.perf_counter(), 0, 0, 0.0, 0, probes.FELT
    for k, wild in enumerate(wild_circuits(seed, number, variants=4, switch_sets=6)):
        ends = wild.circuits[0].terminals
        leads = [(ends[(7 * k + 3 * i) % len(ends)], ends[(5 * i + 1) % len(ends)]) for i in range(PAIRS)]
        asked = wild.circuits, wild.switch_sets, tools, leads, wild.before
        quick = probes.probe(*asked)
        probes.FELT = -1.0
        full = probes.probe(*asked)
        probes.FELT = felt
        mine = ~quick.in_full
        out = np.abs(quick.volts - full.volts)[mine]
        missed = int((mine & ~np.isnan(full.other_volts)).sum())
        short, seen = short + int(mine.sum()), seen + mine.size
        worst, wrong = max(worst, float(out.max(initial=0.0))), wrong + missed + int((out > WITHIN).sum())
        if short >= number:
            break
    spent = time.perf_counter() - began
    told = f"{short:,} shortcuts ({1 - short / seen:.1%} solved in full): {worst:.1e} V at worst"
    print(f"{told}; {wrong} wrong ({spent:.0f} s)")
    return int(wrong > 0)


if __name__ == "__main__":
    asked = sys.argv[1:]
    sys.exit(readings(*map(int, asked[1:])) if asked[:1] == ["readings"] else main(*map(int, asked)))
