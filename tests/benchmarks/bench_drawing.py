"""How long drawings take: ``python tests/benchmarks/bench_drawing.py``.

For each machine of the fleet, in milliseconds of processor time: a stage and the whole sheet worked out and drawn for
the first time, and painted again with other states (the best of five). Issue 4 asks for a stage in 100 ms at most;
printed, not asserted.
"""

import time
from functools import partial

from kit.draw import schematic, sheet, tell_all
from kit.draw.arrange import _stage, _whole
from kit.draw.sheet import _draw_places, _draw_tracks
from kit.machines import machine, machine_ids


def forget() -> None:
    """As in a kernel that has drawn nothing yet."""
    for kept in (_stage, _whole, _draw_places, _draw_tracks):
        kept.cache_clear()


def milliseconds(work, times: int) -> float:
    best = float("inf")
    for _ in range(times):
        start = time.process_time()
        work()
        best = min(best, time.process_time() - start)
    return best * 1000


def main() -> None:
    schematic(machine("orchard-bike"), "loads")  # schemdraw comes in
    print(f"{'ms':18}{'parts':>6}{'slowest stage first':>30}{'again':>8}{'sheet first':>13}{'again':>8}")
    for name in machine_ids():
        known = machine(name)
        told = tell_all(known.operate())
        firsts, again = {}, 0.0
        forget()
        whole = milliseconds(partial(sheet, known), 1)
        for stage in known.stages:
            # The order of the columns is worked out once a machine; a stage that is asked for first pays for it.
            firsts[stage] = milliseconds(partial(schematic, known, stage), 1)
            again = max(again, milliseconds(partial(schematic, known, stage, told), 5))
        forget()
        slowest = max(firsts, key=firsts.get)
        alone = milliseconds(partial(schematic, known, slowest), 1)
        repaint = milliseconds(partial(sheet, known, told), 5)
        said = f"{firsts[slowest]:.0f} ({alone:.0f} as the very first)"
        print(f"{name:18}{len(known.circuit.parts):6}{said:>30}{again:8.1f}{whole:13.0f}{repaint:8.1f}")


if __name__ == "__main__":
    main()
