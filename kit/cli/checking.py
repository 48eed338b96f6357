"""What ``check`` finds out about a machine file, section by section, and the pages it draws."""

import re
from collections.abc import Callable, Iterator, Sequence
from contextlib import AbstractContextManager, nullcontext
from dataclasses import dataclass
from pathlib import Path

from kit.errors import KitError, MachineFileError
from kit.machines import Machine, Operation
from kit.machines import machine as fleet_machine
from kit.machines.doings import doings, way_in_words
from kit.machines.library import EXAMPLE
from kit.machines.limits import worst_drops
from kit.machines.mistakes import Reading, read_all
from kit.machines.schema import FILE as SCHEMA
from kit.records import records_folder

Progress = Callable[[int, int, str], None]
Watch = Callable[[], AbstractContextManager[Progress]]
OWN = "my-machine.yaml"
MEGA = re.compile(r"\d[\d.]* ?M(?:ohm|Ω|V|A)\b")
NOTHING_WRONG = "nothing wrong"  # the outcome table's name for the sound machine


@dataclass(frozen=True, slots=True, kw_only=True)
class Found:
    """One section of what was found: lines to print; one that begins with a space belongs to the one before.

    ``amiss`` are how many things in it want mending; ``unread`` tells that there is no machine to go on with.
    """

    title: str
    lines: tuple[str, ...]
    amiss: int = 0
    unread: bool = False


def check(path: Path, watch: Watch, *, quick: bool = False, out: Path | None = None) -> Iterator[Found]:
    """Everything about one file, as soon as it is known; ``quick`` leaves out which faults are alike: it takes longest.

    ``watch`` gives what long work tells its progress to. Drawings are made in any case, and kept in ``out``.
    """
    with watch() as progress:
        read = read_all(path, progress)
    if read.machine is None:
        yield _unread(read, path)
        return
    machine, operations = read.machine, tuple(read.operations.values())
    found = [_sound(machine, read)]
    yield found[-1]
    parts = [lambda: _does(machine, operations), lambda: _drops(machine, operations), lambda: _cases(machine, watch)]
    if not quick:
        parts.append(lambda: _alike(machine, watch))
    for part in parts:
        found.append(part())
        yield found[-1]
    yield _drawn(machine, found, out)


def report(path: Path | str, *, quick: bool = True) -> Iterator[str]:
    """The lines ``check`` prints, for a page or a program."""
    for found in check(Path(path), lambda: nullcontext(_unwatched), quick=quick):
        yield from as_lines(found)


def own_file() -> Path:
    """An instructor's own machine file, in the folder of their records: the example, until they change it."""
    path = records_folder() / OWN
    try:
        if not path.exists():
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(EXAMPLE.read_text(encoding="utf-8"), encoding="utf-8")
            path.with_name(SCHEMA.name).write_text(SCHEMA.read_text(encoding="utf-8"), encoding="utf-8")
    except OSError as reason:
        raise KitError(f"{path} cannot be written ({reason.strerror}).") from None
    return path


def own_machine() -> Machine:
    """The machine of ``own_file``; while that is not sound the example in its place, and a word about it."""
    try:
        return fleet_machine(str(own_file()))
    except MachineFileError:
        print(f"{OWN} has a mistake in it, so here is the example again.")
        return fleet_machine(str(EXAMPLE))


def as_lines(found: Found) -> Iterator[str]:
    """A section as it is printed: its title, its lines, an empty line."""
    yield found.title
    yield from (f"  {line}" for line in found.lines)
    yield ""


def _unwatched(done: int, total: int, name: str) -> None:
    pass


def _unread(read: Reading, path: Path) -> Found:
    number = len(read.mistakes)
    lines = [*read.mistakes]
    if not read.held and any(" line " in mistake for mistake in read.mistakes):
        these, they = ("this", "it is") if number == 1 else ("these", "they are")
        lines.append(f"What rests on {these} was left out; the truth table is looked at once {they} right.")
    lines += [*_idle(read), *(_mega(path) if read.held else ())]
    return Found(
        title=f"Not sound yet: {'one mistake' if number == 1 else f'{number} mistakes'}", lines=tuple(lines),
        amiss=number, unread=True,
    )


def _mega(path: Path) -> Iterator[str]:
    """Figures with a capital M, where the sound machine does not do what is said of it: the usual slip for milli."""
    for number, line in enumerate(path.read_text(encoding="utf-8", errors="replace").splitlines(), 1):
        for figure in MEGA.findall(line.partition("#")[0]):
            yield f"{path.name} line {number}: {figure}: a big M is mega, a million; for a thousandth write a small m."


def _idle(read: Reading) -> list[str]:
    if not read.never_closed:
        return []
    return [f"No control closes {', '.join(read.never_closed)}: always open. Is a control or a position missing?"]


def _sound(machine: Machine, read: Reading) -> Found:
    circuit = machine.circuit
    count = {
        "part": len(circuit.parts), "stage": len(machine.stages), "control": len(machine.controls),
        "test point": len(machine.points), "fault": len(machine.faults), "case": len(machine.cases),
    }
    said = ", ".join(f"{number} {word}{'' if number == 1 else 's'}" for word, number in count.items())
    lines = [f"{machine.title} ({machine.id}), {machine.volts:g} V: {said}.",
             "It does in every position what its truth table says."]
    bare = not machine.cautions
    if bare:
        lines.append("It has no cautions: write under 'cautions' what must be made safe before a hand goes near it.")
    return Found(title="Sound", lines=(*lines, *_idle(read)), amiss=int(bare))


def _does(machine: Machine, operations: Sequence[Operation]) -> Found:
    """Each way the controls may stand, and what a person notices then."""
    lines = []
    for number, doing in enumerate(doings(machine, operations)):
        ways = [way_in_words(machine, way) for way in doing.ways]
        said = " ".join(doing.noticed) or "Nothing lights, clicks or moves."
        lines.append(f"At rest ({ways[0]})" if number == 0 else ways[0])
        lines += [f"  or {way}" for way in ways[1:]]
        lines.append(f"    {said}")
    return Found(title="What it does", lines=tuple(lines))


def _drops(machine: Machine, operations: Sequence[Operation]) -> Found:
    drops = worst_drops(machine, operations)
    over = [drop for drop in drops if drop.over]
    lines = [
        f"{drop.what} loses {drop.volts:.2f} V, {drop.limit:g} V at the most: look at its ohms, at the cable's mm2 and "
        f"metres, or at the amps." for drop in over
    ]
    if drops and not over:
        near = max(drops, key=lambda drop: drop.volts / drop.limit)
        lines = [
            f"The sound machine keeps the limits of voltage drop in all {len(drops)} places; nearest to its limit "
            f"is {near.what}: {near.volts:.2f} of {near.limit:g} V."
        ]
    return Found(
        title="Voltage drops", lines=tuple(lines) or ("Nothing carries an amp, so nothing loses volts.",),
        amiss=len(over),
    )


def _cases(machine: Machine, watch: Watch) -> Found:
    from kit.diagnose.decisive import SOUND, decide

    if not machine.cases:
        return Found(title="Cases", lines=("There are none: job cards are made of them (section 'cases').",))
    lines, amiss = [], 0
    with watch() as progress:
        for number, case in enumerate(machine.cases.values(), 1):
            progress(number, len(machine.cases), case.name)
            verdict = decide(machine, case)
            wrong = verdict.complaints()
            amiss += bool(wrong)
            told_from = " and ".join(name for name in ("a sound machine", *case.rivals) if name not in verdict.left)
            if not wrong:
                lines.append(f"{case.name}: its tests decide; they part it from {told_from}.")
            lines += wrong
            if verdict.unparted:
                lines.append("  Give it one more test that shows something else there, or a narrower 'shows'.")
            for name in verdict.left:
                what = "a sound machine" if name == SOUND else name
                lines.append(f"{case.name}: only a test that is not computed parts it from {what}.")
    return Found(title="Cases", lines=tuple(lines), amiss=amiss)


def _alike(machine: Machine, watch: Watch) -> Found:
    from kit.diagnose.alike import LAMP, LAMP_AND_METER, alike, unneeded_points
    from kit.diagnose.trials import machine_table

    with watch() as progress:
        table = machine_table(machine, sound=True, swaps=False, progress=progress)
    units = dict(zip(table.suspects, table.units, strict=True))
    lines = [
        f"{len(table.suspects) - 1} faults that are always there, in the positions worth trying. Those that come and "
        "go are left out: at rest they look sound."
    ]
    ways = (("with the lamp", LAMP), ("with lamp and meter (volts, nothing unplugged)", LAMP_AND_METER),
            ("with a close look as well", tuple(dict.fromkeys(table.kinds))))
    for said, kinds in ways:
        groups = alike(table, kinds)
        unseen = next((group for group in groups if NOTHING_WRONG in group), ())
        others = [group for group in groups if group is not unseen]
        hard = [group for group in others if len({units[suspect] for suspect in group}) > 1]
        groups_said = f"{len(hard)} group{'' if len(hard) == 1 else 's'}"
        lines.append(f"Alike {said}: {groups_said} over several parts, {len(others) - len(hard)} within one part.")
        lines += [f"  {' = '.join(group)}" for group in hard]
        if unseen:
            lines.append(f"  like a sound machine: {', '.join(one for one in unseen if one != NOTHING_WRONG)}")
    spare = unneeded_points(machine, table)
    lines.append(
        f"Points no fault needs (without all of them no two faults become alike, and no case uses them): "
        f"{', '.join(spare)}." if spare else "Every point is needed: without any one of them two faults become alike."
    )
    return Found(title="Faults that look alike", lines=tuple(lines))


def _drawn(machine: Machine, found: Sequence[Found], out: Path | None) -> Found:
    from kit import draw
    from kit.cli.check_page import write_page

    wanted = {"blocks": lambda: draw.blocks(machine), "sheet": lambda: draw.sheet(machine)}
    for number, stage in enumerate(machine.stages, 1):
        wanted[f"stage-{number}"] = lambda stage=stage: draw.schematic(machine, stage)
    if machine.points:
        wanted["whereabouts"] = lambda: draw.whereabouts(machine)
    pictures, lines = {}, []
    for name, make in wanted.items():
        try:
            pictures[name] = make()
        except KitError as error:
            lines.append(f"{name} cannot be drawn: {error}")
    amiss = len(lines)
    if out is not None:
        page = write_page(machine, found, pictures, out)
        lines.append(f"{len(pictures)} drawings are in {out}; open {page} to see them with all of this.")
    else:
        lines.append(f"{len(pictures)} drawings can be made; --out FOLDER keeps them.")
    return Found(title="Drawings", lines=tuple(lines), amiss=amiss)
