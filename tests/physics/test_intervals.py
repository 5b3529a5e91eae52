"""Normals and intervals for plain floats, against the standard library, a reference library and counting."""

from __future__ import annotations

from itertools import combinations
from statistics import NormalDist, stdev

import numpy as np
import pytest

from baybook_physics.inference.intervals import SIDE, interval, normal_quantile, normal_share, square_normals, weighted


@pytest.mark.parametrize("share", [1e-12, 1e-6, 0.001, 0.025, 0.2, 0.499, 0.5, 0.6, 0.975, 0.9999])
def test_normal_shares_and_quantiles(share: float) -> None:
    """statistics.NormalDist (Wichura's algorithm AS 241, 1988)."""
    quantile = NormalDist().inv_cdf(share)
    assert normal_quantile(share) == pytest.approx(quantile, abs=1e-9)
    assert normal_share(quantile) == pytest.approx(share, rel=1e-9)


def test_the_square_is_orthogonal_and_normal() -> None:
    """Bose's array: each column holds the same 529 quantiles, no two columns are correlated."""
    rows = np.array(square_normals(SIDE))
    assert rows.shape == (529, 23)
    expected = [NormalDist().inv_cdf((i + 0.5) / 529) for i in range(529)]
    for column in rows.T:
        assert np.sort(column) == pytest.approx(expected, abs=1e-9)
    assert max(abs(np.corrcoef(rows[:, a], rows[:, b])[0, 1]) for a, b in combinations(range(23), 2)) < 0.01
    with pytest.raises(ValueError, match="24 dimensions"):
        square_normals(24)


def test_the_square_keeps_three_columns_from_moving_together() -> None:
    """The mean product of three independent normals is 0, with a standard error of 1/23 in 529 rows: half of all triples of
    eight columns lie within 0.7 of it, all within five."""
    rows = np.array(square_normals(8))
    products = [abs((rows[:, a] * rows[:, b] * rows[:, c]).mean()) * 23 for a, b, c in combinations(range(8), 3)]
    assert np.median(products) < 0.7 and max(products) < 5


@pytest.mark.parametrize("count", [40, 41, 57, 1000])
def test_an_interval_is_a_reference_librarys(count: int) -> None:
    """numpy.quantile by Hazen's rule (share times n less a half), and the sample's standard deviation."""
    values = np.random.default_rng(count).gamma(2.0, 1.0, count)
    found = interval(values.tolist())
    low, middle, high = np.quantile(values, [0.025, 0.5, 0.975], method="hazen")
    assert found == pytest.approx((middle, low, high, stdev(values.tolist())))
    with pytest.raises(ValueError, match="too few"):
        interval([1.0] * 39)


def test_equal_weights_give_the_same_interval() -> None:
    """But for the standard deviation, which is that of a whole population."""
    values = np.random.default_rng(3).gamma(2.0, 1.0, 300).tolist()
    found = weighted(values, [0.7] * 300)
    assert found[:3] == pytest.approx(interval(values)[:3]) and found.standard == pytest.approx(np.std(values))


def test_a_weighted_interval_by_hand() -> None:
    """Weights 1, 2, 1 on 10, 20, 40: the middles of their steps lie at 1/8, 4/8, 7/8; beyond them the end values."""
    found = weighted([40.0, 10.0, 20.0], [1.0, 1.0, 2.0])
    assert found == pytest.approx((20.0, 10.0, 40.0, (0.25 * 12.5**2 + 0.5 * 2.5**2 + 0.25 * 17.5**2) ** 0.5))
    many = weighted([float(n) for n in range(5)], [1.0, 100.0, 0.0, 200.0, 99.0])
    assert many.low == pytest.approx(0.0 + (0.025 - 0.00125) / (0.1275 - 0.00125)) and many.value == pytest.approx(
        3.0, abs=0.01
    )
