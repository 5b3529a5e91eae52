"""The piece of a signal that falls by itself, in made courses whose edges are known to the sample."""

from __future__ import annotations

import numpy as np
import pytest

from baybook_physics.inference.segment import Segment, _calm, falling_segment

TIME = np.arange(0.0, 48.0, 0.02)  # 2400 samples: ten to a bin, 0.2 s


def quiet(seed: int = 1) -> np.ndarray:
    return 0.02 * np.random.default_rng(seed).standard_normal(len(TIME))


def test_a_fall_alone_is_taken_whole() -> None:
    """From the first sample to the last, without another piece, with noise and without."""
    fall = 100.0 * np.exp(-TIME / 30.0)
    for value in (fall, fall + quiet(), np.round(fall, 1)):
        assert falling_segment(TIME, value, 1.0) == (0, len(TIME), True, True, 0)


@pytest.mark.parametrize(("until", "others"), [(20.0, 1), (14.0, 1), (10.0, 0), (6.0, 0)])
def test_of_two_falls_the_longer_is_taken_and_the_other_counted(until: float, others: int) -> None:
    """A jump up at a known time; the first piece counts where it lasts at least a third as long as the second."""
    value = np.where(until > TIME, 80.0 - TIME, 100.0 - 0.9 * (TIME - until)) + quiet()
    found = falling_segment(TIME, value, 1.0)
    assert TIME[found.first] == pytest.approx(until, abs=0.4) and found.end == len(TIME)
    assert (found.from_start, found.to_end, found.others) == (False, True, others)


def test_a_second_piece_that_hardly_falls_is_no_other() -> None:
    """Twenty seconds at one level are no fall."""
    value = np.where(TIME < 20.0, 80.0, 100.0 - 0.9 * (TIME - 20.0)) + quiet()
    assert falling_segment(TIME, value, 1.0).others == 0


def test_what_falls_at_once_ends_it() -> None:
    """An opening at 40 s empties it within half a second."""
    value = np.where(TIME < 40.0, 100.0 - TIME, 60.0 * np.exp(-(TIME - 40.0) / 0.2)) + quiet()
    found = falling_segment(TIME, value, 0.5)
    assert found.first == 0 and TIME[found.end - 1] == pytest.approx(40.0, abs=0.4)
    assert (found.from_start, found.to_end) == (True, False)


def test_below_the_least_it_is_gone() -> None:
    """A straight fall through 10 at 30 s."""
    value = np.maximum(100.0 - 3.0 * TIME, 0.0) + quiet()
    found = falling_segment(TIME, value, 10.0)
    assert TIME[found.end - 1] == pytest.approx(30.0, abs=0.4) and not found.to_end and found.first == 0
    with pytest.raises(ValueError, match="above 200"):
        falling_segment(TIME, value, 200.0)


def test_fewer_than_ten_samples_are_no_piece() -> None:
    """Ten are one."""
    time = np.arange(10.0)
    assert falling_segment(time, 50.0 - time, 1.0).end == 10
    with pytest.raises(ValueError, match="no piece"):
        falling_segment(time[:9], 50.0 - time[:9], 1.0)


def test_a_level_that_is_kept_up_is_no_part_of_the_fall() -> None:
    """Nothing falls for 8 s, then it is left to itself with a time constant of 15 s."""
    value = 100.0 * np.exp(-np.maximum(TIME - 8.0, 0.0) / 15.0) + quiet()
    found = falling_segment(TIME, value, 1.0)
    assert TIME[found.first] == pytest.approx(8.0, abs=0.8) and not found.from_start and found.to_end


def test_ripple_is_no_part_of_the_fall() -> None:
    """A pump's ripple of 2 at 7 Hz dies at 10 s, on a level that falls all the while."""
    ripple = np.where(TIME < 10.0, 2.0 * np.sin(2 * np.pi * 7.0 * TIME), 0.0)
    found = falling_segment(TIME, 100.0 * np.exp(-TIME / 40.0) + ripple + quiet(), 1.0)
    assert 9.8 <= TIME[found.first] < 10.0 + 14 * 0.02 * 2 and found.end == len(TIME)


def test_a_fall_that_quickens_is_followed_by_something_that_opened() -> None:
    """Slowly for 36 s, then ten times as quickly for a tenth of the whole: the opening is left out."""
    value = np.where(TIME < 45.0, 100.0 - 0.5 * TIME, 77.5 - 4.0 * (TIME - 45.0)) + quiet()
    found = falling_segment(TIME, value, 1.0)
    assert found.first == 0 and TIME[found.end - 1] == pytest.approx(45.0, abs=0.6)


def test_a_fall_that_quickens_early_was_kept_up_until_then() -> None:
    """Slowly for 12 s, quickly behind: what was kept up is left out."""
    value = np.where(TIME < 12.0, 100.0 - 0.2 * TIME, 97.6 * np.exp(-(TIME - 12.0) / 20.0)) + quiet()
    found = falling_segment(TIME, value, 1.0)
    assert TIME[found.first] == pytest.approx(12.0, abs=0.8) and found.end == len(TIME)


def test_a_rise_within_the_noise_is_no_rise() -> None:
    """By 0.01 in the first second, with a scatter of 0.02: the record begins with the fall."""
    value = 100.0 + np.where(TIME < 1.0, 0.01 * TIME, 0.01 - 0.04 * (TIME - 1.0)) + quiet()
    assert falling_segment(TIME, value, 1.0) == Segment(0, len(TIME), True, True)


def test_a_top_later_than_an_eighth_is_none_of_the_beginning() -> None:
    """Of 48 s the rise ends at 5 s: begun there; a slower one that ends at 7 s is kept up, and left out as such."""
    rise = np.where(TIME < 5.0, 99.0 + 0.2 * TIME, 100.0 - (TIME - 5.0)) + quiet()
    found = falling_segment(TIME, rise, 1.0)
    assert TIME[found.first] == pytest.approx(5.0, abs=0.3) and not found.from_start


def test_a_ripple_beyond_three_tenths_of_a_step_is_restless() -> None:
    """Logged in steps of 0.1, three times 0.03: 0.2 up and down in turn is beyond."""
    value = np.round(100.0 - 0.02 * TIME, 1)
    assert _calm(TIME, value, np.arange(0, 2401, 10), 0, 240) == 0
    value[:400] += np.where(np.arange(400) % 2, 0.2, -0.2)
    assert _calm(TIME, value, np.arange(0, 2401, 10), 0, 240) == 40


@pytest.mark.parametrize(("lasts", "others"), [(14.0, 0), (18.0, 1)])
def test_a_piece_behind_counts_that_lasts_a_third_as_long(lasts: float, others: int) -> None:
    """The longest first, 48 s; a second one that falls as plainly."""
    time = np.arange(0.0, 48.0 + lasts, 0.02)
    value = np.where(time < 48.0, 100.0 - time, 100.0 - (time - 48.0)) + 0.02 * np.random.default_rng(3).standard_normal(
        len(time)
    )
    found = falling_segment(time, value, 1.0)
    assert found.first == 0 and time[found.end - 1] == pytest.approx(48.0, abs=0.4)
    assert (found.others, found.to_end) == (others, False)


@pytest.mark.parametrize(("falls", "others"), [(0.1, 0), (0.6, 1)])
def test_another_piece_falls_by_four_times_what_noise_may_do(falls: float, others: int) -> None:
    """A scatter of 0.02 makes medians of ten samples differ by 0.05 at most, a ten-thousandth of the range by 0.006."""
    value = np.where(TIME < 20.0, 80.0 - falls * TIME / 20.0, 100.0 - 0.9 * (TIME - 20.0)) + quiet()
    assert falling_segment(TIME, value, 1.0).others == others
