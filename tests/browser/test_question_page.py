"""Question sheets on a page of their own: answers that get lost, and drawings on a dark page."""

import pytest
from bare_page import BarePage
from playwright.sync_api import expect
from workshop import PATIENCE, answered

from kit.bay import QuestionSheet
from kit.exercises import question, truth, variant
from kit.records import Record, read_record

pytestmark = pytest.mark.browser


@pytest.fixture
def record(tmp_path):
    """A new record in a folder of its own."""
    return Record.open(folder=tmp_path, course="autumn", learner="wren")


def shown(page, record, question_id):
    bare = BarePage(page, QuestionSheet(question(question_id), record=record))
    return bare, page.locator(".kit-question")


def answers(record):
    return [entry for entry in read_record(record.path).entries if entry.kind == "answer"]


def test_an_answer_that_gets_lost_is_sent_again_and_marked_once(chromium_page, record):
    bare, sheet = shown(chromium_page, record, "06.3")
    right = truth(question("06.3"), variant(question("06.3"), "autumn", "wren"))
    sheet.get_by_role("textbox").fill(f"{right:.2f} V")
    bare.lose = 2
    with answered(sheet):
        sheet.get_by_role("button", name="Check my answer").click()
    expect(sheet).to_contain_text("4 of 4 points")
    assert [message["number"] for message in bare.arrived] == [1, 1, 1] and len(answers(record)) == 1
    expect(sheet.locator(".kit-link")).to_be_hidden()
    assert bare.went_wrong == []


def test_a_kernel_that_is_gone_is_said_and_what_to_do(chromium_page, record):
    page = chromium_page
    bare, sheet = shown(page, record, "06.3")
    bare.lose = 1000
    page.evaluate("() => { const now = performance.now.bind(performance); performance.now = () => 8 * now(); }")
    sheet.get_by_role("textbox").fill("3 V")
    sheet.get_by_role("button", name="Check my answer").click()
    expect(sheet.locator(".kit-link")).to_contain_text("Press the button at the top", timeout=PATIENCE)
    bare.lose = 0
    with answered(sheet):
        pass
    expect(sheet.locator(".kit-link")).to_be_hidden()
    assert len(answers(record)) == 1


def test_the_drawing_follows_the_page_from_light_to_dark_and_back(chromium_page, record):
    bare, sheet = shown(chromium_page, record, "06.1")
    sheet.locator("summary").click()
    paper = sheet.locator(".kit-drawing svg > rect").first
    for theme, ground in (("light", "#FFFFFF"), ("dark", "#14171B"), ("light", "#FFFFFF")):
        bare.theme(theme)
        expect(paper).to_have_attribute("fill", ground)


def test_a_figure_keeps_its_unit_on_its_line(chromium_page, record):
    bare, sheet = shown(chromium_page, record, "12.3")
    assert sheet.locator("tbody td").first.text_content().endswith("\u00a0V AC")
    assert "12\u00a0V AC" in sheet.locator(".kit-prompt").text_content() and bare.went_wrong == []


def test_what_each_outcome_leaves_is_told_on_a_line_of_its_own(chromium_page, record):
    bare, sheet = shown(chromium_page, record, "09.3")
    sheet.locator('input[value="B1.1"]').check(force=True)
    for outcome in sheet.locator(".kit-outcome").all():
        outcome.get_by_role("checkbox").first.check()
    with answered(sheet):
        sheet.get_by_role("button", name="Check my answer").click()
    told = sheet.locator(".kit-saying").text_content().split("\n")
    assert "at worst" in told[0] and all(line.startswith("If the lamp is") for line in told[1:]) and len(told) > 1
    assert bare.went_wrong == []


def test_a_drawing_that_goes_on_beyond_a_narrow_page_says_so(chromium_page, record):
    page = chromium_page
    _bare, sheet = shown(page, record, "17.1")
    note = sheet.get_by_text("slide it")
    for width in (1280, 390, 1280):
        page.set_viewport_size({"width": width, "height": 900})
        expect(note).to_be_visible(visible=width == 390)


def test_a_sum_about_a_paper_board_offers_no_drawing(chromium_page, record):
    _bare, sheet = shown(chromium_page, record, "01.4")
    expect(sheet.get_by_role("textbox")).to_be_visible()
    assert sheet.locator("details").count() == 0 and "null" not in sheet.inner_text()
