"""A pump's balance and its pulsation, against a textbook's example and the Fourier series of half-sine strokes."""

from __future__ import annotations

import numpy as np
import pytest

from baybook_physics.comparison import percent_of_highest
from baybook_physics.orders import kinematic_orders, pulsation, steady_stretch, turned
from baybook_physics.pump import balance
from baybook_physics.strokes import Found, is_of_engine, most_flow, own_strokes, pattern, suspects


def test_what_is_taken_over_what_is_swept_is_the_textbooks() -> None:
    """Fluid-power textbook, example 5-8: 20 US gal/min of 5 in3/rev at 1000 1/min is 92.4 %."""
    found = balance(81.9350, 1000.0, 1.0, 1.0, (70000.0, 5708.24))
    assert (found["efficiency_found"], found["surplus"]) == pytest.approx((0.924, 81935.0 - 75708.24), rel=1e-4)


def test_an_efficiency_in_rail_volume_is_brought_to_low_pressure_by_compression() -> None:
    low, rail = balance(1.0, 1000.0, 0.8, 1.05, (400.0,)), balance(1.0, 1000.0, 0.8, 1.05, (400.0,), in_rail_volume=True)
    assert (low["delivery"], rail["delivery"], rail["delivery_at_rail"]) == pytest.approx((800.0, 840.0, 800.0))
    assert (low["efficiency_found"], low["efficiency_at_rail"]) == pytest.approx((0.4, 0.4 / 1.05))


def test_each_in_per_cent_of_the_highest() -> None:
    assert percent_of_highest([300.0, 240.0, 150.0]) == pytest.approx([100.0, 80.0, 50.0])
    with pytest.raises(ZeroDivisionError):
        percent_of_highest([0.0, 0.0])


def pressure(turns: np.ndarray, strengths: list[float]) -> np.ndarray:
    """Half-sine strokes of these strengths, one a turn each, over their mean."""
    number = len(strengths)
    strokes = [q * np.maximum(np.sin(2 * np.pi * (turns - at / number)), 0.0) for at, q in enumerate(strengths)]
    return sum(strokes) / (sum(strengths) / np.pi) + 100.0


@pytest.mark.parametrize("strengths", [[1.0, 1.0, 1.0], [1.0, 0.5, 1.0], [1.0, 0.7]])
def test_a_recorded_pulsation_has_the_orders_of_its_strokes(strengths: list[float]) -> None:
    time = np.arange(0.0, 4.0, 5e-4)
    turns, rate = turned(time, np.full(len(time), 1500.0), 0.5)
    assert rate == pytest.approx(12.5)
    found = pulsation(turns, pressure(turns, strengths), np.full(len(time), 1500.0), len(strengths), 1)
    expected = kinematic_orders(strengths, 2 * len(strengths))
    assert [each.amplitude for each in found.orders] == pytest.approx(expected.tolist(), abs=5e-3)
    assert found.mean[0] == pytest.approx(101.0, rel=1e-3)
    assert (found.of_speed, found.by_speed) == (frozenset(), 0.0)


def test_an_order_that_the_speed_has_itself_is_told() -> None:
    time = np.arange(0.0, 4.0, 5e-4)
    speed = 1500.0 + 60.0 * np.sin(2 * np.pi * 12.5 * time)
    turns, _ = turned(time, speed, 0.5)
    found = pulsation(turns, pressure(turns, [1.0, 1.0, 1.0]), speed, 3, 1)
    assert found.of_speed == {1.0} and found.by_speed >= 0.0


def test_a_steady_stretch_is_where_the_engine_turns_and_the_target_stands() -> None:
    time = np.arange(0.0, 10.0, 0.01)
    speed = np.where(time < 2.0, 0.0, 800.0)
    target = np.where(time < 7.0, 300.0, 900.0)
    rows = steady_stretch(time, speed, target)
    assert 2.9 < time[rows][0] < 3.2 and time[rows][-1] < 7.1
    assert steady_stretch(time, np.zeros(len(time))) == slice(0, 0)
    assert time[steady_stretch(time, speed, np.full(len(time), np.nan))][-1] > 8.0, "a target that is never told is none"


STROKES = [Found(3.0, 1.0, 0.01, 0.01), Found(6.0, 0.5, 0.01, 0.01)]


@pytest.mark.parametrize(
    ("worst", "lacks", "judged", "said"),
    [
        (Found(1.0, 0.01, 0.01, 0.2), None, "", "drowned"),
        (Found(1.0, 0.01, 0.01, 0.01), None, "", "silent"),
        (Found(1.0, 0.15, 0.01, 0.01), None, "", "even"),
        (Found(1.0, 0.2, 0.01, 0.01), None, "", "differs"),
        (Found(1.0, 0.5, 0.01, 0.01), None, "", "differs"),
        (Found(1.0, 9.0, 0.01, 0.01), None, "", "uneven"),
        (Found(1.0, 0.5, 0.01, 0.01), (25.0, 40.0), "", "uneven"),
        (Found(1.0, 0.15, 0.01, 0.01), (2.0, 8.0), "", "even"),
        (Found(1.0, 0.5, 0.01, 0.01), (2.0, 8.0), "", "differs"),
        (Found(1.0, 0.5, 0.01, 0.01), (8.0, 15.0), "", "differs"),
        (Found(1.0, 0.15, 0.01, 0.01), (8.0, 15.0), "within", "even"),
        (Found(1.0, 0.5, 0.01, 0.01), (8.0, 15.0), "within", "differs"),
        (Found(1.0, 0.5, 0.01, 0.01), (8.0, 15.0), "outside", "uneven"),
    ],
)
def test_a_pattern_follows_from_the_worst_order(
    worst: Found, lacks: tuple[float, float] | None, judged: str, said: str
) -> None:
    """Less than a tenth of an element is even, more than a fifth at least is weak: common practice, no source.

    Where a valve may have flattened the orders, what lacks is a least one: even only where the order is small beside the
    strokes, for it is flattened more than they by the ratio of their frequencies at most.
    """
    assert pattern(worst, STROKES, lacks, judged) == said


def test_orders_that_no_valve_flattened_are_as_even_as_they_look() -> None:
    half = Found(1.0, 0.5, 0.01, 0.01)
    assert pattern(half, STROKES, (2.0, 8.0), flattened=False) == "even"
    assert pattern(half, STROKES, (8.0, 15.0), "within", flattened=False) == "even"
    assert pattern(half, STROKES, (8.0, 15.0), flattened=False) == "differs"


def test_orders_of_strokes_and_of_the_engine_are_told_apart() -> None:
    orders = [Found(float(n), 0.1, 0.01, 0.01) for n in range(1, 7)]
    assert [each.order for each in suspects(orders, 3)] == [1.0, 2.0]
    assert [each.order for each in own_strokes(orders, 3)] == [3.0, 6.0]
    assert most_flow(STROKES) == pytest.approx(max(3.0 * 1.0196, 6.0 * 0.5196))
    assert is_of_engine(1.0, 0.5) and not is_of_engine(1.0, 0.625)  # half a turn of the crank is order 1 at a half, 0.8 at 5/8
