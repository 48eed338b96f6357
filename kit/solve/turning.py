"""A circuit with something turning in it, solved at each angle of a turn: means, and what alternates about them.

Relays, contacts and fuses answer to a whole turn: magnets to the mean of their amps, fuses to the effective amps. A
filament is taken to follow within the turn, and shows its effective volts; that bends its law a little. A battery's
overvoltage does not follow within the turn: its plates hold it like a big capacitor, so it is that of the mean charging
current, and what alternates across a battery is what its inner ohms make of the current (common practice).

The sums are in ``kit.solve.turn_kernel``; here is what they start from.
"""

from collections.abc import Collection, Sequence

from kit.circuit import Terminal
from kit.solve import kernel
from kit.solve.branches import Network
from kit.solve.charging import ANGLES
from kit.solve.turn_kernel import CHARGE_ROWS, OVER, WORK_ROWS

Beating = tuple[tuple[int, tuple[float, ...]], ...]


def lively(net: Network) -> frozenset[Terminal]:
    """The places of what bends or beats: eliminated late, they leave little to do again."""
    return frozenset(
        end for branch in net.branches if branch.beats or branch.kind != kernel.LINEAR for end in (branch.a, branch.b)
    )


def beating(net: Network, closed_switches: Collection[str]) -> Beating:
    """The branches that beat with these switches closed, by number, with ``p1`` at each angle."""
    return tuple(
        (i, values) for i, branch in enumerate(net.branches) if branch.beats and not branch.broken
        for values in [next((values for switch, values in branch.beats if switch in closed_switches), None)] if values
    )


def space(nodes: int, branches: int, angles: int) -> tuple:
    """Work space of ``turn_kernel``, each a sequence or a table of rows.

    Angles like an earlier one, each one's share of a turn, volts and amps at each angle, means of nodes.
    """
    return (
        [0] * angles, [0.0] * angles, [[0.0] * nodes for _ in range(angles)],
        [[0.0] * branches for _ in range(angles)], [0.0] * nodes,
    )


class Turn:
    """Work space of ``kit.solve.turn_kernel`` for one circuit: its arguments from ``beat`` on, on lists."""

    def __init__(self, found: Beating, kind: Sequence[int], p0: Sequence[float], nodes: int) -> None:
        self.beat = [i for i, _ in found]
        self.values = [value for _, values in found for value in values]
        # As many as make a difference: none where nothing turns.
        rows = len(kind) if found else 0
        self.ends = [[0.0] * rows for _ in ANGLES]
        self.known = [0]
        self.work = [[0.0] * rows for _ in range(WORK_ROWS)]
        self.space = space(nodes if found else 0, rows, len(ANGLES))
        self.slow = [i for i, law in enumerate(kind) if law == kernel.CHARGED and p0[i] > 0.0]
        self.charge = [[0.0] * len(self.slow) for _ in range(CHARGE_ROWS)]
        self.afresh()

    def afresh(self) -> None:
        """Forget where the batteries' overvoltage stood."""
        self.charge[OVER] = [-1.0] * len(self.slow)

    def arguments(self) -> tuple:
        """For ``kit.solve.turn_kernel``, in its order."""
        return self.beat, self.values, self.ends, self.known, self.work, self.space, self.slow, self.charge
