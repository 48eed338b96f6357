"""Parts, terminals, circuits and faults as plain values: no mathematics, no drawing."""

from kit.circuit.circuit import Circuit
from kit.circuit.faults import Change, Fault, Ohms, Open, ShortTo, When
from kit.circuit.parts import (
    KINDS,
    Battery,
    ControlUnit,
    Diode,
    Fuse,
    Instrument,
    Joint,
    Lamp,
    Metal,
    Motor,
    Part,
    Relay,
    Switch,
    Wire,
)
from kit.circuit.terminals import Terminal

__all__ = [
    "KINDS", "Battery", "Change", "Circuit", "ControlUnit", "Diode", "Fault", "Fuse", "Instrument", "Joint", "Lamp",
    "Metal", "Motor", "Ohms", "Open", "Part", "Relay", "ShortTo", "Switch", "Terminal", "When", "Wire",
]
