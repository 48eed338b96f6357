"""The reasoning against published problems and closed forms; the source stands beside each."""

import math
from fractions import Fraction
from itertools import combinations, product

import numpy as np
import pytest

from kit.diagnose.belief import weights
from kit.diagnose.bounds import fewest_tests
from kit.diagnose.gain import bits, next_test
from kit.diagnose.plan import by_rule, plan
from kit.diagnose.search import Search
from kit.diagnose.several import conflicts, minimal_hits, minutes_of_looking, order_of_looking
from kit.diagnose.table import OutcomeTable


def any_question(number, priors=None):
    """Suspects with every yes/no test there can be."""
    rows = [[(mask >> s) & 1 for mask in range(1, 1 << (number - 1))] for s in range(number)]
    return OutcomeTable.from_arrays(rows, priors=priors)


@pytest.mark.parametrize(("number", "tests"), [(6, 2.667), (8, 3.0), (10, 3.4), (12, 3.667)])
def test_half_split(number, tests):
    """n suspects alike: ⌊log2 n⌋ + 2(n − 2^⌊log2 n⌋)/n tests. Source: binary search (closed form)."""
    whole = math.floor(math.log2(number))
    assert whole + 2 * (number - 2**whole) / number == pytest.approx(tests, abs=5e-4)
    # A chain of parts and a lamp that can be put between any two of them.
    chain = OutcomeTable.from_arrays([[int(s > t) for t in range(number - 1)] for s in range(number)])
    found = plan(chain)
    assert found.certified and found.minutes == pytest.approx(whole + 2 * (number - 2**whole) / number, abs=1e-12)
    assert found.longest == math.ceil(math.log2(number))


def test_huffman():
    """Huffman, Proc. IRE 40, 1952, table I: 3.42 digits on average, entropy 3.355."""
    chances = [.20, .18, .10, .10, .10, .06, .06, .04, .04, .04, .04, .03, .01]
    assert -sum(p * math.log2(p) for p in chances) == pytest.approx(3.355, abs=5e-4)
    found = plan(any_question(len(chances), chances))
    assert found.certified and found.minutes == pytest.approx(3.42, abs=1e-9)
    assert fewest_tests(tuple(sorted(chances)), 2) == pytest.approx(3.42, abs=1e-12)


def test_twelve_coins():
    """MacKay, Information Theory, Inference, and Learning Algorithms, exercise 4.1: 4 against 4 first, 3 weighings."""
    weighings = [
        (left, right) for size in range(1, 7) for left in combinations(range(12), size)
        for right in combinations([coin for coin in range(12) if coin not in left], size) if left < right
    ]
    side = np.zeros((12, len(weighings)), int)
    for number, (left, right) in enumerate(weighings):
        side[list(left), number], side[list(right), number] = 1, -1
    coins = OutcomeTable.from_arrays(np.concatenate([side, -side]) + 1)
    start = weights(coins)
    told = bits(coins, start)
    best = [len(weighings[t][0]) for t in np.flatnonzero(told > told.max() - 1e-9)]
    assert told.max() == pytest.approx(1.585, abs=5e-4) and set(best) == {4}
    searching = Search(coins, width=1)
    found = searching.found(start, budget=8)
    assert found.certified and found.minutes == pytest.approx(3.0, abs=1e-12)
    grown = plan(coins, budget=8, search=searching)
    assert grown.longest == 3 and grown.minutes == pytest.approx(3.0, abs=1e-12) and grown.certified


# De Kleer and Williams' board: what each part makes of its inputs, in an order that needs no going back.
BOARD = {
    "M1": ("X", "A", "C", lambda a, c: a * c), "M2": ("Y", "B", "D", lambda b, d: b * d),
    "M3": ("Z", "C", "E", lambda c, e: c * e), "A1": ("F", "X", "Y", lambda x, y: x + y),
    "A2": ("G", "Y", "Z", lambda y, z: y + z),
}
GIVEN = {"A": 3, "B": 2, "C": 2, "D": 3, "E": 3, "F": 10, "G": 12}


def board_can_be(sound):
    """Whether inputs and readings fit with these parts sound and the others doing anything (whole numbers 0 to 14)."""
    for values in product(range(15), repeat=3):
        now = GIVEN | dict(zip("XYZ", values, strict=True))
        if all(now[out] == work(now[one], now[other]) for part, (out, one, other, work) in BOARD.items()
               if part in sound):
            return True
    return False


def test_conflicts_and_diagnoses_of_the_multipliers_and_adders():
    """De Kleer and Williams, Artificial Intelligence 32, 1987."""
    found = conflicts(tuple(BOARD), board_can_be)
    assert {frozenset(one) for one in found} == {frozenset({"A1", "M1", "M2"}), frozenset({"A1", "A2", "M1", "M3"})}
    assert {frozenset(one) for one in minimal_hits(found)} == {
        frozenset({"A1"}), frozenset({"M1"}), frozenset({"A2", "M2"}), frozenset({"M2", "M3"})
    }


@pytest.mark.parametrize("first", [.1, .3, .5, .62, .9])
@pytest.mark.parametrize("costs", [(1, 1), (3, 1), (2, 5), (1, 9)])
def test_two_causes(first, costs):
    """Check cause 1 first iff C1/p ≤ C2/(1 − p). Source: Heckerman, Breese and Rommelse, CACM 38, 1995."""
    order = order_of_looking([first, 1 - first], costs)
    one_first, two_first = (minutes_of_looking(way, [first, 1 - first], costs) for way in ((0, 1), (1, 0)))
    assert (order[0] == 0) == (costs[0] / first <= costs[1] / (1 - first))
    assert minutes_of_looking(order, [first, 1 - first], costs) == min(one_first, two_first)


def test_order_of_repairs():
    """p .5 .3 .15 .05, looks 10 2 1 8, repairs 20 5 30 40: 26.60, likeliest first 29.60 (references.md, computed)."""
    chances, looks, repairs = [.5, .3, .15, .05], [10, 2, 1, 8], [20, 5, 30, 40]
    order = order_of_looking(chances, looks)
    assert minutes_of_looking(order, chances, looks, repairs) == pytest.approx(26.60, abs=1e-9)
    assert minutes_of_looking((0, 1, 2, 3), chances, looks, repairs) == pytest.approx(29.60, abs=1e-9)


def test_the_greedy_rule_is_not_the_optimum():
    """Five suspects, five tests: optimum 2.11, greedy 2.12 (references.md, computed)."""
    rows = [[int(digit) for digit in row] for row in ("00000", "01001", "00110", "10011", "11110")]
    table = OutcomeTable.from_arrays(rows, priors=[.70, .01, .02, .10, .17])
    found = plan(table)
    assert found.certified and found.minutes == pytest.approx(2.11, abs=1e-9)
    assert by_rule(table).minutes == pytest.approx(2.12, abs=1e-9)
    assert next_test(table, weights(table)).test != found.root.test
    # The same in fractions, by trying everything.
    chances = [Fraction(n, 100) for n in (70, 1, 2, 10, 17)]

    def least(left):
        splits = [[s for s in left if rows[s][t] == o] for t in range(5) for o in (0, 1)]
        pairs = [pair for pair in zip(splits[::2], splits[1::2], strict=True) if all(pair)]
        here = sum(chances[s] for s in left)
        return 0 if len(left) == 1 else here + min(least(one) + least(other) for one, other in pairs)

    assert least(list(range(5))) == Fraction(211, 100)
