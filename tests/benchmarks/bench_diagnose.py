"""The reasoning measured: how fast, and how good its plans are machine by machine.

    python tests/benchmarks/bench_diagnose.py [machine …]

Prints the next test over 150 suspects × 3,000 tests, proved plans of 18 classes, and for each machine (all, unless
named) minutes a plan takes on average. The table is the one jobs are weighed by (``trials.job_table``), cut by what the
busiest position shows: each row is one complaint, and the last the mean over all of them by how likely each is.

plan: the kit's own, the best there is where it says proved; bound: what no plan can beat, and all that is known where
it is not proved. rollout: each first test tried, then the rule; greedy: always the most bits a minute; halving: always
the test that leaves fewest at worst. lamp, meter, both: what eyes and hands can do (operate, start, look) and that
instrument; the plan itself has the whole tray. An instrument alone may leave more parts unparted, and so seem quick:
"left" is the share of cases in which it ends with more than one part.
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
from kit.diagnose.plan import Plan, by_rule, plan
from kit.diagnose.search import Search
from kit.diagnose.table import OutcomeTable
from kit.diagnose.trials import job_table

METER = ("volts", "ohms", "diode test", "amps", "running volts", "running ac volts")
TOOLS = {"lamp": ("lamp", "loading lamp"), "meter": METER, "both": ("lamp", "loading lamp", *METER)}
BARE = ("operate", "start", "look")


def clock(work, times=10):
    work()
    start = time.process_time()
    for _ in range(times):
        work()
    return (time.process_time() - start) / times


def next_test_speed():
    rng = np.random.default_rng(1)
    table = OutcomeTable.from_arrays(
        rng.integers(0, 6, (150, 3000)), priors=rng.random(150) + 0.1, minutes=rng.integers(1, 9, 3000),
        units=[f"part {s % 60}" for s in range(150)],
    )
    for by_unit in (True, False):
        took = clock(lambda by_unit=by_unit: gain.next_test(table, table.priors, by_unit=by_unit))
        what = "by unit" if by_unit else "by suspect"
        print(f"next test, 150 × 3,000, {what}: {1e3 * took:.1f} ms of CPU (limit 20)")


def proof_speed():
    for outcomes, tests in ((2, 300), (2, 3000), (4, 3000)):
        rng = np.random.default_rng(outcomes * tests)
        table = OutcomeTable.from_arrays(
            rng.integers(0, outcomes, (18, tests)), priors=rng.random(18) + 0.05, minutes=rng.integers(1, 20, tests)
        )
        start = time.process_time()
        found = plan(table)
        print(f"18 classes, {tests} tests of {outcomes} outcomes: proved {found.certified} in "
              f"{time.process_time() - start:.2f} s of CPU (limit 5)")


def rollout(table):
    """The best first test, and the greedy rule from there on; nothing solved for good."""
    searching, weight = Search(table, small=0), weights(table)
    if searching.over(weight):
        return 0.0
    order = gain.best_first(gain.bits(table, weight, True), table.minutes)
    order = order or gain.best_first(gain.bits(table, weight), table.minutes)
    return min((searching.after(weight, test, searching.greedy) for test in order[: searching.width]), default=0.0)


def unparted(found: Plan):
    """The share of cases in which a plan ends with more than one part left."""
    return sum(end.share for end in found.ends if len(end.units) > 1)


def of_machine(machine):
    start = time.process_time()
    whole = job_table(machine)
    swept = time.process_time() - start
    plain = whole.joined()
    table = plain.worth_keeping()
    alike = groups(table, range(len(table.suspects)))
    print(f"\n{machine.id}: {len(table.suspects)} suspects, {len(whole.tests)} tests ({len(table.tests)} that differ), "
          f"{len(alike)} groups; table in {swept:.0f} s of CPU")
    # The busiest position: the operate test that tells most is what the owner would show.
    told = gain.bits(table, weights(table))
    trying = max((t for t, kind in enumerate(table.kinds) if kind == "operate"), key=lambda t: told[t])
    print(f"  {table.tests[trying]}, then from what is left:")
    names = ("plan", "bound", "rollout", "greedy", "halving", *(f"{name}, left" for name in TOOLS))
    print("  shown | share | suspects, units | proved | " + " | ".join(names))
    mean, proved, total = np.zeros(5 + 2 * len(TOOLS)), 0.0, 0.0
    for outcome, shown in enumerate(table.shown[trying]):
        weight = weights(table) * table.likelihood(trying, outcome)
        share = float(weight.sum())
        total += share
        if len(left(weight)) < 2:
            proved += share
            continue
        cut = table.with_suspects(left(weight)).worth_keeping()
        start = time.process_time()
        found = plan(cut)
        took = time.process_time() - start
        row = [found.minutes, found.bound, rollout(cut), by_rule(cut).minutes, by_rule(cut, gain.half_split).minutes]
        for tools in TOOLS.values():
            # From the whole table: the cheapest of tests that tell the same may be another instrument's.
            some = plan(plain.with_suspects(left(weight)).of_kind(*BARE, *tools).worth_keeping(), budget=0)
            row += [some.minutes, unparted(some)]
        mean += share * np.array(row)
        proved += share * found.certified
        print(f"  {shown[:48]} | {100 * share:.0f} % | {len(left(weight))}, {len(set(cut.units))} | "
              f"{'yes' if found.certified else 'no'}, {took:.1f} s | {in_cells(row)}", flush=True)
    print(f"  all complaints | {100 * total:.0f} % | | {100 * proved:.0f} % of cases | {in_cells(mean)}", flush=True)


def in_cells(row):
    single, alone = row[:5], row[5:]
    pairs = [f"{minutes:.1f}, {100 * share:.0f} %" for minutes, share in zip(alone[::2], alone[1::2], strict=True)]
    return " | ".join([*(f"{minutes:.1f}" for minutes in single), *pairs])


if __name__ == "__main__":
    next_test_speed()
    proof_speed()
    for name in sys.argv[1:] or kit.machine_ids():
        of_machine(kit.machine(name))
