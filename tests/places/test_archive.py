"""What finished jobs say and how good stated chances were: against published worked numbers, numpy, and counting by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest
from tests.places.test_by_hand import small

from baybook.places.archive import STRENGTH, Bin, Tally, base_rates, bins, calibration_error
from baybook.places.hypotheses import Hypotheses

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
