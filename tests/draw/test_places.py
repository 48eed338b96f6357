"""What a machine file's places may say, and what is said back where they are wrong."""

import re
from dataclasses import replace

import pytest

from kit.draw import blocks, schematic
from kit.errors import DrawingError
from kit.machines import machine

BIKE = machine("orchard-bike")
GONE = object()


def changed(section: str, key: str, value: object):
    """The bike with one entry of one section of its places changed or taken out."""
    entries = {**BIKE.places[section], key: value}
    if value is GONE:
        del entries[key]
    return replace(BIKE, places={**BIKE.places, section: entries})


@pytest.mark.parametrize(
    ("stage", "key", "value", "words"),
    [
        ("main feed", "F1", GONE, "main feed, F1: no place; expected F1: {at: [x, y], way: right}"),
        ("main feed", "S1.1", GONE, "main feed, S1.1: no place; expected S1.1: {at: [x, y]}"),
        ("main feed", "F1", {}, "main feed, F1: no at; expected at: [x, y] in grid units"),
        ("main feed", "F1", [19, 4], "main feed, F1: '[19, 4]'; expected a mapping"),
        ("main feed", "F1", {"at": [1]}, "main feed, F1: at is '[1]'; expected at: [x, y]"),
        ("main feed", "F1", {"at": ["a", 4]}, "main feed, F1: at is 'a'; expected a number"),
        ("main feed", "F1", {"at": [20, 4], "way": "north"}, "way is 'north'; expected right or down or left or up"),
        ("main feed", "F1", {"at": [20, 4], "turn": "up"}, "F1: unknown word 'turn'; expected at, way, text"),
        ("main feed", "F1", {"at": [20, 4], "text": "inside"}, "text is 'inside'; expected above or below"),
        ("main feed", "F1", {"at": [20, 5]}, "W1: it runs slanted from (12, 4) to (20, 5); expected a corner"),
        ("main feed", "F9", {"at": [1, 1]}, "main feed, F9: there is no part F9"),
        ("main feed", "F2", {"at": [1, 1]}, "main feed, F2: F2 belongs to key feed; expected a part of this stage"),
        ("main feed", "F1.7", {"at": [1, 1]}, "F1.7: fuse F1 has no terminal '7'; it has 1, 2"),
        ("main feed", "K1.86", {"at": [1, 1]}, "K1.86: no part of this stage touches it"),
        ("main feed", "F1.1", {"at": [1, 1]}, "F1.1: its symbol is in this stage"),
        ("main feed", "S1.1", {"at": [32, 4]}, "S1.1: it leads on to key feed; expected S1.1: {tag:"),
        ("main feed", "F1.1", {"tag": "above"}, "F1.1: it leads on to no other stage; expected no tag"),
        ("main feed", "W1", {"on": 3}, "W1: on is 3; expected a stretch from 0 to 0"),
        ("main feed", "W1", {"via": 3}, "W1: via is '3'; expected via: [[x, y], [x, y]]"),
        ("main feed", "sheet", GONE, "main feed, sheet: no sheet; expected sheet: [x, y]"),
        ("main feed", "F1.contact", {"at": [1, 1]}, "F1.contact: there is no relay F1"),
        ("starter relay", "K1.contact", {"at": [1, 1]}, "K1.contact: K1 is drawn whole in this stage"),
        ("grounds", "X7", {"bar": 3}, "grounds, X7: no at"),
    ],
)
def test_what_is_wrong_is_said_with_where_and_what_was_expected(stage, key, value, words):
    with pytest.raises(DrawingError, match=r"^orchard-bike, places, ") as raised:
        schematic(changed(stage, key, value), stage)
    assert words in str(raised.value)


def test_places_without_a_stage():
    with pytest.raises(DrawingError, match=r"there is no stage 'sidecar'; expected main feed, .*, blocks or order"):
        schematic(replace(BIKE, places={**BIKE.places, "sidecar": {}}), "loads")


def test_numbers_may_be_text():
    """A reader of machine files may leave scalars as text."""
    as_text = changed("main feed", "F1", {"at": ["20", "4"]})
    assert schematic(as_text, "main feed").svg == schematic(BIKE, "main feed").svg


def test_moving_a_part_moves_its_points():
    before, after = schematic(BIKE, "main feed"), schematic(changed("main feed", "F1", {"at": [21, 4]}), "main feed")
    moved = {text for text in before.points if before.points[text] != after.points[text]}
    assert moved == {"F1.1", "F1.2"}


@pytest.mark.parametrize("way", ["right", "left", "up", "down"])
def test_a_symbol_may_lie_any_way(way):
    x, y = {"right": (80, 0), "left": (-80, 0), "up": (0, -80), "down": (0, 80)}[way]
    lone = changed("starter relay", "K1", {"at": [18, 9], "way": way})
    points = schematic(lone, "starter relay").points
    assert points["K1.87"] == (points["K1.30"][0] + x, points["K1.30"][1] + y)
    assert points["K1.85"] == (points["K1.86"][0] + x, points["K1.86"][1] + y)


@pytest.mark.parametrize(
    ("key", "value", "words"),
    [
        ("loads", GONE, "orchard-bike, places, blocks: loads has no place; expected loads: {at: [x, y]}"),
        ("sidecar", {"at": [1, 1]}, "there is no stage 'sidecar'"),
        ("loads", {"at": [1, 1], "tall": 3}, "unknown word 'tall'; expected at, wide, high"),
        ("arrows", [["loads"]], "arrow '['loads']'; expected [one stage, another stage]"),
        ("arrows", [["loads", "main feed"]], "loads to main feed; expected two stages that share a terminal"),
        ("sheet", GONE, "no sheet"),
    ],
)
def test_wrong_blocks_are_said(key, value, words):
    with pytest.raises(DrawingError, match=re.escape(words)):
        blocks(changed("blocks", key, value))


def test_the_block_view_has_every_stage_in_order_and_an_arrow_to_or_from_each():
    picture = blocks(BIKE)
    assert list(picture.parts) == list(BIKE.stages)
    assert sorted(picture.labels) == sorted(
        text for stage in BIKE.stages.values() for text in (stage.id, stage.about)
    )
    joined = {name for arrow in BIKE.places["blocks"]["arrows"] for name in arrow}
    assert joined == set(BIKE.stages)
    assert picture.svg.count("<polygon") == len(BIKE.places["blocks"]["arrows"])
