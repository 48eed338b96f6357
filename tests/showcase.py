"""One machine with every kind of part in it, each kind as often as it has forms, for drawings to be looked at."""

from invented import machine_of

from kit.circuit import (
    LED,
    Alternator,
    Battery,
    Circuit,
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
    Terminal,
    Wire,
)
from kit.machines.machine import Machine

COIL = {"pull_in_volts": 7.0, "drop_out_volts": 3.0}
TITLES = {
    "G1": "front battery", "G2": "rear battery", "Q1": "isolator", "F1": "main fuse", "S1": "key switch",
    "P1": "oil lamp", "P2": "charge lamp", "S2": "light switch", "K1": "change-over relay", "E1": "work lamp",
    "E2": "cab heater", "K2": "relay with diode", "R1": "diode", "K3": "starter solenoid", "M1": "starter motor",
    "Y1": "fuel solenoid", "E3": "glow plug", "A1": "control unit", "B1": "neutral switch", "K4": "start relay",
    "E4": "hour meter", "G3": "alternator", "G4": "stator", "T1": "regulator-rectifier", "G5": "lighting coil",
    "T2": "half-wave regulator", "X1": "link post", "X2": "link post rear", "X3": "minus strap", "X5": "starter body",
    "X6": "engine block", "X7": "plug thread", "X8": "alternator body",
    "T3": "ignition module", "S3": "kill switch", "Y2": "three-wire solenoid", "T4": "float charger",
}


def _wire(number: int, start: str, end: str, mm2: float = 1.0, colour: str = "RD") -> Wire:
    return Wire(
        id=f"W{number}", title=f"wire {number}", start=Terminal.read(start), end=Terminal.read(end), mm2=mm2,
        metres=0.5, colour=colour,
    )


def _joint(name: str, start: str, end: str) -> Joint:
    return Joint(id=name, title=TITLES[name], start=Terminal.read(start), end=Terminal.read(end), ohms=3e-4)


def _named(kind: type, name: str, **figures: object):
    return kind(id=name, title=TITLES[name], **figures)


def showcase() -> Machine:
    """The machine; it has no controls, points, faults or places."""
    lamp, relay = {"watts": 5.0, "volts": 13.5}, {"coil_ohms": 85.0, "contact_ohms": 0.002, **COIL}
    battery = {"volts": 12.6, "ohms": 0.005}
    parts = (
        _named(Battery, "G1", **battery), _joint("X1", "G1.-", "X1.lug"), _named(Battery, "G2", **battery),
        _joint("X2", "X2.lug", "G2.+"), _wire(1, "X1.lug", "X2.lug", 50), _joint("X3", "G2.-", "X6.block"),
        _named(Switch, "Q1", ohms=0.001),
        _wire(2, "G1.+", "Q1.1", 50), _named(Fuse, "F1", amps=30.0, ohms=0.003), _wire(3, "Q1.2", "F1.1", 6),
        _named(Switch, "S1", ohms=0.01), _wire(4, "F1.2", "S1.1", 2.5),
        _named(LED, "P1", volts=12.0, amps=0.015), _wire(5, "S1.2", "P1.A"), _named(Lamp, "P2", **lamp),
        _wire(6, "S1.2", "P2.1"),
        _wire(7, "S1.2", "S2.1"), _named(Switch, "S2", ohms=0.01), _wire(8, "S2.2", "K1.86"),
        _named(Relay, "K1", contacts="change-over", **relay), _wire(9, "K1.85", "X6.block", colour="BK"),
        _wire(10, "F1.2", "K1.30", 2.5), _wire(11, "K1.87", "E1.1"), _named(Lamp, "E1", **lamp),
        _wire(12, "E1.2", "X6.block", colour="BK"), _named(Resistor, "E2", ohms=3.0), _wire(13, "K1.87a", "E2.1"),
        _wire(14, "E2.2", "X6.block", colour="BK"), _named(Relay, "K2", suppression="diode", **relay),
        _wire(15, "S1.2", "R1.A"), _wire(16, "K2.85", "X6.block", colour="BK"),
        _named(Diode, "R1", saturation_amps=1e-9, emission=1.4), _wire(17, "R1.K", "K2.86"),
        _wire(20, "Q1.2", "K3.30", 50),
        _named(StarterSolenoid, "K3", pull_ohms=0.4, hold_ohms=1.2, contact_ohms=3e-4, **COIL),
        _wire(21, "K2.87", "K3.50", 2.5), _wire(22, "K3.M", "M1.stud", 50), _wire(23, "F1.2", "K2.30", 2.5),
        _named(Motor, "M1", ohms=0.012, load_amps=90.0, drag=0.07, cranking_emf=7.0),
        _joint("X5", "M1.body", "X6.block"), _named(Metal, "X6", terminal="block"),
        _wire(18, "K3.body", "X6.block", 2.5, "BK"),
        _wire(24, "S1.2", "Y1.feed", 2.5), _named(FuelSolenoid, "Y1", pull_ohms=0.35, hold_ohms=13.0, **COIL),
        _wire(25, "Y1.body", "X6.block", 2.5, "BK"), _wire(26, "S2.2", "E3.stud", 6),
        _named(GlowPlug, "E3", cold_ohms=0.45, hot_ohms=1.1, volts=11.0), _joint("X7", "E3.body", "X6.block"),
        _wire(27, "S1.2", "A1.supply"),
        _named(
            ControlUnit, "A1", volts=12.0, amps=0.4, inputs=("neutral", "oil", "seat"),
            outputs=(("start", ("neutral",)), ("hours", ())),
        ),
        _wire(28, "A1.ground", "X6.block", colour="BK"), _wire(29, "A1.neutral", "B1.1"),
        _named(Switch, "B1", ohms=0.01), _wire(30, "B1.2", "X6.block", colour="BK"), _wire(31, "S1.2", "K4.86"),
        _named(Relay, "K4", **relay), _wire(32, "K4.85", "A1.start"), _wire(33, "S1.2", "E4.1"),
        _named(Resistor, "E4", ohms=100.0), _wire(34, "E4.2", "A1.hours"),
        _wire(35, "G3.B+", "Q1.2", 10), _named(Alternator, "G3", volts=14.1, amps=50.0, idle_amps=20.0, rotor_ohms=3.5),
        _joint("X8", "G3.body", "X6.block"), _wire(36, "P2.2", "G3.D+"),
        _named(Stator, "G4", ohms=0.3, idle_volts=18.0, fast_volts=65.0, amps=18.0), _wire(37, "G4.1", "T1.1", 2.5),
        _wire(38, "G4.2", "T1.2", 2.5), _wire(39, "G4.3", "T1.3", 2.5),
        _named(RegulatorRectifier, "T1", volts=14.5, amps=18.0), _wire(40, "T1.+", "F1.2", 2.5),
        _wire(41, "T1.-", "X6.block", 2.5, "BK"),
        _named(Stator, "G5", phases="one", ohms=0.2, idle_volts=12.0, fast_volts=30.0, amps=15.0),
        _wire(42, "G5.1", "T2.1", 2.5), _wire(43, "G5.2", "T2.2", 2.5),
        _named(RegulatorRectifier, "T2", phases="one", volts=14.5, amps=18.0), _wire(44, "T2.+", "F1.2", 2.5),
        _wire(45, "T2.-", "X6.block", 2.5, "BK"),
        _named(Magneto, "T3"), _wire(46, "T3.ground", "X6.block", colour="BK"), _named(Switch, "S3", ohms=0.01),
        _wire(47, "T3.kill", "S3.1"), _wire(48, "S3.2", "X6.block", colour="BK"),
        _named(FuelSolenoid, "Y2", wires="three", pull_ohms=0.35, hold_ohms=13.0, **COIL),
        _wire(49, "K2.87", "Y2.pull", 2.5), _wire(50, "S1.2", "Y2.hold"), _wire(51, "Y2.body", "X6.block", 2.5, "BK"),
        _named(FloatCharger, "T4", volts=13.5, amps=2.0), _wire(52, "T4.+", "G1.+"), _wire(53, "T4.-", "X6.block"),
    )
    return machine_of("showcase", Circuit(parts=parts, reference=Terminal("X6", "block")), 7)
