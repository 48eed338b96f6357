"""What the documents promise, held against what is there."""

import re
import subprocess
from pathlib import Path

import kit
from kit.cli.commands import kit as commands

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")
DEVELOPERS = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
TOP = {"README.md", "DEVELOPERS.md", "requirements.txt", "lessons", "kit", "tests", "solutions"}


def tracked():
    found = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=True)
    return found.stdout.split("\n")[:-1]


def test_the_top_level_holds_what_the_design_card_allows_and_no_more():
    assert {name.split("/")[0] for name in tracked()} - TOP <= {".ci", ".gitignore", ".pytest.ini", ".ruff.toml"}


def test_the_readme_has_two_commands_that_set_everything_up():
    commands_shown = [line.strip() for line in README.splitlines() if line.startswith("    python3 -m venv")]
    assert len(commands_shown) == 2
    assert commands_shown[0].endswith("-m kit open")
    assert commands_shown[1].endswith("-m pytest")
    # CI takes its command from the README by this very search.
    search = "grep -m1 -- '-m pytest' README.md"
    assert search in (ROOT / ".ci" / "run").read_text(encoding="utf-8")
    found = next(line for line in README.splitlines() if "-m pytest" in line)
    assert found.strip() == commands_shown[1]


def test_every_picture_and_page_linked_is_there():
    for text in (README, DEVELOPERS):
        for target in re.findall(r"\]\(([^)#]+)\)", text):
            assert (ROOT / target).is_file(), target


def test_every_command_and_every_public_name_is_explained():
    for name in commands.commands:
        assert f"kit {name}" in README + DEVELOPERS, name
    for name in kit.__all__:
        assert name in (kit.__doc__ or "") + README + DEVELOPERS, name


def test_every_library_wanted_is_accounted_for():
    wanted = re.findall(r"^([a-z][a-z0-9.-]*)", (ROOT / "requirements.txt").read_text(), re.MULTILINE)
    assert wanted
    for name in wanted:
        assert name in DEVELOPERS, name
