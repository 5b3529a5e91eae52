"""The shut rail is found in a capture: after the pump stops, before anything opens."""

from __future__ import annotations

from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from tests.hold.simulator import draw_case

from baybook_plugins.hold.capture.fitted import _later_begin
from baybook_plugins.hold.capture.window import ENGINE_STOPPED, PRESSURE_GONE, find_at_rest, find_window


def test_a_capture_that_is_all_hold_is_taken_whole() -> None:
    """60 simulated holds, quick and slow, noisy and stepped."""
    random = np.random.default_rng(8)
    for _ in range(60):
        case = draw_case(random)
        found = find_window(case.time, case.pressure)
        assert (found.first, found.end) == (0, len(case.time))


@pytest.fixture(params=[(0.01, 8.0), (0.05, 25.0), (0.002, 60.0)])
def cranked(request: pytest.FixtureRequest) -> tuple[np.ndarray, np.ndarray, float]:
    """Pump runs for five seconds with ripple and rises; 30 s of hold at a rate; then something opens."""
    interval, halving = request.param
    t = np.arange(0.0, 40.0, interval)
    pump = 60.0 + 45.0 * np.minimum(t / 4.0, 1.0) + 1.5 * np.sin(2.0 * np.pi * 12.0 * t)
    hold = 105.0 * 0.5 ** (np.maximum(t - 5.0, 0.0) / halving)
    opened = 105.0 * 0.5 ** (30.0 / halving) * np.exp(-np.maximum(t - 35.0, 0.0) / 0.15)
    p = np.where(t < 5.0, pump, np.where(t < 35.0, hold, opened))
    return t, p + 0.1 * np.random.default_rng(2).standard_normal(len(t)), halving


def test_the_hold_lies_between_pump_stop_and_opening(cranked: tuple[np.ndarray, np.ndarray, float]) -> None:
    """Within half a second at the start; the end is never behind the opening."""
    t, p, _ = cranked
    found = find_window(t, p)
    assert t[found.first] == pytest.approx(5.0, abs=0.5)
    assert 33.0 < t[found.end - 1] <= 35.2
    assert found.begins == "until then pressure rose or was kept up"
    assert found.ends == "then pressure rose, fell at once or was gone"
    assert (found.begin_time, found.end_time) == (t[found.first], t[found.end - 1])


def test_the_longer_of_two_holds_is_taken() -> None:
    t = np.arange(0.0, 60.0, 0.02)
    p = np.where(t < 15.0, 100.0 - t, 120.0 - 0.8 * (t - 15.0)) + 0.05 * np.random.default_rng(1).standard_normal(len(t))
    found = find_window(t, p)
    assert t[found.first] == pytest.approx(15.0, abs=0.4)
    assert found.end == len(t)


def test_at_rest_a_stretch_too_short_is_passed_over_and_none_that_holds_is_said() -> None:
    """The engine stands for three samples at 5 s and from 10 s on; pressure falls from there."""
    t = np.arange(0.0, 30.0, 0.05)
    p = np.where(t < 10.0, 100.0, 100.0 * np.exp(-(t - 10.0) / 40.0)) + 0.05 * np.random.default_rng(3).standard_normal(len(t))
    rest = (t >= 10.0) | ((t >= 5.0) & (t < 5.12))
    found = find_at_rest(t, p, rest)
    assert (t[found.first], found.end) == (pytest.approx(10.0, abs=0.5), len(t))
    assert found.begins == ENGINE_STOPPED
    for nothing in (rest & (t < 10.0), rest & (p < 0.0)):
        with pytest.raises(ValueError, match="no stretch in which the engine stands"):
            find_at_rest(t, p, nothing)
    with pytest.raises(ValueError, match="no stretch in which the engine stands"):
        find_at_rest(t, np.zeros(len(t)), rest)


def test_few_samples_are_taken_as_they_are() -> None:
    """60 readings, one each half second: too few to tell ripple from the fall."""
    t = np.arange(0.0, 30.0, 0.5)
    found = find_window(t, 100.0 * np.exp(-t / 40.0))
    assert (found.first, found.end) == (0, len(t))


def test_where_something_opens_slowly_near_the_end_the_hold_ends_before_it() -> None:
    """1 bar/s for 37 s, then 3 bar/s: too slow to be a fall at once, too quick to be the rail's own."""
    t = np.arange(0.0, 40.0, 0.05)
    p = 100.0 - t - 2.0 * np.maximum(t - 37.0, 0.0)
    found = find_window(t, p)
    assert found.first == 0 and t[found.end - 1] == pytest.approx(37.0, abs=0.5)
    assert found.ends == PRESSURE_GONE


def test_what_falls_ever_faster_is_left_to_its_last_piece() -> None:
    """100 - e^t: never left to itself; each cut keeps the piece behind the bulge, and after four it is done."""
    t = np.linspace(0.0, 10.0, 10_000)
    found = find_window(t, 100.0 - 90.0 * np.exp(t - 10.0))
    assert t[found.first] > 9.7 and found.end == len(t)


@pytest.mark.parametrize("pressure", [np.zeros(500), np.linspace(10.0, 120.0, 500)])
def test_where_nothing_is_held_nothing_is_found(pressure: np.ndarray) -> None:
    with pytest.raises(ValueError, match="no stretch"):
        find_window(np.arange(500) * 0.01, pressure)


@pytest.mark.parametrize(
    ("count", "fits_from", "expected"),
    [(100, 15, 20), (100, 5, 10), (100, 60, 0), (34, 4, 0)],
)
def test_a_hold_begins_at_the_first_of_three_later_begins_that_fits(count: int, fits_from: int, expected: int) -> None:
    """At a tenth, a fifth, a third of its time; at its very first sample where none fits, or too few would be left (32)."""

    def explained(first: int) -> Any:
        return SimpleNamespace(good=first >= fits_from)

    first, best = _later_begin(np.arange(count) * 0.1, explained, explained(0))
    assert (first, best.good) == (expected, expected > 0)
