"""A circuit's course in time, compiled: the time kernel's own functions, on arrays.

A file of its own so that ``kit.solve.time`` stays plain, for browsers without numba. Compiling takes a few seconds,
once a process.
"""

from collections.abc import Collection
from functools import cache
from types import FunctionType

import numba
import numpy as np

from kit.circuit import Circuit
from kit.solve import careful, elimination, kernel, movers, ports, time_kernel, turn_kernel
from kit.solve.compiling import kept
from kit.solve.solution import State
from kit.solve.time import Runner

FLOATS = {
    "case": ("p0", "p1", "p2", "u", "amps", "g", "j", "w", "h", "base", "x", "pull", "drop"),
    "self": ("henries", "core", "full", "wound_amps", "closes", "opens", "falls", "left", "due", "flux", "slow_volts",
             "inertia", "emf", "warm", "lamp_seconds", "rating", "wire", "blades", "clock", "values", "ends",
             "work", "charge"),
}
INTEGERS = {
    "case": ("a", "b", "slot", "kind", "shut", "live", "contact", "rest", "fuse"),
    "self": ("row", "col", "fill", "winding", "first", "second", "battery", "motor", "way", "lamp", "beat",
             "known", "charging"),
}


class FastRunner(Runner):
    """The same as ``Runner``, compiled; hand it to ``kit.solve.time.run``."""

    room = 400

    def __init__(self, circuit: Circuit, closed_switches: Collection[str], before: State) -> None:
        super().__init__(circuit, closed_switches, before)
        self._lay_out()

    def warm_up(self) -> None:
        # The steady state is solved once, on the plain lists; the arrays are made of what it leaves.
        self._lay_out(list)
        super().warm_up()
        self._lay_out()

    def switch(self, closed_switches: Collection[str]) -> None:
        super().switch(closed_switches)
        self._lay_out()

    def _lay_out(self, kind: type = np.ndarray) -> None:
        for owner, name in ((self.case, "case"), (self, "self")):
            for table, of in ((FLOATS, np.float64), (INTEGERS, np.int64)):
                for attribute in table[name]:
                    values = np.array(getattr(owner, attribute), of)
                    setattr(owner, attribute, values.tolist() if kind is list else values)
        if kind is np.ndarray:
            self.space = _arrays(self.space)

    @property
    def advance(self):
        return compiled()

    def floats(self, number: int) -> np.ndarray:
        return np.zeros(number)

    def integers(self, number: int) -> np.ndarray:
        return np.zeros(number, np.int64)

    def table(self, columns: int) -> np.ndarray:
        return np.zeros((self.room, columns))


def _arrays(space: tuple) -> tuple:
    """``kit.solve.turning.space`` as arrays: the first of whole numbers, the rest of others."""
    return tuple(np.array(each, np.int64 if k < 1 else np.float64) for k, each in enumerate(space))


@cache
def compiled():
    """``time_kernel.advance`` and all it calls, compiled (see ``kit.solve.sweep.compiled`` for why this way)."""
    namespace = {}
    for module in (elimination, movers, kernel, careful, ports, turn_kernel, time_kernel):
        namespace |= vars(module)
    for name, function in list(namespace.items()):
        if isinstance(function, FunctionType):
            namespace[name] = kept(numba.njit(FunctionType(function.__code__, namespace, name)), "python")
    return namespace["advance"]
