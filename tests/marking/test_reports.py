"""What marking writes: tables a spreadsheet cannot be tricked by, pages that hold only what they should."""

import csv
import re
from html.parser import HTMLParser

import pytest

from kit.errors import RecordError
from kit.marking import mark_folder, write_pages, write_tables
from kit.marking.tables import safe_cell


def read(path):
    with path.open(encoding="utf-8-sig", newline="") as file:
        return list(csv.reader(file))


def written(handed_in, out):
    book = mark_folder(handed_in)
    write_tables(book, out)
    write_pages(book, out)
    return book


def test_the_marks_table_has_a_row_a_learner_and_question(handed_in, learner, tmp_path):
    one = learner("wren")
    one.right("06.1")
    one.say("06.3", "0 V")
    learner("heron").right("06.5")
    written(handed_in, tmp_path / "marks")
    head, *rows = read(tmp_path / "marks" / "marks.csv")
    # More columns may follow; these stay where spreadsheets of last year look for them.
    assert head[:7] == ["learner", "question", "version", "points", "of", "attempts", "note"]
    rows = [row[:7] for row in rows]
    assert len(rows) == 14
    assert ["wren", "06.1", "1", "4", "4", "1", ""] in rows
    assert ["wren", "06.3", "1", "0", "4", "1", ""] in rows
    assert ["wren", "06.2", "1", "0", "10", "0", "not answered"] in rows
    # 4 + 10 + 4 + 10 + 4 + 4 + 100 points in the lesson.
    totals = [row[:4] for row in read(tmp_path / "marks" / "totals.csv")[1:]]
    assert totals == [["heron", "4", "136", "0"], ["wren", "4", "136", "0"]]


@pytest.mark.parametrize(
    "text", ["=1+1", "+cmd", "-2", "@SUM(A1)", " =1", "\t=1", "\r=1", "|calc", "%x", "＝1", "\n=2"],
)
def test_text_that_a_spreadsheet_would_compute_is_made_plain(text):
    cell = safe_cell(text)
    assert cell.startswith("'") and "\n" not in cell and "\r" not in cell


def test_numbers_and_plain_text_stay_as_they_are():
    assert safe_cell(-3) == -3
    assert safe_cell("12,8 V; a = b") == "12,8 V; a = b"


NASTY = [
    "../../evil", "/etc/passwd", "..\\..\\evil", "=HYPERLINK(1)", "<script>alert(1)</script>", "index", "con", "é" * 60,
]


def test_no_name_of_a_learner_reaches_outside_the_folder_or_into_the_page(handed_in, learner, tmp_path):
    for name in [*NASTY, "Wren", "wren"]:
        learner(name).right("06.1")
    out = tmp_path / "marks"
    before = {path for path in tmp_path.rglob("*") if out not in path.parents}
    written(handed_in, out)
    assert {path for path in tmp_path.rglob("*") if out not in path.parents} - {out} == before
    pages = {path.name for path in out.glob("*.html")}
    # The list, the class, the criteria, the questions; and "Wren" beside "wren".
    assert len(pages) == len(NASTY) + 4 + 2
    assert len({name.lower() for name in pages}) == len(pages)
    assert all(re.fullmatch(r"[a-z0-9-]+\.html", name) for name in pages)
    assert "con.html" not in pages and "wren.html" in pages
    for page in out.glob("*.html"):
        assert "<script" not in page.read_text(encoding="utf-8")
    assert all(not cell.startswith("=") for row in read(out / "marks.csv") for cell in row)


class Reader(HTMLParser):
    """Collects the tags, the text, and anything a page would fetch or run."""

    def __init__(self):
        super().__init__()
        self.tags, self.text, self.outside = [], "", []

    def handle_starttag(self, tag, attrs):
        self.tags.append(tag)
        self.outside += [
            (tag, name) for name, value in attrs
            if name in ("src", "srcset", "data", "action") or name.startswith("on")
            or (name == "href" and not (value.startswith("#") or re.fullmatch(r"[a-z0-9-]+\.html", value)))
        ]

    def handle_data(self, data):
        self.text += data


def test_a_page_gives_the_answer_the_reason_and_the_idea_and_needs_nothing_from_outside(handed_in, learner, tmp_path):
    one = learner("wren")
    one.say("06.3", "0 V")
    one.say("07.3", "0 V")
    one.say("06.5", "<img src=x onerror=alert(1)> 5 V")
    one.say("06.5", "<b>7</b>")
    one.choose("06.6", "same again")
    written(handed_in, tmp_path)
    for name in ("wren.html", "index.html"):
        page = Reader()
        page.feed((tmp_path / name).read_text(encoding="utf-8"))
        assert not page.outside
        assert not {"script", "img", "iframe", "link", "object", "b"} & set(page.tags)
        assert page.tags.count("h1") == 1 and "caption" in page.tags
    page = Reader()
    page.feed((tmp_path / "wren.html").read_text(encoding="utf-8"))
    assert "Your answer: 0 V" in page.text and "Your answer: Fit another 30 A fuse" in page.text
    assert "volts need no current" in page.text
    assert "no current, so no volts" in page.text
    assert "0 of 4" in page.text


def test_problems_are_in_their_table_and_on_the_list(handed_in, learner, tmp_path):
    learner("wren").right("06.1")
    (handed_in / "=evil.jsonl").write_text("nope\n")
    written(handed_in, tmp_path)
    rows = read(tmp_path / "problems.csv")
    assert rows[1][0] == "'=evil.jsonl" and "not JSON" in rows[1][4]
    assert "=evil.jsonl" in (tmp_path / "index.html").read_text(encoding="utf-8")


def test_the_same_records_give_the_same_bytes(handed_in, learner, tmp_path):
    learner("wren").say("06.3", "0 V")
    for name in ("one", "two"):
        written(handed_in, tmp_path / name)
    files = sorted(path.name for path in (tmp_path / "one").iterdir())
    assert all((tmp_path / "one" / name).read_bytes() == (tmp_path / "two" / name).read_bytes() for name in files)


def test_a_folder_that_cannot_be_written_is_one_plain_line(handed_in, learner, tmp_path):
    learner("wren").right("06.1")
    (tmp_path / "file").write_text("in the way")
    book = mark_folder(handed_in)
    for write in (write_tables, write_pages):
        with pytest.raises(RecordError, match="cannot be written"):
            write(book, tmp_path / "file" / "marks")
