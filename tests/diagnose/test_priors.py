"""Every part and every fault of the catalogue has a share of its own; what the card prints is what is used."""

import pytest

import kit
from kit.circuit import Part, part_of
from kit.diagnose.priors import KINDS, LABELS, SOUND, prior, prior_of_two, share_of_kind, shares_in_words
from kit.errors import DiagnosisError

NO_FAULTS = {"instrument", "part"}  # a learner's own tools, and the plain base


def kinds(of=Part):
    for kind in of.__subclasses__():
        yield kind
        yield from kinds(kind)


def test_every_kind_of_part_has_a_share():
    # By word: a class with slots leaves its first draft behind among the subclasses.
    here = {kind.word for kind in kinds() if kind.__module__.startswith("kit.circuit")}
    assert here - NO_FAULTS == {kind.word for kind in KINDS}


def test_every_fault_of_the_fleet_is_called_like_something_with_a_share():
    for name in kit.machine_ids():
        machine = kit.machine(name)
        for fault in machine.faults:
            label = fault.split(" ", 1)[1]
            assert any(label.startswith(begins) for begins, _ in LABELS), (name, fault)


def test_shares_go_by_part_and_fault_and_a_cause_costs_nothing_more():
    bike = kit.machine("orchard-bike").circuit
    assert prior(bike, ()) == SOUND
    # Common practice: batteries before fuses before switches before cables; a blown fuse costs its short alone.
    flat, blown, switch, wire = (prior(bike, (one,)) for one in ("G1 flat", "F1 blown", "S1 stuck open", "W3 open"))
    assert flat > blown > switch > wire
    assert prior(bike, ("W3 shorted to ground", "F1 blown")) == prior(bike, ("W3 shorted to ground",))
    assert prior_of_two(bike, "F1 blown", "W3 open") < wire
    assert prior(bike, ("K1 wrong spare 24 V coil",)) < prior(bike, ("K1 coil open",))


def test_the_card_prints_what_is_used():
    bike = kit.machine("orchard-bike").circuit
    rows = dict(shares_in_words(bike))
    assert next(iter(rows)) == "battery" and rows["wire"] == share_of_kind(bike["W3"])
    assert set(rows) == {part.word for part in bike.parts}
    assert {part_of(fault) for fault in kit.machine("orchard-bike").faults} <= {part.id for part in bike.parts}


def test_a_kind_nobody_gave_a_share_is_named():
    class Anvil(Part):
        word = "anvil"

    with pytest.raises(DiagnosisError, match="no share for a anvil"):
        share_of_kind(object.__new__(Anvil))
