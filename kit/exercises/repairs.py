"""Ways to put a part right, the steps that make each of them last, and which fault each of them cures."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from kit.circuit import Battery, Fuse, Joint, Metal, Part, Switch, Wire
from kit.errors import OperationError
from kit.machines import Machine


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """One way to put something right.

    ``words`` say it of a part; ``steps`` are its quality steps (key to words, common practice); ``cures`` are words of
    a fault's own cure that this way is (empty: whatever is wrong with the part, for the part is a new one).
    """

    words: str
    minutes: float
    steps: Mapping[str, str]
    cures: tuple[str, ...] = ()
    kinds: tuple[type[Part], ...] = (Part,)


LAST = {"measured": "The reading that gave it away taken again under load"}
WAYS: Mapping[str, Way] = MappingProxyType({
    "replace": Way(
        words="is renewed with one of the same rating", minutes=10.0,
        steps={"same rating": "Figures of the new one read off and compared", "seated": "Seated, locked, not strained",
               **LAST},
    ),
    "clean": Way(
        words="is taken apart, cleaned to bright metal, tightened and protected", minutes=10.0,
        cures=("clean", "bare metal", "tighten", "scrape", "grind"), kinds=(Joint, Metal, Fuse, Switch),
        steps={"bright": "Both faces bright, no paint under the lug", "tight": "Tightened to the manual's torque",
               "protected": "Greased or sealed against water", **LAST},
    ),
    "tighten": Way(
        words="is tightened", minutes=5.0, cures=("tighten",), kinds=(Joint, Metal),
        steps={"tight": "Tightened to the manual's torque", "still": "Cannot be moved by hand any more", **LAST},
    ),
    "crimp": Way(
        words="has its bad end or length cut out and new wire or a new lug crimped on", minutes=12.0,
        cures=("mend", "crimp", "length", "renew"), kinds=(Wire, Joint),
        steps={"right size": "Right wire, lug and die for each other", "tug": "Pulled hard by hand, nothing moves",
               "sealed": "Sealed with lined shrink tube", "supported": "Clipped so that it cannot flex at the crimp",
               **LAST},
    ),
    "sleeve": Way(
        words="is mended where it was rubbed through, sleeved and clipped clear of the edge", minutes=12.0,
        cures=("length", "sleeve", "clip it clear", "re-route"), kinds=(Wire,),
        steps={"sound": "Copper looked at: strands whole, or cut out and joined", "sleeved": "Sleeved past both ends",
               "clear": "Clipped clear of edge, heat and moving parts", **LAST},
    ),
    "adjust": Way(
        words="is set and locked as the manual says", minutes=8.0, cures=("adjust", "set ", "bend", "straighten"),
        kinds=(Switch,),
        steps={"both ways": "Tried in both positions, at both ends of the play", "locked": "Lock nut or screw tight",
               **LAST},
    ),
    "charge": Way(
        words="is charged by a charger of its kind, gases vented", minutes=15.0, cures=("charge",), kinds=(Battery,),
        steps={"vented": "Room aired, caps as the label says, no spark", "rested": "Rested, then volts or gravity read",
               "load test": "Load-tested before it is trusted"},
    ),
    "refit": Way(
        words="is taken out and put in the way it belongs", minutes=5.0,
        cures=("round", "back in their places", "wires back", "plug it in", "clip the block home"),
        steps={"marked": "Ring, plus and colours compared with the diagram", **LAST},
    ),
    "free": Way(
        words="is freed, cleaned and oiled", minutes=10.0, cures=("free", "oil", "clear the weed"),
        steps={"by hand": "Moves its whole way by hand and comes back by itself", **LAST},
    ),
})


def way(how: str, part: Part) -> Way:
    """A way to put a part right; raises OperationError for an unknown one, or one that is no work for such a part."""
    if how not in WAYS:
        raise OperationError(f"nothing is put right by '{how}'; the ways are {', '.join(WAYS)}.")
    found = WAYS[how]
    if not isinstance(part, found.kinds):
        ways = ", ".join(name for name, each in WAYS.items() if isinstance(part, each.kinds))
        raise OperationError(f"'{how}' is no work for a {part.word}; for {part.id} there are {ways}.")
    return found


def cures(machine: Machine, how: str, fault: str) -> bool:
    """Whether this way puts this fault right: a new part always, any other where the fault's own cure names it."""
    # What a case says of its own root cause counts as well as what is usual for such a fault; not where it speaks of
    # charging, which goes with many a repair and puts no bad cell right.
    cases = () if how == "charge" else (case for case in machine.cases.values() if case.faults[0] == fault)
    told = [machine.notes[fault].repair, *(case.repair for case in cases)]
    cure = " ".join(told).lower()
    # Where it has to come apart and be cleaned, more force on the nut does not do it.
    if how == "tighten" and ("clean" in cure or "bare metal" in cure):
        return False
    ways = WAYS[how].cures
    # From the beginning of a word: there is no "round" in "ground".
    return not ways or any(re.search(rf"\b{word}", cure) for word in ways)
