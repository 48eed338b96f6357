"""Parts, terminals, circuits and faults as plain values: no mathematics, no drawing."""

from kit.circuit.charging import Alternator, FloatCharger, RegulatorRectifier, Stator
from kit.circuit.circuit import Circuit
from kit.circuit.coils import ControlUnit, FuelSolenoid, Relay, StarterSolenoid
from kit.circuit.faults import Change, Fault, Ohms, Open, Reversed, ShortTo, Spare, Welded, When, part_of
from kit.circuit.figures import Part
from kit.circuit.parts import (
    KINDS,
    LED,
    Battery,
    Diode,
    Fuse,
    GlowPlug,
    Instrument,
    Joint,
    Lamp,
    Magneto,
    Metal,
    Motor,
    Resistor,
    Switch,
    Wire,
)
from kit.circuit.terminals import Terminal

__all__ = [
    "KINDS", "LED", "Alternator", "Battery", "Change", "Circuit", "ControlUnit", "Diode", "Fault", "FloatCharger",
    "FuelSolenoid", "Fuse", "GlowPlug", "Instrument", "Joint", "Lamp", "Magneto", "Metal", "Motor", "Ohms", "Open",
    "Part", "RegulatorRectifier", "Relay", "Resistor", "Reversed", "ShortTo", "Spare", "StarterSolenoid", "Stator",
    "Switch", "Terminal", "Welded", "When", "Wire", "part_of",
]
