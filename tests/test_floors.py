"""The floors of the kit: who may import whom, and where each outside library lives (design.md, DEVELOPERS.md)."""

import ast
import subprocess
import sys
from functools import cache
from pathlib import Path

import pytest

import kit

ROOT = Path(kit.__file__).parent
FLOOR = {
    "errors": 0, "quantities": 0, "circuit": 1, "records": 1, "solve": 2, "machines": 3, "instruments": 4,
    "diagnose": 5, "draw": 5, "exercises": 6, "marking": 7, "bay": 7, "paper": 7,
    "cli": 8,
}
# Rooms a room may not know although they stand lower.
NEVER = {"exercises": {"draw", "bay"}, "marking": {"bay"}, "paper": {"bay", "marking"}}
# Each outside library, and the rooms or single modules it may be imported in; elsewhere the standard library only.
HOME = {
    # The time kernel is compiled in a file of its own: many simulated seconds at once need it, one operation does not.
    "numpy": ("kit.solve.compiling", "kit.solve.thevenin", "kit.solve.turn_sweep", "kit.solve.sweep",
              "kit.solve.probes", "kit.solve.shelf", "kit.solve.fast_time", "kit.instruments.sweep", "kit.diagnose"),
    "numba": ("kit.solve.compiling", "kit.solve.fast_time"),
    "ruamel": ("kit.machines",),
    "pydantic": ("kit.machines",),
    "schemdraw": ("kit.draw",),
    "matplotlib": ("kit.draw",),
    "anywidget": ("kit.bay",),
    "ipywidgets": ("kit.bay",),
    "traitlets": ("kit.bay",),
    "IPython": ("kit.bay",),
    "jinja2": ("kit.marking", "kit.paper"),
    "openpyxl": ("kit.marking",),
    "scipy": ("kit.marking.statistics",),
    "click": ("kit.cli",),
    "rich": ("kit.cli",),
    "nbformat": ("kit.cli.notebooks",),
    "jupyterlab_server": ("kit.cli.first_view",),
    "jupyter_server": ("kit.cli.prompt_socket",),
}
# The package itself and its command line's door may know every room.
DOORS = {"kit", "kit.__main__"}


def module_name(path: Path) -> str:
    parts = ("kit", *path.relative_to(ROOT).with_suffix("").parts)
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


MODULES = {module_name(path): path for path in sorted(ROOT.rglob("*.py"))}


def room(name: str) -> str:
    parts = name.split(".")
    return parts[1] if len(parts) > 1 else ""


def imports(name: str, tree: ast.Module) -> list[tuple[str, int, bool]]:
    """Every module imported, its line, and whether only the type checker sees it; imports in functions included."""
    found = []
    package = name if MODULES[name].name == "__init__.py" else name.rpartition(".")[0]

    def visit(at: ast.AST, typing_only: bool) -> None:
        match at:
            case ast.Import():
                found.extend((alias.name, at.lineno, typing_only) for alias in at.names)
            case ast.ImportFrom():
                base = at.module or ""
                if at.level:
                    above = package.split(".")[: len(package.split(".")) - at.level + 1]
                    base = ".".join([*above, base] if base else above)
                for alias in at.names:
                    whole = f"{base}.{alias.name}"
                    found.append((whole if whole in MODULES else base, at.lineno, typing_only))
            case ast.Call(
                func=ast.Name(id="__import__") | ast.Attribute(attr="import_module"),
                args=[ast.Constant(value=str(target)), *_],
            ):
                found.append((target, at.lineno, typing_only))
        guarded = isinstance(at, ast.If) and "TYPE_CHECKING" in ast.unparse(at.test)
        for part in ast.iter_child_nodes(at):
            visit(part, typing_only or (guarded and part in getattr(at, "body", ())))

    visit(tree, False)
    return found


@cache
def imports_of(name: str) -> list[tuple[str, int, bool]]:
    return imports(name, ast.parse(MODULES[name].read_text(encoding="utf-8")))


def complaints(name: str, found: list[tuple[str, int, bool]]) -> list[str]:
    """What is wrong with a module's imports, one line each."""
    bad, mine = [], room(name)
    for target, line, _ in found:
        top = target.split(".")[0]
        if top == "kit":
            theirs = room(target)
            if name in DOORS or theirs == mine:
                continue
            if theirs == "":
                bad.append(f"{name} line {line} imports the package kit itself; name the module.")
            elif theirs in NEVER.get(mine, ()):
                bad.append(f"{name} line {line}: {mine} never imports {theirs}.")
            elif theirs != "errors" and FLOOR[theirs] >= FLOOR[mine]:
                bad.append(f"{name} line {line} imports {theirs} (floor {FLOOR[theirs]}) from floor {FLOOR[mine]}.")
        elif top in HOME:
            if not any(name == home or name.startswith(home + ".") for home in HOME[top]):
                bad.append(f"{name} line {line} imports {top}, which lives only in {' and '.join(HOME[top])}.")
        elif top not in sys.stdlib_module_names:
            bad.append(f"{name} line {line} imports {top}, a library without a home; give it one in this test.")
    return bad


def test_every_room_has_a_floor():
    rooms = {room(name) for name in MODULES} - {"", "__main__"}
    assert rooms <= set(FLOOR)


@pytest.mark.parametrize("name", MODULES)
def test_imports_go_downwards_and_libraries_stay_at_home(name):
    assert complaints(name, imports_of(name)) == []


@pytest.mark.parametrize(
    ("name", "source", "words"),
    [
        ("kit.circuit.parts", "from kit.solve import settle", "imports solve (floor 2) from floor 1"),
        ("kit.circuit.parts", "def f():\n    import kit.machines.machine", "imports machines (floor 3)"),
        ("kit.circuit.parts", "from ..machines import machine", "imports machines (floor 3)"),
        ("kit.machines.machine", "importlib.import_module('kit.instruments.lamp')", "imports instruments (floor 4)"),
        ("kit.circuit.parts", "import kit", "imports the package kit itself"),
        ("kit.solve.steady", "def f():\n    import numpy as np", "imports numpy, which lives only in"),
        ("kit.instruments.lamp", "from ruamel.yaml import YAML", "imports ruamel, which lives only in"),
        ("kit.solve.steady", "import antigravity_pro", "a library without a home"),
    ],
)
def test_the_rule_catches_each_kind_of_breach(name, source, words):
    found = complaints(name, imports(name, ast.parse(source)))
    assert len(found) == 1 and words in found[0], found


def test_rooms_on_the_upper_floors_keep_apart():
    def complaint(name, target):
        return complaints(name, [(target, 1, False)])

    assert complaint("kit.exercises.x", "kit.draw.x") == ["kit.exercises.x line 1: exercises never imports draw."]
    assert complaint("kit.marking.x", "kit.bay.x") == ["kit.marking.x line 1: marking never imports bay."]
    assert complaint("kit.bay.x", "kit.marking.x") == ["kit.bay.x line 1 imports marking (floor 7) from floor 7."]


def test_no_module_imports_itself_in_a_circle():
    """Imports inside functions count too; those only the type checker sees do not."""
    edges = {
        name: {
            target for target, _, typing_only in imports_of(name)
            if not typing_only and target in MODULES and target != name
        }
        for name in MODULES
    }
    done, path = set(), []

    def walk(name: str) -> None:
        assert name not in path, " → ".join([*path[path.index(name):], name])
        if name in done:
            return
        path.append(name)
        for target in sorted(edges[name]):
            walk(target)
        path.pop()
        done.add(name)

    for name in edges:
        walk(name)
    assert done == set(MODULES)


def test_import_kit_is_light():
    heavy = ("numpy", "numba", "schemdraw", "anywidget", "ipywidgets", "matplotlib", "jinja2", "openpyxl", "click")
    code = f"import sys, kit; print([name for name in {heavy!r} if name in sys.modules])"
    done = subprocess.run(
        [sys.executable, "-W", "error", "-c", code], capture_output=True, text=True, check=True, cwd=ROOT.parent
    )
    assert done.stdout.strip() == "[]"
