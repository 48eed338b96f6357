"""A chart as a tree in ink: numbered steps, outcomes on the lines, and at each end the unit that is left."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from html import escape

from kit.draw import Picture
from kit.draw.paint import frame
from kit.draw.palette import PALETTE
from kit.draw.widths import text_width

ROW, STEP, RADIUS, SIZE, MARGIN = 24.0, 150.0, 12.0, 12, 16.0
# A tree larger than this goes on in another, so that each stays readable on a page.
MOST_DEEP, MOST_ROWS = 5, 44
MOST_SHOWN = 19  # letters of an outcome that fit on a line


@dataclass(frozen=True, slots=True, kw_only=True)
class Branch:
    """An outcome, and what follows: another step, or the unit that is left."""

    shown: str
    then: "Knot | str"


@dataclass(frozen=True, slots=True, kw_only=True)
class Knot:
    """A step of the chart by its number."""

    number: int
    branches: Sequence[Branch]


def trees(root: Knot, title: str) -> Iterator[Picture]:
    """The tree in pictures that fit a page each: where one would grow too large, it goes on in another."""
    waiting = [root]
    while waiting:
        knot = waiting.pop(0)
        fitting = (deep for deep in range(MOST_DEEP, 1, -1) if _rows(_pruned(knot, deep, [])) <= MOST_ROWS)
        deep = next(fitting, 1)
        further: list[Knot] = []
        yield tree_picture(_pruned(knot, deep, further), f"{title}, from step {knot.number}")
        waiting = [*further, *waiting]


def _pruned(at: Knot, deep: int, further: list[Knot]) -> Knot:
    """A tree so many steps deep; what would go further is named, and added to ``further``."""
    branches = []
    for branch in at.branches:
        then = branch.then
        if isinstance(then, Knot):
            if deep == 1:
                further.append(then)
                then = f"to step {then.number}"
            else:
                then = _pruned(then, deep - 1, further)
        branches.append(Branch(shown=branch.shown, then=then))
    return Knot(number=at.number, branches=tuple(branches))


def tree_picture(root: Knot, title: str) -> Picture:
    """The tree, read from left to right; its steps carry the numbers of the chart."""
    ink = PALETTE["print"]["ink"]
    body: list[str] = []
    high = MARGIN + ROW * _rows(root)
    body += _drawn(root, MARGIN + RADIUS, MARGIN, ink)
    wide = 2 * MARGIN + STEP * _deep(root) + max((text_width(end, SIZE, bold=True) for end in _ends(root)), default=0.0)
    return Picture(
        title=title, width=wide, height=high + MARGIN,
        svg=frame(body, wide, high + MARGIN, "print", title=title, description="Steps by number, ends by unit."),
    )


def _drawn(at: Knot, x: float, top: float, ink: str) -> Iterator[str]:
    middle = top + ROW / 2
    row = top
    for branch in at.branches:
        y = row + ROW / 2
        yield f'<path d="M {x:g},{middle:g} L {x:g},{y:g} L {x + STEP:g},{y:g}" fill="none" stroke="{ink}"/>'
        yield _text(x + RADIUS + 5, y - 4, _short(branch.shown), ink)
        if isinstance(branch.then, Knot):
            yield from _drawn(branch.then, x + STEP, row, ink)
        else:
            yield _text(x + STEP + 4, y + 4, branch.then, ink, bold=True)
        row += ROW * _rows(branch.then)
    yield f'<circle cx="{x:g}" cy="{middle:g}" r="{RADIUS:g}" fill="#FFFFFF" stroke="{ink}" stroke-width="1.5"/>'
    yield _text(x, middle + 4, str(at.number), ink, anchor="middle", bold=True)


def _text(x: float, y: float, text: str, ink: str, *, anchor: str = "start", bold: bool = False) -> str:
    weight = ' font-weight="700"' if bold else ""
    place = f'x="{x:g}" y="{y:g}" font-size="{SIZE}" text-anchor="{anchor}"'
    return f'<text {place} fill="{ink}"{weight}>{escape(text)}</text>'


def _short(text: str) -> str:
    return text if len(text) <= MOST_SHOWN else text[: MOST_SHOWN - 1].rstrip(" ,;.") + "…"


def _rows(at: Knot | str) -> int:
    return sum(_rows(branch.then) for branch in at.branches) if isinstance(at, Knot) else 1


def _deep(at: Knot | str) -> int:
    return 1 + max(_deep(branch.then) for branch in at.branches) if isinstance(at, Knot) else 0


def _ends(at: Knot | str) -> Iterator[str]:
    if isinstance(at, Knot):
        for branch in at.branches:
            yield from _ends(branch.then)
    else:
        yield at
