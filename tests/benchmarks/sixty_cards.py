"""The sixty cards beside trade.md's decisive tests: what the kit would do first, and how long its plan is.

    python tests/benchmarks/sixty_cards.py [machine …]

For each card: how many suspects fit the complaint, the first three tests along the way of the card's own fault, the
plan's minutes (and whether no order is quicker), and the case's decisive tests. To be read by a person; nothing is
asserted. The first run of a machine takes as long as its outcome table.
"""

import sys

import numpy as np

import kit
from kit.diagnose.account import start_weights
from kit.diagnose.plan import End, plan
from kit.errors import KitError
from kit.exercises.cards import card, card_ids
from kit.exercises.weighing import shows_the_complaint, worth_of

FIRST = 3


def main() -> None:
    for machine_id in sys.argv[1:] or kit.machine_ids():
        print(f"== {machine_id}", flush=True)
        for card_id in card_ids(machine_id):
            try:
                for line in told(card_id):
                    print(line, flush=True)
            except KitError as error:
                print(f"{card_id}: {error}", flush=True)


def told(card_id: str):
    """The lines of one card."""
    job = card(card_id)
    faults = job.faults("nobody", "nowhere")
    case = job.case()
    yield f"{card_id} {' + '.join(faults)}: {job.complaint}"
    worth = worth_of(job.machine)
    table = worth.table
    name = " + ".join(faults)
    fits = [" + ".join(suspect) for suspect in shows_the_complaint(job, faults)]
    if name not in table.suspects:
        yield f"    not in the table (comes and goes, or more than two together); {len(fits)} fit the complaint at rest"
    else:
        weight = start_weights(table, fits)
        units = {table.units[s] for s in np.flatnonzero(weight)}
        yield f"    fit the complaint: {len(fits)}, in {len(units)} units; V {worth.value(weight):.1f} min"
        way = plan(table, weight, search=worth.search)
        yield f"    plan: {way.standing()} Longest way {way.longest} tests, {way.worst:.1f} min."
        at, suspect, number = way.root, table.suspects.index(name), 0
        while not isinstance(at, End):
            outcome = max(dict(at.branches), key=lambda o: (table.likelihood(at.test, o)[suspect], -o))
            number += 1
            if number <= FIRST:
                yield f"      {number}. {table.tests[at.test]} ({at.minutes:g} min): {table.shown[at.test][outcome]}"
            at = dict(at.branches)[outcome]
        yield f"      … {number} tests to {' or '.join(at.units)}"
    for test in case.tests if case is not None else ():
        moves = "; ".join(", ".join(f"{n} {p}" for n, p in moves.items()) for moves in test.moves)
        off = f", off {' '.join(test.off)}" if test.off else ""
        running = ", running" if test.running else ""
        yield f"    case: {test.tool} {' '.join(test.places)} [{moves}{off}{running}] shows {test.shows}"


if __name__ == "__main__":
    main()
