"""The layout worked out from the circuit: on the bike and on machines nobody built, nothing over anything."""

import hashlib
import os
import subprocess
import sys
from collections import Counter
from dataclasses import replace
from itertools import combinations, pairwise
from pathlib import Path
from types import MappingProxyType
from xml.etree import ElementTree

import pytest
import schemdraw
from boxes import SVG, check, missing, problems
from invented import invent, machine_of

from kit.circuit import Battery, Circuit, Lamp, Metal, Switch, Terminal, Wire
from kit.draw import Shown, Words, blocks, schematic, sheet, tell_all
from kit.draw.arrange import arrange
from kit.draw.net import ranks
from kit.errors import DrawingError
from kit.machines import machine

BIKE = replace(machine("orchard-bike"), places=MappingProxyType({}))
STAGES = tuple(BIKE.stages)
SEEDS = range(220)
IN_STAGES = range(0, 220, 4)


@pytest.mark.parametrize("seed", SEEDS)
def test_a_machine_nobody_built_is_drawn_with_nothing_over_anything(seed):
    invented = invent(seed)
    assert len(invented.circuit.parts) >= 10
    check(sheet(invented), invented.circuit.parts)
    if seed in IN_STAGES:
        for stage in invented.stages.values():
            check(schematic(invented, stage.id), [invented.circuit[part] for part in stage.parts])


def test_the_machines_nobody_built_have_everything_in_them():
    """Guards the test above: big and small, with every kind of thing a drawing must cope with."""
    machines = [invent(seed) for seed in SEEDS]
    sizes = [len(known.circuit.parts) for known in machines]
    assert min(sizes) <= 15 and max(sizes) >= 60
    words = Counter(part.word for known in machines for part in known.circuit.parts)
    assert len(words) >= 14 and min(words.values()) >= 30, words
    pins = [len(part.terminals) for known in machines for part in known.circuit.parts if part.word == "control unit"]
    assert max(pins) >= 7
    dashes = sum(sheet(known).svg.count('stroke-dasharray="4 3"') for known in machines[:30])
    assert dashes >= 100


@pytest.mark.parametrize("stage", STAGES)
def test_a_stage_of_the_bike(stage):
    for shown in (Shown(), tell_all(BIKE.operate(key="on", start_button="pressed"))):
        check(schematic(BIKE, stage, shown), [BIKE.circuit[part] for part in BIKE.stages[stage].parts])


def test_the_whole_bike_on_one_sheet():
    picture = sheet(BIKE)
    check(picture, BIKE.circuit.parts)
    assert picture.title.startswith("Orchard bike, whole machine: key switch open")
    assert set(picture.parts) == {part.id for part in BIKE.circuit.parts}
    out = Shown(out=frozenset({"F1", "F2", "F3"}), closed=frozenset({"K1", "S1"}))
    assert problems(sheet(BIKE, out)) == []


def test_the_check_sees_what_is_wrong():
    picture = sheet(BIKE)
    assert problems(replace(picture, width=300.0))  # off the sheet
    longer = f"main fuse {'that goes on and on ' * 4}over everything"
    moved = picture.svg.replace(">main fuse<", f">{longer}<")
    assert any("everything" in problem for problem in problems(replace(picture, svg=moved)))
    points = {**picture.points, "F1.1": picture.points["F1.2"]}
    assert "F1.1 and F1.2 only 0 px apart" in problems(replace(picture, points=points))
    assert missing(picture, [Lamp(id="E9", title="no such lamp", watts=5.0, volts=12.0)], {Terminal("E9", "9")}) == {
        "E9": 1, "no such lamp": 1, "E9.9": 1,
    }


def test_volts_fall_from_top_to_bottom():
    """In the healthy bike, cranking: of two points in one column the upper never has fewer volts, battery apart."""
    now = BIKE.operate(key="on", start_button="pressed", clutch_lever="pulled", stand="up")
    columns: dict[float, list[tuple[float, float]]] = {}
    for name, (x, y) in sheet(BIKE).points.items():
        if now.volts[name] is not None and not name.startswith("G1"):
            columns.setdefault(x, []).append((y, now.volts[name]))
    assert max(map(len, columns.values())) >= 15
    for spots in columns.values():
        volts = [volt for _, volt in sorted(spots)]
        assert all(upper >= lower - 0.15 for upper, lower in pairwise(volts)), volts


@pytest.mark.parametrize("machine_", [BIKE, *(invent(seed) for seed in (3, 11, 42))], ids=lambda known: known.id)
def test_a_stage_keeps_the_order_of_the_sheet(machine_):
    """Left and right, above and below are the same on a stage's sheet as on the whole machine's."""
    whole = sheet(machine_).parts
    pairs = 0
    for stage in machine_.stages.values():
        here = schematic(machine_, stage.id).parts
        own = [part for part in stage.parts if not isinstance(machine_.circuit[part], Metal)]
        for one, other in combinations(own, 2):
            (ax, _, aw, _), (bx, _, bw, _) = here[one], here[other]
            (wx, _, ww, _), (vx, _, vw, _) = whole[one], whole[other]
            if ax + aw / 2 < bx + bw / 2 - 20:
                pairs += 1
                assert wx + ww / 2 <= vx + vw / 2 + 20, (stage.id, one, other)
    assert pairs > 15


def test_ranks_are_the_volts_of_the_text_book():
    """A lamp between two wires on a battery: its plus side above its minus side, however the file has them."""
    plus, minus, one, two = map(Terminal.read, ("G1.+", "G1.-", "E1.1", "E1.2"))
    parts = (
        Wire(id="W2", title="back", start=two, end=minus, mm2=1.0, metres=1.0, colour="BK"),
        Lamp(id="E1", title="lamp", watts=5.0, volts=12.0),
        Wire(id="W1", title="out", start=plus, end=one, mm2=1.0, metres=1.0, colour="RD"),
        Battery(id="G1", title="battery", volts=12.0, ohms=0.02),
    )
    rank = ranks(Circuit(parts=parts, reference=minus))
    assert [str(terminal) for terminal in sorted(rank, key=rank.get)] == ["G1.+", "E1.1", "E1.2", "G1.-"]


def test_what_is_joined_to_nothing_is_still_drawn():
    parts = (
        Battery(id="G1", title="battery", volts=12.0, ohms=0.02), Metal(id="X1", title="frame", terminal="metal"),
        Switch(id="S1", title="spare switch", ohms=0.01),
    )
    lone = machine_of("lone", Circuit(parts=parts, reference=Terminal("G1", "-")), 2)
    check(sheet(lone), parts)
    check(schematic(lone, "stage 2"), parts[2:])


def test_a_relay_of_the_stage_is_tied_to_its_contact():
    """Coil and contact at one height, and a dashed line from one to the other in both positions."""
    picture = schematic(BIKE, "starter relay")
    assert picture.points["K1.86"][1] == picture.points["K1.30"][1]
    group = next(g for g in ElementTree.fromstring(picture.svg).iter(f"{SVG}g") if g.get("data-part") == "K1")
    for when in ("open", "closed"):
        inside = next(g for g in group if g.get("data-when") == when)
        links = [shape.get("d") for shape in inside if shape.get("stroke-dasharray") == "4 3"]
        assert len(links) == 1
    whole = sheet(BIKE).points
    assert whole["K1.86"][1] == whole["K1.30"][1]


def test_the_contact_is_drawn_again_where_its_stage_needs_it():
    labels = schematic(BIKE, "cranking circuit").labels
    assert "starter relay contact" in labels and not [text for text in labels if "starter relay," in text]
    assert {"from main feed", "to grounds"} <= set(labels)


def test_arrows_say_where_current_comes_from_and_goes():
    said = {stage: set(schematic(BIKE, stage).labels) for stage in STAGES}
    assert {"from grounds", "to cranking circuit", "to key feed"} <= said["main feed"]
    assert {"from main feed", "to start request, neutral interlock", "to loads"} <= said["key feed"]
    assert {"from start request", "to ground side, neutral interlock"} <= said["starter relay"]
    assert {"from ground side, loads", "from cranking circuit, neutral interlock", "to main feed"} <= said["grounds"]


@pytest.mark.parametrize("first", ["M1", "F3"])
def test_a_hint_sets_the_order_of_columns(first):
    hinted = replace(BIKE, places=MappingProxyType({"order": [first, "P1", "G1"]}))
    picture = sheet(hinted)
    check(picture, BIKE.circuit.parts)
    lefts = [picture.parts[part][0] for part in (first, "P1", "G1")]
    assert lefts == sorted(lefts)
    assert picture.svg != sheet(BIKE).svg


@pytest.mark.parametrize(
    ("order", "words"),
    [
        (["Q9"], r"orchard-bike, places, order: 'Q9' stands in no column; expected a part such as F1"),
        ("G1", r"orchard-bike, places, order: 'G1'; expected a list of parts"),
    ],
)
def test_a_hint_that_fits_nothing_is_said(order, words):
    with pytest.raises(DrawingError, match=words):
        sheet(replace(BIKE, places=MappingProxyType({"order": order})))


def test_places_of_a_stage_win_over_the_layout_of_that_stage_alone():
    places = {"start request": {
        "sheet": [43, 9], "F2.2": {"at": [4, 5], "tag": "above"}, "S2": {"at": [11, 5], "wrap": 6, "shift": [-0.6, 0]},
        "S2.2": {"tag": "below"}, "S3": {"at": [23, 5]}, "K1.86": {"at": [35, 5], "tag": "right"},
    }}
    placed = replace(BIKE, places=MappingProxyType(places))
    assert schematic(placed, "start request").points["S2.1"] == (220, 100)
    assert schematic(placed, "key feed").svg == schematic(BIKE, "key feed").svg
    assert sheet(placed).svg == sheet(BIKE).svg


def test_ids_only_says_less_in_the_same_places():
    full, ids = sheet(BIKE), sheet(BIKE, labels=Words.IDS)
    assert (ids.width, ids.height, ids.points, ids.parts) == (full.width, full.height, full.points, full.parts)
    known = {part.id for part in BIKE.circuit.parts}
    assert {"F1", "W1", "X1.clamp", "86"} <= set(ids.labels) < set(full.labels) | known
    assert not {"main fuse", "W1 RD 2.5 mm²"} & set(ids.labels) and "mm²" not in ids.svg.split("</desc>")[1]
    assert problems(ids) == []


def test_recolouring_does_not_draw_again(monkeypatch):
    drawn = []
    original = schemdraw.Drawing.draw
    monkeypatch.setattr(schemdraw.Drawing, "draw", lambda *args, **rest: drawn.append(1) or original(*args, **rest))
    fresh = invent(1001)
    for paint in (sheet, lambda *given, **more: schematic(fresh, "stage 1", *given[1:], **more)):
        drawn.clear()
        first = paint(fresh)
        assert len(drawn) == 1
        states = Shown(nodes={name: "live" for name in first.points})
        others = [paint(fresh, states, ground=ground) for ground in ("light", "dark", "print")]
        others.append(paint(fresh, labels=Words.IDS))
        assert len(drawn) == 1 and len({first.svg, *(picture.svg for picture in others)}) == 5


def test_print_is_ink_alone():
    picture = sheet(BIKE, tell_all(BIKE.operate(key="on")), ground="print")
    root = ElementTree.fromstring(picture.svg)
    colours = {shape.get(name) for shape in root.iter() for name in ("fill", "stroke")} - {None, "none"}
    assert colours == {"#000000", "#FFFFFF"}
    letters = {text.text for text in root.iter(f"{SVG}text") if "data-letter" in text.attrib}
    assert {"+", "G"} <= letters


def test_an_unknown_stage():
    with pytest.raises(DrawingError, match=r"orchard-bike has no stage 'sidecar'; it has main feed"):
        arrange(BIKE, "sidecar")


def test_the_blocks_of_a_machine_without_places():
    picture = blocks(BIKE)
    assert list(picture.parts) == list(BIKE.stages)
    boxes = list(picture.parts.values())
    assert all(above[1] + above[3] < below[1] for above, below in pairwise(boxes))
    # As the file's own arrows have it, and the way through the block that the cables take back to the battery is not.
    assert picture.svg.count("<polygon") == 15
    assert problems(replace(picture, points=MappingProxyType({}))) == []


SAY_HASH = """
import hashlib, sys
from dataclasses import replace
sys.path.insert(0, sys.argv[1])
from invented import invent
from showcase import showcase
from kit.draw import blocks, fault_table, schematic, sheet, staircase, tell_all, whereabouts
from kit.machines import machine
bike = replace(machine("orchard-bike"), places={})
now = bike.operate(key="on", start_button="pressed")
pictures = [blocks(bike), sheet(bike), sheet(bike, tell_all(now), ground="print")]
pictures += [staircase(now, "K1"), whereabouts(bike), fault_table(["a", "b"], ["t"], [["out"], ["lit"]])]
pictures += [sheet(showcase())]
pictures += [schematic(known, s) for known in (bike, invent(1), invent(2), invent(17)) for s in known.stages]
print(hashlib.sha256("".join(p.svg + repr(p.parts) + repr(p.points) for p in pictures).encode()).hexdigest())
"""


def test_the_same_bytes_from_run_to_run_and_hash_seed():
    said = set()
    for seed in ("0", "7"):
        env = {**os.environ, "PYTHONHASHSEED": seed}
        words = [sys.executable, "-c", SAY_HASH, str(Path(__file__).parents[1])]
        run = subprocess.run(words, env=env, capture_output=True, text=True, check=True)
        said.add(run.stdout.strip())
    assert len(said) == 1 and len(said.pop()) == len(hashlib.sha256().hexdigest())
