"""``kit print`` as a person meets it: files named, and one line for a slip."""

import pytest
from click.testing import CliRunner

from kit.cli.commands import kit as commands
from kit.cli.printing import PRINTED, print_group
from kit.machines import machine, machine_ids
from kit.machines.library import EXAMPLE


def run(*words):
    return CliRunner().invoke(commands, [str(word) for word in words])


@pytest.mark.parametrize(
    ("words", "files"),
    [
        (("6",), ("worksheet-06.html", "answers-06.html")),
        (("lesson", "06", "--learners", "wren,finch", "--course", "autumn"), ("worksheet-06.html", "answers-06.html")),
        (("data", "bench-board"), ("data-bench-board.html",)),
        (("cards", "J1", "j12"), ("job-cards-j1-j12.html",)),
        (("cards", "06", "--answers"), ("job-cards-j1.html", "job-cards-j1-answers.html")),
        (("charts", "bench-board", "--case", "switch open", "--quiet"), ("chart-bench-board-switch-open.html",)),
    ],
)
def test_what_is_printed_lies_where_it_says(words, files, tmp_path):
    got = run("print", *words, "--out", tmp_path / "paper")
    assert got.exit_code == 0, got.output
    made = [tmp_path / "paper" / name for name in files]
    assert got.stdout.splitlines() == [f"{path} is ready: open it in a browser and print it." for path in made]
    assert sorted((tmp_path / "paper").iterdir()) == sorted(made)


def test_the_cases_of_ones_own_machine_are_cards_that_tell_nothing(tmp_path):
    got = run("print", "cards", EXAMPLE, "--answers", "--out", tmp_path)
    assert got.exit_code == 0, got.output
    (case,) = machine(str(EXAMPLE)).cases.values()
    names = ("job-cards-well-pump-1.html", "job-cards-well-pump-1-answers.html")
    card, answers = ((tmp_path / name).read_text(encoding="utf-8") for name in names)
    assert case.owner in card and case.owner in answers
    for told in (*case.faults, case.cause, case.repair.split(";")[0]):
        assert told not in card and told in answers


def test_a_table_somebody_has_written_into_is_not_printed_over(tmp_path):
    assert run("print", "practical", "06", "--out", tmp_path).exit_code == 0
    table = tmp_path / "practical-06-results.csv"
    written = table.read_bytes() + b"wren,06,safe,met,Ann,2031-05-04,board,\n"
    table.write_bytes(written)
    again = run("print", "practical", "06", "--out", tmp_path)
    assert again.exit_code == 0 and f"{table} is kept as it is" in again.stdout
    assert table.read_bytes() == written


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("99",), "there is no lesson '99' to print; there are 00 to "),
        (("charts",), "Missing argument 'MACHINE'"),
        (("chart", "bench-board"), "unexpected extra argument"),
        (("moon-buggy",), "there is no lesson 'moon-buggy'"),
        (("charts", "moon-buggy", "--quiet"), "there is no machine 'moon-buggy'"),
        (("charts", "bench-board", "--case", "haunted", "--quiet"), "no case 'haunted'; it has F1 blown, lamp open"),
        (("data", "bike"), "there is no machine 'bike'"),
        (("cards", "J62"), "there is no job card 'J62'; there are J1 to J61"),
        (("cards", "J 1"), "there is no job card 'J 1'"),
        (("cards", "00"), "lesson 00 has no job card"),
        (("06", "--learners", "gone.csv"), "there is no file gone.csv"),
        (("06", "--learners", ","), "no learners are named"),
        (("06", "--lerners", "wren"), "No such option"),
    ],
)
def test_a_slip_is_one_line_and_status_2(words, says, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    got = run("print", *words)
    assert got.exit_code == 2
    assert says in got.stderr.replace("\n", " ") and "Traceback" not in got.output
    assert len([line for line in got.stderr.splitlines() if line.startswith("Error")]) == 1
    assert not list(tmp_path.iterdir())


def test_every_kind_of_paper_has_words_of_its_own_and_a_place_to_go():
    whole = run("print", "--help")
    assert whole.exit_code == 0 and all(name in whole.output for name in machine_ids())
    for command in PRINTED:
        told = run("print", command.name, "--help")
        assert told.exit_code == 0 and command.name in whole.output and "--out" in told.output
        assert len(command.help.split()) > 15
    assert set(print_group.commands) == {command.name for command in PRINTED}
