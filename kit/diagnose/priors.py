"""How often each kind of fault is met, before anything is known: rough shares from the bench (common practice).

Only their proportions count. A machine's age, place and season shift them; a learner's card prints what was used.
"""

from kit.circuit import (
    Alternator,
    Battery,
    Circuit,
    ControlUnit,
    Fuse,
    Joint,
    Lamp,
    Motor,
    RegulatorRectifier,
    Relay,
    StarterSolenoid,
    Switch,
    Wire,
    part_of,
)

KINDS: tuple[tuple[type, float], ...] = (
    (Battery, 10.0), (Fuse, 6.0), (Joint, 3.0), (Switch, 4.0), (Lamp, 4.0), (Relay, 2.5), (StarterSolenoid, 2.5),
    (Motor, 2.5), (Wire, 1.0), (Alternator, 2.0), (RegulatorRectifier, 1.5), (ControlUnit, 0.5),
)
OTHER_KIND = 1.0
# What a fault's label begins with, the first that fits; shares within its part.
LABELS: tuple[tuple[str, float], ...] = (
    ("flat", 1.0), ("half charged", 0.5), ("sulphated", 0.5), ("dead cell", 0.3), ("blown", 1.0),
    ("stuck open", 1.0), ("stuck closed", 0.25), ("contacts", 0.7), ("coil shorted", 0.2), ("coil open", 0.4),
    ("high resistance 50 kohm", 0.3), ("high resistance", 0.8), ("shorted to supply", 0.15), ("shorted", 0.4),
    ("reversed", 0.1), ("seized", 0.2), ("worn", 1.0), ("85 and 86", 0.1), ("output", 0.3), ("input", 0.3),
    ("dead", 1.0), ("open", 0.8),
)
OTHER_LABEL = 0.3
SOUND = 2.0  # nothing wrong at all: the complaint was a misunderstanding, or has gone by itself
TOGETHER = 0.05  # of two unrelated faults at once, for each of the two shares


def prior(circuit: Circuit, suspect: tuple[str, ...]) -> float:
    """The share of a suspect, as fault ids, root cause first; consequences of a cause cost nothing more."""
    if not suspect:
        return SOUND
    root = suspect[0]
    part, label = circuit[part_of(root)], root.split(" ", 1)[1]
    kind = next((share for kinds, share in KINDS if isinstance(part, kinds)), OTHER_KIND)
    return kind * next((share for begins, share in LABELS if label.startswith(begins)), OTHER_LABEL)


def prior_of_two(circuit: Circuit, first: str, second: str) -> float:
    """The share of two unrelated faults at once."""
    return TOGETHER * min(prior(circuit, (first,)), prior(circuit, (second,)))
