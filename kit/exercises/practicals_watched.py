"""What an observer looks for, in plain words, where several practicals look for the same."""

from kit.exercises.practicals import Watched

# What ends any practical at once, whoever does it.
STOPS: tuple[str, ...] = (
    "A tool, a lead or a ring across the battery's tags or posts, or about to be.",
    "A meter set to amps laid across the battery or across a plus and a minus point.",
    "A fuse of another rating, wire or foil in its place.",
    "Anything that smells, smokes or gets too hot to touch, and is left on.",
)
CRANKING_STOPS: tuple[str, ...] = (
    "On a machine: cranked before it was made safe, or with a hand near what turns.",
    "On a machine: an interlock bridged, or a starter bridged with a tool.",
)


def safe(*more: str) -> Watched:
    """Makes it safe, on the bench; and what this practical asks besides."""
    return Watched(criterion="safe", seen=(
        "Before the first touch: rings and watch off, eyes protected, bench clear; on a machine key out, on its stand, "
        "people told.",
        "Minus clip or ground lead off first and on last, whenever something is taken out.", *more,
    ))


def prove(*more: str) -> Watched:
    """Proves the instrument."""
    return Watched(criterion="prove", seen=(
        "Proves lamp and meter on the battery before the first reading, and again after the last.", *more,
    ))


def measure(*more: str) -> Watched:
    """Measures and writes down."""
    return Watched(criterion="measure", seen=(
        "Both leads where the sheet says, firm, on bare metal; hands clear of other points.",
        "Writes point, reading with its unit, and condition before moving on.", *more,
    ))


def repair(*more: str) -> Watched:
    """Puts right, and shows it."""
    return Watched(criterion="repair", seen=(
        "Takes out what was planted and nothing else; each spade, plug and fuse seated and tugged.",
        "Shows the owner's own complaint gone, then tries every interlock: with it open, nothing starts.", *more,
    ))


def find(*more: str) -> Watched:
    """Locates, and shows it."""
    return Watched(criterion="find", seen=(
        "Names one part, and the two readings that shut it in, before anything is taken out.", *more,
    ))
