"""The instructor's corner in a real browser: the main path, by mouse, with the bay of the room below it."""

import pytest
from axe_playwright_python.sync_playwright import Axe
from bare_page import BarePage
from playwright.sync_api import expect
from test_bay_page import SMALL
from workshop import answered, move, press

from kit.bay import Corner, MachineBay
from kit.exercises.cards import card
from kit.machines import machine
from kit.records import Record

pytestmark = pytest.mark.browser


@pytest.fixture
def handed_in(tmp_path):
    """A learner's work on a job of another machine."""
    folder, chosen = tmp_path / "handed-in", card("J25")
    record = Record.open(folder=folder, course="autumn", learner="wren")
    bay = MachineBay(chosen.machine, record=record, faults=chosen.faults("wren", "autumn"), card=chosen)
    bay.prepare("secure")
    bay.lamp(clip="G1.-", tip="G1.+")
    bay.operate(key="on")
    return folder


def serious(page):
    found = Axe().run(page).response["violations"]
    return [(rule["id"], node["html"][:100]) for rule in found for node in rule["nodes"]
            if rule["impact"] in ("serious", "critical")]


def test_a_lesson_is_led_from_the_corner(chromium_page, tmp_path, handed_in):
    page = chromium_page
    corner = Corner(machine("orchard-bike"), record=Record.open(folder=tmp_path, course="autumn", learner="heron"))
    bare = BarePage(page, corner, corner.bay)
    desk, bay = page.locator(".kit-corner"), page.locator(".kit-bay:not(.kit-corner)")

    # Set by hand, hidden: nothing of it stays on the wall.
    desk.get_by_label("the fault: part").select_option("W7")
    desk.get_by_label("the fault: what is wrong with it").select_option("open")
    press(desk, "Set it, hidden")
    expect(desk.get_by_label("the fault: part")).to_have_value("")
    assert not [text for text in bare.sent[2:] if "W7 open" in text]
    move(bay, "key", "on")

    # A vote without devices.
    desk.get_by_role("button", name="Vote", exact=True).click()
    desk.get_by_label("Tip on").select_option("F1.2")
    press(desk, "Ask what the lamp shows there")
    reveal = desk.get_by_role("button", name="Reveal", exact=True)
    expect(reveal).to_have_attribute("aria-disabled", "true")
    for option, hands in (("bright", "7"), ("out", "12")):
        with answered(desk):
            desk.get_by_label(f"Hands for {option}").fill(hands)
            desk.get_by_label(f"Hands for {option}").press("Tab")
    press(desk, "Reveal")
    expect(desk).to_contain_text("It shows: bright. 7 of 19 hands had it.")
    expect(bay.locator(".kit-bubble")).to_have_text("bright")
    expect(bay.locator(".kit-sheet tbody tr")).to_have_count(2)

    # The lid, and on again.
    press(desk, "Reveal what it is")
    expect(desk.locator(".kit-told")).to_contain_text("W7 open")
    expect(bay.locator('[data-letter="F1.2"]')).to_have_text("+")
    press(desk, "Hide what it is")
    expect(desk.locator(".kit-told")).to_be_empty()
    expect(bay.locator('[data-letter="F1.2"]')).to_have_text("")

    # A record on another machine, move by move, leads and drawing with it.
    desk.get_by_role("button", name="Replay a record").click()
    desk.get_by_label("Folder with records", exact=True).fill(str(handed_in))
    press(desk, "Look for records")
    press(desk, "Put it on the bench")
    expect(bay.locator("h3")).to_have_text("Harbour tender")
    press(desk, "one move on")
    expect(desk).to_contain_text("Move 1 of 3: got ready: Key out")
    press(desk, "one move on")
    expect(bay.locator(".kit-lead").nth(1)).to_have_text("tip: G1.+")
    expect(bay.locator(".kit-bubble")).to_have_text("bright")
    assert serious(page) == []
    press(desk, "End the replay")
    expect(bay.locator("h3")).to_have_text("Orchard bike")

    desk.get_by_role("button", name="Class wall").click()
    desk.get_by_label("Folder with the class's records").fill(str(handed_in))
    press(desk, "Show how far each is")
    expect(desk.locator(".kit-wall tbody tr")).to_contain_text("J25 at work, 3 acts")

    bare.theme("dark")
    page.set_viewport_size({"width": 390, "height": 800})
    for tab in ("Set a fault", "Fault of the day", "Vote", "Replay a record", "Class wall"):
        desk.get_by_role("button", name=tab, exact=True).click()
        assert serious(page) == [], tab
        assert page.evaluate(SMALL) == [], tab
        assert page.evaluate("() => document.documentElement.scrollWidth") <= 390, tab
    assert bare.went_wrong == []
