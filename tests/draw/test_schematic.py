"""The schematics of the orchard bike, placed by hand: labels, structure, states, and the same bytes every time."""

import hashlib
import math
import os
import re
import subprocess
import sys
from base64 import b64decode
from collections import Counter
from dataclasses import replace
from xml.etree import ElementTree

import pytest
import schemdraw

from kit.circuit import Joint, Metal, Wire
from kit.draw import PALETTE, Shown, blocks, draw, plain, schematic, tell_all
from kit.errors import DrawingError
from kit.machines import machine

BIKE = machine("orchard-bike")
STAGES = tuple(BIKE.stages)
SVG = "{http://www.w3.org/2000/svg}"


def read(svg: str) -> ElementTree.Element:
    return ElementTree.fromstring(svg)


def visible(root: ElementTree.Element):
    """Every element that is not inside something hidden."""
    for child in root:
        if child.get("display") == "none":
            continue
        yield child
        yield from visible(child)


def terminals_of(part) -> set:
    joined = {part.start, part.end} if isinstance(part, (Wire, Joint)) else set()
    return joined | set(part.terminals)


def touched(stage: str) -> set:
    return {terminal for part in BIKE.stages[stage].parts for terminal in terminals_of(BIKE.circuit[part])}


def required(stage: str) -> Counter:
    """The texts a stage must carry, worked out from the circuit alone; 'from' and 'to' are left off."""
    parts = [BIKE.circuit[part] for part in BIKE.stages[stage].parts]
    contacts = [key.split(".")[0] for key in BIKE.places[stage] if key.endswith(".contact")]
    texts = Counter()
    for part in parts:
        if isinstance(part, Wire):
            texts[f"{part.id} {part.colour} {part.mm2:g} mm²"] += 1
        else:
            texts.update((part.id, part.title))
    for relay in contacts:
        texts.update((relay, f"{BIKE.circuit[relay].title} contact"))
    symbols = {part.id for part in parts if not isinstance(part, (Wire, Joint, Metal))}
    for terminal in touched(stage):
        texts[terminal.name if terminal.part in symbols else str(terminal)] += 1
        home = BIKE.stage_of(terminal.part).id
        elsewhere = [other for other in STAGES if other != stage and terminal in touched(other)]
        others = elsewhere if home == stage else [home]
        if others and terminal.part not in contacts:
            texts[", ".join(others)] += 1
    return texts


@pytest.mark.parametrize("stage", STAGES)
def test_labels_are_the_required_ones(stage):
    picture = schematic(BIKE, stage)
    drawn = [text for text in read(picture.svg).iter(f"{SVG}text") if "data-label" in text.attrib]
    for text in drawn:
        shown = "".join(text.itertext())
        assert re.sub(r"\s", "", shown) == re.sub(r"\s", "", text.get("data-label"))
    labels = Counter(text.get("data-label") for text in drawn)
    assert labels == Counter(picture.labels)
    assert Counter(re.sub(r"^(from|to) ", "", label) for label in labels.elements()) == required(stage)


def test_arrows_say_where_current_comes_from_and_goes():
    assert "from grounds" in schematic(BIKE, "main feed").labels
    assert "to cranking circuit" in schematic(BIKE, "main feed").labels
    assert {"from main feed", "to start request, neutral interlock"} <= set(schematic(BIKE, "key feed").labels)


@pytest.mark.parametrize("stage", STAGES)
def test_every_terminal_is_a_test_point_with_room_around_it(stage):
    picture = schematic(BIKE, stage)
    rings = {
        ring.get("data-point"): (float(ring.get("cx")), float(ring.get("cy")))
        for ring in read(picture.svg).iter(f"{SVG}circle") if "data-point" in ring.attrib
    }
    assert rings == dict(picture.points)
    assert set(rings) == {str(terminal) for terminal in touched(stage)}
    spots = list(rings.values())
    assert min(math.dist(a, b) for n, a in enumerate(spots) for b in spots[:n]) >= 24
    assert picture.width <= 900


@pytest.mark.parametrize("stage", STAGES)
def test_every_part_is_a_group_with_a_box_to_click(stage):
    picture = schematic(BIKE, stage)
    groups = Counter(g.get("data-part") for g in read(picture.svg).iter(f"{SVG}g") if "data-part" in g.attrib)
    again = {key.split(".")[0] for key in BIKE.places[stage] if key.endswith(".contact")}
    assert groups == Counter([*BIKE.stages[stage].parts, *again])
    assert set(picture.parts) == set(groups)
    for x, y, width, height in picture.parts.values():
        assert width >= 24 and height >= 24
        assert x >= 0 and y >= 0 and x + width <= picture.width and y + height <= picture.height


@pytest.mark.parametrize("part", [part.id for part in BIKE.circuit.parts if isinstance(part, (Wire, Joint))])
def test_a_run_is_two_halves_each_of_its_own_end(part):
    stage = BIKE.stage_of(part).id
    group = next(g for g in read(schematic(BIKE, stage).svg).iter(f"{SVG}g") if g.get("data-part") == part)
    nodes = [path.get("data-node") for path in group.iter() if "data-node" in path.attrib]
    run = BIKE.circuit[part]
    assert nodes == [str(run.start), str(run.end)]


@pytest.mark.parametrize(
    ("stage", "part", "shown", "seen", "all_variants"),
    [
        ("main feed", "F1", Shown(), "sound", {"sound", "blown", "out"}),
        ("main feed", "F1", Shown(blown=frozenset({"F1"})), "blown", {"sound", "blown", "out"}),
        ("main feed", "F1", Shown(out=frozenset({"F1"}), blown=frozenset({"F1"})), "out", {"sound", "blown", "out"}),
        ("key feed", "S1", Shown(), "open", {"open", "closed"}),
        ("key feed", "S1", Shown(closed=frozenset({"S1"})), "closed", {"open", "closed"}),
        ("starter relay", "K1", Shown(closed=frozenset({"K1"})), "closed", {"open", "closed"}),
        ("cranking circuit", "K1", Shown(closed=frozenset({"K1"})), "closed", {"open", "closed"}),
        ("cranking circuit", "K1", Shown(), "open", {"open", "closed"}),
    ],
)
def test_all_variants_are_there_and_one_is_seen(stage, part, shown, seen, all_variants):
    root = read(schematic(BIKE, stage, shown).svg)
    group = next(g for g in root.iter(f"{SVG}g") if g.get("data-part") == part)
    whens = [g for g in group.iter(f"{SVG}g") if "data-when" in g.attrib]
    assert {g.get("data-when") for g in whens} == all_variants
    assert {g.get("data-when") for g in whens if g.get("display") != "none"} == {seen}
    shapes = [ElementTree.tostring(g) for g in whens]
    assert all(len(list(g)) > 0 for g in whens) and len(set(shapes)) == len(shapes)


@pytest.mark.parametrize("ground", ["light", "dark"])
@pytest.mark.parametrize("stage", STAGES)
def test_conductors_wear_colour_dash_and_letter_of_their_state(stage, ground):
    now = BIKE.operate(key="on", start_button="pressed", clutch_lever="pulled", gear="first")
    root = read(schematic(BIKE, stage, tell_all(now), ground=ground).svg)
    seen = set()
    for shape in visible(root):
        terminal = shape.get("data-node") or shape.get("data-point") or shape.get("data-letter")
        if terminal is None:
            continue
        volts = now.volts[terminal]
        state = "floating" if volts is None else "ground" if abs(volts) < 1 else "live"
        look = PALETTE[ground]["looks"][state]
        seen.add(state)
        if "data-letter" in shape.attrib:
            assert (shape.text, shape.get("fill")) == (look["letter"], look["colour"])
            continue
        assert shape.get("stroke") == look["colour"]
        if "data-node" in shape.attrib:
            assert shape.get("stroke-dasharray", "") == look["dash"]
            assert float(shape.get("stroke-width")) == look["width"] + float(shape.get("data-extra", 0))
    assert seen
    assert root.find(f"{SVG}rect").get("fill") == PALETTE[ground]["paper"]


def test_the_palettes_states_are_all_met_somewhere():
    """Guards the test above: one operation shows live, ground and floating; a sick battery shows chattering."""
    states = set(tell_all(BIKE.operate(key="on", start_button="pressed", gear="first")).nodes.values())
    states |= set(tell_all(BIKE.operate("G1 sulphated", key="on", start_button="pressed")).nodes.values())
    assert states == {"live", "ground", "floating", "chattering"}


def test_an_open_wire_is_live_on_one_side_only():
    svg = schematic(BIKE, "start request", tell_all(BIKE.operate("W7 open", key="on", start_button="pressed"))).svg
    halves = {
        shape.get("data-node"): shape.get("stroke") for group in read(svg).iter(f"{SVG}g")
        if group.get("data-part") == "W7" for shape in group if "data-node" in shape.attrib
    }
    looks = PALETTE["light"]["looks"]
    assert halves == {"S3.2": looks["live"]["colour"], "K1.86": looks["ground"]["colour"]}


def test_plain_view_gives_nothing_away():
    """Whatever is wrong, the plain view has the very same bytes while the controls stand alike."""
    healthy = BIKE.operate(key="on", start_button="pressed")
    for stage in STAGES:
        sound = schematic(BIKE, stage, plain(healthy)).svg
        for fault in ("F1 blown", "W3 shorted to ground", "K1 contacts welded", "S3 stuck open", "G1 sulphated"):
            sick = BIKE.operate(fault, key="on", start_button="pressed")
            assert schematic(BIKE, stage, plain(sick)).svg == sound
        assert not [text.text for text in read(sound).iter(f"{SVG}text") if "data-letter" in text.attrib and text.text]


def test_recolouring_does_not_draw_again(monkeypatch):
    drawn = []
    original = schemdraw.Drawing.draw
    monkeypatch.setattr(schemdraw.Drawing, "draw", lambda *args, **rest: drawn.append(1) or original(*args, **rest))
    places = {**BIKE.places, "main feed": {**BIKE.places["main feed"], "sheet": [40, 17.25]}}
    moved = replace(BIKE, places=places)
    first = schematic(moved, "main feed")
    assert len(drawn) == 1
    others = [
        schematic(moved, "main feed", tell_all(moved.operate(fault, key="on")), ground=ground)
        for fault in ("F1 blown", "W1 open") for ground in ("light", "dark")
    ]
    assert len(drawn) == 1
    assert len({first.svg, *(picture.svg for picture in others)}) == 5


SAY_HASH = """
import hashlib
from kit.draw import blocks, draw, schematic
from kit.machines import machine
bike = machine("orchard-bike")
now = bike.operate("G1 sulphated", key="on", start_button="pressed")
pictures = [blocks(bike)] + [p for s in bike.stages for p in (schematic(bike, s), draw(bike, stage=s, now=now))]
print(hashlib.sha256("".join(p.svg + repr(p) + repr(p.parts) + repr(p.points) for p in pictures).encode()).hexdigest())
"""


def test_the_same_bytes_from_run_to_run_and_hash_seed():
    said = set()
    for seed in ("0", "1", "4321"):
        env = {**os.environ, "PYTHONHASHSEED": seed}
        run = subprocess.run([sys.executable, "-c", SAY_HASH], env=env, capture_output=True, text=True, check=True)
        said.add(run.stdout.strip())
    assert len(said) == 1 and len(said.pop()) == len(hashlib.sha256().hexdigest())


@pytest.mark.parametrize("stage", STAGES)
def test_the_svg_stands_by_itself(stage):
    """Colours inlined, no ids, classes or style sheets; a title and a description for those who cannot see it."""
    picture = draw(BIKE, stage=stage, now=BIKE.operate(key="on"))
    root = read(picture.svg)
    assert root.get("role") == "img"
    assert root.find(f"{SVG}title").text == f"Orchard bike, {stage}: key on" == repr(picture)
    description = root.find(f"{SVG}desc").text
    assert all(part in description for part in BIKE.stages[stage].parts)
    assert all(f"{terminal} " in description for terminal in touched(stage))
    assert not [shape for shape in root.iter() if {"id", "class", "href"} & set(shape.attrib)]
    assert not list(root.iter(f"{SVG}style"))
    assert (float(root.get("width")), float(root.get("height"))) == (picture.width, picture.height)
    # No number with a long tail, which would differ between machines.
    assert not re.search(r"\d\.\d{3,}", picture.svg)
    bundle = picture._repr_mimebundle_()
    assert bundle == {"text/html": picture.image(), "image/svg+xml": picture.svg, "text/plain": repr(picture)}
    packed = re.search(r'src="data:image/svg\+xml;base64,([^"]+)"', picture.image())[1]
    assert b64decode(packed).decode() == picture.svg
    # On a narrow page it scrolls before its letters get too small to read: 12 px at 0.72 are 8.6 px.
    assert f"max-width:100%;min-width:{0.72 * picture.width:.0f}px" in picture.image()


def test_drawing_outside_a_notebook_leaves_schemdraw_as_it_was():
    before = schemdraw.backends.svg.config.text
    schematic(replace(BIKE, places={**BIKE.places, "loads": {**BIKE.places["loads"], "sheet": [37, 30]}}), "loads")
    assert schemdraw.backends.svg.config.text == before


def test_unknown_stage_and_ground():
    with pytest.raises(DrawingError, match=r"orchard-bike has no stage 'sidecar'; it has main feed, key feed"):
        schematic(BIKE, "sidecar")
    with pytest.raises(DrawingError, match=r"no ground 'purple'.*light, dark, print"):
        schematic(BIKE, "main feed", ground="purple")
    with pytest.raises(DrawingError, match=r"no ground 'purple'"):
        blocks(BIKE, ground="purple")
