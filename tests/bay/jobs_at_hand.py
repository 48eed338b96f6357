"""Job card J1 on the bay, with faults of a test's choosing."""

from kit.bay import MachineBay
from kit.exercises.cards import card


def a_job(record, faults=("W3 shorted to ground", "F1 blown")):
    """The job, kept in this record."""
    chosen = card("J1")
    return MachineBay(chosen.machine, record=record, faults=faults, card=chosen)
