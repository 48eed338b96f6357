"""Lesson 00: what is safe stands in print, and a lamp that is out at the posts is dead."""

import pytest

from kit.exercises import answer_form, mark, question, right_answer, truth, variant
from kit.exercises.mark_up import paper
from kit.exercises.question import Words
from kit.machines import machine


def editions(question_id):
    """Every different variant of a question that a class of two hundred draws."""
    item = question(question_id)
    drawn = (variant(item, "autumn", f"learner-{number}") for number in range(200))
    return item, {one.key: one for one in drawn}.values()


def test_00_2_minus_is_off_first_and_on_last_whichever_comes_first():
    """Ground clamp last on, first off (Health and Safety Executive, leaflet INDG139)."""
    item, found = editions("00.2")
    orders = {}
    for one in found:
        order = truth(item, one)
        orders.setdefault(one.picks["round"], set()).add(order)
        assert order[0] == "off" and "never" not in order and len(order) == 6
        assert order.index("minus off") < order.index("plus off") and order.index("plus on") < order.index("minus on")
        # The trial is done with both clamps on.
        assert order.index("minus on") < order.index("try")
        assert order.index("try") < order.index("minus off") or order[-1] == "try"
        raw = right_answer(item, one)
        swapped = [raw[0], raw[2], raw[1], *raw[3:]]
        got = mark(item, one, swapped)
        said = "spanner can do no harm" if order[1] == "minus off" else "Minus goes on after plus"
        assert 0 < got.points < 4 and said in got.reason
    assert len(orders) == 2 and all(len(one) == 1 for one in orders.values())


def test_00_1_a_spark_test_is_stopped_and_no_ring_is_left_on():
    """No watch, ring or chain; eye protection; no ignition source (Health and Safety Executive, INDG139)."""
    item, found = editions("00.1")
    for one in found:
        assert {"rings", "eyes", "battery"} <= set(truth(item, one)) and not {"risk", "guess"} & set(truth(item, one))
        every = [chr(ord("a") + n) for n in range(8)]
        got = mark(item, one, every)
        assert got.points == 2 and ("Never do that" in got.reason) == (one.picks["risk"] == "spark")


@pytest.mark.parametrize(("name", "still"), [
    ("orchard-bike", ("key out", "neutral", "on its stand")),
    ("ride-on-mower", ("key out", "brake set", "blade lever off", "bystanders")),
    ("compact-loader", ("key out", "arms down or strutted", "lever in neutral", "wheels chocked")),
    ("site-generator", ("key out", "auto-start off and locked", "emergency stop pressed")),
    ("harbour-tender", ("key out", "moored fast", "lever in neutral", "shore power off", "nose first", "propeller")),
])
def test_00_1_each_machine_is_made_still_as_its_own_cautions_say(name, still):
    """What a machine's file says of approaching it (trade.md, safety: approach) is what is to be ticked for it."""
    item, found = editions("00.1")
    one = next(one for one in found if one.picks["machine"] == name)
    words, whole = Words(item, one), machine(name)
    ticked = " ".join(words.fill(option.text) for option in item.options if option.id in truth(item, one)).casefold()
    said = " ".join(whole.cautions.values()).casefold()
    for thing in (*still, "rings, watch and chain", "eye protection"):
        assert thing in ticked and thing in said, thing
    form, drawn = answer_form(item, one)["picture"], paper(item, one)
    assert (form["machine"], form["stage"]) == (name, drawn.stage) and drawn.machine.id == name
    assert drawn.stage in whole.stages


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
    item, found = editions("00.6")
    texts = set()
    for one in found:
        assert set(truth(item, one)) == {"sensor", "signal", "kill", "running"}
        words = Words(item, one)
        texts.add(tuple(words.fill(option.text) for option in item.options))
        for option in item.options:
            text = words.fill(option.text)
            # On a control unit only its own supply and ground, and those unplugged.
            assert (option.id in truth(item, one)) != any(word in text for word in (
                "plug pulled off", "posts", "fuse", "key switch", "head lamp")), text
    assert len(texts) > 50
