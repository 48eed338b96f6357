"""The palette against the contrast rules of WCAG 2.2 (success criteria 1.4.3 and 1.4.11; formula: its glossary,
"contrast ratio" and "relative luminance")."""

import json

import pytest

from kit.draw import PALETTE
from kit.draw.palette import STATES


def luminance(colour: str) -> float:
    def linear(value: int) -> float:
        share = value / 255
        return share / 12.92 if share <= 0.04045 else ((share + 0.055) / 1.055) ** 2.4

    red, green, blue = (linear(int(colour[at:at + 2], 16)) for at in (1, 3, 5))
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def test_the_formula_itself():
    """Known values: black on white is 21:1, a colour on itself 1:1; #767676 on white is the well-known 4.54."""
    assert contrast("#000000", "#FFFFFF") == pytest.approx(21)
    assert contrast("#123456", "#123456") == pytest.approx(1)
    assert contrast("#767676", "#FFFFFF") == pytest.approx(4.54, abs=0.005)


@pytest.mark.parametrize("ground", PALETTE)
def test_text_reads_at_four_and_a_half_and_lines_at_three(ground):
    colours = PALETTE[ground]
    for name in ("ink", "soft"):
        assert contrast(colours[name], colours["paper"]) >= 4.5, name
    for state, look in colours["looks"].items():
        # Letters are text in the state's own colour, so they set the stricter bound.
        least = 4.5 if look["letter"] else 3
        assert contrast(look["colour"], colours["paper"]) >= least, state


@pytest.mark.parametrize("ground", PALETTE)
def test_each_state_has_a_colour_a_dash_and_a_letter_of_its_own(ground):
    looks = [PALETTE[ground]["looks"][state] for state in STATES]
    for what in ("dash", "letter") if ground == "print" else ("colour", "dash", "letter"):
        assert len({look[what] for look in looks}) == len(STATES), what


def test_print_needs_no_colour():
    """All in one ink; a live line is told from a plain one by its width, which its dash alone would not do."""
    looks = PALETTE["print"]["looks"]
    assert {look["colour"] for look in looks.values()} == {PALETTE["print"]["ink"]}
    assert len({(looks[state]["dash"], looks[state]["width"]) for state in (*STATES, "plain")}) == len(STATES) + 1


def test_the_colours_are_the_ones_that_were_measured():
    """CAM02-UCS differences were measured for these colours (teaching.md); a change must be measured again."""
    colours = {ground: [PALETTE[ground]["looks"][state]["colour"] for state in STATES] for ground in ("light", "dark")}
    assert colours == {
        "light": ["#6B1000", "#1B64FA", "#4F5155", "#936205"], "dark": ["#FF4A24", "#A5D4FE", "#868E90", "#FFE3A3"],
    }


def test_it_can_be_sent_to_a_browser():
    assert json.loads(json.dumps(PALETTE)) == PALETTE
