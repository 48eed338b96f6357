"""A real browser and a real JupyterLab: skipped where Chromium is missing, never in CI."""

import json
import os
import shutil
import socket
import subprocess
import time
import urllib.error
import urllib.request
from dataclasses import dataclass
from pathlib import Path

import pytest

from kit.cli.lab import Plan, plan, prepare

LESSONS = Path(__file__).parents[2] / "lessons"
FLAGS = (
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync",
)
STARTS_WITHIN = 60  # seconds
TOKEN = "wren"


@pytest.fixture(scope="session")
def chromium():
    """One Chromium for the whole run."""
    path = shutil.which("chromium") or shutil.which("chromium-browser")
    if path is None:
        message = "Chromium is missing; install it (on Debian: apt-get install chromium) to run the browser tests."
        if os.environ.get("CI"):
            pytest.fail(message)
        pytest.skip(message)
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=path, args=list(FLAGS))
        yield browser
        browser.close()


@pytest.fixture
def chromium_page(chromium):
    """An empty page, wide as a notebook's column."""
    page = chromium.new_page(viewport={"width": 960, "height": 800})
    yield page
    page.close()


@dataclass(frozen=True, slots=True, kw_only=True)
class Lab:
    """A running JupyterLab: its address, the folder of lessons it shows, and where records go."""

    address: str
    lessons: Path
    records: Path
    planned: Plan

    def fresh(self) -> None:
        """The lessons as they are in the repository, made ready as at every start, and no page left open."""
        for path in LESSONS.glob("*.ipynb"):
            shutil.copyfile(path, self.lessons / path.name)
        shutil.rmtree(self.planned.environment["JUPYTERLAB_WORKSPACES_DIR"], ignore_errors=True)
        prepare(self.planned)

    def ask(self, path: str, method: str = "GET") -> object:
        """Ask the server itself, such as for its ``api/sessions``."""
        call = urllib.request.Request(
            f"{self.address}/{path}", method=method, headers={"Authorization": f"token {TOKEN}"}
        )
        with urllib.request.urlopen(call, timeout=20) as answer:
            body = answer.read()
        return json.loads(body) if body else None

    def page(self, notebook: str) -> str:
        """The address a notebook opens at."""
        return f"{self.address}/lab/tree/{notebook}?token={TOKEN}"


@pytest.fixture(scope="session")
def lab(chromium, tmp_path_factory):
    """JupyterLab on a copy of the lessons, started as ``python -m kit open`` does, with its own home and records."""
    root = tmp_path_factory.mktemp("lab")
    lessons, records, home = root / "lessons", root / "records", root / "home"
    shutil.copytree(LESSONS, lessons, ignore=shutil.ignore_patterns("my-work", ".ipynb_checkpoints"))
    home.mkdir()
    port = _free_port()
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("KIT_RECORDS", str(records))
        planned = plan(lessons, browser=False, port=port, more=("--ip=127.0.0.1", f"--IdentityProvider.token={TOKEN}"))
    surroundings = {**os.environ, **planned.environment, "KIT_RECORDS": str(records), "HOME": str(home)}
    for name in ("PYTHONPATH", "KIT_LEARNER", "KIT_COURSE"):
        surroundings.pop(name, None)
    prepare(planned)
    with (root / "server.log").open("wb") as log:
        server = subprocess.Popen(planned.command, cwd=lessons, env=surroundings, stdout=log, stderr=log)
    try:
        address = f"http://127.0.0.1:{port}"
        _wait_for(f"{address}/api", server, root / "server.log")
        yield Lab(address=address, lessons=lessons, records=records, planned=planned)
    finally:
        server.terminate()
        try:
            server.wait(timeout=20)
        except subprocess.TimeoutExpired:
            server.kill()
            server.wait()


def _free_port() -> int:
    with socket.socket() as door:
        door.bind(("127.0.0.1", 0))
        return door.getsockname()[1]


def _wait_for(address: str, server: subprocess.Popen, log: Path) -> None:
    until = time.monotonic() + STARTS_WITHIN
    while time.monotonic() < until and server.poll() is None:
        try:
            urllib.request.urlopen(address, timeout=5).close()
            return
        except (urllib.error.URLError, OSError):
            time.sleep(0.2)
    pytest.fail(f"JupyterLab did not start: {log.read_text(errors='replace')[-2000:]}")
