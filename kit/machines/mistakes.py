"""Every mistake of a machine file that can honestly be told at once, not just the first.

After each mistake the entry it stands in is taken out and reading goes on without it. What then fails only because that
entry is missing (a wire to a part that could not be read) is no mistake of its own: it is taken out too, and not told.
The table of truth is held against the solver only where everything it rests on was read as it stands.
"""

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path

from kit.circuit import KINDS, Battery, Switch
from kit.errors import MachineFileError, SolveError
from kit.machines.engine import ENGINE
from kit.machines.loader import SECTIONS, build, check_engine
from kit.machines.machine import Machine
from kit.machines.operation import Operation
from kit.machines.truth import untrue
from kit.machines.yamlfile import Section, read_text, text_of

MOST = 60  # mistakes told at once; whoever has more begins with these
SOLVED = frozenset({"parts", "reference", "volts", "controls", "truth", ENGINE})  # what the truth table rests on
OPTIONAL = frozenset({"about", "faults", "cautions", "places", ENGINE, "cases", "data"})
STAND_INS = {"machine": "unnamed", "title": "unnamed", "volts": "12 V"}
_LINE = re.compile(r" line (\d+): ")
_TWICE = re.compile(r"line (\d+): '(.*)' stands here a second time")
_MISSING = re.compile(r"the file needs '(\w+)'\.$")
_NO_SECTION = "the file needs a section '"
_NO_STAGE = re.compile(r"these parts are in no stage: (.*)\.$")

Progress = Callable[[int, int, str], None]


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """What became of a machine file: the machine, or every mistake found, in the order of the lines.

    ``held`` tells whether its truth table was held against the solver; ``operations`` is the sound machine in each of
    its positions, as far as it was solved for that. ``never_closed`` are switches that neither a control nor the engine
    closes: a new part's usual reason for a rule that is not true.
    """

    machine: Machine | None
    mistakes: tuple[str, ...]
    held: bool = False
    operations: Mapping[tuple[str, ...], Operation] = field(default_factory=dict)
    never_closed: tuple[str, ...] = ()


def read_all(path: Path | str, progress: Progress = lambda done, of, what: None) -> Reading:
    """Read a machine file and find all its mistakes; ``progress`` is told of each position solved."""
    try:
        text = text_of(Path(path))
    except MachineFileError as error:
        return Reading(machine=None, mistakes=(str(error),))
    return read_all_text(text, Path(path).name, progress)


def read_all_text(text: str, name: str, progress: Progress = lambda done, of, what: None) -> Reading:
    """Read a machine file's text and find all its mistakes."""
    try:
        hunt = _Hunt(text, name)
    except MachineFileError as error:
        return Reading(machine=None, mistakes=(str(error),))
    machine = hunt.build()
    operations: dict[tuple[str, ...], Operation] = {}
    held = machine is not None and not hunt.changed & SOLVED
    if held:
        hunt.note(_solved(machine, hunt.top, operations, progress))
    return Reading(
        machine=None if hunt.mistakes else machine, mistakes=tuple(sorted(hunt.mistakes, key=_line)[:MOST]), held=held,
        operations=operations, never_closed=_never_closed(machine) if held else (),
    )


def _never_closed(machine: Machine) -> tuple[str, ...]:
    moved = {switch for control in machine.controls.values() for shut in control.closes.values() for switch in shut}
    if machine.engine is not None:
        moved.update(machine.engine.closes, machine.engine.opens)
    return tuple(part.id for part in machine.circuit.parts if isinstance(part, Switch) and part.id not in moved)


def _solved(
    machine: Machine, top: Section, operations: dict[tuple[str, ...], Operation], progress: Progress
) -> Iterator[str]:
    """What only the solver finds: rules that are not true (each part of one told once), an engine that will not run."""
    number = 1
    for control in machine.controls.values():
        number *= len(control.positions)

    def operate(positions: Mapping[str, str]) -> Operation:
        key = tuple(positions.values())
        operations[key] = machine.operate(**positions)
        progress(len(operations), number, ", ".join(key))
        return operations[key]

    told = set()
    for wrong in untrue(machine, top.file, operate):
        about = str(wrong).split(" with ")[0].split(" is '")[0]
        if about not in told:
            told.add(about)
            yield str(wrong)
    if not told:
        try:
            check_engine(machine, top)
        except MachineFileError as error:
            yield str(error)
        except SolveError as error:
            yield f"{top.file} line {top.line_of(ENGINE)}: the engine cannot be started: {error}"


class _Hunt:
    """One file being read again and again, each time without what was wrong with it so far."""

    def __init__(self, text: str, name: str) -> None:
        self.text, self.mistakes, self.changed, self.gone = text, [], set(), []
        doubled = []
        while True:
            try:
                self.top = read_text(text, name)
                break
            except MachineFileError as error:
                found = _TWICE.search(str(error))
                if not found:
                    if not self.mistakes:
                        raise
                    self.mistakes.append(str(error))
                    self.top = None
                    break
                line, key = int(found[1]), found[2]
                self.mistakes.append(str(error))
                lines = text.split("\n")
                # The last name of that sort on the line is the second one.
                named = list(re.finditer(rf"(?<!\w){re.escape(key)}(?=[\"']?\s*:)", lines[line - 1]))
                if not named:
                    self.top = None
                    break
                start, end = named[-1].span()
                lines[line - 1] = f"{lines[line - 1][:start]}again{len(doubled)}{lines[line - 1][end:]}"
                doubled.append(line)
                text = "\n".join(lines)
        for line in doubled if self.top else ():
            self._take_out(line)

    def note(self, messages: Iterator[str]) -> None:
        self.mistakes += messages

    def build(self) -> Machine | None:
        """The machine of what is sound in the file, every mistake met on the way noted; None where too little is."""
        while self.top is not None and len(self.mistakes) < MOST:
            try:
                return build(self.top, self.text)
            except MachineFileError as error:
                message = str(error)
            if message in self.mistakes:
                break
            if not self._follows(message):
                self.mistakes.append(message)
            if not self._mend(message):
                break
        return None

    def _follows(self, message: str) -> bool:
        """Whether it fails only because something was taken out."""
        words = message.split(": ", 1)[-1]
        at_home = _NO_STAGE.search(message) and "stages" in self.changed
        # A section under a name that is none of the file's was taken out as such.
        misnamed = _NO_SECTION in message and not self.changed <= set(SECTIONS)
        return bool(at_home) or misnamed or any(pattern.search(words) for pattern in self.gone)

    def _mend(self, message: str) -> bool:
        """Take out what the message is about, or put something in its place; False where reading cannot go on."""
        missing, homeless = _MISSING.search(message), _NO_STAGE.search(message)
        if missing and missing[1] in STAND_INS:
            self.top.put(missing[1], STAND_INS[missing[1]])
            self.changed.add(missing[1])
            return True
        if homeless:
            self.changed.add("stages")
            self.top.section("stages").put("the others", {"about": "-", "parts": homeless[1].split(", ")})
            return True
        line = _line(message)
        return bool(line) and _NO_SECTION not in message and self._take_out(line)

    def _take_out(self, line: int) -> bool:
        """Take out the entry a line belongs to; False where the machine cannot be read without it."""
        section = self.top.at(line)
        if section is None:
            return False
        self.changed.add(section)
        if section in STAND_INS:
            self.top.put(section, STAND_INS[section])
            return True
        if section == "reference":
            return self._refer_elsewhere()
        inside = None if section == ENGINE else self.top.entry_at(section, line)
        if inside is None:
            if section == ENGINE:
                self._lose(rf"there is no part {ENGINE}\b")
                self._lose("no engine to run")
            known = section in OPTIONAL or section not in SECTIONS
            if known:
                self.top.take_out(section)
            return known
        self.top.take_out(section, inside)
        name = str(inside)
        if section == "parts":
            # An id that cannot be one ("F1.a") is called something plainer elsewhere.
            for word in {name, *re.findall(r"\w+", name)[:1]}:
                self._lose(rf"(?<![\w.'-]){re.escape(word)}(?!\w)", rf"'{re.escape(word)}\b")
            for stage in self._stages():
                self.top.leave_out("stages", stage, "parts", name)
        elif section == "controls":
            self._lose(*(rf"there is no control '{re.escape(word)}'" for word in {name, *re.findall(r"\w+", name)}))
        elif section == "points":
            self._lose(rf"cannot be put on {re.escape(name)};")
        elif section == "faults":
            self._lose(rf"there is no fault '{re.escape(name)}'")
        return True

    def _lose(self, *patterns: str) -> None:
        self.gone += [re.compile(pattern) for pattern in patterns]

    def _stages(self) -> tuple[object, ...]:
        return tuple(self.top.raw().get("stages") or ()) if "stages" in self.top else ()

    def _refer_elsewhere(self) -> bool:
        """Volts against the minus of the first battery, where the file names no such place."""
        parts = self.top.raw().get("parts")
        for part, figures in parts.items() if isinstance(parts, dict) else ():
            if isinstance(figures, dict) and KINDS.get(str(figures.get("kind"))) is Battery:
                again = f"{part}.-"
                if str(self.top.raw().get("reference")) != again:
                    self.top.put("reference", again)
                    return True
        return False


def _line(message: str) -> int:
    found = _LINE.search(message)
    return int(found[1]) if found else 0
