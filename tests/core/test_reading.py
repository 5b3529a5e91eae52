"""Readings from text."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from baybook import numbers, units
from baybook.errors import Refused
from baybook.fields import pressure_difference
from baybook.kinds import KINDS
from baybook.reading import parse


@pytest.mark.parametrize(
    ("text", "value", "unit", "half_width"),
    [
        ("350 ± 5 bar", 350.0, "bar", 5.0),
        ("350+-5bar", 350.0, "bar", 5.0),
        ("350 +/- 5 bar", 350.0, "bar", 5.0),
        ("350 bar ± 1 %", 350.0, "bar", 3.5),
        ("350bar+-1%", 350.0, "bar", 3.5),
        ("(350 ± 5) bar", 350.0, "bar", 5.0),
        ("350 ± 1 % bar", 350.0, "bar", 3.5),
        ("350 bar ± 0.5 MPa", 350.0, "bar", 5.0),
        ("-0,3 ± 0,02 bar", -0.3, "bar", 0.02),
        ("43 °C ± 3 K", 43.0, "°C", 3.0),
        ("100 °F ± 9 °F", 100.0, "°F", 9.0),
        ("2.7 mm²/s ± 2 %", 2.7, "mm2/s", 0.054),
    ],
)
def test_a_typed_uncertainty_is_a_95_percent_half_width(text: str, value: float, unit: str, half_width: float) -> None:
    reading = parse(text)
    assert (reading.value, reading.unit.symbol, reading.assumed) == (value, unit, False)
    assert reading.half_width == pytest.approx(half_width)


@pytest.mark.parametrize(("text", "digit"), [("350 bar", 1.0), ("1,5 MPa", 0.1), ("-0.30 bar", 0.01), ("12.4 V", 0.1)])
def test_without_one_it_is_half_a_digit_equally_likely_and_says_so(text: str, digit: float) -> None:
    """JCGM 100:2008, 4.3.7: the standard uncertainty of a half-width a, equally likely within, is a / sqrt(3)."""
    reading = parse(text)
    assert reading.assumed
    assert reading.u == pytest.approx(digit / 2 / 3**0.5)
    assert (reading.half_width, reading.widest) == pytest.approx((0.475 * digit, 0.5 * digit))


@pytest.mark.parametrize(
    ("text", "kind", "message"),
    [
        ("350 bar", "time", "is a pressure; give a time, such as 30 s"),
        ("350 bar abs", "gauge pressure", "is an absolute pressure; give a gauge pressure, such as 350 bar"),
        ("14.7 psig", "absolute pressure", "is a gauge pressure; give an absolute pressure, such as 1.01 bar"),
        ("350", "gauge pressure", "has no unit; give one, such as 350 bar"),
        ("bar", "gauge pressure", "has no number; give a reading, such as 350 bar"),
        ("30 mpa", "gauge pressure", 'has a unit that is not known, "mpa"; did you mean MPa?'),
        ("1,500 bar", "gauge pressure", "could be read in two ways; write 1500 or 1.5"),
        ("1.500 bar", "gauge pressure", "could be read in two ways; write 1500 or 1.5"),
        ("2.345 bar", "gauge pressure", "could be read in two ways; write 2345 or 2.3450"),
        ("12.000 bar", "gauge pressure", "could be read in two ways; write 12000 or 12.0"),
        ("350 bar ± 1.500 bar", "gauge pressure", "could be read in two ways; write 1500 or 1.5"),
        (
            "1500 600 bar",
            "gauge pressure",
            "has groups of digits that do not fit together; give one number, such as 1500 or 1 500",
        ),
        ("350 bar ± 1 % 5000 psi", "gauge pressure", 'has "5000 psi" behind its percentage; leave it out'),
        (
            "20 °C ± 5 %",
            "temperature",
            "has a percentage of a temperature, which depends on where its zero is; give it in K, such as ± 2 K",
        ),
        ("350 ± 5 ± 3 bar", "gauge pressure", "has more than one ±; give one, such as 350 ± 5 bar"),
        ("350 ± -5 bar", "gauge pressure", "has a negative uncertainty; give its size, such as ± 5 bar"),
        ("350 bar ± 5 s", "gauge pressure", "has an uncertainty that is a time; give it in bar or in %"),
        (
            "30 s(g)",
            "gauge pressure",
            'has a unit that is not known, "s(g)"; use Pa, kPa, MPa, GPa, hPa, bar, mbar, psi, kgf/cm2, atm, torr, mmHg',
        ),
    ],
)
def test_what_does_not_fit_is_refused_with_what_would(text: str, kind: str, message: str) -> None:
    with pytest.raises(Refused) as refusal:
        parse(text, KINDS[kind])
    assert str(refusal.value) == message


@pytest.mark.parametrize(
    ("text", "kind"),
    [("3 bar(g)", "gauge pressure"), ("3 barg", "gauge pressure"), ("14.7 psia", "absolute pressure"),
     ("1 bar abs", "absolute pressure"), ("3 bar", "pressure")],
)  # fmt: skip
def test_gauge_and_absolute_marks_decide_the_kind(text: str, kind: str) -> None:
    assert parse(text).kind.name == kind


def test_a_temperature_difference_never_goes_by_the_zero_point() -> None:
    assert parse("5 K", KINDS["temperature difference"]).number("°F") == pytest.approx(9.0)
    assert parse("5 °C", KINDS["temperature difference"]).number("K") == pytest.approx(5.0)


@given(st.sampled_from([u for family in units.families() for u in units.in_family(family)]), st.floats(0.01, 1e6))
def test_every_unit_is_read_and_converts_there_and_back(unit: units.Unit, value: float) -> None:
    kind = KINDS[unit.family]
    reading = parse(f"{numbers.unmistakable(repr(value))} ± 0 {unit.symbol}", kind)
    for other in units.in_family(unit.family):
        assert reading.to(other.symbol).number(unit.symbol) == pytest.approx(value, rel=1e-9, abs=1e-6)


@given(st.text(max_size=90))
def test_no_text_makes_the_reading_parser_fail_otherwise_than_by_refusing(text: str) -> None:
    try:
        reading = parse(text)
    except Refused as refusal:
        assert refusal.why
    else:
        assert reading.value == reading.value


@pytest.mark.parametrize(
    ("given", "message"),
    [
        ({"value": True, "unit": "bar"}, "is not a reading; give a number and its unit, such as 12 bar"),
        ({"value": [3], "unit": "bar"}, "is not a reading; give a number and its unit, such as 12 bar"),
        ({"value": 3, "unit": "bar", "u95": -1}, "has a negative uncertainty; give its size, such as 5"),
        ({"value": 3, "unit": "s"}, "is a time; give a pressure difference, such as 12 bar"),
    ],
)
def test_numbers_of_a_program_are_refused_like_text(given: dict[str, object], message: str) -> None:
    with pytest.raises(Refused) as refusal:
        pressure_difference("the pressure").parse(given)
    assert str(refusal.value) == message


def test_numbers_of_a_program_without_an_uncertainty_have_half_a_digit() -> None:
    """GUM (JCGM 100:2008), F.2.2.1: half a unit of the last digit either way, equally likely, so divided by the root of 3."""
    reading = pressure_difference("the pressure").parse({"value": 12.5, "unit": "bar"})
    assert (reading.value, reading.unit.symbol, reading.assumed) == (12.5, "bar", True)
    assert reading.u == pytest.approx(0.05 / 3**0.5)
