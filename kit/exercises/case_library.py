"""The case library: each of the sixty cases told in full, and which of them a learner may have told.

What is told comes from the machine with the fault in it, from a sound one, and from one with what is usually blamed:
the same moves, the same tests, side by side. Only cause, cure and the word of the trade stand in the machine's file.

    from kit.exercises.case_library import tell
    tell("J6").blamed
"""

from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace
from enum import Enum
from functools import cache, lru_cache

from kit.circuit import Battery, Fuse
from kit.diagnose.decisive import FAULT, SOUND, Showing, Verdict, decide, seen, tried
from kit.errors import QuestionError
from kit.exercises.acts import Probe
from kit.exercises.cards import CARDS, case_ids, cranks
from kit.exercises.case_fronts import behind, moves_in_words, seen_there
from kit.exercises.job_question import JobQuestion
from kit.exercises.library import questions
from kit.exercises.minutes import ends_of
from kit.exercises.said import done_in_words
from kit.exercises.tray import TRAY
from kit.machines import Machine, Operation, machine
from kit.machines.cases import ELSEWHERE, Case, CaseTest
from kit.records import Entry

HANDED_BACK, READ = "hand back", "case"  # an act; and what a hint is called that was a look into the case
# Cautions of a machine that hold whatever is done on it, and those a tool asks for.
ALWAYS = ("approach", "fumes", "AC side")
ASKED_BY: Mapping[str, tuple[str, ...]] = {
    "lamp": ("lamp",), "loading lamp": ("lamp",), "led lamp": ("lamp",), "ohms": ("ohms",), "continuity": ("ohms",),
    "diode test": ("ohms",), "amps": ("amps", "drain"), "clamp": ("drain",), "load tester": ("battery", "pair"),
    "hydrometer": ("battery",),
}
RUNS = ("runs", "runs rough", "stops", "fires and dies")  # what an engine does that was running when it was seen
GENERAL = frozenset({"crank", "running", "fuse", "return", *(name for names in ASKED_BY.values() for name in names)})
# Where the machine's file has no words of its own for it (common practice).
USUAL: Mapping[str, str] = {
    "ohms": "Prove dead first: fuse out or minus clamp off, and what is measured unplugged.",
    "battery": "Eye protection, no spark near the battery; minus clamp off first, on last.",
}
MANUAL = "The machine's own manual and the rules of your workshop come first."
SAME_TO_EYE_AND_EAR = "The very same: only a reading tells."
NOT_ELECTRICAL = "Nothing on this drawing stands for that; the tests show the fault itself."


class Standing(Enum):
    """How far a case is open to a learner."""

    CLOSED = "closed"  # its card is marked work of a lesson, and not handed back
    FOLDED = "folded"  # opened when asked for
    OPEN = "open"


@dataclass(frozen=True, slots=True, kw_only=True)
class TestTold:
    """One deciding test: what is done, how the machine stands, what it shows here and on the machine put right.

    ``decides``: a sound machine shows something else.
    """

    done: str
    stands: str
    here: str
    sound: str
    decides: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Blamed:
    """A fault the usual wrong conclusion stands for: how it would look and sound, and what speaks against it."""

    fault: str
    ear: str
    against: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """A case told in full. ``faults`` root cause first, ``felt`` what a close look and a hand find there."""

    card: str
    name: str
    machine: str
    stage: str
    faults: tuple[str, ...]
    felt: tuple[str, ...]
    wrongly: str
    why: str
    blamed: tuple[Blamed, ...]
    tests: tuple[TestTold, ...]
    cause: str
    repair: str
    proved: str
    cautions: tuple[str, ...]

    @property
    def words(self) -> str:
        """All of it as one text, to search in."""
        tests = (f"{test.done} {test.here}" for test in self.tests)
        return " ".join((
            self.name, self.stage, *self.faults, *self.felt, self.wrongly, self.cause, self.repair, *tests))


def standings(entries: Iterable[Entry]) -> Mapping[str, Standing]:
    """How far each case is open to the learner of these entries."""
    back, read = set(), set()
    for entry in entries:
        job = entry.fields.get("job")
        if entry.kind == "act" and entry.fields.get("act") == HANDED_BACK:
            back.add(job)
        elif entry.kind == "hint" and entry.fields.get("read") == READ:
            read.add(job)
    return {each: _standing(each, back, read) for each in case_ids()}


@cache
def lesson_cards() -> Mapping[str, str]:
    """The cases that are marked work, and the lesson each stands in."""
    jobs = (item for item in questions().values() if isinstance(item, JobQuestion))
    return {item.card: item.lesson for item in jobs if item.card in case_ids()}


@lru_cache(maxsize=80)
def tell(card_id: str, *, learner: str = "", course: str = "") -> Told:
    """A case told in full; of a card that differs from learner to learner, this learner's where one is named.

    The first time it takes a tenth of a second, some seconds where an engine runs and charges. Raises QuestionError for
    an unknown card.
    """
    there, case = case_of(card_id, learner, course)
    found = decide(there, case)
    here, sound = tried(there, case, case.faults), tried(there, case, ())
    now = seen_there(sound, here)
    return Told(
        card=card_id, name=case.name[:1].upper() + case.name[1:], machine=there.title,
        stage=there.stage_of(there.fault(case.faults[0]).part).id,
        faults=tuple(in_words(there, fault) for fault in case.faults), felt=tuple(_felt(there, case, here)),
        wrongly=case.mistaken_for.strip('"'), why=case.why, blamed=tuple(_blamed(there, found, here)),
        tests=tuple(_tests(there, found)), cause=case.cause[:1].upper() + case.cause[1:], repair=case.repair,
        proved=f"The owner's own moves again ({'; then '.join(moves_in_words(there, case.tried))}): {' '.join(now)}",
        cautions=tuple(cautions_of(there, case, cranked=cranks(sound) or cranks(here))),
    )


def case_of(card_id: str, learner: str = "", course: str = "") -> tuple[Machine, Case]:
    """The machine and the case behind a card, for telling it on purpose; raises QuestionError for an unknown card."""
    if card_id not in case_ids():
        first, *_, last = case_ids()
        raise QuestionError(f"there is no case behind '{card_id[:20]}'; the library has {first} to {last}.")
    machine_id, name = behind(card_id)
    there = machine(machine_id)
    case = there.cases[name]
    if card_id in CARDS and learner:
        faults = CARDS[card_id].faults(learner, course)
        if faults != case.faults:
            note = there.notes[faults[0]]
            case = replace(case, faults=faults, cause=note.cause, repair=note.repair, inspection=note.looks)
    return there, case


def in_words(there: Machine, fault: str) -> str:
    """A fault with its part's name: ``K1 contacts burnt 0.5 ohm (starter relay)``."""
    return f"{fault} ({there.circuit[there.fault(fault).part].title})"


def test_in_words(there: Machine, test: CaseTest) -> tuple[str, str]:
    """What a case's test does, and how the machine stands for it."""
    if test.tool == ELSEWHERE:
        return test.how, ""
    if test.tool in TRAY:
        done = done_in_words(there, Probe(instrument=test.tool, leads=test.places))
    else:
        words = {"look": "a close look at", "notice": "what is seen and heard of"}[test.tool]
        part = test.places[0]
        done = f"{words} {'the engine' if part == 'engine' else f'{part}, the {there.circuit[part].title}'}"
    stands = ["engine running"] if test.running else []
    if any(test.moves):
        stands.append("; then ".join(moves_in_words(there, test.moves)))
    elif not test.running:
        stands.append("all at rest")
    for words, parts in (("off", test.off), ("moved about", test.wiggled), ("warm", test.warm)):
        if parts:
            stands.append(f"{' and '.join(parts)} {words}")
    return done[:1].upper() + done[1:], ", ".join(stands)


def cautions_of(there: Machine, case: Case, *, cranked: bool) -> Iterator[str]:
    """The cautions that stand where the hand goes in this case, ``cranked`` or not, then whose word comes first."""
    wanted = set(ALWAYS)
    for test in case.tests:
        # A clamp round a starter's cable is no drain test: nothing is put in series, and it is there to be cranked.
        if test.tool != "clamp" or not (test.running or any(test.moves)):
            wanted.update(ASKED_BY.get(test.tool, ()))
        if test.running:
            wanted.add("running")
    if case.does.get("engine") in RUNS:
        wanted.add("running")
    if cranked:
        wanted.add("crank")
    parts = [there.circuit[there.fault(fault).part] for fault in case.faults]
    batteries = {part.id for part in there.circuit.parts if isinstance(part, Battery)}
    wanted.update("battery" for part in parts if batteries & {part.id, *(end.part for end in ends_of(part))})
    wanted.update("fuse" for part in parts if isinstance(part, Fuse))
    # A caution named after something the case speaks of belongs to it.
    stages = (there.stage_of(part.id).id for part in parts)
    text = " ".join((*(part.title for part in parts), *stages, case.owner, case.repair)).lower()
    wanted.update(name for name in there.cautions if name not in GENERAL and name.lower().removesuffix("s") in text)
    yield from (said for name, said in there.cautions.items() if name in wanted)
    yield from (said for name, said in USUAL.items() if name in wanted and name not in there.cautions)
    yield MANUAL


def _standing(card_id: str, back: Collection[object], read: Collection[object]) -> Standing:
    if card_id in back:
        return Standing.OPEN
    if card_id in lesson_cards():
        return Standing.CLOSED
    return Standing.OPEN if card_id in read else Standing.FOLDED


def _felt(there: Machine, case: Case, here: Operation) -> Iterator[str]:
    """What a close look at the faulty parts shows, and a hand put there feels, after the owner's moves."""
    for number, fault in enumerate(case.faults):
        part = there.fault(fault).part
        yield f"{part}: {case.inspection if number == 0 and case.inspection else seen(here, part)}"


def _tests(there: Machine, found: Verdict) -> Iterator[TestTold]:
    for number, test in enumerate(found.case.tests):
        done, stands = test_in_words(there, test)
        here, sound = found.shown[FAULT][number], found.shown[SOUND][number]
        yield TestTold(
            done=done, stands=stands, here=here.shown if here.computed else test.shows,
            sound=sound.shown if sound.computed else "", decides=sound.computed and not sound.fits,
        )


def _blamed(there: Machine, found: Verdict, here: Operation) -> Iterator[Blamed]:
    case = found.case
    for rival in case.rivals:
        theirs = tried(there, case, (rival,))
        mine, other = seen_there(here, theirs), seen_there(theirs, here)
        more = [text for text in other if text not in mine]
        less = [text for text in mine if text not in other]
        ear = [f"Besides: {' '.join(more)}"] if more else []
        ear += [f"Not: {' '.join(less)}"] if less else []
        yield Blamed(
            fault=in_words(there, rival), ear=" ".join(ear) or SAME_TO_EYE_AND_EAR,
            against=tuple(_against(there, found, found.shown[rival])),
        )


def _against(there: Machine, found: Verdict, theirs: tuple[Showing, ...]) -> Iterator[str]:
    """The readings that this rival would not have given; where none is computed, the test done elsewhere."""
    case = found.case
    rows = list(zip(case.tests, theirs, found.shown[FAULT], strict=True))
    spoken = [row for row in rows if not row[1].fits]
    for test, their, mine in spoken:
        done, stands = test_in_words(there, test)
        yield f"{done} ({stands}) would show {their.shown}; here it shows {mine.shown}."
    if not spoken:
        yield from (f"{test.how} {test.shows}" for test in case.tests if test.tool == ELSEWHERE)


def stage_of(card_id: str) -> str:
    """The stage a case's root cause lies in: only for cases that are open."""
    there, case = case_of(card_id)
    return there.stage_of(there.fault(case.faults[0]).part).id
