"""What a class's marks say, against published data sets and against scipy and numpy (test only).

Sources, beside each value: a university's statistics help file with ten students and ten items
(found); the five-item data of section 6 of the Law School Admission Test (Psychometrika 35, 1970,
179-197; as distributed with an open statistics package; from memory); a tutorial's worked alpha of
four respondents (found).
"""

from __future__ import annotations

import random

import pytest

from firstway.desk.analysis import statistics as desk

# "KR20.txt", statistics help file of a US university: ten students, ten items.
STUDENTS = (
    "1111110110",
    "1011011101",
    "1111011001",
    "0010001000",
    "0000010010",
    "1110111111",
    "1101110111",
    "1111111101",
    "0101111101",
    "1101101110",
)
TEN = [[float(row[item]) for row in STUDENTS] for item in range(10)]
TEN_TOTALS = [float(sum(map(int, row))) for row in STUDENTS]

# LSAT section 6: pattern and how many of 1,000 gave it (Psychometrika 35, 1970; from memory).
PATTERNS = (
    "00000 3;00001 6;00010 2;00011 11;00100 1;00101 1;00110 3;00111 4;01000 1;01001 8;01010 0;01011"
    " 16;01100 0;01101 3;01110 2;01111 15;10000 10;10001 29;10010 14;10011 81;10100 3;10101"
    " 28;10110 15;10111 80;11000 16;11001 56;11010 21;11011 173;11100 11;11101 61;11110"
    " 28;11111 298"
)
ROWS = [
    pattern
    for pair in PATTERNS.split(";")
    for pattern, times in [pair.split()]
    for _ in range(int(times))
]
FIVE = [[float(row[item]) for row in ROWS] for item in range(5)]
FIVE_TOTALS = [float(sum(map(int, row))) for row in ROWS]


@pytest.mark.parametrize(
    ("item", "published"), [(1, 0.7), (3, 0.6), (4, 0.7), (6, 0.8), (7, 0.7), (9, 0.5), (10, 0.6)]
)
def test_facility_of_ten_items(item: int, published: float) -> None:
    """Help file KR20.txt (found)."""
    assert desk.facility(TEN[item - 1], 1.0) == pytest.approx(published, abs=1e-12)


@pytest.mark.parametrize(("item", "published"), [(1, 0.924), (3, 0.553), (4, 0.763)])
def test_facility_of_five_items(item: int, published: float) -> None:
    """LSAT section 6 (from memory)."""
    assert desk.facility(FIVE[item - 1], 1.0) == pytest.approx(published, abs=1e-12)


@pytest.mark.parametrize(
    ("item", "with_it", "without_it"), [(1, 0.7946, 0.7059), (3, 0.2027, 0.0), (9, 0.0828, -0.1236)]
)
def test_point_biserial_of_ten_items(item: int, with_it: float, without_it: float) -> None:
    """Computed from the data of KR20.txt (common practice)."""
    assert desk.correlation(TEN[item - 1], TEN_TOTALS) == pytest.approx(with_it, abs=5e-4)
    assert desk.corrected_point_biserial(TEN[item - 1], TEN_TOTALS) == pytest.approx(
        without_it, abs=5e-4
    )


@pytest.mark.parametrize(
    ("item", "with_it", "without_it"),
    [(1, 0.3620, 0.1128), (2, 0.5668, 0.1532), (4, 0.5344, 0.1444), (5, 0.4354, 0.1216)],
)
def test_point_biserial_of_five_items(item: int, with_it: float, without_it: float) -> None:
    """Output of an open statistics package for LSAT section 6 (from memory)."""
    assert desk.correlation(FIVE[item - 1], FIVE_TOTALS) == pytest.approx(with_it, abs=2e-4)
    assert desk.corrected_point_biserial(FIVE[item - 1], FIVE_TOTALS) == pytest.approx(
        without_it, abs=2e-4
    )


@pytest.mark.parametrize(("item", "published"), [(2, 0.2376), (3, 0.2168), (5, 0.2663)])
def test_alpha_without_a_question(item: int, published: float) -> None:
    """The same output (from memory)."""
    assert desk.alpha([*FIVE[: item - 1], *FIVE[item:]]) == pytest.approx(published, abs=2e-4)


def test_alpha_of_four_respondents() -> None:
    """A statistics tutorial's data: item variances 1.6667, 0.9167, 1.6667, totals 13, 10, 15, 7
    (found).
    """
    assert desk.alpha([[4, 3, 5, 2], [5, 4, 5, 3], [4, 3, 5, 2]]) == pytest.approx(0.9796, abs=5e-4)


def test_alpha_of_ones_and_noughts_is_kr_20() -> None:
    """KR-20 as Kuder and Richardson wrote it in 1937, with the variance of the population (from
    memory).
    """
    shares = [sum(item) / len(item) for item in TEN]
    middle = sum(TEN_TOTALS) / 10
    spread = sum((total - middle) ** 2 for total in TEN_TOTALS) / 10
    kr_20 = 10 / 9 * (1 - sum(share * (1 - share) for share in shares) / spread)
    assert desk.alpha(TEN) == pytest.approx(kr_20, abs=1e-12)


def test_against_an_independent_library() -> None:
    """numpy's correlation and covariance, scipy's F distribution and binomial sums, on classes
    drawn at random.
    """
    numpy, stats = pytest.importorskip("numpy"), pytest.importorskip("scipy.stats")
    draw = random.Random(7)
    for _ in range(30):
        learners, items = draw.randint(5, 60), draw.randint(3, 25)
        skill = [draw.gauss(0, 1) for _ in range(learners)]
        marks = [
            [float(draw.gauss(0, 1) + each > draw.uniform(-1, 1)) for each in skill]
            for _ in range(items)
        ]
        totals = [sum(row) for row in zip(*marks)]
        found = desk.alpha(marks)
        table = numpy.array(marks)
        if table.sum(axis=0).std() > 0:
            assert desk.variance(totals) == pytest.approx(table.sum(axis=0).var(), abs=1e-12)
            assert desk.standard_error(marks) == pytest.approx(
                table.sum(axis=0).std() * max(0.0, 1 - (found or 0.0)) ** 0.5, abs=1e-9
            )
            whole = numpy.cov(table).sum()
            assert found == pytest.approx(
                items / (items - 1) * (1 - numpy.trace(numpy.cov(table)) / whole), abs=1e-12
            )
        for item in marks:
            own = desk.correlation(item, totals)
            if own is not None:
                assert own == pytest.approx(numpy.corrcoef(item, totals)[0, 1], abs=1e-12)
                assert own == pytest.approx(stats.pointbiserialr(item, totals)[0], abs=1e-12)
        low, high = draw.uniform(0.001, 0.3), draw.uniform(1.0, 500.0)
        for probability in (low, 0.5, 1 - low):
            assert desk.f_quantile(probability, learners, high) == pytest.approx(
                stats.f.ppf(probability, learners, high), rel=1e-9
            )
        chance, count = draw.random(), draw.randint(0, items)
        assert desk.at_least(count, [chance] * items) == pytest.approx(
            stats.binom.sf(count - 1, items, chance), abs=1e-12
        )


def test_interval_of_alpha() -> None:
    """Twelve items, forty learners, alpha 0.626297: 0.429 to 0.777 by an open statistics library
    (found).
    """
    low, high = desk.alpha_interval(0.626297, 40, 12) or (0.0, 0.0)
    assert (low, high) == pytest.approx((0.429, 0.777), abs=5e-4)


def test_spearman_and_brown() -> None:
    """Twelve items at 0.626 need 29 for 0.80 (found)."""
    assert round(12 * (desk.longer_by(0.626297, 0.80) or 0.0)) == 29


def test_discrimination_shares_the_places_of_ties() -> None:
    """The group of 27 % of four learners is one.

    Two tied at the top count half each (stated rule).
    """
    assert desk.discrimination_index([1, 0, 0, 0], [3, 3, 2, 1], 1.0) == pytest.approx(0.5)
    assert desk.discrimination_index([0, 1, 0, 0], [3, 3, 2, 1], 1.0) == pytest.approx(0.5)


def test_thirds_never_part_equal_totals() -> None:
    groups = desk.thirds([1, 2, 2, 2, 2, 9])
    assert groups[1:5] == [1, 1, 1, 1] and groups[0] == 0 and groups[5] == 2
    assert desk.thirds([5, 5, 5]) == [1, 1, 1]
    shares = desk.chosen_by_thirds(["a", "a", "b", "b", "b", "b"], [1, 2, 3, 4, 5, 6])
    assert shares["a"] == (1.0, 0.0, 0.0) and shares["b"] == (0.0, 1.0, 1.0)


def test_what_is_not_defined_is_none() -> None:
    assert desk.facility([], 1) is None
    assert desk.corrected_point_biserial([1, 1, 1], [3, 2, 1]) is None
    assert (
        desk.alpha([[1, 0]]) is None
        and desk.alpha([[1], [0]]) is None
        and desk.alpha([[1, 1], [1, 1]]) is None
    )
    assert desk.discrimination_index([1], [1], 1) is None
    assert desk.standard_error([[1, 1], [1, 1]]) is None


def test_likeness_beyond_chance() -> None:
    """Ten shared wrong answers where each came to one in four by chance: odds of 0.25 ** 10."""
    spread = [{"a": 0.25, "b": 0.25, "c": 0.25, "d": 0.25}] * 12
    same, odds = desk.likeness(["a"] * 10 + ["", "b"], ["a"] * 10 + ["c", ""], spread)
    assert same == 10 and odds == pytest.approx(0.25**10)
    assert desk.likeness([""] * 12, ["a"] * 12, spread) == (0, 1.0)
