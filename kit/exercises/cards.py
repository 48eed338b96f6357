"""Job cards: what the owner says, with a fault in the machine that the learner does not know.

The faults are sealed: encoded, so that nobody reads them by chance. That is no lock: someone who writes Python against
their own kernel can open it, so assessed work is supervised.
"""

import base64
import hashlib
import json
import zlib
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from kit.errors import QuestionError
from kit.machines import Machine, machine


@dataclass(frozen=True, slots=True, kw_only=True)
class JobCard:
    """One job. ``complaint_positions`` show the complaint; ``healthy`` is what the machine must do there when well.

    ``interlock`` are positions in which the machine must NOT crank, retested after the repair. ``sealed`` are the
    variants, each a chain of fault ids, the root cause first.
    """

    id: str
    version: int
    machine_id: str
    complaint: str
    answers: Mapping[str, str]
    complaint_positions: Mapping[str, str]
    healthy: Mapping[str, str]
    interlock: Mapping[str, str]
    sealed: tuple[str, ...]

    @property
    def machine(self) -> Machine:
        return machine(self.machine_id)

    def faults(self, learner: str, course: str) -> tuple[str, ...]:
        """The faults hidden for this learner."""
        seed = "\x1f".join((course, learner, self.id, str(self.version), "job"))
        pick = int.from_bytes(hashlib.sha256(seed.encode()).digest()[:8], "big") % len(self.sealed)
        return unseal(self.sealed[pick])


def seal(*faults: str) -> str:
    """Encode fault ids for a card."""
    return base64.b64encode(zlib.compress(json.dumps(faults).encode(), 9)).decode()


def unseal(text: str) -> tuple[str, ...]:
    """The fault ids of a sealed text."""
    return tuple(json.loads(zlib.decompress(base64.b64decode(text))))


def card(card_id: str) -> JobCard:
    """A job card by its id; raises QuestionError for an unknown one."""
    if card_id not in CARDS:
        raise QuestionError(f"there is no job card '{card_id}'; there are {', '.join(CARDS)}.")
    return CARDS[card_id]


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
            interlock=MappingProxyType({
                "key": "on", "stop_switch": "run", "start_button": "pressed", "gear": "first",
                "clutch_lever": "released",
            }),
            sealed=(
                "eNqLVgo3VijOyC8qSU1RKMlXSC/KL81LUdJRUHIzVEjKyS/PU4oFANkzC5s=",
                "eNqLVgo3UijOyC8qSU1RKMlXSC/KL81LUdJRUHIzVEjKyS/PU4oFANkSC5o=",
            ),
        ),
    )
})
