"""Windings: what a copper coil has in ohms when it is warm, and the wrong figures that mean something."""

from dataclasses import dataclass

from kit.circuit.conductors import winding_share


@dataclass(frozen=True, slots=True, kw_only=True)
class WarmCopper:
    """Ohms of a copper winding at ``hot`` °C that has ``ohms`` at ``cold`` °C."""

    ohms: str
    cold: str
    hot: str


def warm_ohms(ohms: float, cold: float, hot: float) -> float:
    """Ohms at ``hot`` °C of a winding with these ohms at ``cold`` °C."""
    return ohms * winding_share(hot, rated_at=cold)


def wrong_ohms_warm(ohms: float, cold: float, hot: float) -> dict[str, float]:
    """What slips would answer: nothing changes, degrees alone, divided the other way round, a thousand off."""
    return {
        "unchanged": ohms, "by degrees": ohms * hot / cold, "colder": ohms * winding_share(cold, rated_at=hot),
        "thousand": 1000 * warm_ohms(ohms, cold, hot),
    }
