"""Ordered: put things in a row. The path of the current, the steps of a job, the tests one after another."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import ClassVar, assert_never

from kit.circuit import Battery, Metal
from kit.diagnose.handful import way_through
from kit.errors import QuestionError
from kit.exercises.choice import Option, meant, shown_options
from kit.exercises.courses import order_of_start
from kit.exercises.figures import Setup
from kit.exercises.marks import Mark, asked_again
from kit.exercises.question import Question, Variant, Words
from kit.exercises.strategy import ChartWay, QuickestLook, figures_of, quickest_look
from kit.machines import Operation
from kit.solve.branches import paths

FLOWS_FROM_AMPS = 1e-3


@dataclass(frozen=True, slots=True, kw_only=True)
class CurrentPath:
    """Right is the way the current goes through ``load``, from battery plus round to battery minus.

    The options' ids are parts (or, ``by_stage``, stages); those that are not on the way are to be left out.
    """

    setup: Setup
    load: str
    by_stage: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class InThisOrder:
    """The right order (braces filled, empty places left out) is a matter of good practice; ``source`` says whose."""

    options: tuple[str, ...]
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ByTheClock:
    """Right is the order in which things happen after a press, by the solver's own event log (``courses.moment``).

    ``setup`` has the controls before it, ``held`` what is moved then. ``events`` gives each option's id its event,
    braces filled; what does not happen is to be left out.
    """

    setup: Setup
    held: Mapping[str, str]
    events: Mapping[str, str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Ordered(Question):
    """Things to take in the right order, some perhaps not at all; offered in an order of the learner's own.

    An option's ``feedback`` is said when it is the first one out of place.
    """

    kind: ClassVar[str] = "ordered"

    options: tuple[Option, ...]
    right: CurrentPath | InThisOrder | ByTheClock | ChartWay | QuickestLook
    why: str
    points: int = 4

    @property
    def to_order(self) -> int:
        return len(self.options)


def right_order(question: Ordered, variant: Variant) -> tuple[str, ...]:
    """The ids in their right order, without those that do not belong; raises QuestionError for fewer than two."""
    ids = [option.id for option in question.options]
    match question.right:
        case InThisOrder():
            words = Words(question, variant)
            found = tuple(name for name in map(words.fill, question.right.options) if name)
            if missing := [name for name in found if name not in ids]:
                raise QuestionError(f"question {question.id} has no option '{missing[0]}' to put in order.")
        case CurrentPath() as rule:
            words = Words(question, variant)
            now = rule.setup.operate(words)
            way = current_path(now, words.fill(rule.load))
            if rule.by_stage:
                way = tuple(dict.fromkeys(now.machine.stage_of(part).id for part in way))
            found = tuple(name for name in way if name in ids)
        case ByTheClock() as rule:
            words = Words(question, variant)
            held = tuple(sorted((name, words.fill(there)) for name, there in rule.held.items()))
            events = tuple((name, words.fill(what)) for name, what in rule.events.items())
            found = order_of_start(*rule.setup.filled(words), held, events)
        case ChartWay() as rule:
            suspect = Words(question, variant).fill(rule.suspect)
            found = tuple(trial for trial, _ in way_through(rule.few, suspect) if trial in ids)
        case QuickestLook() as rule:
            words = Words(question, variant)
            best = quickest_look(*(figures_of(words.fill(text)) for text in (rule.cards, rule.minutes)))
            found = tuple(ids[one] for one in best)
        case _:
            assert_never(question.right)
    if len(found) < 2:
        raise QuestionError(f"question {question.id}: fewer than two of its options are to be put in order.")
    return found


def mark_ordered(question: Ordered, variant: Variant, raw: object) -> Mark:
    """Mark a list of letters (or text such as ``b, a, d``): every pair in the right order counts for as much."""
    options, words = shown_options(question, variant), Words(question, variant)
    parts = raw.replace(";", ",").replace(">", ",").split(",") if isinstance(raw, str) else raw
    if not isinstance(parts, (list, tuple)) or not parts or len(parts) > 4 * len(options):
        return asked_again(question.points, "Put at least two in a row; nothing has been marked yet.")
    chosen = [meant(options, words, part) for part in parts]
    ids = [option.id for option in chosen if option is not None]
    if None in chosen or len(set(ids)) < len(ids):
        text = f"Use each of {', '.join(options)} once at most, in a row; nothing has been marked yet."
        return asked_again(question.points, text)
    right = right_order(question, variant)
    if tuple(ids) == right:
        return Mark(points=question.points, of=question.points, reason=words.fill(question.why))
    pairs = list(combinations(right, 2))
    both = [(one, two) for one, two in pairs if one in ids and two in ids]
    kept = sum(ids.index(one) < ids.index(two) for one, two in both)
    extra = len(set(ids) - set(right))
    # A pair the wrong way round takes back what one the right way round earned; so guessing earns nothing.
    points = max(0, question.points * (2 * kept - len(both)) // len(pairs) - extra)
    by_id = {option.id: option for option in question.options}
    place = next((n for n, (mine, theirs) in enumerate(zip(ids, right, strict=False)) if mine != theirs), len(right))
    if place < len(ids):
        first = by_id[ids[place]]
        right_so_far = "The first one stands" if place == 1 else f"The first {place} stand"
        where = f"{right_so_far} right. Then comes" if place else "You begin with"
        reason = f"{where} “{words.fill(first.text)}”. {words.fill(first.feedback)}"
        stray = next((by_id[one] for one in ids[place + 1 :] if one not in right), None)
        if stray and first.id in right:
            reason += f" And “{words.fill(stray.text)}” has no place in this row. {words.fill(stray.feedback)}"
    elif (missing := len(right) - len(ids)) > 0:
        more = "1 more belongs" if missing == 1 else f"{missing} more belong"
        reason = f"Right as far as it goes, and it is not the end: {more} behind it."
    else:
        reason = words.fill(by_id[ids[-1]].feedback)
    ideas = (by_id[ids[place]].idea,) if place < len(ids) and by_id[ids[place]].idea else ()
    return Mark(points=min(points, question.points - 1), of=question.points, reason=reason, ideas=ideas)


def current_path(now: Operation, load: str) -> tuple[str, ...]:
    """The ids of the parts a current through ``load`` passes, from battery plus to battery minus, the battery first.

    Where it divides, the larger current is followed. Empty where nothing flows.
    """
    circuit, solution = now.circuit, now.solution
    battery = next(part for part in circuit.parts if isinstance(part, Battery))
    # Each path of a part that carries current leads from one terminal to another, the way the current goes.
    ways: dict[str, list[tuple[float, str, str]]] = {}
    for part in circuit.parts:
        for branch in () if part is battery else paths(part):
            amps = solution.amps.get(branch.name, 0.0)
            if abs(amps) >= FLOWS_FROM_AMPS:
                first, last = (str(branch.a), str(branch.b)) if amps > 0 else (str(branch.b), str(branch.a))
                ways.setdefault(first, []).append((abs(amps), part.id, last))
    plus, minus = (str(terminal) for terminal in battery.terminals[:2])
    metals = {str(part.terminals[0]): part.id for part in circuit.parts if isinstance(part, Metal)}
    found = _walk(ways, metals, plus, minus, load, (), frozenset({plus}))
    return (battery.id, *dict.fromkeys(found)) if found else ()


def _walk(
    ways: Mapping[str, Sequence[tuple[float, str, str]]], metals: Mapping[str, str], here: str, goal: str, load: str,
    parts: tuple[str, ...], met: frozenset[str],
) -> tuple[str, ...]:
    """The first way from here to the goal that passes the load, larger currents first; bare metal met is named too."""
    if here == goal:
        return parts if load in parts else ()
    for _amps, part, there in sorted(ways.get(here, ()), key=lambda way: (-way[0], way[1])):
        if there in met:
            continue
        passed = (*parts, part, metals[there]) if there in metals else (*parts, part)
        if found := _walk(ways, metals, there, goal, load, passed, met | {there}):
            return found
    return ()
