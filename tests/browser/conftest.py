"""A real browser: Chromium, skipped where it is missing, never in CI."""

import os
import shutil

import pytest

FLAGS = (
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync",
)


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
