"""A machine's data sheet: its figures, the limits of voltage drop, test points, cautions and all of its drawing."""

from collections.abc import Sequence
from dataclasses import dataclass

from kit.circuit import Fuse, Relay, Wire
from kit.draw import Picture, schematic, sheet, whereabouts
from kit.draw.labels import wire_text
from kit.machines import Machine, machine
from kit.machines.limits import GROUND_SIDE_VOLTS, LIMIT_VOLTS, PLUS_SIDE_VOLTS
from kit.machines.notices import CONTACT_VOLTS, JOINT_VOLTS
from kit.paper.press import PAGE_HIGH, Paper, Pictures, Ready, plain_name, press
from kit.quantities import show_quantity

# Room that headings, a caption and the foot take from a page that holds a drawing.
HEADED = 90


@dataclass(frozen=True, slots=True, kw_only=True)
class StageOnPaper:
    """A stage of the machine: what it does, and its drawing."""

    title: str
    about: str
    figure: Ready


def data_sheet(machine_id: str) -> Paper:
    """The data sheet of a machine of the fleet, or of your own by its file; raises OperationError for none such."""
    there = machine(machine_id)
    pictures = Pictures()
    whole = sheet(there, ground="print")
    places = whereabouts(there, ground="print")
    return press(
        "data.html", f"data-{plain_name(there.id)}.html", title=f"Data sheet: {there.title}", pictures=pictures,
        machine=there, limits=limits(there), wires=wires(there), controls=_controls(there),
        points=[(str(terminal), point.where, f"{point.minutes:g}") for terminal, point in there.points.items()],
        whole=pictures.tiles(whole), places=pictures.tiles(places),
        stages=[_stage(there, name, pictures) for name in there.stages], protected=_protected(there),
    )


def limits(there: Machine) -> Sequence[tuple[str, str]]:
    """The most each kind of thing may lose under load (common practice), scaled to the machine's volts."""
    times = there.volts / LIMIT_VOLTS
    return [(what, f"{volts * times:g} V") for what, volts in (
        ("across a joint", JOINT_VOLTS), ("across a contact or solenoid", CONTACT_VOLTS),
        ("ground side, starter body to battery minus", GROUND_SIDE_VOLTS),
        ("plus side, battery plus to starter stud", PLUS_SIDE_VOLTS),
    )]


def wires(there: Machine) -> Sequence[tuple[str, str, str]]:
    """Each wire: what it is, where it runs, and its length."""
    return [
        (wire_text(part), f"{part.start} to {part.end}", f"{part.metres:g} m")
        for part in there.circuit.parts if isinstance(part, Wire)
    ]


def _controls(there: Machine) -> Sequence[tuple[str, str]]:
    return [
        (control.title, ", ".join(control.positions) + ("; springs back" if control.springs_back else ""))
        for control in there.controls.values()
    ]


def _protected(there: Machine) -> Sequence[tuple[str, str, str]]:
    """Fuses and relays with the figures of the circuit."""
    found = []
    for part in there.circuit.parts:
        match part:
            case Fuse():
                found.append((part.id, part.title, show_quantity(part.amps, "A")))
            case Relay():
                found.append((part.id, part.title, f"coil {show_quantity(part.coil_ohms, 'ohm')}, pulls in at "
                              f"{show_quantity(part.pull_in_volts, 'V')}"))
    return found


def _stage(there: Machine, name: str, pictures: Pictures) -> StageOnPaper:
    picture: Picture = schematic(there, name, ground="print")
    return StageOnPaper(
        title=name, about=there.stages[name].about, figure=pictures.put(picture, high=PAGE_HIGH - HEADED),
    )
