"""The balance of a rail in itself: what was put in comes back where hardly anything scatters, in any units and parts."""

from __future__ import annotations

from itertools import combinations
from math import comb

import numpy as np
import pytest
from scipy.optimize import nnls

from baybook_physics.rail import Store, follow
from baybook_physics.rail_balance import _OWN, Balance, _fits, _left, _sets, balance

TIME = np.arange(0.0, 20.0, 0.01)
STORE = Store(np.linspace(0.0, 100.0, 3), 20.0 + np.linspace(0.0, 3.0, 3))
Parts = list[tuple[int, int]]


def recording(share: float, slip: float, leak: float, rests: float = 12.0) -> tuple[np.ndarray, np.ndarray]:
    """Gauge pressure, and what a pump of 1.2 cm3/s displaces that rests from then on."""
    path = follow(STORE, 0.0, TIME, lambda now, p: ((share * 1.2 - slip * p) if now < rests else 0.0) - leak * p)
    return path + np.random.default_rng(3).normal(0.0, 0.005, len(path)), 1.2 * np.minimum(TIME, rests)


def found(gauge: np.ndarray, displaced: np.ndarray, parts: Parts, unit: float = 1.0) -> Balance:
    """unit: of the volumes."""
    result = balance(TIME, unit * STORE.at(gauge), gauge, unit * displaced, parts)
    assert result is not None
    return result


@pytest.mark.parametrize("parts", [[(0, 1200), (1200, 2000)], [(0, 700), (700, 1200), (1200, 2000)]])
@pytest.mark.parametrize("unit", [1.0, 1e-6, 1e3])
def test_what_was_put_in_comes_back(parts: Parts, unit: float) -> None:
    """A share of 0.75, a slip of 0.004 and a leak of 0.02 for each MPa; in cm3, m3 or mm3."""
    gauge, displaced = recording(0.75, 0.004, 0.02)
    result = found(gauge, displaced, parts, unit)
    assert result.share == pytest.approx(0.75, rel=3e-3)
    assert result.values[1] == pytest.approx(0.004 * unit, rel=0.05)
    assert result.loss(np.array([5.0, 20.0])) == pytest.approx(np.array([0.1, 0.4]) * unit, rel=0.02)


def test_how_sure_it_is_hangs_on_no_unit() -> None:
    gauge, displaced = recording(0.75, 0.004, 0.02)
    fine, coarse = (found(gauge, displaced, [(0, 1200), (1200, 2000)], unit) for unit in (1e-6, 1.0))
    assert fine.covariance[0, 0] == pytest.approx(coarse.covariance[0, 0], rel=1e-3)
    assert fine.loss_u(20.0) == pytest.approx(1e-6 * coarse.loss_u(20.0), rel=1e-3)


def test_one_part_alone_may_hold_turning_and_rest() -> None:
    """Then nothing is said of a slip."""
    gauge, displaced = recording(0.75, 0.0, 0.02)
    result = found(gauge, displaced, [(0, 2000)])
    assert result.share == pytest.approx(0.75, rel=3e-3) and result.values[1] == 0.0
    assert result.loss(np.array([5.0, 20.0])) == pytest.approx(np.array([0.1, 0.4]), rel=0.02)


def test_without_a_rest_there_is_no_slip() -> None:
    """It is told from a leak by a rest alone; two rows, or one, of a pump that turns are none."""
    gauge, displaced = recording(0.75, 0.0, 0.02, rests=99.0)
    for parts in ([(0, 2000)], [(0, 1998), (1998, 2000)], [(0, 1000), (1000, 2000)]):
        result = found(gauge, displaced, parts)
        assert result.values[1] == 0.0 and result.share == pytest.approx(0.75, rel=5e-3)


def test_a_part_of_one_row_changes_nothing() -> None:
    """It has a beginning of its own, and nothing else."""
    gauge, displaced = recording(0.75, 0.004, 0.02)
    result = found(gauge, displaced, [(0, 1200), (1200, 1999), (1999, 2000)])
    assert result.values[:2] == pytest.approx([0.75, 0.004], rel=0.05)


def test_a_part_that_scatters_much_counts_little() -> None:
    """The same pump twice, the second time with a noise of 3 MPa, and nothing is worse for it (weighted least squares)."""
    gauge, displaced = recording(0.75, 0.0, 0.02, rests=99.0)
    gauge[1000:] = gauge[:1000] + np.random.default_rng(2).normal(0.0, 3.0, 1000)
    result = found(gauge, displaced, [(0, 1000), (1000, 2000)])
    assert result.share == pytest.approx(0.75, abs=0.001)


@pytest.mark.parametrize(("rows", "enough"), [(39, False), (40, True)])
def test_four_rows_for_each_column_are_enough(rows: int, enough: bool) -> None:
    """A share, a slip, seven kinds of loss and one beginning; what was swept may be less than one."""
    gauge, displaced = recording(0.75, 0.0, 0.02, rests=99.0)
    result = balance(TIME[:rows], STORE.at(gauge[:rows]), gauge[:rows], displaced[:rows], [(0, rows)])
    assert displaced[rows - 1] < 1.0 and (result is not None) == enough


def test_a_balance_holds_what_the_pump_gives_and_at_most_three_others() -> None:
    kept = _sets([0, 2, 3, 4, 5, 6])
    assert len(kept) == len(set(kept)) == sum(comb(5, others) for others in range(4))
    assert all(each[0] == 0 and len(each) <= 4 for each in kept)


@pytest.mark.parametrize("seed", range(6))
def test_what_the_best_set_leaves_is_a_reference_librarys(seed: int) -> None:
    """scipy.optimize.nnls over every set of at most four columns, the last one free (once with either sign)."""
    random = np.random.default_rng(seed)
    a = random.standard_normal((60, _OWN + 1))
    a[:, _OWN] = 1.0
    b = a @ np.array([2.0, 0.0, 0.3, 0.0, 0.0, 1.0, 0.0, 0.0, 0.0, -4.0]) + random.standard_normal(60)
    own = [0, 2, 3, 4, 5]
    fits, size, _ = _fits(a, b, own)
    least = min(
        nnls(np.column_stack([a[:, [0, *others]], a[:, _OWN], -a[:, _OWN]]), b)[1]
        for count in range(4)
        for others in combinations(own[1:], count)
    )
    assert np.linalg.norm(_left(fits, size, a, b)) == pytest.approx(least)
