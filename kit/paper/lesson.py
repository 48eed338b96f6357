"""The questions of a lesson, and whose sheet it is where nobody is named."""

from kit.errors import PaperError
from kit.exercises import AnyQuestion, questions

ONE = "variant A"


def lesson_questions(lesson: str) -> tuple[AnyQuestion, ...]:
    """The questions of a lesson, ``6`` or ``06``; raises PaperError where there is no such lesson."""
    wanted = lesson.zfill(2) if lesson.isdigit() else lesson
    found = tuple(item for item in questions().values() if item.lesson == wanted)
    if not found:
        there = list(dict.fromkeys(item.lesson for item in questions().values()))
        raise PaperError(f"there is no lesson '{lesson[:40]}' to print; there are {there[0]} to {there[-1]}.")
    return found
