"""Fault-finding charts: a plan of tests laid out in numbered steps that a hand can follow, with how good it is."""

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from kit.circuit import Terminal, When
from kit.errors import PaperError
from kit.exercises.cards import card, card_ids
from kit.machines import Machine, machine
from kit.machines.cases import Case
from kit.paper.job_cards import in_words
from kit.paper.press import PAGE_HIGH, Paper, Pictures, plain_name, press
from kit.paper.tree import Branch, Knot, trees

NAMED = 4  # suspects named at an end; more are counted
# Steps a chart has that a tree beside it helps with: with more it takes pages, and no eye follows it.
DRAWN_FROM, DRAWN_TO = 3, 45
LONG = 30  # steps from which on the charts of single cases are pointed to


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """One outcome of a step: what is shown, and the step it leads to, or what was found."""

    shown: str
    goes_to: int = 0
    found: str = ""
    detail: str = ""
    alike: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class ChartStep:
    """One numbered step: the test, where its leads go, its minutes, the step it comes from, and its outcomes."""

    number: int
    test: str
    where: Sequence[str]
    minutes: str
    comes_from: int
    ways: Sequence[Way]


def chart(machine_id: str, case: str = "", progress: object = None) -> Paper:
    """The chart of a machine, from nothing known, or from the complaint of one of its cases.

    The outcome table behind it takes up to a minute the first time. Raises OperationError for an unknown machine,
    PaperError for an unknown case.
    """
    from kit.diagnose.plan import End, plan
    from kit.diagnose.trials import job_table

    there = machine(machine_id)
    chosen = _case(there, case) if case else None
    whole = job_table(there, progress) if progress else job_table(there)
    table = whole.joined()
    if chosen is not None:
        table = table.with_suspects(_fitting(there, chosen, table.suspects))
    if progress:
        progress(0, 1, "the best order of these tests")
    found = plan(table.worth_keeping())
    if progress:
        progress(1, 1, f"the best order of {len(found.table.tests)} tests")
    steps: list[ChartStep] = []
    root = _numbered(there, found.table, found.root, 0, steps)
    pictures = Pictures()
    drawn = trees(root, f"The chart of {there.title} as a tree") if DRAWN_FROM <= len(steps) <= DRAWN_TO else ()
    name = f"chart-{plain_name(there.id)}{f'-{plain_name(chosen.name)}' if chosen else ''}"
    return press(
        "chart.html", f"{name}.html", title=f"Fault-finding chart: {there.title}", pictures=pictures, machine=there,
        complaint=chosen.owner if chosen else "", tried=[in_words(there, moves) for moves in chosen.tried] if chosen
        else (), shows=chosen.shows if chosen else "", steps=sorted(steps, key=lambda step: step.number),
        shorter=_with_charts(there) if chosen is None and len(steps) >= LONG else (), names=_names(there, steps),
        standing=found.standing(), proved=found.certified,
        suspects=len(found.table.suspects), longest=found.longest, worst=f"{found.worst:g}",
        only=_only(found) if isinstance(found.root, End) else None,
        tree=[pictures.put(picture, high=PAGE_HIGH - 60, turns=False) for picture in drawn],
    )


def _case(there: Machine, name: str) -> Case:
    """The case of that name, or behind the job card of that number."""
    asked = name.strip()
    named = next((each for each in there.cases if each.lower() == asked.lower()), "")
    if asked.upper() in card_ids(there.id):
        behind = card(asked.upper()).case()
        named = behind.name if behind else ""
    if not named:
        raise PaperError(f"{there.id} has no case '{name[:60]}'; it has {', '.join(there.cases)}.")
    case = there.cases[named]
    if named not in _with_charts(there):
        raise PaperError(
            f"'{named}' of {there.id} comes and goes: one reading proves nothing there, so no chart of tests is made "
            "for it. The wiggle and the warm-up on its job card are the way."
        )
    return case


def _with_charts(there: Machine) -> list[str]:
    """The cases of a machine that a chart can be made for."""
    return [
        case.name for case in there.cases.values()
        if all(there.fault(fault).when is When.ALWAYS for fault in case.faults)
    ]


def _fitting(there: Machine, case: Case, names: Sequence[str]) -> list[int]:
    """The suspects that do what the complaint says, by number: each is tried on the machine as the owner had it."""
    from kit.diagnose.decisive import noticed, tried

    fits = []
    for number, name in enumerate(names):
        now = tried(there, case, tuple(name.split(" + ")))
        if all(word in noticed(now, part) for part, word in case.does.items()):
            fits.append(number)
    if not fits:
        raise PaperError(f"no fault of {there.id} that is always there does what the owner of '{case.name}' says.")
    return fits


def _numbered(there: Machine, table: object, at: object, comes_from: int, steps: list[ChartStep]) -> Knot | str:
    """Number the steps in the order they are followed, each before what follows it, and draw the tree as it grows."""
    from kit.diagnose.plan import End

    if isinstance(at, End):
        return " or ".join(at.units)
    number = len(steps) + 1
    _kind, leads, *_ = table.keys[at.test] if isinstance(table.keys[at.test], tuple) else ("", ())
    step = ChartStep(
        number=number, test=table.tests[at.test], where=list(_where(there, leads)), minutes=f"{at.minutes:g}",
        comes_from=comes_from, ways=(),
    )
    steps.append(step)
    ways, branches = [], []
    for outcome, then in at.branches:
        shown = table.shown[at.test][outcome]
        goes_to = 0 if isinstance(then, End) else len(steps) + 1
        grown = _numbered(there, table, then, number, steps)
        branches.append(Branch(shown=shown, then=grown))
        ways.append(_found(there, table, shown, then) if not goes_to else Way(shown=shown, goes_to=goes_to))
    steps[number - 1] = replace(step, ways=tuple(ways))
    return Knot(number=number, branches=tuple(branches))


def _found(there: Machine, table: object, shown: str, end: object) -> Way:
    units = [f"{unit} ({there.circuit[unit].title})" if unit in there.circuit else unit for unit in end.units]
    names = [table.suspects[suspect] for suspect in end.suspects[:NAMED]]
    more = len(end.suspects) - NAMED
    detail = "; ".join(names) + (f" and {more} more" if more > 0 else "")
    return Way(shown=shown, found=" or ".join(units), detail=detail, alike=len(units) > 1)


def _names(there: Machine, steps: Sequence[ChartStep]) -> list[str]:
    """What the parts are called that the steps and their outcomes speak of by id alone."""
    said = " ".join(text for step in steps for text in (step.test, *(way.shown for way in step.ways)))
    ids = set(re.findall(r"\b[A-Z]\d+\b", said))
    return [f"{part.id} {part.title}" for part in there.circuit.parts if part.id in ids]


def _only(found: object) -> Way:
    """A chart that ends where it begins: the complaint alone says as much as any test."""
    return _found(machine(found.table.machine), found.table, "", found.root)


def _where(there: Machine, leads: Sequence[str]) -> Iterator[str]:
    for text in leads:
        point = there.points.get(Terminal.read(text)) if "." in text else None
        if point is not None:
            yield f"{text}: {point.where}"
