"""Mark up and correct: give names to a drawing that has none, or find where a drawing and the machine part ways.

For a wrong drawing the learner measures on the machine, and says of each lettered line whether it is right, wrong, or
such that no lamp or meter can tell; then what is really so. What is right is found out with a lamp on the machine
itself (``claims``); the drawing is that of another circuit (``kit.machines.misdrawn``).
"""

import json
import re
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import ClassVar, assert_never

from kit.circuit import Terminal
from kit.errors import QuestionError
from kit.exercises.choice import LETTERS
from kit.exercises.claims import Claim, Condition, claims_of, contradiction, full, in_words, shows, support
from kit.exercises.ideas import IDEAS
from kit.exercises.marks import Mark, asked_again
from kit.exercises.question import Question, Variant, Words, picture_of
from kit.exercises.question import variant as variant_of
from kit.machines import Machine, machine
from kit.machines.misdrawn import Mistake, misdrawn, parts_of, read_mistake, undone
from kit.machines.misdrawn import in_words as said_of
from kit.machines.outline import outline

RIGHT, WRONG, NOT_SHOWN = VERDICTS = ("right", "wrong", "not shown")
REALLY = "really"
WHOLE = "whole machine"
# Points: each line that is wrong, each no reading can show, what is really so, and all sound lines together.
WRONG_POINTS, UNSHOWN_POINTS, REALLY_POINTS, SOUND_POINTS = 2, 1, 2, 2
MAX_RAW = 4000


@dataclass(frozen=True, slots=True, kw_only=True)
class NameThem:
    """Numbered parts (``F1``) and terminals (``K1.86``) to be named, ``count`` of them in a variant.

    All of ``names`` are offered; 0 asks for all.
    """

    names: tuple[str, ...]
    count: int = 0


@dataclass(frozen=True, slots=True, kw_only=True)
class Correct:
    """A drawing with one of these mistakes, and the lines of it to be judged (braces filled from the variant).

    ``mistake`` is picked from the question's ``given``; each of the others there gives a wrong "really". ``positions``
    are the ones the machine is tested in, controls not named at rest; ``fuses`` may be pulled as well, in the first.
    """

    claims: tuple[str, ...]
    positions: tuple[Mapping[str, str], ...]
    fuses: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class MarkUp(Question):
    """A drawing to name or to correct. ``why`` is said when all is right, ``next`` else."""

    kind: ClassVar[str] = "mark up"

    task: NameThem | Correct
    why: str
    next: str

    @property
    def to_order(self) -> int:
        return len(self.task.names) if isinstance(self.task, NameThem) else len(self.given["mistake"])


@dataclass(frozen=True, slots=True, kw_only=True)
class Paper:
    """What to draw beside a question: a machine as it is drawn there, a stage, a look, and what is numbered on it."""

    machine: Machine
    stage: str
    look: str = ""
    numbered: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One thing to say something of: its key, its text, the options by their keys, and the right one's key."""

    key: str
    text: str
    options: Mapping[str, str]
    right: str
    points: int = 1


def paper(question: Question, variant: Variant) -> Paper:
    """The drawing that goes with any question, in the learner's variant."""
    picture = picture_of(question, variant)
    known = machine(picture.machine)
    if isinstance(question, MarkUp) and isinstance(question.task, NameThem):
        numbered = tuple(question.task.names[place] for place in _asked(question.task, variant))
        return Paper(machine=known, stage=picture.stage, look="unlabelled", numbered=numbered)
    if isinstance(question, MarkUp):
        return Paper(machine=drawn(question, variant), stage=picture.stage, look="monochrome")
    return Paper(machine=known, stage=picture.stage, look=picture.look)


def drawn(question: MarkUp, variant: Variant) -> Machine:
    """The machine as the wrong drawing of this variant has it."""
    return _drawn(question.picture.machine, variant.picks["mistake"])


def wrong_drawing(question: Question, known: Machine, course: str, learner: str) -> Machine:
    """A machine as the wrong drawing in a learner's variant has it; raises QuestionError where there is none of it."""
    if not (isinstance(question, MarkUp) and isinstance(question.task, Correct)):
        raise QuestionError(f"question {question.id} has no wrong drawing.")
    if question.picture.machine != known.id:
        raise QuestionError(f"question {question.id} has a drawing of {question.picture.machine}, not of {known.id}.")
    return drawn(question, variant_of(question, course, learner))


@lru_cache(maxsize=64)
def _drawn(name: str, mistake: str) -> Machine:
    return misdrawn(machine(name), read_mistake(mistake))


def conditions(question: MarkUp) -> tuple[Condition, ...]:
    """How the machine may stand for a test: the positions of the question, then each fuse pulled in the first."""
    known, task = machine(question.picture.machine), question.task
    fuses = tuple(full(known, task.positions[0], fuse) for fuse in task.fuses)
    return (*(full(known, positions) for positions in task.positions), *fuses)


def verdict(question: MarkUp, claim: Claim) -> str:
    """What the machine says of a claim."""
    here, name = conditions(question), question.picture.machine
    if claim.figure:
        if shows(claim, name, here):
            raise QuestionError(f"question {question.id}: a lamp can tell whether '{claim.text}'; ask something else.")
        return NOT_SHOWN
    return WRONG if contradiction(claim, name, here) else RIGHT


def claims(question: MarkUp, variant: Variant) -> tuple[Claim, ...]:
    """The lines of the variant's drawing that are to be judged."""
    words = Words(question, variant)
    return claims_of(drawn(question, variant), [words.fill(text) for text in question.task.claims])


def rows(question: MarkUp, variant: Variant) -> tuple[Row, ...]:
    """All that is to be said, with what is right."""
    match question.task:
        case NameThem():
            return _names(question, variant)
        case Correct():
            return _corrections(question, variant)
        case _:
            assert_never(question.task)


def _names(question: MarkUp, variant: Variant) -> tuple[Row, ...]:
    known, task = machine(question.picture.machine), question.task
    named = {_name_of(known, name): name for name in task.names}
    offered = dict(zip(LETTERS + "ijklmn", sorted(named), strict=False))
    letters = {text: letter for letter, text in offered.items()}
    return tuple(
        Row(key=str(number), text=f"Number {number}", options=offered,
            right=letters[_name_of(known, task.names[place])])
        for number, place in enumerate(_asked(task, variant), 1)
    )


def _asked(task: NameThem, variant: Variant) -> tuple[int, ...]:
    """Which of the names are asked for in this variant, by their places; the other ones fit no number."""
    return variant.order[: task.count or len(task.names)]


def _name_of(known: Machine, name: str) -> str:
    if "." not in name:
        return known.circuit[name].title
    terminal = Terminal.read(name)
    return f"terminal {terminal.name} of the {known.circuit[terminal.part].title}"


def _corrections(question: MarkUp, variant: Variant) -> tuple[Row, ...]:
    verdicts = {word: word for word in VERDICTS}
    points = {WRONG: WRONG_POINTS, NOT_SHOWN: UNSHOWN_POINTS, RIGHT: 0}
    found = [
        Row(key=claim.letter, text=claim.text, options=verdicts, right=(said := verdict(question, claim)),
            points=points[said])
        for claim in claims(question, variant)
    ]
    options = really(question, variant)
    right = next(key for key, mistake in options.items() if mistake == _undoing(question, variant))
    texts = {key: said_of(mistake, drawn(question, variant)) for key, mistake in options.items()}
    found.append(Row(key=REALLY, text="What is really so?", options=texts, right=right, points=REALLY_POINTS))
    return tuple(found)


def really(question: MarkUp, variant: Variant) -> dict[str, Mistake]:
    """What may really be so, by letter: the mistake undone, or one of the others made on the drawing as it is."""
    mine = variant.picks["mistake"]
    made = [_undoing(question, variant) if text == mine else read_mistake(text) for text in question.given["mistake"]]
    return {LETTERS[place]: made[index] for place, index in enumerate(variant.order)}


def _undoing(question: MarkUp, variant: Variant) -> Mistake:
    return undone(read_mistake(variant.picks["mistake"]), machine(question.picture.machine))


def points_of_rows(question: MarkUp, variant: Variant) -> int:
    """The most an answer can earn."""
    sound = SOUND_POINTS if isinstance(question.task, Correct) else 0
    return sound + sum(row.points for row in rows(question, variant))


def true_rows(question: MarkUp, variant: Variant) -> Mapping[str, tuple[str, ...]]:
    """What is right of each row, in words."""
    return {row.key: (row.options[row.right],) for row in rows(question, variant)}


def mark_up(question: MarkUp, variant: Variant, raw: object) -> Mark:
    """Mark what is said of every row; an answer with a row missing is asked again.

    Read: an object by row, or text with a part for each (``A wrong; B right; really c``); options by key or text.
    """
    listed = rows(question, variant)
    of = points_of_rows(question, variant)
    said = _read(raw, listed)
    if isinstance(said, str):
        return asked_again(of, said)
    cells = {row.key: (said[row.key] == row.right,) for row in listed}
    words = Words(question, variant)
    if all(right for (right,) in cells.values()):
        told = _proof(question, variant) if isinstance(question.task, Correct) else ""
        return Mark(points=of, of=of, reason=f"{told}{words.fill(question.why)}", cells=cells)
    points = sum(row.points for row in listed if cells[row.key][0])
    if isinstance(question.task, NameThem):
        reason, ideas = _wrong_names(question, variant, listed, said), ()
    else:
        points += _sound(listed, said)
        reason, ideas = _wrong_lines(question, variant, listed, said)
    return Mark(points=points, of=of, reason=f"{reason} {words.fill(question.next)}", ideas=ideas, cells=cells)


def _sound(listed: tuple[Row, ...], said: Mapping[str, str]) -> int:
    """Points for the sound lines: one off for each that is called anything else, none where no line is called wrong."""
    lines = [row for row in listed if row.key != REALLY]
    if all(said[row.key] != WRONG for row in lines):
        return 0
    slips = sum(said[row.key] != RIGHT for row in lines if row.right == RIGHT)
    return max(0, SOUND_POINTS - slips)


def _wrong_names(question: MarkUp, variant: Variant, listed: tuple[Row, ...], said: Mapping[str, str]) -> str:
    known = machine(question.picture.machine)
    on_sheet = [part.id for part in known.circuit.parts] if question.picture.stage == WHOLE else (
        known.stages[question.picture.stage].parts)
    numbered = paper(question, variant).numbered
    told = outline(known, on_sheet, {name: number for number, name in enumerate(numbered, 1)})
    wrong = [(row, numbered[int(row.key) - 1]) for row in listed if said[row.key] != row.right]
    sentences = [
        f"You called {row.key} the {row.options[said[row.key]]}. {told[name]} It is the {row.options[row.right]}."
        for row, name in wrong[:2]
    ]
    if len(wrong) > len(sentences):
        sentences.append(f"{len(wrong) - len(sentences)} more to look at again.")
    return " ".join(sentences)


def _wrong_lines(
    question: MarkUp, variant: Variant, listed: tuple[Row, ...], said: Mapping[str, str]
) -> tuple[str, tuple[str, ...]]:
    by_letter = {claim.letter: claim for claim in claims(question, variant)}
    off = [row for row in listed if row.key in by_letter and said[row.key] != row.right]
    sentences = [_met(question, by_letter[row.key], row, said[row.key]) for row in off[:2]]
    if len(off) > len(sentences):
        sentences.append(f"{len(off) - len(sentences)} more of the lines {'is' if len(off) == 3 else 'are'} off.")
    last = listed[-1]
    if said[REALLY] != last.right:
        sentences.append(f"What is really so: {last.options[last.right]}")
    ideas = []
    wrong = [row.key for row in listed if row.right == WRONG]
    if all(said[letter] == RIGHT for letter in wrong) and not any(said[letter] == WRONG for letter in by_letter):
        ideas.append("drawing-never-wrong")
    if any(by_letter[row.key].figure == "colour" and said[row.key] != NOT_SHOWN for row in off):
        ideas.append("colour-tells-all")
    sentences += [IDEAS[idea].help for idea in ideas]
    return " ".join(sentences), tuple(ideas)


def _met(question: MarkUp, claim: Claim, row: Row, said: str) -> str:
    """What is to be said of one line that was judged wrongly."""
    name, here = question.picture.machine, conditions(question)
    if row.right == NOT_SHOWN:
        return f"{claim.letter}, “{claim.text}” No reading shows that; it wants your eyes, or the print on the part."
    if row.right == WRONG:
        told = in_words(contradiction(claim, name, here), name, claim.ends)
        return (f"{claim.letter}, you said {said}: “{claim.text}” On the machine, with {told}. "
                "Two points that are joined cannot differ.")
    told = in_words(support(claim, name, here), name, claim.ends)
    # A contact that is open tells its ends apart, and should.
    where = "in no position that closes it" if claim.shut else "in no position"
    return (f"{claim.letter}, you said {said}: “{claim.text}” On the machine, with {told}; and {where} did the two "
            "differ. This line is right.")


def _proof(question: MarkUp, variant: Variant) -> str:
    """The readings that contradict the drawing, when all is right."""
    name, here = question.picture.machine, conditions(question)
    about = parts_of(read_mistake(variant.picks["mistake"]))
    told = [
        f"{claim.letter} is wrong: with {in_words(pair, name, claim.ends)}." for claim in claims(question, variant)
        if claim.part in about and not claim.figure and (pair := contradiction(claim, name, here))
    ]
    return f"{' '.join(told)} "


def _read(raw: object, listed: tuple[Row, ...]) -> dict[str, str] | str:
    """The option's key that was meant for each row, or what to ask."""
    again = "nothing has been marked yet."
    if isinstance(raw, str):
        raw = _parsed(raw[:MAX_RAW], [row.key for row in listed])
    if not isinstance(raw, Mapping):
        return f"Say something of every line: {', '.join(row.key for row in listed)}; {again}"
    given = {str(key).strip().casefold(): value for key, value in raw.items()}
    found: dict[str, str] = {}
    for row in listed:
        value = given.get(row.key.casefold())
        if isinstance(value, (list, tuple)) and len(value) == 1:
            value = value[0]
        text = " ".join(str(value)[:300].split()).casefold().rstrip(".") if isinstance(value, str) else ""
        keys = {option.casefold().rstrip("."): key for key, option in row.options.items()} | {
            key.casefold(): key for key in row.options}
        if text not in keys:
            offered = ", ".join(row.options)
            return f"{row.key} has nothing we can read. Use one of {offered}; {again}"
        found[row.key] = keys[text]
    return found


def _parsed(text: str, keys: list[str]) -> object:
    if text.lstrip().startswith("{"):
        try:
            return json.loads(text)
        except (ValueError, RecursionError):
            return None
    found = {}
    for piece in re.split(r"[\n;]+", text):
        row, _, rest = re.sub(r"^\s*(\w+)[\s:=]+", r"\1\0", piece, count=1).partition("\0")
        if row.casefold() in [key.casefold() for key in keys]:
            found[row] = rest.strip(" ,")
    return found or None
