"""Job cards: what the owner says, with a fault in the machine that the learner does not know.

The faults are sealed: encoded, so that nobody reads them by chance. That is no lock: someone who writes Python against
their own kernel can open it, so assessed work is supervised. A card's number tells nothing of its fault.
"""

import base64
import hashlib
import json
import zlib
from collections.abc import Iterable, Iterator, Mapping, Set
from dataclasses import dataclass, field, replace
from functools import cache
from itertools import product
from types import MappingProxyType

from kit.circuit import Motor
from kit.errors import QuestionError
from kit.exercises.acts import TIDY
from kit.exercises.doubles import DOUBLES
from kit.exercises.owners import answers_of
from kit.exercises.sealed import SEALED
from kit.exercises.situation import Situation
from kit.exercises.tried import Complaint
from kit.exercises.work import begin
from kit.machines import Machine, machine
from kit.machines.cases import Case
from kit.machines.operation import Operation

Positions = Mapping[str, str]
# The steps of getting ready, ticked on the card; their words come from the usual cautions (common practice).
PREPARATIONS: Mapping[str, str] = MappingProxyType({
    "secure": "Key out, neutral; on its stand, chocked or moored; people clear",
    "protect": "Eye protection on; rings, watch and chain off",
    "battery": "Battery looked at: not bulged, not leaking, no spark or flame near",
})
# More of them where a caution of the machine, by name or in so many words, asks for it: the words, the step, its text.
MORE: tuple[tuple[str, str, str], ...] = (
    ("crank:", "cranking", "Cranking agreed: fuel or ignition as the manual says, hands clear, said aloud, short"),
    ("fumes:", "fumes", "Nose in the bilge: no fumes; blower on, shore power off"),
    ("Auto-start off", "auto-start", "Auto-start off: nothing may start it but you"),
)
RECORD = ("record", "Clock, codes and hours noted before the battery comes off")
NO_CAUSE = "no cause found: rating right, load amps measured, retest date given"
# Faults of the engine, not of its electrics: they are shown to be none of ours, and referred.
REFERRED = ("too stiff",)
SIDE_DOORS = ("key", "isolator")


@dataclass(frozen=True, slots=True, kw_only=True)
class JobCard:
    """One job. ``complaint_positions`` show the complaint; ``healthy`` is what the machine must do there when well.

    ``complaint_moves`` are the moves that lead there, one after another. ``interlocks`` are positions in which the
    machine must NOT crank, retested after the repair. ``sealed`` are the variants, each a chain of fault ids, the root
    cause first; ``behind`` is what else the mark needs to know, sealed too. ``causes`` are what a learner can choose
    from. ``rules`` 1 marks as in the first version of J1; 2 as cards are marked now. ``apart``: its faults have nothing
    to do with each other, the one met first in front, and each of them is judged by itself.
    """

    id: str
    version: int
    machine_id: str
    complaint: str
    answers: Mapping[str, str]
    complaint_positions: Positions
    healthy: Mapping[str, str]
    sealed: tuple[str, ...]
    complaint_moves: tuple[Positions, ...] = ()
    interlocks: tuple[Positions, ...] = ()
    preparations: Mapping[str, str] = field(default_factory=lambda: PREPARATIONS)
    causes: tuple[str, ...] = ()
    behind: str = ""
    rules: int = 2
    apart: bool = False

    @property
    def machine(self) -> Machine:
        return machine(self.machine_id)

    @property
    def moves(self) -> tuple[Positions, ...]:
        """The moves that show the complaint."""
        return self.complaint_moves or (self.complaint_positions,)

    def faults(self, learner: str, course: str) -> tuple[str, ...]:
        """The faults hidden for this learner."""
        seed = "\x1f".join((course, learner, self.id, str(self.version), "job"))
        pick = int.from_bytes(hashlib.sha256(seed.encode()).digest()[:8], "big") % len(self.sealed)
        return unseal(self.sealed[pick])

    @property
    def looks(self) -> Mapping[str, str]:
        """What a close look at the root cause shows, by its fault id, where the case has words of its own for it."""
        case = self.case()
        return {case.faults[0]: case.inspection} if case is not None and case.inspection else {}

    def case(self) -> Case | None:
        """The case behind the card, once it may be told; None for a card that has none."""
        return self.machine.cases[unseal(self.behind)[0]] if self.behind else None


def begun(chosen: JobCard, faults: Iterable[str], *, brief: bool = False) -> Situation:
    """The card's machine at rest with these faults in it, as the learner meets it."""
    start = begin(chosen.machine, faults, answers=chosen.answers, brief=brief)
    complaint = Complaint(moves=chosen.moves, healthy=chosen.healthy) if chosen.apart and not brief else None
    return replace(start, looks=MappingProxyType(dict(chosen.looks)), complaint=complaint)


def seal(*words: str) -> str:
    """Encode fault ids, or other words, for a card."""
    return base64.b64encode(zlib.compress(json.dumps(words).encode(), 9)).decode()


def unseal(text: str) -> tuple[str, ...]:
    """The words of a sealed text."""
    return tuple(json.loads(zlib.decompress(base64.b64decode(text))))


def card(card_id: str) -> JobCard:
    """A job card by its id; raises QuestionError for an unknown one."""
    if card_id in CARDS:
        return CARDS[card_id]
    if card_id in DOUBLES:
        return _of_double(card_id)
    if card_id not in SEALED:
        first, *_, last = card_ids()
        raise QuestionError(f"there is no job card '{card_id}'; there are {first} to {last}.")
    return _from_case(card_id)


def card_ids(machine_id: str = "") -> tuple[str, ...]:
    """The ids of all cards in order, or of one machine's."""
    mine = tuple(each for each, double in DOUBLES.items() if machine_id in ("", double.machine_id))
    return (*case_ids(machine_id), *mine)


def case_ids(machine_id: str = "") -> tuple[str, ...]:
    """The ids of the cards that are cases of a machine's file, the library's sixty, in order; or of one machine's."""
    ids = (*CARDS, *SEALED)
    if not machine_id:
        return ids
    return tuple(
        each for each in ids
        if (CARDS[each].machine_id if each in CARDS else unseal(SEALED[each])[0]) == machine_id
    )


def form(chosen: JobCard) -> Iterator[tuple[str, str, tuple[str, ...]]]:
    """The card's fixed form, heading by heading: what is to be done there, and the acts that belong to it."""
    yield "The owner says", chosen.complaint, ("ask",)
    yield "Prepare safely", "; ".join(chosen.preparations.values()), ("prepare", "unplug", "plug")
    yield "Prove the instrument", "On the battery or the workshop's own, before it is believed, and after.", (
        "prove", "probe", "renew")
    yield "Reproduce", "Put the controls as the owner did and see it for yourself.", ("operate", "press")
    yield "Inspect", "Look, feel, wiggle; listen where it clicks; watch the lamps while start is held.", (
        "look", "feel", "wiggle", "warm")
    yield "Suspects", "I suspect … because …", ("note",)
    yield "Tests", "Point, reading, condition, reason; half the way, then half of that.", (
        "probe", "lift", "operate", "press", "fuse", "swap", "unplug", "plug", "reason", "undo")
    more = " A second fault is stated like the first, once it is shown." if chosen.apart else ""
    yield "Finding", f"The unit, its fault and why it failed, with the readings that show it; or refer.{more}", (
        "find", "refer")
    yield "Repair", "Put the cause right, then what it broke, with its quality steps.", ("repair", "fuse", "plug")
    more = " Not gone? A repair that its own reading proves stays; begin anew at 4." if chosen.apart else ""
    yield "Verify", f"The owner's own complaint, gone; and every interlock tried.{more}", (
        "operate", "press", "verify")
    yield "Tidy up", "; ".join(TIDY.values()), ("tidy", "lift", "plug")
    yield "Explain", "To the owner, in plain words: what it was, why, what to watch.", ("explain", "hand back")


@cache
def _from_case(card_id: str) -> JobCard:
    machine_id, name = unseal(SEALED[card_id])
    if name not in machine(machine_id).cases:
        raise QuestionError(f"job card {card_id} has no case in the file of {machine_id} any more.")
    return of_case(machine_id, name, card_id)


def of_case(machine_id: str, name: str, card_id: str) -> JobCard:
    """The card a case of a machine makes; the machine may be somebody's own, by its file."""
    there = machine(machine_id)
    case = there.cases[name]
    answers = answers_of(machine_id, name)
    positions: dict[str, str] = {}
    for moves in case.tried:
        positions |= moves
    causes = sorted({each.cause for each in there.cases.values()})
    return JobCard(
        id=card_id, version=1, machine_id=machine_id, complaint=case.owner, answers=answers,
        complaint_positions=MappingProxyType(positions), complaint_moves=case.tried, healthy=_healthy(there, case),
        interlocks=_interlocks(there), preparations=_preparations(there), causes=(*causes, NO_CAUSE),
        sealed=(seal(*case.faults),), behind=seal(name),
    )


@cache
def _of_double(card_id: str) -> JobCard:
    double = DOUBLES[card_id]
    there = machine(double.machine_id)
    return JobCard(
        id=card_id, version=1, machine_id=double.machine_id, complaint=double.complaint, answers=double.answered(),
        complaint_positions=double.tried, healthy=double.healthy, interlocks=_interlocks(there),
        preparations=_preparations(there), causes=(*double.causes, NO_CAUSE), sealed=double.sealed, apart=True,
    )


def _healthy(there: Machine, case: Case) -> Mapping[str, str]:
    """What the parts of the complaint do on the sound machine, the same moves made."""
    first, *more = case.tried
    now = there.operate(**first, **({} if more else {"wiggled": case.wiggled, "warm": case.warm}))
    for number, moves in enumerate(more, 1):
        now = now.then(wiggled=case.wiggled if number == len(more) else (), **moves)
    return MappingProxyType({part: now.word(part) for part in case.does})


@cache
def _interlocks(there: Machine) -> tuple[Positions, ...]:
    """Positions that differ in one thing from those that crank, and in which nothing may turn."""
    found: list[Positions] = []
    for base in _cranking(there):
        for name, position in base.items():
            control = there.controls[name]
            if control.springs_back or any(word in name for word in SIDE_DOORS):
                continue
            for other in control.positions:
                here = dict(base) | {name: other}
                if other != position and not cranks(there.operate(**here)) and here not in found:
                    found.append(MappingProxyType(_that_matters(there, here, asked=base.keys() - {name})))
    return tuple(found)


def _that_matters(there: Machine, here: Mapping[str, str], asked: Set[str]) -> dict[str, str]:
    """Positions without those of controls that may stand anywhere: a seat taken or empty, say, and still no cranking.

    ``asked`` are the controls that may be left out; those that cranking itself asks for are kept.
    """
    needed = {name for rule in there.truth if "cranks" in rule.then.values() for name in rule.when}
    kept, free = dict(here), {}
    for name in sorted(asked - needed) if needed else ():
        tried = free | {name: there.controls[name].positions}
        if not any(
            cranks(there.operate(**kept | dict(zip(tried, combination, strict=True))))
            for combination in product(*tried.values())
        ):
            free = tried
    return {name: position for name, position in kept.items() if name not in free}


def _cranking(there: Machine) -> Iterator[dict[str, str]]:
    """Positions that crank the sound machine, as its truth table or the start of its engine has them."""
    motors = {part.id for part in there.circuit.parts if isinstance(part, Motor)}
    ways = [rule.when for rule in there.truth if any(rule.then.get(motor) == "cranks" for motor in motors)]
    # Every way to crank has interlocks of its own: in gear they are the lever and the stand.
    yield from (dict(there.positions(**when)) for when in ways)
    if there.engine is not None and not ways:
        now: Operation | None = None
        for moves in there.engine.start:
            now = there.operate(**moves) if now is None else now.then(**moves)
            if cranks(now):
                yield dict(now.positions)
                return


def cranks(now: Operation) -> bool:
    """Whether any starter turns its engine, or tries to."""
    turning = ("cranks", "cranks slowly", "stalls", "twitches")
    return any(notice.word in turning for notice in now.noticed)


def _preparations(there: Machine) -> Mapping[str, str]:
    cautions = "\n".join(f"{name}: {text}" for name, text in there.cautions.items())
    more = {step: words for caution, step, words in MORE if caution in cautions}
    return MappingProxyType({**PREPARATIONS, **more, RECORD[0]: RECORD[1]})


CARDS: Mapping[str, JobCard] = MappingProxyType({
    item.id: item
    for item in (
        JobCard(
            id="J1",
            version=1,
            machine_id="orchard-bike",
            complaint="I turn the key and nothing comes on at all. It was fine when I put it away on Friday.",
            answers=MappingProxyType({
                "Did anything change before it died?": "I only pushed it across the yard and into the shed.",
                "Has anybody worked on it?": "Not that I know of.",
                "Is the battery old?": "Fitted in spring; it was on charge yesterday.",
            }),
            complaint_positions=MappingProxyType({"key": "on", "stop_switch": "run"}),
            healthy=MappingProxyType({"E1": "lit"}),
            interlocks=(MappingProxyType({
                "key": "on", "stop_switch": "run", "start_button": "pressed", "gear": "first",
                "clutch_lever": "released",
            }),),
            sealed=(
                "eNqLVgo3VijOyC8qSU1RKMlXSC/KL81LUdJRUHIzVEjKyS/PU4oFANkzC5s=",
                "eNqLVgo3UijOyC8qSU1RKMlXSC/KL81LUdJRUHIzVEjKyS/PU4oFANkSC5o=",
            ),
            rules=1,
        ),
    )
})
