"""What the browser is told once about a machine: drawings, controls, test points, parts, instruments, words."""

from kit import draw
from kit.bay.along import along
from kit.bay.sight import Sight
from kit.circuit import Battery, Fuse, Joint, Metal, Wire
from kit.diagnose.priors import LABELS, OTHER_LABEL, shares_in_words
from kit.exercises.acts import BIGGER, TIDY
from kit.exercises.cards import JobCard, form
from kit.exercises.minutes import table
from kit.exercises.repairs import WAYS
from kit.exercises.tray import METER, TRAY, Tool
from kit.machines import Machine

# What no spare is kept for on a shelf: it is mended where it is. Fuses have moves of their own.
NO_SPARE = (Wire, Joint, Metal, Fuse)
NO_PLUG = (Battery, Fuse, Metal)


def setting(
    machine: Machine, *, stage: str, card: JobCard | None, sight: Sight, drawn: Machine | None = None
) -> dict:
    """All that never changes; nothing of it depends on what is wrong with the machine.

    ``drawn`` is the machine as its drawings have it, where they are wrong.
    """
    paper = drawn or machine
    return {
        "title": machine.title,
        "stages": [{"id": stage.id, "about": stage.about} for stage in machine.stages.values()],
        "stage": stage,
        "blocks": _drawn(draw.blocks(machine)),
        "whole": _drawn(draw.sheet(paper)),
        "pictures": {name: _drawn(draw.schematic(paper, name)) for name in machine.stages},
        "inks": inks(),
        "looks": {ground: draw.PALETTE[ground]["looks"] for ground in ("light", "dark")},
        "controls": [
            {"id": control.id, "title": control.title, "positions": list(control.positions),
             "holds": [[position, control.let_go(position)] for position in control.positions
                       if control.let_go(position) != position]}
            for control in machine.controls.values()
        ],
        "points": {
            str(point.terminal): {"where": point.where, "minutes": point.minutes}
            for point in machine.points.values()
        },
        "along": along(paper),
        "parts": {
            part.id: {
                "title": part.title, "word": part.word, "stage": machine.stage_of(part.id).id,
                "faults": [fault.id.removeprefix(f"{part.id} ") for fault in machine.faults.values()
                           if fault.part == part.id],
                "ways": [name for name, way in WAYS.items() if isinstance(part, way.kinds)],
                "unplugs": not isinstance(part, NO_PLUG), "swaps": not isinstance(part, NO_SPARE),
            } | (_ratings(part) if isinstance(part, Fuse) else {})
            for part in paper.circuit.parts
        },
        "tray": {name: _tool(tool) for name, tool in TRAY.items()},
        "costs": [[words, minutes] for words, minutes in table()],
        "ways": {name: {"minutes": way.minutes, "steps": dict(way.steps)} for name, way in WAYS.items()},
        "cautions": dict(machine.cautions),
        "data": {name: str(figure) for name, figure in machine.data.items()},
        "plant": card is None and sight is Sight.TELL_ALL,
        "lid": card is None and sight is Sight.AFTER_THE_FACT,
        "card": None if card is None else {
            "id": card.id, "complaint": card.complaint, "questions": list(card.answers),
            "preparations": dict(card.preparations), "tidy": dict(TIDY), "causes": list(card.causes),
            "apart": card.apart,
            "form": {heading: words for heading, words, _ in form(card)},
            "often": [[title, often(shares)] for title, shares in (
                ("Of its parts", dict(shares_in_words(machine.circuit))), ("Within a part", _labels(machine)))],
        },
    }


def often(shares: dict[str, float]) -> list[list]:
    """Shares by what has them, most usual first, those with one share together: what they are called, and the share.

    >>> often({"battery": 10.0, "lamp": 4.0, "switch": 4.0})
    [['battery', 10.0], ['lamp, switch', 4.0]]
    """
    return [
        [", ".join(name for name, mine in shares.items() if mine == share), share]
        for share in sorted(set(shares.values()), reverse=True)
    ]


def _labels(machine: Machine) -> dict[str, float]:
    """What can be wrong with this machine's parts, whatever is wrong with it now, and how usual it is in its part."""
    labels = [fault.split(" ", 1)[1] for fault in machine.faults]
    used = [next((pair for pair in LABELS if label.startswith(pair[0])), ("anything else", OTHER_LABEL))
            for label in labels]
    return dict(sorted(dict.fromkeys(used)))


def inks() -> dict[str, str]:
    """For each colour of a drawing on a light ground, its colour on a dark one."""
    light, dark = draw.PALETTE["light"], draw.PALETTE["dark"]
    found = {light[name]: dark[name] for name in ("paper", "ink", "soft")}
    for state, look in light["looks"].items():
        found.setdefault(look["colour"], dark["looks"][state]["colour"])
    return found


def _drawn(picture: draw.Picture) -> dict:
    return {
        "svg": picture.svg, "width": picture.width, "height": picture.height,
        "points": {name: list(place) for name, place in picture.points.items()},
        "parts": {name: list(box) for name, box in picture.parts.items()},
    }


def _ratings(fuse: Fuse) -> dict:
    return {"fuse": f"{fuse.amps:g} A", "bigger": f"{fuse.amps * BIGGER:g} A"}


def _tool(tool: Tool) -> dict:
    """An instrument in words; ``kind`` gathers the ranges of one meter, ``on`` is what a lead of it goes to."""
    kind, _, scale = tool.title.partition(", ")
    ranged = kind == METER
    return {
        "title": tool.title, "kind": kind if ranged else tool.title, "range": scale if ranged else "",
        "leads": list(tool.leads), "on": tool.leads[0] if len(tool.leads) == 1 else "point",
        "proved": tool.proved, "holds": tool.holds, "spends": tool.spends, "minutes": tool.minutes,
    }
