"""The meter's error and the state of a coil."""

from __future__ import annotations

from math import sqrt

import pytest

from baybook_plugins.coil.model import meter_u, reading_u, resistance_at, state


def test_a_meter_s_specification_is_a_limit() -> None:
    """± (1 % of 5.2 ohm + 2 digits of 0.1 ohm) is ± 0.252 ohm at most, so u is 0.252/sqrt(3) (JCGM 100:2008, 4.3.7)."""
    assert meter_u(5.2, 0.01, 2, 0.1) == pytest.approx(0.252 / sqrt(3), rel=1e-12)


def test_the_meter_replaces_the_last_digit_and_adds_to_what_was_typed() -> None:
    assert reading_u(None, None, 0.03) == 0.03
    assert reading_u(None, 0.2, 0.03) == 0.2
    assert reading_u(0.15, 0.2, 0.03) == pytest.approx(0.25)
    assert reading_u(0.15, None, 0.03) == 0.15


@pytest.mark.parametrize(
    ("coil", "u", "low", "high", "expected"),
    [
        (2.5, 0.1, 2.0, 3.0, "readable"),
        (29.9, 0.1, 2.0, 3.0, "readable"),
        (30.1, 0.1, 2.0, 3.0, "open"),
        (9_999.0, 1.0, None, None, "readable"),
        (10_001.0, 1.0, None, None, "open"),
        (0.15, 0.01, 2.0, 3.0, "short"),
        (0.21, 0.01, 2.0, 3.0, "readable"),
        (0.1, 0.1, 2.0, 3.0, "short"),
        (0.1, 0.1, 0.2, 0.4, "unresolved"),
        (0.1, 0.1, None, None, "unresolved"),
        (-0.1, 0.1, 2.0, 3.0, "short"),
        (-0.3, 0.1, 2.0, 3.0, "impossible"),
    ],
)
def test_states(coil: float, u: float, low: float | None, high: float | None, expected: str) -> None:
    """Both sides of each border; a short is only called where this meter would have shown a good coil."""
    assert state(coil, u, low, high) == expected


def test_a_coil_at_the_spec_s_temperature_is_not_corrected() -> None:
    assert resistance_at(3.0, 0.2, 20, 20) == pytest.approx(2.8)


def test_forgetting_the_leads_matters_more_than_the_copper_rule() -> None:
    """0.2 ohm of leads on a 0.5 ohm coil is 40 %; 235 instead of 234.5 in the rule is 0.03 % at 60 °C."""
    with_leads, without = resistance_at(0.7, 0.2, 60, 20), resistance_at(0.7, 0.0, 60, 20)
    assert without / with_leads == pytest.approx(1.4)
    assert 0.5 * 255 / 295 / with_leads == pytest.approx(1, abs=3e-4)
