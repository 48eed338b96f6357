"""From a machine file to a Machine. Every mistake in the file ends in one line: file, line, what, what was expected."""

import hashlib
import json
from collections.abc import Mapping
from dataclasses import MISSING, fields, replace
from math import prod
from pathlib import Path
from types import MappingProxyType

from kit.circuit import KINDS, Circuit, Fault, Metal, Part, Terminal, Wire
from kit.circuit.coils import Outputs
from kit.circuit.conductors import colour_name
from kit.errors import CircuitError, FaultError, MachineFileError, QuantityError
from kit.machines.catalogue import catalogue
from kit.machines.engine import ENGINE
from kit.machines.machine import Control, FaultNote, Machine, Point, Rule, Stage
from kit.machines.own_faults import OWN_FAULTS, own_fault
from kit.machines.sections import CaseReader, movable, read_engine, unknown_fault
from kit.machines.tree import pressed, unpressed
from kit.machines.truth import check_truth
from kit.machines.yamlfile import Section, read_text, text_of, top_section
from kit.quantities import read_quantity
from kit.solve.shelf import fetch_text, keep_text, name_of_text

MOST_VOLTS = 60.0  # direct current that needs no guard against touch where it is dry (IEC 60364-4-41, from memory)
MOST_POSITIONS = 4096  # every one of them is solved when the truth table is checked

RESERVED = ("wiggled", "warm")  # Machine.operate takes these words for itself

SECTIONS = (
    "machine", "title", "about", "volts", "reference", "parts", "stages", "controls", "truth", "points", "faults",
    "cautions", "places", "engine", "cases", "data",
)


def read_machine(path: Path | str) -> Machine:
    """Read and check one machine file; raises MachineFileError.

    A file that was found sound is kept on the shelf as a tree, and neither parsed nor held against the solver again
    until it or the code that decides changes.
    """
    text, file = text_of(Path(path)), Path(path).name
    name = name_of_text("machine file", text)
    if kept := fetch_text(name):
        return build(top_section(unpressed(json.loads(kept)), file), text)
    top = read_text(text, file)
    machine = _proved(build(top, text), top)
    keep_text(name, json.dumps(pressed(top.tree)))
    return machine


def machine_from_text(text: str, name: str = "machine file") -> Machine:
    """Read and check a machine file's text."""
    top = read_text(text, name)
    return _proved(build(top, text), top)


def build(top: Section, text: str) -> Machine:
    """The machine a file's sections tell of, not yet held against the solver."""
    top.allow(*SECTIONS)
    circuit = _circuit(top)
    frame = next((part.terminals[0] for part in circuit.parts[::-1] if isinstance(part, Metal)), circuit.reference)
    controls = _controls(top, circuit)
    points, found = _points(top, circuit), _faults(top, circuit, frame)
    truth = _truth(top, circuit, controls)
    engine = read_engine(top.section(ENGINE), circuit, controls, truth) if ENGINE in top else None
    cases = CaseReader(circuit, controls, points, found["faults"], engine=engine is not None)
    return Machine(
        id=top.text("machine"),
        title=top.text("title"),
        about=top.text("about", ""),
        volts=_volts(top),
        circuit=circuit,
        controls=controls,
        stages=_stages(top, circuit),
        points=points,
        **found,
        truth=truth,
        cautions=MappingProxyType(dict(top.section("cautions").pairs()) if "cautions" in top else {}),
        places=MappingProxyType(top.section("places").raw() if "places" in top else {}),
        digest=hashlib.sha256(text.encode()).hexdigest(),
        engine=engine,
        cases=cases.cases(top.section("cases")) if "cases" in top else MappingProxyType({}),
        data=MappingProxyType(dict(top.section("data").pairs()) if "data" in top else {}),
    )


def _volts(top: Section) -> float:
    volts = _quantity(top, "volts", "V")
    if not 0.0 < volts <= MOST_VOLTS:
        top.fail(
            f"volts: the kit is for machines of 12 V and 24 V, up to {MOST_VOLTS:g} V; what has more is for licensed "
            "persons, under rules that are not taught here.", "volts",
        )
    return volts


def check_engine(machine: Machine, top: Section) -> None:
    """Raise MachineFileError where the sound engine does not run once started, or cannot be stopped again."""
    if machine.engine is None:
        return
    started = machine.start()
    if not started.running:
        top.fail(f"the sound engine should run once it is started; it is '{started.engine.word}'.", ENGINE)
    stopped = started.then(**{control.id: control.rest for control in machine.controls.values()})
    # One that is said to need nothing is stopped by nothing: its file leaves stopping out.
    if stopped.running and machine.engine.needs:
        top.fail(
            "the sound engine should stop with every control back at rest, and it runs on; look for a way that feeds "
            "what it needs from D+ or B+, past the key.", ENGINE,
        )


def _proved(machine: Machine, top: Section) -> Machine:
    check_truth(machine, top.file)
    check_engine(machine, top)
    return machine


def _circuit(top: Section) -> Circuit:
    section = top.section("parts")
    parts, line_of = [], {}
    for part_id in section.keys():  # noqa: SIM118 (a Section is no mapping)
        parts.append(_part(part_id, section.section(part_id)))
        line_of[part_id] = section.line_of(part_id)
    if not parts:
        section.fail("a machine needs parts.")
    try:
        reference = Terminal.read(top.text("reference"))
    except CircuitError as error:
        top.fail(f"reference: {error}", "reference")
    try:
        return Circuit(parts=tuple(parts), reference=reference)
    except CircuitError as error:
        # Circuit's messages begin with the part ("wire W4 goes to …"); that part's line is where to look.
        words = str(error).split()
        line = line_of.get(words[1].rstrip(":"), top.line_of("reference"))
        raise MachineFileError(f"{top.file} line {line}: {error}") from error


def _part(part_id: str, entry: Section) -> Part:
    word = entry.text("kind")
    if word not in KINDS:
        known = ", ".join(sorted(KINDS, key=str.lower))
        entry.fail(f"{part_id} is of an unknown kind '{word}'; the kinds are {known}.", "kind")
    if not (part_id.isascii() and part_id.isalnum()):
        entry.fail(f"'{part_id}' cannot be a part's id; use a letter and a number, like F1.")
    kind = KINDS[word]
    entry.name = f"{word} {part_id}"
    names = {"start": "from", "end": "to"}
    wanted = [item for item in fields(kind) if item.init and item.name != "id"]
    entry.allow("kind", *(names.get(item.name, item.name) for item in wanted))
    values: dict[str, object] = {"id": part_id}
    for item in wanted:
        key = names.get(item.name, item.name)
        if key not in entry and item.default is not MISSING:
            continue
        if "unit" in item.metadata:
            values[item.name] = _quantity(entry, key, item.metadata["unit"])
        elif item.type in (Terminal, "Terminal"):
            try:
                values[item.name] = Terminal.read(entry.text(key))
            except CircuitError as error:
                entry.fail(f"{entry.name}: {error}", key)
        elif item.type in (float, "float"):
            try:
                values[item.name] = float(entry.text(key))
            except ValueError:
                entry.fail(f"{entry.name}: {key} should be a plain number, not '{entry.text(key)}'.", key)
        elif item.type == Outputs:
            pins = entry.section(key)
            values[item.name] = tuple((pin, pins.words(pin)) for pin in pins.keys())  # noqa: SIM118
        elif item.type == tuple[str, ...]:
            values[item.name] = entry.words(key)
        else:
            values[item.name] = entry.text(key)
    try:
        if kind is Wire:
            colour_name(str(values["colour"]))
        return kind(**values)
    except CircuitError as error:
        message = str(error)
        entry.fail(message if message.startswith(entry.name) else f"{entry.name}: {message}")


def _quantity(entry: Section, key: str, unit: str) -> float:
    try:
        return read_quantity(entry.text(key), unit, unit_required=True)
    except QuantityError as error:
        entry.fail(f"{entry.name}, {key}: {error}", key)


def _terminal(entry: Section, key: str, circuit: Circuit) -> Terminal:
    try:
        terminal = Terminal.read(key)
    except CircuitError as error:
        entry.fail(f"{entry.name}: {error}", key)
    if terminal not in circuit.terminals:
        entry.fail(f"{entry.name}: {key} is not a terminal: {circuit.explain_missing(terminal)}", key)
    return terminal


def _stages(top: Section, circuit: Circuit) -> Mapping[str, Stage]:
    section, stages, home = top.section("stages"), {}, {}
    for name in section.keys():  # noqa: SIM118
        entry = section.section(name)
        entry.allow("about", "parts")
        parts = entry.words("parts")
        for part in parts:
            if part not in circuit:
                entry.fail(f"stage {name}: there is no part {part}.", "parts")
            if part in home:
                entry.fail(f"stage {name}: {part} is already in stage {home[part]}; a part has one stage.", "parts")
            home[part] = name
        stages[name] = Stage(id=name, about=entry.text("about"), parts=parts)
    missing = [part.id for part in circuit.parts if part.id not in home]
    if missing:
        section.fail(f"these parts are in no stage: {', '.join(missing)}.")
    return MappingProxyType(stages)


def _controls(top: Section, circuit: Circuit) -> Mapping[str, Control]:
    section, controls = top.section("controls"), {}
    known = movable(circuit)
    for name in section.keys():  # noqa: SIM118
        if not name.isidentifier():
            section.fail(f"control '{name}': use letters, digits and _ only.", name)
        if name in RESERVED:
            section.fail(f"a control cannot be called '{name}'; say what the operator moves.", name)
        entry = section.section(name)
        entry.allow("title", "positions", "closes", "springs_back")
        positions = entry.words("positions")
        if len(positions) < 2 or len(set(positions)) < len(positions):
            entry.fail(f"control {name} needs two or more positions, all different.", "positions")
        shuts, closes = entry.section("closes"), {}
        for position in shuts.keys():  # noqa: SIM118
            if position not in positions:
                shuts.fail(f"control {name} has no position '{position}'; it has {', '.join(positions)}.", position)
            for switch in shuts.words(position):
                if switch not in known:
                    shuts.fail(f"control {name} closes {switch}, which is no switch.", position)
            closes[position] = shuts.words(position)
        back = entry.text("springs_back", "false").lower()
        springs_to = back if back in positions[:-1] else ""
        if back not in ("true", "false") and not springs_to:
            entry.fail(f"control {name}: springs_back is true or false, not '{back}'.", "springs_back")
        controls[name] = Control(
            id=name, title=entry.text("title"), positions=positions, closes=MappingProxyType(closes),
            springs_back=back == "true", springs_to=springs_to,
        )
    together = prod(len(control.positions) for control in controls.values())
    if together > MOST_POSITIONS:
        section.fail(f"the controls have {together:,} positions together; a machine may have {MOST_POSITIONS:,}.")
    return MappingProxyType(controls)


def _points(top: Section, circuit: Circuit) -> Mapping[Terminal, Point]:
    section, points = top.section("points"), {}
    for key in section.keys():  # noqa: SIM118
        terminal = _terminal(section, key, circuit)
        entry = section.section(key)
        entry.allow("minutes", "where")
        minutes = _quantity(entry, "minutes", "min")
        points[terminal] = Point(terminal=terminal, where=entry.text("where"), minutes=minutes)
    return MappingProxyType(points)


def _faults(top: Section, circuit: Circuit, frame: Terminal) -> dict[str, Mapping]:
    faults: dict[str, Fault] = {}
    notes: dict[str, FaultNote] = {}
    for fault, note in catalogue(circuit, frame):
        faults[fault.id] = fault
        notes[fault.id] = note
    section = top.section("faults") if "faults" in top else None
    for key in section.keys() if section else ():
        entry = section.section(key)
        entry.allow("leads_to", "looks", "cause", "repair", *OWN_FAULTS)
        if any(word in entry for word in OWN_FAULTS):
            faults[key] = own_fault(key, entry, circuit, faults)
            notes[key] = FaultNote(looks=entry.text("looks"), cause=entry.text("cause"), repair=entry.text("repair"))
        for fault_id in (key, entry.text("leads_to", "")):
            if fault_id and fault_id not in faults:
                entry.fail(unknown_fault(fault_id, faults))
        faults[key] = replace(faults[key], leads_to=entry.text("leads_to", ""))
        usual = notes[key]
        notes[key] = FaultNote(
            looks=entry.text("looks", usual.looks), cause=entry.text("cause", usual.cause),
            repair=entry.text("repair", usual.repair),
        )
    for fault in faults.values():
        try:
            circuit.plant(fault)
        except FaultError as error:
            top.section("parts").fail(str(error), fault.part)
    return {"faults": MappingProxyType(faults), "notes": MappingProxyType(notes)}


def _truth(top: Section, circuit: Circuit, controls: Mapping[str, Control]) -> tuple[Rule, ...]:
    rules = []
    for entry in top.sections("truth"):
        entry.allow("when", "then")
        when, then = entry.section("when"), entry.section("then")
        for name, position in when.pairs().items():
            if name not in controls:
                when.fail(f"there is no control '{name}'; there are {', '.join(controls)}.", name)
            if position not in controls[name].positions:
                when.fail(f"{name} cannot be '{position}'; it can be {' or '.join(controls[name].positions)}.", name)
        for part in then.keys():  # noqa: SIM118
            if part not in circuit and not (part == ENGINE and ENGINE in top):
                then.fail(f"there is no part {part}.", part)
        rules.append(
            Rule(when=MappingProxyType(dict(when.pairs())), then=MappingProxyType(dict(then.pairs())), line=entry.line)
        )
    return tuple(rules)
