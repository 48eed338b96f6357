"""Every kind of part but wires, joints and bodies of metal has a symbol, with a place for each of its terminals."""

import pytest

from kit.circuit import (
    KINDS,
    LED,
    Alternator,
    Battery,
    ControlUnit,
    Diode,
    FloatCharger,
    FuelSolenoid,
    Fuse,
    GlowPlug,
    Joint,
    Lamp,
    Magneto,
    Metal,
    Motor,
    RegulatorRectifier,
    Relay,
    Resistor,
    StarterSolenoid,
    Stator,
    Switch,
    Wire,
)
from kit.draw.symbols import draw_symbol

COIL = {"pull_in_volts": 7.0, "drop_out_volts": 3.0}
PARTS = (
    Battery(id="G1", title="battery", volts=12.6, ohms=0.01), Fuse(id="F1", title="fuse", amps=10.0, ohms=0.01),
    Switch(id="S1", title="switch", ohms=0.01), Diode(id="R1", title="diode", saturation_amps=1e-9, emission=1.4),
    LED(id="P1", title="light", volts=12.0, amps=0.015), Lamp(id="E1", title="lamp", watts=5.0, volts=13.5),
    Resistor(id="E2", title="heater", ohms=2.0),
    Motor(id="M1", title="starter", ohms=0.03, load_amps=90.0, drag=0.07, cranking_emf=7.0),
    GlowPlug(id="E3", title="plug", cold_ohms=0.45, hot_ohms=1.1, volts=11.0),
    Magneto(id="T3", title="module"),
    Relay(id="K1", title="relay", coil_ohms=85.0, contact_ohms=0.002, **COIL),
    Relay(
        id="K2", title="relay", coil_ohms=85.0, contact_ohms=0.002, contacts="change-over", suppression="diode", **COIL
    ),
    StarterSolenoid(id="K3", title="solenoid", pull_ohms=0.4, hold_ohms=1.2, contact_ohms=3e-4, **COIL),
    FuelSolenoid(id="Y1", title="solenoid", pull_ohms=0.35, hold_ohms=13.0, **COIL),
    Alternator(id="G2", title="alternator", volts=14.1, amps=50.0, idle_amps=20.0, rotor_ohms=3.5),
    Stator(id="G3", title="stator", ohms=0.3, idle_volts=18.0, fast_volts=65.0, amps=18.0),
    Stator(id="G4", title="stator", phases="one", ohms=0.2, idle_volts=12.0, fast_volts=30.0, amps=15.0),
    RegulatorRectifier(id="T1", title="regulator", volts=14.5, amps=18.0),
    RegulatorRectifier(id="T2", title="regulator", phases="one", volts=14.5, amps=18.0),
    FloatCharger(id="T4", title="float charger", volts=13.6, amps=4.0),
    FuelSolenoid(id="Y3", title="fuel solenoid", wires="three", pull_ohms=0.35, hold_ohms=13.0, pull_in_volts=6.0,
                 drop_out_volts=1.5),
    ControlUnit(id="A1", title="unit", volts=12.0, amps=0.4),
    ControlUnit(
        id="A2", title="unit", volts=12.0, amps=0.4, inputs=("a", "b", "c"), outputs=(("d", ("a",)), ("e", ()))
    ),
)


def test_every_kind_is_here():
    assert {type(part) for part in PARTS} == set(KINDS.values()) - {Wire, Joint, Metal}


@pytest.mark.parametrize("aside", [1, -1])
@pytest.mark.parametrize("part", PARTS, ids=lambda part: f"{part.word} {part.id}")
def test_a_place_for_each_terminal_and_a_line_to_it(part, aside):
    symbol = draw_symbol(part, aside=aside, push_button=False)
    placed = {name: (x, y) for name, x, y in symbol.terminals}
    assert sorted(placed) == sorted(terminal.name for terminal in part.terminals)
    assert len(set(placed.values())) == len(placed)
    assert symbol.terminals[0][1:] == (0, 0)
    for name, spot in placed.items():
        ends = [
            (round(float(x), 6), round(float(y), 6)) for stroke in symbol.strokes if stroke.node == f"{part.id}.{name}"
            for x, y in (stroke.segment.path[0], stroke.segment.path[-1])
        ]
        assert spot in ends, name
