"""Where draws are made around a fit, how dense they lie there and what they weigh: linear problems, whose answers are closed
forms, and a reference library's densities and searches."""

from __future__ import annotations

from random import Random
from statistics import NormalDist
from typing import Any

import numpy as np
import pytest
from scipy.optimize import least_squares
from scipy.stats import multivariate_normal
from tests.physics.test_inference import MEASURED, TIME, Line, closed_form

from baybook_physics.inference.fit import fit, fit_all, slopes
from baybook_physics.inference.sample import (
    Draws,
    _directions,
    _even_normals,
    _inner_slopes,
    _inverse_root,
    _quantiles,
    _settle,
)

DESIGN = np.stack([np.ones(len(TIME)), TIME], axis=1)


class Curve:
    """Residuals that are any function of two parameters, without beliefs: for searches alone."""

    names, free, size = ("x", "y"), (0, 1), 2
    steps, weak_precision = np.array([1e-6, 1e-6]), np.zeros(2)

    def __init__(self, function: Any) -> None:
        self.function, self.asked = function, 0

    def residuals(self, rows: np.ndarray) -> np.ndarray:
        self.asked += 1
        return np.array(self.function(rows[:, 0], rows[:, 1]))

    def residuals_of(self, asked: list[tuple[Curve, np.ndarray]]) -> list[np.ndarray]:
        return [curve.residuals(rows) for curve, rows in asked]

    def with_noise(self, factor: float) -> Curve:
        return self


@pytest.mark.parametrize("count", [1, 2, 5, 40])
def test_normals_are_the_middles_of_equal_slices_in_every_column(count: int) -> None:
    """statistics.NormalDist; each column has an order of its own, the same for the same seed."""
    expected = [NormalDist().inv_cdf((i + 0.5) / count) for i in range(count)]
    assert _quantiles(count) == pytest.approx(expected, abs=1e-9)
    rows = _even_normals(count, 3, Random(1))
    assert rows.shape == (count, 3) and np.sort(rows, axis=0) == pytest.approx(np.array([expected] * 3).T, abs=1e-9)
    assert np.array_equal(rows, _even_normals(count, 3, Random(1)))
    assert count < 5 or not np.array_equal(rows[:, 0], rows[:, 1])


def test_an_inverse_root_times_itself_is_the_inverse() -> None:
    """numpy.linalg.inv; it is symmetric, and of a matrix without full rank it is finite."""
    wild = np.random.default_rng(2).standard_normal((6, 3, 3))
    precision = wild @ np.swapaxes(wild, 1, 2) + 0.1 * np.eye(3)
    root = _inverse_root(precision)
    assert root == pytest.approx(np.swapaxes(root, 1, 2)) and root @ root == pytest.approx(np.linalg.inv(precision))
    flat = _inverse_root(np.diag([4.0, 0.0])[None])[0]
    assert flat == pytest.approx(np.diag([0.5, 0.5e6])), "the least is held at 1e-12 of the largest"


@pytest.mark.parametrize("line", [Line(), Line(flat=True), Line(sigma=3.0)])
def test_slopes_of_a_line_are_its_design(line: Line) -> None:
    places, row = list(line.free), np.array([0.3, -0.7])
    residual, jacobian = slopes(line, row)
    data = DESIGN[:, places] / line.sigma
    assert residual == pytest.approx(line.residuals(row[None])[:, 0])
    assert jacobian == pytest.approx(np.vstack([data, np.eye(2)[:, places]]), abs=1e-9)


@pytest.mark.parametrize(("sigma", "sharp"), [(0.3, 1), (0.05, 2), (3.0, 0), (1.2, 0), (0.9, 1)])
def test_directions_are_a_posterior_width_long_and_sharp_where_data_tell_twenty_times_as_much(sigma: float, sharp: int) -> None:
    """With beliefs of width 1 the data's precision has the eigenvalues of numpy.linalg.eigvalsh."""
    line = Line(sigma=sigma)
    gain = np.linalg.eigvalsh(DESIGN.T @ DESIGN / sigma**2)
    assert np.count_nonzero(gain > 20.0) == sharp
    found = _directions(line, closed_form(line)[0])
    assert (found.inner.shape, found.outer.shape) == ((2, sharp), (2, 2 - sharp))
    both, turned = np.hstack([found.outer, found.inner]), np.hstack([found.soft, found.sharp])
    assert both @ both.T == pytest.approx(closed_form(line)[1], rel=1e-6)
    assert turned.T @ turned == pytest.approx(np.eye(2), abs=1e-9)
    assert np.linalg.norm(both, axis=0) == pytest.approx(1.0 / np.sqrt(1.0 + gain), rel=1e-6)
    assert np.all(turned[np.argmax(np.abs(turned), axis=0), [0, 1]] > 0.0)


def test_a_parameter_without_a_belief_has_its_weak_precision() -> None:
    """Three more in the precision of both: four times the belief."""

    class Weak(Line):
        weak_precision = np.array([3.0, 3.0])

    found = _directions(Weak(sigma=3.0), np.zeros(2))
    both = np.hstack([found.inner, found.outer])
    assert both @ both.T == pytest.approx(np.linalg.inv(4.0 * np.eye(2) + DESIGN.T @ DESIGN / 9.0), rel=1e-6)


def test_slopes_along_directions_are_those_of_a_line() -> None:
    """Cost r'r, precision J'J and gradient J'r with J the design along them."""
    line, rows = Line(), np.array([[0.1, 0.2], [1.0, -2.0], [0.4, 1.1]])
    inner = np.array([[0.5, 0.1], [-0.2, 0.3]])
    cost, precision, gradient = _inner_slopes(line, rows, inner)
    jacobian, residual = np.vstack([DESIGN / line.sigma, np.eye(2)]) @ inner, line.residuals(rows)
    assert cost == pytest.approx(np.sum(residual**2, axis=0))
    assert precision == pytest.approx(np.array([jacobian.T @ jacobian] * 3))
    assert gradient == pytest.approx((jacobian.T @ residual).T)


def test_rows_settle_where_a_line_fits_best_along_the_sharp_direction() -> None:
    """Nothing is left of the slope along it, and nothing moves across it."""
    line, rows = Line(), np.array([[0.1, 0.2], [1.0, -2.0], [3.0, 1.1]])
    inner = _directions(line, closed_form(line)[0]).inner
    settled, root = _settle(line, rows, inner)
    _, precision, before = _inner_slopes(line, rows, inner)
    after = _inner_slopes(line, settled, inner)[2]
    assert np.abs(after).max() < 1e-6 * np.abs(before).max()
    across = np.array([-inner[1, 0], inner[0, 0]])
    assert settled @ across == pytest.approx(rows @ across)
    assert root @ root == pytest.approx(np.linalg.inv(precision))


def test_a_step_that_makes_a_row_worse_is_taken_back() -> None:
    """The arc tangent, on which Newton's step runs away beyond 1.39: no row ends worse than it began."""
    rows = np.array([[0.5, 0.0], [3.0, 0.0], [20.0, 0.0], [-8.0, 0.0]])
    curve = Curve(lambda x, y: [np.arctan(x), 0.0 * y])
    settled, _ = _settle(curve, rows, np.array([[1.0], [0.0]]))  # type: ignore[arg-type]
    assert np.all(np.abs(settled[:, 0]) <= np.abs(rows[:, 0])) and abs(settled[0, 0]) < 0.05


@pytest.mark.parametrize("sigma", [0.3, 0.05, 3.0])
def test_draws_lie_as_densely_as_is_said(sigma: float) -> None:
    """scipy.stats.multivariate_normal about the closed form's mean: its width along the sharp directions, 1.15 times as much
    along the others; and weights are what belief and data say over that."""
    line = Line(sigma=sigma)
    mean, _, _ = closed_form(line)
    draws = Draws(line, mean)
    d = draws.directions
    density = multivariate_normal(mean, d.inner @ d.inner.T + 1.15**2 * d.outer @ d.outer.T)
    rows, log_q = draws._proposed(50)
    assert log_q == pytest.approx(density.logpdf(rows), abs=1e-5)
    draws.draw(50)
    misfit = np.sum((draws.rows @ DESIGN.T - MEASURED) ** 2, axis=1) / sigma**2
    belief = multivariate_normal(np.zeros(2), np.eye(2)).logpdf(draws.rows)
    assert draws.logs == pytest.approx(belief - 0.5 * misfit - density.logpdf(draws.rows), abs=1e-5)
    assert draws.sample().sharp == d.inner.shape[1]


def test_where_data_fix_all_every_draw_weighs_the_same_and_the_evidence_is_exact() -> None:
    """The closed form's evidence, to the differences that slopes are taken by."""
    line = Line(sigma=0.05)
    mean, covariance, evidence = closed_form(line)
    draws = Draws(line, mean)
    draws.draw(60)
    weights, found, effective = draws.weighed()
    assert weights == pytest.approx(1.0 / 60.0, rel=1e-4)
    assert found == pytest.approx(evidence, abs=1e-4) and effective == pytest.approx(60.0)
    assert np.cov(draws.rows.T) == pytest.approx(covariance, rel=0.3, abs=0.1 * covariance.max())


def test_no_draw_weighs_more_than_the_root_of_their_number() -> None:
    """Weights 100 and fifteen times 1: the mean is 115/16, so the largest stops at four times that, 28.75. By hand."""
    draws = Draws(Line(), closed_form(Line())[0])
    draws.logs, draws.drawn = 5.0 + np.log([100.0] + [1.0] * 15), 16
    weights, evidence, effective = draws.weighed()
    assert weights == pytest.approx([28.75 / 43.75] + [1.0 / 43.75] * 15)
    assert evidence == pytest.approx(5.0 + np.log(43.75 / 16.0)) and effective == pytest.approx(43.75**2 / (28.75**2 + 15.0))
    draws.logs, draws.drawn = np.log([2.0, 2.0, 2.0, 2.0]), 16  # twelve more that can't be true
    assert draws.weighed()[1:] == pytest.approx((np.log(0.5), 4.0))


def test_draws_that_cannot_be_true_count_and_are_left_out() -> None:
    """A belief that forbids every negative slope, and one that forbids all."""

    class Barred(Line):
        least = 0.0

        def log_prior(self, rows: np.ndarray) -> np.ndarray:
            return np.where(rows[:, 1] > self.least, super().log_prior(rows), -np.inf)

    class Never(Barred):
        least = 1e9

    some, none = Draws(Barred(sigma=3.0), np.zeros(2)), Draws(Never(), np.zeros(2))
    some.draw(40)
    some.draw(20)
    none.draw(40)
    assert some.drawn == 60 and 20 <= len(some.rows) <= 40 and np.all(some.rows[:, 1] > 0.0) and some.possible
    assert none.drawn == 40 and not len(none.rows) and not none.possible
    found = some.sample()
    assert len(found.rows) == len(found.weights) == found.simulation.shape[1] and found.weights.sum() == pytest.approx(1.0)


def test_a_fit_tells_its_cost_and_residuals_with_the_true_noise_wherever_it_ended() -> None:
    """Half the sum of squares at the row that was found, also where the search ended with the noise eased."""
    for easing in ((1.0,), (3.0,), (10.0, 1.0)):
        found = fit(Line(), np.zeros(2), easing)
        residual = Line().residuals(found.row[None])[:, 0]
        assert found.row == pytest.approx(closed_form(Line(sigma=0.3 * easing[-1]))[0], abs=1e-4)
        assert found.cost == pytest.approx(0.5 * float(residual @ residual))
        assert found.left == pytest.approx(residual[: len(TIME)])


def test_a_hopeless_fit_is_not_followed_to_the_true_noise() -> None:
    """Beyond a cost that the eased one has already: the row is that of ten times the noise; a cost below is followed."""
    eased = fit(Line(sigma=3.0), np.zeros(2)).cost

    def ended(hopeless: float) -> np.ndarray:
        return fit_all({"": Line()}, {"": np.zeros(2)}, {"": (10.0, 1.0)}, hopeless)[""].row

    assert ended(0.9 * eased) == pytest.approx(closed_form(Line(sigma=3.0))[0], abs=1e-4)
    assert ended(1.1 * eased) == pytest.approx(closed_form(Line())[0], abs=1e-4)


@pytest.mark.parametrize(("function", "start"), [
    (lambda x, y: [10.0 * (y - x * x), 1.0 - x], (-1.2, 1.0)),
    (lambda x, y: [x * x + y - 11.0, x + y * y - 7.0], (1.0, 1.0)),
    (lambda x, y: [np.exp(x) - 2.0, x + y, y + 1.0], (3.0, 0.0)),
    (lambda x, y: [x - 0.7 * np.sin(x) - 0.2 * np.cos(y), y - 0.7 * np.cos(x) + 0.2 * np.sin(y)], (4.0, -3.0)),
    (lambda x, y: [1e3 * np.arctan(x), y - 3.0], (3.0, 0.0)),
])  # fmt: skip
def test_a_bent_valley_is_followed_as_a_reference_search_does(function: Any, start: tuple[float, float]) -> None:
    """scipy.optimize.least_squares from the same start, to the tolerance of 0.3 % of the cost. Problems 1, 2 and 4 are those of
    Rosenbrock (1960), Himmelblau (1972) and Broyden's kind, from memory."""
    found = fit(Curve(function), np.array(start))  # type: ignore[arg-type]
    best = least_squares(lambda row: np.array(function(*row)), start)
    assert found.cost <= 1.003 * best.cost + 1e-6
    assert found.row == pytest.approx(best.x, abs=0.02)


def test_a_start_at_the_best_is_left_alone_after_one_step() -> None:
    curve = Curve(lambda x, y: [x, y, 1.0 + 0.0 * x])
    found = fit(curve, np.zeros(2))  # type: ignore[arg-type]
    assert (found.cost, curve.asked) == (0.5, 2)


class Parabola:
    """a + b t + c t^2 with a noise of 0.1, standard normal beforehand."""

    names, size = ("a", "b", "c"), len(TIME)
    steps, weak_precision = np.full(3, 0.01), np.zeros(3)
    design = np.stack([np.ones(len(TIME)), TIME, TIME**2], axis=1) / 0.1

    def __init__(self, *free: int) -> None:
        self.free = free

    def residuals(self, rows: np.ndarray) -> np.ndarray:
        return np.vstack([self.design @ rows.T - MEASURED[:, None] / 0.1, rows.T])


@pytest.mark.parametrize("free", [(0, 1, 2), (0, 2), (1, 2), (1,)])
def test_directions_are_a_reference_librarys_with_the_largest_part_positive(free: tuple[int, ...]) -> None:
    """numpy.linalg.eigh of the data's precision; a parameter that does not count stays as it is."""
    design = Parabola.design[:, list(free)]
    gain, vectors = np.linalg.eigh(design.T @ design)
    vectors = np.array([v if v[np.argmax(np.abs(v))] > 0.0 else -v for v in vectors.T]).T
    found = _directions(Parabola(*free), np.zeros(3))  # type: ignore[arg-type]
    both, turned = np.hstack([found.outer, found.inner]), np.hstack([found.soft, found.sharp])
    assert turned == pytest.approx(vectors, abs=1e-6)
    assert both[list(free)] == pytest.approx(vectors / np.sqrt(1.0 + gain), abs=1e-6)
    assert not np.delete(both, list(free), axis=0).any()
    assert found.inner.shape[1] == np.count_nonzero(gain > 20.0)


def test_a_draw_whose_simulation_has_no_value_weighs_nothing() -> None:
    """Those with a negative slope; the others keep their weights beside each other."""

    class Lost(Line):
        def normalised_residuals(self, rows: np.ndarray, simulation: np.ndarray) -> np.ndarray:
            return np.where(rows[:, 1] > 0.0, super().normalised_residuals(rows, simulation), np.nan)

    lost, whole = Draws(Lost(sigma=3.0), np.zeros(2)), Draws(Line(sigma=3.0), np.zeros(2))
    lost.directions = whole.directions
    lost.draw(40)
    whole.draw(40)
    there = whole.rows[:, 1] > 0.0
    assert np.array_equal(lost.rows, whole.rows) and 10 < there.sum() < 40
    assert not lost.weighed()[0][~there].any()
    assert lost.logs[there] == pytest.approx(whole.logs[there])
