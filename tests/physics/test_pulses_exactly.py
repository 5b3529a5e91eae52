"""Where a pulse, its fall, a kink and a period begin and end: made courses whose edges and noise are known to the sample."""

from __future__ import annotations

import numpy as np
import pytest

from baybook_physics.pulses import Pulse, _off, decay_time, kink, noise, periods, pulses, rise_fit


def trapezium(top: float = 10.0) -> np.ndarray:
    """Up in 200 samples, 100 at the top, down in 200, 50 of rest on either side."""
    return np.concatenate(
        [np.zeros(50), np.linspace(0.0, top, 200, False), np.full(100, top), np.linspace(top, 0.0, 200, False), np.zeros(50)]
    )


@pytest.mark.parametrize("floor", [0.0, -2.0, 3.0])
def test_pulses_are_the_same_on_any_floor(floor: float) -> None:
    """They rest for a sixth of the time; 0.5 A up and 1.0 A down are the last at rest and the first gone."""
    current = np.tile(trapezium(), 3)
    for number, pulse in enumerate(pulses(current + floor)):
        at = 600 * number
        assert (pulse.first, pulse.peak, pulse.end) == (at + 60, at + 250, at + 350 + 180)
        assert pulse.off == pytest.approx(at + 349, abs=6)
    assert len(pulses(current + floor)) == 3


@pytest.mark.parametrize(("share", "count"), [(0.195, 2), (0.21, 3)])
def test_a_pulse_passes_a_fifth_of_the_highest(share: float, count: int) -> None:
    current = np.concatenate([trapezium(), trapezium(10.0 * share), trapezium()])
    assert len(pulses(current)) == count


@pytest.mark.parametrize(("samples", "behind"), [(1000, 4), (1010, 4), (990, 4), (500, 4)])
def test_a_fall_begins_behind_the_last_hundredth_that_does_not_fall_by_more_than_noise(samples: int, behind: int) -> None:
    """0.1 a sample from the middle on, against 0.5: over a hundredth of the pulse it falls by 0.4 if that ends four behind."""
    at = np.arange(float(samples))
    assert _off(10.0 - 0.1 * np.maximum(at - samples // 2, 0.0), -0.45) == samples // 2 + behind


def test_a_fall_of_a_short_pulse_is_looked_at_from_sample_to_sample() -> None:
    assert _off(np.array([5.0, 6.0, 6.0, 6.0, 4.0, 2.0, 0.0]), -0.5) == 3
    assert _off(np.array([5.0, 4.0, 3.0, 2.0]), 0.0) == 0 and _off(np.array([5.0, 4.0, 4.0, 2.0]), 0.0) == 0
    assert _off(np.array([6.0, 6.0, 5.6, 5.2, 4.8]), -0.5) == 4


def test_a_current_dies_away_to_a_tenth_or_to_where_it_is_gone() -> None:
    time = np.arange(30.0) ** 1.5
    current = np.concatenate([np.zeros(5), np.full(5, 8.0), [4.0, 2.0, 1.0, 0.8, 0.7], np.zeros(15)])
    assert decay_time(time, current, Pulse(4, 5, 9, 20)) == pytest.approx(time[13] - time[9])
    slow = np.concatenate([np.zeros(5), np.full(25, 8.0)])
    assert decay_time(time, slow, Pulse(4, 5, 9, 20)) == pytest.approx(time[20] - time[9])
    assert decay_time(time, slow, Pulse(4, 5, 9, 30)) == pytest.approx(time[29] - time[9])
    late = np.concatenate([np.full(21, 8.0), np.zeros(9)])
    assert decay_time(time, late, Pulse(0, 0, 9, 20)) == pytest.approx(time[20] - time[9])


E0 = 0.01  # A: up and down in turn; its third differences are 8 E0, which is a normal's scatter of 8 E0/(0.6745 sqrt 20)


def kinked(step: float, width: int = 60, samples: int = 600, bend: float = 0.0, unit: float = 1.0) -> np.ndarray:
    """A rise of 0.008 A a sample at first whose slope falls at 200 by twice the scatters of a line over `width` samples that it
    rises by at 400, which is `step`; bend: of all of it."""
    at = np.arange(float(samples))
    x = np.arange(width) - (width - 1) / 2
    scatter = 8.0 * E0 / 0.6745 / 20.0**0.5 * (2.0 / float(x @ x)) ** 0.5
    rise = 0.008 * at - step * scatter * (2.0 * np.maximum(at - 200.0, 0.0) - np.maximum(at - 400.0, 0.0)) - bend * at**2
    return unit * (rise + E0 * (-1.0) ** at)


def test_the_made_noise_is_what_is_said() -> None:
    assert noise(E0 * (-1.0) ** np.arange(50.0)) == pytest.approx(8.0 * E0 / 0.6745 / 20.0**0.5)


@pytest.mark.parametrize("bend", [0.0, 5e-7])
@pytest.mark.parametrize("unit", [1.0, 1e-9])
def test_a_kink_steps_up_by_five_times_the_scatter_of_its_widest_lines(unit: float, bend: float) -> None:
    """A tenth of the rise: 4.9 times are none, 5.1 one; a bend of all does not count, nor the unit."""
    assert kink(np.arange(600.0), kinked(4.9, bend=bend, unit=unit)) is None
    found = kink(np.arange(600.0), kinked(5.1, bend=bend, unit=unit))
    assert found is not None and found.width == 60
    assert (found.starts, found.stops) == pytest.approx((200, 400), abs=2)


@pytest.mark.parametrize("width", [14, 30, 60])
def test_the_finest_lines_that_stand_out_are_taken(width: int) -> None:
    """A fortieth (15, here of 560 samples 14), a twentieth and a tenth."""
    samples = 560 if width == 14 else 600
    found = kink(np.arange(float(samples)), kinked(5.3, width, samples))
    assert found is not None and found.width == width


def test_a_kink_is_a_tenth_of_the_slope_at_least() -> None:
    """Without noise: a slope of 1 that falls by half and rises by 0.095 or 0.105 of the median."""
    at = np.arange(600.0)
    for share, seen in ((0.095, False), (0.105, True)):
        current = at - 0.5 * np.maximum(at - 150.0, 0.0) + 0.5 * share * np.maximum(at - 500.0, 0.0)
        assert (kink(at, current) is not None) == seen
    assert kink(at, np.zeros(600)) is None and kink(at, at) is None


def test_the_uncertainty_of_a_rise_is_how_far_such_rises_scatter() -> None:
    """Sixty draws of noise: their standard deviation is the jackknife's within a factor of two (Efron 1982, from memory)."""
    t = np.linspace(0.0, 1e-3, 400)
    i = 13.5 / 0.35 * (1 - np.exp(-t * 0.35 / 0.2e-3))
    random = np.random.default_rng(6)
    fits = [fit for _ in range(60) if (fit := rise_fit(t, i + random.normal(0.0, 0.05, 400)))]
    for value, u in (("inductance", "inductance_u"), ("resistance", "resistance_u")):
        drawn = float(np.std([getattr(fit, value) for fit in fits]))
        assert 0.5 < np.mean([getattr(fit, u) for fit in fits]) / drawn < 2.0


TRIANGLE = np.concatenate([np.linspace(0.0, 1.0, 40, False), np.linspace(1.0, 0.0, 40, False)])


def test_three_periods_are_enough() -> None:
    """Valleys behind the first, which is the record's own edge, at every 80 samples."""
    current = np.concatenate([np.full(30, 0.9), np.linspace(0.9, 0.0, 20, False), np.tile(TRIANGLE, 4)[:290]])
    found = periods(np.arange(len(current)) * 1e-3, current)
    assert found is not None and found.length == pytest.approx([0.08] * 3) and found.mean == pytest.approx([0.5] * 3)
    assert periods(np.arange(260) * 1e-3, current[:260]) is None


@pytest.mark.parametrize(("dip", "length"), [(0.38, 0.08), (0.42, 0.04)])
def test_valleys_and_peaks_lie_two_fifths_of_the_range_apart(dip: float, length: float) -> None:
    """Of what lies between the 2nd and 98th hundredth. Every other valley is so deep below the peaks, the others are whole."""
    high = np.concatenate([np.linspace(0.0, 1.0, 20), np.full(4, 1.0)])
    small = np.concatenate([np.linspace(1.0, 1.0 - dip, 16), np.linspace(1.0 - dip, 1.0, 16)])
    current = np.tile(np.concatenate([np.zeros(4), high, small, np.full(4, 1.0), np.linspace(1.0, 0.0, 16)]), 12)
    whole = len(current) // 12
    assert np.quantile(current, (0.02, 0.98)) == pytest.approx([0.0, 1.0])
    found = periods(np.arange(len(current)) * 0.08 / whole, current)
    assert found is not None and np.mean(found.length) == pytest.approx(length, rel=0.05)
