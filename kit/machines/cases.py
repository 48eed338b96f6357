"""Cases: the job cards of a machine, as its file tells them: complaint, decisive test, wrong guess, cause and cure."""

from collections.abc import Mapping
from dataclasses import dataclass

# What a case tests with, and the places each names in the file.
LEADS: Mapping[str, tuple[str, ...]] = {
    "lamp": ("clip", "tip"), "loading lamp": ("clip", "tip"), "led lamp": ("clip", "tip"),
    "volts": ("black", "red"), "millivolts": ("black", "red"), "ac volts": ("black", "red"),
    "ohms": ("black", "red"), "continuity": ("black", "red"), "diode test": ("black", "red"),
    "amps": ("black", "red"), "load tester": ("black", "red"),
}
PLACES: Mapping[str, str] = {"clamp": "around", "hydrometer": "at", "look": "at", "notice": "of"}
ELSEWHERE = "elsewhere"
TOOLS = (*LEADS, *PLACES, ELSEWHERE)
Moves = tuple[Mapping[str, str], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class CaseTest:
    """One test of a case: the tool, where it goes, how the machine stands meanwhile, and what it shows under the fault.

    ``places`` are the two leads (clip and tip, black and red), or the one part a clamp goes round, a look or an ear is
    turned to; none for a test ``elsewhere``, which ``how`` describes and nothing computes; ``cca`` is on the label of a
    battery under the load tester. ``moves`` are the positions set, one after another from rest, or from the running
    engine (``running``); ``off`` are parts unplugged first.
    """

    tool: str
    places: tuple[str, ...]
    shows: str
    moves: Moves = ({},)
    off: tuple[str, ...] = ()
    wiggled: tuple[str, ...] = ()
    warm: tuple[str, ...] = ()
    running: bool = False
    how: str = ""
    cca: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """One job card: what is wrong, root cause first, what the owner says of it, and the tests that decide.

    ``tried`` are the moves that show the complaint and ``does`` what the parts do then; ``rivals`` the faults the usual
    wrong conclusion ``mistaken_for`` stands for.
    """

    name: str
    faults: tuple[str, ...]
    owner: str
    tried: Moves
    does: Mapping[str, str]
    shows: str
    tests: tuple[CaseTest, ...]
    mistaken_for: str
    rivals: tuple[str, ...]
    cause: str
    repair: str
    why: str
    wiggled: tuple[str, ...] = ()
    warm: tuple[str, ...] = ()
    inspection: str = ""
