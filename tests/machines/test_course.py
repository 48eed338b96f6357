"""A machine in time: what a person notices, moment by moment."""

import pytest

import kit
from kit.circuit import Change, Fault
from kit.errors import FaultError, OperationError
from kit.machines.course import over_time

BIKE = kit.machine("orchard-bike")
START = [(0.0, {"key": "on"}), (0.5, {"start_button": "pressed"}), (3.0, {"start_button": "released"})]


def battery(ohms: float) -> Fault:
    return Fault(id="G1 worn", part="G1", edit=Change(field="ohms", value=ohms))


def told(course) -> list[str]:
    return [moment.notice.text for moment in course.noticed]


def words(course, part: str) -> list[str]:
    return [moment.notice.word for moment in course.noticed if moment.notice.part == part]


def test_a_healthy_start_is_told_in_order():
    course = over_time(BIKE, START, 3.5)
    assert told(course) == [
        "The neutral lamp is lit.", "The head lamp is lit.", "The starter relay clicks.",
        "The neutral lamp dims, but stays lit.", "The head lamp dims, but stays lit.",
        "The engine cranks at full speed.", "The starter relay clicks as it lets go.", "The engine stops turning.",
    ]
    click = next(moment for moment in course.noticed if moment.notice.word == "pulled in")
    assert 0.51 < click.at < 0.53 and str(click) == "0.52 s  The starter relay clicks."
    assert [moment.at for moment in course.noticed] == sorted(moment.at for moment in course.noticed)
    assert course.pulled_in("K1") == ((pytest.approx(0.5156, abs=2e-3), pytest.approx(3.0055, abs=2e-3)),)


def test_a_tired_battery_cranks_slower_and_slower_and_the_lamps_go_dim():
    course = over_time(BIKE, START, 3.5, [battery(0.08)])
    assert "The engine cranks slowly, at about 43 % speed and slowing, 27 % at the end." in told(course)
    assert words(course, "E1") == ["lit", "dim", "lit"]


def test_a_chatter_is_one_notice_with_its_rate_and_lamps_that_pulse():
    course = over_time(BIKE, START, 3.5, [battery(0.15)])
    assert [text for text in told(course) if "clatters" in text] == [
        "The starter relay clatters, about 25 times a second."
    ]
    assert "The starter motor only twitches." in told(course)
    assert words(course, "E1") == ["lit", "pulses", "lit"]
    assert not any("cranks" in text for text in told(course))


def test_an_engine_that_turned_before_the_chatter_stops():
    course = over_time(BIKE, START, 3.5, [battery(0.12)])
    stops = next(moment for moment in course.noticed if moment.notice.text == "The engine stops turning.")
    clatters = next(moment for moment in course.noticed if "clatters" in moment.notice.text)
    assert any("cranks slowly" in text for text in told(course)) and stops.at == clatters.at


@pytest.mark.parametrize(
    ("fault", "heard", "silent"),
    [
        ("F1 blown", [], ["clicks", "cranks", "lit"]),
        ("M1 seized", ["One clunk; the engine does not turn.", "The starter relay clicks."], ["cranks"]),
        ("M1 open", ["The starter relay clicks."], ["cranks", "clunk", "dims"]),
        # Common practice: the relay clicks, and the head lamp does not dim as it would with the starter drawing.
        ("K1 contacts burnt 0.5 ohm", ["The starter relay clicks."], ["cranks", "clunk", "head lamp dims"]),
        ("W3 shorted to ground", ["A faint pop."], ["clicks", "lit"]),
        ("S3 stuck open", ["The head lamp is lit."], ["clicks"]),
        ("K1 contacts welded", ["The engine cranks at full speed."], ["stops"]),
    ],
)
def test_what_a_fault_sounds_like(fault, heard, silent):
    texts = told(over_time(BIKE, START, 3.5, [fault]))
    assert set(heard) <= set(texts)
    assert not [text for text in texts for word in silent if word in text]


def test_positions_carry_over_and_are_told():
    course = over_time(BIKE, START, 3.5)
    assert course.told() == (
        (0.0, "key on"), (0.5, "start button pressed"), (3.0, "start button released"),
    )
    assert course.moves[1][1]["key"] == "on"
    assert len(course.volts("K1.86")) == len(course.seconds) == len(course.amps("M1"))


def test_moves_and_names_are_checked():
    with pytest.raises(OperationError, match="moves need moments in rising order"):
        over_time(BIKE, [(1.0, {}), (0.5, {})], 2.0)
    with pytest.raises(OperationError, match="an end after the last"):
        over_time(BIKE, START, 3.0)
    with pytest.raises(OperationError, match="key cannot be 'sideways'"):
        over_time(BIKE, [(0.0, {"key": "sideways"})], 1.0)
    with pytest.raises(FaultError, match="no fault 'F1 haunted'"):
        over_time(BIKE, START, 3.5, ["F1 haunted"])
