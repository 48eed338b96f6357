"""The progress bar of a long command, on the error stream so that it never mixes with what is printed."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from time import monotonic

BETWEEN = 0.05  # seconds


@contextmanager
def bar(*, quiet: bool) -> Iterator[Callable[[int, int, str], None]]:
    """A bar while the block runs; gives what the work calls with steps done, steps in all, and what is at hand."""
    if quiet:
        yield lambda done, total, name: None
        return
    from rich.console import Console
    from rich.progress import BarColumn, MofNCompleteColumn, Progress, TextColumn

    # Names come from files: no markup in them is to be believed.
    name_column = TextColumn("{task.description}", markup=False)
    # Drawn at a step, not by a thread of its own: only a process without another thread can be copied (marking does).
    columns = BarColumn(), MofNCompleteColumn(), name_column
    shown = Progress(*columns, console=Console(stderr=True), auto_refresh=False)
    task, drawn = shown.add_task("", total=None), 0.0

    def told(done: int, total: int, name: str) -> None:
        nonlocal drawn
        # Begun with the first step: an error before that needs no bar above it.
        shown.start()
        shown.update(task, completed=done, total=total, description=name)
        # Thousands of steps a second are not worth a drawing each.
        if done == total or monotonic() > drawn + BETWEEN:
            shown.refresh()
            drawn = monotonic()

    try:
        yield told
    finally:
        # Stopped where it never began it would print an empty line.
        if shown.live.is_started:
            shown.stop()
