"""A reading typed many times its limit: the unit is asked for, and it decides nothing until it is confirmed."""

from __future__ import annotations

import pytest

from baybook import calculate
from baybook.api import KINDS, Reading, Result, SpecRange, judge
from baybook.reading import parse
from baybook.spec import parse_spec


def judged(value: str, limit: str, kind: str = "gauge pressure") -> tuple[str, str]:
    """The verdict on a reading as typed, and its doubt."""
    reading: Reading = parse(value, KINDS[kind])
    spec: SpecRange = parse_spec(limit, KINDS[kind])
    found = judge("value", reading, spec)
    return found.verdict, str(found.doubt or "")


@pytest.mark.parametrize(
    ("value", "limit", "times"),
    [
        ("42 bar", "3.5 to 5 bar", 8),
        ("2800 bar", "min 200 bar", 14),
        ("58 bar", "min 4 bar", 14),  # 58 psi are 4.0 bar: NIST SP 811:2008, B.8, 1 psi = 6.894757 kPa
        ("4.2 MPa", "3.5 to 5 bar", 8),
    ],
)
def test_a_reading_of_many_times_its_range_decides_nothing(value: str, limit: str, times: int) -> None:
    verdict, doubt = judged(value, limit)
    assert verdict == "undecided"
    assert f"is {times} times the limit" in doubt
    assert "is the unit right?" in doubt and "typed with its ±" in doubt


def test_a_battery_in_millivolts_typed_as_volts_is_doubted() -> None:
    assert judged("12400 V", "min 9.6 V", "voltage")[0] == "undecided"


@pytest.mark.parametrize(
    ("value", "limit", "kind", "word"),
    [
        ("42.0 ± 0.5 bar", "3.5 to 5 bar", "gauge pressure", "outside"),  # confirmed
        ("7 bar", "3.5 to 5 bar", "gauge pressure", "outside"),  # a return that is shut
        ("0.4 bar", "3.5 to 5 bar", "gauge pressure", "outside"),  # a pump that stands
        ("4 bar", "max 0.4 bar", "gauge pressure", "outside"),  # a blocked return
        ("80 mL/min", "max 6 mL/min", "flow", "outside"),  # an injector that leaks
        ("500 ohm", "0.3 to 0.6 ohm", "resistance", "outside"),  # a broken winding
        ("1.2 V", "max 0.1 V", "voltage", "outside"),  # a bad contact
        ("350 mV", "-50 to 50 mV", "voltage", "outside"),  # an error about zero is no level
        ("12.1 V", "0.3 to 0.9 V", "voltage", "outside"),  # a driver that is dead: the supply stands on the wire
        ("12.4 V", "0.4 to 4.6 V", "voltage", "outside"),  # a signal that is shorted to the battery
        ("350 bar", "min 200 bar", "gauge pressure", "within"),
    ],
)
def test_what_a_fault_brings_about_and_what_was_confirmed_counts_in_full(value: str, limit: str, kind: str, word: str) -> None:
    assert judged(value, limit, kind) == (word, "")


def test_a_rail_pressure_of_a_tenth_is_asked_about_and_still_counts() -> None:
    """25 bar may be 25 MPa; a dead pump brings 25 bar as well."""
    verdict, doubt = judged("25 bar", "min 200 bar")
    assert verdict == "outside"
    assert "about a tenth of the limit" in doubt


@pytest.mark.parametrize(
    ("name", "given"),
    [
        ("cranking", {"pressure": "2800 bar", "enable": "min 200 bar"}),
        ("reading", {"what": "feed pressure", "value": "42 bar", "limit": "3.5 to 5 bar"}),
        ("supply", {"load": "18 bar", "load_limit": "1.5 to 2 bar"}),
    ],
)
def test_every_calculator_says_it_and_moves_no_odds_by_it(name: str, given: dict[str, str]) -> None:
    found: Result = calculate(name, **given)
    assert [verdict.verdict for verdict in found.verdicts] == ["undecided"]
    assert any("is the unit right?" in str(line) for line in found.warnings)
    assert not [finding for finding in found.findings if finding.strength in ("cleared", "indicated", "proven")]
    assert found.answers == ()


def test_a_pressure_that_no_starter_brings_is_asked_about_without_a_limit() -> None:
    assert any("check number and unit" in str(line) for line in calculate("cranking", pressure="2800 bar").warnings)
