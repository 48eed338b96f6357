"""Every label of every drawing, measured by Chromium: nothing over anything, nothing off the sheet."""

import math
from dataclasses import replace
from functools import partial
from itertools import combinations, product
from types import MappingProxyType
from typing import NamedTuple

import pytest
from invented import invent
from showcase import showcase

from kit.draw import (
    Picture,
    Shown,
    Words,
    blocks,
    fault_table,
    schematic,
    sheet,
    staircase,
    tell_all,
    whereabouts,
)
from kit.draw.widths import text_width
from kit.machines import machine, machine_ids

pytestmark = pytest.mark.browser

PLACED = machine("orchard-bike")
BIKE = replace(PLACED, places=MappingProxyType({}))
STAGES = tuple(BIKE.stages)
WHOLE = "whole machine"
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
    spots: [...svg.querySelectorAll("circle[data-point]")].map(e => [+e.getAttribute("cx"), +e.getAttribute("cy")]),
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
    # At its own size: shrunk to the window, letters are measured wider than they are.
    style = "<style>svg { max-width: none !important }</style>"
    page.set_content(f"<!doctype html>{style}<body style='margin:0'>{picture.svg}</body>")
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


def check(page, picture: Picture, legend: int = 0) -> None:
    """Every label there, on the sheet, and over nothing; every test point 24 px or more from the next."""
    found = measure(page, picture)
    labels, paper = found["labels"], Box("sheet", 0, 0, picture.width, picture.height)
    assert len(labels) == len(picture.labels) + legend
    assert [(a.text, b.text) for a, b in combinations(labels, 2) if a.overlaps(b)] == []
    assert [label.text for label in labels if not paper.holds(label)] == []
    assert [(label.text, ring.text) for label in labels for ring in found["rings"] if label.overlaps(ring)] == []
    assert [label.text for label in labels if crossed(label, found["lines"])] == []
    assert min(found["sizes"]) >= 11
    assert min(math.dist(a, b) for a, b in combinations(found["spots"], 2)) >= 24


def pictures(stage: str) -> dict[str, Picture]:
    first_gear = BIKE.operate(key="on", start_button="pressed", clutch_lever="pulled", gear="first", stand="up")
    chatters = BIKE.operate("G1 sulphated", key="on", start_button="pressed")
    draw = sheet if stage == WHOLE else partial(schematic, stage=stage)
    return {
        "at rest": draw(BIKE),
        "tell-all": draw(BIKE, shown=tell_all(first_gear), ground="dark"),
        "chatters": draw(BIKE, shown=tell_all(chatters), ground="print"),
    }


@pytest.mark.parametrize("stage", [*STAGES, WHOLE])
def test_no_label_covers_another_a_test_point_or_a_line_nor_leaves_the_sheet(chromium_page, stage):
    for view, picture in pictures(stage).items():
        check(chromium_page, picture, 0 if view == "at rest" else 8)


@pytest.mark.parametrize("stage", STAGES)
def test_a_stage_is_no_wider_than_a_notebook_nor_higher_than_a_screen(stage):
    picture = schematic(BIKE, stage)
    assert picture.width <= 900 and picture.height <= 800


@pytest.mark.parametrize("stage", STAGES)
def test_stages_placed_by_hand(chromium_page, stage):
    now = PLACED.operate(key="on", start_button="pressed", clutch_lever="pulled", gear="first", stand="up")
    check(chromium_page, schematic(PLACED, stage))
    check(chromium_page, schematic(PLACED, stage, tell_all(now), ground="dark"), 8)


@pytest.mark.parametrize("name", [name for name in machine_ids() if name != "orchard-bike"])
def test_the_biggest_stage_of_each_other_machine(chromium_page, name):
    """All the others, and the whole sheets, in every state, are checked without a browser (tests/draw)."""
    known = replace(machine(name), places=MappingProxyType({}))
    biggest = max(known.stages.values(), key=lambda stage: len(stage.parts))
    check(chromium_page, schematic(known, biggest.id, tell_all(known.operate())), 8)


def test_every_kind_of_part_moved(chromium_page):
    known = showcase()
    stands_clear(chromium_page, sheet(known, Shown(closed=frozenset(part.id for part in known.circuit.parts))))


def stands_clear(page, picture: Picture) -> None:
    """Every text on the paper, over no other and no ring."""
    found = measure(page, picture)
    paper = Box("sheet", 0, 0, picture.width, picture.height)
    assert [label.text for label in found["labels"] if not paper.holds(label)] == []
    clear = [*found["labels"], *found["rings"]]
    assert [(a.text, b.text) for a, b in combinations(clear, 2) if a.overlaps(b)] == []
    assert min(found["sizes"]) >= 12


@pytest.mark.parametrize("ground", ["light", "dark"])
def test_the_pictures_that_explain(chromium_page, ground):
    """Every text on the paper and over no other: a staircase, a table of faults, a location view."""
    now = BIKE.operate("W13 open", key="on", start_button="pressed", clutch_lever="pulled", gear="first", stand="up")
    faults, tests = [f"W{n} high resistance 0.5 ohm" for n in range(9)], ["lamp on F1.2", "volts at K1.86, cranking"]
    table = fault_table(
        faults, tests, [["bright", f"{n % 4}.00 V"] for n in range(9)], seen={tests[1]: "1.00 V"}, ground=ground
    )
    places = [whereabouts(machine(name), ground=ground) for name in machine_ids()]
    for picture in (staircase(now, "K1.coil", ground=ground), table, *places):
        stands_clear(chromium_page, picture)


def test_ids_only(chromium_page):
    check(chromium_page, sheet(BIKE, labels=Words.IDS))


@pytest.mark.parametrize("seed", [7, 17, 24, 30, 33, 56, 96])
def test_machines_nobody_built(chromium_page, seed):
    """The whole and its stages; the same machines, and 200 more, are checked without a browser."""
    invented = invent(seed)
    for picture in (sheet(invented), *(schematic(invented, stage) for stage in invented.stages)):
        check(chromium_page, picture)


def test_our_table_of_widths_is_no_narrower_than_the_browser(chromium_page):
    """Room is reserved by it: never less than what the page takes, and not a tenth more."""
    chromium_page.set_content("<canvas></canvas>")
    texts = ["W2 RDWH 2.5 mm²", "ignition and start fuse", "K1.85", "X12.eye", "to ground side, loads", "Ωµ°%"]
    for bold in (False, True):
        for text in texts:
            wide = chromium_page.evaluate(
                """([text, font]) => { const c = document.querySelector("canvas").getContext("2d");
                c.font = font; return c.measureText(text).width; }""",
                [text, f"{'bold ' if bold else ''}100px 'DejaVu Sans', Verdana"],
            )
            assert wide <= text_width(text, 100, bold=bold) <= 1.1 * wide, text


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
    for bike, stage in product((BIKE, PLACED), ("main feed", "key feed")):
        found = measure(chromium_page, schematic(bike, stage, Shown(out=frozenset({"F1", "F2", "F3"}))))
        assert [label.text for label in found["labels"] if crossed(label, found["lines"])] == []


@pytest.mark.parametrize("bike", [PLACED, BIKE], ids=["placed", "worked out"])
def test_block_texts_stay_in_their_boxes(chromium_page, bike):
    picture = blocks(bike)
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
    assert found["spots"] == [[60, 50]]
    assert one.overlaps(other) and not one.overlaps(edge)
    assert one.overlaps(found["rings"][0]) and crossed(one, found["lines"]) and not crossed(edge, found["lines"])
    assert not Box("sheet", 0, 0, 200, 100).holds(edge)
