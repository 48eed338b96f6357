"""Acts: the things a learner can do on the bay, as values, and as the plain fields a record or a widget holds."""

from collections.abc import Mapping
from dataclasses import dataclass

from kit.errors import OperationError

# What can be done with a fuse: out of its holder, the same one back in, a new one of the same rating, a bigger one.
FUSE_MOVES = ("out", "in", "new", "bigger")
BIGGER = 2.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Operate:
    """Move one control to one position."""

    control: str
    position: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Probe:
    """Put an instrument's two leads on two terminals: clip and tip, or black and red."""

    instrument: str
    leads: tuple[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Look:
    """Look closely at a part."""

    part: str


@dataclass(frozen=True, slots=True, kw_only=True)
class MoveFuse:
    """Take a fuse out, put it back, fit a new one of the same rating, or a bigger one."""

    part: str
    to: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Prepare:
    """Tick one step of getting ready safely."""

    step: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Find:
    """State what is wrong (``role`` fault) or what made it happen (``role`` cause), and the readings that show it."""

    role: str
    part: str
    fault: str
    readings: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Repair:
    """Mend or renew a part."""

    part: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Verify:
    """Declare the original complaint gone."""


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


Act = Operate | Probe | Look | MoveFuse | Prepare | Find | Repair | Verify | HandBack | Again | Plant
ACTS: Mapping[str, type] = {
    "operate": Operate, "probe": Probe, "look": Look, "fuse": MoveFuse, "prepare": Prepare, "find": Find,
    "repair": Repair, "verify": Verify, "hand back": HandBack, "again": Again, "plant": Plant,
}
NAMES = {kind: name for name, kind in ACTS.items()}


def act_from_fields(fields: Mapping[str, object]) -> Act:
    """An act from a record's or a widget's fields (``act`` names its kind); raises OperationError for nonsense."""
    kind = ACTS.get(str(fields.get("act")))
    if kind is None:
        raise OperationError(f"there is no act '{fields.get('act')}'; there are {', '.join(ACTS)}.")
    values: dict[str, object] = {}
    for name in kind.__dataclass_fields__:
        value = fields.get(name, () if name == "readings" else None)
        if name == "leads":
            two = isinstance(value, (list, tuple)) and len(value) == 2
            if not (two and all(isinstance(lead, str) for lead in value)):
                raise OperationError("a probe needs two leads, like [\"G1.-\", \"F1.2\"].")
            value = tuple(value)
        elif name == "readings":
            if not (isinstance(value, (list, tuple)) and all(type(number) is int for number in value)):
                raise OperationError("readings are a list of numbers from the test sheet.")
            value = tuple(value)
        elif not isinstance(value, str) or len(value) > 200:
            raise OperationError(f"act {fields.get('act')} needs '{name}' as a short text.")
        values[name] = value
    return kind(**values)


def fields_from_act(act: Act) -> dict[str, object]:
    """An act as plain fields for a record, the other way round from ``act_from_fields``."""
    fields: dict[str, object] = {"act": NAMES[type(act)]}
    for name in type(act).__dataclass_fields__:
        value = getattr(act, name)
        fields[name] = list(value) if isinstance(value, tuple) else value
    return fields
