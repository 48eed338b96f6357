"""The press: a template filled, as one HTML file with everything in it, and its drawings in ink alone.

Nothing is loaded from anywhere and no script is in it. Drawings are kept once a file and used wherever they are asked
for, so that a class of thirty does not carry each of them thirty times.
"""

import codecs
import re
from collections.abc import Iterable
from dataclasses import dataclass
from html import escape
from pathlib import Path

from kit.draw import Picture
from kit.errors import PaperError
from kit.records.outgoing import whole_file

TEMPLATES = Path(__file__).parent
# What A4 and Letter both have between the margins of style.html, in px of 1/96 inch: A4 is narrower, Letter lower.
PAGE_WIDE, PAGE_HIGH = 682, 850
# A drawing's smallest letters are 12 px at full size; at three quarters they print at 6.7 pt, at the least at 4.8 pt,
# which a young eye can read at arm's length (from memory).
USUAL_SCALE, GOOD_SCALE, LEAST_SCALE = 0.75, 0.58, 0.53
MOST_TILES = 6
PAGE, TABLE = ".html", ".csv"
SHORT = 14  # letters of a reading that stay on one line
# Px of a drawing that two neighbouring pages both show: more than its longest line of words, so that each of them
# stands whole on one of the two.
OVERLAP = 170.0


@dataclass(frozen=True, slots=True, kw_only=True)
class Paper:
    """One thing to print: the name of its file, and the whole of it as HTML."""

    name: str
    html: str


@dataclass(frozen=True, slots=True)
class Ready:
    """HTML that is ready as it is: templates put it in without escaping."""

    html: str

    def __html__(self) -> str:
        return self.html


@dataclass(frozen=True, slots=True, kw_only=True)
class Tile:
    """What one page shows of a drawing too large for a page: its HTML, and which part of how many it is."""

    html: Ready
    number: int
    of: int


class Pictures:
    """The drawings of one file, each kept once."""

    def __init__(self) -> None:
        self._symbols: dict[str, str] = {}

    def put(self, picture: Picture, *, wide: float = PAGE_WIDE, high: float = PAGE_HIGH, turns: bool = True) -> Ready:
        """The drawing, no wider and no higher than so many px; one that would be too small lies on its side."""
        scale = min(USUAL_SCALE, wide / picture.width, high / picture.height)
        turned = min(USUAL_SCALE, wide / picture.height, PAGE_HIGH / picture.width)
        if turns and scale < GOOD_SCALE and turned > scale:
            return self._shown(picture, turned, (0.0, 0.0, picture.width, picture.height), turned=True)
        return self._shown(picture, scale, (0.0, 0.0, picture.width, picture.height))

    def tiles(self, picture: Picture) -> tuple[Tile, ...]:
        """The drawing on as few pages as keep it readable, each overlapping the next a little."""
        scale, across, down, turned = _tiling(picture.width, picture.height)
        # The overlap is taken from each page's own room.
        step = picture.width / across, picture.height / down
        half = (OVERLAP / 2 if across > 1 else 0.0), (OVERLAP / 2 if down > 1 else 0.0)
        found = []
        for number in range(across * down):
            x, y = (number % across) * step[0], (number // across) * step[1]
            left, top = max(0.0, x - half[0]), max(0.0, y - half[1])
            right = min(picture.width, x + step[0] + half[0])
            bottom = min(picture.height, y + step[1] + half[1])
            room = self._shown(picture, scale, (left, top, right - left, bottom - top), turned=turned)
            found.append(Tile(html=room, number=number + 1, of=across * down))
        return tuple(found)

    @property
    def symbols(self) -> Ready:
        """All drawings, to stand once at the top of the file, where nobody sees them."""
        kept = "".join(self._symbols.values())
        return Ready(f'<svg class="kept" aria-hidden="true" width="0" height="0">{kept}</svg>')

    def _shown(
        self, picture: Picture, scale: float, window: tuple[float, float, float, float], *, turned: bool = False
    ) -> Ready:
        name = self._keep(picture)
        x, y, width, height = window
        use = f'<use href="#{name}" width="{picture.width:g}" height="{picture.height:g}"/>'
        if turned:
            # A quarter turn to the right: what was at the left is at the top.
            box = (0.0, 0.0, height, width)
            use = f'<g transform="translate({height + y:g} {-x:g}) rotate(90)">{use}</g>'
        else:
            box = window
        size = f'width="{box[2] * scale:.1f}" height="{box[3] * scale:.1f}"'
        view = " ".join(f"{number:g}" for number in box)
        return Ready(
            f'<svg class="drawing" role="img" {size} viewBox="{view}" aria-label="{escape(picture.title)}">{use}</svg>'
        )

    def _keep(self, picture: Picture) -> str:
        if picture.svg not in self._symbols:
            name = f"drawing-{len(self._symbols) + 1}"
            body = re.sub(r"^<svg[^>]*>", "", picture.svg).removesuffix("</svg>").rstrip()
            # The paper under it is the page's; marks for a browser that repaints are of no use here.
            body = re.sub(r' data-[a-z]+="[^"]*"', "", re.sub(r"<rect [^>]*rx=\"6\"[^>]*/>", "", body, count=1))
            box = f"0 0 {picture.width:g} {picture.height:g}"
            self._symbols[picture.svg] = (
                f'<symbol id="{name}" viewBox="{box}" overflow="visible">{body}</symbol>'
            )
        return re.search(r'id="([^"]+)"', self._symbols[picture.svg])[1]


def press(template: str, name: str, *, title: str, pictures: Pictures | None = None, **values: object) -> Paper:
    """Fill a template of this room; ``title`` is the page's, the rest what the template asks for."""
    from jinja2 import Environment, FileSystemLoader, StrictUndefined

    templates = Environment(
        loader=FileSystemLoader(TEMPLATES), autoescape=True, undefined=StrictUndefined, trim_blocks=True,
        lstrip_blocks=True,
    )
    templates.filters["nobreak"] = lambda text: str(text).replace(" ", "\u00a0")
    templates.filters["short"] = lambda text: text if len(text) > SHORT else text.replace(" ", "\u00a0")
    text = templates.get_template(template).render(title=title, pictures=pictures or Pictures(), **values)
    return Paper(name=name, html=text)


def write_papers(papers: Iterable[Paper], out: Path) -> tuple[Path, ...]:
    """Write each into the folder, whole or not at all; raises PaperError where that cannot be done.

    A page is printed again and again, so a new one takes the place of the old. A table or a machine file is there to be
    filled in: one that somebody has written into is left alone, and is not among the paths given back.
    """
    made = []
    for paper in papers:
        path, text = out / paper.name, paper.html.encode("utf-8", "backslashreplace")
        if path.suffix == TABLE:
            # A spreadsheet reads names with an umlaut rightly only behind this mark.
            text = codecs.BOM_UTF8 + text
        try:
            if path.suffix != PAGE and path.exists() and path.read_bytes() != text:
                continue
            with whole_file(path) as file:
                file.write(text)
        except OSError as reason:
            raise PaperError(f"{path} cannot be written ({reason.strerror}); give another folder with --out.") from None
        made.append(path)
    return tuple(made)


def plain_name(text: str) -> str:
    """A text as part of a file's name."""
    return re.sub(r"[^a-z0-9]+", "-", text.lower()).strip("-")[:60] or "sheet"


def _tiling(width: float, height: float) -> tuple[float, int, int, bool]:
    """Scale, pages across and down, and whether the pages lie on their side: fewest pages first, then upright if
    that is large enough, then the largest scale."""
    found: list[tuple[int, float, bool, float, int, int]] = []
    for across in range(1, MOST_TILES + 1):
        for down in range(1, MOST_TILES // across + 1):
            for turned in (False, True):
                wide, high = (PAGE_HIGH, PAGE_WIDE) if turned else (PAGE_WIDE, PAGE_HIGH)
                more = (OVERLAP if across > 1 else 0.0), (OVERLAP if down > 1 else 0.0)
                scale = min(wide / (width / across + more[0]), high / (height / down + more[1]), 1.0)
                found.append((across * down, -min(scale, GOOD_SCALE), turned, -scale, across, down))
    readable = [one for one in found if -one[3] >= LEAST_SCALE] or [min(found, key=lambda one: one[3])]
    _, _, turned, scale, across, down = min(readable)
    return -scale, across, down, turned
