"""Comparing return volumes: which errors count where, and that the intervals hold what they promise."""

from __future__ import annotations

from random import Random

import pytest

from baybook_plugins.returns.model import (
    balance,
    medians_of_others,
    over_median_of_others,
    own_errors,
    spread_of_equal_injectors,
)


def test_flows_and_percentages_by_hand() -> None:
    """30, 30, 60 mL in 2 min: 15, 15, 30 mL/min; mean 20, so 75, 75, 150 %; the last is 200 % of the others' mean."""
    found = balance([30.0, 30.0, 60.0], 2.0, delivery=600.0)
    assert [found[f"flow_{i}"] for i in (1, 2, 3)] == [15, 15, 30]
    assert [found[f"percent_of_mean_{i}"] for i in (1, 2, 3)] == [75, 75, 150]
    assert found["percent_of_others_3"] == 200
    assert (found["total"], found["mean"], found["spread"], found["share_of_delivery"]) == (60, 20, 75, 10)


@pytest.mark.parametrize(
    ("values", "expected"),
    [
        ([10.0, 20.0], [20, 10]),
        ([10.0, 20.0, 40.0], [30, 25, 15]),
        ([10.0, 20.0, 40.0, 80.0], [40, 40, 20, 20]),
        ([5.0, 5.0, 5.0, 9.0, 1.0], [5, 5, 5, 5, 5]),
    ],
)
def test_median_of_the_others_leaves_itself_out(values: list[float], expected: list[float]) -> None:
    assert medians_of_others(values) == expected


def test_equal_readings_do_not_make_the_median_certain() -> None:
    """Four equal volumes, each uncertain by 1: the ratio is uncertain by more than its numerator alone would make it."""
    ratio = over_median_of_others([100.0] * 4, [1.0] * 4)[0]
    assert ratio.value == 1
    assert 0.0105 < ratio.u < 0.0141


def test_the_same_readings_give_the_same_answer() -> None:
    first = over_median_of_others([30.0, 31.0, 45.0, 29.0], [0.5] * 4)
    own_errors.cache_clear()
    assert over_median_of_others([30.0, 31.0, 45.0, 29.0], [0.5] * 4) == first


def test_reading_errors_alone_make_a_spread() -> None:
    """The 95th percentile of the range of four normal errors is 3.633 sigma (studentized range, infinite degrees; scipy)."""
    from scipy.stats import studentized_range

    exact = float(studentized_range.ppf(0.95, 4, float("inf")))
    assert exact == pytest.approx(3.633, abs=2e-3)
    assert spread_of_equal_injectors([100.0] * 4, [1.0] * 4) == pytest.approx(exact, rel=0.06)


@pytest.mark.parametrize("count", [4, 6])
def test_intervals_hold_the_true_ratio_as_often_as_they_say(count: int) -> None:
    """Over 500 invented sets with known true volumes, 95 % intervals of the ratio hold the truth in 93 to 97.5 % of cases."""
    random = Random(count)
    held = total = 0
    for _ in range(500):
        true = [random.uniform(80, 120) for _ in range(count)]
        read = [volume + random.gauss(0, 2) for volume in true]
        ratios = over_median_of_others(read, [2.0] * count)
        truth = [v / m for v, m in zip(true, medians_of_others(true), strict=True)]
        held += sum(abs(r.value - t) <= 1.96 * r.u for r, t in zip(ratios, truth, strict=True))
        total += count
        own_errors.cache_clear()
    assert 0.93 < held / total < 0.975
