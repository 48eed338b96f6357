"""Every label of every drawing, measured by Chromium: nothing over anything, nothing off the sheet."""

from itertools import combinations
from typing import NamedTuple

import pytest

from kit.draw import Picture, Shown, blocks, schematic, tell_all
from kit.machines import machine

pytestmark = pytest.mark.browser

BIKE = machine("orchard-bike")
STAGES = tuple(BIKE.stages)
TOLERANCE = 1.0

MEASURE = """() => {
  const svg = document.querySelector("svg"), box = e => {
    const b = e.getBBox(); return [b.x, b.y, b.x + b.width, b.y + b.height]; };
  const seen = e => !e.closest('[display="none"]') && e.textContent.trim() !== "";
  const lines = [];
  for (const e of svg.querySelectorAll("path, polygon, circle:not([data-point])")) {
    if (e.closest('[display="none"]')) continue;
    const length = e.getTotalLength(), steps = Math.max(1, Math.ceil(length / 2));
    for (let n = 0; n <= steps; n++) { const p = e.getPointAtLength(length * n / steps); lines.push([p.x, p.y]); }
  }
  return {
    labels: [...svg.querySelectorAll("text")].filter(e => seen(e) && !e.dataset.letter)
      .map(e => [e.textContent, ...box(e)]),
    letters: [...svg.querySelectorAll("text[data-letter]")].filter(seen).map(e => [e.dataset.letter, ...box(e)]),
    rings: [...svg.querySelectorAll("circle[data-point]")].map(e => [e.dataset.point, ...box(e)]),
    rects: [...svg.querySelectorAll("g[data-stage]")].map(e => {
      const r = e.querySelector("rect"); return [e.dataset.stage, ...box(r),
        [...e.querySelectorAll("text")].map(t => [t.textContent, ...box(t)])]; }),
    sizes: [...svg.querySelectorAll("text")].map(e => parseFloat(getComputedStyle(e).fontSize)),
    lines,
  };
}"""


class Box(NamedTuple):
    """What was measured, in px."""

    text: str
    left: float
    top: float
    right: float
    bottom: float

    def overlaps(self, other: "Box") -> bool:
        return (
            min(self.right, other.right) - max(self.left, other.left) > TOLERANCE
            and min(self.bottom, other.bottom) - max(self.top, other.top) > TOLERANCE
        )

    def holds(self, other: "Box") -> bool:
        return (
            self.left - TOLERANCE <= other.left and other.right <= self.right + TOLERANCE
            and self.top - TOLERANCE <= other.top and other.bottom <= self.bottom + TOLERANCE
        )


def measure(page, picture: Picture) -> dict:
    page.set_content(f"<!doctype html><body style='margin:0'>{picture.svg}</body>")
    found = page.evaluate(MEASURE)
    for name in ("labels", "letters", "rings"):
        found[name] = [Box(*measured) for measured in found[name]]
    return found


def crossed(label: Box, lines: list) -> bool:
    """Whether any drawn line passes through a label, by more than the tolerance."""
    return any(
        label.left + TOLERANCE < x < label.right - TOLERANCE and label.top + TOLERANCE < y < label.bottom - TOLERANCE
        for x, y in lines
    )


def pictures(stage: str) -> dict[str, Picture]:
    first_gear = BIKE.operate(key="on", start_button="pressed", clutch_lever="pulled", gear="first", stand="up")
    return {
        "at rest": schematic(BIKE, stage),
        "tell-all": schematic(BIKE, stage, tell_all(first_gear), ground="dark"),
        "chatters": schematic(BIKE, stage, tell_all(BIKE.operate("G1 sulphated", key="on", start_button="pressed"))),
    }


@pytest.mark.parametrize("stage", STAGES)
def test_no_label_covers_another_a_test_point_or_a_line_nor_leaves_the_sheet(chromium_page, stage):
    for view, picture in pictures(stage).items():
        found = measure(chromium_page, picture)
        labels, sheet = found["labels"], Box("sheet", 0, 0, picture.width, picture.height)
        assert len(labels) == len(picture.labels) + (0 if view == "at rest" else 8)
        assert [(a.text, b.text) for a, b in combinations(labels, 2) if a.overlaps(b)] == [], view
        assert [label.text for label in labels if not sheet.holds(label)] == [], view
        assert [(label.text, ring.text) for label in labels for ring in found["rings"] if label.overlaps(ring)] == []
        assert [label.text for label in labels if crossed(label, found["lines"])] == [], view
        assert min(found["sizes"]) >= 11


@pytest.mark.parametrize("stage", STAGES)
def test_state_letters_stand_inside_their_rings(chromium_page, stage):
    found = measure(chromium_page, pictures(stage)["tell-all"])
    rings = {ring.text: ring for ring in found["rings"]}
    assert len(found["letters"]) == len(rings)
    for letter in found["letters"]:
        ring = rings[letter.text]
        # A letter's box has empty rows above and below the glyph, so across is what counts.
        assert ring.left <= letter.left and letter.right <= ring.right
        assert abs((letter.top + letter.bottom) - (ring.top + ring.bottom)) / 2 <= 3


def test_fuses_pulled_out_cover_no_label(chromium_page):
    for stage, fuses in (("main feed", {"F1"}), ("key feed", {"F2", "F3"})):
        found = measure(chromium_page, schematic(BIKE, stage, Shown(out=frozenset(fuses))))
        assert [label.text for label in found["labels"] if crossed(label, found["lines"])] == []


def test_block_texts_stay_in_their_boxes(chromium_page):
    picture = blocks(BIKE)
    found = measure(chromium_page, picture)
    assert len(found["labels"]) == 2 * len(STAGES)
    assert [(a.text, b.text) for a, b in combinations(found["labels"], 2) if a.overlaps(b)] == []
    assert [label.text for label in found["labels"] if crossed(label, found["lines"])] == []
    for stage, *box, texts in found["rects"]:
        for text in texts:
            assert Box(stage, *box).holds(Box(*text)), text


def test_the_measure_sees_an_overlap_a_crossing_and_a_label_off_the_sheet(chromium_page):
    """The check itself can fail: two labels on one spot, over a line and a ring, one beyond the edge."""
    bad = Picture(title="bad", width=200, height=100, svg=(
        '<svg xmlns="http://www.w3.org/2000/svg" width="200" height="100"><path d="M 0,50 L 200,50"/>'
        '<circle data-point="F1.1" cx="60" cy="50" r="9"/>'
        '<text x="40" y="54">one</text><text x="45" y="56">other</text><text x="190" y="20">edge</text></svg>'
    ))
    found = measure(chromium_page, bad)
    one, other, edge = found["labels"]
    assert one.overlaps(other) and not one.overlaps(edge)
    assert one.overlaps(found["rings"][0]) and crossed(one, found["lines"]) and not crossed(edge, found["lines"])
    assert not Box("sheet", 0, 0, 200, 100).holds(edge)
