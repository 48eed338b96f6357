"""``check``, ``example`` and ``schema`` as an instructor with a machine of their own meets them."""

import re
from xml.etree import ElementTree

import pytest
from click.testing import CliRunner

import kit
from kit.cli.checking import own_file, own_machine, report
from kit.cli.commands import kit as commands
from kit.diagnose.alike import LAMP, LAMP_AND_METER, NOTICED, alike, unneeded_points
from kit.diagnose.table import OutcomeTable
from kit.diagnose.trials import machine_table
from kit.machines.doings import doings, ways
from kit.machines.library import EXAMPLE
from kit.machines.limits import worst_drops
from kit.machines.loader import machine_from_text
from kit.machines.mistakes import read_all, read_all_text
from kit.machines.schema import FILE

TEXT = EXAMPLE.read_text(encoding="utf-8")
PUMP = machine_from_text(TEXT)


def run(*words):
    return CliRunner().invoke(commands, [str(word) for word in words])


@pytest.fixture
def pump(tmp_path):
    path = tmp_path / "pump.yaml"
    path.write_text(run("example").output, encoding="utf-8")
    return path


def line(snippet: str) -> int:
    """The line of the example something stands on, counted from 1."""
    return TEXT[: TEXT.index(snippet)].count("\n") + 1


def changed(path, *pairs):
    text = path.read_text(encoding="utf-8")
    for old, new in pairs:
        assert text.count(old) >= 1, old
        text = text.replace(old, new)
    path.write_text(text, encoding="utf-8")
    return path


def test_the_example_is_sound_draws_and_its_case_decides(pump, tmp_path):
    got = run("check", pump, "--quiet", "--out", tmp_path / "page")
    assert got.exit_code == 0 and not got.stderr
    said = got.stdout
    assert "Sound\n  Well pump (well-pump), 12 V: 22 parts, 5 stages, 2 controls, 18 test points" in said
    assert "key on, start button pressed\n      The start relay clicks. The engine cranks at full speed." in said
    assert "relay contacts burnt: its tests decide; they part it from a sound machine and M1 open." in said
    # A wire, the lamp and its ground in one line have no point between them; a hand must unplug or look.
    assert "  W9 open = P1 open = W10 open" in said
    assert re.search(r"Points no fault needs .*: .*X1\.clamp", said)
    names = {path.name for path in (tmp_path / "page").iterdir()}
    stages = {f"stage-{number}.svg" for number in range(1, 6)}
    assert names == {"index.html", "blocks.svg", "sheet.svg", "whereabouts.svg", *stages}
    for path in (tmp_path / "page").glob("*.svg"):
        assert ElementTree.parse(path).getroot().tag.endswith("svg")
    page = (tmp_path / "page" / "index.html").read_text(encoding="utf-8")
    assert page.count("<img") == page.count('alt="') == 8 and "its tests decide" in page
    assert not re.search(r"https?://", page)


def test_two_more_points_part_what_was_alike():
    """A wire, a lamp and its ground: with a point on either side of the lamp each is told from the others."""
    more = '  P1.1: {minutes: 3 min, where: "panel lamp"}\n  P1.2: {minutes: 3 min, where: "panel lamp, ground"}\n'
    own = machine_from_text(TEXT.replace("  M1.stud: {", f"{more}  M1.stud: {{"))
    before, after = (
        alike(machine_table(known, sound=True, swaps=False), LAMP_AND_METER) for known in (PUMP, own)
    )
    panel = {"W9 open", "P1 open", "W10 open"}
    assert panel in [set(group) for group in before]
    assert not any(panel & set(group) for group in after)


def test_every_mistake_is_told_at_once_with_its_line(pump):
    changed(pump, ("amps: 10 A", "amps: 10"), ("colour: BN", "colour: BROWN"), ("on: [S1]", "on: [P1]"),
            ("  M1.body: {minutes: 2 min", "  M1.bottom: {minutes: 2 min"), ("faults: [K1 contacts burnt 0.5 ohm]",
                                                                        "faults: [K1 haunted]"))
    got = run("check", pump, "--quiet")
    assert got.exit_code == 2
    lines = got.stdout.splitlines()
    assert lines[0] == "Not sound yet: 5 mistakes"
    assert [int(re.match(r"  pump\.yaml line (\d+): ", told)[1]) for told in lines[1:6]] == [
        line("  F1: {kind"), line("  W4: {kind"), line("  key: {title"), line("  M1.body: {"), line("    faults: [K1"),
    ]
    assert "has no unit" in lines[1] and "'BROWN' is not a colour" in lines[2] and "which is no switch" in lines[3]
    assert "motor M1 has no terminal 'bottom'" in lines[4] and "there is no fault 'K1 haunted'" in lines[5]


def test_what_only_follows_from_a_mistake_is_not_told():
    """The fuse cannot be read: its two wires, its stage, its points and a case that names it are not to blame."""
    for old, new in (("kind: fuse, title: fuse", "kind: fuze, title: fuse"), ("  F1: {kind", "  F1.a: {kind")):
        read = read_all_text(TEXT.replace(old, new), "pump.yaml")
        (only,) = read.mistakes
        assert only.startswith(f"pump.yaml line {line('  F1: {kind')}: ") and read.machine is None and not read.held


def test_rules_that_are_not_true_are_all_told_once_each():
    text = TEXT.replace("then: {P1: lit}", "then: {P1: out}").replace("M1: cranks, engine", "M1: still, engine")
    read = read_all_text(text, "pump.yaml")
    assert read.held and [mistake.split(": ")[0] for mistake in read.mistakes] == [
        f"pump.yaml line {line(rule)}" for rule in ("  - {when: {key: on, start", "  - {when: {key: on}")
    ]
    assert all("but the circuit as drawn makes it" in mistake for mistake in read.mistakes)


def test_ids_that_stand_twice_and_a_file_that_is_no_yaml():
    read = read_all_text(TEXT.replace("  W3: {", "  W2: {").replace("  P1: {", "  P1: {title: x, "), "pump.yaml")
    assert [mistake for mistake in read.mistakes if "second time" in mistake] == [
        f"pump.yaml line {line('  W3: {')}: 'W2' stands here a second time; ids must differ.",
        f"pump.yaml line {line('  P1: {')}: 'title' stands here a second time; ids must differ.",
    ]
    (only,) = read_all_text(TEXT.replace("parts:\n", "parts: [\n"), "pump.yaml").mistakes
    assert re.match(r"pump\.yaml line \d+: this cannot be read", only)


def test_what_wants_mending_ends_with_1(pump):
    changed(pump, ('shows: "over 5 V"', 'shows: "under 5 V"'), ("mm2: 16 mm2, metres: 0.5 m, colour: BK",
                                                             "mm2: 10 mm2, metres: 2.5 m, colour: BK"))
    got = run("check", pump, "--quiet", "--quick")
    assert got.exit_code == 1
    assert re.search(r"relay contacts burnt: test 1 \(volts\) shows '\d.* V', not 'under 5 V'", got.stdout)
    # (calc) 2.5 m of 10 mm² (IEC 60228: 1.91 mohm a metre) and 0.7 mohm of joints, 90 A and the coil's 3: 0.51 V.
    assert re.search(r"ground side of M1 loses 0\.5[01] V, 0\.3 V at the most", got.stdout)
    assert got.stdout.endswith("2 things to mend.\n") and "look alike" not in got.stdout


def test_a_place_on_the_drawing_that_does_not_fit_is_told(pump):
    changed(pump, ("# 9. Data", "places:\n  panel: {sheet: [20, 8]}\n# 9. Data"))
    got = run("check", pump, "--quiet", "--quick")
    assert got.exit_code == 1 and "stage-5 cannot be drawn: well-pump, places, panel, P1: no place" in got.stdout


def test_a_switch_that_nothing_closes_is_told(pump):
    changed(pump, ("on: [S1]", ""))
    said = run("check", pump, "--quiet").stdout
    assert "P1 should be 'lit' with key on" in said and "  No control closes S1: always open." in said


def test_a_file_written_by_powershell_is_read(pump):
    pump.write_bytes(pump.read_text(encoding="utf-8").replace("\n", "\r\n").encode("utf-16"))
    assert kit.machine(str(pump)).digest == PUMP.digest
    assert read_all(pump).mistakes == ()


def test_the_page_of_your_own_machine_begins_with_the_example(tmp_path, monkeypatch, capsys):
    monkeypatch.setenv("KIT_RECORDS", str(tmp_path / "work"))
    path = own_file()
    assert path.read_text(encoding="utf-8") == TEXT and path.with_name(FILE.name).is_file()
    changed(path, ("title: Well pump", "title: Mine"))
    assert own_file() == path and own_machine().title == "Mine"
    changed(path, ("kind: fuse", "kind: fuze"))
    assert own_machine().title == "Well pump" and "has a mistake in it" in capsys.readouterr().out


def test_report_says_what_the_command_prints(pump):
    assert "\n".join(report(pump)) + "\n" == run("check", pump, "--quick", "--quiet").stdout


def test_the_schema_is_printed_as_it_lies_there():
    assert run("schema").output == FILE.read_text(encoding="utf-8")
    assert TEXT.splitlines()[0].endswith(f"$schema={FILE.name}")


def test_a_machine_of_your_own_by_its_file(pump):
    own = kit.machine(str(pump))
    assert own.id == "well-pump" and kit.machine(str(pump)) is own
    assert own.operate(key="on", start_button="pressed").running
    assert "The engine fires and runs." in run("operate", pump, "key=on", "start_button=pressed").output
    changed(pump, ("title: Well pump", "title: Deep well pump"))
    assert kit.machine(str(pump)).title == "Deep well pump"
    got = run("operate", pump.with_name("gone.yaml"))
    assert got.exit_code == 2 and "gone.yaml cannot be read" in got.stderr


# --- what stands behind it


def test_positions_are_told_once_where_a_person_notices_the_same():
    told = doings(PUMP, [PUMP.operate(**where) for where in PUMP.all_positions()])
    assert [doing.number for doing in told] == [2, 1, 1]
    assert [[dict(way) for way in doing.ways] for doing in told] == [
        [{"key": ("off",), "start_button": ("released", "pressed")}],
        [{"key": ("on",), "start_button": ("released",)}], [{"key": ("on",), "start_button": ("pressed",)}],
    ]


def test_ways_hold_each_position_and_no_other():
    """Every set of positions of three controls, 2 x 2 x 3 of them, by brute force over a spread of sets."""
    from itertools import product

    known = [("a", "b"), ("c", "d"), ("e", "f", "g")]
    everything = list(product(*known))
    for number in range(1, 4096, 37):
        members = [position for at, position in enumerate(everything) if number >> at & 1]
        held = [set(product(*way.values())) for way in ways(known, ["x", "y", "z"], members)]
        assert set().union(*held) == set(members) and len(held) <= len(members)


def test_drops_of_the_sound_pump_by_hand():
    """(calc) 90 A through 0.2 mohm of clamp: 18 mV; 0.5 m of 16 mm² (1.21 mohm a metre, IEC 60228) and three joints."""
    now = PUMP.operate(key="on", start_button="pressed")
    drops, amps = {drop.what.split(" (")[0]: drop for drop in worst_drops(PUMP, [now])}, now.amps["M1"]
    assert amps == pytest.approx(90, rel=0.02)
    assert drops["joint X1"].volts == pytest.approx(0.018, rel=0.08) and drops["joint X1"].limit == 0.1
    assert drops["ground side of M1"].volts == pytest.approx(amps * (0.5 * 1.21e-3 + 0.7e-3), rel=0.08)
    assert drops["contact K1"].volts == pytest.approx(amps * 1e-3, rel=0.02) and drops["contact K1"].limit == 0.2
    assert not any(drop.over for drop in drops.values())


def test_alike_and_unneeded_on_a_table_made_by_hand():
    """a and b part only by the meter, c and d by nothing, e lies on an edge: its reading may be c's."""
    outcomes = [[0, 0, 0], [0, 0, 1], [0, 1, 2], [0, 1, 2], [0, 1, 2]]
    cells = [[[o, o] for o in row] for row in outcomes]
    cells[4][2] = [2, 3]
    chance = [[[1.0, 0.0]] * 3 for _ in range(5)]
    chance[4][2] = [0.5, 0.5]
    table = OutcomeTable.from_arrays(
        cells, likelihoods=chance, suspects="abcde", kinds=("operate", "lamp", "volts"),
        keys=(("operate", (), (), ""), ("lamp", ("G1.-", "S1.1"), (), ""), ("volts", ("G1.-", "S1.2"), (), "")),
    )
    assert alike(table, NOTICED) == (tuple("abcde"),)
    assert alike(table, LAMP) == (("a", "b"), ("c", "d", "e"))
    assert alike(table, LAMP_AND_METER) == (("c", "d", "e"),)
    spare = unneeded_points(PUMP, table)
    # The lamp tells nothing the meter does not tell; the case has its leads on the relay's studs.
    assert "S1.1" in spare and not {"S1.2", "K1.30", "K1.87", "G1.-", "G1.+"} & set(spare)


def test_a_file_without_cautions_is_something_to_mend(pump):
    text = pump.read_text(encoding="utf-8")
    pump.write_text(text[: text.index("cautions:")] + text[text.index("# 8. Faults") :], encoding="utf-8")
    got = run("check", pump, "--quiet", "--quick")
    assert got.exit_code == 1 and "It has no cautions" in got.stdout and got.stdout.endswith("1 thing to mend.\n")


def test_a_big_m_where_a_small_one_was_meant_is_pointed_to(pump):
    """M is mega, 10^6, and m is milli, 10^-3 (SI brochure, 9th edition, table 7)."""
    got = run("check", changed(pump, ("amps: 10 A, ohms: 8 mohm", "amps: 10 A, ohms: 8 Mohm")), "--quiet", "--quick")
    assert got.exit_code == 2
    assert f"pump.yaml line {line('  F1: {kind: fuse')}: 8 Mohm: a big M is mega" in got.stdout
