"""The case library on a page of its own: searched, unfolded and opened, by hand and by keys."""

import json

import pytest
from axe_playwright_python.sync_playwright import Axe
from bare_page import BarePage
from playwright.sync_api import expect

from kit.bay import CaseBook
from kit.records import Record

pytestmark = pytest.mark.browser


@pytest.fixture
def record(tmp_path):
    """A new record in a folder of its own."""
    return Record.open(folder=tmp_path, course="autumn", learner="wren")


def heads(page):
    return page.locator(".kit-case-head")


def case(page, card):
    return page.locator(f"[data-case='{card}']")


def test_a_case_is_searched_unfolded_and_opened(chromium_page, record):
    page = chromium_page
    bare = BarePage(page, CaseBook(record=record))
    expect(heads(page)).to_have_count(12)
    page.get_by_role("button", name="Show 24 more of 48").click()
    expect(heads(page)).to_have_count(36)
    page.get_by_role("textbox").fill("click bike stick")
    expect(heads(page)).to_have_count(1)
    page.get_by_role("textbox").fill("click bike")
    expect(heads(page).first).to_contain_text("One click, and that is all")
    # Marked work stays shut; what is beside it is opened, and only then sent.
    heads(page).first.click()
    expect(case(page, "J6")).to_contain_text("The starter relay clicks.")
    expect(case(page, "J6")).to_contain_text("Work card J6 first (lesson 08)")
    expect(case(page, "J6").get_by_role("button", name="Open the case")).to_have_count(0)
    case(page, "J10").get_by_role("button").first.click()
    expect(case(page, "J10")).to_contain_text('kit.job("J10")')
    assert "brushes" not in json.dumps([bare.sent, bare.others])
    case(page, "J10").get_by_role("button", name="Open the case").click()
    expect(case(page, "J10")).to_contain_text("What was tried wrongly: the starter relay")
    expect(case(page, "J10").locator("td", has_text="12.65 V").last).to_be_visible()
    expect(page.locator(":focus")).to_have_class("kit-case-head")
    page.get_by_role("textbox").fill("clik")
    expect(page.locator(".kit-caution").first).to_contain_text("Near it: click")
    expect(page.get_by_role("status")).to_contain_text("0 cases.")
    page.get_by_role("button", name="Clear").click()
    page.get_by_role("button", name="grunt (1)").click()
    expect(heads(page)).to_have_count(1)
    expect(page.get_by_role("button", name="grunt (1)")).to_have_attribute("aria-pressed", "true")
    assert bare.went_wrong == []


def test_all_of_it_goes_by_keys(chromium_page, record):
    page = chromium_page
    bare = BarePage(page, CaseBook(record=record))
    box = page.get_by_role("textbox")
    box.focus()
    page.keyboard.type("loose pulses lamps die")
    page.keyboard.press("Escape")
    expect(box).to_have_value("")
    page.keyboard.type("clatter")
    page.keyboard.press("Enter")
    expect(heads(page)).to_have_count(6)
    heads(page).first.focus()
    for key, at in (("ArrowDown", 1), ("End", 5), ("ArrowUp", 4), ("Home", 0)):
        page.keyboard.press(key)
        expect(heads(page).nth(at)).to_be_focused()
    case(page, "J8").locator(".kit-case-head").focus()
    page.keyboard.press("Enter")
    expect(case(page, "J8").locator(".kit-case-head")).to_have_attribute("aria-expanded", "true")
    page.keyboard.press("Tab")
    expect(case(page, "J8").get_by_role("button", name="Open the case")).to_be_focused()
    page.keyboard.press("Enter")
    expect(case(page, "J8")).to_contain_text("Clamp loose")
    expect(case(page, "J8").locator(".kit-case-head")).to_be_focused()
    page.keyboard.press("Enter")
    expect(case(page, "J8").locator(".kit-case-body")).to_be_hidden()
    assert bare.went_wrong == []


@pytest.mark.parametrize(("theme", "width"), [("light", 960), ("dark", 320)])
def test_no_serious_finding_of_axe_and_nothing_too_small_or_too_wide(chromium, record, theme, width):
    page = chromium.new_page(viewport={"width": width, "height": 800})
    book = CaseBook(record=record)
    book.look("click bike")
    book.read("J10")
    BarePage(page, book, theme=theme)
    for card in ("J6", "J10"):
        case(page, card).locator(".kit-case-head").click()
    expect(case(page, "J10")).to_contain_text("What decides")
    found = Axe().run(page).response["violations"]
    assert [one["id"] for one in found if one["impact"] in ("serious", "critical")] == []
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    small = page.evaluate("""() => [...document.querySelectorAll(".kit-bay button, .kit-bay select, .kit-bay input")]
      .map((node) => [node.textContent, node.getBoundingClientRect()])
      .filter(([, box]) => box.width && (box.height < 24 || box.width < 24)).map(([text]) => text)""")
    assert small == []
    page.close()
