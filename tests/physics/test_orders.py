"""Orders of a pump: kinematics against a published table, and what is put into a signal found in it again."""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pytest

from baybook_physics.orders import kinematic_orders, measured_orders, share_by_speed
from baybook_physics.strokes import missing_share, missing_share_by_strokes, needed_rate

TABLE = Path(__file__).parents[1] / "published" / "data" / "pump_ripple_orders.csv"
ROWS = list(csv.DictReader(line for line in TABLE.read_text().splitlines() if not line.startswith("#")))


def strengths(case: str) -> list[float]:
    """The elements of a row's words: "3 with one at 50 %"."""
    weak = {"dead": 0.0, "50": 0.5}
    found = [1.0] * int(case[0])
    for word, strength in weak.items():
        if word in case:
            found[-1] = strength
    return found


@pytest.mark.parametrize("row", ROWS, ids=[row["case"] for row in ROWS])
def test_kinematic_orders_of_the_published_table(row: dict[str, str]) -> None:
    """Amplitudes over the mean of orders 1 to 12, from a numerical Fourier analysis of 46080 points a turn; printed to 1e-5."""
    found = kinematic_orders(strengths(row["case"]), 12)
    assert found == pytest.approx([float(row[f"order_{n}"]) for n in range(1, 13)], abs=1.5e-5)
    assert float(row["mean_rel"]) == pytest.approx(np.mean(strengths(row["case"])), abs=1e-5)


def test_a_cam_with_lobes_multiplies_all_orders() -> None:
    """As the table's own remark says."""
    found, plain = kinematic_orders([1.0, 1.0, 0.5], 12, lobes=2), kinematic_orders([1.0, 1.0, 0.5], 6)
    assert found[1::2] == pytest.approx(plain) and not found[::2].any()


@pytest.mark.parametrize(("case", "lacks"), [("2 with one dead", 1.0), ("3 with one dead", 1.0), ("3 with one at 50 %", 0.5)])
def test_the_missing_share_comes_back(case: str, lacks: float) -> None:
    """The table's order 1, times the mean of the same case, over a whole pump of mean 1."""
    row = next(row for row in ROWS if row["case"] == case)
    flow = float(row["order_1"]) * float(row["mean_rel"])
    assert missing_share(flow, 1.0, int(case[0])) == pytest.approx(lacks, abs=2e-5)


def test_the_missing_share_by_the_strokes_of_two_elements() -> None:
    row = next(row for row in ROWS if row["case"] == "2 with one dead")
    assert missing_share_by_strokes(float(row["order_1"]), float(row["order_2"]), 2) == pytest.approx(1.0, abs=1e-4)
    with pytest.raises(ValueError, match="3 elements"):
        missing_share_by_strokes(1.0, 1.0, 3)


@pytest.mark.parametrize(("name", "row"), [("3, one at half", (1388.9, 294.7, 0.0, 29.5, 0.0, 42.1))])
def test_pressure_ripple_of_a_stiff_rail(name: str, row: tuple[float, ...]) -> None:
    """dp = K Q_k/(V w_k), 1 L/min healthy at 1500 1/min, 30 cm3, 1.5 GPa: published table, kPa."""
    mean = 1e6 / 60 * 5 / 6  # mm3/s of the case
    orders = kinematic_orders([1.0, 1.0, 0.5], 6)
    found = [1500.0 * q * mean / (30e3 * 2 * np.pi * 25.0 * k) * 1e3 for k, q in enumerate(orders, 1)]
    assert found == pytest.approx(list(row), abs=0.1)


def test_orders_that_were_put_in_are_found() -> None:
    """25 bar at order 1 and 5 bar at order 3, noise of 1 bar, a drift, and a speed that rises by a tenth."""
    time = np.arange(0.0, 12.0, 0.005)
    turns = 1.8 * time * (1 + 0.05 * time / 12)
    rng = np.random.default_rng(2)
    values = 300 + 2 * time + 25 * np.sin(2 * np.pi * turns + 1) + 5 * np.cos(6 * np.pi * turns) + rng.normal(0, 1, len(time))
    first, second, third = measured_orders(turns, values, [1.0, 2.0, 3.0])
    assert first.amplitude == pytest.approx(25.0, abs=0.3) and third.amplitude == pytest.approx(5.0, abs=0.3)
    assert first.stands_out and third.stands_out and not second.stands_out


def test_noise_alone_stands_out_as_seldom_as_it_should() -> None:
    """A hundred recordings of noise, six orders each: by Rayleigh's law one in ten thousand would pass; three of six hundred
    are allowed, since the noise's own size is known roughly."""
    rng = np.random.default_rng(7)
    turns = np.linspace(0.0, 20.0, 1500)
    found = sum(
        each.stands_out
        for _ in range(100)
        for each in measured_orders(turns, rng.normal(0, 1, len(turns)), [1.0, 2.0, 3.0, 4.0, 5.0, 6.0])
    )
    assert found <= 3


@pytest.mark.parametrize(("elements", "order"), [(3, 2), (3, 4), (3, 5), (3, 7), (2, 3)])
def test_a_swing_of_the_speed_looks_like_a_missing_share(elements: int, order: int) -> None:
    """Of 10 % beside the elements' multiples: n strokes a turn that fill with 1 + 0.1 cos(2 pi s k/n) have at order 1 the
    amplitude 0.1 (a sum of cosines that is folded), which one element of n has that lacks 0.1 n/2 (discrete Fourier
    transform by numpy)."""
    turns = np.linspace(0.0, 24.0, 6000)
    speed = 180.0 * (1 + 0.1 * np.cos(2 * np.pi * order * turns + 0.3))
    lacks = 0.1 * elements / 2
    one = np.array([1.0 - lacks] + [1.0] * (elements - 1))
    assert 2 * abs(np.fft.fft(one)[1]) / elements == pytest.approx(0.1)
    assert share_by_speed(turns, speed, elements) == pytest.approx(lacks, rel=0.01)


def test_a_swing_elsewhere_does_not() -> None:
    """At the elements' own number every stroke fills alike."""
    turns = np.linspace(0.0, 24.0, 6000)
    assert share_by_speed(turns, 180.0 * (1 + 0.1 * np.cos(6 * np.pi * turns)), 3) == pytest.approx(0.0, abs=0.005)


def test_fewer_turns_than_a_block_are_refused() -> None:
    """Six make one."""
    turns = np.linspace(0.0, 6.0, 600)
    assert len(measured_orders(turns, np.sin(2 * np.pi * turns), [1.0])) == 1
    with pytest.raises(ValueError, match="6 are needed"):
        measured_orders(turns * 0.999, turns, [1.0])


def test_the_rate_that_shows_the_strokes() -> None:
    """Three elements at 10 turns a second: strokes at 30 Hz, doubled at 60; twice that and a tenth."""
    assert needed_rate(10.0, 3) == pytest.approx(132.0)
