"""Machines nobody built, to be drawn in tests: series chains, parallel loads, relays with interlocks, control units."""

from random import Random
from types import MappingProxyType

from kit.circuit import (
    Battery,
    Circuit,
    ControlUnit,
    Diode,
    Fuse,
    GlowPlug,
    Joint,
    Lamp,
    Metal,
    Motor,
    Relay,
    Resistor,
    StarterSolenoid,
    Switch,
    Terminal,
    Wire,
)
from kit.machines.machine import Machine, Stage

WORDS = (
    "main", "lamp", "left", "right", "rear", "work", "cab", "pump", "seat", "panel", "hour", "fuel", "reverse", "brake",
    "hydraulic", "emergency", "interlock", "temperature", "auxiliary", "upper",
)
COLOURS = ("RD", "BK", "BU", "GN", "YEBK", "WHRD", "OG", "GNYE")
SIZES = (0.75, 1.0, 1.5, 2.5, 6.0, 16.0)


class Bench:
    """A circuit while it is put together; every choice comes from one seed."""

    def __init__(self, seed: int) -> None:
        self.random = Random(seed)
        self.parts: list = []
        self.counts: dict[str, int] = {}

    def new(self, letter: str) -> str:
        self.counts[letter] = self.counts.get(letter, 0) + 1
        return f"{letter}{self.counts[letter]}"

    def title(self, noun: str) -> str:
        return " ".join([*self.random.sample(WORDS, self.random.choice((1, 1, 2, 3))), noun])

    def add(self, part):
        self.parts.append(part)
        return part

    def wire(self, start: Terminal, end: Terminal) -> None:
        random = self.random
        self.add(Wire(
            id=self.new("W"), title=self.title("wire"), start=start, end=end, mm2=random.choice(SIZES), metres=0.5,
            colour=random.choice(COLOURS),
        ))

    def two(self, kind, letter: str, noun: str, **figures) -> tuple[Terminal, Terminal]:
        part = self.add(kind(id=self.new(letter), title=self.title(noun), **figures))
        return part.terminals[0], part.terminals[1]

    def in_line(self, start: Terminal) -> Terminal:
        """Something in series after a terminal; gives the terminal after it."""
        random = self.random
        match random.randrange(5):
            case 0:
                a, b = self.two(Fuse, "F", "fuse", amps=10.0, ohms=0.008)
            case 1 | 2:
                a, b = self.two(Switch, random.choice("SB"), "switch", ohms=0.01)
            case 3:
                name = self.new("X")
                here = Terminal(name, "pin")
                self.add(Joint(id=name, title=self.title("connector"), start=start, end=here, ohms=0.001))
                return here
            case _:
                a, b = self.two(Diode, "R", "diode", saturation_amps=3e-9, emission=1.4)
        self.wire(start, a)
        return b

    def load(self) -> tuple[Terminal, Terminal]:
        match self.random.randrange(4):
            case 0:
                return self.two(Lamp, "E", "lamp", watts=21.0, volts=13.5)
            case 1:
                return self.two(Resistor, "E", "heater", ohms=3.0)
            case 2:
                return self.two(GlowPlug, "E", "glow plug", cold_ohms=0.45, hot_ohms=1.1, volts=11.0)
        return self.two(
            Motor, "M", "motor", ohms=0.5, load_amps=4.0, drag=0.05, cranking_emf=7.0
        )

    def path(self, start: Terminal, things: int) -> Terminal:
        for _ in range(things):
            start = self.in_line(start)
        return start

    def relay(self, feeds: list[Terminal], grounds: list[Terminal]) -> None:
        random = self.random
        contacts = random.choice(("make", "make", "change-over"))
        name = self.new("K")
        self.add(Relay(
            id=name, title=self.title("relay"), coil_ohms=80.0, pull_in_volts=7.0, drop_out_volts=3.0,
            contact_ohms=0.01, contacts=contacts, suppression=random.choice(("none", "diode")),
        ))
        self.wire(self.path(random.choice(feeds), random.randrange(3)), Terminal(name, "86"))
        if random.random() < 0.3:  # an interlock: two ways to ground, one through a diode
            self.wire(self.path(Terminal(name, "85"), 2), random.choice(grounds))
        self.wire(self.path(Terminal(name, "85"), random.randrange(3)), random.choice(grounds))
        self.wire(random.choice(feeds), Terminal(name, "30"))
        for contact in ("87", "87a") if contacts == "change-over" else ("87",):
            if random.random() < 0.9:
                self.branch([Terminal(name, contact)], grounds, random.randrange(2))

    def solenoid(self, feeds: list[Terminal], grounds: list[Terminal]) -> None:
        name = self.new("K")
        self.add(StarterSolenoid(
            id=name, title=self.title("solenoid"), pull_ohms=0.4, hold_ohms=1.2, pull_in_volts=7.0, drop_out_volts=3.0,
            contact_ohms=0.001,
        ))
        stud, body = self.load()
        self.wire(self.path(self.random.choice(feeds), 1), Terminal(name, "50"))
        self.wire(feeds[0], Terminal(name, "30"))
        self.wire(Terminal(name, "M"), stud)
        self.wire(body, self.random.choice(grounds))
        self.wire(Terminal(name, "body"), self.random.choice(grounds))

    def unit(self, feeds: list[Terminal], grounds: list[Terminal]) -> None:
        random = self.random
        name, inputs, outputs = self.new("K"), random.randrange(4), random.randrange(3)
        sensed = tuple(f"in{n}" for n in range(1, inputs + 1))
        self.add(ControlUnit(
            id=name, title=self.title("unit"), volts=12.0, amps=0.3, inputs=sensed,
            outputs=tuple((f"out{n}", sensed[:n]) for n in range(1, outputs + 1)),
        ))
        self.wire(self.path(random.choice(feeds), random.randrange(2)), Terminal(name, "supply"))
        self.wire(Terminal(name, "ground"), random.choice(grounds))
        for pin in sensed:
            if random.random() < 0.9:
                self.wire(self.path(Terminal(name, pin), 1), random.choice(grounds))
        for n in range(1, outputs + 1):
            a, b = self.load()
            self.wire(random.choice(feeds), a)
            self.wire(b, Terminal(name, f"out{n}"))

    def branch(self, feeds: list[Terminal], grounds: list[Terminal], things: int) -> None:
        a, b = self.load()
        self.wire(self.path(self.random.choice(feeds), things), a)
        self.wire(self.path(b, self.random.randrange(2)), self.random.choice(grounds))


def invent(seed: int) -> Machine:
    """A machine of 10 to 60 parts; the same seed gives the same machine."""
    bench = Bench(seed)
    random = bench.random
    bench.add(Battery(id=bench.new("G"), title="battery", volts=12.7, ohms=0.02))
    plus, minus = Terminal("G1", "+"), Terminal("G1", "-")
    grounds = [minus]
    for noun in random.sample(("frame", "engine block", "loom ground"), random.randrange(3)):
        name = bench.new("X")
        bench.add(Metal(id=name, title=noun, terminal="metal"))
        bench.wire(Terminal(name, "metal"), random.choice(grounds))
        grounds.append(Terminal(name, "metal"))
    feeds = [plus, bench.path(plus, random.randrange(3))]
    most = random.randint(10, 60)
    makers = (bench.relay, bench.solenoid, bench.unit)
    while len(bench.parts) < most:
        if random.random() < 0.3:
            random.choice(makers)(feeds, grounds)
        elif random.random() < 0.2:
            feeds.append(bench.path(random.choice(feeds), 1))
        else:
            bench.branch(feeds, grounds, random.randrange(4))
    circuit = Circuit(parts=tuple(bench.parts), reference=minus)
    return machine_of(f"invented-{seed}", circuit, random.randint(1, 5))


def machine_of(name: str, circuit: Circuit, stages: int) -> Machine:
    """A machine around a circuit, its parts dealt out to stages in their order; no controls and no places."""
    nothing = MappingProxyType({})
    ids = [part.id for part in circuit.parts]
    size = -(-len(ids) // stages)
    dealt = {
        f"stage {n}": Stage(id=f"stage {n}", about=f"Stage {n}.", parts=tuple(ids[at:at + size]))
        for n, at in enumerate(range(0, len(ids), size), 1)
    }
    return Machine(
        id=name, title=name, about="", volts=12.0, circuit=circuit, controls=nothing, stages=MappingProxyType(dealt),
        points=nothing, faults=nothing, notes=nothing, truth=(), cautions=nothing, places=nothing, digest=name,
    )
