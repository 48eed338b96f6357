"""Why: short sentences for a learner, each from the outcome table and the circuit, none written beforehand.

Voice of the lessons: "you", present tense, one contrast a sentence.
"""

from collections.abc import Collection, Mapping, Sequence
from types import MappingProxyType

import numpy as np

from kit.circuit import part_of
from kit.diagnose.belief import Observation, count, left, sign
from kit.diagnose.gain import NOTHING, bits
from kit.diagnose.plan import End, Plan
from kit.diagnose.several import fewest_hits
from kit.diagnose.table import OutcomeTable
from kit.diagnose.ways import felt
from kit.machines import Machine

NO_LOOKS: Mapping[str, str] = MappingProxyType({})
NO_READINGS = ("operate", "start", "look", "swap", "wiggle")  # no instrument is read at these


def why_in_or_out(table: OutcomeTable, suspect: int, seen: Observation) -> str:
    """Why an observation rules a suspect out, or leaves it in."""
    name, shown = table.suspects[suspect], table.shown[seen.test]
    mine = " or ".join(shown[o].rstrip(".") for o in _may_show(table, suspect, seen.test))
    test, there = table.tests[seen.test], _outcome(table, seen)
    if sign(table, seen)[suspect] <= 0:
        return f"{test}: with {name} it would show {mine}. It shows {there}, so {name} is out."
    if table.likelihood(seen.test, seen.outcome)[suspect] <= 0:
        return f"{test}: {name} would show {mine}, but a reading like this is not to be trusted alone; it stays in."
    if len(_may_show(table, suspect, seen.test)) > 1:
        return f"{test}: {name} may show {mine}, so {there} weakens it at most; it stays in."
    return f"{test}: it shows {there}, and with {name} it would too. {name} stays in."


def where_felt(
    machine: Machine, suspect: Sequence[str], positions: Mapping[str, str], plus: str, point: str
) -> str:
    """Along the way from plus to a point: where a suspect is first felt, and where it is not."""
    names = " + ".join(suspect)
    found = felt(machine, [machine.fault(fault) for fault in suspect], positions, plus, point)
    if not found.part and not found.before:
        return f"As the controls stand no current finds a way from {plus} to {point}, whatever is wrong."
    if not found.part:
        return f"On the way from {plus} to {point} no more is lost with {names} than without it: look elsewhere for it."
    before = f"Up to {found.before[-1]} no more is lost than should be. " if found.before else ""
    inside = found.part in {part_of(fault) for fault in suspect}
    where = f"Behind {found.part}" + ("" if inside else ", which is sound itself,")
    if found.volts is None:
        return f"{before}{where} the way from plus ends: {names} cuts it, and nothing gets from there to {point}."
    return f"{before}{where} there are {found.volts:.1f} V instead of {found.sound:.1f} V with {names}."


def why_this_test(table: OutcomeTable, weight: np.ndarray, this: int, that: int) -> str:
    """Why one test and not another, counted in suspects and minutes."""
    suspects = left(weight)
    mine, theirs = (_most_left(table, weight, test) for test in (this, that))
    worth = bits(table, weight)
    start = f"You have {count(len(suspects))} left. "
    costs = f"{table.minutes[this]:g} min", f"{table.minutes[that]:g} min"
    if worth[that] <= NOTHING:
        return f"{start}{table.tests[that]} shows the same whichever it is: it takes {costs[1]} and tells nothing."
    if mine < theirs:
        end = f"{table.tests[this]} leaves {mine} at most, {table.tests[that]} may leave {theirs}"
        return f"{start}{end}; they take {costs[0]} and {costs[1]}."
    if table.minutes[this] < table.minutes[that]:
        return f"{start}{table.tests[this]} takes {costs[0]}, {table.tests[that]} {costs[1]}, for much the same answer."
    return (
        f"{start}Both may leave {theirs} or more, but {table.tests[this]} parts the likely ones from each other, and "
        f"{table.tests[that]} does not."
    )


def which_suffice(
    table: OutcomeTable, seen: Sequence[Observation], must_go: Collection[int]
) -> tuple[int, ...] | None:
    """The fewest of the observations, by number, that between them rule out all of ``must_go``; None if all do not.

    Of equally few the earliest: a smallest hitting set.
    """
    signs = [sign(table, one) for one in seen]
    ruled = [{number for number, likely in enumerate(signs) if likely[s] <= 0} for s in must_go]
    if not all(ruled):
        return None
    return tuple(fewest_hits(ruled, range(len(seen))))


def fewest_in_words(table: OutcomeTable, seen: Sequence[Observation], must_go: Collection[int], claim: str) -> str:
    """The fewest of a learner's own readings that show a claim, in a sentence."""
    enough = which_suffice(table, seen, must_go)
    if enough is None:
        still = [s for s in must_go if all(sign(table, one)[s] > 0 for one in seen)]
        names = "; ".join(table.suspects[s] for s in still[:3])
        more = f" and {len(still) - 3} more" if len(still) > 3 else ""
        return f"Your readings do not show {claim} yet: {names}{more} would have shown the same."
    if not enough:
        return f"Nothing else was left from the start: it can only be {claim}."
    words = "; ".join(f"{table.tests[seen[n].test]}: {_outcome(table, seen[n])}" for n in enough)
    if len(enough) == len(seen):
        return f"All your readings are needed to show {claim}: {words}."
    return f"{count(len(enough), 'reading').capitalize()} of your {len(seen)} would have shown {claim}: {words}."


def followed(
    plan: Plan, suspect: int, looks: Mapping[str, str] = NO_LOOKS, ends: Collection[str] = ()
) -> tuple[str, ...]:
    """What the plan would have done with this suspect in the machine, one sentence a test; outcomes as likeliest.

    ``looks``: what a close look at a part shows on this very machine, by part, where it is not the usual. Where no
    instrument was needed to find it, a reading that proves it stands there too; ``ends`` as for ``proof``.
    """
    table, at, lines, read = plan.table, plan.root, [], False
    while not isinstance(at, End):
        outcome = max(dict(at.branches), key=lambda o: (table.likelihood(at.test, o)[suspect], -o))
        after = dict(at.branches)[outcome]
        remain = count(len(_below(after)))
        shown = _shown_here(table, at.test, outcome, looks).rstrip(".")
        lines.append(f"{table.tests[at.test]} ({at.minutes:g} min): {shown}; leaves {remain}.")
        read = read or table.kinds[at.test] not in NO_READINGS
        at = after
    units = at.units
    if not read and len(units) == 1 and (test := proof(table, suspect, ends)) is not None:
        outcome = int(table.outcomes[suspect, test, 0])
        start = "What was seen leaves nothing else" if lines else "The complaint leaves nothing else"
        lines.append(
            f"{start}; to prove it: {table.tests[test]} ({table.minutes[test]:g} min): "
            f"{_shown_here(table, test, outcome, looks).rstrip('.')}."
        )
    lines.append(f"Left: {units[0]}." if len(units) == 1 else f"No test parts {' and '.join(units)}: look or renew.")
    return tuple(lines)


def proof(table: OutcomeTable, suspect: int, ends: Collection[str] = ()) -> int | None:
    """The reading that shows a suspect's unit by itself, whatever is known: few others by chance show the same.

    Of those that leave as little (a hundredth of all chances counts as nothing) one across the unit is wanted, then one
    with a lead on it, then what leaves least, the quickest, the first; a look counts only where no instrument tells
    anything. ``ends`` are the terminals at the unit's ends that are another part's (a wire has none of its own). None
    where nothing tells.
    """
    others = np.array([unit != table.units[suspect] for unit in table.units])
    same = (table.outcomes[:, :, 0] == table.outcomes[suspect, :, 0]) & others[:, None]
    left_over = np.round(table.priors @ same, 3)
    useful = np.flatnonzero(np.round(left_over, 2) < round(float(table.priors[others].sum()), 2))
    read = [int(t) for t in useful if table.kinds[t] not in NO_READINGS] or [
        int(t) for t in useful if table.kinds[t] == "look"]
    return min(
        read, key=lambda t: (
            np.round(left_over[t], 2), -_leads_on(table, t, table.units[suspect], ends), left_over[t],
            table.minutes[t], t,
        ), default=None,
    )


def _leads_on(table: OutcomeTable, test: int, unit: str, ends: Collection[str]) -> int:
    """How many leads of a test are on a unit or at its ends."""
    key = table.keys[test]
    places = key[1] if isinstance(key, tuple) else ()
    return sum(place.split(".")[0] == unit or place in ends for place in places)


def _shown_here(table: OutcomeTable, test: int, outcome: int, looks: Mapping[str, str]) -> str:
    key = table.keys[test]
    if isinstance(key, tuple) and key[0] == "look" and key[-1] in looks:
        return looks[key[-1]]
    return table.shown[test][outcome]


def _below(at: object) -> set[int]:
    return set(at.suspects) if isinstance(at, End) else set().union(*(_below(then) for _, then in at.branches))


def _may_show(table: OutcomeTable, suspect: int, test: int) -> list[int]:
    cell = zip(table.outcomes[suspect, test], table.likelihoods[suspect, test], strict=True)
    return sorted({int(outcome) for outcome, likely in cell if likely > 0})


def _outcome(table: OutcomeTable, seen: Observation) -> str:
    shown = table.shown[seen.test]
    return shown[seen.outcome].rstrip(".") if seen.outcome < len(shown) else "something nobody expected"


def _most_left(table: OutcomeTable, weight: np.ndarray, test: int) -> int:
    """Suspects the test leaves at worst."""
    return max(int(((table.likelihood(test, o) * weight) > 0).sum()) for o in range(len(table.shown[test])))
