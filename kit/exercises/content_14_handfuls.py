"""The handfuls of suspects and tests that lesson 14 reasons about: four machines that stay silent or dark.

What is changed here changes the questions of ``content_14``: raise their ``version``.
"""

from collections.abc import Mapping
from dataclasses import replace

from kit.diagnose.handful import Handful, Trial

BOAT, SET, LOADER = "harbour-tender", "site-generator", "compact-loader"


def _lamp(tip: str, positions: Mapping[str, str], held: str, clip: str = "G1.-") -> Trial:
    says = f"lamp, clip on {clip}, tip on {tip}, {held}"
    return Trial(id=tip, says=says, tool="lamp", places=(clip, tip), positions=positions)


def _meter(red: str, positions: Mapping[str, str], held: str, black: str) -> Trial:
    says = f"meter, black on {black}, red on {red}, {held}"
    return Trial(id=red, says=says, tool="volts", places=(black, red), positions=positions)


# --- the boat: panel lit, start pressed, not a sound

BOAT_HELD = {"isolator": "on", "key": "on", "start_button": "pressed"}
BOAT_ROW = {
    "W11 open": "wire W11, key switch to start button, broken",
    "S2 stuck open": "start button S2 does not close",
    "W12 open": "wire W12, start button to neutral switch, broken",
    "B1 stuck open": "neutral switch B1 does not close",
    "W13 open": "wire W13, neutral switch to relay socket, broken",
    "X12 high resistance 50 kohm": "socket clip X12 green with salt",
    "K1 coil open": "coil of the start relay K1 broken",
    "W14 open": "wire W14, relay to ground, broken",
}
SILENT_BOAT = Handful(
    machine=BOAT, suspects=BOAT_ROW,
    trials=(
        *(_lamp(tip, BOAT_HELD, "start held") for tip in ("S2.1", "S2.2", "B1.1", "B1.2", "X12.socket", "K1.86")),
        _lamp("K1.85", BOAT_HELD, "start held", clip="G1.+"),
    ),
)


def _counted(few: Handful, *cards: int) -> Handful:
    return replace(few, cards=dict(zip(few.suspects, cards, strict=True)))


BOAT_BOOKS = {
    "salt": _counted(SILENT_BOAT, 1, 1, 1, 1, 1, 13, 1, 1),
    "damp": _counted(SILENT_BOAT, 1, 1, 1, 1, 4, 10, 1, 1),
    "relay": _counted(SILENT_BOAT, 1, 1, 1, 1, 1, 1, 13, 1),
    "lever": _counted(SILENT_BOAT, 1, 1, 1, 13, 1, 1, 1, 1),
}

# --- the generator: panel lit, key at start, not a sound

SET_HELD = {"key": "start"}
SILENT_SET = Handful(
    machine=SET,
    suspects={
        "W4 open": "wire W4, key switch to emergency stop, broken",
        "S3 stuck open": "emergency stop S3 does not close",
        "W5 open": "wire W5, emergency stop back to the key switch, broken",
        "S2 stuck open": "start contact S2 of the key switch does not close",
        "W6 open": "wire W6, key switch to start relay, broken",
        "K1 coil open": "coil of the start relay K1 broken",
        "W7 open": "wire W7, start relay to control unit, broken",
    },
    trials=(
        Trial(id="K4", says="key on only: listen whether the fuel relay K4 clicks", tool="notice", places=("K4",),
              positions={"key": "on"}),
        *(_lamp(tip, SET_HELD, "key held at start") for tip in ("S3.1", "S3.2", "S2.1", "S2.2", "K1.86")),
        _meter("K1.85", SET_HELD, "key held at start", black="G1.-"),
    ),
)
SET_BOOKS = {
    "stop": _counted(SILENT_SET, 1, 10, 5, 1, 1, 1, 1), "heat": _counted(SILENT_SET, 4, 6, 1, 6, 1, 1, 1),
    "relays": _counted(SILENT_SET, 1, 1, 1, 1, 1, 14, 1), "contact": _counted(SILENT_SET, 1, 1, 5, 10, 1, 1, 1),
}

# --- a chart: the loader, charge lamp lit, start pressed, not a sound

LOADER_HELD = {"key": "on", "start_button": "pressed", "seat_bar": "down"}
SILENT_LOADER = Handful(
    machine=LOADER,
    suspects={
        "F3 blown": "start fuse F3 blown",
        "W15 open": "wire W15, fuse box to start button, broken",
        "S2 stuck open": "start button S2 does not close",
        "W16 open": "wire W16, start button to start relay, broken",
        "K1 coil open": "coil of the start relay K1 broken",
        "W17 open": "wire W17, start relay to control unit, broken",
        "B1 stuck open": "neutral switch B1 does not close",
        "B2 stuck open": "seat-bar switch B2 does not close",
    },
    # In short, for a chart: its question says once where the other lead is and what is held.
    trials=tuple(
        Trial(id=point, says=f"{says} on {point}", tool=tool, places=("G2.-", point), positions=LOADER_HELD)
        for tool, says, points in (("lamp", "lamp, tip", ("F3.2", "S2.1", "S2.2", "K1.86")),
                                   ("volts", "meter, red", ("K1.85", "K2.start", "K2.neutral")))
        for point in points
    ),
    cards={"F3 blown": 4, "W15 open": 1, "S2 stuck open": 2, "W16 open": 1, "K1 coil open": 2, "W17 open": 1,
           "B1 stuck open": 6, "B2 stuck open": 3},
)

# --- what one instrument cannot part: the boat's dark panel

PANEL = {"isolator": "on"}
DARK_PANEL = Handful(
    machine=BOAT,
    suspects={
        "W9 open": "the long wire W9 to the panel is broken",
        "F2 blown": "the panel fuse F2 is blown",
        "F2 high resistance 50 kohm": "a film of salt in the holder of F2",
        "W10 open": "wire W10, panel fuse to key switch, is broken",
        "S1 stuck open": "the key switch S1 does not close",
    },
    trials=tuple(
        Trial(id=f"{tool} {tip}", says=f"{tool} at {tip}, key off", tool=kind, places=("G1.-", tip), positions=PANEL)
        for tool, kind in (("lamp", "lamp"), ("meter", "volts")) for tip in ("F2.1", "F2.2", "S1.1")
    ),
)
