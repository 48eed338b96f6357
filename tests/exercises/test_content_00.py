"""Lesson 00: what is safe stands in print, and a lamp that is out at the posts is dead."""

import pytest

from kit.exercises import mark, question, right_answer, truth, variant


def editions(question_id):
    """Every different variant of a question that a class of two hundred draws."""
    item = question(question_id)
    drawn = (variant(item, "autumn", f"learner-{number}") for number in range(200))
    return item, {one.key: one for one in drawn}.values()


def test_00_2_minus_is_off_first_and_on_last():
    """Ground clamp last on, first off (Health and Safety Executive, leaflet INDG139)."""
    item, (one, *_) = editions("00.2")
    order = truth(item, one)
    assert order.index("minus off") < order.index("plus off") < order.index("plus on") < order.index("minus on")
    assert "both" not in order
    raw = right_answer(item, one)
    swapped = [*raw[:1], raw[2], raw[1], *raw[3:]]
    got = mark(item, one, swapped)
    assert 0 < got.points < 4 and "spanner can do no harm" in got.reason


def test_00_1_a_spark_test_is_stopped_and_no_ring_is_left_on():
    """No watch, ring or chain; eye protection; no ignition source (Health and Safety Executive, INDG139)."""
    item, (one, *_) = editions("00.1")
    assert {"rings", "eyes", "battery"} <= set(truth(item, one)) and "spark" not in truth(item, one)
    every = [chr(ord("a") + n) for n in range(8)]
    assert mark(item, one, every).points < 4 and "Never do that" in mark(item, one, every).reason


def test_00_3_the_lamp_lights_between_the_posts_and_on_one_post_never():
    item, found = editions("00.3")
    for one in found:
        for point, (word,) in truth(item, one).items():
            plus = point in ("G1.+", "X1.clip", "F1.1", "F1.2")
            assert word == ("out" if plus == (one.picks["clip"] == "G1.+") else "bright")


def test_00_4_the_meaning_turns_with_what_the_posts_show():
    item, found = editions("00.4")
    meant = {(one.picks["seen at the posts"], truth(item, one)) for one in found}
    assert meant == {("out", "dead"), ("bright", "real")}


@pytest.mark.parametrize(("said", "points"), [("{:.1f} V", 4), ("{:.2f}", 4), ("0 V", 0), ("12 V", 2)])
def test_00_5_red_against_black(said, points):
    item, found = editions("00.5")
    for one in found:
        volts = truth(item, one)
        # 12.7 V by the machine's file; the sign by which lead is on plus.
        assert volts == pytest.approx(12.7 if "swapped" not in one.picks["leads"] else -12.7, abs=0.02)
        text = said.format(volts) if "{" in said else said.replace("12", f"{12 if volts > 0 else -12}")
        assert mark(item, one, text).points == points
        assert mark(item, one, f"{1000 * volts:.0f} mV").points == 4
        assert mark(item, one, f"{-volts:.1f} V").points == 2


def test_00_6_a_lamp_belongs_on_feeds_and_not_on_signals():
    """Lamp on an unplugged supply and ground is good practice, on signals and sensors it is not (common practice)."""
    item, (one, *_) = editions("00.6")
    assert set(truth(item, one)) == {"sensor", "signal", "kill", "running"}
