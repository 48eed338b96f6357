"""Job cards to fill in by pencil: the twelve parts with a blank test sheet, no fault given away; and what was wrong."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from kit.errors import PaperError
from kit.exercises.acts import TIDY
from kit.exercises.cards import JobCard, card, card_ids, form, of_case
from kit.exercises.case_library import in_words as fault_in_words
from kit.exercises.job_question import JobQuestion
from kit.machines import Machine, machine
from kit.machines.cases import ELSEWHERE, LEADS, PLACES, CaseTest
from kit.paper.lesson import ONE, lesson_questions
from kit.paper.press import Paper, plain_name, press

# What fits a card of two pages, on Letter as well: more than two interlocks take the room of a row.
TEST_ROWS, FEWEST_ROWS, INTERLOCKS = 8, 7, 2
SUSPECT_ROWS = 3
OWN = ".yaml"
NAMED = 4  # cards a file is called by; more are counted


@dataclass(frozen=True, slots=True, kw_only=True)
class Card:
    """A job card on paper: ``parts`` are heading and what is to be done there, the rest fills some of them.

    ``two``: there is room for a second fault, found when the first is put right.
    """

    id: str
    machine_id: str
    machine: str
    parts: Sequence[tuple[str, str]]
    asks: Sequence[str]
    prepare: Sequence[str]
    moves: Sequence[str]
    interlocks_all: str
    interlocks: Sequence[str]
    test_rows: int
    two: bool
    tidy: Sequence[str]


@dataclass(frozen=True, slots=True, kw_only=True)
class CardAnswer:
    """What is behind a job card: for the instructor."""

    id: str
    machine: str
    complaint: str
    faults: Sequence[str]
    looks: str
    answers: Mapping[str, str]
    shows: str
    tests: Sequence[tuple[str, str]]
    mistaken_for: str
    cause: str
    repair: str
    why: str


def job_cards(names: Sequence[str], learners: Sequence[str], course: str, *, answers: bool) -> tuple[Paper, ...]:
    """The cards of these ids, or of lessons, as one file; with ``answers`` what is behind them as another.

    Raises PaperError where there is no such card or lesson.
    """
    chosen = tuple({each.id: each for name in names for each in _cards(name)}.values())
    ids = [each.id for each in chosen]
    who = learners or ("",)
    name = "-".join(("job-cards", *(plain_name(each) for each in ids[:NAMED])))
    name += f"-and-{len(ids) - NAMED}-more" if ids[NAMED:] else ""
    made = [press(
        "cards.html", f"{name}.html", title=f"Job cards {', '.join(ids)}", course=course, learners=who,
        cards=[_on_paper(each) for each in chosen], suspect_rows=SUSPECT_ROWS,
    )]
    if answers:
        behind = [(learner, _behind(each, learner or ONE, course)) for learner in who for each in chosen]
        made.append(press(
            "card-answers.html", f"{name}-answers.html", title=f"Answers to job cards {', '.join(ids)}", course=course,
            behind=behind,
        ))
    return tuple(made)


def card_on_paper(card_id: str) -> Card:
    """What a learner's paper says of a job: nothing of what is wrong."""
    return _on_paper(card(card_id))


def card_answer(card_id: str, learner: str, course: str) -> CardAnswer:
    """What is behind a card for this learner."""
    return _behind(card(card_id), learner, course)


def _on_paper(chosen: JobCard) -> Card:
    there = chosen.machine
    shared = _shared(chosen.interlocks)
    own = [{name: at for name, at in each.items() if name not in shared} for each in chosen.interlocks]
    return Card(
        id=chosen.id, machine_id=chosen.machine_id, machine=there.title,
        parts=[(heading, text) for heading, text, _acts in form(chosen)], asks=tuple(chosen.answers),
        prepare=tuple(chosen.preparations.values()), moves=_moves(there, chosen),
        interlocks_all=in_words(there, shared) if shared else "",
        interlocks=[in_words(there, positions) for positions in own], two=chosen.apart, tidy=tuple(TIDY.values()),
        test_rows=max(FEWEST_ROWS, TEST_ROWS - max(0, len(own) - INTERLOCKS)),
    )


def _behind(chosen: JobCard, learner: str, course: str) -> CardAnswer:
    there, case = chosen.machine, chosen.case()
    faults = chosen.faults(learner, course)
    if chosen.apart:
        return _behind_both(chosen, faults)
    note = there.notes.get(faults[0])
    return CardAnswer(
        id=chosen.id, machine=there.title, complaint=chosen.complaint,
        faults=[fault_in_words(there, fault) for fault in faults],
        looks=chosen.looks.get(faults[0], note.looks if note else ""), answers=chosen.answers,
        shows=case.shows if case else "", tests=[test_in_words(there, test) for test in case.tests] if case else (),
        mistaken_for=case.mistaken_for if case else "", cause=case.cause if case else note.cause if note else "",
        repair=case.repair if case else note.repair if note else "", why=case.why if case else "",
    )


def _behind_both(chosen: JobCard, faults: Sequence[str]) -> CardAnswer:
    """What is behind a card with two faults: of each its look, its cause and its cure, and what shows in between."""
    there, notes = chosen.machine, [chosen.machine.notes[fault] for fault in faults]
    shown, hidden = named = [fault.split(" ", 1)[0] for fault in faults]

    def each(texts: Sequence[str]) -> str:
        return " ".join(f"{part}: {text.rstrip('.')}." for part, text in zip(named, texts, strict=True))

    does = [
        " ".join(notice.text for notice in now.noticed if notice.text and notice.word != "out")
        for now in (there.operate(*left, **chosen.complaint_positions) for left in (faults, faults[1:]))
    ]
    both = f"; and, nothing to do with it, {fault_in_words(there, faults[1])}"
    return CardAnswer(
        id=chosen.id, machine=there.title, complaint=chosen.complaint,
        faults=[f"{fault_in_words(there, faults[0])}{both}"], looks=each([note.looks for note in notes]),
        answers=chosen.answers, shows=f"At first: {does[0]} With {shown} put right: {does[1]}", tests=(),
        mistaken_for="", cause=each([note.cause for note in notes]).rstrip("."),
        repair=each([note.repair for note in notes]),
        why=f"{shown} hides {hidden}: {hidden} is not put to work before {shown} is put right. The first repair stands "
        "by its own reading; then the search begins anew, from what the machine does now.",
    )


def in_words(machine: Machine, positions: Mapping[str, str]) -> str:
    """Positions as a person says them: ``key switch on, stop switch run``."""
    return ", ".join(machine.in_words(positions)) or "at rest"


def test_in_words(machine: Machine, test: CaseTest) -> tuple[str, str]:
    """A case's test, and what it shows."""
    if test.tool == ELSEWHERE:
        return test.how, test.shows
    if test.tool in LEADS:
        keys = ("black", "red") if test.tool == "load tester" else LEADS[test.tool]
        what = f"{test.tool}: {', '.join(f'{key} on {at}' for key, at in zip(keys, test.places, strict=True))}"
    else:
        what = f"{test.tool} {PLACES[test.tool]} {test.places[0]}"
    told = [what]
    if any(test.moves):
        told.append("then ".join(in_words(machine, moves) for moves in test.moves))
    if test.running:
        told.append("engine running")
    for words, parts in (("unplugged", test.off), ("wiggled", test.wiggled), ("warm", test.warm)):
        if parts:
            told.append(f"{', '.join(parts)} {words}")
    return "; ".join(told), test.shows


def _shared(all_positions: Sequence[Mapping[str, str]]) -> Mapping[str, str]:
    """The positions that several sets have in common; none for fewer than two sets."""
    if len(all_positions) < 2:
        return {}
    first, *more = all_positions
    return {name: at for name, at in first.items() if all(each.get(name) == at for each in more)}


def _moves(machine: Machine, chosen: JobCard) -> list[str]:
    return [in_words(machine, moves) for moves in chosen.moves]


def _cards(name: str) -> tuple[JobCard, ...]:
    """A card by its own id however it is typed, the cards of a lesson, or those of the cases in a file of your own."""
    typed = name.strip().upper()
    if typed in card_ids():
        return (card(typed),)
    if name.strip().endswith(OWN):
        there = machine(name.strip())
        if not there.cases:
            raise PaperError(f"{name.strip()} has no cases, and job cards are made of them; see its section 'cases'.")
        return tuple(of_case(name.strip(), each, f"{there.id} {number}") for number, each in enumerate(there.cases, 1))
    if name.strip().isdigit():
        found = tuple(card(item.card) for item in lesson_questions(name.strip()) if isinstance(item, JobQuestion))
        if not found:
            raise PaperError(f"lesson {name.strip()} has no job card of its own.")
        return found
    first, *_, last = card_ids()
    raise PaperError(f"there is no job card '{name[:40]}'; there are {first} to {last}, or name a lesson, such as 06, "
                     f"or your own machine file, such as my-machine{OWN}.")
