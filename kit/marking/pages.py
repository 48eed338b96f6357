"""The marks as pages: one a learner, the class, its exercises, the criteria. Plain HTML, nothing from outside."""

import hashlib
import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from kit.marking.class_report import Tally, bars, report
from kit.marking.feedback import lost, named_ideas, practice
from kit.marking.integrity import Kept, doubts, oral_questions
from kit.marking.marks import LearnerMarks, MarkBook
from kit.marking.matrix import coverage, standings
from kit.marking.rubric import Rubric, default_rubric
from kit.marking.statistics import FEW
from kit.marking.tables import write_table
from kit.marking.writing import written

TEMPLATES = Path(__file__).parent
# Names a page must not have: the lists themselves, and devices that Windows finds in every folder.
RESERVED = re.compile(r"index|class|criteria|questions|con|prn|aux|nul|com\d|lpt\d")
# A matrix longer than this is read in its table.
MOST_LISTED = 500
CRITERIA_HEAD = ("learner", "criterion", "proposed", "speak for it", "exercises", "why", "decided", "by", "date")


@dataclass(frozen=True, slots=True, kw_only=True)
class Total:
    """A learner's line on the class's page: ``lessons`` are those begun; ``percent`` is None with nothing to earn."""

    learner: str
    points: int
    of: int
    percent: int | None
    lessons: int
    waiting: int
    problems: int

    @classmethod
    def of_learner(cls, one: LearnerMarks) -> "Total":
        """What of all a learner's marks stands in one line."""
        return cls(
            learner=one.learner, points=one.points, of=one.of, percent=one.percent,
            lessons=len({row.question.partition(".")[0] for row in one.rows if row.attempts and "." in row.question}),
            waiting=sum(row.waits for row in one.rows),
            problems=len(one.troubles),
        )


def write_pages(book: MarkBook, out: Path, rubric: Rubric | None = None) -> tuple[Path, ...]:
    """Write ``index.html``, ``class.html``, ``criteria.html``, ``questions.html``, a page a learner, ``criteria.csv``.

    Without a rubric the default one says what is enough evidence. Raises RecordError where that cannot be done.
    """
    from jinja2 import Environment, FileSystemLoader, StrictUndefined

    templates = Environment(
        loader=FileSystemLoader(TEMPLATES), autoescape=True, undefined=StrictUndefined, trim_blocks=True,
        lstrip_blocks=True,
    )
    rubric = rubric or default_rubric()
    names = page_names(book.learners)
    tally, totals, pages, matrix, kept, orals = Tally(rubric), [], [], [], [], []
    page = templates.get_template("learner.html")

    def judged() -> Iterator[Sequence[object]]:
        """Each learner's page written, and the rows of the table of criteria: marks are read one learner at a time."""
        for one in book.learners:
            found = standings(one, rubric)
            text = page.render(
                marks=one, rubric=rubric, finished=sum(row.attempts > 0 for row in one.rows), standings=found,
                ideas=named_ideas(one), practice=practice(one), lost=lost,
            )
            pages.append(_write(out / names[one.learner], text))
            tally.take(one)
            totals.append(Total.of_learner(one))
            kept.append(Kept.of(one))
            if len(matrix) < MOST_LISTED:
                matrix.append((one.learner, names[one.learner], found))
                orals.append((one.learner, names[one.learner], oral_questions(one)))
            for each in found:
                speak = sum(piece.speaks_for for piece in each.pieces)
                name, word = each.criterion.id, each.proposal.word
                yield one.learner, name, word, speak, len(each.pieces), each.why, "", "", ""

    table = write_table(out / "criteria.csv", CRITERIA_HEAD, judged())
    of_class, covered = report(tally), coverage(rubric)
    more = len(book.learners) - len(matrix)
    lists = {
        "index.html": {
            "book": book, "names": names, "totals": totals, "lessons": max((one.lessons for one in totals), default=0),
            "waiting": sum(one.waiting for one in totals), "asked": rubric.asked,
        },
        "class.html": {"book": book, "report": of_class, "bars": bars(of_class), "few": FEW},
        "criteria.html": {
            "rubric": rubric, "coverage": covered, "gaps": [each for each in covered if each.missing],
            "learners": matrix, "more": more, "counts": of_class.criteria,
        },
        "questions.html": {"doubts": doubts(kept), "orals": orals, "more": more},
    }
    made = [_write(out / name, templates.get_template(name).render(**values)) for name, values in lists.items()]
    return (*made, table, *pages)


def page_names(learners: Iterable[LearnerMarks]) -> dict[str, str]:
    """A file name for each learner's page: theirs where it is plain, else made plain with a mark of its own."""
    names: dict[str, str] = {}
    taken: set[str] = set()
    for one in learners:
        plain, marked = possible_names(one.learner)
        name = marked if plain in taken else plain
        taken.add(name)
        names[one.learner] = f"{name}.html"
    return names


def possible_names(learner: str) -> tuple[str, str]:
    """What a learner's page may be called, without its ending: as a rule, and where another has that name."""
    plain = re.sub(r"[^a-z0-9]+", "-", learner.lower()).strip("-")[:40] or "learner"
    marked = f"{plain}-{hashlib.sha256(learner.encode()).hexdigest()[:12]}"
    return marked if plain != learner or RESERVED.fullmatch(plain) else plain, marked


def _write(path: Path, text: str) -> Path:
    with written(path) as file:
        file.write(text.encode("utf-8", "backslashreplace"))
    return path
