"""A capture reduced to bins: nothing of a slow fall is lost, noise and step are seen, dirt does no harm."""

from __future__ import annotations

import numpy as np
import pytest

from baybook_physics.inference.binning import Bins, _sigma, bin_signal


def fall(t: np.ndarray) -> np.ndarray:
    """A smooth hold, MPa."""
    return 60.0 + 40.0 * np.exp(-t / 30.0) + 4.0 * np.exp(-t / 8.0)


def slope(t: np.ndarray) -> np.ndarray:
    """Its derivative."""
    return -40.0 / 30.0 * np.exp(-t / 30.0) - 4.0 / 8.0 * np.exp(-t / 8.0)


def model_means(b: Bins) -> np.ndarray:
    """What the bins' weights make of the exact curve at the nodes."""
    p, d, h = fall(b.nodes), slope(b.nodes), np.diff(b.nodes)[b.cell]
    left, right, d_left, d_right = b.weights
    return left * p[b.cell] + right * p[b.cell + 1] + h * (d_left * d[b.cell] + d_right * d[b.cell + 1])


@pytest.mark.parametrize("rate", [2.0, 20.0, 1000.0])
def test_means_of_bins_are_exact_for_a_smooth_fall(rate: float) -> None:
    """Within 0.1 kPa, whatever the sample rate."""
    t = np.arange(0.0, 60.0, 1.0 / rate)
    b = bin_signal(t, fall(t))
    assert model_means(b) == pytest.approx(b.value, abs=1e-4)
    assert b.samples == len(t)


def test_gaps_and_missing_rows_leave_no_trace() -> None:
    """A third of the rows gone at random and five seconds missing: the means are still those of the samples that are there."""
    random = np.random.default_rng(3)
    t = np.arange(0.0, 40.0, 0.01)
    t = t[(random.random(len(t)) > 0.33) & ~((t > 12.0) & (t < 17.0))]
    b = bin_signal(t, fall(t - t[0]))
    assert model_means(b) == pytest.approx(b.value, abs=1e-4)


@pytest.mark.parametrize(("noise", "step"), [(0.12, 0.1), (0.3, 0.2), (0.05, 0.05)])
def test_noise_and_step_are_found(noise: float, step: float) -> None:
    """Noise within 10 %, step exactly."""
    random = np.random.default_rng(1)
    t = np.arange(0.0, 30.0, 0.01)
    p = np.round((fall(t) + noise * random.standard_normal(len(t))) / step) * step
    b = bin_signal(t, p)
    assert b.noise == pytest.approx(np.hypot(noise, step / np.sqrt(12.0)), rel=0.1)
    assert b.step == pytest.approx(step, rel=1e-6)


@pytest.mark.parametrize(("noise", "step"), [(0.12, 0.1), (0.02, 0.2), (0.0, 0.5)])
def test_errors_of_block_means_are_as_stated(noise: float, step: float) -> None:
    """Reduced chi-square of many holds is at most 1.4: never too proud, also where the step hides the noise; nor
    seven times too humble."""
    squares, count = 0.0, 0
    for seed in range(20):
        random = np.random.default_rng(seed)
        t = np.arange(0.0, 30.0, 0.02)
        p = np.round((fall(t) + random.uniform(0.0, step) + noise * random.standard_normal(len(t))) / step) * step
        b = bin_signal(t, p)
        away = (b.value - model_means(b)) / b.sigma
        squares, count = squares + float(np.sum((away - away.mean()) ** 2)), count + len(away)
    assert 0.02 < squares / count < 1.4


def test_a_spike_is_left_out() -> None:
    t = np.arange(0.0, 30.0, 0.02)
    p = fall(t) + 0.05 * np.random.default_rng(1).standard_normal(len(t))
    p[700] += 30.0
    p[701] = 0.0
    b = bin_signal(t, p)
    assert b.dropped == 2
    assert model_means(b) == pytest.approx(b.value, abs=0.1)


def test_a_quick_fall_loses_no_sample() -> None:
    """100 MPa in three seconds at 20 Hz is no spike."""
    t = np.arange(0.0, 3.0, 0.05)
    assert bin_signal(t, 120.0 - 33.0 * t).dropped == 0


def test_readings_by_hand_count_for_no_less_than_their_uncertainty() -> None:
    t = np.linspace(0.0, 60.0, 10)
    expected = np.hypot(0.4, 1e-4 * float(np.ptp(fall(t))))  # the model itself is good for a ten-thousandth of the fall
    assert bin_signal(t, fall(t), known_noise=0.4).sigma == pytest.approx(expected, rel=1e-6)


@pytest.mark.parametrize(("duration", "cells"), [(30.0, 24), (61.0, 24), (62.0, 25), (300.0, 118), (763.0, 300), (770.0, 60)])
def test_cells_grow_and_are_short_enough_to_follow_what_settles(duration: float, cells: int) -> None:
    """None longer than 4.2 s up to 763 s, at least 24, and sixty in hours; the widths grow evenly from 0.35 of the mean on."""
    t = np.linspace(3.0, 3.0 + duration, 50)
    b = bin_signal(t, fall(t))
    widths = np.diff(b.nodes)
    assert len(widths) == cells and b.nodes[0] == 0.0 and b.duration == pytest.approx(duration)
    assert b.longest == pytest.approx(widths[-1]) and (b.longest <= 4.2 or duration > 763.0)
    assert np.diff(widths) == pytest.approx(np.full(cells - 1, 1.3 * duration / cells**2))


def test_means_follow_a_cubic_exactly() -> None:
    """Hermite's cubic is exact for one (numerical analysis), whatever the bins."""
    t = np.sort(np.random.default_rng(2).uniform(0.0, 40.0, 3000))
    t -= t[0]
    b = bin_signal(t, 90.0 - 2.0 * t + 0.03 * t**2 - 2e-4 * t**3)
    nodes = b.nodes[:, None]
    found = b.means(90.0 - 2.0 * nodes + 0.03 * nodes**2 - 2e-4 * nodes**3, -2.0 + 0.06 * nodes - 6e-4 * nodes**2)
    assert found[:, 0] == pytest.approx(b.value, abs=1e-9)
    assert len(b.value) == 48


def test_few_samples_stand_each_for_itself() -> None:
    """Up to four for each half of a cell, 196 in all."""
    for count, bins in ((196, 196), (197, 48)):
        t = np.linspace(0.0, 30.0, count)
        assert len(bin_signal(t, fall(t)).value) == bins


@pytest.mark.parametrize("count", [40, 150])
def test_noise_of_few_uneven_samples(count: int) -> None:
    """From second differences: the mean square of many draws is that of the noise, within 3 % of 0.5 (6 % of its square)."""
    squares = []
    for seed in range(600):
        random = np.random.default_rng(seed)
        t = np.cumsum(random.uniform(0.05, 0.4, count))
        squares.append(bin_signal(t, 100.0 - 0.5 * t + 0.5 * random.standard_normal(count)).noise ** 2)
    assert np.mean(squares) == pytest.approx(0.25, rel=0.06)


def test_eleven_samples_tell_no_noise() -> None:
    """What is left is a hundred-thousandth of the highest value."""
    t = np.arange(11.0)
    assert bin_signal(t, 100.0 - t + 0.5 * np.sin(7 * t)).noise == pytest.approx(1e-5 * 100.0, rel=0.01)


def test_noise_averages_out_in_a_bin() -> None:
    """1 over the root of its samples, beside a ten-thousandth of the change that no model follows (error propagation)."""
    t = np.arange(0.0, 30.0, 0.01)
    b = bin_signal(t, fall(t) + 0.3 * np.random.default_rng(6).standard_normal(len(t)))
    halves = np.sort(np.concatenate([b.nodes, 0.5 * (b.nodes[1:] + b.nodes[:-1])]))
    counts = np.histogram(t, halves)[0]
    assert b.step == 0.0
    assert b.sigma == pytest.approx(np.hypot(b.noise / np.sqrt(counts), 1e-4 * np.ptp(b.value)), rel=5e-3)


def test_a_spike_among_fewer_than_nine_samples_stays() -> None:
    t, p = np.arange(9.0), 100.0 - np.arange(9.0)
    p[4] += 50.0
    assert bin_signal(t[:8], p[:8]).dropped == 0 and bin_signal(t, p).dropped == 1


def test_five_samples_are_enough_and_each_has_its_time() -> None:
    t = np.arange(5.0)
    assert bin_signal(t, 9.0 - t).samples == 5
    with pytest.raises(ValueError, match="too few"):
        bin_signal(t[:4], 9.0 - t[:4])
    with pytest.raises(ValueError, match="too few"):
        bin_signal(np.arange(6.0), 9.0 - t)


@pytest.mark.parametrize(
    ("per_bin", "sigma"), [(0.25, 2.0), (0.5, 2**0.5), (1.0, 1.0), (2.0, 0.5), (5.0, 0.2), (0.0, 1000**0.5)]
)
def test_what_a_step_leaves_in_the_mean_of_a_bin(per_bin: float, sigma: float) -> None:
    """A rectangle's step/sqrt(12); four bins on one level share it, so that their mean is as far off as one; a bin that runs
    through n steps has the mean of a saw, 1/n of it. Without any slope a thousand bins share it."""
    step, means = 0.2, 50.0 + 0.2 * per_bin * np.arange(12)
    found = _sigma(np.full(12, 4), means, step / np.sqrt(12), step)
    white = np.hypot(step / np.sqrt(12) / 2, 1e-4 * np.ptp(means))
    assert found == pytest.approx(np.hypot(white, sigma * step / np.sqrt(12)))


@pytest.mark.parametrize("shake", [0.2, 0.4, 1.0])
def test_noise_shakes_the_error_of_a_step_out_of_a_mean(shake: float) -> None:
    """By exp(-2 pi2 (noise/step)2), the first harmonic of a quantiser's saw under normal dither (Widrow & Kollar, Quantization
    Noise, 2008); the noise that is found holds the step's own. A single bin, and no step at all."""
    step = 0.2
    noise = step * np.sqrt(shake**2 + 1 / 12)
    left = step / np.sqrt(12) * np.exp(-2 * np.pi**2 * shake**2)
    found = _sigma(np.full(3, 100), 50.0 + step * np.arange(3), noise, step)
    assert found == pytest.approx(np.sqrt((noise / 10) ** 2 + (1e-4 * 0.4) ** 2 + left**2))
    assert _sigma(np.array([100]), np.array([50.0]), noise, step) == pytest.approx(np.hypot(noise / 10, left))
    assert _sigma(np.array([100, 25]), np.array([50.0, 50.0]), 0.2, 0.0) == pytest.approx([0.02, 0.04])


@pytest.mark.parametrize(
    ("time", "pressure", "why"), [([0.0, 1.0, 2.0], [3.0, 2.0, 1.0], "too few"), ([0.0, 1.0, 1.0, 2.0, 3.0], [5.0] * 5, "rise")]
)
def test_what_cannot_be_reduced_is_refused(time: list[float], pressure: list[float], why: str) -> None:
    with pytest.raises(ValueError, match=why):
        bin_signal(np.array(time), np.array(pressure))
