"""How a conductor stands: live, joined to ground, or floating."""

# A conductor counts as ground where its volts are below this share of the machine's (1 V on a 12 V machine): common
# practice.
GROUND_BELOW = 1 / 12


def standing(volts: float | None, machine_volts: float) -> str:
    """``live``, ``ground`` or ``floating``: from the volts against the reference, None where nothing leads there."""
    if volts is None:
        return "floating"
    return "ground" if abs(volts) < machine_volts * GROUND_BELOW else "live"
