"""What overlaps in a picture, from its SVG alone: texts by our own table of widths, lines and rings by geometry."""

import math
import re
from collections import Counter
from itertools import combinations, pairwise
from typing import NamedTuple
from xml.etree import ElementTree

from kit.circuit import FuelSolenoid, Joint, Relay, StarterSolenoid, Wire
from kit.draw import Picture
from kit.draw.widths import text_width

SVG = "{http://www.w3.org/2000/svg}"
LEAST_APART = 24
# Of a font size: how far letters reach above and below their baseline.
RISE, DROP = 0.76, 0.22
ROW = 60  # px; no label is higher


class Box(NamedTuple):
    """A rectangle in px and what it belongs to."""

    text: str
    left: float
    top: float
    right: float
    bottom: float

    def overlaps(self, other: "Box", by: float = 0.5) -> bool:
        return (
            min(self.right, other.right) - max(self.left, other.left) > by
            and min(self.bottom, other.bottom) - max(self.top, other.top) > by
        )

    def holds(self, other: "Box") -> bool:
        return (
            self.left <= other.left and other.right <= self.right and self.top <= other.top
            and other.bottom <= self.bottom
        )


def labels_of(root: ElementTree.Element) -> list[Box]:
    """The box of every label that is seen."""
    found = []
    for text in root.iter(f"{SVG}text"):
        if "data-label" in text.attrib:
            found.append(_text_box(text))
    return found


def _text_box(text: ElementTree.Element) -> Box:
    size, x, y = (float(text.get(name)) for name in ("font-size", "x", "y"))
    bold = text.get("font-weight") == "700"
    spans = list(text)
    lines = [span for span in spans if span.get("dy") is not None]
    if lines:
        widths = [text_width(span.text, size, bold=bold) for span in lines]
        drop = sum(float(span.get("dy")) for span in lines)
    elif spans:
        widths = [sum(text_width(span.text, size, bold=True) + text_width(span.tail or "", size) for span in spans)]
        drop = 0.0
    else:
        widths, drop = [text_width(text.text, size, bold=bold)], 0.0
    wide = max(widths)
    left = {"start": x, "middle": x - wide / 2, "end": x - wide}[text.get("text-anchor", "start")]
    said = "".join(text.itertext())
    return Box(said, left, y - RISE * size, left + wide, y + drop + DROP * size)


def lines_of(element: ElementTree.Element) -> list[Box]:
    """Every straight stretch and every circle that is seen, as boxes; slanted strokes by short steps."""
    found: list[Box] = []
    for child in element:
        if child.get("display") == "none":
            continue
        tag = child.tag.removeprefix(SVG)
        if tag == "g":
            found += lines_of(child)
        elif tag == "circle" and "data-point" not in child.attrib:
            x, y, r = (float(child.get(name)) for name in ("cx", "cy", "r"))
            found.append(Box("circle", x - r, y - r, x + r, y + r))
        elif tag in ("path", "polygon"):
            numbers = [float(n) for n in re.findall(r"-?\d+\.?\d*", child.get("d") or child.get("points"))]
            spots = list(zip(numbers[::2], numbers[1::2], strict=True))
            spots += spots[:1] if tag == "polygon" else []
            for (x0, y0), (x1, y1) in pairwise(spots):
                steps = 1 if x0 == x1 or y0 == y1 else 8
                for n in range(steps):
                    ax, bx = x0 + (x1 - x0) * n / steps, x0 + (x1 - x0) * (n + 1) / steps
                    ay, by = y0 + (y1 - y0) * n / steps, y0 + (y1 - y0) * (n + 1) / steps
                    found.append(Box("line", min(ax, bx) - 1, min(ay, by) - 1, max(ax, bx) + 1, max(ay, by) + 1))
    return found


def problems(picture: Picture) -> list[str]:
    """Everything that is wrong with a picture, in words; nothing where all is well."""
    root = ElementTree.fromstring(picture.svg)
    labels, lines = labels_of(root), lines_of(root)
    rings = [Box(name, x - 9, y - 9, x + 9, y + 9) for name, (x, y) in picture.points.items()]
    sheet = Box("sheet", 0, 0, picture.width, picture.height)
    found = [f"'{a.text}' over '{b.text}'" for a, b in combinations(labels, 2) if a.overlaps(b)]
    found += [f"'{a.text}' over ring {b.text}" for a in labels for b in rings if a.overlaps(b)]
    rows: dict[int, list[Box]] = {}
    for line in lines:
        for row in range(int(line.top // ROW), int(line.bottom // ROW) + 1):
            rows.setdefault(row, []).append(line)
    found += [
        f"'{a.text}' crossed at {b[1:]}" for a in labels for row in {int(a.top // ROW), int(a.bottom // ROW)}
        for b in rows.get(row, ()) if a.overlaps(b)
    ]
    found += [f"'{a.text}' off the sheet" for a in labels if not sheet.holds(a)]
    spots = list(picture.points.items())
    found += [
        f"{a} and {b} only {math.dist(p, q):.0f} px apart" for (a, p), (b, q) in combinations(spots, 2)
        if math.dist(p, q) < LEAST_APART
    ]
    return found


def terminals_of(part) -> set:
    joined = {part.start, part.end} if isinstance(part, (Wire, Joint)) else set()
    return joined | set(part.terminals)


def missing(picture: Picture, parts, terminals) -> Counter:
    """What a picture should say and does not, worked out from the circuit alone."""
    wanted = Counter()
    for part in parts:
        wanted.update([f"{part.id} {part.colour} {part.mm2:g} mm²"] if isinstance(part, Wire) else [part.id])
        if isinstance(part, StarterSolenoid):
            wanted.update((f"{part.title} contact", "pull coil", "hold coil"))
        elif isinstance(part, FuelSolenoid):
            wanted.update((f"{part.title} hold coil", "pull coil"))
        elif not isinstance(part, Wire):
            wanted[part.title] += 1
        if isinstance(part, Relay):
            wanted[f"{part.title} contact"] += 1
    said = Counter(picture.labels)
    lacking = wanted - said
    for terminal in terminals:  # the short name beside its symbol, or the long one
        short, long = terminal.name, str(terminal)
        if said[long]:
            said[long] -= 1
        elif said[short]:
            said[short] -= 1
        else:
            lacking[long] += 1
    return lacking


def check(picture: Picture, parts) -> None:
    terminals = set().union(*(terminals_of(part) for part in parts)) if parts else set()
    assert not missing(picture, parts, terminals)
    assert set(picture.points) == {str(terminal) for terminal in terminals}
    assert {part.id for part in parts} <= set(picture.parts)
    assert problems(picture) == []
