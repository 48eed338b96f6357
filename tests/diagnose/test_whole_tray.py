"""The rest of the tray in an outcome table says what a learner reads with it on the bay, act by act."""

import random

import pytest

import kit
from kit.circuit import Fuse
from kit.diagnose import currents, isolated, leads, running
from kit.diagnose.measured import FUSE_MINUTES, Row
from kit.diagnose.suspects import suspects
from kit.exercises.acts import MoveFuse, Operate, Probe, Unplug
from kit.exercises.minutes import minutes_of
from kit.exercises.tray import ALIKE, TRAY
from kit.exercises.work import work

BIKE, TENDER = kit.machine("orchard-bike"), kit.machine("harbour-tender")
TOOLS = {"running volts": "volts", "running ac volts": "ac volts", "running clamp": "clamp"}


def columns(machine, chosen):
    every = (Row(suspect=(), faults=(), share=0.0),
             *(Row(suspect=one, faults=tuple(map(machine.fault, one)), share=1.0) for one in chosen))
    tried = leads.to_try(machine)
    started = tuple(machine.start(*row.faults) for row in every)
    found = (*currents.columns(machine, every, tried), *isolated.columns(machine, every, tried),
             *running.columns(machine, every, started))
    return every, found


def on_the_bay(machine, faults, column):
    """What the same test shows there: the step that has the reading. The instrument goes on before start is pressed."""
    kind, places, where, off = column.key
    loose = [part for part in off.replace(" and ", " ").split() if part]
    acts = [MoveFuse(part=part, to="out") if isinstance(machine.circuit[part], Fuse) else Unplug(part=part)
            for part in loose]
    probe = Probe(instrument=TOOLS.get(kind, kind), leads=places)
    if kind.startswith("running"):
        started = {name: position for moves in machine.engine.start for name, position in moves.items()}
        acts += [Operate(control=name, position=position) for moves in machine.engine.start
                 for name, position in moves.items()]
        acts += [Operate(control=name, position=machine.controls[name].let_go(position))
                 for name, position in started.items() if machine.controls[name].let_go(position) != position]
        acts.append(probe)
    else:
        moved = [(name, position) for name, position in where if position != machine.controls[name].rest]
        moved.sort(key=lambda move: machine.controls[move[0]].let_go(move[1]) != move[1])
        acts += [probe, *(Operate(control=name, position=position) for name, position in moved)]
    *_, last = work(machine, faults, acts)
    return last


def agrees(words, step):
    """Whether an outcome's words hold what was read."""
    told = step.told[2] if step.told[0] == "noticed" else step.told
    if told[0] == "text":
        return words in (told[1], "the digits jump")
    figures, unit = words.removeprefix("about ").replace(" AC", "").rsplit(" ", 1)
    low, *high = map(float, figures.split(" to "))
    value = told[1] / (1000.0 if unit == "kΩ" else 1.0)
    return low - 0.06 <= value <= (high or [low])[0] + 0.06


@pytest.mark.parametrize("machine", [BIKE, TENDER], ids=lambda each: each.id)
def test_every_cell_is_what_the_bay_shows(machine):
    """Eighty cells of clamp, series meter, load tester, hydrometer and ohms, engine standing and running."""
    rng = random.Random(f"tray {machine.id}")
    every, found = columns(machine, rng.sample(suspects(machine), 12))
    kinds = {column.kind for column in found}
    assert {"clamp", "amps", "load tester", "ohms", "running volts"} <= kinds
    looked = 0
    for _ in range(80):
        column, f = rng.choice(found), rng.randrange(len(every))
        words = column.shown[column.cells[f, 0]]
        if words == running.NOT_RUNNING or column.kind == "diode test":
            continue
        step = on_the_bay(machine, every[f].suspect, column)
        assert agrees(words, step) or words == currents.METER_GONE, (column.name, every[f].suspect, words, step.shown)
        looked += 1
    assert looked > 40


def test_a_test_shows_the_faults_it_is_for():
    """The decisive tests of trade.md that no lamp or meter on volts can do, on the bike."""
    faults = (("R1 shorted",), ("R1 open",), ("G1 sulphated",), ("M1 open",), ("K1 wrong spare 24 V coil",))
    every, found = columns(BIKE, faults)
    by_name = {row.suspect: f for f, row in enumerate(every)}

    def shows(kind, at, *suspect):
        column = next(each for each in found if each.kind == kind and at in each.name)
        return column.shown[column.cells[by_name[suspect], 0]]

    # A silicon diode at a milliamp (common practice), one way only; shorted both ways nought, open both ways OL.
    assert shows("diode test", "R1") == "OL one way, about 0.5 V the other"
    assert shows("diode test", "R1", "R1 shorted") == "about 0.0 V one way, about 0.0 V the other"
    assert shows("diode test", "R1", "R1 open") == "OL one way, OL the other"
    # Half the cold cranking amps leave 9.6 V or more (references.md, common practice); a sulphated one does not.
    sound, ill = (float(shows("load tester", "G1", *one).split()[1]) for one in ((), ("G1 sulphated",)))
    assert sound >= 9.6 > ill
    # trade.md's bike: 90 A while cranking; brushes through, none. Its coil has 4 ohms; a 24 V relay's four times that.
    crank = next(column for column in found if column.key[0] == "clamp" and "W9" in column.key[1]
                 and dict(column.key[2])["start_button"] == "pressed")
    words = [crank.shown[crank.cells[by_name[one], 0]] for one in ((), ("M1 open",))]
    assert words == ["about 90.0 A", "about 0.0 A"]
    assert shows("ohms", "K1.86") == "about 4.2 Ω"
    assert shows("ohms", "K1.86", "K1 wrong spare 24 V coil") == "about 16.2 Ω"


def test_minutes_are_the_cards_and_no_band_is_finer_than_a_reader():
    for minutes, name in ((currents.CLAMP_MINUTES, "clamp"), (currents.SERIES_MINUTES, "amps"),
                          (currents.TESTER_MINUTES, "load tester"), (currents.HYDROMETER_MINUTES, "hydrometer"),
                          (running.AC_MINUTES, "ac volts")):
        assert TRAY[name].minutes == minutes
    assert minutes_of("unplug") == currents.UNPLUG_MINUTES and minutes_of("fuse") == FUSE_MINUTES
    for apart, name in ((currents.CLAMP_APART, "clamp amps"), (currents.SERIES_APART, "amps"),
                        (currents.TESTER_APART, "tester volts"), (isolated.OHMS_APART, "ohms"),
                        (isolated.DIODE_APART, "diode test"), (running.AC_APART, "ac volts")):
        # Never finer than what a reader calls different.
        assert all(mine >= theirs for mine, theirs in zip(apart, ALIKE[name], strict=True)), name


def test_no_lamp_goes_on_a_signal_nor_on_what_a_contact_joins_to_a_kill_wire():
    """trade.md 8 and 14: a lamp never on a signal, battery volts never on a kill wire, along their wires as well."""
    mower, loader = kit.machine("ride-on-mower"), kit.machine("compact-loader")
    kept_off = {str(point) for point in mower.points if not leads.lamp_may_touch(mower, str(point))}
    # The key's kill contact, both interlock switches and the relay between them; their ground sides are free.
    assert kept_off == {"S3.1", "B4.1", "B5.1", "K2.30", "K2.87a", "X15.tab"} <= leads.kill_circuits(mower)
    assert not leads.lamp_may_touch(loader, "B1.1") and leads.lamp_may_touch(loader, "B1.2")
    # Along an output's wire it may, on the unit's own pin not; supply and ground always.
    assert leads.lamp_may_touch(loader, "K1.85") and not leads.lamp_may_touch(loader, "K2.start")
    assert leads.lamp_may_touch(loader, "K2.supply") and not leads.kill_circuits(loader)
