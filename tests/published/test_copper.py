"""Copper's resistance over temperature, against the rules of the standards and handbooks."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from baybook_physics.coil import COPPER_ZERO, copper_ratio, resistance_at

DATA = Path(__file__).parent / "data"


def rows() -> list[dict[str, str]]:
    with (DATA / "copper_resistance.csv").open() as file:
        return list(csv.DictReader(line for line in file if not line.startswith("#")))


@pytest.mark.parametrize("row", rows(), ids=lambda row: f"{row['T_C']}C")
def test_ratio_follows_the_handbook_rule(row: dict[str, str]) -> None:
    """R(T)/R(20 C) is (234.5 + T)/254.5 to the six digits of the computed table (copper handbooks; constant from memory)."""
    assert copper_ratio(20, float(row["T_C"])) == pytest.approx(float(row["ratio_234.5"]), abs=6e-7)


@pytest.mark.parametrize("row", rows(), ids=lambda row: f"{row['T_C']}C")
def test_ratio_agrees_with_the_other_two_rules(row: dict[str, str]) -> None:
    """The rules of IEC 60028 (0.00393 per K, from memory) and IEC 60034-1 (235, from memory) differ by under 0.08 %."""
    ours = copper_ratio(20, float(row["T_C"]))
    assert ours == pytest.approx(float(row["ratio_alpha_0.00393"]), rel=1e-4)
    assert ours == pytest.approx(float(row["ratio_235"]), rel=8e-4)


def test_the_constant_is_the_coefficient_of_the_standard() -> None:
    """1/(234.5 + 20) is 0.00393 per K, the coefficient of IEC 60028:1925 to its printed digits (from memory)."""
    assert round(1 / (COPPER_ZERO + 20), 5) == 0.00393


def test_a_copper_conductor_at_90_celsius() -> None:
    """A text on IEC 60028 says: about 28 % more resistance at 90 C than at 20 C."""
    assert copper_ratio(20, 90) == pytest.approx(1.28, abs=0.006)


def test_warm_coil_worked_back_to_20_celsius() -> None:
    """0.480 ohm at 60 C is 0.414804 ohm at 20 C: plain arithmetic, 0.480 x 254.5/294.5."""
    assert resistance_at(0.480, 0.0, 60, 20) == pytest.approx(0.414804, abs=1e-6)


def test_there_and_back_is_where_it_was() -> None:
    """Going to any temperature and back leaves the resistance as it was."""
    assert copper_ratio(20, 87) * copper_ratio(87, 20) == pytest.approx(1, rel=1e-15)
