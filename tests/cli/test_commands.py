"""The command line as a person meets it: words, exit statuses, and never a traceback."""

import subprocess
import sys

import pytest
from click.testing import CliRunner

from kit.cli.commands import kit as commands
from kit.exercises import question, variant
from kit.machines import machine
from kit.records import Record


def run(*words):
    return CliRunner().invoke(commands, [str(word) for word in words])


@pytest.fixture
def handed_in(tmp_path):
    folder = tmp_path / "handed-in"
    record = Record.open(course="autumn", learner="wren", folder=folder)
    item = question("06.3")
    drawn = variant(item, "autumn", "wren")
    record.append("answer", question=item.id, version=item.version, variant=drawn.key, raw="0 V")
    return folder


def test_help_names_every_command_and_each_has_words_of_its_own():
    whole = run("--help")
    assert whole.exit_code == 0
    for name, command in commands.commands.items():
        told = run(name, "--help")
        assert name in whole.output and told.exit_code == 0
        assert len(command.help.split()) > 15
        for parameter in command.params:
            if parameter.param_type_name == "option":
                assert parameter.help and parameter.opts[0] in told.output


def test_operate_tells_what_a_person_sees_and_the_volts():
    got = run("operate", "orchard-bike", "key=on", "start_button=pressed")
    assert got.exit_code == 0
    assert "The starter relay clicks." in got.output and "The engine cranks" in got.output
    now = machine("orchard-bike").operate(key="on", start_button="pressed")
    line = next(line for line in got.output.splitlines() if line.startswith("F1.2 "))
    assert f"{now.volts['F1.2']:.2f} V" in line


def test_operate_with_a_fault_says_where_it_floats():
    got = run("operate", "orchard-bike", "--fault", "F1 blown", "--fault", "S1 stuck open")
    assert any(line.startswith("F1.2") and "floats" in line for line in got.output.splitlines())
    assert "-0.00" not in got.output


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("operate", "moon-buggy"), "there is no machine 'moon-buggy'"),
        (("operate", "orchard-bike", "key"), "write it like key=on"),
        (("operate", "orchard-bike", "key=sideways"), "key cannot be 'sideways'"),
        (("operate", "orchard-bike", "--fault", "F1 haunted"), "no fault 'F1 haunted'"),
        (("mark", "gone", "--out", "marks"), "there is no folder gone"),
    ],
)
def test_what_cannot_be_done_is_one_line_and_status_2(words, says, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    got = run(*words)
    assert got.exit_code == 2
    assert says in got.stderr and "Traceback" not in got.output
    assert len([line for line in got.stderr.splitlines() if "Error" in line]) == 1
    assert not got.stdout and "0/" not in got.stderr


SLIPS = [("mark",), ("mark", "x"), ("sing",), ("open", "--port", "0"), ("open", "--port", "x")]


@pytest.mark.parametrize("words", SLIPS)
def test_a_slip_on_the_command_line_is_status_2(words):
    assert run(*words).exit_code == 2


def test_mark_ends_with_0_when_all_could_be_marked_and_writes_what_it_says(handed_in, tmp_path):
    got = run("mark", handed_in, "--out", tmp_path / "marks", "--quiet")
    assert got.exit_code == 0
    assert got.stdout.startswith("1 learner marked.") and not got.stderr
    names = {path.name for path in (tmp_path / "marks").iterdir()}
    assert names >= {
        "marks.csv", "totals.csv", "problems.csv", "marks.xlsx", "audit.jsonl", "by-hand.csv", "index.html",
        "wren.html",
    }
    assert not [name for name in names if name.startswith((".", "not-finished"))]


def test_mark_ends_with_1_and_names_what_was_left_out_with_nothing_odd_for_the_screen(handed_in, tmp_path):
    (handed_in / "torn.jsonl").write_text('{"n":0,"prev":"","at":"\\u001b[31m","kind":"opened"}\n')
    got = run("mark", handed_in, "--out", tmp_path / "marks", "--quiet")
    assert got.exit_code == 1
    assert "torn.jsonl: line 1" in got.stdout and "\x1b" not in got.output
    assert "wren" in (tmp_path / "marks" / "marks.csv").read_text(encoding="utf-8-sig")


def test_the_progress_bar_stays_off_the_output(handed_in, tmp_path):
    command = [sys.executable, "-m", "kit", "mark", str(handed_in), "--out", str(tmp_path / "marks")]
    loud = subprocess.run(command, capture_output=True, text=True, check=True)
    still = subprocess.run([*command, "--quiet"], capture_output=True, text=True, check=True)
    assert loud.stdout == still.stdout and not still.stderr
    assert "2/2" in loud.stderr


def test_help_loads_neither_the_solver_nor_the_progress_bar():
    program = (
        "import sys\nfrom kit.cli import main\nsys.argv = ['kit', '--help']\n"
        "try:\n    main()\nexcept SystemExit:\n    pass\n"
        "print([name for name in ('rich', 'jinja2', 'numpy', 'kit.marking') if name in sys.modules])"
    )
    ran = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)
    assert ran.stdout.splitlines()[-1] == "[]"


def test_a_course_nobody_is_on_is_told_and_the_marks_there_are_left_alone(handed_in, tmp_path):
    out = tmp_path / "marks"
    assert run("mark", handed_in, "--out", out, "--quiet").exit_code == 0
    before = {path.name: path.read_bytes() for path in out.iterdir()}
    got = run("mark", handed_in, "--out", out, "--quiet", "--course", "autum")
    assert got.exit_code == 2 and "no record here is of the course 'autum'; there are records of autumn" in got.stderr
    assert {path.name: path.read_bytes() for path in out.iterdir()} == before


def test_the_page_of_the_class_tells_percent_and_lessons_begun(handed_in, tmp_path):
    assert run("mark", handed_in, "--out", tmp_path / "marks", "--quiet").exit_code == 0
    page = (tmp_path / "marks" / "index.html").read_text(encoding="utf-8")
    row = page[page.index(">wren</a>") :].split("</tr>")[0]
    cells = [cell.partition("</td>")[0] for cell in row.split('<td class="number">')[1:]]
    points, of, percent, begun, waiting, problems = cells
    assert int(percent) == 100 * int(points) // int(of)
    assert (begun, waiting, problems) == ("1 of 1", "0", "0")


def test_marks_that_lie_in_the_folder_handed_in_are_not_read_as_records(handed_in):
    for _ in range(2):
        assert run("mark", handed_in, "--out", handed_in / "marks", "--quiet").exit_code == 0
