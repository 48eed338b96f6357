"""What may be seen of an operation."""

from kit.draw import plain, schematic, sheet, tell_all
from kit.draw.shown import at_rest
from kit.machines import machine

BIKE = machine("orchard-bike")


def test_plain_shows_switches_and_nothing_else():
    shown = plain(BIKE.operate("F1 blown", key="on", clutch_lever="pulled"))
    assert shown.closed == {"S1", "S2", "B1", "B2"}
    assert not shown.blown and not shown.out and not shown.nodes


def test_at_rest_what_the_rest_positions_close_is_closed():
    """The bike rests in neutral with its stop switch at run; a drawing that shows them open would tell the opposite."""
    assert at_rest(BIKE).closed == {"S2", "B2"}
    assert schematic(BIKE, "neutral interlock").svg == schematic(BIKE, "neutral interlock", at_rest(BIKE)).svg
    assert "stop switch closed" in sheet(BIKE).title and "key switch open" in sheet(BIKE).title


def test_tell_all_shows_relays_fuses_and_conductors():
    shown = tell_all(BIKE.operate(key="on", start_button="pressed"))
    assert "K1" in shown.closed and not shown.blown
    assert set(shown.nodes) == {str(terminal) for terminal in BIKE.circuit.terminals}
    assert shown.nodes["G1.+"] == "live" and shown.nodes["G1.-"] == "ground"


def test_fuses_blown_as_a_fault_and_melted_by_one():
    assert tell_all(BIKE.operate("F2 blown", key="on")).blown == {"F2"}
    assert tell_all(BIKE.operate("W19 shorted to ground", key="on")).blown == {"F3"}


def test_stuck_switches_and_welded_contacts_are_drawn_as_they_stand():
    assert "S3" in tell_all(BIKE.operate("S3 stuck closed", key="on")).closed
    assert "S1" not in tell_all(BIKE.operate("S1 stuck open", key="on")).closed
    assert "K1" in tell_all(BIKE.operate("K1 contacts welded")).closed
    # A short of a wire is no bridged contact.
    assert "W3" not in tell_all(BIKE.operate("W3 shorted to ground")).closed


def test_chattering_is_told_where_volts_swing():
    now = BIKE.operate("X2 high resistance 0.5 ohm", key="on", start_button="pressed")
    swings = now.solution
    shown = tell_all(now)
    for text in ("K1.87", "M1.stud", "X7.block"):
        assert abs(swings.volts[text] - swings.other_swing.volts[text]) > 1
        assert shown.nodes[text] == "chattering"
    assert shown.nodes["G1.+"] == "live" and shown.nodes["B1.2"] == "floating"
