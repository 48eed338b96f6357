"""One act at a time, in the order they were made."""

import threading
from collections.abc import Iterator
from contextlib import contextmanager

# A message may be this late before those after it go on without it, in seconds.
LATE = 2.0


class Turns:
    """Lets the acts of one widget through one at a time, in the order of their numbers.

    Jupyter hands a widget's messages to more than one thread, and now and then a later one first.
    """

    def __init__(self) -> None:
        self.last = 0
        self._turn = threading.Condition()

    @contextmanager
    def take(self, number: object = None) -> Iterator[None]:
        """Wait for the turn of this number, and hold it; what is no whole number is simply the next."""
        with self._turn:
            wanted = number if type(number) is int else self.last + 1
            self._turn.wait_for(lambda: wanted <= self.last + 1, LATE)
            self.last = wanted if type(number) is int else self.last + 1
            try:
                yield
            finally:
                self._turn.notify_all()
