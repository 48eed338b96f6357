"""What each act costs in minutes: one table, printed on the card, so that nothing is counted in secret.

A reading costs the minutes of the points its leads newly go to (they stand with the points), and what the instrument
takes besides. Common practice for a small machine.
"""

from collections.abc import Iterator, Mapping
from types import MappingProxyType

from kit.circuit import Part, Terminal
from kit.exercises.repairs import WAYS
from kit.exercises.tray import TRAY
from kit.machines import Machine

OPERATE_MINUTES, LOOK_MINUTES, RENEW_MINUTES = 0.2, 1.0, 10.0
# By the name of the act, what it takes and how the card says it.
ACT_MINUTES: Mapping[str, tuple[float, str]] = MappingProxyType({
    "operate": (OPERATE_MINUTES, "move a control"),
    "press": (OPERATE_MINUTES, "hold a control for seconds and let go"),
    "lift": (0.0, "take an instrument or a link off"),
    "prove": (0.5, "prove an instrument"),
    "renew": (3.0, "new fuse in the multimeter or the jumper"),
    "look": (LOOK_MINUTES, "look closely at a part (or what its nearest point takes, if more); rust, green and chafe "
             "count as seen three times of four, for a part can look fine and be bad"),
    "feel": (0.5, "put a hand on a part"),
    "wiggle": (1.0, "wiggle a part (or what its nearest point takes, if more)"),
    "warm": (5.0, "warm a part with hot air, or let it cool"),
    "unplug": (1.0, "take a wire, plug or clamp off (or what its nearest point takes, if more)"),
    "plug": (1.0, "put it on again (or what its nearest point takes, if more): not charged"),
    "fuse": (1.0, "take a fuse out, put it in or renew it"),
    "swap": (5.0, "try a like part in a part's place, or put its own back"),
    "prepare": (0.0, "a step of getting ready"),
    "ask": (1.0, "ask the owner"),
    "note": (0.0, "write down a suspect, a reason, a finding"),
    "verify": (0.0, "declare the complaint gone (trying it costs what moving the controls costs)"),
    "tidy": (0.0, "a step of tidying up"),
})


def minutes_of(act: str) -> float:
    """Minutes of an act by its name, where they depend on nothing else."""
    return ACT_MINUTES[act][0]


def nearest(machine: Machine, part: Part, least: float) -> float:
    """Minutes to get at a part: those of its nearest test point, ``least`` where none is nearer than that."""
    ends = ends_of(part)
    near = [point.minutes for terminal, point in machine.points.items() if terminal in ends]
    return max(least, min(near, default=least))


def ends_of(part: Part) -> frozenset[Terminal]:
    """Every terminal a part has or joins."""
    return frozenset({*part.terminals, getattr(part, "start", None), getattr(part, "end", None)} - {None})


def table() -> Iterator[tuple[str, float]]:
    """The rows of the card's table: what is done, and its minutes."""
    for minutes, words in ACT_MINUTES.values():
        yield words, minutes
    for taken in TRAY.values():
        if taken.minutes:
            yield f"{taken.title}, beyond reaching the points", taken.minutes
    for how, way in WAYS.items():
        yield f"repair: {how}", way.minutes
