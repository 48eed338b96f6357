"""The mathematics of the reasoning on plain tables: against brute force, against itself, and with nothing lost."""

from functools import cache

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from kit.diagnose import gain, wide
from kit.diagnose.belief import Observation, chances, groups, left, settled, sign, weights
from kit.diagnose.bounds import by_information
from kit.diagnose.plan import End, by_rule, plan
from kit.diagnose.search import Search
from kit.diagnose.several import fewest_hits, minimal_hits
from kit.diagnose.table import OutcomeTable
from kit.diagnose.worth import Account, Worth
from kit.errors import DiagnosisError


def random_table(seed, suspects=7, tests=6, outcomes=3, units=0, edges=0.0):
    rng = np.random.default_rng(seed)
    cells = rng.integers(0, outcomes, (suspects, tests, 2))
    likely = np.zeros(cells.shape)
    likely[:, :, 0] = np.where(rng.random((suspects, tests)) < edges, 0.5, 1.0)
    cells[:, :, 1] = (cells[:, :, 0] + 1) % outcomes
    likely[:, :, 1] = 1.0 - likely[:, :, 0]
    return OutcomeTable.from_arrays(
        cells, likelihoods=likely, priors=rng.random(suspects) + 0.02, minutes=rng.integers(1, 12, tests),
        units=[f"part {s % units}" for s in range(suspects)] if units else (),
    )


def brute_force(table):
    """The least expected minutes, every plan tried; written from the definition, sharing nothing with the search."""
    rows = table.outcomes[:, :, 0].tolist()

    @cache
    def least(suspects):
        if len({table.units[s] for s in suspects}) == 1 or len({tuple(rows[s]) for s in suspects}) == 1:
            return 0.0
        values = []
        for test in range(len(table.tests)):
            parts = {}
            for s in suspects:
                parts.setdefault(rows[s][test], []).append(s)
            if len(parts) > 1:
                inner = sum(least(tuple(part)) for part in parts.values())
                values.append(table.minutes[test] * sum(table.priors[s] for s in suspects) + inner)
        return min(values)
    return least(tuple(range(len(rows))))


@pytest.mark.parametrize("seed", range(40))
def test_the_plan_is_the_optimum(seed):
    table = random_table(seed, suspects=5 + seed % 5, tests=4 + seed % 4, outcomes=2 + seed % 3, units=seed % 6)
    found = plan(table)
    best = brute_force(table)
    assert found.certified
    assert found.minutes == pytest.approx(best, abs=1e-12)
    assert Search(table).bound(weights(table)) <= best + 1e-12
    for rule in (gain.next_test, gain.half_split):
        assert by_rule(table, rule).minutes >= best - 1e-12
    # Where it ends nothing is left to find out, and everybody is somewhere.
    assert all(settled(table, end.suspects) for end in found.ends)
    assert sorted(s for end in found.ends for s in end.suspects) == list(range(len(table.suspects)))
    assert sum(end.share for end in found.ends) == pytest.approx(1.0)


@pytest.mark.parametrize("seed", range(12))
def test_bounds_and_large_states(seed):
    """With the small states' help taken away, what is found lies between the bound and what the rules take."""
    table = random_table(seed, suspects=9, tests=7, outcomes=2, units=5 * (seed % 2))
    best = brute_force(table)

    class Blind(Search):
        def solved(self, weight, most=18):
            return super().solved(weight, min(most, 3))
    rolled, proved = Blind(table, small=3).found(weights(table)), Blind(table, small=3).found(weights(table), 500)
    for found in (rolled, proved):
        assert found.bound - 1e-12 <= best <= found.minutes + 1e-12
    assert proved.minutes <= rolled.minutes + 1e-12 and proved.bound >= rolled.bound - 1e-12
    assert not rolled.certified or rolled.minutes == pytest.approx(best)


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 10**6), st.integers(2, 9), st.integers(2, 8), st.integers(2, 4), st.integers(0, 5),
       st.integers(1, 4), st.integers(0, 400))
def test_no_plan_beats_the_bound_and_what_is_proved_is_the_optimum(
    seed, suspects, tests, outcomes, units, bundle, budget
):
    """In bundles of any size, with a budget that lasts or not, in the whole and in every state a test leaves."""
    table = random_table(seed, suspects=suspects, tests=tests, outcomes=outcomes, units=units)
    search = Search(table, small=0)
    if search.over(weights(table)):
        return
    members, loads, target, useful = search._classes(weights(table))
    cells = table.outcomes[np.ix_(members, useful, [0])][:, :, 0]
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(wide, "BUNDLE", bundle)
        patch.setattr(wide, "FEW", 2)
        order = wide.Wide(cells, loads, table.minutes[useful], target)
        limit = by_rule(table).minutes * (1.0 + 1e-9)
        low = order.search(order.whole, limit, budget)
    states = [range(len(loads)), *(np.flatnonzero(cells[:, t] == o) for t in range(len(useful))
                                   for o in range(outcomes))]
    for left_ in map(list, states):
        if not left_:
            continue
        best, state = _least(cells, loads, table.minutes[useful], target, tuple(left_)), order.state(left_)
        for bound in (order.bound, order._by_counting, order._by_certificates):
            assert bound(state) <= best + 1e-12, bound
        if (known := order.known(state)) is not None:
            assert known[0] == pytest.approx(best, abs=1e-12)
            assert (known[1] is None) == (best == 0.0)
    best = _least(cells, loads, table.minutes[useful], target, tuple(range(len(loads))))
    assert low <= best + 1e-12
    # With all the budget it needs it always knows.
    order.search(order.whole, limit, 10**9)
    assert order.known(order.whole)[0] == pytest.approx(best, abs=1e-12)


def _least(cells, loads, minutes, target, members):
    """The least minutes times weight by trying every plan; written from the definition."""
    if len({int(target[m]) for m in members}) == 1:
        return 0.0
    found = []
    for test, cost in enumerate(minutes):
        parts = {}
        for m in members:
            parts.setdefault(int(cells[m, test]), []).append(m)
        if len(parts) > 1:
            inner = sum(_least(cells, loads, minutes, target, tuple(part)) for part in parts.values())
            found.append(float(cost) * sum(float(loads[m]) for m in members) + inner)
    return min(found)


def test_forty_classes_are_proved_where_the_bound_is_close():
    """A chain of forty joints and a lamp on any of them: halving by weight, and it is known to be best."""
    cells = (np.arange(40)[:, None] <= np.arange(39)[None, :]).astype(int)
    table = OutcomeTable.from_arrays(cells, priors=1.0 + np.arange(40) % 3)
    found = plan(table)
    # In a chain the best order is known from elsewhere: dynamic programming over stretches (Knuth, Acta Inf. 1, 1971).
    heavy = np.concatenate([[0.0], np.cumsum(table.priors)])
    least = np.zeros((41, 41))
    for size in range(2, 41):
        for first in range(41 - size):
            end = first + size
            least[first, end] = heavy[end] - heavy[first] + min(
                least[first, cut] + least[cut, end] for cut in range(first + 1, end))
    assert found.certified and found.minutes == pytest.approx(least[0, 40], abs=1e-9)


def test_nineteen_classes_without_a_proof_are_not_called_best():
    rng = np.random.default_rng(5)
    table = OutcomeTable.from_arrays(rng.integers(0, 2, (40, 30)), priors=rng.random(40) + 0.1,
                                     minutes=rng.integers(1, 9, 30))
    found = plan(table, budget=0)
    assert not found.certified and 0 < found.bound < found.minutes
    assert "at most" in found.standing() and "no other order" not in found.standing()
    assert found.minutes <= by_rule(table).minutes + 1e-9


def test_information_bound_is_below_a_known_optimum():
    """Eight alike, three perfect halvings of a minute each: three minutes, and the bound says so."""
    masses = np.full((3, 2), 0.5)
    assert by_information(masses, np.ones(3), 3.0) == pytest.approx(3.0, rel=0.02)
    assert by_information(masses, np.ones(3), 3.0) <= 3.0 + 1e-9


def test_bits_are_mutual_information():
    """Against the definition, summed in plain Python."""
    table = random_table(3, suspects=6, tests=5, units=3, edges=0.4)
    weight = table.priors.copy()
    weight[2] = 0.0
    share = chances(weight)
    for names, by_unit in ((table.suspects, False), (table.units, True)):
        for test, told in enumerate(gain.bits(table, weight, by_unit)):
            joint = {}
            for s, name in enumerate(names):
                for o, likely in zip(table.outcomes[s, test], table.likelihoods[s, test], strict=True):
                    joint[name, o] = joint.get((name, o), 0.0) + share[s] * likely
            one, other = {}, {}
            for (name, o), p in joint.items():
                one[name], other[o] = one.get(name, 0.0) + p, other.get(o, 0.0) + p
            mine = sum(p * np.log2(p / (one[n] * other[o])) for (n, o), p in joint.items() if p > 0)
            assert told == pytest.approx(mine, abs=1e-12)


def test_ties_go_to_the_quicker_then_the_earlier():
    rows = [[0, 0, 0, 0], [1, 1, 1, 1]]
    assert gain.next_test(OutcomeTable.from_arrays(rows), np.ones(2)).test == 0
    dearer = OutcomeTable.from_arrays(rows, minutes=[3, 2, 2, 5])
    assert gain.next_test(dearer, np.ones(2)).test == 1
    assert gain.next_test(dearer, np.ones(2), available=[0, 3]).test == 0
    assert gain.next_test(dearer, np.array([1.0, 0.0])) is None


def test_a_unit_split_by_no_single_test_is_still_split():
    """Two units told apart only by two tests together: no bits about the unit, so those about suspects count."""
    table = OutcomeTable.from_arrays([[0, 0], [1, 1], [0, 1], [1, 0]], units=["a", "a", "b", "b"])
    assert gain.bits(table, table.priors, True).max() == pytest.approx(0.0, abs=1e-12)
    assert gain.next_test(table, table.priors) is not None
    assert plan(table).minutes == pytest.approx(2.0)


@settings(max_examples=60, deadline=None)
@given(st.integers(0, 10**6), st.floats(0.0, 1.0), st.floats(0.2, 1.0))
def test_the_planted_one_always_survives(seed, edges, trust):
    """Whatever tests are done in whatever order, near an edge or trusted by half, the true suspect stays in."""
    table = random_table(seed, suspects=8, tests=9, edges=edges)
    rng = np.random.default_rng(seed)
    true, seen = int(rng.integers(8)), []
    for test in rng.permutation(9):
        outcome = int(rng.choice(table.outcomes[true, test], p=table.likelihoods[true, test]))
        # A hasty reader may even misread it: then trust is below one, and nobody is ruled out for good.
        wrong = trust < 1.0 and rng.random() > trust
        seen.append(Observation(test=int(test), outcome=(outcome + 1) % 3 if wrong else outcome, trust=trust))
        weight = weights(table, seen)
        assert true in left(weight)
        if edges == 0.0 and trust == 1.0:
            rows = table.outcomes[:, [one.test for one in seen], 0]
            assert left(weight) == tuple(s for s in range(8) if (rows[s] == rows[true]).all())


def test_what_comes_and_goes_is_weakened_and_not_ruled_out():
    """A sound outcome lowers a fault that shows one time in five; its own outcome leaves nobody else."""
    table = OutcomeTable.from_arrays(
        [[[0, 0]], [[1, 0]], [[1, 1]]], likelihoods=[[[1, 0]], [[0.2, 0.8]], [[1, 0]]], priors=[0.4, 0.4, 0.2],
    )
    well = weights(table, [Observation(test=0, outcome=0)])
    assert left(well) == (0, 1) and chances(well)[1] == pytest.approx(0.8 / 1.8)
    assert left(weights(table, [Observation(test=0, outcome=1)])) == (1, 2)
    # Reading the same lamp twice is reading it once.
    assert (weights(table, [Observation(test=0, outcome=0)] * 3) == well).all()
    assert (sign(table, Observation(test=0, outcome=0, trust=0.0)) > 0).all()


def test_ambiguity_groups_depend_on_the_tests_at_hand():
    table = OutcomeTable.from_arrays([[0, 0], [0, 1], [1, 1], [1, 1]])
    assert groups(table, range(4)) == ((0,), (1,), (2, 3))
    assert groups(table, range(4), [0]) == ((0, 1), (2, 3))
    assert settled(table, (2, 3)) and not settled(table, (0, 1)) and settled(table, (0, 1), [0])
    ended = plan(table)
    assert {end.suspects for end in ended.ends} == {(0,), (1,), (2, 3)}


def test_joined_cells_never_split_what_an_edge_joins():
    table = random_table(11, suspects=8, tests=12, outcomes=4, edges=0.15)
    joined = table.joined()
    assert joined.plain.all()
    for test in range(12):
        for s in range(8):
            for other in range(8):
                mine, theirs = (set(table.outcomes[x, test][table.likelihoods[x, test] > 0]) for x in (s, other))
                if mine & theirs:
                    assert joined.outcomes[s, test, 0] == joined.outcomes[other, test, 0]


def test_a_test_said_twice_is_kept_once_and_the_cheaper():
    table = OutcomeTable.from_arrays([[0, 2, 1, 0], [1, 0, 1, 0], [1, 0, 1, 1]], minutes=[3, 2, 1, 1])
    kept = table.worth_keeping()
    assert kept.tests == ("test 2", "test 4")


@settings(max_examples=30, deadline=None)
@given(st.integers(0, 10**6), st.integers(3, 24))
def test_minutes_are_regret_luck_and_gap(seed, suspects):
    """The account balances on any run, good or bad, proved or not: nothing is clamped."""
    table = random_table(seed, suspects=suspects, tests=9, units=seed % 7)
    rng, worth, weight, acts = np.random.default_rng(seed), Worth(table), weights(table), []
    true = int(rng.integers(suspects))
    for test in rng.permutation(9)[: rng.integers(1, 9)]:
        parts = list(worth.search.parts(weight, int(test)))
        outcome = int(rng.choice(table.outcomes[true, test], p=table.likelihoods[true, test]))
        shown = [o for o, _ in parts].index(outcome)
        # Never cheaper than the table says; with leads already in place it may be, and that shows in the gap.
        minutes = float(table.minutes[test] + rng.integers(0, 9))
        acts.append(worth.judged(weight, [part for _, part in parts], shown, minutes))
        weight = parts[shown][1]
    account = Account(acts=tuple(acts))
    assert account.spent == pytest.approx(
        account.expected - account.left + account.regret + account.luck + account.gap, abs=1e-9
    )
    assert all(act.regret >= -1e-12 for act in acts)
    assert all(act.gap == pytest.approx(0.0, abs=1e-9) for act in acts if act.proved)
    assert 0.0 <= account.efficiency <= 1.0


def test_following_the_plan_has_no_regret():
    table = random_table(2, suspects=9, tests=8, outcomes=2)
    worth, found = Worth(table), plan(table)
    for true in range(9):
        at, weight, acts = found.root, weights(table), []
        while not isinstance(at, End):
            parts = list(worth.search.parts(weight, at.test))
            shown = [o for o, _ in parts].index(table.outcomes[true, at.test, 0])
            acts.append(worth.judged(weight, [part for _, part in parts], shown, at.minutes))
            weight, at = parts[shown][1], dict(at.branches)[int(table.outcomes[true, at.test, 0])]
        account = Account(acts=tuple(acts))
        assert account.regret == pytest.approx(0.0, abs=1e-9) and account.left == 0.0
        assert account.spent == pytest.approx(account.expected + account.luck, abs=1e-9)


def test_small_slips_do_not_count():
    table = OutcomeTable.from_arrays([[0, 0, 0], [1, 1, 0]], minutes=[10, 11.5, 30])
    worth, start = Worth(table), weights(table)
    parts = [part for _, part in worth.search.parts(start, 0)]
    near = worth.judged(start, parts, 0, 11.5)
    assert near.regret == pytest.approx(1.5) and near.counted == 0.0 and near.instead == 0
    idle = worth.judged(start, [start], 0, 30.0)
    assert idle.regret == pytest.approx(30.0) == idle.counted


def test_a_plan_asks_for_plain_cells():
    with pytest.raises(DiagnosisError, match="plain cells"):
        plan(random_table(1, edges=0.5))


def test_the_same_question_has_the_same_answer():
    first, second = (plan(random_table(9, suspects=25, tests=14, outcomes=2), budget=20) for _ in range(2))
    assert first.chart() == second.chart() and first.minutes == second.minutes and first.bound == second.bound


def test_hitting_sets():
    sets = [{"a", "b"}, {"b", "c"}, {"d"}]
    assert fewest_hits(sets) == ("b", "d")
    assert {frozenset(hit) for hit in minimal_hits(sets)} == {frozenset("bd"), frozenset("acd")}
    assert fewest_hits([]) == () and minimal_hits([]) == (frozenset(),)


@pytest.mark.parametrize(("change", "message"), [
    ({"minutes": [1, 0]}, "must take more than no time"),
    ({"priors": [1, 0]}, "chances of the suspects must be above nought"),
    ({"priors": [1]}, "needs 2 priors"),
    ({"likelihoods": [[[0.5], [1]], [[1], [1]]]}, "likelihoods of each cell sum to one"),
    ({"suspects": ["a"]}, "needs outcomes and likelihoods of"),
])
def test_tables_that_do_not_fit(change, message):
    with pytest.raises(DiagnosisError, match=message):
        OutcomeTable.from_arrays([[0, 1], [1, 0]], **change)
