"""What may be known of each of the sixty cases before it is opened: the complaint, and what is seen and heard.

Worked out from the machine with the fault set, and kept beside this file, so that a library opens at once:

    python -m kit.exercises.case_fronts

writes it again. A machine whose file has changed since is worked out afresh. Nothing kept there tells what is wrong.
"""

import hashlib
import json
import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import asdict, dataclass
from functools import cache
from pathlib import Path
from types import MappingProxyType

from kit.circuit import LED, FuelSolenoid, Lamp, Motor, Relay, StarterSolenoid
from kit.diagnose.decisive import noticed, tried
from kit.exercises.cards import CARDS, unseal
from kit.exercises.readings import QUIET
from kit.exercises.sealed import SEALED
from kit.machines import Machine, Operation, machine, machine_ids
from kit.machines.cases import Case
from kit.machines.library import FLEET

FILE = Path(__file__).parent / "case_fronts.json"
MOVERS = (Relay, StarterSolenoid, FuelSolenoid)
LIT = ("lit", "glares")
TURNS_ON = ("key", "switch")
FUSE_GOES = re.compile(r"blows? .*fuse|fuse (goes|blows)|fuses? today", re.IGNORECASE)
FLAT = re.compile(r"\bflat\b|no charge", re.IGNORECASE)
NOW_AND_THEN = re.compile(r"sometimes|ten times|cold mornings|some mornings|now and then", re.IGNORECASE)
GHOST = re.compile(r"\b(12|24) V\b|twelve volts", re.IGNORECASE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Front:
    """A case as it looks before it is opened.

    ``noticed`` is what is seen and heard after the ``moves`` (in words), ``sound`` what a sound machine shows there and
    this one does not, ``kinds`` the symptoms by which it can be found.
    """

    card: str
    machine_id: str
    machine: str
    complaint: str
    moves: tuple[str, ...]
    noticed: tuple[str, ...]
    sound: tuple[str, ...]
    kinds: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """What a symptom is judged by: the machine as the owner had it, a sound one there, and that with start let go."""

    machine: Machine
    owner: str
    case: Case
    now: Operation
    sound: Operation
    resting: Operation

    def words(self, kind: type | tuple[type, ...], now: Operation | None = None) -> Iterator[tuple[str, str]]:
        """Each part of a kind and every word noticed of it."""
        for part in self.machine.circuit.parts:
            if isinstance(part, kind):
                for word in noticed(now or self.now, part.id):
                    yield part.id, word

    def starter(self, *words: str) -> bool:
        """Whether a starter does one of these."""
        return any(word in words for _, word in self.words(Motor))

    def engine(self, *words: str) -> bool:
        """Whether the engine does one of these, and a sound one does not."""
        return self.now.word("engine") in words and self.sound.word("engine") not in words

    @property
    def asked(self) -> bool:
        """Whether a sound machine would crank."""
        return any(word == "cranks" for _, word in self.words(Motor, self.sound))

    @property
    def clicked(self) -> bool:
        """Whether anything that moves at the start, moved."""
        movers = {part for part, word in self.words(MOVERS, self.sound) if word == "pulled in"}
        movers -= {part for part, word in self.words(MOVERS, self.resting) if word == "pulled in"}
        return any(self.now.word(part) in ("pulled in", "chatters") for part in movers)

    @property
    def clatters(self) -> bool:
        """Whether anything comes and goes by itself."""
        return any(word == "chatters" for _, word in self.words(MOVERS))

    def lamps(self, here: tuple[str, ...], there: tuple[str, ...]) -> bool:
        """Whether a lamp is one of ``here`` that on a sound machine is one of ``there``."""
        return any(word in here and self.sound.word(part) in there for part, word in self.words((Lamp, LED)))

    def new(self, *words: str) -> bool:
        """Whether one of these is noticed of anything, and not on a sound machine."""
        there = {notice.word for notice in self.sound.noticed}
        return any(
            notice.text and notice.word in words and notice.word not in there for notice in self.now.noticed)

    @property
    def nothing_moves(self) -> bool:
        """Whether nothing pulls in where on a sound machine something would."""
        here = {word for _, word in self.words(MOVERS)}
        return not here & {"pulled in", "chatters"} and any(
            word == "pulled in" for _, word in self.words(MOVERS, self.sound))

    @property
    def at_rest(self) -> bool:
        """Whether what turns it on is off."""
        return all(
            self.machine.controls[name].rest == at for name, at in self.now.positions.items() if name in TURNS_ON)

    @property
    def alike_running(self) -> bool:
        """Whether the engine stands or runs as a sound one does."""
        return self.now.word("engine") == self.sound.word("engine")


# Each kind of symptom: how it shows.
KINDS: Mapping[str, Callable[[Shown], bool]] = MappingProxyType({
    "silent": lambda it: (it.asked and it.starter("still") and not it.clicked) or it.nothing_moves,
    "one click": lambda it: it.asked and it.starter("still") and it.clicked and not it.clatters,
    "clatter": lambda it: it.starter("twitches") or it.clatters,
    "slow crank": lambda it: it.starter("cranks slowly"),
    "grunt": lambda it: it.starter("stalls"),
    "cranks well, will not fire": lambda it: it.asked and it.starter("cranks") and it.engine("will not fire"),
    "fires and dies": lambda it: it.engine("fires and dies", "stops"),
    "will not stop": lambda it: it.at_rest and (
        it.engine("runs") or (it.starter("cranks") and not it.asked) or it.lamps(LIT, ("out",))),
    "goes flat": lambda it: bool(FLAT.search(it.owner)),
    "blows fuses": lambda it: bool(FUSE_GOES.search(it.owner)) or it.new("melts"),
    "only sometimes": lambda it: bool(it.case.wiggled or it.case.warm or NOW_AND_THEN.search(it.owner)),
    "dim or ghost": lambda it: bool(GHOST.search(it.owner)) or it.lamps(("dim", "pulses"), LIT),
    "stays dark": lambda it: it.lamps(("out",), LIT),
    "a lamp lies": lambda it: not it.at_rest and it.alike_running and it.lamps(("lit", "dim"), ("out",)),
    "gauges jump or lie down": lambda it: it.new("jump", "down"),
    "panel restarts": lambda it: it.new("resets"),
    "too hot or too bright": lambda it: it.new("smells", "smokes", "glares"),
    "runs rough": lambda it: it.engine("runs rough"),
})


def behind(card_id: str) -> tuple[str, str]:
    """The machine and the name of the case that a card's number stands for; only for what tells it on purpose."""
    if card_id in CARDS:
        return CARDS[card_id].machine_id, unseal(CARDS[card_id].sealed[0])[-1]
    machine_id, name = unseal(SEALED[card_id])
    return machine_id, name


@cache
def fronts() -> Mapping[str, Front]:
    """All cases by their card, in the cards' order, as kept; worked out where a machine's file is another by now."""
    found: dict[str, Front] = {}
    kept = _kept()
    for machine_id in machine_ids():
        mine = kept.get(machine_id, {})
        if mine.get("digest") == _digest(machine_id):
            found |= {one["card"]: Front(**{name: tuple(value) if isinstance(value, list) else value
                                            for name, value in one.items()}) for one in mine["cases"]}
        else:
            found |= {front.card: front for front in worked_out(machine_id)}
    return MappingProxyType({each: found[each] for each in (*CARDS, *SEALED)})


@cache
def stages() -> Mapping[str, tuple[str, ...]]:
    """The stages of each machine."""
    kept = _kept()
    return MappingProxyType({
        each: tuple(kept[each]["stages"]) if kept.get(each, {}).get("digest") == _digest(each)
        else tuple(machine(each).stages) for each in machine_ids()
    })


def worked_out(machine_id: str) -> tuple[Front, ...]:
    """The fronts of one machine's cases, worked out from the machine itself."""
    there = machine(machine_id)
    return tuple(
        _front(card_id, there, there.cases[behind(card_id)[1]])
        for card_id in (*CARDS, *SEALED) if behind(card_id)[0] == machine_id
    )


def seen_there(now: Operation, beside: Operation) -> tuple[str, ...]:
    """What is seen and heard in one operation; a lamp that is dark in both goes without saying."""
    dark = {notice.part for notice in beside.noticed if notice.word == "out"}
    texts = (
        notice.text for notice in now.noticed if notice.text and not (notice.word == "out" and notice.part in dark))
    return tuple(dict.fromkeys(texts)) or (QUIET,)


def moves_in_words(there: Machine, moves: tuple[Mapping[str, str], ...]) -> tuple[str, ...]:
    """Each move as a person says it: ``key switch on, start button pressed``."""
    return tuple(", ".join(there.in_words(positions)) or "all at rest" for positions in moves)


def as_text() -> str:
    """The text of the file kept."""
    kept = {
        each: {
            "digest": machine(each).digest, "stages": list(machine(each).stages),
            "cases": [asdict(front) for front in worked_out(each)],
        } for each in machine_ids()
    }
    return json.dumps(kept, ensure_ascii=False, indent=1) + "\n"


def _front(card_id: str, there: Machine, case: Case) -> Front:
    chosen = CARDS.get(card_id)
    owner = case.owner if chosen is None else chosen.complaint
    now, sound = tried(there, case, case.faults), tried(there, case, ())
    free = there.let_go(now.positions)
    shown = Shown(machine=there, owner=owner, case=case, now=now, sound=sound, resting=there.operate(**free))
    seen = seen_there(now, sound)
    return Front(
        card=card_id, machine_id=there.id, machine=there.title, complaint=owner,
        moves=moves_in_words(there, case.tried if chosen is None else chosen.moves), noticed=seen,
        sound=tuple(text for text in seen_there(sound, now) if text not in seen),
        kinds=tuple(kind for kind, shows in KINDS.items() if shows(shown)),
    )


def _kept() -> Mapping[str, dict]:
    return json.loads(FILE.read_text(encoding="utf-8")) if FILE.is_file() else {}


def _digest(machine_id: str) -> str:
    return hashlib.sha256((FLEET / f"{machine_id}.yaml").read_text(encoding="utf-8").encode()).hexdigest()


if __name__ == "__main__":
    FILE.write_text(as_text(), encoding="utf-8", newline="\n")
