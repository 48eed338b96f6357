"""Each kind of question: what is right is what the machine does, and a wrong answer is told why."""

import pytest
from editions import edition
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.circuit.conductors import CLASS_5
from kit.exercises import IDEAS, Choice, Number, Prediction, mark, questions, right_answer, truth, variant
from kit.exercises.choice import shown_options
from kit.exercises.number import agrees, wrong_numbers
from kit.exercises.prediction import rows_of, wrong_tables
from kit.exercises.question import Words
from kit.instruments import Multimeter, TestLamp
from kit.instruments.lamp import EDGES
from kit.instruments.reading import across
from kit.machines import machine

QUESTIONS_TO_ANSWER = [item for item in questions().values() if item.kind != "job"]

COUNTED = ("suspects", "tests")


def letter(item, one, option_id):
    return next(key for key, option in shown_options(item, one).items() if option.id == option_id)


# --- choice


def test_06_1_the_story_is_what_the_machine_does():
    bike = machine("orchard-bike")
    dead, clicks = (bike.operate(fault, key="on", start_button="pressed") for fault in ("F1 blown", "W9 open"))
    assert [dead.word(part) for part in ("P1", "E1", "K1", "M1")] == ["out", "out", "at rest", "still"]
    assert [clicks.word(part) for part in ("P1", "E1", "K1", "M1")] == ["lit", "lit", "pulled in", "still"]


@pytest.mark.parametrize(("hidden", "right"), [("F1 blown", "main feed"), ("W9 open", "cranking circuit")])
def test_06_1_everything_dead_is_the_main_feed_and_a_click_without_cranking_is_not(hidden, right):
    """Common practice: key on and everything dead, battery and clamps good: the main feed is the first suspect."""
    item, one = edition("06.1", hidden=hidden)
    for option in item.options:
        got = mark(item, one, letter(item, one, option.id))
        assert got.points == (4 if option.id == right else 0)
        assert "Tried on the machine" in got.reason and len(got.reason) > 100


@pytest.mark.parametrize("form", ["{}", " {} ", "({})", "{}.", "{})", "answer {}", "Option {}:"])
def test_a_letter_is_read_in_any_sane_form(form):
    item, one = edition("06.6")
    right = letter(item, one, "loading lamp")
    for text in (form.format(right), form.format(right.upper())):
        assert mark(item, one, text).points == 4
    assert mark(item, one, shown_options(item, one)[right].text.upper()).points == 4


@pytest.mark.parametrize("raw", ["", "z", "ab", "a or b", None, 3, ["a"], {"a": 1}, "a" * 10_000, True])
def test_a_choice_that_is_none_is_asked_again(raw):
    item, one = edition("06.6")
    got = mark(item, one, raw)
    assert (got.understood, got.points) == (False, 0)


def test_06_6_a_bigger_fuse_is_stopped_with_the_current_that_would_flow():
    item, one = edition("06.6", hidden="W2 shorted to ground")
    got = mark(item, one, letter(item, one, "bigger"))
    assert got.points == 0 and got.ideas == ("short-not-seen",)
    # By hand from the machine file: 12.8 V over battery 20, clamp 0.3, W1 1.6, F1 2.5, W2 7.18 mΩ, the short 20 mΩ and
    # the way back, frame to strap 1 + 3.19 mΩ beside sheath and engine strap 60 + 0.3 + 0.6 mΩ, clamp 0.3 mΩ.
    back = 1 / (1 / 4.192 + 1 / 60.905)
    amps = 12.8 / (20 + 0.3 + 0.2 * 7.98 + 2.5 + 0.9 * 7.98 + 20 + back + 0.3) * 1000
    assert f"{float(f'{amps:.2g}'):g} A" in got.reason


@pytest.mark.parametrize(("fault", "key"), [("W3 shorted to ground", "on"), ("W2 shorted to ground", "off")])
def test_06_6_the_loading_lamp_does_what_its_feedback_says(fault, key):
    """21 W in place of F1, F2 and F3 out: under two amps, bright while the short is joined, out once it is gone."""
    bike = machine("orchard-bike")
    assert bike.operate(fault, key=key).word("F1") == "melts"
    lamp = TestLamp(clip="F1.2", tip="F1.1", watts=21)
    out = ("F1 blown", "F2 blown", "F3 blown")
    shorted, freed = bike.operate(*out, fault, key=key), bike.operate(*out, key=key)
    assert (lamp.read(shorted).shown, lamp.read(freed).shown) == ("bright", "out")
    # With the branch fuses in, a sound head lamp hides the step: the reason for pulling them.
    assert lamp.read(bike.operate("F1 blown", key="on")).shown == "bright"
    volts = across(shorted, lamp.body())[0]
    # Amps of a filament go with V^0.55 (Fink & Beaty, Standard Handbook for Electrical Engineers, 1978).
    assert 21 / 13.5 * (volts / 13.5) ** 0.55 < 2


# --- number


def test_06_3_all_the_battery_stands_across_the_break_with_the_sign_of_the_leads():
    places = {"F1 blown": ("F1.1", "F1.2"), "W2 open": ("F1.2", "S1.1"), "S1 stuck open": ("S1.1", "S1.2")}
    for fault, (upper, lower) in places.items():
        straight = truth(*edition("06.3", broken=fault, leads="straight"))
        assert straight == -truth(*edition("06.3", broken=fault, leads="swapped"))
        now = machine("orchard-bike").operate(fault, key="on")
        assert straight == Multimeter("volts", black=lower, red=upper).read(now).value
        # No current: all the volts stand across an open (Kuphaldt, Lessons in Electric Circuits I, component failure).
        assert straight == pytest.approx(12.8, abs=0.011)


@pytest.mark.parametrize(
    ("raw", "points", "idea"),
    [
        ("12.8 V", 4, ""), ("12,80V", 4, ""), ("12800 mV", 4, ""), ("about 12.7 volts", 4, ""), ("12.8", 4, ""),
        (12.8, 4, ""), ("+12.8 V", 4, ""), ("-12.8 V", 2, ""), ("−12,8 V", 2, ""), ("12 V", 2, ""),
        ("0 V", 0, "no-current-no-volts"), ("0.00", 0, "no-current-no-volts"), ("zero", 0, "no-current-no-volts"),
        ("nothing", 0, "no-current-no-volts"), ("6.4 V", 0, "equal-share"), ("3.2 V", 0, "equal-share"),
        ("8 V", 0, ""), ("12.8 kV", 2, ""),
    ],
)
def test_06_3_marks_what_an_answer_means(raw, points, idea):
    got = mark(*edition("06.3", broken="F1 blown", leads="straight"), raw)
    assert (got.points, got.ideas, got.understood) == (points, (idea,) if idea else (), True)
    assert len(got.reason) > 60


@pytest.mark.parametrize(
    "raw",
    ["much", "12.8 A", "V", "12.8 V or so maybe", "1,234 V", "NaN", "inf", "9" * 400, None, True, [], {}, "x" * 999],
)
def test_a_number_that_cannot_be_read_is_asked_again_and_not_counted(raw):
    got = mark(*edition("06.3"), raw)
    assert (got.understood, got.points) == (False, 0)
    assert len(got.reason) < 400


def test_06_5_is_the_sum_over_the_published_table():
    # Class 5 copper at 20 °C, milliohms a metre: IEC 60228.
    published = {"1": 19.5, "1.5": 13.3, "2.5": 7.98}
    for mm2, milliohms in published.items():
        item, one = edition("06.5", mm2=mm2, metres="3.5", amps="8")
        assert truth(item, one) == pytest.approx(milliohms / 1000 * 3.5 * 8)
        assert CLASS_5[float(mm2)] == milliohms
        assert mark(item, one, f"{milliohms * 3.5 * 8:.0f} mV").points == 4
        assert mark(item, one, f"{milliohms / 1000 * 3.5 * 8:.2f} V").points == 4
        assert mark(item, one, "0 V").ideas == ("wires-never-drop",)
        assert mark(item, one, f"{milliohms * 3.5 * 8} V").points == 2


def test_no_wrong_number_is_mistaken_for_the_right_one(editions):
    for item, one in editions:
        if not isinstance(item, Number):
            continue
        right = truth(item, one)
        # A count of things may be none of them; what is measured is never exactly nothing.
        assert right != 0 or item.unit in COUNTED, item.id
        for name, value in wrong_numbers(item, one).items():
            # A way of thinking that happens to be right in this variant is no slip there.
            if abs(value - right) <= 1e-6 * abs(right):
                continue
            # Two per cent beyond the edge of what is accepted.
            assert abs(value - right) > (item.within + 0.02) * (abs(right) or 1), (item.id, one.picks, name)
            assert not agrees(item, value, right), (item.id, one.picks, name)
            # Each wrong number, as a meter would show it, is met by the words of a slip.
            got = mark(item, one, f"{value:.6g}")
            assert (got.points, got.ideas) in [
                (slip.points, (slip.idea,) if slip.idea else ()) for slip in item.slips.values()
            ], (item.id, one.picks, name)


# --- prediction


def test_no_lamp_of_a_prediction_is_within_two_per_cent_of_a_band_edge_and_no_table_is_all_one_word(editions):
    for item, one in editions:
        if not isinstance(item, Prediction):
            continue
        table = truth(item, one)
        assert {len(set(column)) for column in zip(*table.values(), strict=True)} != {1}
        for column in item.columns:
            faults = [fault.format_map(one.picks) for fault in item.setup.faults]
            now = machine(item.setup.machine).operate(*faults, **column.positions)
            for point in rows_of(item, one):
                clip = item.clip.format_map(one.picks)
                volts = abs(across(now, TestLamp(clip=clip, tip=point).body())[0])
                assert all(abs(volts - edge) > 0.02 * edge for edge in EDGES)


def test_06_4_lit_before_the_break_and_out_behind_it():
    """Common practice: clip on minus; the break is between the last point that lights and the first that does not."""
    for fault, live in (("F1 blown", 2), ("W2 open", 3), ("S1 stuck open", 4)):
        item, one = edition("06.4", broken=fault, points="G1.+ F1.1 F1.2 S1.1 S1.2")
        rows = list(truth(item, one).values())
        assert rows == [("bright", "bright")] * live + [("out", "out")] * (5 - live)


def sound(**changes):
    """The right table of 06.2 for the points from G1.+ to S1.2, with some rows changed."""
    table = {point: ["bright", "bright"] for point in ("G1.+", "F1.1", "F1.2", "S1.1")} | {"S1.2": ["out", "bright"]}
    return table | {name.replace("_", "."): row for name, row in changes.items()}


@pytest.mark.parametrize(
    ("raw", "points", "idea"),
    [
        (sound(), 10, None),
        (list(sound().values()), 10, None),
        ({point: {"key off": row[0], "key on": row[1]} for point, row in sound().items()}, 10, None),
        ("; ".join(f"{point}: {row[0]}, {row[1].upper()}" for point, row in sound().items()), 10, None),
        ("\n".join(f"{point.lower()} {row[0].replace('out', 'dark')} {row[1]}" for point, row in sound().items()),
         10, None),
        (sound(S1_1=["out", "bright"]), 9, None),
        (sound(S1_2=["bright", "bright"]), 9, None),
        (sound(F1_1=["out", "bright"], F1_2=["out", "bright"], S1_1=["out", "bright"]), 7, "no-current-no-volts"),
        (sound(F1_2=["bright", "dim"], S1_1=["bright", "dim"], S1_2=["out", "glow"]), 7, "current-used-up"),
    ],
)
def test_06_2_counts_cells_and_hears_ideas(raw, points, idea):
    got = mark(*edition("06.2", points="G1.+ F1.1 F1.2 S1.1 S1.2"), raw)
    assert (got.points, got.of, got.ideas) == (points, 10, (idea,) if idea else ())
    if idea:
        assert IDEAS[idea].help in got.reason


def test_a_table_that_is_off_in_ways_of_its_own_is_put_down_to_no_idea():
    got = mark(*edition("06.2", points="G1.+ F1.1 F1.2 S1.1 S1.2"), {point: ["bright", "out"] for point in sound()})
    assert (got.points, got.ideas) == (4, ())
    assert "sound machine" not in got.reason
    seen = mark(*edition("06.2", points="G1.+ F1.1 F1.2 S1.1 S1.2"), sound(S1_2=["bright", "bright"]))
    assert "a break lets nothing past" in seen.reason


def test_a_wrong_cell_is_told_what_was_said_what_is_and_why():
    table = {"G1.+": ["bright"] * 2, "F1.1": ["bright"] * 2, "F1.2": ["out", "dim"], "S1.1": ["out"] * 2}
    item, one = edition("06.4", broken="F1 blown", points="G1.+ F1.1 F1.2 S1.1 S1.2")
    got = mark(item, one, table | {"S1.2": ["out"] * 2})
    assert got.points == 9
    assert "At F1.2, key on, you said dim; the lamp is out: no way is left from battery plus" in got.reason


@pytest.mark.parametrize(
    "raw",
    [
        None, "", "bright", 7, [], {}, {"G1.+": ["bright", "bright"]}, list(sound().values())[:4], sound(S1_2=["out"]),
        sound(S1_2=["out", "lit"]), sound(S1_2=["out", ""]), sound(S1_2="out"), sound(S1_2=["out", None]),
        "[" * 100_000, {"G1.+": {"key off": "bright"}},
    ],
)
def test_a_table_that_is_not_whole_is_asked_again_and_nothing_is_marked(raw):
    got = mark(*edition("06.2", points="G1.+ F1.1 F1.2 S1.1 S1.2"), raw)
    assert (got.understood, got.points, got.of) == (False, 0, 10)


def test_the_table_of_an_idea_differs_from_the_truth_in_some_edition_of_each_prediction(editions):
    apart = {
        item.id
        for item, one in editions
        if isinstance(item, Prediction)
        and any(table != truth(item, one) for table in wrong_tables(item, one).values())
    }
    assert apart == {item.id for item in questions().values() if isinstance(item, Prediction)}


# --- all of them

ANYTHING = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=60),
    lambda inner: st.lists(inner, max_size=6) | st.dictionaries(st.text(max_size=8), inner, max_size=6),
    max_leaves=20,
)


@settings(max_examples=200, deadline=None)
@given(item=st.sampled_from(QUESTIONS_TO_ANSWER), raw=ANYTHING)
def test_no_answer_makes_marking_fail(item, raw):
    got = mark(item, variant(item, "autumn", "wren"), raw)
    assert 0 <= got.points <= got.of
    assert got.reason and (got.understood or not got.points)


def test_every_wrong_option_of_every_choice_has_words_of_its_own():
    for item in questions().values():
        if isinstance(item, Choice):
            words = Words(item, variant(item, "autumn", "wren"))
            said = [words.fill(option.feedback) for option in item.options]
            assert len(set(said)) == len(item.options), item.id
            assert all(len(text) > 50 for text in said), item.id


# --- steps in a row


@pytest.mark.parametrize("item", [one for one in QUESTIONS_TO_ANSWER if one.kind == "ordered"], ids=lambda one: one.id)
def test_a_step_that_never_belongs_is_told_of_even_behind_another_mistake(item):
    one = variant(item, "course", "wren")
    right, texts = right_answer(item, one), shown_options(item, one)
    words = Words(item, one)
    never = [key for key in texts if key not in right]
    found = mark(item, one, [right[1], right[0], *never, *right[2:]])
    if never:
        assert words.fill(texts[never[0]].text) in found.reason
    assert words.fill(texts[right[1]].text) in found.reason and found.points < found.of
