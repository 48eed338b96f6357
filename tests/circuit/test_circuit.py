"""Circuits that cannot exist are refused in words; those that can are values."""

import dataclasses

import pytest
from networks import circuit, node, resistor, source

from kit.circuit import (
    KINDS,
    Change,
    Circuit,
    Diode,
    Fault,
    Fuse,
    Joint,
    Metal,
    Ohms,
    Open,
    Relay,
    Reversed,
    ShortTo,
    Spare,
    Terminal,
    Wire,
)
from kit.circuit.conductors import COLOURS, colour_name, ohms_per_metre
from kit.errors import CircuitError, FaultError

A, B = node(0), node(1)
LOOP = circuit(source("G1", 0, 1, 12.0), resistor("R1", 1, 0, 4.0))
RELAY = {
    "id": "K1", "title": "relay", "coil_ohms": 80.0, "pull_in_volts": 7.0, "drop_out_volts": 3.0, "contact_ohms": 1e-3,
}


def refused(error, make) -> str:
    with pytest.raises(error) as caught:
        make()
    return str(caught.value)


@pytest.mark.parametrize(
    ("make", "message"),
    [
        (lambda: Terminal.read("F1"), "'F1' is not a terminal; write part and terminal with a dot, like K1.86."),
        (lambda: Terminal.read(".1"), "'.1' is not a terminal; write part and terminal with a dot, like K1.86."),
        (lambda: Fuse(id="F1", title="fuse", amps=0.0, ohms=1e-3), "fuse F1: amps must be more than zero, not 0."),
        (lambda: Fuse(id="F1", title="fuse", amps=float("nan"), ohms=1.0),
         "fuse F1: amps must be more than zero, not nan."),
        (lambda: Fuse(id="F1", title="fuse", amps=1e20, ohms=1.0),
         "fuse F1: amps cannot be 1e+20; no real part is like that."),
        (lambda: Relay(**{**RELAY, "drop_out_volts": 7.0}),
         "relay K1: it must drop out below the volts it pulls in at (pull-in 7 V, drop-out 7 V)."),
        (lambda: Relay(**{**RELAY, "turns": 1.5}), "relay K1: turns must be 1 at the most, not 1.5."),
        (lambda: Relay(**{**RELAY, "celsius": -280.0}),
         "relay K1: celsius cannot be -280 °C; nothing is colder than -273.15 °C."),
        (lambda: Relay(**{**RELAY, "celsius": float("nan")}),
         "relay K1: celsius cannot be nan °C; nothing is colder than -273.15 °C."),
        (lambda: Relay(**{**RELAY, "contacts": "both"}), "relay K1: contacts is make or change-over, not 'both'."),
        (lambda: Joint(id="X1", title="joint", start=A, end=A, ohms=1.0),
         "joint X1: both ends are N0.t; a joint needs two places."),
        (lambda: Wire(id="W1", title="wire", start=A, end=B, mm2=3.0, metres=1.0, colour="RD"),
         "there is no 3 mm² cable; the standard sizes are 0.5, 0.75, 1, 1.5, 2.5, 4, 6, 10, 16, 25, 35, 50 mm²."),
        (lambda: Diode(id="R1", title="diode", saturation_amps=1e-9, emission=0.0),
         "diode R1: emission must be between 0.5 and 10, not 0."),
        (lambda: LOOP.add([Metal(id="N0", title="again", terminal="t")]),
         "metal N0: there are two parts called N0; ids must differ."),
        (lambda: LOOP.add([Joint(id="X1", title="joint", start=A, end=Terminal("Q9", "1"), ohms=1.0)]),
         "joint X1 goes to Q9.1: there is no part Q9."),
        (lambda: LOOP.add([Joint(id="X1", title="joint", start=A, end=Terminal("R1", "1"), ohms=1.0)]),
         "joint X1 goes to R1.1: a joint has no terminals of its own; name the terminals it joins."),
        (lambda: Circuit(parts=LOOP.parts, reference=Terminal("N0", "x")),
         "reference N0.x: metal N0 has no terminal 'x'; it has t."),
        (lambda: LOOP["Q9"], "there is no part Q9; there are N0, N1, G1, G1-, G1+, R1."),
        (lambda: colour_name("RED"), "'RED' is not a colour; use letters such as RD, BK, BU or two of them, BKYE."),
    ],
)
def test_what_cannot_be(make, message):
    assert refused(CircuitError, make) == message


@pytest.mark.parametrize(
    ("make", "message"),
    [
        (lambda: LOOP.plant(Fault(id="Q9 open", part="Q9", edit=Open())), "fault 'Q9 open': there is no part Q9."),
        (lambda: LOOP.plant(Fault(id="R1 x", part="R1", edit=Open(at="coil"))),
         "fault 'R1 x': a joint has no path 'coil'; leave 'at' out."),
        (lambda: LOOP.add([Relay(**RELAY)]).plant(Fault(id="K1 x", part="K1", edit=Open())),
         "fault 'K1 x': a relay has no path ''; say at=coil or at=contact."),
        (lambda: LOOP.plant(Fault(id="G1 x", part="G1", edit=Change(field="watts", value=1.0))),
         "fault 'G1 x': a battery has no figure 'watts'; it has volts, ohms, charge, celsius, aged, dead_cells, "
         "surface_volts."),
        (lambda: LOOP.plant(Fault(id="R1 x", part="R1", edit=ShortTo(start=A, end=Terminal("N1", "u"), ohms=1.0))),
         "fault 'R1 x': metal N1 has no terminal 'u'; it has t."),
        (lambda: LOOP.plant(Fault(id="R1 x", part="R1", edit=Reversed())),
         "fault 'R1 x': a joint works either way round."),
        (lambda: LOOP.add([Relay(**RELAY)]).plant(Fault(id="K1 x", part="K1", edit=Reversed(at="diode"))),
         "fault 'K1 x': a relay has no path 'diode'; say at=coil or at=contact."),
        (lambda: LOOP.plant(Fault(id="G1 x", part="G1", edit=Spare(figures=(("volts", 6.0), ("cca", 1.0))))),
         "fault 'G1 x': a battery has no figure 'cca'; it has volts, ohms, charge, celsius, aged, dead_cells, "
         "surface_volts."),
        (lambda: LOOP.plant(Fault(id="G1 x", part="G1", edit=Change(field="ohms", value=-1.0))),
         "fault 'G1 x': battery G1: ohms must be more than zero, not -1."),
        (lambda: Ohms(ohms=0.0), "a high resistance must be more than zero ohms, not 0.0."),
        (lambda: ShortTo(start=A, end=B, ohms=0.0),
         "a short needs more than zero ohms, not 0.0; real shorts have a few milliohms."),
    ],
)
def test_faults_that_do_not_fit(make, message):
    assert refused(FaultError, make) == message


def test_nothing_changes_in_place():
    with pytest.raises(dataclasses.FrozenInstanceError):
        LOOP.parts = ()
    planted = LOOP.plant(Fault(id="R1 open", part="R1", edit=Open()))
    assert LOOP.faults == () and len(planted.faults) == 1
    assert "R1" in planted and "Q9" not in planted


def test_a_terminal_reads_back_as_it_is_written():
    assert str(Terminal.read("G1.-")) == "G1.-"
    assert Terminal.read(" K1.86 ") == Terminal("K1", "86")


def test_wire_ohms():
    # 0.5 m of 16 mm², 1.21 mΩ/m: IEC 60228.
    assert Wire(id="W1", title="w", start=A, end=B, mm2=16, metres=0.5, colour="BK").ohms == pytest.approx(0.605e-3)
    assert ohms_per_metre(16.0) == 0.00121


def test_colours_are_read_alone_and_in_pairs():
    # IEC 60757 letters.
    assert colour_name("GNYE") == "green and yellow"
    assert colour_name("BKYE") == "black with yellow"
    assert all(len(letters) in (2, 4) for letters in COLOURS)


def test_relay_amps():
    relay = Relay(**RELAY)
    assert (relay.pull_in_amps, relay.drop_out_amps) == (7 / 80, 3 / 80)


def test_a_machine_file_can_name_every_kind_but_instruments():
    assert set(KINDS) == {
        "battery", "fuse", "wire", "joint", "metal", "switch", "relay", "starter solenoid", "fuel solenoid", "diode",
        "LED", "lamp", "resistor", "glow plug", "motor", "control unit", "alternator", "stator", "regulator-rectifier",
        "magneto", "float charger",
    }
