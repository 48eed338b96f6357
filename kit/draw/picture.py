"""A finished picture: SVG text, and where its points and parts are."""

from base64 import b64encode
from collections.abc import Mapping
from dataclasses import dataclass, field
from html import escape
from types import MappingProxyType

# A picture wider than this, in px, would have letters under 9 px in a notebook 800 px wide; so no picture is drawn
# smaller than this share of its size, and where the page is narrower than that, it scrolls.
WIDEST_FITTED, SMALLEST = 1150, 0.72


def _nothing() -> Mapping:
    return MappingProxyType({})


@dataclass(frozen=True, slots=True, kw_only=True, repr=False)
class Picture:
    """A drawing as self-contained SVG.

    ``points``: the middle of each test point's ring, in px, by terminal text; ``labels``: every text it carries;
    ``parts``: boxes to click on, (x, y, width, height) in px, by part id. A notebook shows it by itself.
    """

    title: str
    svg: str
    width: float
    height: float
    labels: tuple[str, ...] = ()
    points: Mapping[str, tuple[float, float]] = field(default_factory=_nothing)
    parts: Mapping[str, tuple[float, float, float, float]] = field(default_factory=_nothing)

    def __repr__(self) -> str:
        return self.title

    def image(self) -> str:
        """The picture as an HTML image with everything in it.

        Jupyter shows bare SVG only in notebooks it trusts and at its full width; an image in all of them, fitted in
        as far as its words stay readable, in a frame that scrolls. One too wide for any page keeps its size.
        """
        source = b64encode(self.svg.encode()).decode()
        words = f'alt="{escape(self.title)}" src="data:image/svg+xml;base64,{source}"'
        if self.width <= WIDEST_FITTED:
            size = f"max-width:100%;min-width:{SMALLEST * self.width:.0f}px"
            return f'<div style="overflow-x:auto"><img {words} style="{size}"></div>'
        return f'<div tabindex="0" style="overflow-x:auto"><img {words} style="max-width:none"></div>'

    def _repr_mimebundle_(self, include: object = None, exclude: object = None) -> dict[str, str]:
        return {"text/html": self.image(), "image/svg+xml": self.svg, "text/plain": self.title}
