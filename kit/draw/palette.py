"""The looks of conductors: the one home of colours, dashes, widths and letters, for Python and for the browser.

Three grounds: light, dark and print, which is ink alone. Plain nested dicts of text and numbers, so that they can be
sent as JSON. A state is told by colour, dash and letter together, never by colour alone. The colours were chosen for
the largest CAM02-UCS differences in normal and colour-deficient sight; text on paper keeps a contrast of 4.5 and
lines 3 (WCAG 2.2, 1.4.3 and 1.4.11).
"""

from kit.errors import DrawingError

# Dash as an SVG stroke-dasharray (empty: solid); width in px at 1:1.
_DASHES = {
    "live": ("", 3, "+"),
    "ground": ("10 4", 3, "G"),
    "floating": ("2 5", 3, "?"),
    "chattering": ("10 3 2 3", 3, "~"),
    "selected": ("", 3, ""),
    "plain": ("", 2, ""),
}
_COLOURS = {
    "light": {
        "paper": "#FFFFFF", "ink": "#1B1F24", "soft": "#4A5159",
        "live": "#6B1000", "ground": "#1B64FA", "floating": "#4F5155", "chattering": "#936205", "selected": "#21033F",
        "plain": "#1B1F24",
    },
    "dark": {
        "paper": "#14171B", "ink": "#F1F1EC", "soft": "#BBC1C7",
        "live": "#FF4A24", "ground": "#A5D4FE", "floating": "#868E90", "chattering": "#FFE3A3", "selected": "#CC5CFC",
        "plain": "#F1F1EC",
    },
    # Ink only, for black-and-white print: dashes, widths and letters carry the state.
    "print": {
        "paper": "#FFFFFF", "ink": "#000000", "soft": "#000000",
        "live": "#000000", "ground": "#000000", "floating": "#000000", "chattering": "#000000", "selected": "#000000",
        "plain": "#000000",
    },
}

GROUNDS = tuple(_COLOURS)
STATES = ("live", "ground", "floating", "chattering")

# PALETTE["light"]["paper"] is a colour; PALETTE["light"]["looks"]["live"] has colour, dash, width and letter.
PALETTE: dict[str, dict] = {
    ground: {
        "paper": colours["paper"], "ink": colours["ink"], "soft": colours["soft"],
        "looks": {
            state: {"colour": colours[state], "dash": dash, "width": width, "letter": letter}
            for state, (dash, width, letter) in _DASHES.items()
        },
    }
    for ground, colours in _COLOURS.items()
}


def check_ground(ground: str) -> None:
    """Raises DrawingError for anything but ``light``, ``dark`` or ``print``."""
    if ground not in GROUNDS:
        raise DrawingError(f"there is no ground '{ground}' to draw on; there are {', '.join(GROUNDS)}.")
