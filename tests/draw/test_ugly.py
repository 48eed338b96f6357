"""Drawings as a greasy manual has them: clean on the sheet, and telling no more than they should."""

import re
from dataclasses import replace
from itertools import combinations
from types import MappingProxyType
from xml.etree import ElementTree

import pytest
from boxes import SVG, Box, labels_of, lines_of, problems

from kit.circuit import Joint, Relay, Wire
from kit.draw import schematic
from kit.draw.ugly import LOOKS, RADIUS, monochrome, page, split, unlabelled
from kit.errors import DrawingError
from kit.machines import machine, machine_ids
from kit.machines.misdrawn import misdrawn, read_mistake
from kit.machines.outline import symbol_word

STAGES = [(name, stage) for name in machine_ids() for stage in machine(name).stages]


def numbered(known, stage):
    """All that stands on a stage's sheet as a symbol, up to nine."""
    parts = (known.circuit[name] for name in known.stages[stage].parts)
    return [part.id for part in parts if not isinstance(part, (Wire, Joint))][:9]


@pytest.mark.parametrize(("name", "stage"), STAGES)
def test_a_bare_drawing_has_the_letters_and_nothing_lies_over_anything(name, stage):
    known = machine(name)
    picture = monochrome(known, stage)
    assert problems(picture) == []
    assert set(picture.points) == set(schematic(known, stage).points)
    titles = {known.circuit[part].title for part in known.stages[stage].parts} - {stage}
    # Ink only: no colour of any state is in it.
    assert not titles & set(picture.labels)
    assert set(re.findall(r"#[0-9A-F]{6}", picture.svg)) <= {"#FFFFFF", "#1B1F24", "#4A5159"}


@pytest.mark.parametrize(("name", "stage"), STAGES)
def test_an_unlabelled_drawing_tells_no_name_and_its_rings_stand_clear(name, stage):
    known = machine(name)
    wanted = numbered(known, stage)
    if not wanted:
        return
    picture = unlabelled(known, stage, wanted)
    assert problems(picture) == []
    assert {int(number) for number in picture.labels} == set(range(1, len(wanted) + 1))
    # Neither in the drawing nor in its words for a screen reader, nor anywhere else in its text.
    words = set(re.findall(r"[A-Za-z]+\d+[\w.+-]*", picture.svg)) - {"M"}
    names = {part.id for part in known.circuit.parts} | {str(end) for end in known.circuit.terminals}
    assert not names & {word.rstrip(".") for word in words}
    symbols = {symbol_word(part, {part.id}).partition(" ")[2] for part in known.circuit.parts} | {
        part.word for part in known.circuit.parts}
    for part in known.circuit.parts:
        known_by_symbol = any(part.title in symbol for symbol in symbols)
        assert known_by_symbol or not re.search(rf"\b{re.escape(part.title)}\b", picture.svg.split("</title>")[1])
    _clear(picture)


def _clear(picture):
    root = ElementTree.fromstring(picture.svg)
    circles = [one for one in root.iter(f"{SVG}circle") if one.get("data-point")]
    rings = [
        Box(one.get("data-point"), *(float(one.get(at)) + way * RADIUS for way in (-1, 1) for at in ("cx", "cy")))
        for one in circles
    ]
    assert rings
    assert not [(one, other) for one, other in combinations(rings, 2) if one.overlaps(other)]
    assert not [(one.text, line) for one in rings for line in lines_of(root) if one.overlaps(line, 1.5)]
    digits = labels_of(root)
    assert len(digits) == len(rings)
    assert all(ring.holds(digit) for ring, digit in zip(rings, digits, strict=True))


def test_points_can_be_numbered_too():
    bike = machine("orchard-bike")
    picture = unlabelled(bike, "starter relay", ["K1.30", "K1.86", "K1.85", "K1.87"])
    assert picture.labels == ("1", "2", "3", "4") and problems(picture) == []
    assert "86" not in re.sub(r'[\w-]+="[^"]*"', "", picture.svg)


def test_its_words_tell_what_the_lines_tell():
    """Worked out by hand from the board's file: the second lamp hangs on the relay's contact, the first on a switch."""
    board = machine("bench-board")
    words = unlabelled(board, "whole machine", ["S1", "E1", "K1", "E2", "F1"]).svg
    assert "Number 2 is drawn as a lamp: one end is joined to 1;" in words
    assert "Number 4 is drawn as a lamp: one end is joined to 3;" in words


@pytest.mark.parametrize(("name", "stage"), [one for one in STAGES if len(machine(one[0]).stages[one[1]].parts) > 3])
def test_two_sheets_hold_the_stage_and_say_where_it_goes_on(name, stage):
    known = machine(name)
    sheets = split(known, stage)
    for sheet in sheets:
        assert problems(sheet) == []
    assert set(schematic(known, stage).points) <= set().union(*(sheet.points for sheet in sheets))
    both = page(known, stage, "split")
    assert both.svg.count(">sheet 1<") == both.svg.count(">sheet 2<") == 1
    one, two = sheets
    own = {end for end in set(one.points) & set(two.points) if end.split(".")[0] in known.stages[stage].parts}
    if "contact: sheet 2" not in one.labels and own:
        # Cut in the middle: the wire that is cut says where it goes on, on both sheets.
        assert any("sheet 2" in label for label in one.labels)
        assert any("sheet 1" in label for label in two.labels)


def test_coil_and_contact_of_a_relay_are_on_different_sheets_each_saying_where_the_other_is():
    places = (("bench-board", "relay coil"), ("orchard-bike", "starter relay"), ("ride-on-mower", "solenoid"))
    for name, stage in places:
        coil, contact = split(machine(name), stage)
        relay = next(part for part in machine(name).stages[stage].parts
                     if isinstance(machine(name).circuit[part], Relay))
        assert {f"{relay}.86", f"{relay}.85"} <= set(coil.points)
        assert not {f"{relay}.30", f"{relay}.87"} & set(coil.points)
        assert {f"{relay}.30", f"{relay}.87"} <= set(contact.points)
        assert not {f"{relay}.86"} & set(contact.points)
        assert "contact: sheet 2" in coil.labels and "coil: sheet 1" in contact.labels
        assert f"The contact of {relay} is on sheet 2." in coil.svg


@pytest.mark.parametrize("text", ["W12 to B1.2", "W12 to x W14 from", "B1 other way"])
def test_a_wrong_drawing_is_the_clean_drawing_of_another_circuit(text):
    bike = machine("orchard-bike")
    mistake = read_mistake(text)
    wrong, right = monochrome(misdrawn(bike, mistake), "ground side"), monochrome(bike, "ground side")
    assert problems(wrong) == []
    assert wrong.svg != right.svg
    assert monochrome(misdrawn(bike, mistake), "ground side").svg == wrong.svg
    # Nothing in it says that, or where, it is wrong: title and letters are those of the right one.
    assert wrong.title == right.title and wrong.labels == right.labels


def test_a_wrong_drawing_says_in_words_what_it_draws():
    bike = machine("orchard-bike")
    assert "runs from K1.85 to B1.2." in monochrome(misdrawn(bike, read_mistake("W12 to B1.2")), "ground side").svg
    assert "clutch switch, from B1.1 to B1.2, closed." in monochrome(
        misdrawn(bike, read_mistake("B1 other way")), "ground side").svg


def test_what_cannot_be_drawn_is_refused():
    bike = machine("orchard-bike")
    with pytest.raises(DrawingError, match="no drawing has the look 'blue'; there are monochrome"):
        page(bike, "loads", "blue")
    with pytest.raises(DrawingError, match="there is no F1 on this sheet to number"):
        unlabelled(bike, "loads", ["F1"])
    for look in LOOKS:
        with pytest.raises(DrawingError, match="has no stage 'attic'"):
            page(bike, "attic", look, numbered=("F1",))
    alone = replace(bike.stages["starter relay"], parts=("W1",))
    with pytest.raises(DrawingError, match="not enough on it for two sheets"):
        split(replace(bike, stages=MappingProxyType({"starter relay": alone})), "starter relay")


@pytest.mark.parametrize("ground", ["light", "dark", "print"])
def test_the_stator_has_three_wires_three_pairs_and_a_ground_and_no_reading(ground):
    """It stands beside a question, so nothing on it may tell how this stator is."""
    drawn = page(machine("ride-on-mower"), "charging", "three wires", ground=ground)
    said = re.findall(r">([^<>]+)</text>", drawn.svg)
    assert {"1", "2", "3", "1 to 2", "2 to 3", "3 to 1", "its iron: ground"} <= set(said)
    assert not any(re.search(r"\d+(\.\d+)? ?[VΩ]|OL", text) for text in said)
    assert drawn.svg.count(" a 7 7 ") == 18, "six turns a winding"
