"""How much a bay shows."""

from enum import Enum

from kit.errors import OperationError


class Sight(Enum):
    """What a bay tells beyond what a person beside the machine would know.

    Plain: nothing. Tell-all: the state of every conductor, always. After-the-fact: nothing until the lid is lifted
    (the machine handed back, or asked for in practice); then the truth under each of the learner's readings.
    """

    PLAIN = "plain"
    TELL_ALL = "tell-all"
    AFTER_THE_FACT = "after-the-fact"

    @classmethod
    def named(cls, view: str) -> "Sight":
        """The sight of this name; raises OperationError for an unknown one."""
        for member in cls:
            if member.value == view:
                return member
        raise OperationError(f"there is no view '{view}'; there are {', '.join(member.value for member in cls)}.")
