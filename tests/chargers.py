"""Small charging circuits for tests: battery, charger, charge lamp, load; written as machine files."""

from functools import cache

from kit.machines.loader import machine_from_text
from kit.machines.machine import Machine

TEXT = """\
machine: charging-board
title: Charging board
volts: {volts}
reference: X1.frame
parts:
  G1: {{kind: battery, title: battery, volts: {rest}, ohms: {inner}, charge: {charge}}}
  X1: {{kind: metal, title: frame, terminal: frame}}
  W1: {{kind: wire, title: ground strap, from: G1.-, to: X1.frame, mm2: 16 mm2, metres: 0.3 m, colour: BK}}
  S1: {{kind: switch, title: key switch, ohms: 10 mohm}}
  S2: {{kind: switch, title: lamp switch, ohms: 10 mohm}}
  E1: {{kind: resistor, title: work lamps, ohms: {load}}}
  W2: {{kind: wire, title: feed, from: G1.+, to: S1.1, mm2: 2.5 mm2, metres: 0.5 m, colour: RD}}
  W3: {{kind: wire, title: feed, from: S1.1, to: S2.1, mm2: 2.5 mm2, metres: 0.5 m, colour: RD}}
  W4: {{kind: wire, title: lamps, from: S2.2, to: E1.1, mm2: 2.5 mm2, metres: 0.5 m, colour: WH}}
  W5: {{kind: wire, title: lamps, from: E1.2, to: X1.frame, mm2: 2.5 mm2, metres: 0.5 m, colour: BK}}
{parts}
stages:
  board: {{about: All of it., parts: [{ids}]}}
controls:
  key: {{title: key, positions: [off, on], closes: {{on: [S1]}}}}
  lamps: {{title: lamp switch, positions: [off, on], closes: {{on: [S2]}}}}
  engine: {{title: engine, positions: [stopped, idle, fast], closes: {{idle: [G2.idle], fast: [G2.fast]}}}}
{controls}truth: []
points: {{}}
"""
ALTERNATOR = """\
  G2: {{kind: alternator, title: alternator, volts: {regulated}, amps: {amps}, idle_amps: {idle}, rotor_ohms: {rotor}}}
  P1: {{kind: {lamp}}}
  W6: {{kind: wire, title: charging cable, from: G2.B+, to: G1.+, mm2: 10 mm2, metres: 1 m, colour: RD}}
  X2: {{kind: joint, title: mounting, from: G2.body, to: X1.frame, ohms: 0.3 mohm}}
  W7: {{kind: wire, title: lamp feed, from: S1.2, to: P1.{first}, mm2: 1 mm2, metres: 1 m, colour: BN}}
  W8: {{kind: wire, title: exciter wire, from: P1.{last}, to: G2.D+, mm2: 1 mm2, metres: 1 m, colour: BU}}
"""
STATOR = """\
  G2: {{kind: stator, title: stator, phases: {phases}, ohms: {ohms}, idle_volts: {idle}, fast_volts: {fast}, \
amps: {amps}}}
  T1: {{kind: regulator-rectifier, title: regulator, phases: {phases}, volts: {regulated}, amps: {amps}}}
  W6: {{kind: wire, title: charging wire, from: T1.+, to: G1.+, mm2: 4 mm2, metres: 0.6 m, colour: RD}}
  W7: {{kind: wire, title: regulator ground, from: T1.-, to: X1.frame, mm2: 4 mm2, metres: 0.3 m, colour: BK}}
{plugs}"""
LAMP = "lamp, title: charge lamp, watts: {watts}, volts: {volts}"
LED = "LED, title: charge light, volts: 12 V, amps: 15 mA"


def _board(
    parts: str, controls: str = "", *, volts="12 V", rest="12.7 V", inner="7 mohm", charge="100 %", load="0.5 ohm"
):
    own = [line.split(":")[0].strip() for line in parts.splitlines() if line.strip()]
    ids = ", ".join(["G1", "X1", "W1", "S1", "S2", "E1", "W2", "W3", "W4", "W5", *own])
    text = TEXT.format(
        volts=volts, rest=rest, inner=inner, charge=charge, load=load, parts=parts, ids=ids, controls=controls
    )
    return machine_from_text(text, "charging-board.yaml")


@cache
def alternator(*, charge: str = "100 %", twenty_four: bool = False, light: str = "3 W", load="0.5 ohm") -> Machine:
    """The harbour tender's alternator (50 A, rotor 3.5 ohm), or the loader's (24 V, 60 A, 10 ohm); trade.md."""
    lamp = LED if light == "LED" else LAMP.format(watts=light, volts="27 V" if twenty_four else "13.5 V")
    ends = {"first": "A", "last": "K"} if light == "LED" else {"first": "1", "last": "2"}
    if twenty_four:
        parts = ALTERNATOR.format(regulated="28.2 V", amps="60 A", idle="25 A", rotor="10 ohm", lamp=lamp, **ends)
        return _board(parts, volts="24 V", rest="25.4 V", inner="10 mohm", charge=charge, load=load)
    parts = ALTERNATOR.format(regulated="14.1 V", amps="50 A", idle="20 A", rotor="3.5 ohm", lamp=lamp, **ends)
    return _board(parts, charge=charge, load=load)


@cache
def magnets(*, phases: str = "three", charge: str = "100 %", load: str = "1.5 ohm") -> Machine:
    """The bike's three-phase stator (0.3 ohm, 18 and 65 V) or the mower's single one (0.2 ohm, 30 V), with a plug."""
    names = "123" if phases == "three" else "12"
    plugs = "".join(
        f"  S1{k}: {{kind: switch, title: stator plug, ohms: 5 mohm}}\n"
        f"  X3{k}: {{kind: joint, title: plug, from: G2.{k}, to: S1{k}.1, ohms: 3 mohm}}\n"
        f"  X4{k}: {{kind: joint, title: plug, from: S1{k}.2, to: T1.{k}, ohms: 3 mohm}}\n"
        for k in names
    )
    figures = (
        {"ohms": "0.3 ohm", "idle": "18 V", "fast": "65 V", "amps": "18 A", "regulated": "14.5 V"} if phases == "three"
        else {"ohms": "0.2 ohm", "idle": "14 V", "fast": "30 V", "amps": "15 A", "regulated": "14.2 V"}
    )
    closes = ", ".join(f"S1{k}" for k in names)
    plug = f"  plug: {{title: stator plug, positions: [plugged, unplugged], closes: {{plugged: [{closes}]}}}}\n"
    return _board(
        STATOR.format(phases=phases, plugs=plugs, **figures), plug, rest="12.8 V", inner="20 mohm", charge=charge,
        load=load,
    )
