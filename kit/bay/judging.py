"""A job's mark worked out beside the page, so that nobody looks at a page that does not answer.

Where much turns, all suspects are run again, and the first mark on a machine takes a good part of a minute.
"""

import logging
import threading
from collections.abc import Callable, Sequence

from kit.errors import KitError
from kit.exercises.acts import Act
from kit.exercises.cards import JobCard
from kit.exercises.jobs import Review, review

# So long a page waits for the mark, in seconds; where it takes longer the mark comes when it is worked out.
PATIENCE = 4.0
MOST_OF_IT = 200  # characters of what went wrong
UNMARKED = (
    "The mark could not be worked out ({reason}). Nothing is lost: every act is in your record, and marking goes by "
    "that. Try once more, or go on and show this line to whoever runs the course."
)


class Judging:
    """The marking of one handing back, begun in a thread of its own when it is made.

    ``tell`` is called from there once the mark is known or has failed, where a page was answered without it.
    """

    def __init__(
        self, card: JobCard, planted: tuple[str, ...], acts: Sequence[Act], tell: Callable[["Judging"], None]
    ) -> None:
        self._work, self._tell = (card, planted, tuple(acts)), tell
        self._done, self._late = threading.Event(), False
        self._mark: Review | None = None
        self._failed: Exception | None = None
        threading.Thread(target=self._judge, daemon=True).start()

    def mark(self, patience: float | None) -> Review | None:
        """The mark; None where it is not known after ``patience`` seconds (None waits for it), or has failed."""
        if not self._done.wait(patience):
            self._late = True
        return self._mark

    @property
    def trouble(self) -> str:
        """What a learner is told where the marking failed; empty where it did not."""
        if self._failed is None:
            return ""
        reason = str(self._failed) if isinstance(self._failed, KitError) else repr(self._failed)
        return UNMARKED.format(reason=reason[:MOST_OF_IT].rstrip("."))

    def _judge(self) -> None:
        card, planted, acts = self._work
        try:
            from kit.exercises.library import efficiency_of_card

            self._mark = review(card, planted, acts, efficiency=efficiency_of_card(card.id))
        except Exception as reason:
            # Whatever it is, the page must hear of it; whoever mends it finds the rest in the log.
            logging.getLogger(__name__).warning("job card %s could not be marked", card.id, exc_info=reason)
            self._failed = reason
        self._done.set()
        if self._late:
            self._tell(self)


def review_fields(mark: Review, card: JobCard, planted: tuple[str, ...]) -> dict:
    """The mark as the page shows it, and what was wrong."""
    return {
        "points": mark.points, "of": mark.of, "passed": mark.passed, "cap": mark.cap,
        "lines": [{"what": line.what, "points": line.points, "of": line.of, "why": line.why} for line in mark.lines],
        "truth": [f"{fault}: {_cause(card, fault)}. {_looks(card, fault)}" for fault in planted],
    }


# A case has words of its own for its root cause, and a close look on the job showed those.
def _cause(card: JobCard, fault: str) -> str:
    case = card.case()
    return case.cause if case is not None and fault == case.faults[0] else card.machine.notes[fault].cause


def _looks(card: JobCard, fault: str) -> str:
    return card.looks.get(fault, card.machine.notes[fault].looks)
