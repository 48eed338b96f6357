"""What fits on a meter's display: 6000 counts, so four digits up to 5999 and a point among them."""

from collections.abc import Sequence

OVER = "OL"  # what a meter shows for more than its range holds
COUNTS = 6000


def show_counts(value: float, steps: Sequence[tuple[float, str]]) -> tuple[str, float | None]:
    """A value on the first step whose 6000 counts hold it: its text, and the number shown (None for ``OL``).

    ``steps`` are (size of one count, unit shown) in rising order; a prefix k or M in the unit scales what is shown.

    >>> show_counts(12.3456, ((0.01, "V"), (0.1, "V")))
    ('12.35 V', 12.35)
    >>> show_counts(4731.0, ((0.1, "Ω"), (1.0, "kΩ"), (10.0, "kΩ")))
    ('4.731 kΩ', 4731.0)
    >>> show_counts(700.0, ((0.1, "V"),))
    ('OL', None)
    """
    for count, unit in steps:
        number = round(value / count)
        if abs(number) >= COUNTS:
            continue
        scale = {"m": 1e-3, "k": 1e3, "M": 1e6}.get(unit[0], 1.0)
        places = max(0, round(-_power(count / scale)))
        shown = round(number * count, 10) + 0.0
        return f"{number * count / scale + 0.0:.{places}f} {unit}", shown
    return OVER, None


def _power(size: float) -> int:
    """The power of ten of a step, such as -2 for 0.01."""
    return round(float(f"{size:e}".split("e")[1]))
