"""Numbers as people type them, and as they are shown."""

import contextlib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from baybook import numbers
from baybook.errors import Refused


@pytest.mark.parametrize(
    ("text", "value", "last_digit"),
    [
        ("350", 350.0, 1.0),
        ("1,5", 1.5, 0.1),
        ("1.50", 1.5, 0.01),
        ("-0.3", -0.3, 0.1),
        (".5", 0.5, 0.1),
        ("1.234,5", 1234.5, 0.1),
        ("1,234.5", 1234.5, 0.1),
        ("1 234 567", 1234567.0, 1.0),
        ("1.234.567", 1234567.0, 1.0),
        ("0,500", 0.5, 0.001),
        ("0.350", 0.35, 0.001),
        ("1.2000", 1.2, 0.0001),
        ("1 500", 1500.0, 1.0),
        ("1234.500", 1234.5, 0.001),
        ("1 234.500", 1234.5, 0.001),
        ("1e3", 1000.0, 1000.0),
        ("1.5E-3", 0.0015, 0.0001),
    ],
)
def test_a_number_has_one_reading_and_a_last_digit(text: str, value: float, last_digit: float) -> None:
    assert numbers.parse_number(text) == pytest.approx((value, last_digit))


@pytest.mark.parametrize(
    "text",
    [
        "1,500",
        "12,345",
        "1.500",
        "-12.345",
        "1500 600",
        "1000 900",
        "3.5 600",
        "1 50",
        "1 500.2 300",
        "nan",
        "inf",
        "",
        "1..2",
        "1,2,3",
        "1.2.3",
        "9" * 50,
        "1e99",
        "٣",
        "1e",
        "--1",
    ],
)
def test_what_is_ambiguous_or_no_number_is_refused(text: str) -> None:
    with pytest.raises(Refused):
        numbers.parse_number(text)


@pytest.mark.parametrize(
    ("text", "parts"),
    [("1 500 bar", ("1 500", "bar")), ("1 5000 bar", ("1", "5000 bar")), ("1 50 bar", ("1", "50 bar")),
     ("1e3bar", ("1e3", "bar")), ("-0.3 to 0.1 bar", ("-0.3", "to 0.1 bar")), ("2.2-2.8 ohm", ("2.2", "-2.8 ohm"))],
)  # fmt: skip
def test_a_number_ends_where_no_group_of_three_follows(text: str, parts: tuple[str, str]) -> None:
    assert numbers.split_number(text) == parts


@given(st.floats(-1e9, 1e9, allow_nan=False), st.integers(0, 5))
def test_a_printed_number_is_read_back(value: float, decimals: int) -> None:
    printed = f"{value:.{decimals}f}"
    assert numbers.parse_number(printed, plain=True)[0] == float(printed)
    assert numbers.parse_number(numbers.unmistakable(printed))[0] == float(printed)


@given(st.text(max_size=60))
def test_no_text_makes_the_number_parser_fail_otherwise_than_by_refusing(text: str) -> None:
    number, rest = numbers.split_number(text)
    assert len(number) + len(rest) <= len(text)
    with contextlib.suppress(Refused):
        numbers.parse_number(number)


@pytest.mark.parametrize(
    ("value", "width", "shown"),
    [(4351.132, 8.2, "4351.1"), (4351.132, 82.0, "4351"), (4351.132, 820.0, "4350"), (0.0012345, 0.0001, "0.00123"),
     (-0.001, 1.0, "0.0"), (35.0, 0.0, "35"), (1.5e7, 0.0, "15000000"),
     (27000.0, 2.3e6, "30000")],
)  # fmt: skip
def test_a_value_is_shown_to_two_digits_of_its_uncertainty(value: float, width: float, shown: str) -> None:
    assert numbers.show(value, width) == shown


@pytest.mark.parametrize("text", ["0.500,2", "0,001.5", "0.123.456", "012,345.6", "0 500", "1,500e3"])
def test_groups_do_not_begin_with_zero_and_a_comma_stays_ambiguous_with_an_exponent(text: str) -> None:
    with pytest.raises(Refused):
        numbers.parse_number(text)


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("+5 bar", ("+5", "bar")),
        ("-5bar", ("-5", "bar")),
        ("5-7 bar", ("5", "-7 bar")),
        ("1e-3 m", ("1e-3", "m")),
        ("1 e-3 m", ("1", "e-3 m")),
        ("2e", ("2", "e")),
        ("1 500 bar", ("1 500", "bar")),
        ("25 600 V", ("25 600", "V")),
        ("bar", ("", "bar")),
    ],
)
def test_a_text_is_split_where_its_number_ends(text: str, parts: tuple[str, str]) -> None:
    assert numbers.split_number(text) == parts


@pytest.mark.parametrize(
    ("probability", "text"),
    [(1.0, "over 99.9 %"), (0.99995, "over 99.9 %"), (0.9984, "99.8 %"), (0.5, "50.0 %"), (0.0015, "0.1 %"),
     (0.999, "99.9 %"), (0.001, "0.1 %"),
     (0.0005, "under 0.1 %"), (0.0, "under 0.1 %")],
)  # fmt: skip
def test_a_chance_is_never_rounded_to_a_certainty(probability: float, text: str) -> None:
    assert numbers.percent_shown(probability) == text


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("e5 3", ("", "e5 3")),
        ("3e", ("3", "e")),
        ("3e5", ("3e5", "")),
        (" 500 bar", ("", "500 bar")),
        ("1 5000", ("1", "5000")),
    ],
)
def test_an_exponent_and_a_group_need_a_digit_before_them(text: str, parts: tuple[str, str]) -> None:
    assert numbers.split_number(text) == parts


@pytest.mark.parametrize(
    ("value", "shown"), [(999_999_999_999_999.0, "9" * 15), (1e15, "1e+15"), (-99_999_999_999_999.0, "-" + "9" * 14)]
)
def test_fifteen_places_are_written_out_and_sixteen_are_not(value: float, shown: str) -> None:
    """A double holds fifteen decimal digits for certain (IEEE 754: DBL_DIG is 15)."""
    assert numbers.fixed(value, 0) == shown


@pytest.mark.parametrize(
    ("value", "width", "shown"),
    [(3.0, 400.0, "3"), (0.4, 40.0, "0"), (-3.0, 400.0, "-3"), (30.0, 400.0, "30"), (6.0, 400.0, "10")],
)
def test_a_value_far_inside_its_uncertainty_keeps_its_size(value: float, width: float, shown: str) -> None:
    """Two digits of the uncertainty (JCGM 100:2008, 7.2.6); where that leaves 0 of tens, the value's own first digit."""
    assert numbers.show(value, width) == shown


@pytest.mark.parametrize(
    ("value", "shown"),
    [(1.05e15, "1.05e+15"), (9.5e14, "950000000000000"), (1.5e-4, "0.00015"), (9.9e-5, "9.9e-05"), (-2.5e7, "-25000000"),
     (1e-4, "0.0001"), (1e15, "1e+15"), (0.5, "0.5")],
)  # fmt: skip
def test_an_exponent_stands_where_the_number_would_not_read_well(value: float, shown: str) -> None:
    """Below a ten-thousandth, and from what a double holds for certain on (IEEE 754: fifteen digits)."""
    assert numbers.plain(value) == shown


@pytest.mark.parametrize(
    ("width", "decimals"), [(0.1, 2), (0.099, 3), (1.0, 1), (9.94, 1), (9.96, 0), (12.0, 0), (99.6, -1), (250.0, -1)]
)
def test_decimals_that_show_two_digits(width: float, decimals: int) -> None:
    """JCGM 100:2008, 7.2.6; of the width as it is rounded itself."""
    assert numbers.decimals_for(width) == decimals and numbers.rounding_width(2.0, 2.0 + 2 * width) == pytest.approx(width)
