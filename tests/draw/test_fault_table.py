"""The fault table: rows that cannot be told apart together, rows that are ruled out struck."""

import re
from xml.etree import ElementTree

import pytest
from boxes import SVG, problems

from kit.draw import fault_table
from kit.errors import DrawingError

FAULTS = ["F1 blown", "W1 open", "S3 stuck open", "B1 stuck open", "G1 flat"]
TESTS = ["lamp on F1.2, clip on battery minus", "volts at K1.86, start pressed"]
SHOWS = [["out", "0.00 V"], ["out", "0.00 V"], ["bright", "0.00 V"], ["bright", "12.4 V"], ["dim", "9.1 V"]]


def described(picture) -> str:
    return re.search(r"<desc>(.*?)</desc>", picture.svg, re.DOTALL)[1]


def test_faults_that_no_test_tells_apart_share_a_row():
    picture = fault_table(FAULTS, TESTS, SHOWS)
    texts = ["".join(text.itertext()) for text in ElementTree.fromstring(picture.svg).iter(f"{SVG}text")]
    assert "F1 blown, W1 open" in texts
    assert texts.count("bright") == 2 and texts.count("out") == 1
    assert described(picture).startswith(f"F1 blown, W1 open: {TESTS[0]} out; {TESTS[1]} 0.00 V.")
    assert problems(picture) == []


def test_what_was_seen_strikes_out_what_it_contradicts():
    seen = {TESTS[0]: "bright"}
    picture = fault_table(FAULTS, TESTS, SHOWS, seen=seen)
    struck = [t.text for t in ElementTree.fromstring(picture.svg).iter(f"{SVG}text") if "text-decoration" in t.attrib]
    assert struck == ["F1 blown, W1 open", "G1 flat"]
    assert described(picture).endswith("Ruled out: F1 blown, W1 open, G1 flat.")
    assert "Nothing is ruled out" in described(fault_table(FAULTS[2:4], TESTS, SHOWS[2:4], seen=seen))


def test_it_never_speaks_by_shade_alone():
    """On every ground each cell says its word; shades only set the rarer ones off."""
    for ground in ("light", "dark", "print"):
        root = ElementTree.fromstring(fault_table(FAULTS, TESTS, SHOWS, ground=ground).svg)
        said = [text.text for text in root.iter(f"{SVG}text")]
        assert [said.count(word) for word in ("out", "bright", "dim", "12.4 V", "9.1 V")] == [1, 2, 1, 1, 1]


def test_long_names_are_wrapped_and_nothing_lies_over_anything():
    faults = [f"W{n} high resistance 0.5 ohm" for n in range(30)]
    tests = [f"voltmeter from G1.- to S{n}.2 with start held, in first gear" for n in range(6)]
    picture = fault_table(faults, tests, [[f"{n % (m + 2)}.00 V" for m in range(6)] for n in range(30)])
    assert problems(picture) == [] and picture.width < 1100


@pytest.mark.parametrize(
    ("given", "words"),
    [
        (([], TESTS, []), "needs a fault and a test"), ((FAULTS, [], [[]] * 5), "needs a fault and a test"),
        ((FAULTS, TESTS, SHOWS[:4]), "needs 5 rows of 2"), ((FAULTS, TESTS, [["out"]] * 5), "needs 5 rows of 2"),
    ],
)
def test_a_table_that_is_none(given, words):
    with pytest.raises(DrawingError, match=words):
        fault_table(*given)


def test_a_test_that_is_no_column():
    with pytest.raises(DrawingError, match="no test 'ohms' in the table"):
        fault_table(FAULTS, TESTS, SHOWS, seen={"ohms": "OL"})
