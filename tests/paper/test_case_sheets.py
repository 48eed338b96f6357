"""The case library on paper: a block a case, everything told, figures from the machine itself."""

import re

import pytest
from click.testing import CliRunner

import kit
from kit.cli.commands import kit as commands
from kit.errors import PaperError
from kit.exercises.cards import card_ids
from kit.paper.cases import case_sheets


def test_a_machine_has_a_block_a_case_with_readings_of_its_own():
    (paper,) = case_sheets(["bench-board"])
    assert paper.name == "cases-bench-board.html" and paper.html.count('class="question keep case"') == 10
    board = kit.machine("bench-board")
    # All volts across an open switch (LEC vol. I, component failure: the whole of the source stands across the break).
    shown = kit.Multimeter("volts", black="S1.2", red="S1.1").read(board.operate("S1 stuck open", switch="on")).shown
    assert f"<b>{shown}</b>" in paper.html.replace("\u00a0", " ")
    for text in ("Seen and heard", "Tried wrongly", "CAUTION", "What decides", "Why it failed", "Repair", "Proved"):
        assert paper.html.count(text) == 10, text
    assert sorted(re.findall(r"<span>(J\d+) ·", paper.html)) == sorted(card_ids("bench-board"))


def test_cards_are_named_however_they_are_typed_and_each_once(tmp_path):
    (paper,) = case_sheets(["j6", "J6 ", "J54"])
    assert paper.html.count('class="question keep case"') == 2
    done = CliRunner().invoke(commands, ["print", "cases", "J6", "--out", str(tmp_path)])
    assert done.exit_code == 0 and (tmp_path / "cases-j6.html").is_file()


def test_what_is_no_case_is_one_line():
    with pytest.raises(PaperError, match="no case 'J99'; name a card, J1 to J60, or one of bench-board"):
        case_sheets(["J99"])
