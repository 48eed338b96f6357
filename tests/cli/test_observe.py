"""``python -m kit observe``: each step of a start, healthy beside faulty, on one screen's width."""

import pytest
from click.testing import CliRunner

from kit.cli.commands import kit as commands
from kit.cli.observing import posts, step, steps
from kit.instruments import Multimeter, TestLamp
from kit.machines import machine

BIKE = machine("orchard-bike")
CRANK = ("key=on", "start_button=pressed")


def observe(*words: str) -> str:
    got = CliRunner().invoke(commands, ["observe", "orchard-bike", *words])
    assert got.exit_code == 0, got.output
    assert max(len(line) for line in got.output.splitlines()) <= 100
    assert got.output == "\n".join(line.rstrip() for line in got.output.splitlines()) + "\n"
    return got.output


def row(printed: str, point: str) -> str:
    return next(line for line in printed.splitlines() if line.startswith(f"     {point} "))


def test_the_steps_come_from_the_machine_s_own_rules():
    titles = [one.title for one in steps(BIKE)]
    assert titles[:3] == ["everything at rest", "key on", "key on, start button pressed"]
    assert "key on, clutch lever pulled, gear first, side stand up, start button pressed" in titles
    # The way it must refuse has nothing else in its way: the stand is up where the lever is what counts.
    assert "key on, gear first, side stand up, start button pressed" in titles
    assert "key on, clutch lever pulled, gear first, start button pressed" in titles
    assert len(titles) == len(set(titles))


def test_what_springs_back_is_held_last():
    one = step(BIKE, BIKE.positions(key="on", start_button="pressed"))
    assert one.held == {"start_button": "pressed"} and "start_button" not in one.set_up
    assert one.positions == dict(BIKE.positions(key="on", start_button="pressed"))


def test_a_healthy_machine_shows_every_reading_once():
    printed = observe(*CRANK)
    assert "Orchard bike, healthy" in printed and "The engine cranks at full speed" in " ".join(printed.split())
    assert "|" not in printed and "<" not in printed
    now = BIKE.operate(key="on").then(start_button="pressed")
    plus, minus = map(str, posts(BIKE))
    for point in ("F1.2", "K1.86", "M1.stud", "X12.eye"):
        assert row(printed, point).split()[1:4] == [
            TestLamp(clip=minus, tip=point).read(now).shown, TestLamp(clip=plus, tip=point).read(now).shown,
            f"{Multimeter('volts', black=minus, red=point).read(now).value:.2f}",
        ]
    assert all(row(printed, str(point)) for point in BIKE.points)


def test_a_fault_stands_beside_the_healthy_machine_and_differences_are_marked():
    printed = observe("key=on", "--fault", "F1 blown")
    # Behind the blown fuse the head lamp's filament leads to ground, so the lamp lights from plus.
    assert row(printed, "F1.2").split() == [
        "F1.2", "bright", "out", "12.69", "V", "|", "out", "<", "bright", "<", "0.00", "V", "<"
    ]
    assert not any(line.startswith("     X12.eye ") for line in printed.splitlines()), "no difference, not shown"
    assert row(printed, "G1.+").count("<") == 1, "12.71 V under the lamps' load, 12.80 V without"
    assert "The wire inside is melted through." in printed
    assert "faulty:  nothing lights, clicks or moves." in printed


def test_what_differs_nowhere_is_one_line_and_all_shows_it():
    short = observe("key=on", "--fault", "B1 stuck open")
    assert "Readings as on the healthy machine: all of them" in short and "F1.2" not in short
    whole = observe("key=on", "--fault", "B1 stuck open", "--all")
    assert row(whole, "F1.2").count("<") == 0 and "|" in row(whole, "F1.2")


def test_a_pair_of_faults():
    printed = observe(*CRANK, "--fault", "G1 sulphated", "--fault", "E1 open")
    assert "with G1 sulphated and E1 open" in printed
    assert "clatters, about" in " ".join(printed.split()) and "flickers" in printed and "~" in row(printed, "G1.+")
    assert "The head lamp is lit" not in printed.split("faulty:")[1]


def test_a_fuse_that_takes_its_seconds_has_melted_when_it_is_measured():
    # About 1.8 times its rating: the steady state of one operation would say it holds.
    printed = observe(*CRANK, "--fault", "K1 coil shorted")
    assert "A faint pop" in printed and row(printed, "F2.2").split()[6] == "out"


def test_the_whole_start_is_tried_for_a_switch_of_the_interlock():
    printed = observe("--fault", "B1 stuck open")
    sections = [part for part in printed.split("\n\n") if part[:1].isdigit()]
    assert len(sections) == len(steps(BIKE))
    in_gear = next(part for part in sections if "clutch lever pulled, gear first, side stand up" in part)
    assert "faulty:" in in_gear and "cranks" not in in_gear.split("faulty:")[1]
    assert sum("faulty:" in part for part in sections) == 1, "in neutral it starts as ever"


def test_a_fault_that_comes_and_goes_is_measured_while_it_is_noticed():
    printed = observe(*CRANK, "--fault", "W7 open when wiggled")
    assert "It comes and goes" in printed and "cranks" not in printed.split("faulty:")[1].split("lamp to -")[0]
    assert row(printed, "K1.86").split() == [
        "K1.86", "bright", "out", "10.46", "V", "|", "out", "<", "bright", "<", "0.00", "V", "<"
    ]


def test_smoke_a_hand_and_the_engine_are_told_as_well():
    short = " ".join(observe("key=on", "--fault", "W1 shorted to ground").split())
    assert "held on: Smoke: the insulation of wire W1" in short and "by hand: Wire W1 is far too hot" in short
    got = CliRunner().invoke(commands, [
        "observe", "ride-on-mower", "brake_pedal=down", "key=start", "--fault", "W10 shorted to ground"])
    healthy, faulty = " ".join(got.output.split()).split("faulty:")
    assert "allowed to fire: The engine fires and runs" in healthy
    assert "allowed to fire: The engine does not fire" in faulty, "the kill wire is grounded"


@pytest.mark.parametrize(
    ("words", "says"),
    [(("--fault", "F1 haunted"), "no fault 'F1 haunted'"), (("key=sideways",), "key cannot be 'sideways'")],
)
def test_what_cannot_be_done_is_one_line(words, says):
    got = CliRunner().invoke(commands, ["observe", "orchard-bike", *words])
    assert got.exit_code == 2 and says in got.stderr and not got.stdout
