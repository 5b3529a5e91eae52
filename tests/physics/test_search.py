"""When a search goes on, how far it steps and when it ends: problems of one parameter, by hand, and the published algorithm in
its plainest form."""

from __future__ import annotations

from collections.abc import Callable
from random import Random
from typing import Any

import numpy as np
import pytest
from tests.physics.test_draws_of_a_fit import Curve
from tests.physics.test_inference import Line, closed_form

from baybook_physics.inference.evidence import sample_all
from baybook_physics.inference.fit import fit, fit_all, noise_inflation
from baybook_physics.inference.sample import Draws, _directions, _inner_slopes, _settle


def asked(share: float, factor: float = 1.0, hopeless: float = np.inf) -> int:
    """How often a search asks whose first step gains this share of the cost: of x^2 beside 1, x halves with each step."""
    halved = 1.0 - 0.5 / 1.001  # damped by a thousandth
    start = (share / (1.0 - halved**4 - share)) ** 0.25
    curve = Curve(lambda x, y: [x * x, 1.0 + 0.0 * y])
    fit_all({"": curve}, {"": np.array([start, 5.0])}, {"": (factor,)}, hopeless)
    return int(curve.asked)


@pytest.mark.parametrize(("factor", "hopeless", "share"), [
    (1.0, np.inf, 0.003), (10.0, np.inf, 0.01), (1.0, 0.1, 0.05), (1.0, 1.0, 0.003), (10.0, 0.1, 0.05), (1.5, np.inf, 0.01),
])  # fmt: skip
def test_a_search_ends_with_the_step_that_gains_little(factor: float, hopeless: float, share: float) -> None:
    """0.3 % of the cost, 1 % where the noise is eased, 5 % beyond a hopeless cost (here of some 0.5); the step behind it gains
    a sixteenth of that."""
    assert (asked(0.995 * share, factor, hopeless), asked(1.005 * share, factor, hopeless)) == (2, 3)


def test_what_nothing_depends_on_stays() -> None:
    found = fit(Curve(lambda x, y: [x - 2.0, 0.0 * y]), np.array([7.0, 5.0]))
    assert found.row == pytest.approx([2.0, 5.0], abs=1e-6) and found.row[1] == 5.0


def test_a_search_is_given_up_after_thirty_steps() -> None:
    """exp(-x) has its least at infinity: every step goes on by one at most (Newton's method) and
    gains a large share."""
    curve = Curve(lambda x, y: [np.exp(-x), 0.0 * y])
    found = fit(curve, np.zeros(2))
    assert curve.asked == 31 and 20.0 < found.row[0] <= 30.0


@pytest.mark.parametrize("size", [1.0, 7.0, 1e-4])
def test_the_first_step_is_damped_by_a_thousandth_and_the_next_by_a_third_of_that(size: float) -> None:
    """Marquardt (1963): a step on a straight line leaves d/(1 + d) of the way, in whatever unit."""
    found = fit(Curve(lambda x, y: [size * x, 1.0 + 0.0 * y]), np.array([1.0 / size, 0.0]))
    assert found.row[0] * size == pytest.approx(1e-3 / 1.001 * (1e-3 / 3.0) / (1.0 + 1e-3 / 3.0), rel=5e-3)


def test_a_cost_that_is_no_number_ends_a_search_at_once() -> None:
    """Where a neighbour has no residual there is no slope to follow."""
    curve = Curve(lambda x, y: [np.where(x > 3.0, np.nan, 1.0), 0.0 * y])
    assert fit(curve, np.array([3.0, 0.0])).row[0] == 3.0 and curve.asked == 2


def nielsen(f: Callable[[float], float], slope: Callable[[float], float], x: float) -> float:
    """Madsen, Nielsen & Tingleff (2004), algorithm 3.16 for one residual of one parameter beside 0.1, damped in proportion to
    the curvature (Marquardt's scaling); the end as above."""
    damp, harder = 1e-3, 2.0
    for _ in range(30):
        step = -f(x) / slope(x) / (1.0 + damp)
        whole = f(x) ** 2 + 0.01
        linear = f(x) ** 2 - (f(x) + slope(x) * step) ** 2
        gain = f(x) ** 2 - f(x + step) ** 2
        if gain > 0.0:
            x, damp, harder = x + step, damp * max(1.0 / 3.0, 1.0 - (2.0 * gain / linear - 1.0) ** 3), 2.0
            if gain < 0.003 * whole:
                break
        elif linear < 0.003 * whole:
            break
        else:
            damp, harder = damp * harder, harder * 2.0
    return x


@pytest.mark.parametrize("seed", range(12))
def test_the_damping_is_nielsens(seed: int) -> None:
    """Along a wave about a slope, on which many steps fail: the search ends where the algorithm does."""
    random = Random(seed)
    size, often, start = random.uniform(0.5, 3.0), random.uniform(1.0, 4.0), random.uniform(-9.0, 9.0)
    scale = random.uniform(0.5, 5.0)

    def f(x: Any) -> Any:
        return scale * (x + size * np.sin(often * x))

    def slope(x: float) -> float:
        return float(scale * (1.0 + size * often * np.cos(often * x)))

    curve = Curve(lambda x, y: [f(x), 0.1 + 0.0 * y])
    curve.steps = np.array([1e-8, 1e-8])
    assert fit(curve, np.array([start, 0.0])).row[0] == pytest.approx(nielsen(f, slope, start), abs=1e-4)


def test_when_neighbours_agree_beyond_chance() -> None:
    """Forty residuals: beyond 2.5/sqrt(40) = 0.395. With n changes of sign r = (39 - 2 n)/40 (by hand)."""
    for changes, beyond in ((11, True), (12, False)):
        signs = np.repeat((-1.0) ** np.arange(changes + 1), np.diff(np.linspace(0, 40, changes + 2).round().astype(int)))
        r = (39 - 2 * changes) / 40
        assert noise_inflation(2.0 * signs) == pytest.approx(
            2.0 * (40 / 34) ** 0.5 * (((1 + r) / (1 - r)) ** 0.5 if beyond else 1)
        )


def test_a_birge_ratio_beyond_its_own_chance() -> None:
    """Twenty data less six: 1 + 1.5/sqrt(28) = 1.2835 (Birge 1932; chi-square's own spread, handbooks of statistics)."""
    turning = np.array([1.0, -1.0] * 10) / (20 / 14) ** 0.5
    assert noise_inflation(1.283 * turning) == 1.0 and noise_inflation(1.284 * turning) == pytest.approx(1.284)


@pytest.mark.parametrize(("count", "rows"), [(121, 121), (119, 238)])
def test_120_draws_are_enough(count: int, rows: int) -> None:
    """Where data fix everything, each draw is worth one."""
    line = Line(sigma=0.05)
    found = sample_all({"": line}, {"": fit(line, np.zeros(2))}, {"": count}, {"": 1.0}, 1)
    assert len(found[""].rows) == rows


@pytest.mark.parametrize("most", [20.5, 19.5])
def test_a_direction_is_sharp_from_twenty_times_on(most: float) -> None:
    """The noise that gives the data's precision this largest eigenvalue (numpy.linalg.eigvalsh)."""
    design = np.stack([np.ones(20), np.linspace(0.0, 1.0, 20)])
    line = Line(sigma=float((np.linalg.eigvalsh(design @ design.T)[-1] / most) ** 0.5))
    assert _directions(line, closed_form(line)[0]).inner.shape[1] == (1 if most > 20.0 else 0)


def test_slopes_of_rows_are_taken_over_three_tenths_of_a_width() -> None:
    """((x + 0.3)^2 - x^2)/0.3 = 2 x + 0.3."""
    curve = Curve(lambda x, y: [x * x, 0.0 * y])
    _, precision, gradient = _inner_slopes(curve, np.array([[1.0, 0.0]]), np.array([[1.0], [0.0]]))
    assert (precision.item(), gradient.item()) == pytest.approx((2.3**2, 2.3))


@pytest.mark.parametrize("size", [1.0, 7.0])
def test_rows_settle_in_two_damped_steps(size: float) -> None:
    """On a straight line the first leaves a ten-thousandth of the way and the second a tenth of that, in whatever unit."""
    curve = Curve(lambda x, y: [size * x, 0.0 * y])
    settled, _ = _settle(curve, np.array([[1e6, 0.0]]), np.array([[1.0], [0.0]]))
    assert settled[0, 0] == pytest.approx(1e6 * (1e-4 / 1.0001) * (1e-5 / 1.00001), rel=1e-3)
    assert curve.asked == 3


def test_a_step_that_was_taken_back_is_tried_twenty_times_as_damped() -> None:
    """The arc tangent just beyond 1.3917, from where Newton's step goes as far to the other side."""
    x, width = 1.3925, 1e-6
    curve = Curve(lambda x, y: [np.arctan(x), 0.0 * y])
    settled, _ = _settle(curve, np.array([[x, 0.0]]), np.array([[width], [0.0]]))
    newton = np.arctan(x) * (1.0 + x * x)
    assert abs(x - newton / 1.0001) > x
    assert settled[0, 0] == pytest.approx(x - newton / 1.002, abs=3e-5)


def test_the_same_seed_draws_the_same() -> None:
    """Without one it is the first; what the interface promises."""
    line = Line(sigma=3.0)
    one, again, other = (Draws(line, np.zeros(2), seed) for seed in (1, 1, 2))
    plain = Draws(line, np.zeros(2))
    for draws in (one, again, plain, other):
        draws.draw(30)
    assert np.array_equal(one.rows, again.rows) and np.array_equal(one.rows, plain.rows)
    assert not np.array_equal(one.rows, other.rows)
    found = sample_all({"": line}, {"": fit(line, np.zeros(2))}, {"": 130}, {"": 1.0})[""].rows
    assert np.array_equal(found, sample_all({"": line}, {"": fit(line, np.zeros(2))}, {"": 130}, {"": 1.0}, 1)[""].rows)
