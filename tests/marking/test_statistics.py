"""The statistics of a class against published figures and an independent library."""

import math
from fractions import Fraction
from itertools import product

import pandas
import pingouin
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import pearsonr

from kit.marking.statistics import agreement, correlation, items, reliability

# LSAT section 6, 1,000 people on 5 items: counts of the patterns 00000, 00001, … 11111. Source: Bock & Lieberman 1970.
COUNTS = (
    3, 6, 2, 11, 1, 1, 3, 4, 1, 8, 0, 16, 0, 3, 2, 15, 10, 29, 14, 81, 3, 28, 15, 80, 16, 56, 21, 173, 11, 61, 28, 298,
)
LSAT = [row for row, count in zip(product((0, 1), repeat=5), COUNTS, strict=True) for _ in range(count)]
ONES = (1,) * 5


def test_the_published_difficulties_and_item_rest_correlations():
    found = items(LSAT, ONES)
    assert [one.difficulty for one in found] == pytest.approx([0.924, 0.709, 0.553, 0.763, 0.870], abs=5e-4)
    assert [one.rest for one in found] == pytest.approx([0.1128, 0.1532, 0.1728, 0.1444, 0.1216], abs=5e-5)


def test_kr_20_is_the_published_one_and_by_fractions():
    found = reliability(LSAT, ONES, cut=3)
    assert found.alpha == pytest.approx(0.29500, abs=5e-6)
    n = len(LSAT)
    shares = [Fraction(sum(row[k] for row in LSAT), n) for k in range(5)]
    totals = [sum(row) for row in LSAT]
    spread = Fraction(sum(t * t for t in totals), n) - Fraction(sum(totals), n) ** 2
    exact = Fraction(5, 4) * (1 - sum(p * (1 - p) for p in shares) / spread)
    assert found.alpha == pytest.approx(float(exact), abs=1e-12)


def test_alpha_and_its_interval_are_those_of_an_independent_library():
    alpha, (low, high) = pingouin.cronbach_alpha(data=pandas.DataFrame(LSAT))
    found = reliability(LSAT, ONES)
    assert found.alpha == pytest.approx(alpha, abs=1e-12)
    assert (found.low, found.high) == pytest.approx((low, high), abs=1e-3)  # it rounds to three places


def test_the_error_of_a_total_and_at_the_cut():
    """By hand: spread × √(1 − alpha); at 3 of 5, √(3·2/4) times Keats's √((1 − KR-20)/(1 − KR-21))."""
    found = reliability(LSAT, ONES, cut=3)
    totals = [sum(row) for row in LSAT]
    mean = sum(totals) / 1000
    spread = sum((t - mean) ** 2 for t in totals) / 999
    assert found.error == pytest.approx(math.sqrt(spread * (1 - 0.29500)), rel=1e-4)
    kr21 = 5 / 4 * (1 - mean * (5 - mean) / (5 * spread))
    assert found.at_cut == pytest.approx(math.sqrt(1.5 * (1 - found.alpha) / (1 - kr21)), rel=1e-12)


@settings(max_examples=50, deadline=None)
@given(st.lists(st.tuples(*[st.integers(0, 4)] * 4), min_size=3, max_size=20))
def test_any_class_gives_figures_or_none_and_correlations_are_scipy_s(scores):
    found = items(scores, (4,) * 4)
    totals = [sum(row) for row in scores]
    for place, one in enumerate(found):
        column = [row[place] for row in scores]
        rest = [total - mine for total, mine in zip(totals, column, strict=True)]
        assert 0 <= one.difficulty <= 1
        if one.rest is None:
            assert len(set(column)) == 1 or len(set(rest)) == 1
        else:
            assert one.rest == pytest.approx(pearsonr(column, rest).statistic, abs=1e-9)
    whole = reliability(scores, (4,) * 4, cut=8)
    assert whole is None or whole.low <= whole.alpha <= whole.high


def test_kappa_is_the_textbook_one():
    """Two readers, 50 proposals: both yes 20, both no 15, 5 and 10 apart: 0.4 (Cohen 1960's formula; recalled, from
    memory, as the usual worked example)."""
    one = ["yes"] * 25 + ["no"] * 25
    other = ["yes"] * 20 + ["no"] * 5 + ["yes"] * 10 + ["no"] * 15
    assert agreement(one, other) == pytest.approx(0.4)
    assert agreement(["yes"], ["yes"]) is None and agreement([], []) is None


def test_where_nothing_varies_there_is_no_figure():
    assert correlation([1, 1, 1], [1, 2, 3]) is None
    assert reliability([[1, 1]] * 5, (1, 1)) is None and reliability([[1, 0]] * 2, (1, 1)) is None
