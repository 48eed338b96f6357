"""A practical on paper: the instructor's page, the learner's, the observation sheet, and a table to type it in.

The learner's page gives no fault away. Every figure on the instructor's is solved on the training board when it is
printed. ``board_papers`` prints the board itself: parts, proof, box of faults, rules of planting, drawings.
"""

import csv
import io
from collections.abc import Sequence

from kit.draw import schematic, sheet
from kit.errors import PaperError, QuestionError
from kit.exercises.criteria import CRITERIA
from kit.exercises.practicals import BOARD, Practical, practical
from kit.exercises.practicals_board import FAULT_BOX, FIRST, METHODS, NEVER, ON_A_MACHINE, PARTS, PROOF, PROVING
from kit.paper.board import FILE, line, lines, part_names, training_board
from kit.paper.press import Paper, Pictures, press
from kit.records.outgoing import FORMULA_SIGNS

# The table an observation sheet is typed into; kit/marking/by_hand.py reads it.
RESULTS = ("learner", "practical", "criterion", "outcome", "assessor", "date", "machine", "note")
OUTCOMES = ("met", "not yet", "not seen")
# px of a stage: so they stand in rows, the ground side has one of its own, and two rows are a page on Letter too.
STAGE_WIDE, STAGE_HIGH, FIRST_PAGE = 480.0, 350.0, 4
SHEET_ROWS = 9


def practical_papers(lesson: str, learners: Sequence[str] = ()) -> tuple[Paper, ...]:
    """All papers of the practical beside a lesson, or of the board for ``board``; raises PaperError for no such one.

    With ``learners`` there is an observation sheet each with the name on it, and their lines in the table.
    """
    if lesson in ("board", BOARD):
        return board_papers()
    try:
        chosen = practical(lesson)
    except QuestionError as reason:
        raise PaperError(f"{reason} \"board\" prints the training board.") from None
    title, name = f"Practical {chosen.lesson}: {chosen.title}", f"practical-{chosen.lesson}"
    named = tuple(learners) or ("",)
    usual = {"practical": chosen, "first": FIRST, "criteria": CRITERIA}
    return (
        press("practical-instructor.html", f"{name}-instructor.html", title=f"{title} (instructor)",
              plantings=[(each, lines(each)) for each in chosen.plantings], never=NEVER, **usual),
        press("practical-learner.html", f"{name}-learner.html", title=title, rows=SHEET_ROWS,
              owners=tuple(dict.fromkeys(each.owner for each in chosen.plantings)), **usual),
        press("practical-observation.html", f"{name}-observation.html", title=f"{title} (observation sheet)",
              learners=named, outcomes=OUTCOMES, **usual),
        Paper(name=f"{name}-results.csv", html=_table(chosen, named)),
    )


def board_papers() -> tuple[Paper, ...]:
    """The training board: what to buy and how to prove it, its drawings, and its machine file to open in the kit."""
    board, pictures, whole = training_board(), Pictures(), Pictures()
    stages = [
        (stage.id, stage.about, pictures.put(
            schematic(board, stage.id, ground="print"), wide=STAGE_WIDE, high=STAGE_HIGH, turns=False))
        for stage in board.stages.values()
    ]
    return (
        press("practical-board.html", "training-board.html", title="The training board", board=board, first=FIRST,
              parts=[(item, part_names(item.parts)) for item in PARTS], faults=FAULT_BOX, proof=map(line, PROOF),
              proving=PROVING, methods=METHODS, never=NEVER, on_a_machine=ON_A_MACHINE, data=board.data),
        press("practical-drawing.html", "training-board-drawing.html", title="The training board, drawn",
              pictures=pictures, board=board, pages=(stages[:FIRST_PAGE], stages[FIRST_PAGE:])),
        press("practical-whole.html", "training-board-whole.html", title="The training board on one drawing",
              pictures=whole, board=board, tiles=whole.tiles(sheet(board, ground="print"))),
        Paper(name=FILE.name, html=FILE.read_text(encoding="utf-8")),
    )


def _table(chosen: Practical, learners: Sequence[str]) -> str:
    """The table to type the sheets into: a line a learner and criterion, outcome and the rest left empty."""
    text = io.StringIO()
    table = csv.writer(text, lineterminator="\n")
    table.writerow(RESULTS)
    for learner in learners:
        # A name that a spreadsheet would take for a formula.
        safe = f"'{learner}" if learner.lstrip().startswith(FORMULA_SIGNS) else learner
        table.writerows((safe, chosen.lesson, name, "", "", "", "", "") for name in chosen.criteria)
    return text.getvalue()
