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
