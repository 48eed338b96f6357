"""The training board: its machine file, and how a test on it is written on paper."""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from kit.diagnose.decisive import perform
from kit.exercises.practicals import Planting
from kit.machines import Machine, machine
from kit.machines.cases import LEADS, CaseTest

FILE = Path(__file__).parent / "training-board.yaml"
TOOLS = {"lamp": "test lamp", "notice": "look, listen"}
# The controls in fewer words where the table is narrow.
SHORT = {
    ("start_button", "pressed"): "start held", ("gear", "first"): "in first", ("clutch", "pulled"): "clutch in",
}
UNIT_PLUG = {"X12", "X13", "X14"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One reading as printed: the tool, where it goes, how the board stands, and what it shows sound and planted.

    ``allows`` is the band a real board may lie in, empty where what is shown is a word.
    """

    tool: str
    where: str
    condition: str
    sound: str
    planted: str
    allows: str


@cache
def training_board() -> Machine:
    """The board as a machine: every figure printed is solved on it."""
    return machine(str(FILE))


def lines(planting: Planting) -> tuple[Line, ...]:
    """What a planting shows, reading by reading, computed on the board sound and planted."""
    return tuple(line(test, planting.faults) for test in planting.tests)


def line(test: CaseTest, faults: Iterable[str] = ()) -> Line:
    """One reading, computed."""
    board, planted = training_board(), tuple(faults)
    return Line(
        tool=TOOLS.get(test.tool, test.tool), where=_where(board, test), condition=_condition(board, test),
        sound=perform(board, (), test).shown, planted=perform(board, planted, test).shown,
        allows=test.shows if any(sign.isdigit() for sign in test.shows) else "",
    )


def part_names(ids: Iterable[str]) -> str:
    """Parts as the list of what to buy has them beside it: their ids and titles."""
    circuit = training_board().circuit
    return "; ".join(f"{part} {circuit[part].title}" for part in ids)


def _where(board: Machine, test: CaseTest) -> str:
    if test.tool in LEADS:
        return ", ".join(f"{lead} {place}" for lead, place in zip(LEADS[test.tool], test.places, strict=True))
    return f"{board.circuit[test.places[0]].title} {test.places[0]}"


def _condition(board: Machine, test: CaseTest) -> str:
    """The controls that are not at rest, what is unplugged, what is moved by hand."""
    words = []
    for moves in test.moves:
        for name, position in moves.items():
            words.append(SHORT.get((name, position), f"{board.controls[name].title} {position}"))
    if test.off:
        whole = set(test.off) >= UNIT_PLUG
        others = [part for part in test.off if not (whole and part in UNIT_PLUG)]
        words += ["unit unplugged"] * whole + [f"{', '.join(others)} off"] * bool(others)
    words += [f"{part} moved by hand" for part in test.wiggled]
    return ", ".join(words) or "all at rest"
