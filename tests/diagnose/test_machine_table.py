"""A machine's outcome table says what its instruments say one by one, and the plan made of it is a workshop's plan."""

import random

import pytest

import kit
from kit.diagnose.belief import Observation, left, weights
from kit.diagnose.gain import next_test
from kit.diagnose.leads import drops, posts, to_try
from kit.diagnose.plan import plan
from kit.diagnose.reasons import (
    fewest_in_words,
    followed,
    where_felt,
    which_suffice,
    why_in_or_out,
    why_this_test,
)
from kit.diagnose.trials import job_table, machine_table
from kit.diagnose.ways import sensitivity, way_to
from kit.instruments import Multimeter, TestLamp

BIKE = kit.machine("orchard-bike")
START = {"key": "on", "start_button": "pressed"}


@pytest.fixture(scope="module")
def table(tmp_path_factory):
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("KIT_CACHE", str(tmp_path_factory.mktemp("shelf")))
        yield machine_table(BIKE)


@pytest.fixture(scope="module")
def plain(table):
    return table.joined().worth_keeping()


def seen_with(table, suspect, *tests):
    s = table.suspects.index(suspect)
    return [Observation(test=test, outcome=int(table.outcomes[s, test, 0])) for test in tests]


def test_where_leads_go():
    assert posts(BIKE) == ("G1.-", "G1.+")
    between = {frozenset(pair) for pair in drops(BIKE)}
    for pair in (("F1.1", "F1.2"), ("K1.30", "K1.87"), ("X3.lug", "K1.30"), ("G1.+", "X1.clamp"), ("B2.1", "R1.K")):
        assert frozenset(pair) in between
    # Past another test point no pair goes.
    assert frozenset(("F1.1", "S1.1")) not in between
    assert to_try(BIKE)[0] == BIKE.positions()


def test_every_cell_is_what_the_instrument_shows(table):
    """300 cells drawn from all suspects and tests of the lamp and the meter."""
    rng = random.Random("cells")
    tests = [t for t, kind in enumerate(table.kinds) if kind in ("lamp", "volts")]
    for _ in range(300):
        s, t = rng.randrange(len(table.suspects)), rng.choice(tests)
        kind, pair, where, _ = table.keys[t]
        now = BIKE.operate(*table.suspects[s].split(" + "), **dict(where))
        cell = {int(o) for o, p in zip(table.outcomes[s, t], table.likelihoods[s, t], strict=True) if p > 0}
        words = {table.shown[t][o] for o in cell}
        if kind == "lamp":
            assert words == set(TestLamp(clip=pair[0], tip=pair[1]).read(now).accepts), (table.tests[t], s)
            continue
        shown = Multimeter("volts", black=pair[0], red=pair[1]).read(now)
        value = shown.value
        if value is None:
            ends = [float(figure) for figure in shown.shown.removeprefix("jumps between ")[:-2].split(" and ")]
            # A jump nobody would call one counts as steady.
            assert (words == {"the digits jump"}) == (abs(ends[0] - ends[1]) > 0.1)
            continue
        # Whoever is in another outcome reads more than a tenth of a volt elsewhere.
        low, high = _span(words.pop())
        assert low - 0.06 <= value <= high + 0.06, (table.tests[t], table.suspects[s], value)


def _span(words):
    figures = words.removeprefix("about ").removesuffix(" V").split(" to ")
    return float(figures[0]), float(figures[-1])


def test_the_planted_fault_survives_its_own_readings(table):
    rng = random.Random("survives")
    for s in range(len(table.suspects)):
        seen = []
        for t in rng.sample(range(len(table.tests)), 25):
            cell = [o for o, p in zip(table.outcomes[s, t], table.likelihoods[s, t], strict=True) if p > 0]
            seen.append(Observation(test=t, outcome=int(rng.choice(cell))))
        assert s in left(weights(table, seen))


def test_key_on_and_nothing_the_main_fuse_is_first(plain):
    """Common practice (references.md): everything dead, battery and posts good: main fuse first."""
    trying = next(t for t, name in enumerate(plain.tests) if name == "Try it: key on")
    weight = weights(plain, seen_with(plain, "F1 blown", trying))
    assert "W2 shorted to ground + F1 blown" in {plain.suspects[s] for s in left(weight)}
    first = next_test(plain, weight)
    assert "F1" in plain.tests[first.test]
    found = plan(plain, weight)
    assert found.certified and found.longest <= 6 and found.minutes < 8
    assert found.chart().splitlines()[0].startswith(plain.tests[found.root.test])
    told = followed(found, plain.suspects.index("W1 open"))
    assert told[-1] == "Left: W1." and all("leaves" in line for line in told[:-1])
    # To the root the short is looked for behind the fuse.
    dead = [plain.suspects[s] for end in found.ends if end.units == ("F1",) for s in end.suspects]
    assert any(name.startswith("W3 shorted") for name in dead)


def test_where_a_fault_is_felt():
    now = BIKE.operate(**START)
    # Thick cable, contact, thick cable: the way of the starter's current.
    assert way_to(now, "G1.+", "M1.stud").parts == ("X1", "W8", "X3", "K1", "X4", "W9", "X5")
    assert way_to(now, "G1.+", "F2.1").parts == ("X1", "W1", "F1", "W2", "S1", "W3")
    # trade.md 2: with the starter connected a burnt contact leaves about 0.9 V at the stud.
    words = where_felt(BIKE, ("K1 contacts burnt 0.5 ohm",), START, "G1.+", "M1.stud")
    assert words.startswith("Up to X3 no more is lost") and "Behind K1 there are 0.9 V" in words
    assert "Behind F1" in where_felt(BIKE, ("F1 blown",), START, "G1.+", "F2.1")
    assert "look elsewhere" in where_felt(BIKE, ("X8 high resistance 0.5 ohm",), START, "G1.+", "F2.1")
    # An ohm in the cable costs the stud its amps in volts; in a fuse of another circuit nearly nothing.
    felt = sensitivity(BIKE, START, "M1.stud", ("W8", "F3"))
    assert felt["W8"] == pytest.approx(-now.amps["M1"], rel=0.2) and abs(felt["F3"]) < 1.0


def test_reasons_are_true_of_the_table(plain):
    trying = next(t for t, name in enumerate(plain.tests) if name == "Try it: key on")
    look = next(t for t, key in enumerate(plain.keys) if key[0] == "look" and key[3] == "F1")
    seen = seen_with(plain, "F1 blown", trying, look)
    out, stays = plain.suspects.index("W1 open"), plain.suspects.index("F1 blown")
    assert why_in_or_out(plain, out, seen[1]).endswith("so W1 open is out.")
    assert why_in_or_out(plain, stays, seen[1]).endswith("F1 blown stays in.")
    hasty = Observation(test=look, outcome=seen[1].outcome, trust=0.8)
    assert "not to be trusted alone" in why_in_or_out(plain, out, hasty)
    others = [s for s in range(len(plain.suspects)) if plain.units[s] != "F1"]
    # The look alone shows it; what was tried before was not needed, and without the look nothing is shown.
    assert which_suffice(plain, seen, others) == (1,)
    assert "One reading of your 2" in fewest_in_words(plain, seen, others, "F1")
    assert which_suffice(plain, seen[:1], others) is None
    assert "do not show F1 yet" in fewest_in_words(plain, seen[:1], others, "F1")
    weight = weights(plain, seen[:1])
    useless = next(t for t in range(len(plain.tests)) if plain.tests[t].startswith("Look at E1"))
    assert "tells nothing" in why_this_test(plain, weight, look, useless)


def test_pairs_sound_and_what_comes_and_goes(tmp_path, monkeypatch):
    """On the bench-board, which is small: a fault that comes and goes is never ruled out by a quiet moment."""
    monkeypatch.setenv("KIT_CACHE", str(tmp_path))
    board = kit.machine("bench-board")
    fuse, lamp = "F1 blown", next(name for name in board.faults if name.startswith("E") and name.endswith(" open"))
    table = machine_table(board, sound=True, more=[(fuse, lamp)], comes_and_goes=True)
    assert table.suspects[0] == "nothing wrong" and f"{fuse} + {lamp}" in table.suspects
    restless = [s for s, name in enumerate(table.suspects) if name.endswith(("wiggled", "when warm"))]
    assert restless and "wiggle" in table.kinds
    quiet = [Observation(test=t, outcome=int(table.outcomes[0, t, 0])) for t in range(len(table.tests))
             if table.kinds[t] != "look"]
    weight = weights(table, quiet)
    assert 0 in left(weight) and set(restless) <= set(left(weight))
    assert all(weight[s] / table.priors[s] < weight[0] / table.priors[0] for s in restless
               if not table.plain[s].all())


def test_a_short_lights_the_loading_lamp_in_place_of_its_fuse():
    """trade.md, "blows on ON": 21 W in the empty holder lights fully behind a short, and not behind a lamp's own load.

    A short that has not blown its fuse yet is a suspect of its own there, beside all others that have not.
    """
    board = kit.machine("bench-board")
    table = job_table(board)
    short = ("W3 shorted to ground",)
    assert next(case for case in board.cases.values() if "blows" in case.owner.lower()).faults == short
    singles = [name for name in table.suspects if name.endswith("shorted to ground")]
    assert len(singles) > 3 and short[0] in singles
    on = {"switch": "on"}
    test = next(t for t, key in enumerate(table.keys) if key[0] == "loading lamp" and key[3] == "F1"
                and key[2] == tuple(board.positions(**on).items()))
    said = {name: table.shown[test][table.outcomes[table.suspects.index(name), test, 0]]
            for name in (*short, f"{short[0]} + F1 blown", "S1 stuck open", "F1 blown")}
    # A 21 W lamp in line with the board's own 21 W lamp: half each, dim.
    assert said == {short[0]: "bright", f"{short[0]} + F1 blown": "bright", "S1 stuck open": "out", "F1 blown": "dim"}
