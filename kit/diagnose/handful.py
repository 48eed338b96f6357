"""A handful: a few suspects and a few tests, small enough to lay out on one page, and the best plan through them.

    few = Handful(machine="orchard-bike", suspects={...}, trials=(Trial(...), ...), cards={"F1 blown": 6, ...})
    print(plan_of(few).chart())

What every test shows with every suspect comes from the solved machine; nothing is written down. A plan of at most 18
suspects is proved (``kit.diagnose.exact``), so the word "quickest" is meant as it stands.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cache
from typing import TYPE_CHECKING

from kit.circuit import Terminal, part_of
from kit.diagnose.leads import posts
from kit.errors import DiagnosisError
from kit.instruments import Multimeter, TestLamp
from kit.machines import Operation, machine

if TYPE_CHECKING:
    from kit.diagnose.plan import Plan
    from kit.diagnose.search import Search
    from kit.diagnose.table import OutcomeTable

LIT, OUT = "lit", "out"
LIT_WORDS = ("dim", "bright")
# Readings of one test are told apart when they are this far from each other (common practice: a fifth of a volt).
VOLTS_APART = 0.2
TOOLS = ("lamp", "volts", "notice")


@dataclass(frozen=True, slots=True, kw_only=True)
class Trial:
    """One test at hand. ``tool`` is a lamp (clip, tip), a meter on volts (black, red) or an eye on a part ("notice").

    ``says`` tells it in a learner's words. A lead's minutes are those of the machine's own point; ``minutes`` is for
    what needs no lead.
    """

    id: str
    says: str
    tool: str
    places: tuple[str, ...]
    positions: Mapping[str, str] = field(default_factory=dict)
    minutes: float = 1.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Handful:
    """A few suspects (fault id: words) and a few trials on one machine.

    ``cards`` says in how many of the workshop's job cards with this complaint each suspect was the cause; left out,
    they count alike. Raises DiagnosisError for a trial with no such tool, or cards for other suspects.
    """

    machine: str
    suspects: Mapping[str, str]
    trials: tuple[Trial, ...]
    cards: Mapping[str, int] = field(default_factory=dict)

    def __post_init__(self) -> None:
        if wrong := [trial.tool for trial in self.trials if trial.tool not in TOOLS]:
            raise DiagnosisError(f"a trial has no tool '{wrong[0]}'; there are {', '.join(TOOLS)}.")
        if self.cards and set(self.cards) != set(self.suspects):
            raise DiagnosisError("cards are counted for each of the suspects, and for no other.")

    def trial(self, trial_id: str) -> Trial:
        """A trial by its id."""
        found = next((trial for trial in self.trials if trial.id == trial_id), None)
        if found is None:
            raise DiagnosisError(f"there is no trial '{trial_id}'; there are {', '.join(t.id for t in self.trials)}.")
        return found


def minutes(few: Handful, trial: Trial) -> float:
    """What a trial takes: the lead that is furthest to reach, the battery's posts taking none; its own for an eye."""
    if trial.tool == "notice":
        return trial.minutes
    there, ends = machine(few.machine), posts(machine(few.machine))
    reach = [there.points[Terminal.read(place)].minutes for place in trial.places if place not in ends]
    return max(reach, default=there.points[Terminal.read(trial.places[-1])].minutes)


@cache
def outcomes(few: Handful) -> Mapping[str, Mapping[str, str]]:
    """What each trial shows with each suspect, in words: ``outcomes(few)[trial][suspect]``.

    A lamp is lit or out (a glow counts as out). Meter readings closer than VOLTS_APART are one, called by their mean.
    """
    return {trial.id: _grouped(few, trial) for trial in few.trials}


def leaves(few: Handful, trial_id: str) -> Mapping[str, tuple[str, ...]]:
    """The suspects each outcome of a trial leaves."""
    found: dict[str, tuple[str, ...]] = {}
    for suspect, shown in outcomes(few)[trial_id].items():
        found[shown] = (*found.get(shown, ()), suspect)
    return found


def left(few: Handful, seen: Mapping[str, str]) -> tuple[str, ...]:
    """The suspects that show all that was seen: trial id → what it showed."""
    return tuple(
        suspect for suspect in few.suspects
        if all(outcomes(few)[trial][suspect] == shown for trial, shown in seen.items())
    )


def alike(few: Handful, suspect: str, tools: str = "") -> tuple[str, ...]:
    """The ambiguity group of a suspect: those that no trial, or none with these tools, parts from it."""
    chosen = [trial.id for trial in few.trials if not tools or trial.tool in tools.split()]
    return left(few, {trial: outcomes(few)[trial][suspect] for trial in chosen})


@cache
def search_of(few: Handful) -> "Search":
    """The search over a handful's table."""
    from kit.diagnose.search import Search

    return Search(table_of(few))


@cache
def table_of(few: Handful) -> "OutcomeTable":
    """The handful as an outcome table; a suspect's unit is the part its fault sits in."""
    from kit.diagnose.table import OutcomeTable

    shown = [tuple(leaves(few, trial.id)) for trial in few.trials]
    cells = [
        [words.index(outcomes(few)[trial.id][suspect]) for trial, words in zip(few.trials, shown, strict=True)]
        for suspect in few.suspects
    ]
    return OutcomeTable.from_arrays(
        cells, priors=[few.cards[suspect] for suspect in few.suspects] if few.cards else None,
        minutes=[minutes(few, trial) for trial in few.trials], suspects=tuple(few.suspects.values()),
        units=[part_of(suspect) for suspect in few.suspects], tests=[trial.says for trial in few.trials],
        kinds=[trial.tool for trial in few.trials], shown=shown, machine=few.machine,
        keys=[trial.id for trial in few.trials],
    )


@cache
def plan_of(few: Handful) -> "Plan":
    """The quickest plan, proved."""
    from kit.diagnose.plan import plan

    return plan(table_of(few), search=search_of(few))


def minutes_if_first(few: Handful, trial_id: str) -> float:
    """Minutes on average when this trial comes first and the quickest plan follows."""
    table, search = table_of(few), search_of(few)
    return search.after(table.priors, table.keys.index(trial_id), lambda rest: search.found(rest).minutes)


def quickest_first(few: Handful) -> tuple[str, ...]:
    """The trials by ``minutes_if_first``, the quickest first."""
    return tuple(sorted((trial.id for trial in few.trials), key=lambda one: round(minutes_if_first(few, one), 9)))


def way_through(few: Handful, suspect: str) -> tuple[tuple[str, str], ...]:
    """The way of a suspect through the quickest plan: each trial done, and what it shows."""
    return tuple(_way(few, suspect))


def outline(few: Handful) -> str:
    """The quickest plan as a list within lists (Markdown): it breaks its lines on a narrow page and keeps its steps."""
    return "\n".join(
        "  " * depth + "- " + (f"**{shown}**: " if shown else "") + text for depth, shown, text in plan_of(few).lines()
    )


def boxes(few: Handful) -> tuple[tuple[str, str, str, str], ...]:
    """The quickest plan as numbered boxes, a row for each outcome of a test: box, test, outcome, and where it leads.

    In the second and later rows of a box its number and its test are empty.
    """
    from kit.diagnose.plan import End

    chart = plan_of(few)
    numbers = {id(step): number for number, step in enumerate(chart.steps, 1)}

    def goal(then: object) -> str:
        if isinstance(then, End):
            return " or ".join(chart.table.suspects[one] for one in then.suspects)
        return f"box {numbers[id(then)]}"

    rows = []
    for step in chart.steps:
        box, test = str(numbers[id(step)]), chart.table.tests[step.test]
        for outcome, then in step.branches:
            rows.append((box, test, chart.table.shown[step.test][outcome], goal(then)))
            box = test = ""
    return tuple(rows)


def _way(few: Handful, suspect: str) -> Iterator[tuple[str, str]]:
    from kit.diagnose.plan import End

    chart = plan_of(few)
    at, number = chart.root, list(few.suspects).index(suspect)
    while not isinstance(at, End):
        outcome = int(chart.table.outcomes[number, at.test, 0])
        yield str(chart.table.keys[at.test]), chart.table.shown[at.test][outcome]
        at = dict(at.branches)[outcome]


def _grouped(few: Handful, trial: Trial) -> Mapping[str, str]:
    positions = tuple(sorted(trial.positions.items()))
    return _shown(few.machine, tuple(few.suspects), trial.tool, trial.places, positions)


@cache
def _shown(
    machine_id: str, suspects: tuple[str, ...], tool: str, places: tuple[str, ...],
    positions: tuple[tuple[str, str], ...],
) -> Mapping[str, str]:
    nows = {suspect: _stood(machine_id, suspect, positions) for suspect in suspects}
    match tool:
        case "notice":
            return {suspect: now.word(places[0]) for suspect, now in nows.items()}
        case "lamp":
            lamp = TestLamp(clip=places[0], tip=places[1])
            return {suspect: LIT if lamp.read(now).shown in LIT_WORDS else OUT for suspect, now in nows.items()}
    meter = Multimeter("volts", black=places[0], red=places[1])
    return _spans({suspect: meter.read(now).value or 0.0 for suspect, now in nows.items()})


@cache
def _stood(machine_id: str, suspect: str, positions: tuple[tuple[str, str], ...]) -> Operation:
    return machine(machine_id).operate(suspect, **dict(positions))


def _spans(volts: Mapping[str, float]) -> Mapping[str, str]:
    """Readings in groups: values a small step apart, one after another, are one group."""
    groups: list[list[str]] = []
    for suspect in sorted(volts, key=volts.__getitem__):
        if groups and volts[suspect] - volts[groups[-1][-1]] <= VOLTS_APART:
            groups[-1].append(suspect)
        else:
            groups.append([suspect])
    words = {one: f"about {sum(map(volts.get, group)) / len(group) + 0.0:.1f} V" for group in groups for one in group}
    return {suspect: words[suspect] for suspect in volts}
