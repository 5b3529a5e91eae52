"""Comparing return volumes: which errors count where, and that the intervals hold what they promise."""

from __future__ import annotations

from math import inf
from random import Random

import pytest

from baybook.api import Draws, Estimate, Reading
from baybook_physics.comparison import medians_of_others, percent_of_mean, percent_of_median, percent_of_others, spread
from baybook_plugins.returns.collection import Collection, flow, totals
from baybook_plugins.returns.cups import Cup, drawn, own_errors, spread_of_equal_injectors

SHARP = Estimate.of(1.0, "1")


def taken(values: list[float], u: float = 0.0, over: int = 0) -> Collection:
    """A collection of a minute; `over`: the injector whose cylinder ran over."""
    cups = tuple(Cup(i, value, u, over=i == over) for i, value in enumerate(values, 1))
    return Collection(cups, len(cups), Reading.of(1.0, "min"), SHARP, None)


def test_flows_by_hand() -> None:
    """30, 30, 60 mL in 2 min: 15, 15, 30 mL/min; total 60, mean 20, a tenth of a delivery of 600."""
    volumes = [30.0, 30.0, 60.0]
    assert [flow(volume, 2.0, 1.0)["q"] for volume in volumes] == [15, 15, 30]
    assert totals(volumes, 2.0, 1.0, 600.0) == {"total": 60, "mean": 20, "share_of_delivery": 10}


def test_percentages_by_hand() -> None:
    """30, 30, 60 mL: 75, 75, 150 % of the mean, the last 200 % of the others' mean and median; spread 30 of 40 mL."""
    volumes = [30.0, 30.0, 60.0]
    assert percent_of_mean(volumes)[0] == pytest.approx([75, 75, 150])
    for least, most in (percent_of_others(volumes), percent_of_median(volumes)):
        assert least[2] == most[2] == 200
    assert spread(volumes) == 75


def test_a_cylinder_that_ran_over_leaves_a_least_and_a_most() -> None:
    """30, 40 and more than 100 mL: the third at least 100/35, the first of the others' mean between nothing and 30/70."""
    volumes, over = [30.0, 40.0, 100.0], [False, False, True]
    least, most = percent_of_others(volumes, over)
    assert (least[2], most[2]) == (pytest.approx(100 * 100 / 35), inf)
    assert (least[0], most[0]) == (0.0, pytest.approx(100 * 30 / 70))
    least, most = percent_of_mean(volumes, over)
    assert (least[2], most[2]) == (pytest.approx(100 * 3 * 100 / 170), pytest.approx(300))


def test_a_ratio_to_nothing_has_no_end_and_of_nothing_to_nothing_may_be_anything() -> None:
    volumes = [0.0, 0.0, 14.0, 0.0]
    least, most = percent_of_median(volumes)
    assert (least[2], most[2]) == (inf, inf)
    assert (least[0], most[0]) == (0.0, inf)
    assert percent_of_mean(volumes)[0][2] == pytest.approx(400)


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
    ratio = taken([100.0] * 4, 1.0).of("percent_of_median", 1)
    assert ratio is not None
    assert ratio.value == 100
    assert 1.05 < ratio.u < 1.41


def test_the_same_readings_give_the_same_answer() -> None:
    first = taken([30.0, 31.0, 45.0, 29.0], 0.5).outputs["percent_of_median"]
    own_errors.cache_clear()
    assert taken([30.0, 31.0, 45.0, 29.0], 0.5).outputs["percent_of_median"] == first


def test_nothing_that_is_drawn_is_negative() -> None:
    assert min(min(row) for row in drawn((Cup(1, 0.0, 1.0), Cup(2, 0.5, half=2.5)))) >= 0


def test_reading_errors_alone_make_a_spread() -> None:
    """The 95th percentile of the range of four normal errors is 3.633 sigma (studentized range, infinite degrees; scipy)."""
    from scipy.stats import studentized_range

    exact = float(studentized_range.ppf(0.95, 4, float("inf")))
    assert exact == pytest.approx(3.633, abs=2e-3)
    cups = [Cup(i, 100.0, 1.0) for i in range(1, 5)]
    assert spread_of_equal_injectors(cups) == pytest.approx(exact, rel=0.06)


def test_equal_volumes_on_either_side_of_a_mark_read_a_division_apart() -> None:
    """0.49 and 0.51 of a division read 0 and 1: a whole division apart is no difference, though even errors rarely do it."""
    cups = [Cup(i, 100.0, half=1.0) for i in (1, 2)]
    assert spread_of_equal_injectors(cups) == pytest.approx(2.0)


def test_the_interval_of_the_noise_is_that_of_its_draws() -> None:
    """2000 draws tell the 95th percentile of a range to some 3 %: other draws of the same errors agree within that."""
    random, cups = Random(1), [Cup(i, 100.0, 1.0) for i in range(1, 5)]
    again = Draws([max(e) - min(e) for e in ([random.gauss(0, 1) for _ in cups] for _ in range(40_000))], "%").quantile(0.95)
    assert spread_of_equal_injectors(cups) == pytest.approx(again, rel=0.03)


@pytest.mark.parametrize("count", [4, 6])
def test_intervals_hold_the_true_ratio_as_often_as_they_say(count: int) -> None:
    """Over 300 invented sets with known true volumes, 95 % intervals of the ratio hold the truth in 93 to 97.5 % of cases."""
    random = Random(count)
    held = total = 0
    for _ in range(300):
        true = [random.uniform(80, 120) for _ in range(count)]
        ratios_of = taken([volume + random.gauss(0, 2) for volume in true], 2.0)
        found = [estimate for i in range(1, count + 1) if (estimate := ratios_of.of("percent_of_median", i))]
        truth = [100 * v / m for v, m in zip(true, medians_of_others(true), strict=True)]
        held += sum(estimate.low <= t <= estimate.high for estimate, t in zip(found, truth, strict=True))
        total += count
    assert 0.93 < held / total < 0.975
