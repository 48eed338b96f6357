"""What a part is to the kernel: paths between terminals, and magnets that move contacts."""

import math
from dataclasses import dataclass

from kit.circuit import Terminal

THERMAL_VOLTS = 0.025852  # kT/q at 300 K (27 °C)

FED = 12 / 7  # a coil is made for about so many times the amps it pulls in at

Beats = tuple[tuple[str, tuple[float, ...]], ...]


@dataclass(frozen=True, slots=True)
class Branch:
    """One path between two terminals: kernel kind, its figures, and whether it conducts before anything moves.

    ``seconds``: what a filament takes to warm, 0 where its watts say so. ``beats``: in turning machines, a switch and
    what ``p1`` is at each angle of a turn while it is closed.
    """

    name: str
    a: Terminal
    b: Terminal
    kind: int
    p0: float
    p1: float = 0.0
    p2: float = 0.0
    broken: bool = False
    switch: str = ""
    shut_at_rest: bool = False
    seconds: float = 0.0
    beats: Beats = ()


@dataclass(frozen=True, slots=True)
class Magnet:
    """Something that moves contacts by current: paths of its coil, of a second coil and of its contacts ("" for none).

    ``rest`` is the contact that is shut while it is not pulled in; ``pull`` and ``drop`` are amps. Several magnets may
    share one coil: what it decides then moves several contacts. In time its coil follows with ``coil_seconds`` (0: at
    once), its contacts after ``closes_seconds`` and ``opens_seconds``. One with a long stroke falls back to rest in
    ``falls_seconds`` after its contact has let go; told to pull in before, it has only the way it fell to make up (0:
    always its whole way).
    """

    id: str
    coil: str
    contact: str
    pull: float
    drop: float
    second: str = ""
    rest: str = ""
    coil_seconds: float = 0.0
    closes_seconds: float = 0.0
    opens_seconds: float = 0.0
    falls_seconds: float = 0.0

    @property
    def rattles(self) -> tuple[float, float]:
        """Seconds it stays in, and away, in each round of a rattle: its coil fed as usual, then not at all.

        Its amps rise and fall as exponentials of ``coil_seconds``; then the contact takes its own time.
        """
        stays = goes = 0.0
        if self.coil_seconds > 0.0 < self.drop:
            stays = self.coil_seconds * math.log(FED * self.pull / self.drop)
            goes = self.coil_seconds * math.log(FED / (FED - 1.0))
        way = min(1.0, goes / self.falls_seconds) if self.falls_seconds > 0.0 else 1.0
        return stays + self.opens_seconds, goes + way * self.closes_seconds

    @property
    def pulls_in_after(self) -> float:
        """Seconds from rest till it is in, its coil fed as usual."""
        goes = self.coil_seconds * math.log(FED / (FED - 1.0)) if self.coil_seconds > 0.0 else 0.0
        return goes + self.closes_seconds
