"""The progress bar of a long command, on the error stream so that it never mixes with what is printed."""

from collections.abc import Callable, Iterator
from contextlib import contextmanager


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
    shown = Progress(BarColumn(), MofNCompleteColumn(), name_column, console=Console(stderr=True))
    task = shown.add_task("", total=None)

    def told(done: int, total: int, name: str) -> None:
        # Begun with the first step: an error before that needs no bar above it.
        shown.start()
        shown.update(task, completed=done, total=total, description=name)

    try:
        yield told
    finally:
        shown.stop()
