"""``python -m kit open``: JupyterLab on the start page, quiet towards the net and tidy on the disk."""

import importlib
import json
import os
import re
import signal
import socket
import subprocess
import sys
import time
import urllib.request
from pathlib import Path
from types import SimpleNamespace

import pytest

from kit.cli.first_view import dress, lay_out
from kit.cli.lab import find_lessons, plan
from kit.errors import KitError


@pytest.fixture
def lessons(tmp_path):
    folder = tmp_path / "lessons"
    folder.mkdir()
    notebook = {"cells": [], "metadata": {}, "nbformat": 4, "nbformat_minor": 5}
    (folder / "start-here.ipynb").write_text(json.dumps(notebook))
    return folder


def test_no_lessons_is_one_line_that_says_where_it_looked(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr("kit.cli.lab.START", "no-such-page.ipynb")
    with pytest.raises(KitError, match=r"no-such-page\.ipynb in .*lessons"):
        find_lessons()


def test_the_lessons_are_found_from_the_working_folder_where_the_kit_has_none(lessons, monkeypatch):
    monkeypatch.setattr("kit.cli.lab.__file__", str(lessons / "x" / "y" / "z.py"))
    for place in (lessons, lessons.parent):
        monkeypatch.chdir(place)
        assert find_lessons() == lessons


def test_everything_jupyter_writes_goes_into_the_work_folder(lessons, monkeypatch):
    monkeypatch.delenv("KIT_RECORDS", raising=False)
    planned = plan(lessons)
    assert all(Path(folder).is_relative_to(lessons / "my-work") for folder in planned.environment.values())
    monkeypatch.setenv("KIT_RECORDS", str(lessons.parent / "elsewhere"))
    moved = plan(lessons, browser=False, port=9123, more=("--debug",))
    assert all(Path(folder).is_relative_to(lessons.parent / "elsewhere") for folder in moved.environment.values())
    assert {"--no-browser", "--port=9123", "--debug"} <= set(moved.command)
    assert "--no-browser" not in planned.command


def test_the_guide_opens_among_the_solutions_and_learners_packs_have_none(lessons, monkeypatch):
    monkeypatch.delenv("KIT_RECORDS", raising=False)
    with pytest.raises(KitError, match="Learners' packs leave it out"):
        plan(lessons, guide=True)
    solutions = lessons.parent / "solutions"
    solutions.mkdir()
    (solutions / "guide.ipynb").write_bytes((lessons / "start-here.ipynb").read_bytes())
    planned = plan(lessons, guide=True)
    assert planned.folder == solutions
    assert {"guide.ipynb", f"--ServerApp.root_dir={solutions}"} <= set(planned.command)
    assert all(Path(folder).is_relative_to(lessons / "my-work") for folder in planned.environment.values())


@pytest.mark.slow
def test_it_really_starts_asks_for_no_news_and_leaves_the_home_alone(lessons, tmp_path):
    home = tmp_path / "home"
    home.mkdir()
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    program = (
        "import sys; from pathlib import Path; from kit.cli.lab import plan, run;"
        "run(plan(Path(sys.argv[1]), browser=False, port=int(sys.argv[2]), more=['--IdentityProvider.token=wren']))"
    )
    moved = ("JUPYTER", "IPYTHON", "KIT", "XDG")
    clean = {name: value for name, value in os.environ.items() if not name.startswith(moved)}
    server = subprocess.Popen(
        [sys.executable, "-c", program, str(lessons), str(port)], env=clean | {"HOME": str(home)},
        stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, start_new_session=True,
    )
    try:
        page = _page(f"http://127.0.0.1:{port}/lab/tree/start-here.ipynb?token=wren")
    finally:
        os.killpg(server.pid, signal.SIGKILL)
        server.wait(20)
    settings = json.loads(re.search(r'id="jupyter-config-data" type="application/json">(.*?)</script>', page, re.S)[1])
    assert settings["news"] == {"disabled": True}
    assert not list(home.rglob("*"))
    assert (lessons / "my-work" / ".jupyter" / "runtime").is_dir()


def _page(address):
    deadline = time.monotonic() + 60
    while True:
        try:
            with urllib.request.urlopen(address, timeout=10) as answer:
                return answer.read().decode()
        except OSError:
            if time.monotonic() > deadline:
                raise
            time.sleep(0.3)


def test_small_messages_to_the_page_are_not_held_back(lessons, monkeypatch):
    """The class the server is told to use exists, is Jupyter's own, and sets the page's socket to send at once."""
    from jupyter_server.services.kernels.connection.channels import ZMQChannelsWebsocketConnection

    (option,) = [word for word in plan(lessons).command if "kernel_websocket_connection_class" in word]
    room, name = option.partition("=")[2].rsplit(".", 1)
    prompt = getattr(importlib.import_module(room), name)
    assert issubclass(prompt, ZMQChannelsWebsocketConnection)
    set_to, connected = [], []
    monkeypatch.setattr(ZMQChannelsWebsocketConnection, "connect", lambda self: connected.append(self))
    monkeypatch.setattr(prompt, "websocket_handler", SimpleNamespace(set_nodelay=set_to.append))
    prompt.connect(prompt.__new__(prompt))
    assert (set_to, len(connected)) == ([True], 1)


def test_the_list_of_files_begins_folded_and_a_learners_own_layout_is_left_alone(tmp_path):
    from jupyterlab_server.workspaces_handler import WorkspacesManager

    lay_out(tmp_path)
    layout = WorkspacesManager(str(tmp_path)).load("default")["data"]["layout-restorer:data"]
    assert layout["left"]["collapsed"] and layout["left"]["visible"]
    (kept,) = tmp_path.iterdir()
    kept.write_text('{"data": {}, "metadata": {"id": "default"}}')
    lay_out(tmp_path)
    assert "layout-restorer" not in kept.read_text() and list(tmp_path.iterdir()) == [kept]


def test_a_port_in_use_is_told_before_anything_is_started(lessons, monkeypatch):
    from kit.cli.lab import run

    with socket.socket() as taken:
        taken.bind(("localhost", 0))
        taken.listen()
        port = taken.getsockname()[1]
        with pytest.raises(KitError, match=f"port {port} is in use"):
            run(plan(lessons, port=port))
    assert not (lessons / "my-work").exists()


def test_the_style_lies_where_jupyter_is_told_to_look_for_it(lessons, monkeypatch):
    from jupyterlab.labapp import LabApp

    assert LabApp.class_traits()["custom_css"].default_value is False
    planned = plan(lessons)
    assert "--LabApp.custom_css=True" in planned.command
    config = Path(planned.environment["JUPYTER_CONFIG_DIR"])
    config.mkdir(parents=True)
    dress(config)
    assert "overflow-wrap" in (config / "custom" / "custom.css").read_text()
