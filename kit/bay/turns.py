"""One act at a time, in the order they were made, and none of them twice."""

import threading
from collections import OrderedDict
from collections.abc import Iterator
from contextlib import contextmanager

# A message may be this late before those after it go on without it, in seconds.
LATE = 2.0
# How many pages of one widget, and how many numbers of each, are remembered.
PAGES, NUMBERS = 8, 200


class Turns:
    """Lets the acts of one widget through one at a time, in the order of their numbers.

    Jupyter hands a widget's messages to more than one thread, and now and then a later one first. A page that hears
    nothing sends an act again; it is done once. ``count`` is how many were let through.
    """

    def __init__(self) -> None:
        self.count = 0
        self._done: OrderedDict[str, list[int]] = OrderedDict()
        self._turn = threading.Condition()

    def done(self) -> dict[str, list[int]]:
        """The numbers let through, of each page that sent them."""
        return {page: list(numbers) for page, numbers in self._done.items()}

    @contextmanager
    def take(self, number: object = None, page: object = "") -> Iterator[bool]:
        """Wait for the turn of this number of a page, and hold it; yields whether it is new.

        What is no whole number is simply the next.
        """
        with self._turn:
            page = page if isinstance(page, str) else ""
            numbers = self._done.setdefault(page, [])
            self._done.move_to_end(page)
            if type(number) is not int:
                number = max(numbers, default=0) + 1
            self._turn.wait_for(lambda: number <= max(numbers, default=0) + 1, LATE)
            fresh = number not in numbers
            if fresh:
                self.count += 1
                numbers.append(number)
                del numbers[:-NUMBERS]
                while len(self._done) > PAGES:
                    self._done.popitem(last=False)
            try:
                yield fresh
            finally:
                self._turn.notify_all()
