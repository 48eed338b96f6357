"""Which way of mending cures which fault: what the machine's file and the case say is what counts."""

import pytest

import kit
from kit.diagnose.account import Deed, account, start_weights
from kit.diagnose.table import OutcomeTable
from kit.diagnose.worth import Worth
from kit.exercises.cards import card, card_ids
from kit.exercises.repairs import WAYS, cures

CASES = [each for each in card_ids() if card(each).case() is not None]


@pytest.mark.parametrize(
    ("machine", "fault", "how", "does"),
    [
        # The case of J4 says: dry and clean the contacts, or renew the switch.
        ("orchard-bike", "S2 stuck open", "clean", True),
        # A dead cell comes back by no charger, though the case says that the new battery is to be charged.
        ("ride-on-mower", "G1 dead cell", "charge", False),
        ("bench-board", "G1 run down", "charge", True),
        # Words count from their beginning: no "round" in a ground, no "oil" in a coil.
        ("site-generator", "X10 high resistance 5 ohm", "refit", False),
        ("site-generator", "X10 high resistance 5 ohm", "clean", True),
        ("compact-loader", "Q1 coil open", "free", False),
        ("compact-loader", "K1 85 and 86 swapped", "refit", True),
        ("ride-on-mower", "X10 open", "clean", True),
        ("site-generator", "X18 open", "refit", True),
        # More force on the nut does not clean what is under it.
        ("orchard-bike", "X8 high resistance 0.5 ohm", "tighten", False),
    ],
)
def test_a_way_cures_what_its_words_and_the_cases_say(machine, fault, how, does):
    assert cures(kit.machine(machine), how, fault) is does


@pytest.mark.parametrize("card_id", CASES)
def test_every_root_cause_but_a_referred_one_is_cured_by_a_way_for_its_kind_of_part(card_id):
    job = card(card_id)
    root = job.case().faults[0]
    part = job.machine.circuit[root.split(" ")[0]]
    assert any(cures(job.machine, how, root) for how, way in WAYS.items() if isinstance(part, way.kinds))


def test_the_first_look_is_free_and_leaves_the_one_confirming_test_free_as_well():
    """trade.md: neither the first inspection nor one confirming test is charged, and one does not use up the other."""
    table = OutcomeTable.from_arrays([[0, 0], [1, 0]], suspects=("a", "b"), minutes=[5, 9])
    worth, weight = Worth(table), start_weights(table, ("a", "b"))

    def charged(*deeds):
        return account(worth, weight, deeds).counted

    look = Deed(number=0, minutes=5.0, shown={"a": 0, "b": 1}, saw=0, free=True)
    proof, again = (Deed(number=n, minutes=9.0, shown={"a": 0}, saw=0) for n in (1, 2))
    assert charged(look, proof) == 0.0
    assert charged(look, proof, again) == pytest.approx(9.0)
    # What is only put back or set up on the way to the proof does not use it up either.
    off = Deed(number=1, minutes=1.0, shown={"a": 0}, saw=0, tests=False)
    assert charged(look, off, Deed(number=2, minutes=9.0, shown={"a": 0}, saw=0)) == 0.0
    # Of two proofs the longer one is free, whichever came first, and with it what it was set up by.
    brief, brief_last = (Deed(number=n, minutes=3.0, shown={"a": 0}, saw=0) for n in (1, 3))
    plug = Deed(number=2, minutes=4.0, shown={"a": 0}, saw=0, tests=False, sets="off")
    late = Deed(number=3, minutes=9.0, shown={"a": 0}, saw=0)
    assert charged(look, brief, plug, late) == charged(look, proof, brief_last) == pytest.approx(3.0)
