"""The bay: one machine on the screen, worked by clicks and keys.

The browser sends an act; the bay does it, writes it to the record, and only then shows what came of it. What it shows
is the whole of ``view``: in plain view no volts of a net and no fault are in it.
"""

import contextlib
import threading
from collections.abc import Sequence
from pathlib import Path

import anywidget
import traitlets

from kit import draw
from kit.bay import judging
from kit.bay.judging import Judging, review_fields
from kit.bay.scene import line, over, scene, work_so_far
from kit.bay.scripts import script
from kit.bay.setting import setting
from kit.bay.sight import Sight
from kit.bay.stand_in import with_stand_in
from kit.bay.strips import strip_of
from kit.bay.turns import Turns
from kit.errors import KitError, OperationError, RecordError
from kit.exercises.acts import (
    Act,
    Again,
    Find,
    HandBack,
    Look,
    MoveFuse,
    Operate,
    Plant,
    Prepare,
    Probe,
    Prove,
    Repair,
    Verify,
    act_from_fields,
    fields_from_act,
)
from kit.exercises.cards import JobCard, begun
from kit.exercises.work import Situation, Step, apply, begin
from kit.machines import Machine
from kit.records import Record, earlier_entries

HERE = Path(__file__).parent
NOTED = {"noted": "Written on the card."}
LOOKING_THROUGH = "Your work is being gone through. The first time on a machine this takes a while."
# A bay that was never on a page, in seconds, needs no mark that comes late.
GIVES_UP = 60.0


class MachineBay(anywidget.AnyWidget):
    """One machine on the screen.

    ``setting`` is sent once: drawings, controls, points, words. ``view`` follows every act: what is seen now, with the
    numbers of the acts it answers. Acts come in as messages ``{"number": n, "page": "…", "act": "probe", …}``; each
    page of the browser counts its own. ``{"back": n}`` asks for the truth under a line of the sheet, ``{"lid": …}`` to
    lift the lid of a practice bay, ``{"strip": n}`` for the strip chart of a line, ``{"strip": None}`` to put it away;
    ``{"story": true}`` for the work explained, once a job is handed back, ``{"mark": true}`` to try a mark again that
    could not be worked out; none of these is an act. ``strip`` is the chart on the bench, ``story`` the explanation as
    pairs of heading and text; both are empty until asked for.
    """

    _esm = script(
        "picture.js", "tray.js", "controls.js", "part_panel.js", "test_sheet.js", "strip.js", "job_card.js",
        "machine_bay.js",
    )
    _css = HERE / "bay.css"

    setting = traitlets.Dict().tag(sync=True)
    view = traitlets.Dict().tag(sync=True)
    strip = traitlets.Dict().tag(sync=True)
    story = traitlets.List().tag(sync=True)

    def __init__(
        self, machine: Machine, *, record: Record, faults: tuple[str, ...] = (), stage: str = "",
        card: JobCard | None = None, sight: Sight = Sight.PLAIN, drawn: Machine | None = None,
    ) -> None:
        self._machine, self._record, self._card, self._sight = machine, record, card, sight
        # The machine as its drawings have it, where they are wrong.
        self._drawn = drawn
        self._stage = stage or next(iter(machine.stages))
        if self._stage not in machine.stages:
            raise OperationError(f"{machine.id} has no stage '{stage}'; it has {', '.join(machine.stages)}.")
        self._first = begin(machine, faults) if card is None else begun(card, faults)
        # The work so far, and each step as a line of the test sheet, written once.
        self._steps: list[Step] = []
        self._lines: list[dict] = []
        self._turns, self._said = Turns(), ""
        self._judging: Judging | None = None
        self._on_page = threading.Event()
        # How often it was worked from here and not from the page, and the part that was in hand then: the page takes
        # up the leads as they are.
        self._stood: tuple[int, str] = (0, "")
        # After the fact: whether the lid is lifted, and the line of the test sheet looked back at.
        self._lifted, self._back = False, None
        if card is not None:
            self._restore()
        super().__init__(
            setting=setting(machine, stage=self._stage, card=card, sight=sight, drawn=drawn), view=self._seen(),
        )
        self.on_msg(self._message)
        self._on_page.set()

    def do(self, act: Act) -> str:
        """Do one act by name instead of by hand; returns the sentence or reading shown."""
        with self._turns.take():
            self._do(act)
            # Who works by name waits for the mark.
            self._reviewed(None)
            self._stood = (self._stood[0] + 1, "")
            self.view = self._seen()
        return self._unmarked() or (self._steps[-1].shown if self._steps else "")

    def act(self, name: str, **fields: object) -> str:
        """Any act by its name and fields: ``act("wiggle", part="W7")``, ``act("ask", question="…")``."""
        return self.do(act_from_fields({"act": name, **fields}))

    def operate(self, **positions: str) -> str:
        """Move controls: ``operate(key="on")``."""
        return [self.do(Operate(control=name, position=position)) for name, position in positions.items()][-1]

    def lamp(self, *, clip: str, tip: str) -> str:
        """Put the probe lamp's clip and tip down: ``lamp(clip="G1.-", tip="F1.2")``."""
        return self.do(Probe(instrument="lamp", leads=(clip, tip)))

    def volts(self, *, black: str, red: str) -> str:
        """Put the meter's leads down: ``volts(black="G1.-", red="F1.2")``."""
        return self.do(Probe(instrument="volts", leads=(black, red)))

    def look(self, part: str) -> str:
        """Look closely at a part."""
        return self.do(Look(part=part))

    def fuse(self, part: str, to: str) -> str:
        """Move a fuse: ``out``, ``in``, ``new`` or ``bigger``."""
        return self.do(MoveFuse(part=part, to=to))

    def find(self, part: str, fault: str, *, role: str = "fault", readings: tuple[int, ...] = ()) -> str:
        """State what is wrong (``role="fault"``) or what made it happen (``role="cause"``)."""
        return self.do(Find(role=role, part=part, fault=fault, readings=readings))

    def repair(self, part: str) -> str:
        """Mend or renew a part."""
        return self.do(Repair(part=part))

    def verify(self) -> str:
        """Declare the original complaint gone."""
        return self.do(Verify())

    def hand_back(self) -> str:
        """Hand the machine back: the job is over and is marked."""
        return self.do(HandBack())

    def prepare(self, *steps: str) -> str:
        """Tick steps of getting ready; the card names them."""
        return [self.do(Prepare(step=step)) for step in steps][-1]

    def record_strip(self, line: int | None = None) -> str:
        """The strip chart of a press, line ``line`` of the work or the last there is; returns what it says in words."""
        lines = [entry["number"] for entry in self._lines if entry["strip"]]
        if line is None and not lines:
            raise OperationError("nothing was held yet: press or hold a control that springs back, for some seconds.")
        with self._turns.take():
            self._draw_strip(lines[-1] if line is None else line)
            self.view = self._seen()
        moments = (f"{at:.2f} s: {text}" for at, text in self.strip["moments"])
        return "\n".join([self.strip["about"], *moments])

    # What the instructor's corner does with it

    @property
    def lid_up(self) -> bool:
        """Whether the truth is told under what was read."""
        return self._lifted

    def _standing(self) -> Situation:
        """How the machine on the bench stands, for the corner; underscored, for it holds what is hidden."""
        return self._steps[-1].situation if self._steps else self._first

    def _last_told(self) -> object:
        """What the last step told, in comparable form; None before any."""
        return self._steps[-1].told if self._steps else None

    def stand(self, first: Situation, steps: Sequence[Step] = (), *, said: str = "") -> None:
        """Put a machine on the bench as it is after these steps, its lid down; the bay of a job card stays its card's.

        Raises OperationError for the bay of a job card.
        """
        if self._card is not None:
            raise OperationError("on a job the fault is already in; find it.")
        with self._turns.take(), self.hold_sync():
            self._first, self._steps, self._said = first, list(steps), said
            self._lines = [line(first.machine, number, step) for number, step in enumerate(steps)]
            self._lifted, self._back, self.strip = False, None, {}
            self._stood = (self._stood[0] + 1, getattr(steps[-1].act, "part", "") if steps else "")
            if first.machine is not self._machine:
                self._machine, self._stage = first.machine, next(iter(first.machine.stages))
                self.setting = setting(first.machine, stage=self._stage, card=None, sight=self._sight)
            self.view = self._seen()

    def lift(self, *, up: bool) -> None:
        """Lift the lid, or put it on again; on a practice bay whose view is after-the-fact."""
        with self._turns.take(), self.hold_sync():
            self._lift("up" if up else "on")
            self.view = self._seen()

    # What the browser says and sees

    def _message(self, _widget: object, content: object, _buffers: object = None) -> None:
        if not isinstance(content, dict):
            return
        with self._turns.take(content.get("number"), content.get("page")) as fresh, self.hold_sync():
            if fresh:
                self._take_in(content)
            self.view = self._seen()

    def _take_in(self, content: dict) -> None:
        try:
            if "back" in content:
                self._look_back(content["back"])
            elif "lid" in content:
                self._lift(content["lid"])
            elif "story" in content:
                self._tell_story()
            elif "strip" in content:
                self._draw_strip(content["strip"])
            elif "mark" in content:
                if self._judging is not None and self._judging.trouble:
                    self._judging = None
            else:
                self._do(act_from_fields(content))
        except RecordError as error:
            self._said = f"Not done: {error}"
        except KitError as error:
            self._said = str(error)

    def _look_back(self, number: object) -> None:
        if not self._told_after():
            raise OperationError("the truth is told when the machine is handed back.")
        if number is not None and (type(number) is not int or not 0 <= number < len(self._steps)):
            raise OperationError(f"there is no line {number} on this test sheet.")
        self._back = number

    def _tell_story(self) -> None:
        """Explain the work line by line, once it is handed back; in a thread, for it may take a while at first."""
        if self._card is None or not over(self._steps):
            raise OperationError("the work is gone through when the machine is handed back.")
        if self.story:
            return
        self.story = [["", LOOKING_THROUGH]]
        planted, acts = self._first.planted, [step.act for step in self._steps]
        threading.Thread(target=self._write_story, args=(self._card, planted, acts), daemon=True).start()

    def _write_story(self, card: JobCard, planted: tuple[str, ...], acts: list[Act]) -> None:
        from kit.exercises.library import efficiency_of_card
        from kit.exercises.story import story  # brings the outcome tables with it, and with them numpy

        try:
            told = [list(pair) for pair in story(card, planted, acts, efficiency=efficiency_of_card(card.id)).lines()]
        except KitError as error:
            told = [["", f"The work cannot be gone through: {error}"]]
        # Worked again meanwhile, there is another page to fill.
        if self.story:
            self.story = told or [["", "There is nothing to tell: no act of this work parted the suspects."]]

    def _draw_strip(self, number: object) -> None:
        if number is None:
            self.strip = {}
            return
        told = self._sight is Sight.TELL_ALL or self._told_after()
        self.strip = strip_of(self._first, self._steps, number, told=told)

    def _lift(self, lifted: object) -> None:
        if self._card is not None or self._sight is not Sight.AFTER_THE_FACT:
            raise OperationError("the truth is told when the machine is handed back.")
        self._lifted, self._back, self.strip = lifted == "up", None, {}

    def _told_after(self) -> bool:
        """Whether the truth may be told under what the learner read."""
        return self._lifted or (self._card is not None and over(self._steps))

    def _do(self, act: Act) -> None:
        if isinstance(act, Plant) and self._card is not None:
            raise OperationError("on a job the fault is already in; find it.")
        if over(self._steps) and not isinstance(act, Again):
            raise OperationError("the machine is handed back; work it again if you like.")
        step = apply(self._steps[-1].situation if self._steps else self._first, act)
        about = {"job": self._card.id, "version": self._card.version} if self._card else {"machine": self._machine.id}
        self._record.append("act", **about, **fields_from_act(act), shown=step.reading or step.shown)
        self._take(step)
        self._said, self._back = NOTED.get(step.shown, step.shown), None
        if isinstance(act, Find) and step.shown == "noted" and not act.readings:
            self._said += " No line of the test sheet is ticked: tick those that show it, and state it again."
        if isinstance(act, Prove):
            # The leads stand where they stood, and show what they show there: this was said of another place.
            self._said = f"Tried on the workshop's own battery, {step.shown}"

    def _take(self, step: Step) -> None:
        if isinstance(step.act, Again):
            self._first, self._steps, self._lines, self._judging = step.situation, [], [], None
            self.strip, self.story = {}, []
        else:
            self._lines.append(line(self._machine, len(self._steps), step))
            self._steps.append(step)

    def _restore(self) -> None:
        """Go on where this learner left the job, in this kernel or an earlier one."""
        entries = (*earlier_entries(self._record, job=self._card.id), *self._record.about(job=self._card.id))
        for entry in entries:
            if entry.kind != "act" or entry.fields.get("version") != self._card.version:
                continue
            with contextlib.suppress(KitError):
                self._take(apply(self._steps[-1].situation if self._steps else self._first,
                                 act_from_fields(entry.fields)))
        if self._steps:
            self._said = "Here is where you left it."

    def _seen(self) -> dict:
        """What is seen now: the scene, the sheet and the card; the truth only where the sight allows it."""
        after = self._told_after()
        looked_at = self._steps[: self._back + 1] if after and self._back is not None else self._steps
        here = looked_at[-1].situation if looked_at else self._first
        told = after or self._sight is Sight.TELL_ALL
        last = self._steps[-1].situation if self._steps else self._first
        # A wrong drawing moves as it claims to.
        paper = {} if self._drawn is None else {"closed": sorted(self._drawn.closed_switches(here.positions))}
        return scene(here, looked_at, told=told) | paper | work_so_far(self._machine, self._steps, self._lines) | {
            "number": self._turns.count,
            "answered": self._turns.done(),
            "stood": list(self._stood),
            "said": self._said or ("" if self._steps else self._first.by_itself()),
            "minutes": round(last.minutes, 1),
            "planted": list(here.faults) if self._card is None and self._sight is Sight.TELL_ALL else [],
            "truth": self._truth(here) if after else None,
            "review": self._reviewed(judging.PATIENCE),
            "unmarked": self._unmarked(),
        }

    def _truth(self, here: Situation) -> dict:
        """After the fact: which line is looked back at, and what was wrong with the machine at that time."""
        return {"back": self._back, "faults": list(here.faults), "lid": "up" if self._lifted else "off"}

    def _reviewed(self, patience: float | None) -> dict | None:
        """The mark, once the machine is handed back: only then is the truth told. None while it is worked out."""
        if self._card is None or not over(self._steps):
            return None
        if self._judging is None:
            acts = [step.act for step in self._steps]
            self._judging = Judging(self._card, self._first.planted, acts, self._tell_mark)
        mark = self._judging.mark(patience)
        return None if mark is None else review_fields(mark, self._card, self._first.planted)

    def _unmarked(self) -> str:
        """What to say where the mark could not be worked out."""
        return "" if self._judging is None else self._judging.trouble

    def _tell_mark(self, late: Judging) -> None:
        """Show a mark that comes late; begun again meanwhile, it belongs to work that is no longer shown."""
        if self._on_page.wait(GIVES_UP):
            with self._turns.take(), self.hold_sync():
                if self._judging is late:
                    self.view = self._seen()

    def _repr_mimebundle_(self, **kwargs: object) -> tuple[dict, dict]:
        name = self._machine.title if self._card is None else f"Job card {self._card.id}: {self._machine.title}"
        words = f"{name}, {self._stage}. To work on it, press the button at the top of this page."
        # A page without a kernel knows no learner, so none's own wrong drawing is shown there.
        here = self._drawn is None
        picture = draw.schematic(self._machine, self._stage) if here else draw.blocks(self._machine)
        return with_stand_in(super()._repr_mimebundle_(**kwargs), words, picture)
