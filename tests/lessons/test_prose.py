"""The words of the lessons: short cells, short sentences, terms explained, cautions that defer to the manual."""

import re
from pathlib import Path

import nbformat
import pytest

ROOT = Path(__file__).parents[2]
LESSONS = sorted((ROOT / "lessons").glob("[0-9]*.ipynb"))
MOST_WORDS, LONGEST_SENTENCE = 80, 30


def prose(path):
    """The Markdown cells as plain text: no code, links, quotes or headings' marks."""
    cells = [cell.source for cell in nbformat.read(path, as_version=4).cells if cell.cell_type == "markdown"]
    cells = [cell for cell in cells if "<button" not in cell]
    plain = [re.sub(r"<[^>]+>", " ", cell) for cell in cells]
    plain = [re.sub(r"\[([^\]]+)\]\([^)]+\)", r"\1", cell) for cell in plain]
    return [re.sub(r"[*`#>]", "", cell) for cell in plain]


def words(text):
    return [found.rstrip(".’'-") for found in re.findall(r"[A-Za-z0-9][\w’'.+-]*", text)]


def sentences(text):
    # A line of a list or of a table is read by itself.
    lines = [line.strip() for line in re.split(r"\n\s*\n|\n(?=\s*(?:-|\d+\.)\s)|\n(?=\|)", text)]
    found = [part for line in lines for part in re.split(r"(?<=[.!?:”])\s+", line)]
    return [part for part in found if words(part)]


def syllables(word):
    groups = re.findall(r"[aeiouy]+", word.lower().removesuffix("e"))
    return max(1, len(groups))


def grade(texts):
    """The reading grade of Kincaid and others (1975): 0.39 · words a sentence + 11.8 · syllables a word − 15.59."""
    spoken = [part for text in texts for part in sentences(text)]
    said = [word for part in spoken for word in words(part) if word[0].isalpha()]
    return 0.39 * len(said) / len(spoken) + 11.8 * sum(map(syllables, said)) / len(said) - 15.59


def test_the_grade_is_the_published_one():
    """Counted by hand: two sentences, ten words, eleven syllables."""
    text = "The lamp is out. You look at the other blade."
    assert (len(sentences(text)), len(words(text)), sum(map(syllables, words(text)))) == (2, 10, 11)
    assert grade([text]) == pytest.approx(0.39 * 10 / 2 + 11.8 * 11 / 10 - 15.59)


@pytest.mark.parametrize("path", LESSONS, ids=lambda path: path.stem)
def test_cells_and_sentences_are_short(path, capsys):
    cells = prose(path)
    longest = max((part for cell in cells for part in sentences(cell)), key=lambda part: len(words(part)))
    with capsys.disabled():
        print(f"\n{path.stem}: grade {grade(cells):.1f}, longest sentence {len(words(longest))} words", end=" ")
    for cell in cells:
        assert len(words(cell)) <= MOST_WORDS, cell
    assert len(words(longest)) <= LONGEST_SENTENCE, longest
    assert grade(cells) <= 7.5


@pytest.mark.parametrize("path", LESSONS, ids=lambda path: path.stem)
def test_a_lesson_has_its_parts(path):
    notebook = nbformat.read(path, as_version=4)
    text = "\n".join(cell.source for cell in notebook.cells)
    assert "you can" in notebook.cells[0].source and "minutes" in notebook.cells[0].source
    assert "notebook:run-all-cells" in notebook.cells[1].source
    assert "Take care" in text and "own manual" in text
    assert "Three sentences to remember" in notebook.cells[-1].source or "Three sentences to remember" in text
    for cell in notebook.cells:
        if cell.cell_type == "code":
            assert cell.metadata.get("jupyter", {}).get("source_hidden") is True, cell.source
            assert len(cell.source.splitlines()) <= 8, cell.source


def test_every_term_made_bold_is_in_the_glossary():
    """A term is bold where it is met first; the glossary has them all."""
    glossary = "\n".join(prose(ROOT / "lessons" / "words.ipynb")).lower()
    for path in LESSONS:
        for cell in nbformat.read(path, as_version=4).cells:
            if cell.cell_type != "markdown":
                continue
            for term in re.findall(r"\*\*([^*]+)\*\*", cell.source):
                if term.rstrip(":").lower() not in ("take care", "+", "g"):
                    assert term.lower().rstrip(".,:s") in glossary, (path.stem, term)


@pytest.mark.parametrize("path", LESSONS, ids=lambda path: path.stem)
def test_a_folded_cell_does_not_give_a_hidden_fault_away(path):
    """JupyterLab shows the first line of a folded cell: a fault that is to be found must not stand there."""
    for cell in nbformat.read(path, as_version=4).cells:
        if cell.cell_type == "code" and "kit.bay(" in cell.source and "tell-all" not in cell.source:
            assert "faults=" not in cell.source.splitlines()[0], cell.source
