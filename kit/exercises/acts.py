"""Acts: the things a learner can do on the bay, as values, and as the plain fields a record or a widget holds.

An act of an old record has fewer fields; those that came later have a default, so that it means what it meant.
"""

import math
from collections.abc import Mapping
from dataclasses import MISSING, dataclass, fields
from types import MappingProxyType

from kit.errors import OperationError

# What can be done with a fuse: out of its holder, the same one back in, a new one of the same rating, a bigger one.
FUSE_MOVES = ("out", "in", "new", "bigger")
BIGGER = 2.0
MIN_MAX = "min max"
SWAPS = ("spare", "own")
HEATS = ("warm", "cold")
SHORT, LONG = 200, 4000  # characters of a short text, and of one written freely
MOST_SECONDS = 60.0
# The last things before the owner gets the machine back (common practice).
TIDY: Mapping[str, str] = MappingProxyType({
    "leads": "Leads and links off, every plug and fuse back",
    "covers": "Covers and guards on, loom clipped as it was",
    "tools": "Tools counted, nothing left inside",
    "key": "Key out, what was noted before (clock, codes, hours) set again",
})


@dataclass(frozen=True, slots=True, kw_only=True)
class Operate:
    """Move one control to one position; it stays there.

    ``held``: for how many seconds a hand kept it where it was until now; 0 where nobody counted.
    """

    control: str
    position: str
    held: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Press:
    """Move one control to one position, keep it there for so many seconds and let it go."""

    control: str
    position: str
    seconds: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Probe:
    """Put an instrument where it reads: two terminals for two leads, or the one thing it goes round or into.

    ``hold`` is ``min max`` where the meter is to keep the lowest and highest of what comes; ``reason`` is the
    learner's own.
    """

    instrument: str
    leads: tuple[str, ...]
    hold: str = ""
    reason: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Lift:
    """Take the instrument, or the link, off the machine."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Prove:
    """Try an instrument where the answer is known: on the workshop's own battery, or its leads together."""

    instrument: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Renew:
    """A new fuse in the multimeter or in the jumper."""

    instrument: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """Look closely at a part."""

    part: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Feel:
    """Put a hand on a part: warm, hot, or neither."""

    part: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Wiggle:
    """Move a part about and watch what comes of it."""

    part: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Warm:
    """Blow hot air on a part (``to`` warm), or let it cool again (cold)."""

    part: str
    to: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Unplug:
    """Take a wire, a plug or a clamp off. Leads then stand on the plug, on the loom's side."""

    part: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Plug:
    """Put a wire, a plug or a clamp on again."""

    part: str


@dataclass(frozen=True, slots=True, kw_only=True)
class MoveFuse:
    """Take a fuse out, put it back, fit a new one of the same rating, or a bigger one."""

    part: str
    to: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Swap:
    """Put a like part known to be good in a part's place (``to`` spare), or its own back (own)."""

    part: str
    to: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Prepare:
    """Tick one step of getting ready safely."""

    step: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Ask:
    """Ask the owner one of the card's questions."""

    question: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Note:
    """I suspect this part, or this fault of it, because …; with no part, a plain note."""

    text: str
    part: str = ""
    fault: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Reason:
    """Why a reading was taken, or what it told; ``reading`` is its number on the test sheet."""

    reading: int
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Undo:
    """Withdraw a line of the test sheet: it stays, struck through, and speaks for nothing any more."""

    reading: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Find:
    """State what is wrong (``role`` fault) or what made it happen (``role`` cause), and the readings that show it."""

    role: str
    part: str
    fault: str
    readings: tuple[int, ...] = ()
    because: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Refer:
    """Name the part it comes down to, and say that what is wrong there is beyond one's authority and whose it is."""

    part: str
    text: str
    readings: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Repair:
    """Mend or renew a part: ``how`` is one of the ways of ``kit.exercises.repairs``, ``steps`` its quality steps."""

    part: str
    how: str = ""
    steps: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Verify:
    """Declare the original complaint gone."""

    text: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tidy:
    """Tick one step of tidying up."""

    step: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Explain:
    """What the owner is told, in plain words: kept for a person to read."""

    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Plant:
    """Set a fault (``present`` yes) or take it away again (no): open practice only, never on a job."""

    fault: str
    present: str


@dataclass(frozen=True, slots=True, kw_only=True)
class HandBack:
    """Hand the machine back to its owner: the job is over and is marked."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Again:
    """Work the same job again from the start, for practice; what was done before stays recorded and marked."""


Act = (
    Operate | Press | Probe | Lift | Prove | Renew | Look | Feel | Wiggle | Warm | Unplug | Plug | MoveFuse | Swap
    | Prepare | Ask | Note | Reason | Undo | Find | Refer | Repair | Verify | Tidy | Explain | Plant | HandBack | Again
)
ACTS: Mapping[str, type] = MappingProxyType({
    "operate": Operate, "press": Press, "probe": Probe, "lift": Lift, "prove": Prove, "renew": Renew, "look": Look,
    "feel": Feel, "wiggle": Wiggle, "warm": Warm, "unplug": Unplug, "plug": Plug, "fuse": MoveFuse, "swap": Swap,
    "prepare": Prepare, "ask": Ask, "note": Note, "reason": Reason, "undo": Undo, "find": Find, "refer": Refer,
    "repair": Repair, "verify": Verify, "tidy": Tidy, "explain": Explain, "hand back": HandBack, "again": Again,
    "plant": Plant,
})
NAMES = {kind: name for name, kind in ACTS.items()}
# What is written freely may be long.
WRITTEN = ("text", "because", "reason")


def act_from_fields(given: Mapping[str, object]) -> Act:
    """An act from a record's or a widget's fields (``act`` names its kind); raises OperationError for nonsense."""
    kind = ACTS.get(str(given.get("act")))
    if kind is None:
        raise OperationError(f"there is no act '{given.get('act')}'; there are {', '.join(ACTS)}.")
    values: dict[str, object] = {}
    for item in fields(kind):
        if item.name in given:
            values[item.name] = _value(kind, item.name, given[item.name])
        elif item.default is MISSING:
            values[item.name] = _value(kind, item.name, None)
    return kind(**values)


def fields_from_act(act: Act) -> dict[str, object]:
    """An act as plain fields for a record, the other way round from ``act_from_fields``."""
    plain: dict[str, object] = {"act": NAMES[type(act)]}
    for item in fields(act):
        value = getattr(act, item.name)
        plain[item.name] = list(value) if isinstance(value, tuple) else value
    return plain


def _value(kind: type, name: str, value: object) -> object:
    """One field's value, checked."""
    act = NAMES[kind]
    match name:
        case "leads":
            texts = isinstance(value, (list, tuple)) and all(isinstance(lead, str) for lead in value)
            if not (texts and 1 <= len(value) <= 2):
                raise OperationError("a probe needs two leads, like [\"G1.-\", \"F1.2\"].")
            return tuple(value)
        case "readings":
            if not (isinstance(value, (list, tuple)) and all(type(number) is int for number in value)):
                raise OperationError("readings are a list of numbers from the test sheet.")
            return tuple(value)
        case "reading":
            if type(value) is not int or value < 0:
                raise OperationError(f"act {act} needs 'reading', the number of a line of the test sheet.")
            return value
        case "steps":
            texts = isinstance(value, (list, tuple)) and all(isinstance(step, str) for step in value)
            if not (texts and len(value) <= 20):
                raise OperationError("steps are a list of the quality steps that were done.")
            return tuple(value)
        case "seconds":
            if type(value) not in (int, float) or not (math.isfinite(value) and 0 < value <= MOST_SECONDS):
                raise OperationError(f"act {act} needs 'seconds', more than 0 and {MOST_SECONDS:g} at the most.")
            return float(value)
        case "held":
            if type(value) not in (int, float) or not (math.isfinite(value) and 0 <= value <= MOST_SECONDS):
                raise OperationError(f"act {act} needs 'held' in seconds, 0 to {MOST_SECONDS:g}.")
            return float(value)
    most = LONG if name in WRITTEN else SHORT
    if not isinstance(value, str) or len(value) > most:
        raise OperationError(f"act {act} needs '{name}' as a {'' if name in WRITTEN else 'short '}text.")
    return value
