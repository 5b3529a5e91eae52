"""Uncertainty on its way: poles, limits of what is possible, the same reading twice, errors in common."""

import math
import random
from collections.abc import Callable
from statistics import NormalDist

import pytest
import uncertainties

from baybook.declaration import Output
from baybook.errors import PluginError
from baybook.estimate import Estimate
from baybook.fields import duration, ratio, volume
from baybook.propagation import Shared, propagate
from baybook.reading import Reading, parse
from baybook.result import judge
from baybook.spec import SpecRange


def test_a_reading_alone_gives_the_image_of_its_interval() -> None:
    """32 mL in 1 min, read to the whole minute: 95 % of 0.5 to 1.5 min is 0.525 to 1.475 min, so 21.7 to 61.0 mL/min."""
    found = propagate(lambda t: {"q": 32 / t}, {"q": "mL/min"}, t=parse("1 min"))["q"]
    assert (found.low, found.high) == pytest.approx((32 / 1.475, 32 / 0.525))


def test_an_assumed_width_is_never_wider_than_what_is_possible() -> None:
    """JCGM 100:2008, 4.3.7: half a unit either way is a rectangle; 95 % of it is 0.95 of the half, u the half over √3."""
    found = propagate(lambda p: {"p": p}, {"p": "bar"}, p=parse("300 bar"))["p"]
    assert (found.low, found.high) == pytest.approx((300 - 0.475, 300 + 0.475))
    assert parse("300 bar").u == pytest.approx(0.5 / 3**0.5)
    two = propagate(lambda a, b: {"p": a + b}, {"p": "bar"}, a=parse("300 bar"), b=parse("300 bar"))["p"]
    as_estimates = {name: Estimate.from_reading(parse("300 bar")) for name in "ab"}
    assert propagate(lambda a, b: {"p": a + b}, {"p": "bar"}, **as_estimates)["p"].high == pytest.approx(two.high)
    assert two.high - two.value == pytest.approx(1.96 * (2 * 0.25 / 3) ** 0.5, rel=1e-4)  # in squares, below all together


def test_the_same_reading_twice_moves_as_one() -> None:
    """JCGM 100:2008, 5.2.2: fully correlated inputs. x - x is 0 exactly, in whatever unit; x + x is as uncertain as 2 x."""
    x = parse("100 ± 2 bar")
    again = x.to("kPa").to("bar")
    assert propagate(lambda a, b: {"d": a - b}, {"d": "bar"}, a=x, b=again)["d"].u == pytest.approx(0.0, abs=1e-12)
    assert propagate(lambda a, b: {"s": a + b}, {"s": "bar"}, a=x, b=x)["s"].u == pytest.approx(2 * x.u)
    assert propagate(lambda p: {"s": sum(p)}, {"s": "bar"}, p=(x, x))["s"].u == pytest.approx(2 * x.u)
    e = Estimate.of(100.0, "bar", 1.0)
    assert propagate(lambda a, b: {"d": a - b}, {"d": "bar"}, a=e, b=e)["d"].u == 0.0
    alike = parse("100 ± 2 bar")  # another reading that happens to read the same
    assert propagate(lambda a, b: {"d": a - b}, {"d": "bar"}, a=x, b=alike)["d"].u == pytest.approx(2**0.5 * x.u)


def test_an_error_in_common_cancels_in_a_ratio_and_adds_in_a_sum() -> None:
    """Against the `uncertainties` library, the common error as a variable of its own."""
    common = uncertainties.ufloat(1.0, 0.02)
    a, b = parse("10 ± 0 mL"), parse("20 ± 0 mL")
    one = (Shared(("a", "b"), 0.02 * 1.959964, relative=True),)
    found = propagate(lambda a, b: {"r": a / b, "s": a + b}, {"r": "", "s": "mL"}, one, a=a, b=b)
    assert found["r"].u == pytest.approx(0.0, abs=1e-12)
    assert found["s"].u == pytest.approx((10 * common + 20 * common).std_dev, rel=1e-6)
    zero = (Shared(("p",), 1.0),)
    assert propagate(lambda p: {"d": p[0] - p[1]}, {"d": "mL"}, zero, p=(a, b))["d"].u == pytest.approx(0.0, abs=1e-12)


def test_no_reading_is_moved_beyond_what_its_field_allows() -> None:
    duty = ratio("duty", above="0 %", at_most="100 %").parse("25 ± 200 %").to("1")
    seen: list[float] = []
    found = propagate(lambda d: {"d": seen.append(d) or d}, {"d": "1"}, d=duty)["d"]
    assert (min(seen), max(seen)) == (0.0, 1.0)
    assert (found.low, found.high) == (0.0, 1.0)
    assert Estimate.from_reading(duty).high == ratio("duty").record(duty)["high"] == 1.0
    collected = volume("v", at_least="0 mL").parse("1 ± 3 mL")
    assert propagate(lambda v: {"v": v}, {"v": "mL"}, v=collected)["v"].low == 0.0


def test_a_ratio_to_nearly_nothing_is_drawn_and_keeps_its_value() -> None:
    """45 over the mean of 0, 0.5 and 0 ± 1 mL, none of them negative: at least 25 times, whatever the others are.

    Source: the same draws made here with the standard library, from normals cut at zero.
    """
    field = volume("v", at_least="0 mL")
    others = tuple(field.parse(text) for text in ("0 ± 1 mL", "0.5 ± 1 mL", "0 ± 1 mL"))
    found = propagate(
        lambda one, others: {"r": 300 * one / sum(others)}, {"r": "%"}, one=field.parse("45 ± 1 mL"), others=others
    )["r"]
    assert found.low <= found.value <= found.high
    chance = random.Random(3)
    sums = sorted(sum(_cut(chance, middle) for middle in (0.0, 0.5, 0.0)) for _ in range(20000))
    assert found.low == pytest.approx(300 * 45 / sums[19500], rel=0.05)
    assert judge("r", found, SpecRange(None, 150.0, "%")).verdict == "outside"


def _cut(chance: random.Random, middle: float) -> float:
    while (value := chance.gauss(middle, 1 / 1.959964)) < 0:
        pass
    return value


def test_a_pole_inside_the_interval_is_not_jumped_over() -> None:
    found = propagate(lambda x: {"y": 1 / x}, {"y": ""}, x=parse("0.17 ± 0.6 V"))["y"]
    assert found.low < 0 < found.value == pytest.approx(1 / 0.17)
    assert found.low <= found.value <= found.high


def test_what_has_no_number_at_the_readings_is_the_authors_error() -> None:
    with pytest.raises(PluginError, match="y comes out as nan"):
        propagate(lambda x: {"y": float("nan")}, {"y": ""}, x=parse("1 ± 0 V"))
    with pytest.raises(PluginError, match="is only a bound"):
        propagate(lambda x: {"y": x}, {"y": "mL"}, x=Reading.of(100, "mL", bound="above"))


def test_outputs_are_named_by_unit_by_kind_or_by_their_declaration() -> None:
    inputs = {"t": duration("t").parse("2 ± 0.1 s")}
    declared = Output("temperature difference", "rise", at_least=0.0)
    found = propagate(
        lambda t: {"a": t, "b": t, "c": t - 2}, {"a": "min", "b": "temperature difference", "c": declared}, **inputs
    )
    assert [(e.unit.symbol, e.kind.name if e.kind else "") for e in found.values()] == [
        ("min", "time"), ("K", "temperature difference"), ("K", "temperature difference"),
    ]  # fmt: skip
    assert found["c"].low == 0.0


@pytest.mark.parametrize("root", [math.sqrt, lambda x: math.sqrt(x) if x >= 0 else math.nan])
def test_draws_without_a_number_are_left_out(root: Callable[[float], float]) -> None:
    """The root of 0.1 ± 1: of the normal cut at zero. Source: the standard library's normal distribution."""
    found = propagate(lambda x: {"y": root(x)}, {"y": ""}, x=parse("0.1 ± 1 V"))["y"]
    normal = NormalDist(0.1, 1 / 1.959964)
    above = 1.0 - normal.cdf(0.0)
    ends = [math.sqrt(normal.inv_cdf(1.0 - above * (1.0 - share))) for share in (0.025, 0.975)]
    assert (found.low, found.high) == (pytest.approx(ends[0], rel=0.1), pytest.approx(ends[1], rel=0.05))


def test_where_nearly_all_draws_are_without_a_number_it_is_said() -> None:
    with pytest.raises(PluginError, match="y: has no value for nearly all of what the readings leave possible"):
        propagate(lambda x: {"y": x if abs(x - 0.1) < 1e-3 else math.nan}, {"y": ""}, x=parse("0.1 ± 1 V"))


def test_a_reading_far_wider_than_what_is_possible_is_drawn_within_it_all_the_same() -> None:
    duty = ratio("duty", at_least="0 %", at_most="100 %").parse("25 ± 1000000 %").to("1")
    seen: list[float] = []
    near_a_pole = parse("0.17 ± 0.6 V")
    found = propagate(lambda d, x: {"y": seen.append(d) or d + 1 / x}, {"y": ""}, d=duty, x=near_a_pole)["y"]
    assert len(seen) > 1000 and (min(seen), max(seen)) == (0.0, 1.0)
    assert found.low < 0 < found.value == pytest.approx(0.25 + 1 / 0.17)
