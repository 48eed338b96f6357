"""Readings by the thousand say what the instruments say one by one, and come back from disk as they were."""

import random

import numpy as np
import pytest

import kit
from kit.circuit import Change, Fault
from kit.errors import FaultError, OperationError
from kit.instruments import LedLamp, Multimeter, TestLamp, lamp_words
from kit.instruments import sweep as reading_sweep
from kit.instruments.reading import swings
from kit.instruments.sweep import alone_and_in_pairs, at, sweep
from kit.solve import Outcome, State

BIKE = kit.machine("orchard-bike")
POSITIONS = tuple(BIKE.all_positions())
POINTS = tuple(str(terminal) for terminal in BIKE.points)
PAIRS = [(a, b) for k, a in enumerate(POINTS) for b in POINTS[k + 1:]]
TOOLS = (
    TestLamp(clip="G1.-", tip="G1.+"), Multimeter("volts", black="G1.-", red="G1.+"),
    TestLamp(clip="G1.-", tip="G1.+", watts=21.0),
)
WITHIN = 2e-3  # volts


@pytest.fixture(autouse=True)
def folder(tmp_path, monkeypatch):
    monkeypatch.setenv("KIT_CACHE", str(tmp_path))
    return tmp_path


def test_what_is_shown_is_what_the_instrument_shows_by_itself():
    """600 readings drawn from all faults, some in pairs, all positions and pairs of leads; every chatter among them."""
    rng = random.Random("readings")
    ids = list(BIKE.faults)
    faults = [(), *((fault,) for fault in ids), *(tuple(rng.sample(ids, 2)) for _ in range(60))]
    positions = [*map(dict, POSITIONS[::3]), {"key": "on", "start_button": "pressed"}]
    found = sweep(BIKE, faults=faults, instruments=TOOLS, leads=PAIRS[::31], positions=positions)
    assert found.volts.shape == (len(faults), len(positions), len(TOOLS), len(PAIRS[::31]))
    cases = [tuple(rng.randrange(size) for size in found.volts.shape) for _ in range(500)]
    jumping = np.argwhere(~np.isnan(found.other_volts))
    cases += [tuple(map(int, case)) for case in jumping[:: max(1, len(jumping) // 50)]]
    full = [tuple(map(int, case)) for case in np.argwhere(found.in_full)]
    cases += rng.sample(full, 50)
    seen = set()
    for f, p, i, k in cases:
        now = BIKE.operate(*faults[f], **positions[p])
        tool = at(TOOLS[i], found.leads[k])
        on = tool.put_on(now)
        theirs = [swing.across[tool.body()[0].id] for swing in swings(on.solution)]
        mine = [float(volts[f, p, i, k]) for volts in (found.volts, found.other_volts)][: len(theirs)]
        assert mine == pytest.approx(theirs, abs=WITHIN), (faults[f], positions[p], tool)
        shown, expected = found.reading(f, p, i, k), tool.shows(on)
        assert shown.leads == expected.leads and shown.instrument == expected.instrument
        if isinstance(tool, TestLamp):
            assert shown.shown in expected.accepts, (faults[f], positions[p], tool)
        elif expected.value is not None:
            # 2 mV may tip the last digit, and no more.
            assert shown.value == pytest.approx(expected.value, abs=0.0101)
        else:
            assert shown.shown.startswith("jumps between")
        seen.add((shown.instrument, shown.shown if isinstance(tool, TestLamp) else on.solution.outcome))
    assert {("test lamp", word) for word in ("out", "glow", "dim", "bright", "flickers")} <= seen
    assert ("multimeter", Outcome.CHATTERS) in {(name, what) for name, what in seen} or jumping.size


def test_the_machine_without_an_instrument_comes_along():
    found = sweep(BIKE, faults=[(), ("F1 blown",)], instruments=TOOLS[:1], leads=[("G1.-", "F1.2")],
                  positions=[{"key": "on"}, {"key": "on", "start_button": "pressed"}])
    assert found.cases.closed[:, :, found.cases.relays.index("K1")].tolist() == [[False, True], [False, False]]
    assert [lamp_words(volts)[0] for volts in found.volts[:, 0, 0, 0]] == ["bright", "out"]


def test_the_second_time_it_comes_from_disk(folder, monkeypatch):
    asked = {"faults": [(), ("F1 blown",)], "instruments": TOOLS, "leads": PAIRS[::50], "positions": [{"key": "on"}]}
    first = sweep(BIKE, **asked)
    assert len(list(folder.glob("*.npz"))) == 1

    def never(*_):
        raise AssertionError("worked out again")
    monkeypatch.setattr(reading_sweep, "probe", never)
    second = sweep(BIKE, **asked)
    for name in ("volts", "other_volts", "in_full"):
        np.testing.assert_array_equal(getattr(first, name), getattr(second, name))
    assert second.cases.terminals == first.cases.terminals
    np.testing.assert_array_equal(first.cases.codes, second.cases.codes)
    assert second.reading(1, 0, 0, 1) == first.reading(1, 0, 0, 1)
    # A damaged file is worked out again, which the stand-in notices.
    kept = next(folder.glob("*.npz"))
    kept.write_bytes(kept.read_bytes()[:-100])
    with pytest.raises(AssertionError, match="worked out again"):
        sweep(BIKE, **asked)


@pytest.mark.parametrize("other", [
    {"faults": [("F2 blown",)]}, {"leads": [("G1.-", "F1.1")]}, {"positions": [{"key": "off"}]},
    {"before": State(melted=frozenset({"F1"}))}, {"before": State(closed=frozenset({"K1"}))},
    {"instruments": TOOLS[2:]}, {"wiggled": ("W7",)}, {"warm": ("K1",)},
    {"faults": [(Fault(id="F1 blown", part="F1", edit=Change(field="ohms", value=1.0)),)]},
])
def test_another_question_is_another_file(folder, other):
    asked = {"faults": [("F1 blown",)], "instruments": TOOLS[:1], "leads": [("G1.-", "F1.2")],
             "positions": [{"key": "on"}]}
    sweep(BIKE, **asked)
    sweep(BIKE, **(asked | other))
    assert len(list(folder.glob("*.npz"))) == 2


def test_a_fault_that_comes_when_wiggled():
    fault = next(name for name in BIKE.faults if name.endswith("open when wiggled"))
    part = fault.split(" ")[0]
    asked = {"faults": [(), (fault,)], "instruments": TOOLS[1:2], "leads": [("G1.-", p) for p in POINTS],
             "positions": [{"key": "on", "start_button": "pressed"}]}
    still, moved = sweep(BIKE, **asked), sweep(BIKE, **asked, wiggled=(part,))
    np.testing.assert_array_equal(still.volts[0], still.volts[1])
    assert np.abs(moved.volts[0] - moved.volts[1]).max() > 1.0


def test_every_single_fault_and_every_two():
    sets = list(alone_and_in_pairs(BIKE))
    n = len(BIKE.faults)
    assert len(sets) == len(set(sets)) == 1 + n + n * (n - 1) // 2 and sets[0] == ()


@pytest.mark.parametrize(("change", "error", "message"), [
    ({"faults": [("F9 blown",)]}, FaultError, "no fault 'F9 blown'"),
    ({"positions": [{"key": "sideways"}]}, OperationError, "key cannot be 'sideways'"),
    ({"leads": [("G1.-", "F1.3")]}, OperationError, "there is no terminal F1.3: fuse F1 has no terminal '3'"),
    ({"instruments": [LedLamp(clip="G1.-", tip="G1.+")]}, OperationError, "a sweep takes test lamps and multimeters"),
    ({"instruments": [Multimeter("ohms", black="G1.-", red="G1.+")]}, OperationError, "on volts or millivolts"),
    ({"faults": []}, OperationError, "at least one set of faults"),
    ({"leads": []}, OperationError, "at least one set of faults"),
])
def test_what_cannot_be_asked(change, error, message):
    asked = {"faults": [()], "instruments": TOOLS, "leads": [("G1.-", "F1.1")], "positions": [{"key": "on"}]}
    with pytest.raises(error, match=message):
        sweep(BIKE, **(asked | change))
