"""What a close look tells: what is seen is there; what is not seen may be there all the same.

A part can look fine and be bad. A chafe lies under the tape, green under a sleeve, paint under a lug, and a switch that
one machine's bent bracket keeps open sticks on another with nothing to see. So a look that shows nothing clears a part
of those faults alone that always have an answer for the eye or the hand: in one piece or in two, what is printed on it,
which way round it is, whether it moves by hand.
"""

from collections.abc import Iterable

from kit.circuit import Change, Fault, FuelSolenoid, Fuse, Joint, Lamp, Motor, Open, Reversed, Spare, Wire
from kit.machines import Machine
from kit.machines.catalogue import HEAVY_FROM_MM2, NOTHING_TO_SEE

# How often a look finds what can be missed: three times of four (common practice, from memory).
FOUND = 0.75


def always_shows(machine: Machine, fault: Fault) -> bool:
    """Whether nobody who looks at the part can miss this fault, if it has a look at all."""
    part = machine.circuit[fault.part]
    match fault.edit:
        case Spare() | Reversed():
            return True
        case Open():
            return isinstance(part, (Fuse, Joint, Lamp)) or (isinstance(part, Wire) and part.mm2 >= HEAVY_FROM_MM2)
        case Change(field="load_amps"):
            return isinstance(part, Motor)
        case Change(field="pull_in_volts"):
            # Its fault is the linkage: moved by hand, it moves or does not.
            return isinstance(part, FuelSolenoid)
    return False


def in_one(looks: Iterable[str]) -> str:
    """What several things to be seen at one part come to; where there is none, exactly what a sound part shows."""
    return " ".join(dict.fromkeys(one for one in looks if one != NOTHING_TO_SEE)) or NOTHING_TO_SEE
