"""A learner's own finished cards, as they join the case library: how it went, from their own record.

Only work handed back counts, and only the first time: later goes at the same card are practice.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from kit.errors import KitError
from kit.exercises.acts import (
    Act,
    Again,
    Explain,
    Find,
    HandBack,
    MoveFuse,
    Note,
    Probe,
    Refer,
    Repair,
    act_from_fields,
)
from kit.exercises.cards import begun, card, card_ids
from kit.exercises.library import efficiency_of_card
from kit.exercises.repairs import WAYS
from kit.exercises.said import done_in_words
from kit.exercises.work import carry_on
from kit.records import Entry

NOTHING_NOTED = "Nothing was written down before the first reading."
NO_READINGS = "No reading was ticked."


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnCase:
    """A card worked and handed back: the day, and the acts with what each showed, from start to handing back."""

    card: str
    day: str
    acts: tuple[tuple[Act, str], ...]

    @property
    def id(self) -> str:
        return f"{self.card} yours"


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnTold:
    """How a learner's own card went. ``first`` is what was suspected first, ``ticked`` the readings that show it."""

    first: str
    ticked: tuple[str, ...]
    readings: int
    finding: tuple[str, ...]
    cause: tuple[str, ...]
    repaired: tuple[str, ...]
    to_owner: str
    minutes: float


@dataclass(frozen=True, slots=True, kw_only=True)
class OwnMarks:
    """The marks of an own card, as they were told when it was handed back."""

    points: int
    of: int
    passed: bool
    lines: tuple[str, ...]


def own_cases(entries: Iterable[Entry]) -> tuple[OwnCase, ...]:
    """The cards the learner of these entries (oldest first) has handed back, in that order."""
    going: dict[str, list[tuple[Act, str]]] = {}
    found: dict[str, OwnCase] = {}
    for entry in entries:
        job = entry.fields.get("job")
        if entry.kind != "act" or job not in card_ids() or job in found:
            continue
        try:
            act = act_from_fields(entry.fields)
        except KitError:
            continue
        if isinstance(act, Again):
            going[job] = []
            continue
        going.setdefault(job, []).append((act, str(entry.fields.get("shown", ""))))
        if isinstance(act, HandBack):
            found[job] = OwnCase(card=job, day=entry.at[:10], acts=tuple(going.pop(job)))
    return tuple(found.values())


def tell_own(own: OwnCase, learner: str, course: str) -> OwnTold:
    """How it went, in words; the acts are done again, for their minutes."""
    there = card(own.card).machine
    acts = [act for act, _ in own.acts]
    finds = [act for act in acts if isinstance(act, Find)]
    parts = {part.id: part.title for part in there.circuit.parts}
    shown = {number: line for number, line in enumerate(own.acts)}
    ticked = dict.fromkeys(number for find in finds for number in find.readings if number in shown)
    ticked |= dict.fromkeys(
        number for act in acts if isinstance(act, Refer) for number in act.readings if number in shown)
    return OwnTold(
        first=_first(acts, parts),
        ticked=tuple(f"{_said(done_in_words(there, shown[each][0]))}: {shown[each][1]}" for each in ticked)
        or (NO_READINGS,),
        readings=sum(isinstance(act, Probe) for act in acts),
        finding=tuple(_found(find, parts) for find in finds if find.role == "fault")
        + tuple(f"Referred: {act.part}, {act.text}" for act in acts if isinstance(act, Refer)),
        cause=tuple(_found(find, parts) for find in finds if find.role == "cause"),
        repaired=tuple(_repaired(act, parts) for act in acts if isinstance(act, Repair) or _new_fuse(act)),
        to_owner=next((act.text for act in reversed(acts) if isinstance(act, Explain)), ""),
        minutes=_minutes(own, learner, course),
    )


def marks_of(own: OwnCase, learner: str, course: str) -> OwnMarks:
    """The marks, worked out again as at the handing back; the first time on a machine takes seconds."""
    from kit.exercises.jobs import review  # brings the diagnosis with it

    chosen = card(own.card)
    acts = [act for act, _ in own.acts]
    found = review(chosen, chosen.faults(learner, course), acts, efficiency=efficiency_of_card(own.card))
    lines = [f"{line.what}: {line.points} of {line.of}. {line.why}" for line in found.lines]
    cap = [found.cap] if found.cap else []
    return OwnMarks(points=found.points, of=found.of, passed=found.passed, lines=(*cap, *lines))


def _first(acts: Sequence[Act], parts: Mapping[str, str]) -> str:
    """What was suspected first, in the learner's own words where there are any."""
    for act in acts:
        if isinstance(act, Note) and (act.part or act.text):
            about = f"{act.part}, the {parts.get(act.part, 'part')}" if act.part else ""
            what = f"{about} {act.fault}".strip()
            return f"{what}: {act.text}" if what and act.text else what or act.text
    return NOTHING_NOTED


def _found(find: Find, parts: Mapping[str, str]) -> str:
    about = f"{find.part} ({parts.get(find.part, 'not on this machine')}): {find.fault}"
    return f"{about}, because {find.because}" if find.because else about


def _new_fuse(act: Act) -> bool:
    return isinstance(act, MoveFuse) and act.to in ("new", "bigger")


def _repaired(act: Act, parts: Mapping[str, str]) -> str:
    if isinstance(act, MoveFuse):
        return f"{act.part} ({parts.get(act.part, 'fuse')}): a {'new' if act.to == 'new' else 'BIGGER'} fuse"
    how = WAYS[act.how].words if act.how in WAYS else "was mended or renewed"
    return f"{act.part} ({parts.get(act.part, 'part')}) {how}"


def _minutes(own: OwnCase, learner: str, course: str) -> float:
    chosen = card(own.card)
    spent = 0.0
    try:
        for step in carry_on(begun(chosen, chosen.faults(learner, course), brief=True), [act for act, _ in own.acts]):
            spent = step.situation.minutes
    except KitError:
        pass
    return round(spent, 1)


def _said(words: str) -> str:
    return (words or "noted")[:1].upper() + (words or "noted")[1:]
