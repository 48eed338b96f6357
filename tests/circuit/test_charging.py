"""Alternator, stator and regulator-rectifier: what they are made of, every state settles, every fault shows."""

import random

import pytest
from chargers import alternator, magnets
from networks import circuit, node, resistor

from kit.circuit import (
    KINDS,
    Alternator,
    Battery,
    Change,
    Fault,
    Joint,
    Open,
    RegulatorRectifier,
    Stator,
    Terminal,
)
from kit.draw import draw
from kit.errors import CircuitError, FaultError
from kit.instruments import ClampMeter, Multimeter, TestLamp
from kit.solve import settle
from kit.solve.branches import network
from kit.solve.case import Case
from kit.solve.kernel import CHARGED, DIODE, LINEAR, SETTLED
from kit.solve.sweep import sweep
from kit.solve.time import run

FIGURES = {"volts": 14.1, "amps": 50.0, "idle_amps": 20.0, "rotor_ohms": 3.5}
BOARDS = (
    alternator(charge="75 %"), alternator(charge="0 %", twenty_four=True), alternator(light="LED"),
    magnets(charge="75 %"), magnets(phases="one", charge="0 %"),
)


def test_they_are_kinds_a_machine_file_may_name():
    assert {KINDS[word] for word in ("alternator", "stator", "regulator-rectifier")} == {
        Alternator, Stator, RegulatorRectifier
    }


@pytest.mark.parametrize(
    ("figures", "says"),
    [
        ({"idle_amps": 60.0}, "cannot give more at idle than fast"), ({"open_diodes": 0.5}, "one diode is open"),
        ({"shorted_diodes": 2.0}, "1 at the most"), ({"rotor_ohms": -1.0}, "more than zero"),
    ],
)
def test_an_alternator_that_cannot_be_is_refused(figures, says):
    with pytest.raises(CircuitError, match=says):
        Alternator(id="G2", title="alternator", **{**FIGURES, **figures})


def test_phases_give_terminals_and_paths():
    one = Stator(id="G2", title="stator", phases="one", ohms=0.2, idle_volts=14.0, fast_volts=30.0, amps=15.0)
    assert [str(end) for end in one.terminals] == ["G2.1", "G2.2"] and one.inside == ("winding",)
    three = RegulatorRectifier(id="T1", title="regulator", volts=14.5, amps=18.0)
    assert [str(end) for end in three.terminals] == ["T1.+", "T1.-", "T1.1", "T1.2", "T1.3"]
    with pytest.raises(FaultError, match="no path"):
        circuit([one], resistor("R1", 0, 1, 1.0)).plant(Fault(id="x", part="G2", edit=Open(at="3")))


def test_nothing_has_a_negative_resistance():
    for board in BOARDS:
        for fault in (None, *board.faults.values()):
            for branch in network(board.circuit.plant(*([fault] if fault else []))).branches:
                # Siemens, ohms or amps, none below nought; only a source (p1 of a linear path) has a direction.
                assert branch.p0 >= 0 and branch.p2 >= 0 and (branch.kind in (LINEAR, CHARGED) or branch.p1 >= 0)
                assert branch.kind != CHARGED or branch.p2 < branch.p0


def test_every_state_settles_and_no_amp_goes_astray():
    rng = random.Random(3)
    for number in range(200):
        board = rng.choice(BOARDS)
        faults = rng.sample(sorted(board.faults), rng.choice((0, 1, 1, 2)))
        now = board.operate(*faults, **{name: rng.choice(each.positions) for name, each in board.controls.items()})
        into: dict = {}
        for branch in network(now.circuit).branches:
            amps = now.amps[branch.name]
            into[branch.a] = into.get(branch.a, 0.0) - amps
            into[branch.b] = into.get(branch.b, 0.0) + amps
        assert max(map(abs, into.values())) < 1e-3, (number, faults, now.positions)
        volts = [value for value in now.volts.values() if value is not None]
        # Nothing a charger makes stands higher than the open stator's peak beside the battery.
        assert max(map(abs, volts)) < 125, (number, faults)


def test_the_careful_way_gives_what_the_kernel_gives():
    from kit.solve import careful, kernel

    for board, speed in ((BOARDS[0], "G2.fast"), (BOARDS[3], "G2.idle")):
        closed = {"S1", "S2", "S11", "S12", "S13", speed}
        quick = settle(board.circuit, closed_switches=closed)
        case = Case(network(board.circuit), closed, quick.state)
        for i, values in case.beating:
            case.p1[i] = values[3]
        assert kernel._newton(*case._network()) == 0
        x, amps = list(case.x), list(case.amps)
        here, step = ([0.0] * len(case.a) for _ in range(2))
        assert careful.settle_carefully(*case._network(), here, step) == SETTLED
        assert case.x == pytest.approx(x, abs=1e-6) and case.amps == pytest.approx(amps, abs=1e-3)


@pytest.mark.parametrize("board", [BOARDS[0], BOARDS[3], BOARDS[4]], ids=["alternator", "three", "one"])
def test_every_fault_of_a_charger_can_be_measured(board):
    """Some reading, look or smell tells each from the sound one; shorted turns only by AC volts, unplugged."""
    plugs = board.controls["plug"].positions if "plug" in board.controls else ("",)
    end = "G2.D+" if board is BOARDS[0] else "G2.2"

    def shown(*faults):
        for plug in plugs[::-1]:
            for engine in ("fast", "stopped"):
                now = board.operate(
                    *faults, engine=engine, key="on", lamps="on", **({"plug": plug} if plug else {})
                )
                yield {(seen.part, seen.word) for seen in now.noticed}
                if plug == "unplugged":
                    yield Multimeter("ac volts", black="G2.1", red=end).read(now).shown
                    yield Multimeter("ohms", black="G2.1", red="X1.frame").read(now).shown
                    continue
                yield ClampMeter(wire="W6", jaw="small").read(now).shown
                yield Multimeter("volts", black="X1.frame", red=end).read(now).shown
                yield Multimeter("ac volts", black="X1.frame", red="G1.+").read(now).shown

    sound = list(shown())
    for fault in board.faults:
        if fault.startswith(("G2 ", "T1 ")):
            assert any(one != other for one, other in zip(shown(fault), sound, strict=False)), fault


def test_a_test_lamp_across_two_phases_lights_on_alternating_volts():
    now = magnets().operate(engine="idle", plug="unplugged")
    assert TestLamp(clip="G2.1", tip="G2.2").read(now).shown == "bright"
    assert TestLamp(clip="X1.frame", tip="G2.1").read(now).shown == "out"


def test_a_sweep_has_what_one_operation_has():
    board = BOARDS[3]
    sets = [frozenset({"S11", "S12", "S13"}), frozenset({"S11", "S12", "S13", "G2.fast", "S2"})]
    swept = sweep([board.circuit], sets)
    for number, closed in enumerate(sets):
        alone = settle(board.circuit, closed_switches=closed)
        place = swept.terminals.index("G1.+")
        assert swept.volts[0, number, place] == pytest.approx(alone.volts["G1.+"], abs=1e-6)
    assert swept.volts[0, 1, place] > 14


def test_in_time_the_lamp_goes_out_as_the_field_builds_up():
    course = run(BOARDS[0].circuit, [(0.0, ["S1"]), (1.0, ["S1", "G2.idle"])], 3.0)
    glow = course.glow("P1")
    before = max(glow[k] for k, at in enumerate(course.seconds) if at < 1.0)
    assert before > 0.7 and glow[-1] < 0.15 and course.volts("G1.+")[-1] > 13.8


def test_a_battery_driven_backwards_keeps_to_its_ohms_where_nothing_charges():
    parts = [
        Battery(id="G1", title="flat", volts=12.6, ohms=0.01, charge=0.5),
        Battery(id="G2", title="other", volts=12.6, ohms=0.01),
        Joint(id="X1", title="x", start=Terminal("G1", "+"), end=Terminal("G2", "+"), ohms=0.01),
        Joint(id="X2", title="x", start=Terminal("G1", "-"), end=Terminal("G2", "-"), ohms=0.01),
        Joint(id="X3", title="x", start=Terminal("G1", "-"), end=node(0), ohms=0.01),
    ]
    found = settle(circuit(parts, resistor("R1", 0, 1, 1.0)))
    assert found.amps["G2"] == pytest.approx(0.4 / (0.015 + 0.01 + 0.02), rel=1e-6)
    assert all(branch.kind in (LINEAR, DIODE) for branch in network(circuit(parts)).branches)


def test_it_can_be_drawn():
    for board in (BOARDS[0], BOARDS[3], BOARDS[4]):
        assert "<svg" in draw(board)._repr_mimebundle_()["image/svg+xml"]


def test_changing_a_figure_that_is_not_there_is_refused():
    with pytest.raises(FaultError, match="no figure"):
        BOARDS[0].circuit.plant(Fault(id="x", part="G2", edit=Change(field="ohms", value=1.0)))
