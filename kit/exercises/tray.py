"""The tray: every instrument a learner can take up, how it is put on, and what it tells in comparable form."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from kit.circuit import Battery, Instrument, Part, Terminal, Wire
from kit.diagnose.leads import cold_cranking_amps
from kit.errors import OperationError
from kit.instruments import (
    LOADING_WATTS,
    ClampMeter,
    FusedJumper,
    Hydrometer,
    LedLamp,
    LoadTester,
    Multimeter,
    Reading,
    TestLamp,
    put_on,
)
from kit.instruments.meter import HOLDS
from kit.machines import Machine, Operation

METER, JUMPER = "multimeter", "jumper"
BARE_OHMS = 2e-3
SPARKS_FROM = 5.0  # amps through a bare wire at which its touching is seen and heard (common practice)
# How far two figures may lie apart before a careful reader calls them different: so much, or this share of the one.
# A tenth of a volt or three parts in a hundred on volts; the others as steady as their last digits (common practice).
ALIKE: Mapping[str, tuple[float, float]] = MappingProxyType({
    "volts": (0.1, 0.03), "millivolts": (1e-3, 0.05), "ac volts": (0.5, 0.05), "ohms": (0.3, 0.05),
    "continuity": (0.3, 0.05), "diode test": (0.03, 0.03), "amps": (0.1, 0.05), "clamp amps": (1.0, 0.05),
    "tester volts": (0.1, 0.02),
})


@dataclass(frozen=True, slots=True, kw_only=True)
class BareWire:
    """A wire with no fuse, or a screwdriver, across two terminals: no test, but hands do it. It shows if it sparks."""

    start: str
    end: str

    def body(self) -> tuple[Part, ...]:
        """What the circuit sees of it."""
        start, end = Terminal.read(self.start), Terminal.read(self.end)
        return (Instrument(id="bare wire", title="bare wire", start=start, end=end, ohms=BARE_OHMS),)

    def put_on(self, operation: Operation) -> Operation:
        """The machine with the wire on it."""
        return put_on(operation, self.body())

    def shows(self, now: Operation) -> Reading:
        """Whether it sparks as it touches."""
        shown = "it sparks" if abs(now.solution.amps["bare wire"]) >= SPARKS_FROM else "no spark"
        return Reading(instrument="bare wire", leads=(self.start, self.end), shown=shown, accepts=(shown,))


@dataclass(frozen=True, slots=True, kw_only=True)
class AllCells:
    """A hydrometer drawn through every cell of a battery, one after another."""

    battery: str

    def read(self, operation: Operation) -> Reading:
        """The floats' figures, cell 1 (at the minus post) first; or that there are no caps."""
        first = Hydrometer(battery=self.battery).read(operation)
        if first.value is None:
            return first
        cells = operation.machine.circuit[self.battery].cells
        more = [Hydrometer(battery=self.battery, cell=cell).read(operation) for cell in range(2, cells + 1)]
        shown = ", ".join(reading.shown for reading in (first, *more))
        return Reading(instrument="hydrometer", leads=first.leads, shown=shown, accepts=(shown,))


@dataclass(frozen=True, slots=True, kw_only=True)
class Tool:
    """One instrument of the tray.

    ``leads`` are its leads' words, ``proved`` the name it is proved under (the ranges of a meter are one instrument;
    empty: it needs no proof), ``minutes`` what it takes beyond reaching the points, ``spends`` whose fuse it can blow.
    ``loads``: its body changes the circuit and stays on; otherwise it is solved afresh, or feels nothing at all.
    """

    title: str
    leads: tuple[str, ...]
    make: Callable[[Machine, tuple[str, ...]], object]
    tells: str = ""
    proved: str = ""
    minutes: float = 0.0
    spends: str = ""
    loads: bool = True
    holds: bool = False


def _meter(scale: str) -> Callable[[Machine, tuple[str, ...]], Multimeter]:
    return lambda _machine, leads: Multimeter(scale, black=leads[0], red=leads[1])


def _lamp(machine: Machine, leads: tuple[str, ...]) -> TestLamp:
    return TestLamp(clip=leads[0], tip=leads[1], volts=machine.volts)


def _loading(machine: Machine, leads: tuple[str, ...]) -> TestLamp:
    return TestLamp(clip=leads[0], tip=leads[1], watts=LOADING_WATTS, volts=machine.volts)


def _tester(machine: Machine, leads: tuple[str, ...]) -> LoadTester:
    return LoadTester(minus=leads[0], plus=leads[1], cca=_cold_cranking_amps(machine))


CLIP_TIP, BLACK_RED, ENDS = ("clip", "tip"), ("black lead", "red lead"), ("one end", "other end")
TRAY: Mapping[str, Tool] = MappingProxyType({
    "lamp": Tool(title="test lamp", leads=CLIP_TIP, make=_lamp, tells="lamp", proved="test lamp"),
    "loading lamp": Tool(title="loading lamp, 21 W", leads=CLIP_TIP, make=_loading, tells="lamp",
                         proved="loading lamp"),
    "led lamp": Tool(title="LED lamp", leads=CLIP_TIP, tells="lamp", proved="LED lamp",
                     make=lambda _machine, leads: LedLamp(clip=leads[0], tip=leads[1])),
    **{
        scale: Tool(
            title=f"multimeter, {scale}", leads=BLACK_RED, make=_meter(scale), tells=scale, proved=METER,
            minutes={"amps": 3.0, "ac volts": 1.0}.get(scale, 0.0), spends=METER if scale == "amps" else "",
            loads=scale not in ("ohms", "continuity", "diode test"), holds=scale in HOLDS,
        )
        for scale in ("volts", "millivolts", "ac volts", "ohms", "continuity", "diode test", "amps")
    },
    "clamp": Tool(title="clamp meter", leads=("wire",), tells="clamp amps", minutes=1.0, loads=False,
                  make=lambda _machine, leads: ClampMeter(wire=leads[0])),
    "load tester": Tool(title="battery load tester", leads=("minus clamp", "plus clamp"), make=_tester,
                        tells="tester volts", minutes=3.0, loads=False),
    "hydrometer": Tool(title="hydrometer", leads=("battery",), tells="cells", minutes=5.0, loads=False,
                       make=lambda _machine, leads: AllCells(battery=leads[0])),
    JUMPER: Tool(title="fused jumper, 10 A", leads=ENDS, minutes=1.0, spends=JUMPER,
                 make=lambda _machine, leads: FusedJumper(start=leads[0], end=leads[1])),
    "bare wire": Tool(title="bare wire or screwdriver, no fuse", leads=ENDS,
                      make=lambda _machine, leads: BareWire(start=leads[0], end=leads[1])),
})
# The fuse of an instrument's own, by the id it has in the circuit.
OWN_FUSES: Mapping[str, str] = MappingProxyType({METER: "meter fuse", JUMPER: "jumper fuse"})
# What each shows where the answer is known: on the workshop's own charged battery.
PROVED_SHOWS: Mapping[str, str] = MappingProxyType({
    "test lamp": "bright", "loading lamp": "bright", "LED lamp": "red one way, green the other",
    METER: "volts right on the workshop's battery, and the leads together beep",
})


def tool(name: str) -> Tool:
    """An instrument of the tray; raises OperationError for one that is not there."""
    if name not in TRAY:
        raise OperationError(f"there is no instrument '{name}'; there are {', '.join(TRAY)}.")
    return TRAY[name]


def check_leads(machine: Machine, name: str, leads: tuple[str, ...]) -> None:
    """Raises OperationError where the instrument cannot be put there."""
    taken = tool(name)
    if len(leads) != len(taken.leads):
        words = " and ".join(taken.leads)
        raise OperationError(f"the {taken.title} needs {len(taken.leads)} ({words}), not {len(leads)}.")
    if len(leads) == 1:
        wanted = Wire if name == "clamp" else Battery
        if leads[0] not in machine.circuit or not isinstance(machine.circuit[leads[0]], wanted):
            raise OperationError(f"the {taken.title} goes to a {wanted.word}; {leads[0]} is none.")
        return
    for lead in leads:
        if Terminal.read(lead) not in machine.points:
            raise OperationError(f"a lead cannot be put on {lead}; it is not among the test points.")
    if leads[0] == leads[1]:
        raise OperationError(f"both leads on {lead} tell nothing; prove the {taken.title} instead.")


def told(name: str, reading: Reading) -> object:
    """What a reading tells, in a form in which two can be compared."""
    tells = tool(name).tells
    if tells == "lamp":
        return ("lamp", reading.accepts)
    if reading.value is None or not tells:
        return ("text", reading.shown)
    return (tells, float(reading.value))


def _cold_cranking_amps(machine: Machine) -> float:
    """What the battery's label says, by the machine's data sheet."""
    amps = cold_cranking_amps(machine)
    if amps is None:
        raise OperationError(f"the data of {machine.id} name no cold cranking amps to set the load tester by.")
    return amps
