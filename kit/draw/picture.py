"""A finished picture: SVG text, and where its points and parts are."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType


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

    def _repr_mimebundle_(self, include: object = None, exclude: object = None) -> dict[str, str]:
        return {"image/svg+xml": self.svg, "text/plain": self.title}
