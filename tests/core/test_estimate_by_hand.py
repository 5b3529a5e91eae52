"""Estimates and what propagation makes of a bent function, by hand, by the standard library and by plain simulation."""

from __future__ import annotations

import math
import random
from statistics import NormalDist

import pytest

from baybook.errors import PluginError, Refused
from baybook.estimate import Estimate
from baybook.propagation import Shared, propagate
from baybook.reading import Reading, parse

NORMAL = NormalDist()


@pytest.mark.parametrize("limit", [6.0, 8.0, 9.9, 10.0, 10.1, 13.0, 16.0])
def test_an_uneven_interval_is_two_normal_halves(limit: float) -> None:
    """10, from 8 to 14: 1.96 standard deviations of 2 below and of 4 above (statistics.NormalDist)."""
    found = Estimate(10.0, "bar", 8.0, 14.0)
    half = 2.0 if limit < 10 else 4.0
    share = NORMAL.cdf((limit - 10.0) / half * 1.959963984540054)
    assert found.below(limit) == pytest.approx(share, abs=1e-12) and found.above(limit) == pytest.approx(1 - share, abs=1e-12)


def test_an_exact_estimate_lies_on_one_side() -> None:
    """At the limit on neither."""
    exact = Estimate(10.0, "bar", 10.0, 10.0)
    assert [(exact.below(limit), exact.above(limit)) for limit in (9.0, 10.0, 11.0)] == [(0.0, 1.0), (0.0, 0.0), (1.0, 0.0)]
    half = Estimate(10.0, "bar", 10.0, 12.0)
    assert (half.below(9.0), half.above(9.0), half.below(10.0)) == (0.0, 1.0, 0.5)


def test_nothing_lies_below_what_is_possible() -> None:
    floored = Estimate(1.0, "mL", -1.0, 3.0, at_least=0.0)
    assert (floored.low, floored.value, floored.high) == (0.0, 1.0, 3.0)
    assert floored.below(0.0) == 0.0 and floored.below(0.1) > 0.0 and floored.to("L").at_least == 0.0
    assert Estimate(-1.0, "mL", -2.0, -0.5, at_least=0.0).value == 0.0


def test_a_standard_uncertainty_there_and_back() -> None:
    """1.959964 of them to either side (normal distribution)."""
    found = Estimate.of(5.0, "bar", 0.5)
    assert (found.low, found.high) == pytest.approx((5 - 0.5 * 1.959963984540054, 5 + 0.5 * 1.959963984540054))
    assert found.u == pytest.approx(0.5) and found.to("kPa").u == pytest.approx(50.0)


def test_an_estimate_within_rounding_of_its_interval_is_one() -> None:
    """A billionth of it."""
    assert Estimate(10.000000001, "bar", 9.0, 10.0).value == 10.000000001
    for value in (10.00001, 8.99999):
        with pytest.raises(ValueError, match="outside its interval"):
            Estimate(value, "bar", 9.0, 10.0)


def test_what_was_typed_without_a_width_is_shown_with_half_its_last_digit() -> None:
    typed = Estimate.from_reading(parse("900 bar"))
    assert typed.assumed == pytest.approx(0.5) and typed.show() == "900 bar (± 0.5 assumed)" and typed.show_interval() == ""
    assert (typed.low, typed.high) == pytest.approx((900 - 0.475, 900 + 0.475))
    assert typed.to("MPa").assumed == pytest.approx(0.05)
    plain = Estimate.from_reading(parse("900 ± 12 bar"))
    assert (plain.assumed, plain.show(), plain.show_interval()) == (0.0, "900 bar", "888 … 912")
    assert Estimate(0.5, "", 0.4, 0.6).show() == "0.50" and Estimate(5.0, "bar", 5.0, 5.0).show_interval() == ""


def test_a_source_that_is_equally_likely_within_its_limits_counts_by_its_own_deviation() -> None:
    """A rectangle's 1.96 standard deviations, 1.96 a/sqrt(3), beside a normal's half-width (JCGM 100, 4.3.7 and 5.1.2)."""
    found = propagate(lambda a, b: {"s": a + b}, {"s": "bar"}, a=parse("300 bar"), b=parse("300 ± 1 bar"))["s"]
    both = math.hypot(1.959963984540054 * 0.5 / math.sqrt(3), 1.0)
    assert (found.low, found.high) == pytest.approx((600 - both, 600 + both))


def test_each_side_has_its_own_squares() -> None:
    """x up by 1.2 and down by 0.8, y by 0.3: sqrt(1.2^2 + 0.3^2) above and sqrt(0.8^2 + 0.3^2) below."""
    x, y = Estimate(10.0, "bar", 9.2, 11.2), Estimate(5.0, "bar", 4.7, 5.3)
    found = propagate(lambda x, y: {"s": x + y, "d": x - y}, {"s": "bar", "d": "bar"}, x=x, y=y)
    up, down = math.hypot(1.2, 0.3), math.hypot(0.8, 0.3)
    assert (found["s"].low, found["s"].high) == pytest.approx((15 - down, 15 + up))
    assert (found["d"].low, found["d"].high) == pytest.approx((5 - down, 5 + up))
    turned = propagate(lambda x: {"y": -2 * x}, {"y": "bar"}, x=x)["y"]
    assert (turned.low, turned.high) == pytest.approx((-22.4, -18.4))


def drawn(function, *halves: float, value: float = 0.0) -> tuple[float, float]:
    """2.5 % and 97.5 % of forty thousand draws of normals with these half-widths."""
    chance = random.Random(11)
    found = sorted(function(*(value + chance.gauss(0, half / 1.959964) for half in halves)) for _ in range(40_000))
    return found[1000], found[39_000]


@pytest.mark.parametrize(("name", "function", "value"), [
    ("turns back", lambda x: (x - 0.6) ** 2, 0.0), ("leaps", lambda x: 10.0 if x > 0.7 else 1.0 + 0.01 * x, 0.0),
    ("bends steeply", lambda x: math.exp(5 * x), 0.0), ("levels off", lambda x: min(x, 0.3), 0.0),
])  # fmt: skip
def test_what_bends_too_much_is_drawn(name: str, function, value: float) -> None:
    """Against draws made here (JCGM 101): within 6 % of the interval's width, and the value is inside."""
    low, high = drawn(function, 1.0, value=value)
    found = propagate(lambda x: {"y": function(x)}, {"y": ""}, x=Estimate.of(value, "", 1 / 1.959964))["y"]
    near = 0.06 * (high - low)
    assert found.low == pytest.approx(min(low, function(value)), abs=near)
    assert found.high == pytest.approx(max(high, function(value)), abs=near)


def test_what_moves_only_together_is_drawn() -> None:
    """x y at 0, 0: neither alone changes it, which squares would call certain; by 6000 draws of the product of two normals."""
    one = {name: Estimate.of(0.5, "", 0.5 / 1.959964) for name in "xy"}
    found = propagate(lambda x, y: {"p": (x - 0.5) * (y - 0.5) + x}, {"p": ""}, **one)["p"]
    low, high = drawn(lambda x, y: (x - 0.5) * (y - 0.5) + x, 0.5, 0.5, value=0.5)
    assert (found.low, found.high) == pytest.approx((low, high), abs=0.15)


def test_inputs_that_move_it_together_far_more_than_alone_are_drawn() -> None:
    """x y + (x + y)/10 at 0, 0: alone each moves it by a tenth, together by ten times that; by draws of two normals."""
    one = {name: Estimate.of(0.0, "", 1 / 1.959964) for name in "xy"}
    found = propagate(lambda x, y: {"p": x * y + (x + y) / 10}, {"p": ""}, **one)["p"]
    low, high = drawn(lambda x, y: x * y + (x + y) / 10, 1.0, 1.0)
    assert (found.low, found.high) == (pytest.approx(low, rel=0.1), pytest.approx(high, rel=0.1)) and high > 0.4


def test_a_parabola_is_no_leap_and_has_the_image_of_its_interval() -> None:
    """Four times the half step's change, which is what a square does: 0 to 1 of 0 ± 1, 1.21 of 0 ± 1.1."""
    found = propagate(lambda x: {"y": x * x}, {"y": ""}, x=parse("0 ± 1.1 V"))["y"]
    assert (found.low, found.high) == (0.0, pytest.approx(1.21))


def test_where_there_is_hardly_ever_a_value_it_is_the_authors_error() -> None:
    """A square root that exists for one in forty."""

    def root(x: float) -> dict[str, float]:
        return {"y": math.sqrt(x) if x == 0 else math.sqrt(x - 0.98)}

    with pytest.raises(PluginError, match="nearly all"):
        propagate(root, {"y": ""}, x=parse("0 ± 1 V"))
    some = propagate(lambda x: {"y": math.sqrt(x)}, {"y": ""}, x=parse("0 ± 1 V"))["y"]
    assert some.low == 0.0 and some.high == pytest.approx(math.sqrt(NORMAL.inv_cdf(0.9875) / 1.959964), rel=0.03)


def test_what_is_in_common_moves_each_by_its_own_size() -> None:
    """An absolute error of 1 on both adds in a sum; a share of 1 % moves 100 by 1 and 300 by 3."""
    a, b = parse("100 ± 0 bar"), parse("300 ± 0 bar")
    for shared, half in (
        (Shared(("a", "b"), 1.0), 2.0),
        (Shared(("a", "b"), 0.01, relative=True), 4.0),
        (Shared(("a",), 1.0), 1.0),
    ):
        found = propagate(lambda a, b: {"s": a + b}, {"s": "bar"}, (shared,), a=a, b=b)["s"]
        assert found.high - found.value == pytest.approx(half) == found.value - found.low


def test_a_reading_of_a_programs_numbers() -> None:
    """Half a unit of its last digit where nothing is said, and that it was assumed; 1.96 standard deviations where it is."""
    from baybook.reading import from_numbers

    plain, known = from_numbers(12.5, "bar", None, None), from_numbers("350", "bar", 5, None)
    assert plain.assumed and plain.u == pytest.approx(0.05 / math.sqrt(3)) and plain.half_width == pytest.approx(0.0475)
    assert plain.widest == pytest.approx(0.05) and plain.interval == pytest.approx((12.4525, 12.5475))
    assert not known.assumed and known.half_width == pytest.approx(5.0) and known.text == "350 ± 5 bar"
    assert from_numbers(5, "bar", 0.0, None).u == 0.0 and not from_numbers(5, "bar", 0.0, None).assumed


def test_a_reading_keeps_what_it_is_in_another_unit() -> None:
    """Its bounds convert with it, and it stays the same reading."""
    reading = parse("25 ± 2 °C").within(20.0, 26.0)
    there = reading.to("°F")
    assert there.possible == pytest.approx((68.0, 78.8)) and there.interval == pytest.approx((73.4, 78.8))
    assert there.half_width == pytest.approx(3.6) and there.origin is reading.origin and there.value == pytest.approx(77.0)
    above = Reading.of(100, "mL", u95=1.0, bound="above").to("L")
    assert (above.bound, above.value, above.u) == ("above", pytest.approx(0.1), pytest.approx(0.001 / 1.959964))


@pytest.mark.parametrize(("text", "shown"), [
    ("350 bar", "350 bar"), ("350.0 bar", "350.0 bar"), ("350 ± 5 bar", "350.0 bar"), ("351.26 ± 12 bar", "351 bar"),
    ("1500 ± 120 bar", "1500 bar"), ("0.25 ± 0.004 bar", "0.2500 bar"),
])  # fmt: skip
def test_a_reading_is_shown_by_two_digits_of_its_width_or_as_it_was_typed(text: str, shown: str) -> None:
    """JCGM 100:2008, 7.2.6."""
    assert parse(text).show() == shown


@pytest.mark.parametrize(("text", "value", "half"), [
    ("200 ± 2 % bar", 200.0, 4.0), ("-200 bar ± 2 %", -200.0, 4.0), ("25 ± 2 %", 25.0, 2.0), ("25 % ± 2 %", 25.0, 2.0),
    ("25 % ± 2 % of reading", 25.0, 0.5), ("5 bar ± 20 kPa", 5.0, 0.2), ("20 °C ± 2 K", 20.0, 2.0), ("20 ± 2 °C", 20.0, 2.0),
    ("1.5 ± 0 bar", 1.5, 0.0), ("(5 ± 1) bar", 5.0, 1.0), ("3+-1bar", 3.0, 1.0), ("3+/-1bar", 3.0, 1.0),
])  # fmt: skip
def test_what_stands_behind_the_plus_and_minus(text: str, value: float, half: float) -> None:
    """A share of the size, or a width in the reading's unit or one of its own; by hand."""
    found = parse(text)
    assert (found.value, found.half_width) == pytest.approx((value, half)) and not found.assumed


def test_a_reading_of_eighty_characters_is_one_and_a_longer_one_is_refused() -> None:
    """The bound of what is read at all."""
    assert parse("350" + " " * 74 + "bar").value == 350.0
    with pytest.raises(Refused, match="longer than 80"):
        parse("350" + " " * 75 + "bar")


@pytest.mark.parametrize(("text", "message"), [
    ("-5 - 7 bar", "is a range"), ("25 -7 %", "is a range"), ("25 - %", "not known"), ("25 x7 bar", "not known"),
])  # fmt: skip
def test_a_range_is_no_reading(text: str, message: str) -> None:
    with pytest.raises(Refused, match=message):
        parse(text)


def test_a_program_may_give_no_uncertainty_of_less_than_nothing() -> None:
    from baybook.reading import from_numbers

    with pytest.raises(Refused, match="negative uncertainty"):
        from_numbers(5, "bar", -0.1, None)
    assert from_numbers("1.500", "bar", None, None).u == pytest.approx(0.0005 / math.sqrt(3)), "its one mark is a decimal one"


def test_an_assumed_width_is_shown_to_the_last_digit_typed_only_in_the_unit_in_which_it_was() -> None:
    """12.50 mL has two decimals, and so it has in L, at 0.01250; 12 bar in psi has two digits of its half-width, 6.9 psi."""
    assert parse("12.50 mL").show() == "12.50 mL" and parse("12.50 mL").to("L").show() == "0.01250 L"
    assert parse("12 bar").to("psi").half_width == pytest.approx(0.475 * 14.503774, rel=1e-6)
    assert parse("12 bar").to("psi").show() == "174.0 psi"
