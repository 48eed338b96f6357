"""Resistance of flexible copper conductors and the colour letters used for them."""

from kit.errors import CircuitError

# Largest ohms per kilometre at 20 °C of a class 5 (flexible, plain copper) conductor, by mm². Source: IEC 60228.
CLASS_5 = {
    0.5: 39.0, 0.75: 26.0, 1.0: 19.5, 1.5: 13.3, 2.5: 7.98, 4.0: 4.95, 6.0: 3.30, 10.0: 1.91, 16.0: 1.21, 25.0: 0.780,
    35.0: 0.554, 50.0: 0.386,
}

# Letters for colours. Source: IEC 60757.
COLOURS = {
    "BK": "black", "BN": "brown", "RD": "red", "OG": "orange", "YE": "yellow", "GN": "green", "BU": "blue",
    "VT": "violet", "GY": "grey", "WH": "white", "PK": "pink", "TQ": "turquoise", "GNYE": "green and yellow",
}

REFERENCE_CELSIUS = 20.0
# What copper's ohms grow by a kelvin, at 20 °C. Source: NBS Handbook 100; IEC 60228's own table lies within 0.3 %.
ALPHA = 0.00393
# Coldest and warmest the laws here are meant for; they would give negative ohms below −234.5 °C.
COLDEST, WARMEST = -60.0, 300.0


def warm_ohms(ohms: float, celsius: float) -> float:
    """Ohms of a copper conductor at a temperature, from its ohms at 20 °C.

    >>> round(warm_ohms(1.0, 60), 3)
    1.157
    """
    return ohms * (1 + ALPHA * (celsius - REFERENCE_CELSIUS))


def winding_share(celsius: float, rated_at: float = REFERENCE_CELSIUS) -> float:
    """How many times its rated ohms a copper winding has at a temperature: (234.5 + t) / (234.5 + rated_at).

    >>> round(320 * winding_share(125, rated_at=25), 1)
    443.3
    """
    return (234.5 + celsius) / (234.5 + rated_at)


def ohms_per_metre(mm2: float) -> float:
    """Ohms of one metre of class 5 copper of a standard cross-section, at 20 °C.

    >>> ohms_per_metre(16)
    0.00121
    """
    if mm2 not in CLASS_5:
        sizes = ", ".join(f"{size:g}" for size in CLASS_5)
        raise CircuitError(f"there is no {mm2:g} mm² cable; the standard sizes are {sizes} mm².")
    return CLASS_5[mm2] / 1000


def colour_name(letters: str) -> str:
    """The colour in words: ``RD`` is red, ``BKYE`` black with yellow; raises CircuitError for other letters.

    >>> colour_name("BKYE")
    'black with yellow'
    """
    if letters in COLOURS:
        return COLOURS[letters]
    first, second = letters[:2], letters[2:]
    if first in COLOURS and second in COLOURS:
        return f"{COLOURS[first]} with {COLOURS[second]}"
    raise CircuitError(f"'{letters}' is not a colour; use letters such as RD, BK, BU or two of them, BKYE.")
