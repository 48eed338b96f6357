"""Volts from battery plus down to battery minus, part by part, as a staircase: who drops how much of them."""

from collections.abc import Callable, Iterator, Sequence
from html import escape
from itertools import pairwise

from kit.circuit import Part, Wire
from kit.draw.labels import wire_text
from kit.draw.paint import frame
from kit.draw.palette import PALETTE, check_ground
from kit.draw.picture import Picture
from kit.draw.way import Step, find_way, read_way
from kit.draw.widths import text_width
from kit.machines.operation import Operation

ROW, TOP, FOOT, SIDE, GAP = 26.0, 44.0, 30.0, 16.0, 18.0
STAIRS = 300.0  # px across, from 0 V to the battery's volts
SIZE = 12
WAYS = {"coil": "coil", "contact": "contact", "rest": "rest contact", "pull": "pull coil", "hold": "hold coil",
        "rotor": "rotor"}
# From this share of the battery's volts on a drop is told in bold (0.3 V of 12 V).
WORTH_TELLING = 1 / 40


def staircase(now: Operation, along: str | Sequence[str], *, ground: str = "light") -> Picture:
    """The volts of an operation along a way: through a load (``M1``, ``K1.coil``), or through terminals named in turn.

    Volts are those a meter shows against battery minus, or against the last terminal named. A stretch that nothing
    joins to the rest floats: no meter can tell its volts, so none are drawn. Raises DrawingError for what is no load,
    for terminals no one part joins, or where no way leads through.
    """
    check_ground(ground)
    way = find_way(now, along) if isinstance(along, str) else read_way(now, along)
    terminals = [way[0].start, *(step.end for step in way)]
    base = now.volts[str(terminals[-1])]
    volts = [_against(now.volts[str(terminal)], base) for terminal in terminals]
    words = [_words(now.machine.circuit[step.part], step) for step in way]
    most = max([now.machine.volts, *(volt for volt in volts if volt is not None)])
    through = way[0].name if not isinstance(along, str) else along
    title = f"{now.machine.title}: volts from {terminals[0]} to {terminals[-1]}"
    title += f" through {through}" if isinstance(along, str) else ""
    return _draw(way, volts, words, most, title, ground, flutters=now.solution.other_swing is not None)


def _against(volts: float | None, base: float | None) -> float | None:
    return None if volts is None or base is None else volts - base


def _words(part: Part, step: Step) -> tuple[str, str]:
    if isinstance(part, Wire):
        name, _, rest = wire_text(part).partition(" ")
        return name, rest
    piece = step.name.partition(".")[2]
    return part.id, f"{part.title} {WAYS.get(piece, piece)}".rstrip()


def _draw(
    way: Sequence[Step], volts: Sequence[float | None], words: Sequence[tuple[str, str]], most: float, title: str,
    ground: str, *, flutters: bool,
) -> Picture:
    colours = PALETTE[ground]
    names = [str(way[0].start), *(str(step.end) for step in way)]
    wide = max(text_width(name, SIZE, bold=True) + text_width(" " + rest, SIZE) for name, rest in words)
    name_wide = max(text_width(name, SIZE) for name in names) + text_width("floats", SIZE) + 14
    left = round(SIDE + wide + GAP + name_wide + GAP, 1)
    width = round(left + STAIRS + GAP + text_width("12.34 V", SIZE, bold=True) + SIDE, 1)
    height = TOP + ROW * len(way) + FOOT
    scale = STAIRS / most

    def x(volt: float) -> float:
        return left + min(max(volt, 0.0), most) * scale

    body = list(_axis(left, most, scale, height - FOOT, colours))
    for number, (name, rest) in enumerate(words):
        y = TOP + ROW * (number + 0.5) + 4
        body.append(_text(SIDE, y, name, colours["ink"], weight=700, label=f"{name} {rest}".strip()))
        body.append(_text(SIDE + text_width(name + " ", SIZE, bold=True), y, rest, colours["ink"]))
    for number, (name, volt) in enumerate(zip(names, volts, strict=True)):
        y = TOP + ROW * number
        body.append(_text(left - GAP - text_width("floats", SIZE) - 14, y + 4, name, colours["soft"], anchor="end",
                          label=name))
        said = "floats" if volt is None else f"{volt:.2f}"
        body.append(_text(left - GAP, y + 4, said, colours["soft"], anchor="end", label=said))
    told = [_say_start(names[0], volts[0])]
    for number, (one, other) in enumerate(pairwise(volts)):
        y = TOP + ROW * number
        body += _stair(y, one, other, x, colours)
        if one is not None and other is not None:
            drop = round(one - other, 2) + 0.0  # no -0.00
            big = drop >= most * WORTH_TELLING
            said = f"{drop:.2f} V"
            body.append(_text(
                width - SIDE, y + ROW / 2 + 4, said, colours["ink" if big else "soft"], anchor="end",
                weight=700 if big else 400, label=said,
            ))
            told.append(f"{' '.join(words[number])} drops {said}.")
        else:
            told.append(f"{' '.join(words[number])}: {names[number + 1]} {_state(other)}.")
    body += (
        f'<circle cx="{x(volt):.1f}" cy="{TOP + ROW * number:g}" r="3.5" fill="{colours["ink"]}"/>'
        for number, volt in enumerate(volts) if volt is not None
    )
    body.append(_text(width - SIDE, TOP - 20, "drop", colours["soft"], anchor="end", label="drop"))
    if flutters:
        told.insert(0, "It chatters: these are the volts of one moment.")
        body.append(_text(SIDE, TOP - 20, "chatters: one moment", colours["soft"], label="chatters: one moment"))
    labels = tuple(sorted([*(f"{name} {rest}".strip() for name, rest in words), *names]))
    return Picture(
        title=title, width=width, height=height, labels=labels,
        svg=frame(body, width, height, ground, title=title, description=" ".join(told)),
    )


def _say_start(name: str, volt: float | None) -> str:
    return f"{name} {_state(volt)}."


def _state(volt: float | None) -> str:
    return "floats" if volt is None else f"stands at {volt:.2f} V"


def _stair(
    y: float, one: float | None, other: float | None, x: Callable[[float], float], colours: dict
) -> Iterator[str]:
    """Down along the upper volts, across, and down along the lower; dashes where the volts cannot be told."""
    look = colours["looks"]["live"]
    half = y + ROW / 2
    if one is not None and other is not None:
        points = f"M {x(one):.1f},{y:g} L {x(one):.1f},{half:g} L {x(other):.1f},{half:g} L {x(other):.1f},{y + ROW:g}"
        yield f'<path d="{points}" fill="none" stroke="{look["colour"]}" stroke-width="3" stroke-linejoin="round"/>'
        return
    soft = f'fill="none" stroke="{colours["soft"]}" stroke-width="2" stroke-dasharray="2 5"'
    for volt, top, bottom in ((one, y, half), (other, half, y + ROW)):
        if volt is not None:
            yield f'<path d="M {x(volt):.1f},{top:g} L {x(volt):.1f},{bottom:g}" {soft}/>'


def _axis(left: float, most: float, scale: float, bottom: float, colours: dict) -> Iterator[str]:
    step = 2 if most <= 16 else 4
    for volt in range(0, int(most) + 1, step):
        at = left + volt * scale
        yield (
            f'<path d="M {at:.1f},{TOP - 10:g} L {at:.1f},{bottom:g}" fill="none" stroke="{colours["soft"]}" '
            f'stroke-width="{1 if volt else 1.5}" stroke-opacity="0.35"/>'
        )
        yield _text(at, bottom + 18, f"{volt} V" if not volt else f"{volt}", colours["soft"], anchor="middle")


def _text(
    x: float, y: float, said: str, colour: str, *, anchor: str = "start", weight: int = 400, label: str = ""
) -> str:
    mark = f' data-label="{escape(label)}"' if label else ""
    bold = f' font-weight="{weight}"' if weight != 400 else ""
    return (
        f'<text x="{x:.1f}" y="{y:.1f}" font-size="{SIZE}" text-anchor="{anchor}"{bold} fill="{colour}"{mark}>'
        f"{escape(said)}</text>"
    )
