"""How often each kind of fault is met, before anything is known: rough shares from the bench (common practice).

Only their proportions count. A machine's age, place and season shift them; a learner's card prints what was used.
"""

from collections.abc import Iterator
from types import MappingProxyType

from kit.circuit import (
    LED,
    Alternator,
    Battery,
    Circuit,
    ControlUnit,
    Diode,
    FloatCharger,
    FuelSolenoid,
    Fuse,
    GlowPlug,
    Joint,
    Lamp,
    Magneto,
    Metal,
    Motor,
    Part,
    RegulatorRectifier,
    Relay,
    Resistor,
    StarterSolenoid,
    Stator,
    Switch,
    Wire,
    part_of,
)
from kit.errors import DiagnosisError

KINDS: MappingProxyType[type[Part], float] = MappingProxyType({
    Battery: 10.0, Fuse: 6.0, Switch: 4.0, Lamp: 4.0, Joint: 3.0, Relay: 2.5, StarterSolenoid: 2.5, Motor: 2.5,
    GlowPlug: 2.0, FuelSolenoid: 2.0, Alternator: 2.0, RegulatorRectifier: 1.5, Stator: 1.0, Magneto: 1.0, Wire: 1.0,
    FloatCharger: 1.0, Diode: 1.0, LED: 0.5, ControlUnit: 0.5, Resistor: 0.3, Metal: 0.1,
})
# What a fault's label begins with, the first that fits; shares within its part.
LABELS: tuple[tuple[str, float], ...] = (
    ("flat", 1.0), ("half charged", 0.5), ("quarter charged", 0.5), ("run down", 0.7), ("sulphated", 0.5),
    ("dead cell", 0.3), ("blown", 1.0), ("stuck open", 1.0), ("stuck closed", 0.25), ("contacts welded", 0.3),
    ("contacts", 0.7), ("rest contact", 0.2), ("coil shorted", 0.2), ("coil open", 0.4), ("pull coil", 0.3),
    ("hold coil", 0.3), ("pulls in weakly", 0.3), ("high resistance 50 kohm", 0.3), ("high resistance", 0.8),
    ("shorted to supply", 0.15), ("shorted", 0.4), ("bridged", 0.1), ("reversed", 0.1), ("seized", 0.2),
    ("engine too stiff", 0.2), ("worn", 1.0), ("brushes", 0.7), ("85 and 86", 0.1), ("diode", 0.4), ("exciter", 0.3),
    ("regulator", 0.5), ("does not regulate", 0.5), ("leaks", 0.2), ("winding", 0.5), ("turns", 0.4),
    ("grounded inside", 0.4), ("output", 0.3), ("input", 0.3), ("wrong spare", 0.1), ("dead", 1.0), ("open", 0.8),
    ("too stiff", 0.2),
)
OTHER_LABEL = 0.3  # a fault of a machine's own file that is called like none of these
SOUND = 2.0  # nothing wrong at all: the complaint was a misunderstanding, or has gone by itself
AT_REST = 0.1  # how often a fault that comes and goes shows by itself
TOGETHER = 0.05  # of two unrelated faults at once, for each of the two shares


def prior(circuit: Circuit, suspect: tuple[str, ...]) -> float:
    """The share of a suspect, as fault ids, root cause first; consequences of a cause cost nothing more."""
    if not suspect:
        return SOUND
    root = suspect[0]
    part, label = circuit[part_of(root)], root.split(" ", 1)[1]
    return share_of_kind(part) * share_of_label(label)


def share_of_kind(part: Part) -> float:
    """The share of faults in parts of this kind; raises DiagnosisError for a kind nobody gave one."""
    for kind, share in KINDS.items():
        if isinstance(part, kind):
            return share
    raise DiagnosisError(f"kit/diagnose/priors.py has no share for a {part.word}; give it one.")


def share_of_label(label: str) -> float:
    """The share of a fault among those of its part, by what it is called; a machine's own fault may be called anything.
    """
    return next((share for begins, share in LABELS if label.startswith(begins)), OTHER_LABEL)


def shares_in_words(circuit: Circuit) -> Iterator[tuple[str, float]]:
    """For the card: each kind of part in a circuit, and the share of faults in one such part, most usual first."""
    kinds = {part.word: share_of_kind(part) for part in circuit.parts}
    yield from sorted(kinds.items(), key=lambda pair: (-pair[1], pair[0]))


def prior_of_two(circuit: Circuit, first: str, second: str) -> float:
    """The share of two unrelated faults at once."""
    return TOGETHER * min(prior(circuit, (first,)), prior(circuit, (second,)))
