"""Every machine of the fleet, every stage, and every drawn state of every symbol: nothing over anything."""

from collections import Counter
from dataclasses import replace
from functools import cache
from types import MappingProxyType
from xml.etree import ElementTree

import pytest
from boxes import SVG, check, problems
from showcase import showcase

from kit.circuit import KINDS, Battery, FuelSolenoid, Fuse, Joint, Metal, Relay, StarterSolenoid, Switch, Wire
from kit.draw import Shown, schematic, sheet, whereabouts
from kit.draw.arrange import arrange
from kit.draw.net import Kind
from kit.draw.palette import GROUNDS, STATES
from kit.machines import machine, machine_ids

SHOWCASE = showcase()
MOVING = (Switch, Relay, StarterSolenoid, FuelSolenoid)


@cache
def worked_out(name: str):
    """A machine of the fleet, its drawing worked out even where its file places it by hand."""
    return replace(machine(name), places=MappingProxyType({}))


def moved(known) -> Shown:
    """Everything that can move moved: contacts closed, plungers in, every second fuse blown, the others pulled out."""
    fuses = [part.id for part in known.circuit.parts if isinstance(part, Fuse)]
    return Shown(
        closed=frozenset(part.id for part in known.circuit.parts if isinstance(part, MOVING)),
        blown=frozenset(fuses[::2]), out=frozenset(fuses[1::2]),
    )


@pytest.mark.parametrize("name", machine_ids())
def test_a_machine_of_the_fleet_stage_by_stage_and_whole(name):
    known = worked_out(name)
    for shown in (Shown(), moved(known)):
        check(sheet(known, shown), known.circuit.parts)
        for stage in known.stages.values():
            picture = schematic(known, stage.id, shown)
            check(picture, [known.circuit[part] for part in stage.parts])
            assert picture.width <= 1300 and picture.height <= 900, stage.id


@pytest.mark.parametrize("name", machine_ids())
def test_each_point_of_a_machine_has_a_place_in_the_location_view(name):
    known = machine(name)
    picture = whereabouts(known)
    assert problems(picture) == []
    assert {point.terminal.part for point in known.points.values()} <= set(picture.labels)
    assert picture.width <= 1000
    for stage in known.stages.values():
        if any(point.terminal.part in stage.parts for point in known.points.values()):
            assert problems(whereabouts(known, stage.id, ground="dark")) == []


def test_the_showcase_has_every_kind_of_part():
    assert {type(part) for part in SHOWCASE.circuit.parts} == set(KINDS.values())


@pytest.mark.parametrize("shown", [Shown(), moved(SHOWCASE)], ids=["at rest", "moved"])
def test_every_symbol_in_both_its_states(shown):
    check(sheet(SHOWCASE, shown), SHOWCASE.circuit.parts)
    for stage in SHOWCASE.stages.values():
        check(schematic(SHOWCASE, stage.id, shown), [SHOWCASE.circuit[part] for part in stage.parts])


def test_what_moves_is_drawn_in_all_its_states_and_one_is_seen():
    root = ElementTree.fromstring(sheet(SHOWCASE).svg)
    found = Counter()
    for group in root.iter(f"{SVG}g"):
        part = group.get("data-part")
        if part in SHOWCASE.circuit:
            whens = {inner.get("data-when"): inner for inner in group.iter(f"{SVG}g") if "data-when" in inner.attrib}
            kind = SHOWCASE.circuit[part]
            wanted = {"sound", "blown", "out"} if isinstance(kind, Fuse) else {"open", "closed"} if isinstance(
                kind, MOVING) else set()
            assert set(whens) == wanted, part
            assert sum(inner.get("display") != "none" for inner in whens.values()) == bool(wanted)
            assert len({ElementTree.tostring(inner) for inner in whens.values()}) == len(whens)
            found[kind.word] += bool(wanted)
    assert found["relay"] == 3 and found["fuel solenoid"] == 2 and found["starter solenoid"] == 1


@pytest.mark.parametrize("known", [SHOWCASE, machine("orchard-bike")], ids=lambda known: known.id)
def test_themes_share_geometry_and_a_state_changes_looks_alone(known):
    """The same shapes in the same places on every ground and in every state of the conductors."""
    shapes = set()
    for number, ground in enumerate(GROUNDS):
        states = {str(t): STATES[(n + number) % len(STATES)] for n, t in enumerate(known.circuit.terminals)}
        for shown in (Shown(), Shown(nodes=states)):
            root = ElementTree.fromstring(sheet(known, shown, ground=ground).svg)
            drawn = [
                tuple(shape.get(name) for name in ("d", "points", "cx", "cy", "r", "x", "y"))
                for shape in _without_legend(root) if shape.tag != f"{SVG}rect" and "data-letter" not in shape.attrib
            ]
            shapes.add(tuple(drawn))
    assert len(shapes) == 1 and len(shapes.pop()) > 300


def _without_legend(root: ElementTree.Element):
    for child in root:
        if "data-legend" not in child.attrib:
            yield child
            yield from _without_legend(child)


def test_a_change_over_contact_is_one_symbol_tied_to_its_coil():
    plan = arrange(SHOWCASE)
    pins = [element for chain in plan.chains for element in chain.elements if element.part == "K1"]
    assert sorted(element.piece for element in pins if element.kind is Kind.PIN) == ["30", "87", "87a"]
    picture = sheet(SHOWCASE)
    group = next(g for g in ElementTree.fromstring(picture.svg).iter(f"{SVG}g") if g.get("data-part") == "K1")
    arms = {
        inner.get("data-when"): [shape.get("data-node") for shape in inner if "data-node" in shape.attrib]
        for inner in group if "data-when" in inner.attrib
    }
    # One arm, on 30, in each state; and a dashed line to it.
    assert arms == {"open": ["K1.30"], "closed": ["K1.30"]}
    links = [shape.get("d") for shape in group.iter(f"{SVG}path") if shape.get("stroke-dasharray") == "4 3"]
    assert len(links) == 2 and len(set(links)) == 2


def test_coils_and_contact_of_a_starter_solenoid_stand_level():
    """Pull coil, hold coil and contact at one height with one dashed line through them, as on its plunger."""
    for name in ("harbour-tender", "compact-loader", "site-generator"):
        known = worked_out(name)
        solenoid = next(part for part in known.circuit.parts if isinstance(part, StarterSolenoid)).id
        picture = schematic(known, known.stage_of(solenoid).id)
        group = next(g for g in ElementTree.fromstring(picture.svg).iter(f"{SVG}g") if g.get("data-part") == solenoid)
        links = [shape.get("d") for shape in group.iter(f"{SVG}path") if shape.get("stroke-dasharray") == "4 3"]
        # Contact to a coil in each state, and from it to the other coil; or to both coils where it stands between them.
        assert len(links) in (3, 4)
        heights = {link.split(",")[1].split()[0] for link in links}
        assert len(heights) == 1, (name, links)
        assert picture.points[f"{solenoid}.50"][1] < picture.points[f"{solenoid}.M"][1]


def test_two_batteries_in_series_stand_one_over_the_other():
    for known in (SHOWCASE, worked_out("compact-loader")):
        spots = sheet(known).points
        column = [spots[name] for name in ("G1.+", "G1.-", "G2.+", "G2.-")]
        assert len({x for x, _ in column}) == 1
        assert [y for _, y in column] == sorted(y for _, y in column)


def test_the_charge_lamp_leads_down_to_the_alternator():
    """Before the engine turns, current comes from the key through the lamp to D+: so the picture has it."""
    spots = sheet(SHOWCASE).points
    assert spots["P2.1"][1] < spots["P2.2"][1] < spots["G3.D+"][1] < spots["G3.body"][1]


def test_the_kill_circuit_leads_down_from_the_magneto():
    spots = sheet(SHOWCASE).points
    assert spots["T3.kill"][1] < spots["S3.1"][1] < spots["S3.2"][1]


@pytest.mark.parametrize("name", machine_ids())
def test_what_only_takes_current_is_fed_by_an_arrow_and_what_only_brings_it_feeds_one(name):
    """Current that leaves a point on a stage's sheet comes from somewhere, on the sheet or by an arrow; and goes on."""
    known = worked_out(name)
    arrows = 0
    for stage in known.stages:
        plan = arrange(known, stage)
        ways: dict = {}
        for chain in plan.chains:
            for element, above, below in zip(chain.elements, chain.terminals, chain.terminals[1:], strict=False):
                if element.kind is not Kind.ARROW:
                    source = isinstance(known.circuit[element.part], Battery)
                    ways.setdefault(above, set()).add(source)
                    ways.setdefault(below, set()).add(not source)
        led: dict = {}
        for arrow in plan.arrows.values():
            if arrow.stages:
                led.setdefault(arrow.terminal, set()).add(arrow.inward)
                arrows += 1
        for terminal, ways_in in led.items():
            assert ways.get(terminal, set()) | ways_in == {True, False}, (stage, str(terminal))
    assert arrows >= 5


def test_nothing_but_wires_joints_and_metal_is_without_a_symbol():
    drawn = {element.part for chain in arrange(SHOWCASE).chains for element in chain.elements}
    assert {part.id for part in SHOWCASE.circuit.parts if not isinstance(part, Metal)} <= drawn
    plain = {part.id for part in SHOWCASE.circuit.parts if isinstance(part, (Wire, Joint))}
    assert len(drawn) - len(plain) >= 30
