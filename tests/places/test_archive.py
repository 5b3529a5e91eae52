"""What finished jobs say and how good stated chances were: against published worked numbers, numpy, and counting by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest
from tests.places.test_by_hand import small

from baybook.places.archive import (
    STRENGTH,
    Bin,
    Tally,
    base_rates,
    bins,
    brier,
    brier_of_places,
    calibration_error,
    log_score,
    murphy,
)
from baybook.places.hypotheses import Hypotheses
from baybook.places.worth import MOST, Check, best_action, best_order, by_cost_and_chance, expected_minutes, value_of_test

FORECAST = [(0.25, False), (0.25, False), (0.55, True), (0.75, True), (0.75, True)]


def test_the_shares_of_finished_jobs() -> None:
    """The mean of a Dirichlet: (s w + n)/(s + N) with the map's weights 2, 1, 2 of 5; half a hundred jobs unless said (common
    practice, no source)."""
    counts = {"filter": 3, "injector 2": 1, "injector *": 1, "pump": 0, "battery": 7}
    by_hand = {
        strength: [(strength * w + n) / (strength + 5) for w, n in ((0.4, 3), (0.2, 0), (0.4, 2))] for strength in (2.0, 50.0)
    }
    assert list(base_rates(counts, small(), 2.0).values()) == pytest.approx(by_hand[2.0])
    assert list(base_rates(counts, small()).values()) == pytest.approx(by_hand[50.0]) and STRENGTH == 50.0
    assert sum(base_rates({}, small()).values()) == pytest.approx(1.0)
    assert list(base_rates({"filter": 0}, small(), 1e-6).values()) == pytest.approx([0.4, 0.2, 0.4])
    for strength in (0.0, -1.0, math.inf, math.nan):
        with pytest.raises(ValueError, match="the strength is positive"):
            base_rates({}, small(), strength)
    with pytest.raises(ValueError, match="counts are 0 or more"):
        base_rates({"filter": 5, "battery": -1}, small())


def test_places_of_a_kind_share_its_frequency() -> None:
    """The rates sum to anything; a kind's is parted among its places by their weights."""
    every = Hypotheses.on(small(), {"filter": 3.0, "pump": 1.0, "injector *": 4.0})
    chances = [every.prior[every.at[n,]] for n in range(4)]
    assert chances == pytest.approx([0.63 * 3 / 8, 0.63 / 8, 0.85 * 0.63 * 2 / 8, 0.85 * 0.63 * 2 / 8])


def test_a_forecast_in_bins() -> None:
    """Two bins: 2 said 0.25 of which none came, 3 said 0.6833 of which all did; the error 0.2900 as in a library."""
    low, high = bins(FORECAST, (0.0, 0.5, 1.0))
    assert low.to_dict() == {"low": 0.0, "high": 0.5, "count": 2, "stated": 0.25, "true": 0.0}
    assert high == Bin(0.5, 1.0, 3, pytest.approx(2.05 / 3), 1.0)
    assert calibration_error((low, high)) == pytest.approx((2 * 0.25 + 3 * (1 - 2.05 / 3)) / 5) == pytest.approx(0.29, abs=1e-4)
    assert max(abs(row.stated - row.true) for row in (low, high)) == pytest.approx(0.3167, abs=1e-4)


def test_an_edge_belongs_to_the_bin_above_and_the_last_to_the_last() -> None:
    tally = Tally((0.2, 0.4, 0.6))
    for chance in (0.2, 0.4, 0.6, 0.3999):
        tally.add(chance, False)
    assert [(row.low, row.high, row.count) for row in tally.table()] == [(0.2, 0.4, 2), (0.4, 0.6, 2)]
    assert tally.count == 4 and tally.brier == pytest.approx(np.mean(np.square([0.2, 0.4, 0.6, 0.3999])))
    for wrong in (0.1999, 0.6001, math.nan):
        with pytest.raises(ValueError, match="is not a chance"):
            tally.add(wrong, False)
    assert [(row.low, row.count) for row in bins([(0.0, False), (1.0, True), (0.1, True)])] == [(0.0, 1), (0.1, 1), (0.9, 1)]


def test_scores_by_hand() -> None:
    """Brier and log score as published; what was held impossible and came true costs all."""
    assert brier(FORECAST) == pytest.approx(np.mean([(p - y) ** 2 for p, y in FORECAST]))
    assert brier([(0.5, True), (0.5, False)]) == 0.25
    assert brier_of_places({"a": 0.7, "b": 0.3}, "b") == pytest.approx(0.98)
    assert (
        log_score([1.0]) == 0.0
        and log_score([0.5, 0.125]) == pytest.approx(2 * math.log(2))
        and log_score([0.5, 0.0]) == math.inf
    )


def test_the_brier_score_taken_apart() -> None:
    """Murphy 1973: reliability less resolution and uncertainty are the score, for forecasts alike within a bin."""
    said = [(0.1, n == 0) for n in range(10)] + [(0.35, n < 2) for n in range(4)] + [(0.9, n < 5) for n in range(6)]
    found = murphy(bins(said))
    rates, counts = np.array([0.1, 0.5, 5 / 6]), np.array([10, 4, 6])
    whole = (1 + 2 + 5) / 20
    assert found.reliability == pytest.approx((counts * (np.array([0.1, 0.35, 0.9]) - rates) ** 2).sum() / 20)
    assert found.resolution == pytest.approx((counts * (rates - whole) ** 2).sum() / 20)
    assert found.uncertainty == pytest.approx(whole * (1 - whole))
    assert found.reliability - found.resolution + found.uncertainty == pytest.approx(brier(said))


def test_checks_one_by_one() -> None:
    """Expected minutes by adding up what is paid until the fault is found, and all where it is none of them."""
    order = (Check("a", 0.5, 10.0), Check("b", 0.2, 4.0))
    assert expected_minutes(order) == pytest.approx(0.5 * 10 + 0.2 * 14 + 0.3 * 14)
    assert expected_minutes(order, last_left_out=True) == pytest.approx(10.0)
    over = (Check("a", 0.9, 10.0), Check("b", 0.6, 4.0))
    assert expected_minutes(over) == pytest.approx(1.5 * 10 + 0.6 * 4)
    assert [check.name for check in by_cost_and_chance(order)] == ["a", "b"]
    assert best_order(()) == () == best_order((), last_left_out=True)
    assert MOST == 12


def test_twelve_orders_can_be_weighed() -> None:
    """The last left out is the dearest of twelve that are alike but for one."""
    checks = [Check(str(n), 1 / 12, 50.0 if n == 3 else 1.0) for n in range(12)]
    found = best_order(checks, last_left_out=True)
    assert len(found) == 12 and found[-1].name == "3"


def test_what_is_gained_has_a_number_for_each_hypothesis() -> None:
    belief = Hypotheses(("a",), ((), (0,)), (0.5, 0.5)).belief()
    assert best_action(belief, {"x": [1.0, 0.0], "y": [0.0, 3.0]}) == ("y", 1.5)
    with pytest.raises(ValueError, match="zip"):
        best_action(belief, {"x": [1.0]})
    with pytest.raises(ValueError, match="zip"):
        value_of_test(belief, [[1.0]], {"x": [1.0, 0.0]})


@pytest.mark.parametrize(("chance", "first", "second"), [(0.6, 112.0, 109.0), (0.7, 116.5, 118.0)])
def test_two_causes_of_which_one_is_checked_first(chance: float, first: float, second: float) -> None:
    """Troubleshooting of two causes, checks of 30 and 15, repairs of 100 and 40: the published rule's costs, computed. What is
    repaired does not depend on the order."""
    one, two = Check("1", chance, 30.0), Check("2", 1 - chance, 15.0)
    repairs = chance * 100 + (1 - chance) * 40
    assert expected_minutes((one, two)) + repairs == pytest.approx(first)
    assert expected_minutes((two, one)) + repairs == pytest.approx(second)
    assert by_cost_and_chance((one, two))[0] is (one if first < second else two)


def test_three_parts_or_none_of_them() -> None:
    """0.4, 0.3, 0.2, inspected for 20, 5, 8, replaced for 50, 120, 60, or else a service of 300: all six orders, computed."""
    parts = {"1": Check("1", 0.4, 20.0), "2": Check("2", 0.3, 5.0), "3": Check("3", 0.2, 8.0)}
    costs = {"231": 118.6, "213": 119.4, "321": 120.0, "123": 123.4, "312": 124.0, "132": 124.8}
    behind = 0.4 * 50 + 0.3 * 120 + 0.2 * 60 + 0.1 * 300
    assert {order: expected_minutes([parts[n] for n in order]) + behind for order in costs} == pytest.approx(costs)
    assert "".join(check.name for check in by_cost_and_chance(list(parts.values()))) == "231"
