"""The bay: one machine on the screen, worked by clicks and keys.

The browser sends an act; the bay does it, writes it to the record, and only then shows what came of it. What it shows
is the whole of ``view``: in plain view no volts of a net and no fault are in it.
"""

import contextlib
from enum import Enum
from pathlib import Path

import anywidget
import traitlets

from kit import draw
from kit.bay.stand_in import with_stand_in
from kit.bay.turns import Turns
from kit.circuit import Fuse
from kit.errors import KitError, OperationError, RecordError
from kit.exercises.acts import (
    BIGGER,
    FUSE_MOVES,
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
    Repair,
    Verify,
    act_from_fields,
    fields_from_act,
)
from kit.exercises.cards import JobCard
from kit.exercises.jobs import PREPARATIONS, Review, review
from kit.exercises.work import INSTRUMENTS, QUIET, Step, apply, begin
from kit.machines import Machine
from kit.records import Record, earlier_entries

HERE = Path(__file__).parent
FUSE_WORDS = {"out": "took {} out", "in": "put {} back", "new": "fitted a new {}", "bigger": "fitted a bigger {}"}


class TellAll(Enum):
    """Whether a bay tells all."""

    NEVER = "plain"
    ALWAYS = "tell-all"

    @classmethod
    def named(cls, view: str) -> "TellAll":
        for member in cls:
            if member.value == view:
                return member
        raise OperationError(f"there is no view '{view}'; there are {', '.join(member.value for member in cls)}.")


class MachineBay(anywidget.AnyWidget):
    """One machine on the screen.

    ``setting`` is sent once: drawings, controls, points, words. ``view`` follows every act: what is seen now, with the
    number of the act it answers. Acts come in as messages ``{"number": n, "act": "probe", …}``.
    """

    _esm = HERE / "machine_bay.js"
    _css = HERE / "bay.css"

    setting = traitlets.Dict().tag(sync=True)
    view = traitlets.Dict().tag(sync=True)

    def __init__(
        self, machine: Machine, *, record: Record, faults: tuple[str, ...] = (), stage: str = "",
        card: JobCard | None = None, sight: TellAll = TellAll.NEVER,
    ) -> None:
        self._machine, self._record, self._card, self._sight = machine, record, card, sight
        self._stage = stage or next(iter(machine.stages))
        if self._stage not in machine.stages:
            raise OperationError(f"{machine.id} has no stage '{stage}'; it has {', '.join(machine.stages)}.")
        self._first = begin(machine, faults)
        self._steps: list[Step] = []
        self._turns, self._said, self._mark = Turns(), "", None
        if card is not None:
            self._restore()
        super().__init__(setting=self._setting(), view=self._seen())
        self.on_msg(self._message)

    def do(self, act: Act) -> str:
        """Do one act by name instead of by hand; returns the sentence or reading shown."""
        with self._turns.take():
            self._do(act)
            self.view = self._seen()
        return self._steps[-1].shown if self._steps else ""

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
        """Tick steps of getting ready: ``secure``, ``protect``, ``battery``."""
        return [self.do(Prepare(step=step)) for step in steps][-1]

    # What the browser says and sees

    def _message(self, _widget: object, content: object, _buffers: object = None) -> None:
        if not isinstance(content, dict):
            return
        with self._turns.take(content.get("number")):
            try:
                self._do(act_from_fields(content))
            except RecordError as error:
                self._said = f"Not done: {error}"
            except KitError as error:
                self._said = str(error)
            self.view = self._seen()

    def _do(self, act: Act) -> None:
        if isinstance(act, Plant) and self._card is not None:
            raise OperationError("on a job the fault is already in; find it.")
        if self._over() and not isinstance(act, Again):
            raise OperationError("the machine is handed back; work it again if you like.")
        step = apply(self._steps[-1].situation if self._steps else self._first, act)
        about = {"job": self._card.id, "version": self._card.version} if self._card else {"machine": self._machine.id}
        self._record.append("act", **about, **fields_from_act(act), shown=step.reading or step.shown)
        self._take(step)
        self._said = step.shown

    def _take(self, step: Step) -> None:
        if isinstance(step.act, Again):
            self._first, self._steps, self._mark = step.situation, [], None
        else:
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

    def _over(self) -> bool:
        return any(isinstance(step.act, HandBack) for step in self._steps)

    def _setting(self) -> dict:
        """What never changes: sent once."""
        machine = self._machine
        return {
            "title": machine.title,
            "stages": [{"id": stage.id, "about": stage.about} for stage in machine.stages.values()],
            "stage": self._stage,
            "pictures": {name: _drawn(draw.schematic(machine, name)) for name in machine.stages},
            "looks": draw.PALETTE["light"]["looks"],
            "controls": [
                {"id": control.id, "title": control.title, "positions": list(control.positions)}
                for control in machine.controls.values()
            ],
            "points": {
                str(point.terminal): {"where": point.where, "minutes": point.minutes}
                for point in machine.points.values()
            },
            "parts": {
                part.id: {
                    "title": part.title, "word": part.word, "stage": machine.stage_of(part.id).id,
                    "faults": [fault.id.removeprefix(f"{part.id} ") for fault in machine.faults.values()
                               if fault.part == part.id],
                } | (_ratings(part) if isinstance(part, Fuse) else {})
                for part in machine.circuit.parts
            },
            "instruments": {name: list(words) for name, words in INSTRUMENTS.items()},
            "fuse_moves": list(FUSE_MOVES),
            "cautions": dict(machine.cautions),
            "plant": self._card is None and self._sight is TellAll.ALWAYS,
            "card": None if self._card is None else {
                "id": self._card.id, "complaint": self._card.complaint, "answers": dict(self._card.answers),
                "preparations": dict(PREPARATIONS),
            },
        }

    def _seen(self) -> dict:
        """What is seen now. In plain view nothing here tells more than a person beside the machine would know."""
        here = self._steps[-1].situation if self._steps else self._first
        now = here.operation()
        shown = draw.tell_all(now) if self._sight is TellAll.ALWAYS else draw.plain(now)
        reading = next((step.reading for step in reversed(self._steps) if step.reading), "") if here.probe else ""
        noticed = [notice.text for notice in now.noticed if notice.text and notice.word != "out"]
        return {
            "number": self._turns.last,
            "positions": dict(here.positions),
            "closed": sorted(shown.closed),
            "blown": sorted(shown.blown | self._seen_blown()),
            "out": sorted(here.out),
            "bigger": sorted(here.bigger),
            "nodes": dict(shown.nodes),
            "probe": None if here.probe is None else {
                "instrument": here.probe.instrument, "leads": list(here.probe.leads), "reading": reading,
            },
            "noticed": noticed or [QUIET],
            "said": self._said,
            "minutes": round(here.minutes, 1),
            "sheet": [self._line(n, step) for n, step in enumerate(self._steps) if _on_sheet(step.act)],
            "prepared": [step.act.step for step in self._steps if isinstance(step.act, Prepare)],
            "findings": [
                {"role": step.act.role, "part": step.act.part, "fault": step.act.fault}
                for step in self._steps if isinstance(step.act, Find)
            ],
            "verified": any(isinstance(step.act, Verify) for step in self._steps),
            "over": self._over(),
            "planted": list(here.faults) if self._card is None and self._sight is TellAll.ALWAYS else [],
            "review": self._reviewed(),
        }

    def _line(self, number: int, step: Step) -> dict:
        """One line of the test sheet: number, what was done, what it showed, under what conditions."""
        match step.act:
            case Operate(control=control, position=position):
                done = f"{self._machine.controls[control].title}: {position}"
            case Probe(instrument=instrument, leads=(first, second)):
                name, one, other = INSTRUMENTS[instrument]
                done = f"{name}: {one} {first}, {other} {second}"
            case Look(part=part):
                done = f"looked at {part}"
            case MoveFuse(part=part, to=to):
                done = FUSE_WORDS[to].format(part)
            case Repair(part=part):
                done = f"mended or renewed {part}"
            case other:
                done = str(fields_from_act(other)["act"])
        moved = [
            f"{self._machine.controls[name].title} {position}" for name, position in step.situation.positions.items()
            if position != self._machine.controls[name].rest
        ] + [f"{fuse} out" for fuse in sorted(step.situation.out)]
        shown = step.shown
        if step.reading and not isinstance(step.act, Probe):
            shown += f" Reading: {step.reading}."
        return {"number": number, "done": done, "shown": shown, "condition": ", ".join(moved) or "all at rest"}

    def _seen_blown(self) -> frozenset[str]:
        """Fuses whose melted wire the learner has looked at, and not renewed since."""
        blown: set[str] = set()
        for step in self._steps:
            if isinstance(step.act, Look) and "melted" in step.shown:
                blown.add(step.act.part)
            elif isinstance(step.act, (Repair, MoveFuse)) and getattr(step.act, "to", "new") in ("new", "bigger"):
                blown.discard(step.act.part)
        return frozenset(blown)

    def _reviewed(self) -> dict | None:
        """The mark, once the machine is handed back: only then is the truth told."""
        if self._card is None or not self._over():
            return None
        if self._mark is None:
            self._mark = review(self._card, self._first.planted, [step.act for step in self._steps])
        return _review_fields(self._mark, self._machine, self._first.planted)

    def _repr_mimebundle_(self, **kwargs: object) -> tuple[dict, dict]:
        name = self._machine.title if self._card is None else f"Job card {self._card.id}: {self._machine.title}"
        words = f"{name}, {self._stage}. To work on it, press the button at the top of this page."
        picture = draw.schematic(self._machine, self._stage)
        return with_stand_in(super()._repr_mimebundle_(**kwargs), words, picture)


def _drawn(picture: draw.Picture) -> dict:
    return {
        "svg": picture.svg, "width": picture.width, "height": picture.height,
        "points": {name: list(place) for name, place in picture.points.items()},
        "parts": {name: list(box) for name, box in picture.parts.items()},
    }


def _ratings(fuse: Fuse) -> dict:
    return {"fuse": f"{fuse.amps:g} A", "bigger": f"{fuse.amps * BIGGER:g} A"}


def _on_sheet(act: Act) -> bool:
    return isinstance(act, (Operate, Probe, Look, MoveFuse, Repair))


def _review_fields(mark: Review, machine: Machine, planted: tuple[str, ...]) -> dict:
    notes = [machine.notes[fault] for fault in planted]
    return {
        "points": mark.points, "of": mark.of, "passed": mark.passed, "cap": mark.cap,
        "lines": [{"what": line.what, "points": line.points, "of": line.of, "why": line.why} for line in mark.lines],
        "truth": [f"{fault}: {note.cause}. {note.looks}" for fault, note in zip(planted, notes, strict=True)],
    }


