"""The case library on the screen: sixty old jobs, found by what was seen and heard, and the learner's own among them.

A case whose card is marked work stays closed until that card is handed back; the others are opened on asking. Until
then nothing of what was wrong leaves Python.
"""

from collections.abc import Iterable, Mapping
from dataclasses import asdict
from functools import cached_property
from pathlib import Path

import anywidget
import traitlets

from kit.bay.scripts import script
from kit.bay.sight import Sight
from kit.bay.stand_in import with_stand_in
from kit.bay.turns import Turns
from kit.errors import KitError, OperationError
from kit.exercises.cards import CARDS
from kit.exercises.case_fronts import KINDS, behind, fronts, stages
from kit.exercises.case_library import (
    NOT_ELECTRICAL,
    READ,
    Standing,
    lesson_cards,
    stage_of,
    standings,
    tell,
)
from kit.exercises.case_search import look_up
from kit.exercises.own_cases import OwnCase, marks_of, own_cases, tell_own
from kit.machines import machine_ids
from kit.records import Entry, Record, all_entries, kernel_record

HERE = Path(__file__).parent
LONGEST = 200  # characters typed that are looked at
ASKED = ("typed", "kind", "machine", "stage")
WORK_FIRST = "Work card {card} first (lesson {lesson}): the case opens when you hand it back."
STAGE_TOLD = "A stage is told of open cases only; {hidden} more may lie in it."


class CaseBook(anywidget.AnyWidget):
    """The case library.

    ``setting`` is sent once: what is known of each case before it is opened. ``view`` follows what is asked: the ids
    found, in order, and how far each is open. ``told`` holds what was opened. Messages: ``{"look": {"typed": …, "kind":
    …, "machine": …, "stage": …, "mine": …}}``, ``{"open": id}``, ``{"marks": id}``.
    """

    _esm = script("case_book.js")
    _css = HERE / "bay.css"

    setting = traitlets.Dict().tag(sync=True)
    view = traitlets.Dict().tag(sync=True)
    told = traitlets.Dict().tag(sync=True)

    def __init__(self, *, record: Record, sight: Sight = Sight.PLAIN) -> None:
        if sight is Sight.AFTER_THE_FACT:
            raise OperationError("the case library has two views, plain and tell-all.")
        self._record, self._sight, self._turns = record, sight, Turns()
        before = all_entries(record)
        self._before, self._known = before, len(record.entries)
        self._asked: dict[str, str] = dict.fromkeys(ASKED, "")
        self._mine, self._said = False, ""
        super().__init__(setting=self._setting(), view={}, told={})
        self.view = self._seen()
        self.on_msg(self._message)

    def look(self, typed: str = "", *, kind: str = "", machine: str = "", stage: str = "") -> tuple[str, ...]:
        """Look cases up by name instead of by hand; returns the cards found, in order."""
        with self._turns.take():
            self._look({"typed": typed, "kind": kind, "machine": machine, "stage": stage})
            self.view = self._seen()
        return tuple(self.view["found"])

    def read(self, card: str) -> str:
        """Open a case by its card instead of by hand; returns what is said."""
        with self._turns.take(), self.hold_sync():
            self._said = ""
            try:
                self._open(card)
            except KitError as error:
                self._said = str(error)
            self.view = self._seen()
        return self._said

    def _message(self, _widget: object, content: object, _buffers: object = None) -> None:
        if not isinstance(content, dict):
            return
        with self._turns.take(content.get("number"), content.get("page")) as fresh, self.hold_sync():
            if fresh:
                self._said = ""
                try:
                    if "look" in content:
                        self._look(content["look"])
                    elif "open" in content:
                        self._open(content["open"])
                    elif "marks" in content:
                        self._marks(content["marks"])
                except KitError as error:
                    self._said = str(error)
            self.view = self._seen()

    # What is asked

    def _look(self, asked: object) -> None:
        given = asked if isinstance(asked, dict) else {}
        texts = {name: given.get(name, "") for name in ASKED}
        wrong = not all(isinstance(text, str) for text in texts.values()) or texts["kind"] not in ("", *KINDS)
        if wrong or texts["machine"] not in ("", *machine_ids()):
            raise OperationError("that cannot be looked up; choose a symptom, a machine or a stage from the lists.")
        self._asked = texts | {"typed": texts["typed"][:LONGEST]}
        self._mine = given.get("mine") is True

    def _open(self, wanted: object) -> None:
        if wanted in self._own:
            self.told = self.told | {wanted: asdict(tell_own(self._own[wanted], *self._learner)) | {"marks": None}}
            return
        if wanted not in fronts():
            raise OperationError(f"there is no case '{str(wanted)[:20]}' in the library.")
        standing = self._standings()[wanted]
        if standing is Standing.CLOSED:
            raise OperationError(WORK_FIRST.format(card=wanted, lesson=lesson_cards()[wanted]))
        if standing is Standing.FOLDED:
            # Written before it is shown, as everything is: a case read first is help on its card.
            self._record.append("hint", job=wanted, read=READ)
        learner, course = self._learner if wanted in CARDS and self._sight is Sight.PLAIN else ("", "")
        found = tell(wanted, learner=learner, course=course)
        self.told = self.told | {wanted: asdict(found) | {"unblamed": "" if found.blamed else NOT_ELECTRICAL}}

    def _marks(self, wanted: object) -> None:
        if wanted not in self._own or wanted not in self.told:
            raise OperationError("the marks are told of a card of your own, once it is open.")
        marks = asdict(marks_of(self._own[wanted], *self._learner))
        self.told = self.told | {wanted: self.told[wanted] | {"marks": marks}}

    # What is known

    @property
    def _learner(self) -> tuple[str, str]:
        return self._record.learner, self._record.course

    def _entries(self) -> Iterable[Entry]:
        """All the learner recorded; what other kernels wrote meanwhile shows when the library is opened again."""
        return (*self._before, *self._record.entries[self._known:])

    def _standings(self) -> Mapping[str, Standing]:
        """How far each case is open; to an instructor all of them."""
        if self._sight is Sight.TELL_ALL:
            return dict.fromkeys(fronts(), Standing.OPEN)
        return standings(self._entries())

    @cached_property
    def _own(self) -> Mapping[str, OwnCase]:
        found = () if self._sight is Sight.TELL_ALL else own_cases(self._before)
        # A card with two faults is no case of the library.
        return {own.id: own for own in found if own.card in fronts()}

    def _setting(self) -> dict:
        counts = {kind: sum(kind in front.kinds for front in fronts().values()) for kind in KINDS}
        cases = {card: asdict(front) | {"yours": ""} for card, front in fronts().items()}
        cases |= {name: asdict(fronts()[own.card]) | {"yours": own.day} for name, own in self._own.items()}
        if self._sight is Sight.TELL_ALL:
            cases = {card: case | {"name": behind(card)[1]} for card, case in cases.items()}
        titles = {front.machine_id: front.machine for front in fronts().values()}
        return {
            "sight": self._sight.value, "kinds": counts, "cases": cases, "lessons": dict(lesson_cards()),
            "machines": {each: titles[each] for each in machine_ids()},
            "stages": {each: list(names) for each, names in stages().items()},
        }

    def _seen(self) -> dict:
        asked, standing = self._asked, self._standings()
        among = {own.card for own in self._own.values()} if self._mine else set(fronts())
        told = {card: " ".join(case["faults"]) + f" {case['name']} {case['cause']}" for card, case in self.told.items()
                if card in fronts()}
        if self._sight is Sight.TELL_ALL:
            told = {card: behind(card)[1] for card in fronts()} | told
        found = look_up(asked["typed"], kind=asked["kind"], machine_id=asked["machine"], told=told,
                        among=[card for card in fronts() if card in among])
        cards, help_ = found.cards, found.help
        if asked["stage"]:
            known = [card for card in cards if standing[card] is Standing.OPEN]
            help_ = help_ or ("" if len(known) == len(cards) else STAGE_TOLD.format(hidden=len(cards) - len(known)))
            cards = tuple(card for card in known if stage_of(card) == asked["stage"])
        mine = {own.card: name for name, own in self._own.items()}
        shown = [name for card in cards for name in ((mine[card], card) if card in mine else (card,))]
        return {
            "number": self._turns.count, "answered": self._turns.done(), "asked": asked | {"mine": self._mine},
            "found": [name for name in shown if not self._mine or name in self._own], "help": help_,
            "said": self._said, "standing": {card: each.value for card, each in standing.items()},
        }

    def _repr_mimebundle_(self, **kwargs: object) -> tuple[dict, dict]:
        words = (f"The case library: {len(fronts())} old jobs by what was seen and heard. To look in it, press the "
                 "button at the top of this page.")
        return with_stand_in(super()._repr_mimebundle_(**kwargs), words)

    def __repr__(self) -> str:
        return f"<CaseBook: {len(fronts())} cases>"


def cases(view: str = "plain") -> CaseBook:
    """The case library: sixty old jobs, searchable by symptom, your own finished cards among them.

    ``view`` is ``plain``, or ``tell-all`` for instructors: every case open. Raises OperationError for another one.
    """
    return CaseBook(record=kernel_record(), sight=Sight.named(view))
