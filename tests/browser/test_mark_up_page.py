"""Marking up a drawing by hand: by keys alone, on a wide page and a narrow one, and what is told when it is locked."""

import pytest
from axe_playwright_python.sync_playwright import Axe
from bare_page import BarePage
from playwright.sync_api import expect
from workshop import answered

from kit.bay import QuestionSheet
from kit.exercises import question, right_answer, variant
from kit.records import Record

pytestmark = pytest.mark.browser


@pytest.fixture
def record(tmp_path):
    """A new record in a folder of its own."""
    return Record.open(folder=tmp_path, course="autumn", learner="wren")


def shown(page, record, question_id):
    bare = BarePage(page, QuestionSheet(question(question_id), record=record))
    return bare, page.locator(".kit-question"), right_answer(question(question_id), variant(question(question_id),
                                                                                            "autumn", "wren"))


def test_lines_are_judged_by_keys_alone_and_locked_with_the_reading_that_speaks_against_them(chromium_page, record):
    page = chromium_page
    bare, sheet, whole = shown(page, record, "17.3")
    expect(sheet.locator(".kit-drawing svg")).to_be_visible()
    verdicts = ["right", "wrong", "not shown"]
    wrong = next(key for key, said in whole.items() if said == "wrong")
    send = sheet.get_by_role("button", name="Lock what I say")
    expect(send).to_have_attribute("aria-disabled", "true")
    sheet.get_by_role("radio").first.focus()
    for key, said in whole.items():
        if said in verdicts:
            page.keyboard.press("Space")
            for _ in range(verdicts.index("right" if key == wrong else said)):
                page.keyboard.press("ArrowRight")
        else:
            page.keyboard.type(said)
        page.keyboard.press("Tab")
    with answered(sheet):
        page.keyboard.press("Enter")
    expect(sheet).to_contain_text("3 of 7 points")
    expect(sheet.get_by_role("status").last).to_contain_text(f"{wrong}, you said right")
    expect(sheet.locator(".kit-mark-up")).to_contain_text("you said right, it is wrong")
    assert bare.went_wrong == []


def test_names_are_chosen_from_lists_and_a_fresh_one_brings_another_drawing(chromium_page, record):
    _bare, sheet, whole = shown(chromium_page, record, "17.1")
    for key, name in whole.items():
        sheet.get_by_label(f"Number {key}", exact=True).select_option(label=name)
    with answered(sheet):
        sheet.get_by_role("button", name="Lock what I say").click()
    expect(sheet).to_contain_text("7 of 7 points")
    before = sheet.locator(".kit-drawing").inner_html()
    with answered(sheet):
        sheet.get_by_role("button", name="Another one like it").click()
    assert sheet.locator(".kit-drawing").inner_html() != before
    assert all(box.input_value() == "" for box in sheet.locator("select").all())


@pytest.mark.parametrize("width", [390, 1000])
@pytest.mark.parametrize("question_id", ["17.1", "17.6"])
def test_nothing_is_too_small_or_too_wide_and_axe_finds_nothing_serious(chromium_page, record, question_id, width):
    page = chromium_page
    page.set_viewport_size({"width": width, "height": 900})
    _bare, sheet, _whole = shown(page, record, question_id)
    small = sheet.locator("select:visible, button:visible, .kit-segments label:visible, summary").evaluate_all(
        "found => found.map((one) => one.getBoundingClientRect()).filter((box) => box.width < 24 || box.height < 24)"
        ".length")
    assert small == 0
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    found = Axe().run(page).response["violations"]
    assert not [one["id"] for one in found if one["impact"] in ("serious", "critical")]
