"""Starting JupyterLab on the lessons so that it asks nothing, reaches nothing outside and writes nothing elsewhere."""

import json
import os
import socket
import sqlite3
import subprocess
import sys
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from importlib.util import find_spec
from pathlib import Path

from kit.errors import KitError
from kit.records import records_folder

START = "start-here.ipynb"
GUIDE = "guide.ipynb"
# No news, no look for updates, no list of extensions from the net, no search for language servers (which would run
# npm). Options of JupyterLab 4, as its manual and "jupyter lab --help-all" have them.
QUIET = (
    "--LabApp.news_url=None",
    "--LabApp.check_for_updates_class=jupyterlab.NeverCheckForUpdate",
    "--LabApp.extension_manager=readonly",
    "--LanguageServerManager.autodetect=False",
    # Of all it would print, only what somebody can do something about; the address is still told.
    "--log-level=WARN",
)
ELSEWHERE = "Make room there, or name another folder in the environment variable KIT_RECORDS."
# Readings reach the page without TCP holding them back.
PROMPT = "--ServerApp.kernel_websocket_connection_class=kit.cli.prompt_socket.PromptSocket"
# A few lines of style of our own (``first_view.dress``).
STYLED = "--LabApp.custom_css=True"
# Settings of JupyterLab's own pages, until the user sets others: no question about news, and a page saved soon enough
# that reloading it brings back what stood on it, and no cell taken off the page while it is out of sight.
SETTINGS = {
    "@jupyterlab/apputils-extension:notification": {"fetchNews": "false"},
    "@jupyterlab/docmanager-extension:plugin": {"autosaveInterval": 15},
    "@jupyterlab/notebook-extension:tracker": {"windowingMode": "none"},
}
# What Jupyter would otherwise write into the user's home, and the folder of ours it goes to.
WRITES = {
    "JUPYTER_CONFIG_DIR": "config", "JUPYTER_DATA_DIR": "data", "JUPYTER_RUNTIME_DIR": "runtime",
    "JUPYTERLAB_SETTINGS_DIR": "settings", "JUPYTERLAB_WORKSPACES_DIR": "workspaces", "IPYTHONDIR": "ipython",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """A command to run: its words, the folder it runs in, what is added to the environment, and the port, if named."""

    command: tuple[str, ...]
    folder: Path
    environment: Mapping[str, str]
    port: int | None = None


def find_lessons() -> Path:
    """The folder of the lessons: beside the kit, or in the working folder; raises KitError where there is none."""
    here = Path.cwd()
    places = (Path(__file__).parents[2] / "lessons", here / "lessons", here)
    for place in places:
        if (place / START).is_file():
            return place.resolve()
    raise KitError(f"the lessons were not found: there is no {START} in {places[0]} nor in {places[1]}.")


def find_guide(lessons: Path) -> Path:
    """The folder of the instructor's guide, beside the lessons; raises KitError where it was left out."""
    folder = lessons.parent / "solutions"
    if not (folder / GUIDE).is_file():
        raise KitError(f"the guide is not here: there is no {GUIDE} in {folder}. Learners' packs leave it out.")
    return folder


def plan(
    lessons: Path, *, guide: bool = False, browser: bool = True, port: int | None = None, more: Sequence[str] = ()
) -> Plan:
    """How to start JupyterLab on the start page, or on the instructor's guide among the solutions."""
    folder, page = (find_guide(lessons), GUIDE) if guide else (lessons, START)
    command = [sys.executable, "-m", "jupyterlab", page, f"--ServerApp.root_dir={folder}", *QUIET, PROMPT, STYLED]
    # The address it prints leads to the page as well, and not to an empty launcher.
    command.append(f"--LabApp.default_url=/lab/tree/{page}")
    if not browser:
        command.append("--no-browser")
    if port is not None:
        command += [f"--port={port}", "--ServerApp.port_retries=0"]
    if hasattr(os, "geteuid") and os.geteuid() == 0:
        # In a container everything runs as root; the server listens to this computer only, and asks for its token.
        command.append("--allow-root")
    own = work_folder(lessons) / ".jupyter"
    return Plan(
        command=(*command, *more), folder=folder,
        environment={name: str(own / folder) for name, folder in WRITES.items()}, port=port,
    )


def prepare(planned: Plan) -> None:
    """Make the folders and settings Jupyter uses, and the lessons ready; raises KitError where that cannot be done."""
    if find_spec("jupyterlab") is None:
        raise KitError("JupyterLab is not installed here; run: python -m pip install -r requirements.txt")
    for folder in planned.environment.values():
        try:
            Path(folder).mkdir(parents=True, exist_ok=True, mode=0o700)
        except OSError as reason:
            raise KitError(f"{folder} cannot be made ({reason.strerror}). {ELSEWHERE}") from None
    # They come with JupyterLab, so they are asked for only once that is known to be there.
    from kit.cli.first_view import dress, lay_out
    from kit.cli.notebooks import make_ready

    settings = Path(planned.environment["JUPYTER_CONFIG_DIR"], "labconfig", "default_setting_overrides.json")
    try:
        settings.parent.mkdir(exist_ok=True)
        settings.write_text(json.dumps(SETTINGS), encoding="utf-8")
        lay_out(Path(planned.environment["JUPYTERLAB_WORKSPACES_DIR"]))
        dress(Path(planned.environment["JUPYTER_CONFIG_DIR"]))
        make_ready(planned.folder, Path(planned.environment["JUPYTER_DATA_DIR"]))
    except (OSError, sqlite3.Error) as reason:
        why = getattr(reason, "strerror", None) or str(reason)
        raise KitError(f"{_keeps_in(planned)} cannot be written to ({why}). {ELSEWHERE}") from None


def run(planned: Plan) -> None:
    """Start what was planned and stay until it ends; raises KitError where JupyterLab is not installed."""
    if planned.port is not None and not _is_free(planned.port):
        raise KitError(
            f"port {planned.port} is in use on this computer: are the lessons open already? Without --port the next "
            "free one is taken."
        )
    print("Making the lessons ready …", flush=True)
    prepare(planned)
    if "--no-browser" not in planned.command:
        print("Your browser opens in a moment; if it does not, open the address below in it.")
    print(f"Leave this window open while you work; to stop, press Ctrl-C here twice. What you do is kept in\n"
          f"{_keeps_in(planned)}.", flush=True)
    environment = {**os.environ, **planned.environment}
    os.chdir(planned.folder)
    if os.name == "posix":
        # Becoming JupyterLab lets its own question at Ctrl-C work as it should.
        os.execve(planned.command[0], planned.command, environment)
    raise SystemExit(subprocess.run(planned.command, env=environment, check=False).returncode)


def _is_free(port: int) -> bool:
    """Whether nobody on this computer listens there."""
    try:
        socket.create_connection(("localhost", port), timeout=1.0).close()
    except OSError:
        return True
    return False


def _keeps_in(planned: Plan) -> Path:
    """The folder a learner's work is kept in."""
    return Path(planned.environment["JUPYTER_CONFIG_DIR"]).parents[1]


def work_folder(lessons: Path) -> Path:
    """The folder a learner's work is kept in: beside the lessons, unless KIT_RECORDS names another."""
    return records_folder().resolve() if os.environ.get("KIT_RECORDS", "").strip() else lessons / "my-work"
