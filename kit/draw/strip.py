"""A strip chart: volts, amps and relays of a machine's course in time, three tracks over one time axis."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from html import escape

from kit.draw.paint import frame
from kit.draw.palette import PALETTE, check_ground
from kit.draw.picture import Picture
from kit.errors import DrawingError
from kit.machines.course import MachineCourse

WIDTH, LEFT, RIGHT = 860, 64, 150
HEAD, TRACK, GAP, BAR, FOOT = 14, 150, 26, 24, 46
ROW, CHARACTER = 14, 7.2  # px: a row of words above the tracks, and a character of the widest usual font
SIZE = 12
NAME_LINE = 15  # px between two names beside a track
# A trace is told by dash and name as well as by its colour; the dashes are unlike those of the conductors' states.
TRACES = (("ground", ""), ("live", "7 3"), ("chattering", "2 3"), ("plain", "10 3 2 3"))
SPARE = 0.05  # of a track's height, above and below
NOTHING_FLOWS = 0.01  # amps
TALLEST = 1.5  # times the machine's volts: a coil's kick is higher, and would flatten all the rest


@dataclass(frozen=True, slots=True)
class Track:
    """A stretch of the paper: its top and bottom in px, and the values they stand for."""

    top: float
    bottom: float
    low: float
    high: float
    unit: str

    def y(self, value: float) -> float:
        share = (min(max(value, self.low), self.high) - self.low) / (self.high - self.low)
        return self.bottom - share * (self.bottom - self.top)


def strip(
    course: MachineCourse, *, volts: Sequence[str] = (), amps: Sequence[str] = (), relays: Sequence[str] = (),
    start: float = 0.0, end: float | None = None, ground: str = "light",
) -> Picture:
    """The course on paper: ``volts`` of terminals against the reference, ``amps`` of paths, ``relays`` as bars.

    ``start`` and ``end`` cut a piece out, in seconds. Raises DrawingError for nothing to draw, more than four traces
    in a track, an unknown relay or a piece that is not there; SolveError for an unknown terminal or path.
    """
    check_ground(ground)
    end = course.seconds[-1] if end is None else end
    if not (volts or amps or relays):
        raise DrawingError("a strip chart needs volts, amps or relays to draw; name a terminal, a path or a relay.")
    if max(len(volts), len(amps)) > len(TRACES):
        raise DrawingError(f"a track holds {len(TRACES)} traces at most; draw the others on a chart of their own.")
    if not 0 <= start < end <= course.seconds[-1] + 1e-9:
        raise DrawingError(f"the course runs from 0 to {course.seconds[-1]:g} s; {start:g} to {end:g} s is not in it.")
    for relay in relays:
        if relay not in course.course.magnets:
            known = ", ".join(course.course.magnets) or "none"
            raise DrawingError(f"{course.machine.title}: there is no relay {relay}; there are {known}.")
    colours = PALETTE[ground]
    paper = _Paper(course, start, end, colours)
    moments = paper.lay_out_moments()
    said, labels, top = [], [], float(HEAD + ROW * (1 + max((row for *_, row in moments), default=0)))
    limit = TALLEST * course.machine.volts
    for names, unit, figures, bound in (
        (volts, "V", course.volts, (-0.25 * course.machine.volts, limit)), (amps, "A", course.amps, (-1e6, 1e6)),
    ):
        if names:
            lines = {name: paper.cut(figures(name)) for name in names}
            track = _track(lines, top, unit, bound)
            paper.traces(track, lines)
            said += [_said(name, line, unit) for name, line in lines.items()]
            labels += names
            top = track.bottom + GAP
    if relays:
        for relay in relays:
            said.append(paper.bar(relay, top))
            top += BAR
        labels += relays
        top += GAP - 8
    bottom = top - GAP
    height = bottom + FOOT
    paper.axis(bottom)
    paper.moments(moments, bottom)
    title = f"{course.machine.title}: {_list([*volts, *amps, *relays])} over {end - start:g} s"
    return Picture(
        title=title, width=WIDTH, height=height, labels=tuple(labels),
        svg=frame(paper.body, WIDTH, height, ground, title=title, description=" ".join(
            [*(f"At {at:.2f} s: {words}." for at, words, _ in moments), *said]
        )),
    )


class _Paper:
    """The paper being drawn on: its time axis, and the SVG so far."""

    def __init__(self, course: MachineCourse, start: float, end: float, colours: dict) -> None:
        self.course, self.start, self.end, self.colours = course, start, end, colours
        self.body: list[str] = []

    def x(self, moment: float) -> float:
        return LEFT + (moment - self.start) / (self.end - self.start) * (WIDTH - LEFT - RIGHT)

    def cut(self, figures: Sequence[float]) -> list[tuple[float, float]]:
        """The moments and figures on the paper; raises nothing: a piece between two samples shows the one before."""
        pairs = list(zip(self.course.seconds, figures, strict=True))
        inside = [pair for pair in pairs if self.start <= pair[0] <= self.end]
        before = [pair for pair in pairs if pair[0] < self.start]
        return ([(self.start, before[-1][1])] if before else []) + (inside or [(self.end, before[-1][1])])

    def text(self, x: float, y: float, words: str, *, anchor: str = "start", fill: str = "", weight: int = 400) -> None:
        self.body.append(
            f'<text x="{x:.1f}" y="{y:.1f}" font-size="{SIZE}" text-anchor="{anchor}" font-weight="{weight}" '
            f'fill="{fill or self.colours["soft"]}">{escape(words)}</text>'
        )

    def line(self, x0: float, y0: float, x1: float, y1: float, *, dash: str = "", width: float = 1) -> None:
        dashed = f' stroke-dasharray="{dash}"' if dash else ""
        self.body.append(
            f'<line x1="{x0:.1f}" y1="{y0:.1f}" x2="{x1:.1f}" y2="{y1:.1f}" stroke="{self.colours["soft"]}" '
            f'stroke-width="{width:g}" stroke-opacity="{0.35 if width < 1 else 1}"{dashed}/>'
        )

    def traces(self, track: Track, lines: dict[str, list[tuple[float, float]]]) -> None:
        right = WIDTH - RIGHT
        step = _step(track.high - track.low, 5)
        for k in range(math.ceil(track.low / step - 1e-9), math.floor(track.high / step + 1e-9) + 1):
            y = track.y(k * step)
            self.line(LEFT, y, right, y, width=0.75)
            self.text(LEFT - 8, y + 4, f"{k * step:g}", anchor="end")
        self.line(LEFT, track.top, LEFT, track.bottom)
        self.text(14, (track.top + track.bottom) / 2 + 4, track.unit, weight=700, fill=self.colours["ink"])
        names = []
        for (name, line), (look, dash) in zip(lines.items(), TRACES, strict=False):
            points = " ".join(f"{self.x(t):.1f},{track.y(v):.1f}" for t, v in _thinned(line, self.x))
            colour = self.colours["looks"][look]["colour"]
            dashed = f' stroke-dasharray="{dash}"' if dash else ""
            self.body.append(
                f'<polyline data-trace="{escape(name)}" points="{points}" fill="none" stroke="{colour}" '
                f'stroke-width="2" stroke-linejoin="round"{dashed}/>'
            )
            names.append((track.y(line[-1][1]), name, colour, dashed))
        self._off_the_paper(track, lines)
        # Names stand beside where their trace ends, pushed apart where they would meet.
        names.sort()
        y = -math.inf
        places = []
        for wanted, *_ in names:
            y = max(wanted, y + NAME_LINE)
            places.append(y)
        over = max(0.0, places[-1] - track.bottom)
        for place, (_, name, colour, dashed) in zip(places, names, strict=True):
            y = place - over
            self.body.append(
                f'<line x1="{right + 6}" y1="{y:.1f}" x2="{right + 30}" y2="{y:.1f}" stroke="{colour}" '
                f'stroke-width="2"{dashed}/>'
            )
            self.text(right + 36, y + 4, name, fill=self.colours["ink"])

    def _off_the_paper(self, track: Track, lines: dict[str, list[tuple[float, float]]]) -> None:
        """Say how far the traces go where the paper is too small for them."""
        pairs = [pair for line in lines.values() for pair in line]
        for (moment, value), beyond, y in (
            (min(pairs, key=lambda pair: pair[1]), -1, track.bottom - 4),
            (max(pairs, key=lambda pair: pair[1]), 1, track.top + 11),
        ):
            if not track.low <= value <= track.high and (value > 0) == (beyond > 0):
                x = self.x(moment)
                anchor, side = ("end", -6) if x > (LEFT + WIDTH - RIGHT) / 2 else ("start", 6)
                self.text(x + side, y, f"to {value:.0f} {track.unit}", anchor=anchor, fill=self.colours["ink"])

    def bar(self, relay: str, top: float) -> str:
        """A relay's bar, filled while it is pulled in; what it says of it in words."""
        look = self.colours["looks"]["live"]["colour"]
        middle = top + BAR / 2
        self.line(LEFT, middle + 7, WIDTH - RIGHT, middle + 7)
        shut = [(max(a, self.start), min(b, self.end)) for a, b in self.course.pulled_in(relay)]
        shut = [(a, b) for a, b in shut if a < b]
        for a, b in shut:
            self.body.append(
                f'<rect data-relay="{escape(relay)}" x="{self.x(a):.1f}" y="{middle - 7:.1f}" '
                f'width="{max(self.x(b) - self.x(a), 0.5):.1f}" height="14" fill="{look}"/>'
            )
        self.text(14, middle + 4, relay, weight=700, fill=self.colours["ink"])
        self.text(WIDTH - RIGHT + 36, middle + 4, f"{relay} pulled in", fill=self.colours["ink"])
        if not shut:
            return f"{relay} never pulls in."
        if len(shut) > 2:
            first, last = shut[0][0], shut[-1][1]
            return f"{relay} is pulled in {len(shut)} times, first at {first:.3f} s, last until {last:.3f} s."
        return " ".join(f"{relay} is pulled in from {a:.3f} to {b:.3f} s." for a, b in shut)

    def axis(self, bottom: float) -> None:
        y = bottom + 8
        self.line(LEFT, y, WIDTH - RIGHT, y)
        step = _step(self.end - self.start, 8)
        for k in range(math.ceil(self.start / step - 1e-9), math.floor(self.end / step + 1e-9) + 1):
            self.line(self.x(k * step), y, self.x(k * step), y + 5)
            self.text(self.x(k * step), y + 19, f"{round(k * step, 9):g}", anchor="middle")
        self.text(WIDTH - RIGHT + 36, y + 19, "seconds", fill=self.colours["ink"])

    def lay_out_moments(self) -> list[tuple[float, str, int]]:
        """When a control was moved or a fuse melted, in words, and the row they fit in above the tracks."""
        told = [(at, words) for at, words in self.course.told() if self.start <= at < self.end]
        told += [
            (event.at, f"{event.part} melts")
            for event in self.course.events if event.what == "melts" and self.start <= event.at < self.end
        ]
        laid, taken = [], []
        for at, words in sorted(told):
            x, width = self.x(at), CHARACTER * len(words) + 12
            left = x - width if x + width > WIDTH else x
            row = next((k for k, right in enumerate(taken) if right <= left), len(taken))
            taken[row:row + 1] = [left + width]
            laid.append((at, words, row))
        return laid

    def moments(self, laid: list[tuple[float, str, int]], bottom: float) -> None:
        """Upright lines at these moments, with their words."""
        for at, words, row in laid:
            x, y = self.x(at), HEAD + 2 + ROW * row
            from_right = x + CHARACTER * len(words) + 12 > WIDTH
            self.line(x, y - 10, x, bottom + 8, dash="3 3")
            self.text(x - 4 if from_right else x + 4, y, words, anchor="end" if from_right else "start",
                      fill=self.colours["ink"])


def _track(lines: dict[str, list[tuple[float, float]]], top: float, unit: str, bound: tuple[float, float]) -> Track:
    low = max(min(0.0, *(value for line in lines.values() for _, value in line)), bound[0])
    high = min(max(value for line in lines.values() for _, value in line), bound[1])
    # Leaks of some milliamps would be drawn as large as a starter's current: where nothing flows the axis says so.
    high = max(high, low + 1e-3, 1.0 if unit == "V" or high < NOTHING_FLOWS else 0.0)
    spare = SPARE * (high - low)
    return Track(top, top + TRACK, low - spare if low < 0 else low, high + spare, unit)


def _thinned(line: list[tuple[float, float]], x) -> Iterator[tuple[float, float]]:
    """No more of a trace than shows: the first, lowest, highest and last figure in each px."""
    columns: dict[int, list[tuple[float, float]]] = {}
    for pair in line:
        columns.setdefault(int(x(pair[0])), []).append(pair)
    for column in columns.values():
        worth = {
            column[0], column[-1], min(column, key=lambda pair: pair[1]), max(column, key=lambda pair: pair[1]),
        }
        yield from sorted(worth)


def _step(span: float, most: int) -> float:
    """The distance of ticks: 1, 2 or 5 times a power of ten, so that there are no more than ``most``."""
    raw = span / most
    power = 10.0 ** math.floor(math.log10(raw))
    return next(factor * power for factor in (1, 2, 5, 10) if factor * power >= raw * (1 - 1e-9))


def _said(name: str, line: list[tuple[float, float]], unit: str) -> str:
    figures = [value for _, value in line]
    low, high, last = (round(value, 1) + 0.0 for value in (min(figures), max(figures), figures[-1]))
    return f"{name} lies between {low:g} and {high:g} {unit} and ends at {last:g} {unit}."


def _list(names: Sequence[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}"
