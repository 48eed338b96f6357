"""The sections of a machine file that tell of its engine and its cases, read and checked."""

from collections.abc import Iterable, Mapping
from types import MappingProxyType

from kit.circuit import (
    Alternator,
    Battery,
    Circuit,
    Fault,
    FloatCharger,
    GlowPlug,
    Motor,
    Stator,
    Switch,
    Terminal,
    Wire,
)
from kit.errors import QuantityError
from kit.machines.cases import ELSEWHERE, LEADS, PLACES, TOOLS, Case, CaseTest, Moves
from kit.machines.engine import ENGINE, FIRES_FROM, Engine
from kit.machines.expected import read_rule
from kit.machines.machine import Control, Rule
from kit.machines.yamlfile import Section
from kit.quantities import read_quantity

RUNS = ("runs", "runs rough")
Controls = Mapping[str, Control]


def movable(circuit: Circuit) -> set[str]:
    """The switches a control or the running engine may close; what turns has one for each speed: G2.idle, G2.fast."""
    turning = (part for part in circuit.parts if isinstance(part, (Alternator, FloatCharger, Stator)))
    return {part.id for part in circuit.parts if isinstance(part, Switch)}.union(*(part.speeds for part in turning))


def read_engine(entry: Section, circuit: Circuit, controls: Controls, truth: Iterable[Rule]) -> Engine:
    """The ``engine`` section. Where it names no ``start``, a rule of the truth table in which it runs says how."""
    entry.allow("cranked_by", "fires_from", "needs", "warm_up", "running", "start")
    starter = entry.text("cranked_by")
    if starter not in circuit or not isinstance(circuit[starter], Motor):
        entry.fail(f"engine: it is cranked by a motor, and {starter} is none.", "cranked_by")
    fires_from = entry.text("fires_from", str(FIRES_FROM))
    try:
        share = float(fires_from)
    except ValueError:
        share = 0.0
    if not 0 < share <= 1:
        entry.fail(
            f"engine: fires_from is a share of full cranking speed, from 0 to 1, not '{fires_from}'.", "fires_from"
        )
    needs = entry.section("needs") if "needs" in entry else None
    for part in needs.keys() if needs else ():
        if part not in circuit:
            needs.fail(f"engine: there is no part {part}.", part)
    plugs, plug_amps = (), 0.0
    if "warm_up" in entry:
        warm_up = entry.section("warm_up")
        warm_up.allow("plugs", "from")
        plugs = warm_up.words("plugs")
        for plug in plugs:
            if plug not in circuit or not isinstance(circuit[plug], GlowPlug):
                warm_up.fail(f"engine: {plug} is no glow plug.", "plugs")
        plug_amps = _amps(warm_up, "from", "engine")
    moved: dict[str, tuple[str, ...]] = {"closes": (), "opens": ()}
    if "running" in entry:
        running = entry.section("running")
        running.allow(*moved)
        for key in running.keys():  # noqa: SIM118 (a Section is no mapping)
            moved[key] = running.words(key)
            for switch in moved[key]:
                if switch not in movable(circuit):
                    running.fail(f"engine: running {key} {switch}, which is no switch.", key)
    start = read_moves(entry, "start", controls, "engine") if "start" in entry else tuple(
        rule.when for rule in truth if rule.then.get(ENGINE) in RUNS
    )[:1]
    if not start:
        entry.fail("engine: say how it is started, with 'start' or with a rule of the truth table in which it runs.")
    return Engine(
        cranked_by=starter, fires_from=share, needs=MappingProxyType(dict(needs.pairs()) if needs else {}), plugs=plugs,
        plug_amps=plug_amps, **moved, start=start,
    )


def read_moves(entry: Section, key: str, controls: Controls, who: str) -> Moves:
    """Positions under a key: one set of them, or a list of sets made one after another."""
    found = []
    for moves in entry.sections(key) if entry.is_list(key) else (entry.section(key),):
        for name, position in moves.pairs().items():
            if name not in controls:
                moves.fail(f"{who}: there is no control '{name}'; there are {', '.join(controls)}.", name)
            known = controls[name].positions
            if position not in known:
                moves.fail(f"{who}: {name} cannot be '{position}'; it can be {' or '.join(known)}.", name)
        found.append(MappingProxyType(dict(moves.pairs())))
    if not found:
        entry.fail(f"{who}: '{key}' is an empty list.", key)
    return tuple(found)


class CaseReader:
    """Reads cases against a machine that is otherwise read."""

    def __init__(
        self, circuit: Circuit, controls: Controls, points: Iterable[Terminal], faults: Mapping[str, Fault],
        *, engine: bool,
    ) -> None:
        self.circuit, self.controls, self.faults, self.engine = circuit, controls, faults, engine
        self.points = {str(point) for point in points}

    def cases(self, section: Section) -> Mapping[str, Case]:
        """Every case of the section, by its name."""
        return MappingProxyType({name: self._case(name, section.section(name)) for name in section.keys()})  # noqa: SIM118

    def _case(self, name: str, entry: Section) -> Case:
        who = entry.name = f"case {name}"
        entry.allow(
            "faults", "owner", "tried", "wiggled", "warm", "does", "shows", "tests", "mistaken_for", "rivals", "cause",
            "repair", "why", "inspection",
        )
        faults, rivals = (self._faults(entry, key) for key in ("faults", "rivals"))
        if not faults:
            entry.fail(f"{who} needs a fault.", "faults")
        for rival in rivals:
            if rival in faults:
                entry.fail(f"{who}: '{rival}' is the fault itself, no rival.", "rivals")
        does = entry.section("does")
        for part in does.keys():  # noqa: SIM118
            self._part(does, part, part, who, engine=True)
        if not does.keys():
            entry.fail(f"{who}: say what at least one part does.", "does")
        tests = tuple(
            self._test(test, f"{who}, test {number}") for number, test in enumerate(entry.sections("tests"), 1)
        )
        if not tests:
            entry.fail(f"{who} needs a test.", "tests")
        return Case(
            name=name, faults=faults, owner=entry.text("owner"), tried=read_moves(entry, "tried", self.controls, who),
            wiggled=self._parts(entry, "wiggled", who), warm=self._parts(entry, "warm", who),
            does=MappingProxyType(dict(does.pairs())), shows=entry.text("shows"), tests=tests,
            mistaken_for=entry.text("mistaken_for"), rivals=rivals, cause=entry.text("cause"),
            repair=entry.text("repair"), why=entry.text("why"), inspection=entry.text("inspection", ""),
        )

    def _test(self, entry: Section, who: str) -> CaseTest:
        entry.name = who
        tool = entry.text("with")
        if tool not in TOOLS:
            entry.fail(f"{who}: there is no tool '{tool}'; there are {', '.join(TOOLS)}.", "with")
        if tool == ELSEWHERE:
            entry.allow("with", "how", "shows")
            return CaseTest(tool=tool, places=(), shows=entry.text("shows"), how=entry.text("how"))
        keys = LEADS.get(tool) or (PLACES[tool],)
        loads = ("cca",) if tool == "load tester" else ()
        entry.allow("with", *keys, *loads, "set", "off", "wiggled", "warm", "running", "shows")
        places = tuple(entry.text(key) for key in keys)
        for key, place in zip(keys, places, strict=True):
            self._place(entry, tool, key, place, who)
        if len(places) == 2 and places[0] == places[1]:
            entry.fail(f"{who}: both leads are on {places[0]}.", keys[1])
        shows = entry.text("shows")
        if tool not in ("look", "notice"):
            try:
                read_rule(tool, shows)
            except QuantityError as error:
                entry.fail(f"{who}, shows: {error}", "shows")
        running = entry.text("running", "false").lower()
        if running not in ("true", "false"):
            entry.fail(f"{who}: running is true or false, not '{running}'.", "running")
        if running == "true" and not self.engine:
            entry.fail(f"{who}: this machine has no engine to run.", "running")
        return CaseTest(
            tool=tool, places=places, shows=shows, running=running == "true",
            moves=read_moves(entry, "set", self.controls, who) if "set" in entry else (MappingProxyType({}),),
            cca=_amps(entry, "cca", who) if loads else 0.0,
            **{key: self._parts(entry, key, who) for key in ("off", "wiggled", "warm")},
        )

    def _place(self, entry: Section, tool: str, key: str, place: str, who: str) -> None:
        if tool in LEADS:
            if place not in self.points:
                entry.fail(f"{who}: a lead cannot be put on {place}; it is not among the points.", key)
            return
        self._part(entry, key, place, who, engine=tool == "notice")
        wanted = {"clamp": (Wire, "wire"), "hydrometer": (Battery, "battery")}.get(tool)
        if wanted and not isinstance(self.circuit[place], wanted[0]):
            entry.fail(f"{who}: {tool} needs a {wanted[1]}, and {place} is a {self.circuit[place].word}.", key)

    def _part(self, entry: Section, key: str, part: str, who: str, *, engine: bool = False) -> None:
        if part not in self.circuit and not (engine and self.engine and part == ENGINE):
            entry.fail(f"{who}: there is no part {part}.", key)

    def _parts(self, entry: Section, key: str, who: str) -> tuple[str, ...]:
        parts = entry.words(key) if key in entry else ()
        for part in parts:
            self._part(entry, key, part, who)
        return parts

    def _faults(self, entry: Section, key: str) -> tuple[str, ...]:
        ids = entry.words(key)
        for fault in ids:
            if fault not in self.faults:
                entry.fail(f"{entry.name}: {unknown_fault(fault, self.faults)}", key)
        return ids


def unknown_fault(fault_id: str, faults: Iterable[str]) -> str:
    """That there is no such fault, and which there are of that part."""
    part = fault_id.split(" ")[0]
    near = ", ".join(known for known in faults if known.split(" ")[0] == part)
    return f"there is no fault '{fault_id}'; " + (f"{part} can have {near}." if near else f"nor a part {part}.")


def _amps(entry: Section, key: str, who: str) -> float:
    try:
        return read_quantity(entry.text(key), "A", unit_required=True)
    except QuantityError as error:
        entry.fail(f"{who}, {key}: {error}", key)
