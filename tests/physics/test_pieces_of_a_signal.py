"""The steps by which a signal is cut and reduced, each against a reference library or by hand."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from scipy.interpolate import CubicHermiteSpline

from baybook_physics.inference.binning import _clean, _groups, _hermite, _nodes, _noise, _residual, bin_signal
from baybook_physics.inference.binning import _step as step_of
from baybook_physics.inference.segment import (
    _behind_a_flat,
    _breaks,
    _calm,
    _edges,
    _hanging,
    _scatter,
    _step,
    _tolerance,
    falling_segment,
)


def test_the_four_weights_are_hermites() -> None:
    """scipy.interpolate.CubicHermiteSpline of a value or a slope of 1 at one end, 0 elsewhere."""
    x = np.linspace(0.0, 1.0, 11)
    for weight, (values, slopes) in zip(
        _hermite(x), [([1, 0], [0, 0]), ([0, 1], [0, 0]), ([0, 0], [1, 0]), ([0, 0], [0, 1])], strict=True
    ):
        assert weight == pytest.approx(CubicHermiteSpline([0.0, 1.0], values, slopes)(x), abs=1e-12)


def test_what_a_group_scatters_about_its_own_line_is_a_reference_librarys() -> None:
    """numpy.polyfit of each group; nothing of one of two samples, and of one at a single time its mean."""
    random = np.random.default_rng(6)
    group = np.repeat([0, 1, 2, 3], [7, 2, 3, 12])
    t, p = np.sort(random.uniform(0.0, 9.0, len(group))), random.standard_normal(len(group))
    found = _residual(t, p, group)
    for number in range(4):
        at = group == number
        left = p[at] - np.polyval(np.polyfit(t[at], p[at], 1), t[at])
        assert found[at] == pytest.approx(left if at.sum() > 2 else np.zeros(2), abs=1e-9)


@pytest.mark.parametrize(("count", "found"), [(12, 2 * 0.5 / 1.5**0.5), (30, 2 * 0.5 / 1.5**0.5), (11, 1e-5 * 100.5)])
def test_noise_of_few_samples_is_that_of_second_differences(count: int, found: float) -> None:
    """Half a unit up and down in turn: each lies 1 off its neighbours' mean, with a variance of 1 + 1/4 + 1/4. Below
    twelve samples a hundred-thousandth of the largest."""
    t = np.arange(float(count))
    p = 100.0 + 0.5 * (-1.0) ** t
    assert _noise(t, p, np.arange(count), 0.0) == pytest.approx(found)
    assert _noise(t, p, np.arange(count), 12.0) == pytest.approx(12.0 / 12.0**0.5), "a step is no less than its own spread"


def test_a_straight_line_at_uneven_times_has_no_noise() -> None:
    t = np.cumsum([1.0, 2.0, 0.5, 4.0, 1.0, 0.1, 3.0, 2.0, 2.0, 0.3, 1.0, 5.0, 0.7])
    assert _noise(t, 50.0 - t, np.arange(len(t)), 0.0) == pytest.approx(1e-5 * 49.0)


def test_noise_in_groups_counts_what_their_lines_leave_free() -> None:
    """Four samples +1, -1, -1, +1 have the line 0 and leave two free: 4/2 of each group; three such groups alike."""
    p = np.tile([1.0, -1.0, -1.0, 1.0], 3)
    group = np.repeat([0, 1, 2], 4)
    assert _noise(np.tile(np.arange(4.0), 3) + 4.0 * group, p, group, 0.0) == pytest.approx(2.0**0.5)


@pytest.mark.parametrize(("levels", "step"), [
    ([0.0, 0.5, 1.0, 1.5], 0.5), ([0.0, 0.5, 1.5, 3.5], 0.0), ([0.0, 0.2], 0.2), ([0.0, 0.3, 0.5], 0.2), ([4.0, 4.0], 0.0),
    ([0.0, 1.0, 2.0, 4.0, 7.0], 1.0), ([0.0, 0.1, 0.25, 0.45, 0.52], 0.0),
])  # fmt: skip
def test_a_step_is_what_the_gaps_are_multiples_of(levels: list[float], step: float) -> None:
    """By hand: with fewer than three gaps the least; a twentieth of the way up the gaps, 0.5, 1, 2 give 0.55, which none is."""
    assert step_of(np.array(levels)) == pytest.approx(step, abs=1e-12)


def test_many_gaps_may_hold_one_in_eleven_that_is_no_multiple() -> None:
    """Twenty steps of 0.1 with one of 0.15, and with three."""
    for odd, step in ((1, 0.1), (3, 0.0)):
        gaps = [0.1] * (20 - odd) + [0.15] * odd
        assert step_of(np.cumsum([0.0, *gaps])) == pytest.approx(step)


def test_a_spike_is_one_that_stands_out_of_seven_neighbours() -> None:
    """On a straight line the median of the seven about a sample is the sample: only the spike goes. Eight are too few."""
    line = 50.0 - np.arange(40.0)
    for at in (0, 3, 20, 39):
        value = line.copy()
        value[at] += 500.0
        keep, dropped = _clean(value)
        assert dropped == (0 if at in (0, 39) else 1) and keep[at] == (at in (0, 39))
    value = line.copy()
    value[4] += 500.0
    assert [_clean(value[:count])[1] for count in (8, 9)] == [0, 1]


@pytest.mark.parametrize(("spike", "dropped"), [(11.2, 0), (11.3, 1)])
def test_a_spike_lies_six_times_two_steps_and_a_thousandth_of_the_range_off(spike: float, dropped: int) -> None:
    """A stair up and down over thirty steps of 1, ten samples each: at its top, one above its neighbours, 12.2 lies within 6
    times (2 + 0.0412) and 12.3 beyond."""
    value = np.floor(30.0 - np.abs(np.arange(601.0) - 300.0) / 10.0)
    value[300] += spike
    assert _clean(value)[1] == dropped


def test_groups_are_halves_of_cells() -> None:
    """Of 24 cells 48 halves, every one as long as the other of its cell."""
    nodes = _nodes(30.0)
    t = np.linspace(0.0, 30.0, 5000)
    group = _groups(t, nodes)
    assert (group[0], group[-1], len(np.unique(group))) == (0, 47, 48)
    for cell, (begin, end) in enumerate(pairwise(nodes)):
        inside = (t >= begin) & (t < end)
        assert np.array_equal(group[inside] - 2 * cell, (t[inside] >= 0.5 * (begin + end)).astype(int))


def test_readings_that_cannot_be_fitted_are_refused() -> None:
    t = np.arange(5.0)
    assert bin_signal(t, 9.0 - t).samples == 5
    for time, value in ((t[:4], t[:4]), (t, t[:4]), (np.array([0.0, 1.0, 1.0, 2.0, 3.0]), t), (t[::-1], t)):
        with pytest.raises(ValueError, match=r"too few|does not rise"):
            bin_signal(time, value)


def test_a_scatter_is_about_the_samples_own_parabola() -> None:
    """numpy.polyfit of second degree; one thing more than nothing (1e-6) always."""
    t = np.array([3.0, 3.1, 3.4, 3.5, 4.0, 4.4, 4.5, 5.0])
    p = np.random.default_rng(3).standard_normal(len(t))
    assert _scatter(t, p) == pytest.approx(np.std(p - np.polyval(np.polyfit(t, p, 2), t)) + 1e-6)
    assert _scatter(t, 5.0 - t + 0.3 * t**2) == pytest.approx(1e-6, rel=1e-3)


@pytest.mark.parametrize(("count", "bins"), [(9, 4), (12, 4), (15, 5), (30, 10), (720, 240), (2400, 240)])
def test_bins_are_a_third_of_the_samples_at_most_240(count: int, bins: int) -> None:
    edges = _edges(np.arange(float(count)))
    assert (edges[0], edges[-1], len(edges) - 1) == (0, count, bins)
    assert np.ptp(np.diff(edges)) <= 1


def test_no_bin_is_empty_where_the_record_has_a_gap() -> None:
    """Half of the time is missing: the bins of that half are none."""
    time = np.concatenate([np.arange(30.0), 60.0 + np.arange(30.0)])
    edges = _edges(time)
    assert np.all(np.diff(edges) > 0) and 30 in edges and edges[-1] == 60 and len(edges) - 1 < 20


def test_the_step_of_a_signal_is_its_least_but_for_one_in_twenty() -> None:
    assert _step(np.array([3.0, 3.0])) == 0.0
    assert _step(np.cumsum([0.2] * 40)) == pytest.approx(0.2)
    gaps = np.random.default_rng(1).permutation(np.arange(1.0, 102.0))
    assert _step(np.cumsum([0.0, *gaps])) == pytest.approx(6.0)


def test_bins_medians_may_differ_by_noise_steps_and_a_ten_thousandth_of_the_range() -> None:
    """Up and down by 1 in turn, ten samples to a bin: differences of 2 are a noise of sqrt(2), its mean over ten a sqrt(10)th,
    of which eight; two steps of 2; a ten-thousandth of 2. By hand."""
    value = np.tile([1.0, -1.0], 60)
    assert _tolerance(value, np.arange(0, 121, 10)) == pytest.approx(8.0 * 2.0**0.5 / 10.0**0.5 + 2.0 * 2.0 + 2e-4)


def breaks(level: list[float], least: float = 0.0, tolerance: float = 1.0) -> list[int]:
    return _breaks(np.arange(float(len(level))), np.array(level), tolerance, least)


def test_a_piece_ends_where_the_signal_rises_falls_at_once_or_is_gone() -> None:
    """By hand, one second apart with a tolerance of 1: a rise counts above the lowest so far, a fall at once from six times the
    usual one and three tolerances on."""
    even = [100.0 - 2.0 * n for n in range(20)]
    assert breaks(even) == [0, 20]
    assert breaks([*even[:10], *[value + 2.9 for value in even[10:]]]) == [0, 20], "a rise of 0.9 is within the tolerance"
    assert breaks([*even[:10], *[value + 3.1 for value in even[10:]]]) == [0, 10, 20], "one of 1.1 is not"
    creep = [50.0, 50.4, 50.8, 51.2, *[51.2 - 0.1 * n for n in range(1, 12)]]
    assert breaks(creep)[:2] == [0, 3], "the lowest counts, not the one before"
    for drop, cut in ((14.9, [0, 20]), (15.1, [0, 10, 20])):  # 6 times 2 and 3 times 1
        assert breaks([*even[:10], *[even[9] - drop - 2.0 * n for n in range(10)]]) == cut
    assert breaks(even, least=80.0) == [0, 10, 20] and breaks(even, least=81.0) == [0, 10, 20]
    assert breaks(even, least=79.9) == [0, 11, 20] and breaks(even, least=100.0) == [0, 20]


@pytest.mark.parametrize(("drop", "cut"), [(2.9, False), (3.1, True)])
def test_on_a_level_or_a_rise_three_tolerances_are_a_fall_at_once(drop: float, cut: bool) -> None:
    """Nothing usually falls there."""
    level = [50.0] * 10 + [50.0 - drop] * 10
    assert breaks(level) == ([0, 10, 20] if cut else [0, 20])
    creep = [50.0 + 0.05 * n for n in range(10)]
    assert breaks([*creep, *[value - drop + 0.45 for value in creep]]) == ([0, 10, 20] if cut else [0, 20])


def test_three_tolerances_are_three_of_whatever_size() -> None:
    """Of 2 on a level: 5.9 are none and 6.1 a fall at once."""
    for drop, cut in ((5.9, [0, 20]), (6.1, [0, 10, 20])):
        assert breaks([50.0] * 10 + [50.0 - drop] * 10, tolerance=2.0) == cut


@pytest.mark.parametrize(("drop", "cut"), [(26.9, [0, 20]), (27.1, [0, 10, 20])])
def test_the_usual_fall_is_by_the_second(drop: float, cut: list[int]) -> None:
    """2 in a second and 4 between two bins that lie two seconds apart: 6 times 4 and 3 times 1."""
    when = np.concatenate([np.arange(10.0), 11.0 + np.arange(10.0)])
    level = np.concatenate([100.0 - 2.0 * np.arange(10.0), 82.0 - drop - 2.0 * np.arange(10.0)])
    assert _breaks(when, level, 1.0, 0.0) == cut


def test_the_usual_fall_is_that_of_the_five_before_and_behind_in_its_own_piece() -> None:
    """By hand: quick before and slow behind the place has the median of ten; what fell before a cut does not count."""
    quick = [200.0 - 10.0 * n for n in range(8)]  # ends at 130
    slow = [130.0 - 13.0 - 1.0 * n for n in range(8)]
    assert breaks([*quick, *slow]) == [0, 16], "of 10 and 1 the median is 5.5"
    steep = [130.0 - 37.0 - 1.0 * n for n in range(8)]
    assert breaks([*quick, *steep]) == [0, 8, 16], "37 is more than 6 times 5.5 and 3"


def hanging(level: np.ndarray, tolerance: float = 0.1) -> tuple[int, int]:
    """Of a piece that begins with the fourth point, at 1000 s."""
    whole = np.concatenate([[9e3, 8e3, 7e3], level])
    first, last = _hanging(997.0 + np.arange(float(len(whole))), whole, 3, len(whole), tolerance)
    return first - 3, last - 3


def test_what_hangs_below_the_line_of_its_ends_is_left_whole() -> None:
    """A convex fall and a straight one lie nowhere above the chord; one that bulges by half of what is allowed stays, too."""
    n = np.arange(40.0)
    for level in (100.0 * np.exp(-n / 10.0), 100.0 - 2.0 * n, 100.0 - 2.0 * n + np.sin(np.pi * n / 39.0)):
        assert hanging(level) == (0, 40)
    kink = np.where(n < 20, 100.0 - n, 80.0 - 3.0 * (n - 20.0))
    assert hanging(kink) == (20, 40), "kept up until the knee"
    late = np.where(n < 37, 100.0 - n, 63.0 - 20.0 * (n - 37.0))
    assert hanging(late) == (0, 38), "opened in the last tenth"
    assert hanging(kink[16:23]) == (0, 7) and hanging(kink[16:24]) == (4, 8), "seven are too few to tell"


@pytest.mark.parametrize(("bulge", "first"), [(0.19 + 0.05 * 78.0, 0), (0.21 + 0.05 * 78.0, 20)])
def test_a_bulge_of_two_tolerances_and_a_twentieth_of_the_fall_is_allowed(bulge: float, first: int) -> None:
    """Two straight pieces with a knee that lies by so much above the chord of a fall of 78."""
    n = np.arange(40.0)
    level = np.interp(n, [0.0, 20.0, 39.0], [100.0, 100.0 - 2.0 * 20.0 + bulge, 22.0])
    assert hanging(level)[0] == first


def test_a_flat_beginning_ends_where_the_fall_behind_it_is_as_quick_as_ever() -> None:
    """A straight fall and one that slows down have none; kept up for five seconds of forty, it begins with the sixth."""
    n = np.arange(40.0)

    def first(level: np.ndarray, tolerance: float = 0.1) -> int:
        return _behind_a_flat(n, level, 0, 40, tolerance)

    assert first(100.0 - 2.0 * n) == 0 and first(100.0 * np.exp(-n / 10.0)) == 0
    kept = 100.0 - 2.0 * np.maximum(n - 5.0, 0.0)
    assert first(kept) == 5 and first(kept, tolerance=5.1) == 0 and first(kept, tolerance=4.9) == 5
    for flat in (1, 2, 9):
        assert first(100.0 - 2.0 * np.maximum(n - flat, 0.0)) == flat, "up to a quarter of the piece"


@pytest.mark.parametrize(("slow", "first"), [(0.5, 9), (0.58, 9), (0.62, 0), (0.8, 0), (1.0, 0), (1.3, 0)])
def test_what_falls_by_less_than_three_fifths_at_first_was_kept_up(slow: float, first: int) -> None:
    """Nine seconds with so much of the two in a second that follow."""
    n = np.arange(40.0)
    level = np.interp(n, [0.0, 9.0, 39.0], [100.0, 100.0 - 18.0 * slow, 40.0 - 18.0 * slow])
    assert _behind_a_flat(n, level, 0, 40, 0.1) == first
    shifted = np.concatenate([[500.0, 400.0, 300.0], level])
    assert _behind_a_flat(np.arange(43.0), shifted, 3, 43, 0.1) == (first + 3 if first else 3)


def test_a_piece_counts_that_lasts_ten_samples_above_the_least() -> None:
    """The longer of two, in time and not in samples."""
    time = np.concatenate([np.arange(0.0, 10.0, 0.1), np.arange(10.0, 110.0, 2.5)])
    value = np.where(time < 10.0, 50.0 - time, 90.0 - 0.2 * (time - 10.0))
    found = falling_segment(time, value, 1.0)
    assert found.first >= 99 and found.end == len(time) and found.to_end and not found.from_start


@pytest.mark.parametrize(("later", "first"), [(9, 0), (12, 100)])
def test_a_longer_piece_of_fewer_than_ten_samples_is_none(later: int, first: int) -> None:
    """Ten seconds of a hundred samples, then as many as are said, 2.5 s apart."""
    time = np.concatenate([np.arange(100.0) / 10.0, 10.0 + 2.5 * np.arange(later)])
    value = np.where(time < 10.0, 50.0 - time, 90.0 - 0.2 * (time - 10.0))
    found = falling_segment(time, value, 1.0)
    assert abs(found.first - first) <= 3 and found.others == (1 if first else 0)


def test_the_tail_of_a_rise_is_no_part_of_the_fall() -> None:
    """Ten bins of two hundred in which it rises by less than a tolerance each, then falls: begun at the top."""
    time = np.arange(0.0, 48.0, 0.02)
    value = np.where(time < 1.0, 99.0 + time, 101.0 - time) + 0.02 * np.random.default_rng(2).standard_normal(len(time))
    found = falling_segment(time, value, 1.0)
    assert time[found.first] == pytest.approx(1.0, abs=0.2) and not found.from_start and found.to_end


def calm(*restless: slice, count: int = 2400) -> int:
    """Where it is over in a signal of ten samples to a bin with a scatter of 0.02, which is 1 in those samples."""
    time = 3.0 + 0.02 * np.arange(float(count))
    value = 100.0 - time + 0.02 * np.random.default_rng(4).standard_normal(count)
    for part in restless:
        value[part] += np.where(np.arange(count)[part] % 2, 1.0, -1.0)
    return _calm(time, value, np.arange(0, count + 1, 10), 0, count // 10)


def test_it_is_calm_behind_the_last_restless_window_of_the_first_half() -> None:
    """A window is two bins, twenty samples; in the second half nothing begins anew, and of eleven windows none is judged."""
    assert calm() == 0 and calm(slice(0, 20)) == 2 and calm(slice(0, 60), slice(100, 120)) == 12
    assert calm(slice(100, 120), slice(1800, 1900)) == 12 and calm(slice(1160, 1180)) == 118 and calm(slice(1400, 1420)) == 0
    assert calm(slice(0, 20), count=240) == 0 and calm(slice(0, 20), count=260) == 2


def test_a_piece_of_less_than_eight_bins_has_no_flat_beginning() -> None:
    level = np.array([100.0, 100.0, 90.0, 80.0, 70.0, 60.0, 50.0, 40.0, 30.0])
    assert [_behind_a_flat(np.arange(9.0), level, 0, count, 0.1) for count in (7, 8, 9)] == [0, 1, 1]
