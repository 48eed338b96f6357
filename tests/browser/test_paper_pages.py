"""Printed by Chromium on both papers of the world: nothing wider than the page, nothing that must stay whole broken."""

import pytest

from kit.paper.charts import chart
from kit.paper.data_sheet import data_sheet
from kit.paper.job_cards import job_cards
from kit.paper.worksheets import worksheets

# ISO 216 and ASME Y14.1, in mm; and what style.html leaves at the sides, and above and below together.
PAPERS = {"A4": (210.0, 297.0), "Letter": (215.9, 279.4)}
SIDES, ENDS = 28.0, 25.0
FOOT = 34  # px the foot of a page takes, its room above it included
LOOK = """foot => {
    const page = document.documentElement, inside = each => each.closest("svg") && !each.matches("svg.drawing");
    const wide = [...document.body.querySelectorAll("*")].filter(each => {
        const box = each.getBoundingClientRect();
        return !inside(each) && box.width && (box.left < -0.5 || box.right > page.clientWidth + 0.5);
    });
    const whole = [...document.querySelectorAll(".keep, .part, .step, figure, .grid tr, .caution")];
    const high = whole.filter(each => each.getBoundingClientRect().height > page.clientHeight - foot);
    const small = [...document.querySelectorAll("svg.drawing")].map(each => [each, each.getBoundingClientRect()]);
    const thin = small.filter(([each, box]) => box.width < 0.44 * each.viewBox.baseVal.width);
    const name = each => `${each.tagName} ${each.className} ${(each.textContent || "").trim().slice(0, 40)}`;
    return {wide: wide.map(name), high: high.map(name), thin: thin.length, whole: whole.length};
}"""


def pages(page, html, size):
    """How many pages Chromium makes of it."""
    page.set_content(html)
    return page.pdf(format=size).count(b"/Type /Page\n")


def fits(page, html, size):
    """What is too wide, too high or too small when the window is as large as the paper inside its margins."""
    wide, high = PAPERS[size]
    page.set_viewport_size({"width": int((wide - SIDES) / 25.4 * 96), "height": int((high - ENDS) / 25.4 * 96)})
    page.emulate_media(media="print")
    page.set_content(html)
    return page.evaluate(LOOK, FOOT)


@pytest.fixture(scope="module")
def papers():
    """One of each kind of paper, and the lessons whose forms are widest."""
    made = {
        paper.name: paper.html for paper in (
            *(each for lesson in ("02", "03", "08", "17") for each in worksheets(lesson, ("wren",), "autumn")),
            *job_cards(("J4", "J30"), ("a-long-pseudonym-12",), "autumn", answers=True),
            data_sheet("site-generator"), chart("bench-board", "switch open"),
        )
    }
    assert len(made) == 12
    return made


@pytest.mark.parametrize("size", PAPERS)
def test_nothing_is_wider_or_higher_than_the_page(size, papers, chromium_page):
    for name, html in papers.items():
        found = fits(chromium_page, html, size)
        assert found["whole"] and (found["wide"], found["high"], found["thin"]) == ([], [], 0), (name, found)


def test_what_does_not_fit_is_seen(chromium_page):
    """The check itself, on a page that is too wide and one that is too high."""
    broken = '<style>body{margin:0}</style><div class="keep" style="width:800px;height:2000px">x</div>'
    found = fits(chromium_page, broken, "A4")
    assert len(found["wide"]) == 1 and len(found["high"]) == 1


@pytest.mark.parametrize("size", PAPERS)
def test_a_job_card_is_one_sheet_of_paper_and_a_learner_begins_on_a_new_one(size, papers, chromium_page):
    (three,) = job_cards(("J4", "J30", "J61"), (), "autumn", answers=False)
    assert pages(chromium_page, three.html, size) == 6  # three cards, front and back, one with room for a second fault
    alone = sum(pages(chromium_page, worksheets("03", (who,), "autumn")[0].html, size) for who in ("wren", "finch"))
    assert pages(chromium_page, worksheets("03", ("wren", "finch"), "autumn")[0].html, size) == alone
