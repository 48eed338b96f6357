"""The instructor's corner: one bay for the whole room, and what is set, hidden, voted on, replayed and shown on it.

Everything that is in the machine stays in Python until it is revealed; the browser gets what it shows.
"""

import secrets
from collections.abc import Callable, Mapping
from datetime import date
from functools import wraps
from pathlib import Path

import anywidget
import ipywidgets
import traitlets

from kit import draw
from kit.bay.machine_bay import MachineBay
from kit.bay.replay import Replay, Work, replay, wall, works
from kit.bay.scripts import script
from kit.bay.sight import Sight
from kit.bay.stand_in import with_stand_in
from kit.bay.turns import Turns
from kit.errors import KitError, OperationError
from kit.exercises.acts import Probe
from kit.exercises.fault_kinds import at_random, kinds, of_the_day, shows
from kit.exercises.work import begin
from kit.instruments.lamp import LAMP_WORDS
from kit.machines import Machine
from kit.records import Record, course_name, records_folder

HERE = Path(__file__).parent
MOST_HANDS = 999
MOST_FAULTS = 2


def _shown(do: Callable) -> Callable:
    """What is done by name is shown as what comes from the browser is."""

    @wraps(do)
    def done(self: "Corner", *args: object, **kwargs: object) -> object:
        try:
            return do(self, *args, **kwargs)
        finally:
            self._follow()

    return done


class Corner(anywidget.AnyWidget):
    """What an instructor does with one machine in front of a room; the machine itself is on ``bay``, below it.

    ``setting`` is sent once, ``view`` follows everything done here and on the bay. What is asked for comes in as
    messages ``{"number": n, "page": "…", "do": "random", …}``, one for each method below by its name.
    """

    _esm = script("corner.js")
    _css = HERE / "bay.css"

    setting = traitlets.Dict().tag(sync=True)
    view = traitlets.Dict().tag(sync=True)

    def __init__(self, machine: Machine, *, record: Record) -> None:
        self._machine, self._turns = machine, Turns()
        self._faults: tuple[str, ...] = ()
        self._said, self._owner = "Nothing is set: the machine is sound.", ""
        self._vote: dict | None = None
        self._works: tuple[Work, ...] = ()
        self._replay: Replay | None = None
        self._move, self._wall = 0, None
        self.bay = MachineBay(machine, record=record, sight=Sight.AFTER_THE_FACT)
        super().__init__(setting=self._setting(), view=self._seen())
        self._room = ipywidgets.VBox([self, self.bay])
        self.bay.observe(lambda _change: self._follow(), "view")
        self.on_msg(self._message)

    # What can be done, by name

    @_shown
    def set(self, *faults: str) -> None:
        """Set one fault or a pair, by their ids, hidden; none at all makes the machine sound."""
        if len(faults) > MOST_FAULTS or len(set(faults)) != len(faults):
            raise OperationError("set one fault, or two different ones.")
        self._stand(tuple(self._machine.fault(fault).id for fault in faults))
        self._said = "It is set, and hidden." if faults else "Nothing is set: the machine is sound."

    @_shown
    def random(self, *chosen: str, pair: bool = False) -> None:
        """Set a fault of these kinds at random, or a pair; of any kind where none is named."""
        self._stand(at_random(self._machine, chosen, pair=pair, pick=secrets.choice))
        self._said = f"{'A pair is' if pair else 'A fault is'} set at random. Nobody knows it, you neither."

    @_shown
    def today(self, course: str = "", day: str = "") -> None:
        """Set the fault of the day: the same for everybody on a course, ``kit.today`` included."""
        course, day = course or course_name(), day or date.today().isoformat()
        case = of_the_day(self._machine, course, day)
        self._stand(case.faults, owner=case.owner)
        self._said = f"The fault of {day} for {course} is set, and hidden."

    @_shown
    def reveal(self) -> str:
        """Lift the lid: what is set, and the truth under every reading. Returns it in words."""
        self.bay.lift(up=True)
        self._said = "The lid is up."
        return "; ".join(self.bay.view["truth"]["faults"]) or "nothing wrong"

    @_shown
    def hide(self) -> None:
        """Put the lid on again."""
        self.bay.lift(up=False)
        self._said = "The lid is on."

    @_shown
    def vote_lamp(self, clip: str, tip: str) -> None:
        """Ask the room what the test lamp will show there, as the machine stands."""
        for lead in (clip, tip):
            if lead not in self.bay.setting["points"]:
                raise OperationError(f"a lead cannot be put on {lead}; it is not among the test points.")
        if clip == tip:
            raise OperationError("both leads on one point tell nothing.")
        self._ask(f"The lamp's clip on {clip}, its tip on {tip}: what will it show?", LAMP_WORDS, (clip, tip))

    @_shown
    def vote_stage(self) -> None:
        """Ask the room in which stage it is."""
        self._ask("In which stage is it?", tuple(stage["id"] for stage in self.bay.setting["stages"]), ())

    @_shown
    def count(self, **hands: int) -> None:
        """How many hands went up: ``count(bright=7, out=12)``; with spaces in it, ``count(**{"main feed": 7})``."""
        self._count(hands)

    @_shown
    def tell(self) -> str:
        """Reveal the answer to the vote, and how many had it; the hands counted stand then."""
        vote = self._open_vote()
        if not sum(vote["counts"].values()):
            raise OperationError("count the hands first: a prediction comes before the reading.")
        if vote["leads"]:
            self.bay.do(Probe(instrument="lamp", leads=vote["leads"]))
            shown = self.bay.view["probe"]["reading"]
            right = [word for word in LAMP_WORDS if word in self._accepted(shown)]
            words = f"It shows: {shown}."
        else:
            faults = self.bay._standing().faults
            machine = self.bay._standing().machine
            right = list(dict.fromkeys(machine.stage_of(machine.fault(fault).part).id for fault in faults))
            words = f"It is in: {' and '.join(right)}." if right else "Nothing is wrong with the machine."
        hands, all_hands = sum(vote["counts"][option] for option in right), sum(vote["counts"].values())
        vote["told"] = {"right": right, "words": f"{words} {hands} of {all_hands} hands had it."}
        self._said = vote["told"]["words"]
        return self._said

    @_shown
    def end_vote(self) -> None:
        """Put the vote away."""
        self._vote = None

    @_shown
    def records(self, folder: str | Path = "") -> list[tuple[str, str]]:
        """Look for records in a folder and below it; returns who has worked on which job card."""
        self._works = works(Path(folder) if folder else records_folder())
        self._wall, self._replay = None, None
        self._said = f"{len(self._works)} learner{'' if len(self._works) == 1 else 's'} found."
        return [(work.learner, job) for work in self._works for job in work.jobs()]

    @_shown
    def replay(self, learner: str, job: str) -> int:
        """Put a learner's work on a job on the bench, before its first move; returns how many moves there are."""
        work = next((one for one in self._works if one.learner == learner and job in one.jobs()), None)
        if work is None:
            raise OperationError(f"there is no work of '{learner[:40]}' on '{job[:20]}' among the records looked at.")
        self._replay, self._faults, self._owner = replay(work, job), (), ""
        self._vote = None
        self.move(0)
        return len(self._replay.steps)

    @_shown
    def move(self, number: int) -> str:
        """Go to a move of the replay: 0 is the machine as it came in. Returns the move in words."""
        if self._replay is None or type(number) is not int or not 0 <= number <= len(self._replay.steps):
            raise OperationError("there is no such move; open a record's replay first.")
        up = self.bay.lid_up and number > 0
        self._move, told = number, self._replay.told(number)
        self.bay.stand(*self._replay.at(number), said=told["shown"] or told["done"])
        if up:
            self.bay.lift(up=True)
        shown = f" → {told['shown']}" if told["shown"] else ""
        self._said = f"Move {number} of {len(self._replay.steps)}: {told['done']}{shown}"
        return self._said

    @_shown
    def end_replay(self) -> None:
        """Put the corner's own machine back on the bench, sound."""
        self.set()

    @_shown
    def wall(self) -> dict:
        """How far each learner is whose records were looked at; looks in the usual folder where none was."""
        if not self._works:
            self.records()
        self._wall = wall(self._works)
        return self._wall

    # What the browser says and sees

    def _message(self, _widget: object, content: object, _buffers: object = None) -> None:
        if not isinstance(content, dict):
            return
        with self._turns.take(content.get("number"), content.get("page")) as fresh:
            if fresh:
                try:
                    self._take_in(content)
                except KitError as error:
                    self._said = str(error)
            self.view = self._seen()

    def _take_in(self, content: dict) -> None:
        def text(name: str) -> str:
            value = content.get(name, "")
            if not isinstance(value, str) or len(value) > 1000:
                raise OperationError(f"'{name}' has to be a short text.")
            return value

        def texts(name: str) -> tuple[str, ...]:
            values = content.get(name, [])
            if not (isinstance(values, list) and all(isinstance(value, str) for value in values)):
                raise OperationError(f"'{name}' has to be a list of texts.")
            return tuple(values)

        match content.get("do"):
            case "set":
                self.set(*texts("faults"))
            case "random":
                self.random(*texts("kinds"), pair=content.get("pair") is True)
            case "today":
                self.today(text("course"), text("day"))
            case "reveal":
                self.reveal()
            case "hide":
                self.hide()
            case "vote lamp":
                self.vote_lamp(text("clip"), text("tip"))
            case "vote stage":
                self.vote_stage()
            case "count":
                self._count(content.get("hands"))
            case "tell":
                self.tell()
            case "end vote":
                self.end_vote()
            case "records":
                self.records(text("folder"))
            case "replay":
                self.replay(text("learner"), text("job"))
            case "move":
                self.move(content.get("to"))
            case "end replay":
                self.end_replay()
            case "wall":
                self.records(text("folder"))
                self.wall()
            case _:
                raise OperationError("the corner does not know what is asked of it.")

    def _stand(self, faults: tuple[str, ...], owner: str = "") -> None:
        self._faults, self._owner, self._vote, self._replay = faults, owner, None, None
        self.bay.stand(begin(self._machine, faults), said=f"The owner says: “{owner}”" if owner else "")

    def _ask(self, asked: str, options: tuple[str, ...], leads: tuple[str, ...]) -> None:
        self._vote = {"asked": asked, "options": list(options), "leads": leads,
                      "counts": dict.fromkeys(options, 0), "told": None}
        self._said = "Hands up, one option after another; type the counts."

    def _open_vote(self) -> dict:
        if self._vote is None or self._vote["told"]:
            raise OperationError("there is no vote open; ask the room something first.")
        return self._vote

    def _count(self, hands: object) -> None:
        vote = self._open_vote()
        if not isinstance(hands, Mapping):
            raise OperationError("hands are counted by option.")
        for option, number in hands.items():
            if option not in vote["counts"]:
                raise OperationError(f"'{str(option)[:40]}' is no option; there are {', '.join(vote['options'])}.")
            if type(number) is not int or not 0 <= number <= MOST_HANDS:
                raise OperationError(f"hands are a whole number, {MOST_HANDS} at the most.")
        vote["counts"] |= hands

    def _accepted(self, shown: str) -> tuple[str, ...]:
        """The words that are as right as the one shown, near the edge of a band."""
        told = self.bay._last_told()
        return tuple(told[1]) if isinstance(told, tuple) and told[0] == "lamp" else (shown,)

    def _follow(self) -> None:
        """The bay was worked: lids and symptoms here follow."""
        now = self._seen()
        if now != self.view:
            self.view = now

    def _setting(self) -> dict:
        parts = self.bay.setting["parts"]
        return {
            "title": self._machine.title,
            "parts": {part: {"title": about["title"], "faults": about["faults"]} for part, about in parts.items()
                      if about["faults"]},
            "kinds": [[kind, number] for kind, number in kinds(self._machine).items()],
            "course": course_name(), "day": date.today().isoformat(), "folder": str(records_folder()),
        }

    def _seen(self) -> dict:
        machine = self.bay.setting["title"]
        return {
            "number": self._turns.count, "answered": self._turns.done(), "said": self._said, "machine": machine,
            "set": bool(self._faults) or self._replay is not None,
            "symptom": list(shows(self._machine, self._faults)) if self._replay is None else [],
            "owner": self._owner,
            "revealed": self._revealed(),
            "points": list(self.bay.setting["points"]),
            "vote": None if self._vote is None else {name: self._vote[name] for name in (
                "asked", "options", "counts", "told")},
            "records": [[work.learner, job] for work in self._works for job in work.jobs()],
            "replay": None if self._replay is None else {
                "of": self._replay.title, "at": self._move, "moves": len(self._replay.steps),
                **self._replay.told(self._move),
            },
            "wall": self._wall,
        }

    def _revealed(self) -> list[dict] | None:
        """What is wrong with the machine on the bench, why it came and what puts it right; only with the lid up."""
        if not self.bay.lid_up:
            return None
        here = self.bay._standing()
        notes = [here.machine.notes[fault] for fault in here.faults]
        return [
            {"fault": fault, "stage": here.machine.stage_of(here.machine.fault(fault).part).id, "looks": note.looks,
             "cause": note.cause, "repair": note.repair}
            for fault, note in zip(here.faults, notes, strict=True)
        ]

    def _repr_mimebundle_(self, **kwargs: object) -> tuple[dict, dict]:
        words = (f"The instructor's corner: {self._machine.title}. To use it, press the button at the top of this "
                 "page.")
        return with_stand_in(self._room._repr_mimebundle_(**kwargs), words, draw.blocks(self._machine))
