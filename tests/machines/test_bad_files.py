"""A machine file with a mistake in it: one message, which names the file, the line, the part and what was expected."""

import random
import warnings
from collections import Counter
from itertools import product
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import kit
from kit.circuit import KINDS
from kit.errors import FaultError, KitError, MachineFileError, OperationError, SolveError
from kit.machines import Machine, read_machine
from kit.machines.library import EXAMPLE, FLEET
from kit.machines.loader import build, machine_from_text
from kit.machines.mistakes import read_all_text
from kit.machines.yamlfile import read_text

GOOD = """\
machine: test-board
title: Test board
volts: 12 V
reference: G1.-
parts:
  G1: {kind: battery, title: battery, volts: 12.6 V, ohms: 25 mohm}
  F1: {kind: fuse, title: fuse, amps: 5 A, ohms: 10 mohm}
  S1: {kind: switch, title: switch, ohms: 10 mohm}
  E1: {kind: lamp, title: lamp, watts: 21 W, volts: 13.5 V}
  W1: {kind: wire, title: feed, from: G1.+, to: F1.1, mm2: 1 mm2, metres: 1 m, colour: RD}
  W2: {kind: wire, title: to the switch, from: F1.2, to: S1.1, mm2: 1 mm2, metres: 1 m, colour: RDWH}
  W3: {kind: wire, title: to the lamp, from: S1.2, to: E1.1, mm2: 1 mm2, metres: 1 m, colour: BN}
  W4: {kind: wire, title: ground, from: E1.2, to: G1.-, mm2: 1 mm2, metres: 1 m, colour: BK}
stages:
  board: {about: All of it., parts: [G1, W1, F1, W2, S1, W3, E1, W4]}
controls:
  switch: {title: switch, positions: [off, on], closes: {on: [S1]}}
truth:
  - {when: {switch: off}, then: {E1: out}}
  - {when: {switch: on}, then: {E1: lit}}
points:
  F1.1: {minutes: 1 min, where: fuse holder}
"""
F1 = "  F1: {kind: fuse, title: fuse, amps: 5 A, ohms: 10 mohm}\n"
E1 = "  E1: {kind: lamp"


def before_lamp(line: str) -> str:
    return f"  {line}\n{E1}"


def complaint(text: str) -> str:
    with pytest.raises(MachineFileError) as caught:
        machine_from_text(text, "board.yaml")
    return str(caught.value)


def test_the_good_file_is_good():
    board = machine_from_text(GOOD)
    assert isinstance(board, Machine)
    assert board.operate(switch="on").word("E1") == "lit"


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        # parts
        ("kind: fuse", "kind: fuze",
         f"line 7: F1 is of an unknown kind 'fuze'; the kinds are {', '.join(sorted(KINDS, key=str.lower))}."),
        ("to: F1.1", "to: F1.3", "line 10: wire W1 goes to F1.3: fuse F1 has no terminal '3'; it has 1, 2."),
        ("to: F1.1", "to: F9.1", "line 10: wire W1 goes to F9.1: there is no part F9."),
        ("to: F1.1", "to: F1",
         "line 10: wire W1: 'F1' is not a terminal; write part and terminal with a dot, like K1.86."),
        ("to: F1.1", "to: G1.+", "line 10: wire W1: both ends are G1.+; a wire needs two places."),
        ("  S1: {", "  F1: {", "line 8: 'F1' stands here a second time; ids must differ."),
        ("amps: 5 A", "amps: 5", "line 7: fuse F1, amps: '5' has no unit; write it like '5 amp'."),
        ("amps: 5 A", "amps: 5 V", "line 7: fuse F1, amps: '5 V' is not in amps; write it like '12 A'."),
        ("amps: 5 A", "amps: five", "line 7: fuse F1, amps: 'five' is not a number with a unit; write it like '12 A'."),
        ("amps: 5 A", "amps: [5 A]", "line 7: fuse F1: 'amps' should be a short text."),
        ("amps: 5 A, ", "", "line 7: fuse F1 needs 'amps'."),
        ("amps: 5 A", "amps: 5,5 A",
         "line 7: fuse F1: nothing stands behind '5 A'. Is it the rest of a text with a comma in it, then put all of "
         'the text between "quotation marks"; of a figure, then write a point (12.7 V); or is a colon or a bracket '
         "missing? Here can be kind, title, amps, ohms."),
        ("volts: 12 V\nref", "volts: 230 V\nref",
         "line 3: volts: the kit is for machines of 12 V and 24 V, up to 60 V; what has more is for licensed persons, "
         "under rules that are not taught here."),
        ("amps: 5 A", "amps: 5 A, size: big",
         "line 7: fuse F1 has no 'size'; it can have kind, title, amps, ohms."),
        ("25 mohm", "-25 mohm", "line 6: battery G1: ohms must be more than zero, not -0.025."),
        ("25 mohm", "0 ohm", "line 6: battery G1: ohms must be more than zero, not 0."),
        ("25 mohm", "1e400 ohm", "line 6: battery G1, ohms: '1e400 ohm' is too large to be real."),
        ("25 mohm", "1e-30 ohm", "line 6: battery G1: ohms cannot be 1e-30; no real part is like that."),
        ("colour: BN", "colour: brown",
         "line 12: wire W3: 'brown' is not a colour; use letters such as RD, BK, BU or two of them, BKYE."),
        ("mm2: 1 mm2", "mm2: 3 mm2",
         "line 10: wire W1: there is no 3 mm² cable; the standard sizes are 0.5, 0.75, 1, 1.5, 2.5, 4, 6, 10, 16, 25, "
         "35, 50 mm²."),
        (E1, before_lamp(
            "K1: {kind: relay, title: relay, coil_ohms: 4 ohm, pull_in_volts: 3 V, drop_out_volts: 6 V, "
            "contact_ohms: 1 mohm}"),
         "line 9: relay K1: it must drop out below the volts it pulls in at (pull-in 3 V, drop-out 6 V)."),
        (E1, before_lamp("R1: {kind: diode, title: diode, saturation_amps: 1 uA, emission: two}"),
         "line 9: diode R1: emission should be a plain number, not 'two'."),
        (E1, before_lamp("R1: {kind: diode, title: diode, saturation_amps: 1 uA, emission: nan}"),
         "line 9: diode R1: emission must be between 0.5 and 10, not nan."),
        (E1, before_lamp("X1: {kind: joint, title: clamp, from: Q1.a, to: G1.-, ohms: 1 mohm}"),
         "line 9: joint X1 goes to Q1.a: there is no part Q1."),
        (F1, "  F1: fuse\n", "line 7: parts: 'F1' should hold names and values, like 'name: value'."),
        ("  F1: {", "  F1.a: {", "line 7: 'F1.a' cannot be a part's id; use a letter and a number, like F1."),
        ("  F1: {", "  1: {", "line 5: parts: '1' should be a name in letters."),
        (E1, before_lamp("M1: {kind: motor, title: motor, ohms: 1 ohm, load_amps: 1 A, drag: 0.1, cranking_emf: 9 V}"),
         "line 9: motor M1, drag: '0.1' has no unit; write it like '0.1 A/V'."),
        # the head of the file
        ("reference: G1.-", "reference: G1.x", "line 4: reference G1.x: battery G1 has no terminal 'x'; it has +, -."),
        ("reference: G1.-", "reference: G1",
         "line 4: reference: 'G1' is not a terminal; write part and terminal with a dot, like K1.86."),
        ("title: Test board", "title:", "line 2: the file: nothing stands behind 'title:'; write a short text there."),
        ("title: Test board\n", "", "line 1: the file needs 'title'."),
        ("parts:\n", "partz:\n",
         "line 5: the file has no 'partz'; it can have machine, title, about, volts, reference, parts, stages, "
         "controls, truth, points, faults, cautions, places, engine, cases, data."),
        # stages
        ("[G1, W1, F1,", "[G1, W1,", "line 14: these parts are in no stage: F1."),
        ("[G1, W1,", "[G1, W9, W1,", "line 15: stage board: there is no part W9."),
        ("[G1, W1,", "[G1, G1, W1,", "line 15: stage board: G1 is already in stage board; a part has one stage."),
        # controls
        ("on: [S1]", "on: [E1]", "line 17: control switch closes E1, which is no switch."),
        ("on: [S1]", "on: [S9]", "line 17: control switch closes S9, which is no switch."),
        ("on: [S1]", "up: [S1]", "line 17: control switch has no position 'up'; it has off, on."),
        ("[off, on]", "[off]", "line 17: control switch needs two or more positions, all different."),
        ("  switch: {", "  light switch: {", "line 17: control 'light switch': use letters, digits and _ only."),
        ("{on: [S1]}}", "{on: [S1]}, springs_back: maybe}",
         "line 17: control switch: springs_back is true or false, not 'maybe'."),
        # truth
        ("  - {when: {switch: on}, then: {E1: lit}}", "  - {when: {}, then: {E1: lit}}",
         "line 20: E1 is 'lit' here but 'out' by line 19, both with switch off."),
        ("  - {when: {switch: on}, then: {E1: lit}}\n", "",
         "line 19: the truth table does not say what E1 does with switch on."),
        ("{E1: lit}", "{E1: dim}",
         "line 20: E1 should be 'dim' with switch on, but the circuit as drawn makes it 'lit'."),
        ("{E1: out}", "{E1: out, W1: lit}",
         "line 19: W1 should be 'lit' with switch off, but the circuit as drawn makes it 'nothing a person can see'."),
        ("when: {switch: on}", "when: {key: on}", "line 20: there is no control 'key'; there are switch."),
        ("when: {switch: on}", "when: {switch: up}", "line 20: switch cannot be 'up'; it can be off or on."),
        ("{E1: lit}", "{E7: lit}", "line 20: there is no part E7."),
        # points
        ("  F1.1: {", "  F1.7: {",
         "line 22: points: F1.7 is not a terminal: fuse F1 has no terminal '7'; it has 1, 2."),
        ("  F1.1: {", "  F9.1: {", "line 22: points: F9.1 is not a terminal: there is no part F9."),
        ("minutes: 1 min", "minutes: 1", "line 22: points F1.1, minutes: '1' has no unit; write it like '1 minute'."),
    ],
)
def test_one_mistake_one_message(old, new, message):
    assert GOOD.count(old) >= 1
    assert complaint(GOOD.replace(old, new, 1)) == f"board.yaml {message}"


def test_every_one_of_these_mistakes_is_among_all_that_are_found():
    """The same table through the reader that looks for all mistakes: it finds each, and seldom blames anything else."""
    rows = next(mark for mark in test_one_mistake_one_message.pytestmark if mark.name == "parametrize").args[1]
    assert len(rows) >= 40 and len({message.split(": ", 1)[1] for _, _, message in rows}) >= 40
    more = 0
    for old, new, message in rows:
        read = read_all_text(GOOD.replace(old, new, 1), "board.yaml")
        assert read.machine is None and f"board.yaml {message}" in read.mistakes
        more += len(read.mistakes) > 1
    # A doubled id that was another's, and a word in the truth table of a part that shows none.
    assert more == 2


@pytest.mark.parametrize(
    ("more", "message"),
    [
        ("faults:\n  F1 melted: {looks: black}\n",
         "line 24: there is no fault 'F1 melted'; F1 can have F1 blown, F1 high resistance 5 ohm, "
         "F1 high resistance 50 kohm, F1 wrong spare 2 A, F1 wrong spare 10 A."),
        ("faults:\n  F9 blown: {looks: black}\n", "line 24: there is no fault 'F9 blown'; nor a part F9."),
        ("faults:\n  W3 open: {leads_to: F1 melted}\n",
         "line 24: there is no fault 'F1 melted'; F1 can have F1 blown, F1 high resistance 5 ohm, "
         "F1 high resistance 50 kohm, F1 wrong spare 2 A, F1 wrong spare 10 A."),
        ("faults:\n  W3 open: {look: black}\n",
         "line 24: faults W3 open has no 'look'; it can have leads_to, looks, cause, repair, bridge, change."),
        ("points: {}\n", "line 23: 'points' stands here a second time; ids must differ."),
        ("cautions: {crank: {a: b}}\n", "line 23: cautions: 'crank' should be a short text."),
        ("places: 5\n", "line 23: the file: 'places' should hold names and values, like 'name: value'."),
        ("---\nmachine: second\n",
         "line 23: '---' begins a second document here; a machine file is a single one."),
    ],
)
def test_a_mistake_further_down(more, message):
    assert complaint(GOOD + more) == f"board.yaml {message}"


NAMES_AND_VALUES = "line 1: a machine file holds names and values; it should start with 'machine: …'."


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", NAMES_AND_VALUES),
        ("# nothing yet\n", NAMES_AND_VALUES),
        ("Dear instructor, the machine is in the post.\n", NAMES_AND_VALUES),
        ("- a\n- b\n", NAMES_AND_VALUES),
        ("machine: [a, b\nparts: {",
         "line 2: this cannot be read (expected ',' or ']', but got ':'); is a bracket, a quote or a colon missing "
         "here or just above?"),
        (GOOD.replace("  F1:", "\tF1:"), "line 7: there is a tab here; use spaces."),
        ("machine: a\ntitle: b\x00c\n", "line 2: there is a character here that is no text."),
        ("a: &a [x, x]\nb: [*a, *a]\n", "line 1: '&' and '*' short cuts are not allowed; write the values out."),
        ("machine: x\nb: *a\n", "line 2: '&' and '*' short cuts are not allowed; write the values out."),
        ("machine: x\ntitle: !!python/object/apply:os.getcwd []\n",
         "line 2: '!' tags are not allowed; write plain values."),
        ("machine: x\nparts:\n  " + "[" * 100 + "]" * 100,
         "line 3: entries are nested too deeply for a machine file."),
        ("machine: " + "[" * 50_000, "line 1: entries are nested too deeply for a machine file."),
        ("#" * 400_001, "is too large for a machine file; it should be plain text of some hundred lines."),
        ("machine: x\ntitle: x\nvolts: 12 V\nreference: G1.-\nparts: {}\n", "line 5: a machine needs parts."),
    ],
)
def test_not_a_machine_file_at_all(text, message):
    assert complaint(text) == f"board.yaml {message}"


def test_a_bomb_of_aliases_is_refused_before_it_goes_off():
    # Nine lines that would stand for a thousand million entries.
    lines = ["a0: &a0 [x, x, x, x, x, x, x, x, x, x]"]
    lines += [f"a{n}: &a{n} [{', '.join([f'*a{n - 1}'] * 10)}]" for n in range(1, 9)]
    assert complaint("\n".join(lines)).startswith("board.yaml line 1: '&' and '*' short cuts are not allowed")


def test_a_bomb_of_controls_is_refused_before_it_is_solved():
    more = "".join(f"  c{n}: {{title: c, positions: [a, b], closes: {{}}}}\n" for n in range(20))
    assert complaint(GOOD.replace("truth:\n", more + "truth:\n")) == (
        "board.yaml line 16: the controls have 2,097,152 positions together; a machine may have 4,096."
    )


def test_a_circuit_that_finds_no_rest_names_the_file_too(monkeypatch):
    def no_rest(*_, **__):
        raise SolveError("no rest")

    monkeypatch.setattr("kit.machines.operation.come_to_rest", no_rest)
    assert complaint(GOOD) == (
        "board.yaml line 19: with switch off the circuit finds no rest; look for a figure of the wrong size."
    )


NOT_TEXT = "a letter here is not UTF-8; save the file as plain text with the encoding UTF-8."


@pytest.mark.parametrize(
    ("content", "message"),
    [
        (bytes(range(256)), f"some.yaml line 2: {NOT_TEXT}"),
        (b"#" * 1_600_001, "some.yaml is too large for a machine file; it should be plain text of some hundred lines."),
        (b"\x89PNG\r\n\x1a\n\x00\x00", f"some.yaml line 1: {NOT_TEXT}"),
    ],
)
def test_binary_and_huge_files(tmp_path: Path, content, message):
    path = tmp_path / "some.yaml"
    path.write_bytes(content)
    with pytest.raises(MachineFileError) as caught:
        read_machine(path)
    assert str(caught.value) == message


def test_no_file_and_no_machine(tmp_path: Path):
    with pytest.raises(MachineFileError, match=r"^gone\.yaml cannot be read: No such file or directory\.$"):
        read_machine(tmp_path / "gone.yaml")
    with pytest.raises(OperationError, match=r"^there is no machine 'orchard-bkie'; there are .*orchard-bike"):
        kit.machine("orchard-bkie")


def test_asking_a_good_machine_for_what_it_has_not():
    bike = kit.machine("orchard-bike")
    for asked, error, message in [
        (lambda: bike.operate(ley="on"), OperationError,
         "orchard-bike has no control 'ley'; it has key, stop_switch, start_button, clutch_lever, gear, stand."),
        (lambda: bike.operate(key="start"), OperationError, "key cannot be 'start'; it can be off or on."),
        (lambda: bike.operate("F1 open"), FaultError,
         "orchard-bike has no fault 'F1 open'; F1 can have: F1 blown, F1 high resistance 5 ohm, "
         "F1 high resistance 50 kohm, F1 wrong spare 10 A, F1 wrong spare 60 A."),
        (lambda: bike.operate("Z1 open"), FaultError, "orchard-bike has no fault 'Z1 open'; there is no part Z1."),
    ]:
        with pytest.raises(error) as caught:
            asked()
        assert str(caught.value) == message


@pytest.mark.parametrize(
    "text", ["\ufeff" + GOOD, GOOD.replace("\n", "\r\n"), GOOD.rstrip(), GOOD.replace("title: Test board", "title: 7")]
)
def test_harmless_differences_are_read(text):
    assert machine_from_text(text).operate(switch="on").word("E1") == "lit"


# --- mutations of the bike's own file: a Machine or a MachineFileError, never anything else

LINES = (FLEET / "orchard-bike.yaml").read_text(encoding="utf-8").splitlines()
SCRAPS = ("", "  ", "\t", "- ", "{", "}", "[", "]", ":", ",", "'", '"', "&a", "*a", "!x", "0", "-1", "1e9", "K1.86",
          "F1", "on", "ohm", "mohm", "null", "\x01", "Ω", "---", "#", "|", "? ")


@st.composite
def broken_bikes(draw) -> str:
    lines = list(LINES)
    for _ in range(draw(st.integers(1, 3))):
        at = draw(st.integers(0, len(lines) - 1))
        match draw(st.sampled_from(["drop", "twice", "swap", "cut", "scrap", "token"])):
            case "drop":
                del lines[at]
            case "twice":
                lines.insert(draw(st.integers(0, len(lines))), lines[at])
            case "swap":
                other = draw(st.integers(0, len(lines) - 1))
                lines[at], lines[other] = lines[other], lines[at]
            case "cut":
                lines[at] = lines[at][: draw(st.integers(0, max(len(lines[at]), 1)))]
            case "scrap":
                where = draw(st.integers(0, len(lines[at])))
                lines[at] = lines[at][:where] + draw(st.sampled_from(SCRAPS)) + lines[at][where:]
            case "token":
                words = lines[at].split(" ")
                words[draw(st.integers(0, len(words) - 1))] = draw(st.sampled_from(SCRAPS))
                lines[at] = " ".join(words)
    return "\n".join(lines) + "\n"


@given(broken_bikes())
@settings(max_examples=20)
def test_a_broken_bike_file_is_a_machine_or_a_message(text):
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        try:
            made = machine_from_text(text, "bike.yaml")
        except KitError as error:
            assert isinstance(error, MachineFileError)
            assert str(error).startswith("bike.yaml") and "\n" not in str(error) and str(error).endswith((".", "?"))
        else:
            assert isinstance(made, Machine)


# --- three hundred seeded mutations of everything there is, without the luck of a draw

SHELF = {path.stem: path.read_text(encoding="utf-8") for path in (EXAMPLE, *sorted(FLEET.glob("*.yaml")))}
# The small ones often: each of theirs is read whole, and all its mistakes are looked for.
OFTEN = {"example": 130, "bench-board": 70}
RARELY = 20
MUTATIONS = [(name, seed) for name in SHELF for seed in range(OFTEN.get(name, RARELY))]


def mutated(name: str, seed: int) -> str:
    """A file with one to four slips of the hand in it: lines lost, doubled, moved, cut, letters and words changed."""
    rng = random.Random(f"{name} {seed}")
    lines = SHELF[name].splitlines()
    for _ in range(rng.randint(1, 4)):
        at = rng.randrange(len(lines))
        match rng.choice(("lost", "doubled", "moved", "cut", "letter", "word", "scrap")):
            case "lost":
                del lines[at]
            case "doubled":
                lines.insert(rng.randrange(len(lines)), lines[at])
            case "moved":
                lines.insert(rng.randrange(len(lines)), lines.pop(at))
            case "cut":
                lines[at] = lines[at][: rng.randint(0, len(lines[at]))]
            case "letter":
                where = rng.randint(0, len(lines[at]))
                lines[at] = lines[at][:where] + rng.choice("abAB019.,:-{}[]' ") + lines[at][where + 1:]
            case "word":
                words, other = lines[at].split(" "), rng.choice(lines).split(" ")
                words[rng.randrange(len(words))] = rng.choice(other)
                lines[at] = " ".join(words)
            case "scrap":
                where = rng.randint(0, len(lines[at]))
                lines[at] = lines[at][:where] + rng.choice(SCRAPS) + lines[at][where:]
    return "\n".join(lines) + "\n"


def test_there_are_three_hundred_of_them():
    assert len(MUTATIONS) == 300 == len(set(MUTATIONS))


@pytest.mark.parametrize("name", SHELF)
def test_a_mutated_file_is_a_machine_or_a_message(name):
    """The big ones are read but not solved: their truth tables take a second each, and are no matter of slips."""
    ends = Counter()
    for seed in range(OFTEN.get(name, RARELY)):
        text = mutated(name, seed)
        with warnings.catch_warnings():
            warnings.simplefilter("error")
            try:
                whole = name in OFTEN
                made = machine_from_text(text, "own.yaml") if whole else build(read_text(text, "own.yaml"), text)
                first = ""
            except KitError as error:
                assert isinstance(error, MachineFileError), (seed, error)
                first = str(error)
                assert first.startswith("own.yaml") and "\n" not in first and first.endswith((".", "?")), (seed, first)
            else:
                assert isinstance(made, Machine)
            ends["message" if first else "machine"] += 1
            if name in OFTEN and seed % 3 == 0:
                read = read_all_text(text, "own.yaml")
                assert (read.machine is None) == bool(first), seed
                # The first mistake is among them all, and none is told twice.
                assert not first or first in read.mistakes, (seed, first, read.mistakes)
                assert len(set(read.mistakes)) == len(read.mistakes)
    assert ends["message"] >= ends["machine"] >= (name in OFTEN)


LARGE, SMALL = ("1e15", "1e-18"), ("1", "0")


@pytest.mark.parametrize(("volts", "ohms", "amps", "watts"), [*product(LARGE + SMALL, repeat=4)])
def test_wild_figures_are_a_machine_or_a_message(volts, ohms, amps, watts):
    text = (
        GOOD.replace("volts: 12.6 V", f"volts: {volts} V").replace("25 mohm", f"{ohms} ohm")
        .replace("amps: 5 A", f"amps: {amps} A").replace("watts: 21 W", f"watts: {watts} W")
    )
    try:
        machine_from_text(text, "board.yaml")
    except MachineFileError as error:
        assert str(error).startswith("board.yaml line ")
