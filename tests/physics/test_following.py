"""How a pressure follows what is wanted of it: which rows count, and how it drifts there."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import linregress

from baybook_physics.following import slope, turning

TIME = np.arange(0.0, 10.0, 0.1)


def test_rows_count_from_when_the_engine_has_turned_for_a_while_until_it_comes_to_rest() -> None:
    """It starts at 2 s and is stopped at 8 s: with 1 s to settle and the last second left out, 3 to 7 s remain."""
    speed = np.where((TIME > 1.95) & (TIME < 7.95), 800.0, 0.0)
    inside = TIME[turning(TIME, speed, 1.0)]
    assert (inside[0], inside[-1]) == pytest.approx((3.0, 6.9))


def test_a_speed_that_is_nowhere_known_leaves_no_row_out() -> None:
    assert turning(TIME, np.full(len(TIME), np.nan), 1.0).all()


def test_a_slope_is_that_of_a_reference_library() -> None:
    """scipy's linregress; its standard error as well where neighbours swing against each other, so that nothing is widened."""
    values = 3.0 - 0.4 * TIME + 0.01 * (-1.0) ** np.arange(len(TIME))
    expected = linregress(TIME, values)
    assert slope(TIME, values) == pytest.approx((expected.slope, expected.stderr), rel=1e-9)
