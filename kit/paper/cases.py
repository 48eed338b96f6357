"""The case library on paper, all of it told: one block a case, for whoever may know what was wrong."""

from collections.abc import Callable, Iterator, Sequence

from kit.errors import PaperError
from kit.exercises.cards import case_ids
from kit.exercises.case_fronts import Front, fronts
from kit.exercises.case_library import NOT_ELECTRICAL, Told, tell
from kit.machines import machine_ids
from kit.paper.press import Paper, press


def case_sheets(
    names: Sequence[str] = (), progress: Callable[[int, int, str], None] = lambda done, of, what: None
) -> tuple[Paper, ...]:
    """The cases of these cards or machines, of all where none is named, as one file; machine by machine.

    All sixty take about half a minute; ``progress`` is told of each. Raises PaperError where there is no such card or
    machine.
    """
    chosen = tuple(dict.fromkeys(each for name in names for each in _cards(name))) or case_ids()
    called = "all" if not names else "-".join(name.lower() for name in names[:3]) + ("-and-more" if names[3:] else "")
    by_machine: dict[str, list[tuple[Front, Told]]] = {}
    for number, each in enumerate(chosen, 1):
        progress(number, len(chosen), each)
        by_machine.setdefault(fronts()[each].machine, []).append((fronts()[each], tell(each)))
    return (press(
        "cases.html", f"cases-{called}.html", title="Case library", machines=by_machine, unblamed=NOT_ELECTRICAL,
    ),)


def _cards(name: str) -> Iterator[str]:
    """A card however it is typed, or those of a machine."""
    typed = name.strip()
    if typed.upper() in case_ids():
        yield typed.upper()
    elif typed.lower() in machine_ids():
        yield from case_ids(typed.lower())
    else:
        first, *_, last = case_ids()
        raise PaperError(
            f"there is no case '{name[:40]}'; name a card, {first} to {last}, or one of {', '.join(machine_ids())}.")
