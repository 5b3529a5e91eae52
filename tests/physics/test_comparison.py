"""Alike quantities compared, against statistics of the standard library applied to each without itself, and by hand."""

from __future__ import annotations

from math import inf
from statistics import mean, median, stdev

import pytest

from baybook_physics import comparison

VALUES = [
    [41.0, 44.0, 38.0, 60.0],
    [41.0, 44.0, 38.0, 60.0, 39.0],
    [10.0, 10.0, 30.0],
    [5.0, 7.0],
    [12.0, 3.0, 3.0, 9.0, 9.0, 20.0],
]


def without(values: list[float], at: int) -> list[float]:
    return values[:at] + values[at + 1 :]


@pytest.mark.parametrize("values", VALUES)
def test_each_against_the_others(values: list[float]) -> None:
    """Median and mean of the list without the one (statistics of Python's library), and the percentages they make."""
    others = [without(values, at) for at in range(len(values))]
    assert comparison.median(values) == pytest.approx(median(values))
    assert comparison.medians_of_others(values) == pytest.approx(list(map(median, others)))
    assert comparison.means_of_others(values) == pytest.approx(list(map(mean, others)))
    pairs = list(zip(values, others, strict=True))
    for found, wanted in (
        (comparison.percent_of_median(values), [100 * value / median(rest) for value, rest in pairs]),
        (comparison.percent_of_others(values), [100 * value / mean(rest) for value, rest in pairs]),
        (comparison.percent_of_mean(values), [100 * value / mean(values) for value in values]),
        (comparison.distances(values), [abs(value - median(values)) for value in values]),
    ):
        assert found[0] == pytest.approx(wanted) and found[1] == pytest.approx(wanted)
    assert comparison.spread(values) == pytest.approx(100 * (max(values) - min(values)) / mean(values))
    assert comparison.deviation(values) == pytest.approx(stdev(values))


OVER = [False, True, False, False]


def ends(ratio: float) -> float:
    """Per cent of the mean of all four, from the ratio to the mean of the other three: 4 r/(r + 3)."""
    return 100 * 4 * ratio / (ratio + 3)


def test_one_of_which_the_least_alone_is_known() -> None:
    """40, at least 50, 60, 20: by hand. The others' most is infinite, so their least share is nothing."""
    values = [40.0, 50.0, 60.0, 20.0]
    least, most = comparison.percent_of_others(values, OVER)
    assert least == pytest.approx([0.0, 125.0, 0.0, 0.0])
    assert most == pytest.approx([100 * 120 / 130, inf, 100 * 180 / 110, 40.0])
    least, most = comparison.percent_of_mean(values, OVER)
    assert least == pytest.approx([0.0, ends(1.25), 0.0, 0.0])
    assert most == pytest.approx([ends(12 / 13), 400.0, ends(18 / 11), ends(0.4)])
    least, most = comparison.percent_of_median(values, OVER)
    assert least == pytest.approx([100 * 40 / 60, 125.0, 150.0, 100 * 20 / 60])
    assert most == pytest.approx([80.0, inf, 150.0, 40.0])


def test_how_far_each_may_lie_from_the_median() -> None:
    """40, at least 50, 60, 20: the median of all lies from 45 to 50, that of 60, 40, 20 and more than 50."""
    least, most = comparison.distances([40.0, 50.0, 60.0, 20.0], OVER)
    assert least == pytest.approx([5.0, 0.0, 10.0, 25.0])
    assert most == pytest.approx([10.0, inf, 15.0, 30.0])
    least, most = comparison.distances([70.0, 50.0, 40.0, 20.0], [True, False, False, False])
    assert least == pytest.approx([25.0 - 0.0, 5.0, 5.0, 25.0]) and most == pytest.approx([inf, 5.0, 5.0, 25.0])


def test_nothing_beside_nothing_may_be_anything_and_beside_something_it_is_without_end() -> None:
    """By hand."""
    assert comparison.percent_of_others([0.0, 0.0, 0.0]) == ([0.0] * 3, [inf] * 3)
    assert comparison.percent_of_mean([0.0, 0.0]) == ([0.0, 0.0], [200.0, 200.0])
    assert comparison.percent_of_median([5.0, 0.0, 0.0]) == ([inf, 0.0, 0.0], [inf, 0.0, 0.0])
    assert comparison.percent_of_mean([6.0, 0.0]) == ([200.0, 0.0], [200.0, 0.0])
    assert comparison.means_of_others([inf, 2.0, 4.0]) == [3.0, inf, inf]
