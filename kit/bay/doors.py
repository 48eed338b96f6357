"""The three calls a lesson makes: a bay, a job, a question."""

from collections.abc import Iterable

from kit.bay.machine_bay import MachineBay
from kit.bay.question_sheet import QuestionSheet
from kit.bay.sight import Sight
from kit.exercises import JobQuestion, question
from kit.exercises.cards import card
from kit.machines import Machine
from kit.machines import machine as fleet_machine
from kit.records import kernel_record


def bay(machine: Machine | str, *, view: str = "plain", stage: str = "", faults: Iterable[str] = ()) -> MachineBay:
    """A machine to operate and measure. ``view`` is ``plain`` (as a person sees it), ``tell-all``, or
    ``after-the-fact``: plain until the lid is lifted, then the truth under each reading taken.

    ``stage`` is the drawing it opens on; ``faults`` are planted by their ids. Raises a KitError for unknown names.
    """
    chosen = fleet_machine(machine) if isinstance(machine, str) else machine
    return MachineBay(chosen, record=kernel_record(), faults=tuple(faults), stage=stage, sight=Sight.named(view))


def job(card_id: str) -> MachineBay:
    """A job card: a complaint, and a machine with a hidden fault, to find, prove, repair and verify."""
    chosen = card(card_id)
    record = kernel_record()
    return MachineBay(
        chosen.machine, record=record, faults=chosen.faults(record.learner, record.course), card=chosen,
    )


def ask(question_id: str) -> QuestionSheet | MachineBay:
    """A question, in the learner's own variant, or its job card; the answer is recorded before it is marked."""
    asked = question(question_id)
    if isinstance(asked, JobQuestion):
        return job(asked.card)
    return QuestionSheet(asked, record=kernel_record())
