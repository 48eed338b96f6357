"""What an answer earned, and why."""

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Mark:
    """Points of so many, the reason in words that teach, and the ids of ideas the answer speaks for.

    ``cells`` tells of a table, by row, which of its cells are right; ``beside`` is the reason for a page where each
    cell already shows what was said and what is so. ``understood`` is False where the answer could not
    be read: nothing was marked, and the learner is asked again.
    """

    points: int
    of: int
    reason: str
    ideas: tuple[str, ...] = ()
    understood: bool = True
    cells: Mapping[str, tuple[bool, ...]] | None = None
    beside: str = ""


def asked_again(of: int, reason: str) -> Mark:
    """The mark of an answer that could not be read."""
    return Mark(points=0, of=of, reason=reason, understood=False)
