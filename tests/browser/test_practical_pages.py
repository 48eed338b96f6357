"""Practicals printed by Chromium: nothing cut, the learner's and the observation sheet one sheet of paper each."""

import pytest
from test_paper_pages import PAPERS, fits, pages

from kit.exercises.practicals import practicals
from kit.paper.practical import practical_papers

MOST = {"learner": 1, "observation": 1, "instructor": 2}


@pytest.fixture(scope="module")
def papers():
    """Those of the practicals with most on their pages, and the board's."""
    most = sorted(practicals().values(), key=lambda one: sum(len(each.seen) for each in one.watched))[-1]
    longest = max(practicals().values(), key=lambda one: sum(len(each.tests) for each in one.plantings))
    made = [*practical_papers("board")]
    for lesson in {most.lesson, longest.lesson, "11"}:
        made += practical_papers(lesson)
    return {paper.name: paper.html for paper in made if paper.name.endswith(".html")}


@pytest.mark.parametrize("size", PAPERS)
def test_nothing_is_cut_and_each_sheet_is_one(size, papers, chromium_page):
    assert len(papers) >= 9
    for name, html in papers.items():
        found = fits(chromium_page, html, size)
        assert found["whole"] and (found["wide"], found["high"], found["thin"]) == ([], [], 0), (name, found)
        kind = name.removesuffix(".html").split("-")[-1]
        if kind in MOST:
            assert 1 <= pages(chromium_page, html, size) <= MOST[kind], name
    assert pages(chromium_page, papers["training-board-drawing.html"], size) == 2
