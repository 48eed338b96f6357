"""What a part is to the kernel: paths between terminals, and magnets that move contacts."""

from dataclasses import dataclass

from kit.circuit import Terminal

THERMAL_VOLTS = 0.025852  # kT/q at 300 K (27 °C)

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
    once), its contacts after ``closes_seconds`` and ``opens_seconds``.
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
