"""The location view: places, minutes, what must come off, and the faces of connectors."""

import re

import pytest

from kit.circuit import Terminal
from kit.draw import whereabouts
from kit.draw.whereabouts import name_places, places_of
from kit.errors import DrawingError
from kit.machines import machine
from kit.machines.machine import Point

BIKE = machine("orchard-bike")


def places(*wheres: str) -> list[tuple[str, tuple[str, ...]]]:
    points = [Point(terminal=Terminal("X1", str(n)), where=where, minutes=1.0) for n, where in enumerate(wheres)]
    return list(name_places(points).values())


def test_a_place_is_what_most_points_share():
    assert places(
        "plus post, stern locker, box lid off", "isolator stud, stern locker, back cover off", "lug, stern locker",
    ) == [("stern locker", ("box lid off",)), ("stern locker", ("back cover off",)), ("stern locker", ())]


def test_words_that_always_go_together_are_one_place():
    assert places("key switch, behind the panel, four screws out", "lamp, behind the panel, four screws out") == [
        ("behind the panel, four screws out", ())
    ] * 2


def test_pins_sides_and_notes_are_no_places():
    assert places("main fuse, battery side, under the seat", "main fuse, load side, under the seat") == [
        ("under the seat", ())
    ] * 2
    assert places("unit plug, back-probed, tank cover off; meter only") == [("tank cover off", ("meter only",))]
    assert places("fuse in the cab box, lid off") == [("in the cab box, lid off", ())]
    assert places("feed tab of the switch") == [("feed tab of the switch", ())]


def test_every_point_of_the_bike_once_nearest_places_first():
    found = places_of(BIKE)
    points = [point.terminal for place in found for thing in place.things.values() for point in thing.points]
    assert sorted(map(str, points)) == sorted(map(str, BIKE.points)) and len(set(points)) == len(points)
    assert [place.minutes for place in found] == sorted(place.minutes for place in found)


def test_a_connector_shows_its_pins_and_their_wires():
    said = re.search(r"<desc>(.*?)</desc>", whereabouts(BIKE).svg, re.DOTALL)[1]
    # W13 GNBK and W14 BK are joined to the stand switch's plug.
    assert "B3 stand switch, pin 1 GNBK, pin 2 BK" in said
    # The relay's coil pins are in a plug, its studs are not.
    assert "K1 starter relay: 30, 87, pin 86 YEBK, pin 85 GN" in said


def test_a_stage_shows_its_own_parts():
    picture = whereabouts(BIKE, "loads")
    assert set(picture.labels) == {"E1", "K2", "rim off", "under the tank cover"}
    assert "5 min" in picture.svg and picture.title == "Orchard bike: where things sit, loads"


def test_what_there_is_not():
    with pytest.raises(DrawingError, match="orchard-bike has no stage 'sidecar'"):
        whereabouts(BIKE, "sidecar")
    with pytest.raises(DrawingError, match="no ground 'purple'"):
        whereabouts(BIKE, ground="purple")
