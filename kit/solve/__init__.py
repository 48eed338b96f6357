"""Settling a circuit: node volts, currents, relay states. ``kit.solve.sweep`` runs many cases compiled."""

from kit.solve.solution import AT_REST, Outcome, Solution, State
from kit.solve.steady import settle

__all__ = ["AT_REST", "Outcome", "Solution", "State", "settle"]
