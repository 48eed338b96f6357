"""Job cards with two faults that have nothing to do with each other: the first hides the second.

What is sealed is a pair of faults a learner, the one met first in front; see ``kit.exercises.cards``. No case of the
machine's file stands behind such a card: its words are here.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from kit.exercises.owners import QUESTIONS


@dataclass(frozen=True, slots=True, kw_only=True)
class Double:
    """What a card with two faults says, and what it hides.

    ``answers`` are the owner's, in the order of the usual questions; ``tried`` shows the complaint and ``healthy`` is
    what the parts do then on the sound machine. ``causes`` are what a learner can choose from: those of the machine's
    notes for every fault that is sealed here, and others.
    """

    machine_id: str
    complaint: str
    answers: tuple[str, str, str, str]
    tried: Mapping[str, str]
    healthy: Mapping[str, str]
    causes: tuple[str, ...]
    sealed: tuple[str, ...]

    def answered(self) -> Mapping[str, str]:
        """The owner's answers by question."""
        return MappingProxyType(dict(zip(QUESTIONS, self.answers, strict=True)))


DOUBLES: Mapping[str, Double] = MappingProxyType({
    "J61": Double(
        machine_id="harbour-tender",
        complaint="She was fine until the storm. Now the panel wakes up, and when I press start: nothing at all. "
        "Not a click.",
        answers=(
            "After the storm, all at once.",
            "In spring a lad had the starter off and put it back. In autumn the battery was weak, and I cranked her "
            "long and often. Then the storm threw water over the panel and into the engine box.",
            "No, it is always the same. The lever has had some play for years.",
            "New since the storm, and charged.",
        ),
        tried=MappingProxyType({"isolator": "on", "key": "on", "start_button": "pressed"}),
        healthy=MappingProxyType({"K1": "pulled in", "M1": "cranks", "engine": "runs"}),
        causes=(
            "a bridge across the contacts", "broken inside its insulation by flexing", "chafed through",
            "cranked on a weak battery", "heat", "linkage wear", "not tightened, then corroded", "overload",
            "salt water in the socket", "unsealed crimp", "vibration", "water and wear on the contacts",
        ),
        sealed=(
            "eNqLVnIyVCguKU3OVsgvSM1T0lFQ8jZUSM7PK0lMLilWSCotyitRMNAzVcjPyFWKBQBRJw55",
            "eNqLVgo2UiguKU3OVsgvSM1T0lFQirBQyMhMz1AoSi3OLC5JzEtOVTDQM1XIz8hVigUAY9EO5g==",
            "eNqLVoowNFLIyEzPUChKLc4sLknMS05VMDVQyM7PyFXSUVCKMMWQNdAzVQDJxgIAWNwTYg==",
        ),
    ),
})
