"""One signal behind another: closed forms of means and slopes, a reference library's regression, made courses of speed."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.stats import linregress

from baybook_physics.following import (
    held,
    joined,
    lasting_means,
    lowest,
    runs,
    slope,
    standing,
    step,
    thinned,
    turning,
    unlogged,
)  # fmt: skip

TIME = np.arange(0.0, 20.0, 0.1)


def rows_of(first: float, last: float) -> list[bool]:
    """True from the time `first` to `last`, both counted in."""
    return [first - 1e-9 <= at <= last + 1e-9 for at in TIME]


def test_runs_by_hand() -> None:
    """Runs at both ends, of one sample, and none."""
    assert runs(np.array([True, True, False, True, False, False, True])) == [(0, 2), (3, 4), (6, 7)]
    assert runs(np.array([False, True, True, False])) == [(1, 3)]
    assert runs(np.zeros(3, bool)) == []


def test_an_engine_turns_from_its_start_and_the_settling_on_until_it_comes_to_rest() -> None:
    """200 rpm from sample 50 to 149, that is 5.0 to 14.9 s: counted from 6.5 s on, the second before it rests left out."""
    speed = np.where((TIME > 4.95) & (TIME < 14.95), 200.0, 0.0)
    assert turning(TIME, speed, 1.5).tolist() == rows_of(6.5, 13.9)


def test_an_engine_that_turns_throughout_counts_throughout() -> None:
    """Without a start there is nothing to settle, without an end no rest; at 60 rpm it turns, below that it does not."""
    assert turning(TIME, np.full(len(TIME), 60.0), 1.5).all()
    assert not turning(TIME, np.full(len(TIME), 59.9), 1.5).any()
    assert turning(TIME, np.full(len(TIME), np.nan), 1.5).all()


def test_an_engine_that_starts_with_the_second_sample_has_to_settle() -> None:
    """One sample of rest is a start."""
    speed = np.full(len(TIME), 200.0)
    speed[0] = 0.0
    assert turning(TIME, speed, 1.5).tolist() == rows_of(1.6, 19.9)


def test_a_gap_in_the_speed_takes_the_value_before() -> None:
    """The gap over the start is rest, that over the end is motion."""
    speed = np.where((TIME > 4.95) & (TIME < 14.95), 200.0, 0.0)
    speed[(TIME > 4.5) & (TIME < 5.95)] = np.nan
    speed[(TIME > 14.5) & (TIME < 15.95)] = np.nan
    assert turning(TIME, speed, 1.5).tolist() == rows_of(7.5, 14.9)


def test_a_gap_at_the_beginning_takes_the_first_value() -> None:
    speed = np.where(TIME < 9.95, 200.0, 0.0)
    speed[:3] = np.nan
    assert turning(TIME, speed, 1.5).tolist() == rows_of(0.0, 8.9)


def test_a_short_low_reading_is_no_standstill() -> None:
    """Logged every 0.05 s a low sample or two are passed over; 0.25 s from motion to motion are a new start."""
    time = np.arange(0.0, 20.0, 0.05)
    speed = np.full(len(time), 200.0)
    speed[50:52] = 0.0
    assert turning(time, speed, 1.5).all()
    speed[100:104] = 0.0
    expected = (time < 4.95 - 1.0 + 1e-9) | (time > 5.2 + 1.5 - 1e-9)
    assert turning(time, speed, 1.5).tolist() == expected.tolist()


@pytest.mark.parametrize(("low", "starts"), [(18, False), (20, True)])
def test_a_fifth_of_a_second_from_motion_to_motion_is_a_start(low: int, starts: bool) -> None:
    """Logged every 0.01 s: 0.19 s and 0.21 s."""
    speed = np.full(2000, 200.0)
    speed[1000 : 1000 + low] = 0.0
    assert turning(np.arange(2000) * 0.01, speed, 1.5).all() != starts


def test_runs_are_joined_over_less_than_the_gap_alone() -> None:
    """From the last sample of one to the first of the next."""
    time = np.arange(10.0)
    assert joined(time, [(0, 2), (3, 5), (8, 9)], 2.5) == [(0, 5), (8, 9)]
    assert joined(time, [(0, 2), (3, 5)], 2.0) == [(0, 2), (3, 5)]
    assert joined(time, [(2, 4), (5, 7), (8, 9)], 2.5) == [(2, 9)]


@pytest.mark.parametrize(("level", "moves"), [(104.9, False), (105.2, False), (105.4, True), (95.3, False), (94.9, True)])
def test_a_wanted_value_stands_that_moved_by_a_twentieth_at_most(level: float, moves: bool) -> None:
    """100 and then another level from 10.0 s on: 5 % of the new value stand, more do not for the two seconds that follow."""
    found = standing(TIME, np.where(TIME > 9.95, level, 100.0), 2.0)
    expected = ~np.array(rows_of(10.0, 11.9)) if moves else np.ones(len(TIME), bool)
    assert found.tolist() == expected.tolist()


def test_a_small_value_has_a_small_twentieth() -> None:
    """0.5 and then 0.54."""
    assert not standing(TIME, np.where(TIME > 9.95, 0.54, 0.5), 2.0).all()


def test_what_moves_with_the_second_or_the_last_sample_moves() -> None:
    """From the second on for two seconds; on a way of 5 s to it until a twentieth was left two seconds ago; the last alone."""
    assert standing(TIME, np.where(TIME > 0.05, 200.0, 100.0), 2.0).tolist() == [at < 0.05 or at > 2.05 for at in TIME]
    late = np.concatenate([[0.0], 5.0 + TIME])
    found = standing(late, np.where(late > 0.05, 200.0, 100.0), 2.0)
    assert found[0] and not found[1:14].any() and found[18:].all()
    assert standing(TIME, np.where(TIME > 19.85, 200.0, 100.0), 2.0).tolist() == [at < 19.85 for at in TIME]


def test_nothing_wanted_stands() -> None:
    """At zero a twentieth of the value is nothing, and a value that does not move stands all the same."""
    assert standing(TIME, np.zeros(len(TIME)), 2.0).all()


def test_the_mean_and_what_its_quarters_say_of_it() -> None:
    """Quarters of mean 1, 2, 4 and 9: mean 4, standard error of four values sqrt(38/3)/2 (handbooks of statistics)."""
    time = np.arange(40) * 0.5
    found = lasting_means(time, np.repeat([1.0, 2.0, 4.0, 9.0], 10), 100.0)
    assert len(found.mean) == 1 and found.at(0) == (0, 40, pytest.approx(4.0), pytest.approx(np.sqrt(38 / 3) / 2))


def test_means_of_a_stated_length_begin_wherever_there_is_room() -> None:
    """A straight line of slope 3: ten samples have their mean 4.5 behind the first, their quarters hold 2, 3, 2, 3."""
    time = np.arange(0.0, 3.0, 0.1)
    found = lasting_means(time, 3.0 * np.arange(30.0), 1.0)
    assert found.first.tolist() == list(range(20)) and (found.end - found.first == 10).all()
    assert found.mean == pytest.approx(3.0 * (np.arange(20) + 4.5))
    assert found.u == pytest.approx(np.full(20, np.std([0.5, 3.0, 5.5, 8.0], ddof=1) * 3.0 / 2))


def test_too_few_samples_for_quarters_take_the_scatter_of_all() -> None:
    """Fewer than two to each quarter say nothing of the mean; a single value says nothing at all."""
    values = np.array([1.0, 2.0, 3.0, 6.0, 1.0, 5.0, 2.0])
    assert lasting_means(np.arange(7.0), values, 20.0).u[0] == pytest.approx(np.std(values))
    eight = np.array([*values, 4.0])
    quarters = [1.5, 4.5, 3.0, 3.0]
    assert lasting_means(np.arange(8.0), eight, 20.0).u[0] == pytest.approx(np.std(quarters, ddof=1) / 2)
    assert lasting_means(np.array([0.0]), np.array([5.0]), 1.0).at(0) == (0, 1, 5.0, np.inf)
    assert lasting_means(np.arange(2.0), np.array([1.0, 3.0]), 20.0).u[0] == pytest.approx(1.0)


def test_means_of_few_samples_anywhere_take_the_scatter_of_all() -> None:
    """Five samples each; and of no length each sample is its own mean."""
    values = np.random.default_rng(1).standard_normal(40)
    found = lasting_means(np.arange(40) * 0.1, values, 0.45)
    assert (found.end - found.first).max() == 5 and found.u == pytest.approx(np.full(len(found.u), np.std(values)))
    assert lasting_means(np.arange(40) * 0.1, values, 0.0).mean == pytest.approx(values)


def test_a_slope_and_its_uncertainty_against_a_reference_library() -> None:
    """Residuals that change sign from one to the next hang together the other way, which does not widen: scipy's regression."""
    time = np.array([0.0, 1.0, 2.5, 4.0, 5.0, 7.0])
    values = 3.0 + 2.0 * time + np.array([1.0, -1.0, 0.8, -1.2, 0.9, -0.5])
    reference = linregress(time, values)
    assert slope(time, values) == (pytest.approx(reference.slope), pytest.approx(reference.stderr))
    assert slope(time[:3], values[:3])[0] == pytest.approx(linregress(time[:3], values[:3]).slope)


def test_neighbours_that_hang_together_widen_a_slope() -> None:
    """By (1 + r)/(1 - r) of the variance, r the residuals' first autocorrelation (Bayley & Hammersley, J. R. Stat. Soc.
    Suppl. 8 (1946) 184); at most as if two rows in all were independent."""
    time = np.arange(200.0)
    values = 2.0 * time + 5.0 * np.sin(2 * np.pi * time / 20)
    reference = linregress(time, values)
    left = values - reference.slope * time - reference.intercept
    r = (left[1:] @ left[:-1]) / (left @ left)
    assert slope(time, values) == (
        pytest.approx(reference.slope), pytest.approx(reference.stderr * np.sqrt((1 + r) / (1 - r)), rel=1e-9)
    )  # fmt: skip
    share = np.linspace(0.0, 1.0, 400)
    bent = np.sin(np.pi * share) - 3.0 * np.sin(3 * np.pi * share)
    assert slope(share, bent)[1] == pytest.approx(linregress(share, bent).stderr * np.sqrt(400 / 2))


def test_a_slope_is_the_same_in_any_unit() -> None:
    time = np.arange(50.0)
    values = 2.0 * time + np.sin(2 * np.pi * time / 20)
    assert slope(time, 1e-6 * values) == pytest.approx(tuple(1e-6 * each for each in slope(time, values)))
    assert slope(1e-3 * time, values) == pytest.approx(tuple(1e3 * each for each in slope(time, values)))


def test_too_little_for_a_slope_gives_none() -> None:
    assert slope(np.array([0.0, 1.0]), np.array([0.0, 5.0])) == (0.0, 0.0)
    assert slope(np.array([1.0, 1.0, 1.0]), np.array([0.0, 5.0, 7.0])) == (0.0, 0.0)


def test_the_lowest_lasting_mean_has_the_step_it_was_logged_in() -> None:
    """A dip of a second to 3 in a signal of 5, logged in steps of 0.5: 3 by hand, 0.5/√12 (JCGM 100:2008, 4.3.7)."""
    time = np.arange(0.0, 10.0, 0.01)
    values = np.where((time >= 4.0) & (time < 5.0), 3.0, 5.0)
    values[::100] += 0.5
    mean, u = lowest(time, values, 0.5)
    assert mean == pytest.approx(3.0, abs=0.02)
    assert u == pytest.approx(0.5 / np.sqrt(12.0), rel=0.05)
    assert step(values) == 0.5 and step(np.full(5, 2.0)) == 0.0


def test_a_plot_has_a_few_hundred_points_of_each_column() -> None:
    time = np.arange(4000.0)
    t, y = thinned(time, 2 * time)
    assert len(t) == len(y) == 400 and y[1] == 2 * t[1] == 20.0
    assert thinned(time[:7])[0] == list(range(7))


def test_a_signal_is_held_until_it_is_stale() -> None:
    time = np.arange(12.0)
    values = np.full(12, np.nan)
    values[[2, 4]] = 1.0, 2.0
    assert np.array_equal(held(time, values), [np.nan, np.nan, 1, 1, 2, 2, 2, 2, 2, 2, 2, np.nan], equal_nan=True)
    assert np.isnan(held(time, np.full(12, np.nan))).all()


def test_what_was_not_logged_is_added_up() -> None:
    time = np.arange(0.0, 30.0, 0.1)
    known = (time < 6.0) & ~((time > 2.0) & (time < 2.5))
    assert unlogged(time, known) == pytest.approx(29.9 - 5.9)
    assert unlogged(time, np.ones(len(time), bool)) == 0.0
    assert unlogged(time, np.zeros(len(time), bool)) == pytest.approx(29.9)
