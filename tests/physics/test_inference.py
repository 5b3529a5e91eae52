"""Inference with a simulator that is no rail: a line with normal beliefs, whose posterior and evidence have closed forms.

Source: Bishop, Pattern Recognition and Machine Learning (2006), eq. 3.50, 3.51 (posterior) and 2.115 (evidence); for two
hypotheses Bayes' rule.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import pytest

from baybook_physics.inference.evidence import ENOUGH, effective, most_probable, probabilities, sample_all
from baybook_physics.inference.fit import fit, fit_all, noise_inflation
from baybook_physics.inference.sample import Sample
from baybook_physics.inference.weights import distances, median, quantile, weighted_interval

TIME = np.linspace(0.0, 1.0, 20)
SIGMA = 0.3
MEASURED = 0.4 + 1.1 * TIME + SIGMA * np.random.default_rng(7).standard_normal(len(TIME))


@dataclass(frozen=True)
class Line:
    """y = a + b t, both standard normal beforehand; `flat` says that b is 0."""

    flat: bool = False
    sigma: float = SIGMA
    names = ("a", "b")
    steps = np.array([0.01, 0.01])
    weak_precision = np.zeros(2)
    size = len(TIME)

    @property
    def free(self) -> tuple[int, ...]:
        return (0,) if self.flat else (0, 1)

    def simulate(self, rows: np.ndarray) -> np.ndarray:
        return rows[:, 0] + (0.0 if self.flat else rows[:, 1]) * TIME[:, None]

    def normalised_residuals(self, rows: np.ndarray, simulation: np.ndarray) -> np.ndarray:
        return (simulation - MEASURED[:, None]) / self.sigma

    def residuals(self, rows: np.ndarray) -> np.ndarray:
        return np.vstack([self.normalised_residuals(rows, self.simulate(rows)), rows.T])

    def residuals_of(self, asked: list[tuple[Line, np.ndarray]]) -> list[np.ndarray]:
        return [line.residuals(rows) for line, rows in asked]

    def log_prior(self, rows: np.ndarray) -> np.ndarray:
        free = rows[:, list(self.free)]
        return -0.5 * np.sum(free**2, axis=1) - 0.5 * len(self.free) * np.log(2.0 * np.pi)

    def with_noise(self, factor: float) -> Line:
        return replace(self, sigma=self.sigma * factor)


def closed_form(line: Line) -> tuple[np.ndarray, np.ndarray, float]:
    """Mean, covariance, and logarithm of the evidence less the Gaussian constant of the data."""
    design = np.stack([np.ones(len(TIME)), TIME], axis=1)[:, list(line.free)] / line.sigma
    covariance = np.linalg.inv(np.eye(design.shape[1]) + design.T @ design)
    whole = np.eye(len(TIME)) + design @ design.T
    y = MEASURED / line.sigma
    evidence = -0.5 * (y @ np.linalg.solve(whole, y)) - 0.5 * np.linalg.slogdet(whole)[1]
    return covariance @ design.T @ y, covariance, float(evidence)


def test_the_fit_is_the_posterior_mean() -> None:
    row = fit(Line(), np.zeros(2)).row
    assert row == pytest.approx(closed_form(Line())[0], abs=1e-6)


def test_draws_have_the_posterior_mean_width_and_evidence() -> None:
    problems = {"line": Line(), "flat": Line(flat=True)}
    fits = fit_all(problems, dict.fromkeys(problems, np.zeros(2)), dict.fromkeys(problems, (10.0, 1.0)))
    for name, problem in problems.items():
        assert fits[name].row == pytest.approx(fit(problem, np.zeros(2), (10.0, 1.0)).row, abs=1e-12)
    assert most_probable(fits) == "line"
    prior = {"flat": 0.5, "line": 0.5}
    samples = sample_all(problems, fits, dict.fromkeys(problems, 2000), prior)
    assert list(samples) == ["line", "flat"]
    for name, found in samples.items():
        mean, covariance, evidence = closed_form(problems[name])
        for place, parameter in enumerate(problems[name].free):
            drawn = weighted_interval(found.rows[:, parameter], found.weights)
            width = float(np.sqrt(covariance[place, place]))
            assert drawn.value == pytest.approx(mean[place], abs=0.1 * width)
            assert drawn.standard == pytest.approx(width, rel=0.06)
        assert found.log_evidence == pytest.approx(evidence, abs=0.05)
    odds = np.exp(closed_form(problems["line"])[2] - closed_form(problems["flat"])[2])
    assert probabilities({name: found.log_evidence for name, found in samples.items()}, prior)["line"] == pytest.approx(
        odds / (1.0 + odds), abs=0.01
    )


def test_few_draws_are_followed_by_more_until_they_are_enough() -> None:
    problems, prior = {"line": Line(), "flat": Line(flat=True)}, {"flat": 0.5, "line": 0.5}
    fits = fit_all(problems, dict.fromkeys(problems, np.zeros(2)), dict.fromkeys(problems, (1.0,)))
    samples = sample_all(problems, fits, dict.fromkeys(problems, 40), prior)
    after = probabilities({name: found.log_evidence for name, found in samples.items()}, prior)
    assert effective(samples, after) >= ENOUGH
    assert len(samples["line"].rows) > 40
    assert len(samples["flat"].rows) == 40  # what is next to impossible needs no more


def test_noise_that_was_said_too_small_is_inflated_and_right_noise_is_not() -> None:
    assert noise_inflation(fit(Line(), np.zeros(2)).left) == 1.0
    assert noise_inflation(fit(Line(sigma=SIGMA / 3.0), np.zeros(2)).left) == pytest.approx(3.0, rel=0.4)


def test_how_many_draws_all_hypotheses_together_are_worth() -> None:
    """The variance of a mean over two is the sum of p^2/n of each: 0.8 of 100 and 0.2 of 10 draws, by hand."""
    none = np.empty(0)
    samples = {name: Sample(none, none, none, 0.0, good, 1) for name, good in (("a", 100.0), ("b", 10.0))}
    assert effective(samples, {"a": 0.8, "b": 0.2}) == pytest.approx(1 / (0.64 / 100 + 0.04 / 10))
    found = probabilities({"a": 1000.0, "b": 1000.0 + np.log(3.0)}, {"a": 0.5, "b": 0.25, "c": 0.25})
    assert found == pytest.approx({"a": 0.4, "b": 0.6, "c": 0.0})


def test_an_inflation_by_hand() -> None:
    """Twenty residuals less six parameters: a Birge ratio of sqrt(20 a2/14); below 1 + 1.5/sqrt(28) it is chance. Neighbours
    that agree beyond 2.5/sqrt(20) take (1 - r)/(1 + r) of the data away, r at most 0.8."""
    turning = np.array([1.0, -1.0] * 10)
    assert noise_inflation(2.0 * turning) == pytest.approx(2.0 * np.sqrt(20 / 14))
    assert noise_inflation(1.06 * turning) == 1.0 and noise_inflation(1.09 * turning) == pytest.approx(1.09 * np.sqrt(20 / 14))
    assert noise_inflation(np.ones(20)) == pytest.approx(3.0)
    by_threes = np.tile([1.0, 1.0, 1.0, -1.0, -1.0, -1.0], 4)[:20]
    r = (by_threes[1:] @ by_threes[:-1]) / 20  # 0.35, and 0.56 would be chance
    assert 0.3 < r < 2.5 / np.sqrt(20) and noise_inflation(by_threes) == 1.0
    by_fives = np.repeat([1.0, -1.0, 1.0, -1.0], 5)
    r = (by_fives[1:] @ by_fives[:-1]) / 20
    assert noise_inflation(2.0 * by_fives) == pytest.approx(2.0 * np.sqrt(20 / 14) * np.sqrt((1 + r) / (1 - r)))


def test_an_inflation_needs_eight_data() -> None:
    """Of eight, two are left: so few already tell a fit that leaves a multiple of what the readings are good for."""
    turning = np.array([5.0, -5.0] * 4)
    assert noise_inflation(turning[:7]) == 1.0 and noise_inflation(turning) == pytest.approx(5.0 * np.sqrt(8 / 2))


def test_a_median_is_numpys() -> None:
    random = np.random.default_rng(4)
    for shape in ((1,), (2,), (7,), (5, 7), (3, 8)):
        values = random.standard_normal(shape)
        assert median(values) == pytest.approx(np.median(values, axis=-1), abs=1e-15)


def test_quantiles_and_distances_are_numpys() -> None:
    random = np.random.default_rng(5)
    for count in (1, 2, 7, 60):
        values = np.round(random.standard_normal(count), 1)
        assert quantile(values, 0.05) == pytest.approx(np.quantile(values, 0.05), abs=1e-15)
        assert distances(values) == pytest.approx(np.diff(np.unique(values)), abs=1e-15)
