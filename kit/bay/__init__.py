"""Where a learner works: machines, job cards and questions on the screen.

The room can be called, ``kit.bay(machine)``, for that is what a lesson does with it.
"""

import sys
from types import ModuleType

from kit.bay.case_book import CaseBook, cases
from kit.bay.corner import Corner
from kit.bay.doors import ask, bay, corner, job, today
from kit.bay.hand_in import hand_in
from kit.bay.machine_bay import MachineBay
from kit.bay.practice import practise, starters
from kit.bay.practice import progress_page as progress
from kit.bay.question_sheet import QuestionSheet
from kit.bay.sign_in import ready, sign_in

__all__ = [
    "CaseBook", "Corner", "MachineBay", "QuestionSheet", "ask", "bay", "cases", "corner", "hand_in", "job", "practise",
    "progress", "ready", "sign_in", "starters", "today",
]


class _Room(ModuleType):
    """A module that can be called: Python lets a module change its class for this."""

    def __call__(self, *args: object, **kwargs: object) -> MachineBay:
        return bay(*args, **kwargs)


sys.modules[__name__].__class__ = _Room
