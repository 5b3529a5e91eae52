"""The meter's error and the state of a coil."""

from __future__ import annotations

from math import sqrt

import pytest

from baybook.api import Reading, ratio, resistance
from baybook_physics.coil import circuit_resistance, resistance_at, state
from baybook_plugins.coil.meter import Meter


def ohm(text: str) -> Reading:
    return resistance("any").parse(text)


METER = Meter(ratio("any", exact=True).parse("1 %"), 2, resistance("any", exact=True).parse("0.1 ohm"))


def test_a_meter_s_specification_is_a_limit() -> None:
    """± (1 % of 5.2 ohm + 2 digits of 0.1 ohm) is ± 0.252 ohm at most, so u is 0.252/sqrt(3) (JCGM 100:2008, 4.3.7)."""
    error = METER.error(5.2, ohm("5.2 ohm"))
    assert (error.value, error.assumed) == (0.0, True)
    assert error.u == pytest.approx(0.252 / sqrt(3), rel=1e-12)


def test_a_reading_s_own_error_is_what_was_typed_or_half_its_last_digit() -> None:
    """The digits of a specification cover the last one; what was typed is kept beside it."""
    assert METER.own(ohm("3.1 ± 0.05 ohm")).u == pytest.approx(0.05 / 1.96, rel=1e-4)
    assert METER.own(ohm("3.1 ohm")).u == 0.0
    assert METER._replace(digits=0).own(ohm("3 ohm")).u == pytest.approx(0.05 / sqrt(3), rel=1e-12)
    assert Meter(None, 0, None).own(ohm("3 ohm")).u == pytest.approx(0.5 / sqrt(3), rel=1e-12)


def test_current_and_duty_alone_give_the_circuit_s_resistance() -> None:
    """The mean current's formula turned round: 3 ohm at 25 % of 13.5 V with 0.7 V in the diode carry 0.95 A."""
    assert circuit_resistance(13.5, 0.25, 0.7, 0.95) == pytest.approx(3.0)
    with pytest.raises(ValueError, match="not positive"):
        circuit_resistance(13.5, 0.01, 0.7, 0.95)


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
        (0.0, 0.0, None, None, "unresolved"),
        (0.0, 0.0, 2.0, 3.0, "short"),
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
