"""The reasoning measured: how fast, and how good its plans are machine by machine.

    python tests/benchmarks/bench_diagnose.py [machine …]

Prints the next test over 150 suspects × 3,000 tests, proved plans of 18 classes, and for each machine (all, unless
named) minutes a plan takes on average: with proof or with its bound, by the rule of most bits a minute, by halving, and
with the lamp only, the meter only and both. Each of a machine's complaints counts by how likely it is: the table is
cut by what the sound machine's busiest position shows, and only what is then left is planned for.
"""

import os

for name in ("OMP_NUM_THREADS", "OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS"):
    os.environ.setdefault(name, "1")

import sys
import time

import numpy as np

import kit
from kit.diagnose import gain
from kit.diagnose.belief import groups, left, weights
from kit.diagnose.plan import by_rule, plan
from kit.diagnose.search import Search
from kit.diagnose.table import OutcomeTable
from kit.diagnose.trials import machine_table

TOOLS = {"lamp only": ("lamp",), "meter only": ("volts",), "both": ("lamp", "volts")}
BARE = ("operate", "start", "look", "swap")


def clock(work, times=10):
    work()
    start = time.perf_counter()
    for _ in range(times):
        work()
    return (time.perf_counter() - start) / times


def next_test_speed():
    rng = np.random.default_rng(1)
    table = OutcomeTable.from_arrays(
        rng.integers(0, 6, (150, 3000)), priors=rng.random(150) + 0.1, minutes=rng.integers(1, 9, 3000),
        units=[f"part {s % 60}" for s in range(150)],
    )
    for by_unit in (True, False):
        took = clock(lambda by_unit=by_unit: gain.next_test(table, table.priors, by_unit=by_unit))
        print(f"next test, 150 × 3,000, {'by unit' if by_unit else 'by suspect'}: {1e3 * took:.1f} ms (limit 20)")


def proof_speed():
    for outcomes, tests in ((2, 300), (2, 3000), (4, 3000)):
        rng = np.random.default_rng(outcomes * tests)
        table = OutcomeTable.from_arrays(
            rng.integers(0, outcomes, (18, tests)), priors=rng.random(18) + 0.05, minutes=rng.integers(1, 20, tests)
        )
        start = time.perf_counter()
        found = plan(table)
        print(f"18 classes, {tests} tests of {outcomes} outcomes: proved {found.certified} in "
              f"{time.perf_counter() - start:.2f} s (limit 5)")


def of_machine(machine):
    start = time.perf_counter()
    whole = machine_table(machine)
    swept = time.perf_counter() - start
    table = whole.joined().worth_keeping()
    alike = groups(table, range(len(table.suspects)))
    print(f"\n{machine.id}: {len(table.suspects)} suspects, {len(whole.tests)} tests ({len(table.tests)} that differ), "
          f"{len(alike)} groups; table in {swept:.0f} s")
    start = time.perf_counter()
    print(f"  from nothing known: {plan(table, budget=0).standing()} ({time.perf_counter() - start:.1f} s)")
    # The busiest position: the first operate test that tells most is what the owner would show.
    told = gain.bits(table, weights(table))
    trying = max((t for t, kind in enumerate(table.kinds) if kind == "operate"), key=lambda t: told[t])
    print(f"  {table.tests[trying]}, then from what is left:")
    print("  shown | suspects | found | bound | proved | most bits a minute | halving | lamp only | meter only")
    for outcome, shown in enumerate(table.shown[trying]):
        weight = weights(table) * table.likelihood(trying, outcome)
        if len(left(weight)) < 2:
            continue
        cut = table.with_suspects(left(weight)).worth_keeping()
        start = time.perf_counter()
        found = plan(cut, budget=0)
        took = time.perf_counter() - start
        others = [by_rule(cut).minutes, by_rule(cut, gain.half_split).minutes]
        alone = []
        for name in ("lamp only", "meter only"):
            some = cut.of_kind(*BARE, *TOOLS[name])
            rest = Search(some)
            alone.append(rest.found(weights(some)).minutes)
        print(f"  {shown[:48]} | {len(left(weight))} | {found.minutes:.2f} | {found.bound:.2f} | "
              f"{'yes' if found.certified else 'no'}, {took:.1f} s | " + " | ".join(f"{m:.2f}" for m in others + alone))


if __name__ == "__main__":
    next_test_speed()
    proof_speed()
    for name in sys.argv[1:] or kit.machine_ids():
        of_machine(kit.machine(name))
