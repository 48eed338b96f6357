"""A teaching kit for electrical fault-finding on 12 V and 24 V small machines.

    import kit
    bike = kit.machine("orchard-bike")
    now = bike.operate(key="on", start_button="pressed")
    now.volts["K1.86"], now.amps["M1"], now.relays["K1"]
    kit.TestLamp(clip="G1.-", tip="F1.2").read(now)
    kit.Multimeter("volts", black="G1.-", red="F1.2").read(now)
    kit.blocks(bike)                 # the stages, in the order the current meets them
    kit.draw(bike, stage="main feed", now=now)
    kit.bay(bike)                    # operate and measure a machine
    kit.job("J1")                    # a complaint with a hidden fault
    kit.today("orchard-bike")        # a machine with the fault of the day, the same for the whole course
    kit.corner("orchard-bike")       # for the instructor: set and hide faults, vote, replay, see how far all are
    kit.ask("06.1")                  # a question, in your own variant
    kit.starters("06")               # questions from earlier lessons to begin with
    kit.practise()                   # a fresh variant of what you are least sure of
    kit.progress()                   # how far you have come
    kit.cases()                      # the case library: sixty old jobs by symptom, your own among them
    kit.mapping("06")                # which exercise is evidence for what, and which standards ask for it

``kit.machine_ids()`` lists the fleet; a page begins with ``kit.ready()``, the start page also with ``kit.sign_in()``
and ends with ``kit.hand_in()``.
"""

import sys
from importlib import import_module


def _stop(text: str) -> None:
    """Say what is missing here: on the command line as one line, elsewhere as an ImportError."""
    if sys.argv[:1] == ["-m"]:
        print(f"Error: {text}", file=sys.stderr)
        raise SystemExit(2)
    raise ImportError(text)


if sys.version_info < (3, 11):  # noqa: UP036 (somebody may start it by an older one)
    _stop(f"the kit needs Python 3.11 or newer, and this is {sys.version.split()[0]} ({sys.executable}).")
try:
    from kit.instruments import Multimeter, TestLamp
    from kit.machines import machine, machine_ids
except ModuleNotFoundError as reason:
    if (reason.name or "kit").split(".")[0] == "kit":
        raise
    _stop(
        f"{reason.name} is not installed for this Python ({sys.executable}). In the kit's folder the one that has it "
        "is .venv/bin/python (on Windows .venv\\Scripts\\python); to set it up, see README.md."
    )

__version__ = "0.1"
__all__ = [
    "Multimeter", "TestLamp", "ask", "bay", "blocks", "cases", "corner", "draw", "hand_in", "job", "machine",
    "machine_ids", "mapping", "practise", "progress", "ready", "sign_in", "starters", "today",
]

# These bring schemdraw or widgets with them, so their rooms are entered only when they are asked for. The rooms `draw`
# and `bay` can themselves be called; see their own files.
_LATE = {"draw": "kit.draw", "blocks": "kit.draw", "mapping": "kit.marking.mapping", **dict.fromkeys((
    "bay", "cases", "corner", "hand_in", "job", "ask", "practise", "progress", "ready", "sign_in", "starters", "today",
), "kit.bay")}


def __getattr__(name: str) -> object:
    if name not in _LATE:
        raise AttributeError(f"kit has no '{name}'; it has {', '.join(__all__)}.")
    room = import_module(_LATE[name])
    return room if room.__name__ == f"kit.{name}" else getattr(room, name)


def __dir__() -> list[str]:
    return sorted(__all__)
