"""What ``operate`` prints: an operation in words and volts."""

from collections.abc import Iterator, Sequence

from kit.errors import OperationError
from kit.machines import Operation, machine


def report(machine_id: str, positions: Sequence[str], faults: Sequence[str]) -> Iterator[str]:
    """The lines that tell what a machine does with its controls set so (``key=on``) and these faults in it."""
    known = machine(machine_id)
    moved = dict(read_position(text) for text in positions)
    now = known.operate(*faults, **moved)
    yield f"{known.title}: {_settings(now)}"
    for fault in faults:
        yield f"Fault: {fault}"
    yield ""
    sentences = [notice.text for notice in now.noticed if notice.text]
    yield from sentences or ["Nothing lights, clicks or moves."]
    yield ""
    width = max(len(str(point)) for point in known.points)
    for terminal, point in known.points.items():
        volts = now.volts[str(terminal)]
        # Tidied so that a hair below zero does not print as minus nought.
        shown = "floats" if volts is None else f"{round(volts, 2) + 0.0:.2f} V"
        yield f"{terminal!s:<{width}}  {shown:>8}  {point.where}"


def read_position(text: str) -> tuple[str, str]:
    """A control and its position from text such as ``key=on``; raises OperationError."""
    control, equals, position = text.partition("=")
    if not (equals and control and position):
        raise OperationError(f"'{text}' is not a control and its position; write it like key=on.")
    return control, position


def _settings(now: Operation) -> str:
    return ", ".join(now.machine.in_words(now.positions))
