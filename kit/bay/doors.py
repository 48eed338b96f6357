"""The calls a lesson or an instructor makes: a bay, a job, a question; a corner, and today's fault."""

from collections.abc import Iterable
from datetime import date

from kit.bay.corner import Corner
from kit.bay.machine_bay import MachineBay
from kit.bay.question_sheet import QuestionSheet
from kit.bay.sight import Sight
from kit.exercises import JobQuestion, question
from kit.exercises.cards import card
from kit.exercises.fault_kinds import of_the_day
from kit.exercises.mark_up import wrong_drawing
from kit.exercises.work import begin
from kit.machines import Machine
from kit.machines import machine as fleet_machine
from kit.records import course_name, kernel_record


def bay(
    machine: Machine | str, *, view: str = "plain", stage: str = "", faults: Iterable[str] = (), drawing: str = "",
) -> MachineBay:
    """A machine to operate and measure. ``view`` is ``plain`` (as a person sees it), ``tell-all``, or
    ``after-the-fact``: plain until the lid is lifted, then the truth under each reading taken.

    ``stage`` is the drawing it opens on; ``faults`` are planted by their ids. ``drawing`` is the id of a question whose
    wrong drawing lies beside the machine, in the learner's own variant. Raises a KitError for unknown names.
    """
    chosen = fleet_machine(machine) if isinstance(machine, str) else machine
    record = kernel_record()
    drawn = wrong_drawing(question(drawing), chosen, record.course, record.learner) if drawing else None
    return MachineBay(
        chosen, record=record, faults=tuple(faults), stage=stage, sight=Sight.named(view), drawn=drawn,
    )


def job(card_id: str) -> MachineBay:
    """A job card: a complaint, and a machine with a hidden fault, to find, prove, repair and verify."""
    chosen = card(card_id)
    record = kernel_record()
    return MachineBay(
        chosen.machine, record=record, faults=chosen.faults(record.learner, record.course), card=chosen,
    )


def corner(machine: Machine | str = "orchard-bike") -> Corner:
    """The instructor's corner on a machine: set, hide and reveal faults, vote, replay a record, see how far all are."""
    chosen = fleet_machine(machine) if isinstance(machine, str) else machine
    return Corner(chosen, record=kernel_record())


def today(machine: Machine | str = "orchard-bike", *, course: str = "", day: str = "") -> MachineBay:
    """A machine with the fault of the day, hidden: the same for everybody on the course (yours, unless you name one).

    ``day`` is today, or one like ``2031-05-04``. The lid of the bay tells what it is.
    """
    chosen = fleet_machine(machine) if isinstance(machine, str) else machine
    case = of_the_day(chosen, course or course_name(), day or date.today().isoformat())
    found = MachineBay(chosen, record=kernel_record(), sight=Sight.AFTER_THE_FACT)
    found.stand(begin(chosen, case.faults), said=f"The owner says: “{case.owner}”")
    return found


def ask(question_id: str) -> QuestionSheet | MachineBay:
    """A question, in the learner's own variant, or its job card; the answer is recorded before it is marked."""
    asked = question(question_id)
    if isinstance(asked, JobQuestion):
        return job(asked.card)
    return QuestionSheet(asked, record=kernel_record())
