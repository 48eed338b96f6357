"""The strip chart: what is on it, in order, readable, the same every time, and with words for who cannot see it."""

import re
import xml.etree.ElementTree as ElementTree
from itertools import pairwise

import pytest

import kit
from kit.circuit import Change, Fault
from kit.draw import strip
from kit.errors import DrawingError, SolveError
from kit.machines.course import over_time

BIKE = kit.machine("orchard-bike")
MOVES = [(0.0, {"key": "on"}), (0.3, {"start_button": "pressed"}), (1.0, {"start_button": "released"})]
SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def start():
    return over_time(BIKE, MOVES, 1.4)


@pytest.fixture(scope="module")
def chatter():
    return over_time(BIKE, MOVES, 1.4, [Fault(id="w", part="G1", edit=Change(field="ohms", value=0.15))])


def drawn(picture) -> ElementTree.Element:
    return ElementTree.fromstring(picture.svg)


def points(picture, name: str) -> list[tuple[float, float]]:
    line = next(line for line in drawn(picture).iter(f"{SVG}polyline") if line.get("data-trace") == name)
    return [tuple(map(float, pair.split(","))) for pair in line.get("points").split()]


def test_every_trace_and_bar_is_there_and_named(start):
    picture = strip(start, volts=["G1.+", "M1.stud"], amps=["M1"], relays=["K1"])
    traces = [line.get("data-trace") for line in drawn(picture).iter(f"{SVG}polyline")]
    assert traces == ["G1.+", "M1.stud", "M1"]
    texts = [text.text for text in drawn(picture).iter(f"{SVG}text")]
    assert {"G1.+", "M1.stud", "M1", "K1 pulled in", "V", "A", "seconds"} <= set(texts)
    assert {"key on", "start button pressed", "start button released"} <= set(texts)
    assert picture.labels == ("G1.+", "M1.stud", "M1", "K1")


def test_tracks_share_the_time_axis(start):
    picture = strip(start, volts=["G1.+"], amps=["M1"], relays=["K1"])
    dip = min(points(picture, "G1.+"), key=lambda pair: -pair[1])[0]
    peak = min(points(picture, "M1"), key=lambda pair: pair[1])[0]
    bar = next(box for box in drawn(picture).iter(f"{SVG}rect") if box.get("data-relay") == "K1")
    assert dip == pytest.approx(peak, abs=2) and float(bar.get("x")) == pytest.approx(peak, abs=2)


def test_a_trace_lies_where_its_figures_say(start):
    """The volts at the end, read back from the paper by the two ticks beside them."""
    picture = strip(start, volts=["G1.+"])
    ticks = {
        float(text.text): float(text.get("y")) - 4 for text in drawn(picture).iter(f"{SVG}text")
        if text.get("text-anchor") == "end" and re.fullmatch(r"\d+", text.text or "")
    }
    per_volt = (ticks[10.0] - ticks[0.0]) / 10
    y = points(picture, "G1.+")[-1][1]
    assert (y - ticks[0.0]) / per_volt == pytest.approx(start.volts("G1.+")[-1], abs=0.05)


def test_text_is_large_enough_and_stays_on_the_paper(start, chatter):
    for course in (start, chatter):
        picture = strip(course, volts=["G1.+", "M1.stud", "K1.86", "K1.87"], amps=["M1", "E1"], relays=["K1"])
        for text in drawn(picture).iter(f"{SVG}text"):
            assert float(text.get("font-size")) >= 11
            x, width = float(text.get("x")), 7.2 * len(text.text)
            left = {"start": x, "middle": x - width / 2, "end": x - width}[text.get("text-anchor")]
            assert left >= 0 and left + width <= picture.width and 0 < float(text.get("y")) < picture.height
        ys = sorted(
            float(text.get("y")) for text in drawn(picture).iter(f"{SVG}text") if text.text in picture.labels
        )
        assert all(after - before >= 11 for before, after in pairwise(ys)), "names do not overlap"


def test_traces_differ_by_dash_as_well_as_by_colour(start):
    picture = strip(start, volts=["G1.+", "M1.stud", "K1.86", "K1.87"])
    looks = [(line.get("stroke"), line.get("stroke-dasharray")) for line in drawn(picture).iter(f"{SVG}polyline")]
    assert len({colour for colour, _ in looks}) == len({dash for _, dash in looks}) == 4


def test_a_chatter_shows_every_swing_in_few_points(chatter):
    picture = strip(chatter, volts=["G1.+"], relays=["K1"])
    bars = [box for box in drawn(picture).iter(f"{SVG}rect") if box.get("data-relay")]
    assert len(bars) == chatter.course.count("K1", "pulls in") > 10
    assert len(picture.svg) < 60_000


def test_a_kick_beyond_the_paper_is_told_in_figures(start):
    picture = strip(start, volts=["G1.+", "K1.86"])
    lowest = min(start.volts("K1.86"))
    assert lowest < -100 and f"to {lowest:.0f} V" in picture.svg


def test_a_melting_fuse_is_marked():
    course = over_time(BIKE, [(0.0, {"key": "on"})], 0.3, ["W3 shorted to ground"])
    assert ">F1 melts<" in strip(course, amps=["F1"]).svg


def test_the_words_say_what_the_lines_show(start):
    said = drawn(strip(start, volts=["G1.+"], amps=["M1"], relays=["K1"])).find(f"{SVG}desc").text
    assert "At 0.30 s: start button pressed." in said
    assert re.search(r"M1 lies between 0 and 22\d(\.\d)? A and ends at 0 A\.", said)
    assert re.search(r"K1 is pulled in from 0\.31\d to 1\.00\d s\.", said)


def test_the_same_course_gives_the_same_bytes(start):
    again = over_time(BIKE, MOVES, 1.4)
    first, second = (strip(course, volts=["G1.+"], amps=["M1"], relays=["K1"]).svg for course in (start, again))
    assert first == second
    assert strip(start, volts=["G1.+"], ground="dark").svg != strip(start, volts=["G1.+"]).svg


def test_a_piece_can_be_cut_out(start):
    picture = strip(start, volts=["G1.+"], start=0.5, end=0.9)
    xs = [x for x, _ in points(picture, "G1.+")]
    assert min(xs) >= 64 and "start button pressed" not in picture.svg
    tiny = strip(start, volts=["G1.+"], start=0.9, end=0.900001)
    assert len(points(tiny, "G1.+")) >= 1


@pytest.mark.parametrize(
    ("given", "says"),
    [
        ({}, "needs volts, amps or relays"),
        ({"volts": ["G1.+"] * 5}, "4 traces at most"),
        ({"relays": ["K9"]}, "no relay K9; there are K1"),
        ({"volts": ["G1.+"], "start": 1.0, "end": 0.5}, "runs from 0 to 1.4 s"),
        ({"volts": ["G1.+"], "end": 9.0}, "runs from 0 to 1.4 s"),
        ({"volts": ["G1.+"], "ground": "pink"}, "no ground 'pink'"),
    ],
)
def test_what_cannot_be_drawn_is_said(start, given, says):
    with pytest.raises(DrawingError, match=says):
        strip(start, **given)


def test_unknown_names_are_the_solver_s_to_refuse(start):
    with pytest.raises(SolveError, match=r"no terminal X99\.a"):
        strip(start, volts=["X99.a"])
