"""A finding that names no such part, or contradicts itself, gets a question back; what was recorded stays.

Nothing here knows what is wrong with the machine, so nothing here can give it away.
"""

from difflib import get_close_matches

from kit.circuit import part_of
from kit.errors import OperationError
from kit.exercises.acts import Find, Note, Refer
from kit.machines import Machine

ROLES = ("fault", "cause")
SHOWN = 6  # names offered in a question


def check_part(machine: Machine, part: str) -> None:
    """Raise OperationError, as a question, for a part the machine does not have: nothing was recorded then."""
    if part not in machine.circuit:
        known = [each.id for each in machine.circuit.parts]
        titled = [each.id for each in machine.circuit.parts if part and part.lower() in each.title.lower()]
        like = get_close_matches(part.upper(), known, n=6, cutoff=0.5)
        # Of those written alike, the ones with the same letter first: K9 is more likely K2 than W9.
        near = (titled or sorted(like, key=lambda name: name[:1] != part[:1].upper()))[:3]
        which = f"Did you mean {' or '.join(near)}?" if near else "Which part do you mean? Its letters stand beside it."
        raise OperationError(f"{machine.id} has no part '{part}'. {which}")


def question_back(machine: Machine, act: Find | Note | Refer) -> str:
    """The question a finding or a suspicion raises by its own words; empty where it says what can be."""
    if isinstance(act, Refer) or not act.part:
        return ""
    own = [fault.split(" ", 1)[1] for fault in machine.faults if part_of(fault) == act.part]
    if isinstance(act, Find) and act.role not in ROLES:
        return f"Is {act.part} what is wrong, or what made it happen? Say role 'fault' or 'cause'."
    if not act.fault:
        return "" if isinstance(act, Note) else f"What is wrong with {act.part}? It can be: {_offered(own)}."
    if isinstance(act, Find) and act.role == "cause" and act.fault not in own:
        # A cause is told in words of its own, or is a fault elsewhere.
        return ""
    if act.fault in own:
        return ""
    others = sorted({part_of(fault) for fault in machine.faults if fault.split(" ", 1)[1] == act.fault})
    first = act.fault.split(" ", 1)
    if first[0] in machine.circuit and first[0] != act.part:
        return f"You say {act.part} and then {first[0]}: which of the two is it?"
    if others:
        can = f"{act.part} cannot be '{act.fault}'; {' or '.join(others[:SHOWN])} can."
        return f"{can} Is it another part, or is {act.part} {_offered(own)}?"
    return f"{act.part} cannot be '{act.fault}'. Is it {_offered(own)}?"


def _offered(own: list[str]) -> str:
    return " or ".join(own[:SHOWN]) + (" or another of its faults" if len(own) > SHOWN else "") or "sound"
