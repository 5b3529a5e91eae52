"""Uncertainty on its way from readings to outputs, against the `uncertainties` library."""

import math

import pytest
import uncertainties
from uncertainties import umath

from baybook.errors import PluginError
from baybook.estimate import Estimate
from baybook.propagation import propagate
from baybook.reading import Reading, parse


def test_linear_propagation_equals_the_reference_library() -> None:
    volume, time = parse("132.5 ± 2.5 mL"), parse("5 ± 0.04 min")
    found = propagate(lambda v, t: {"q": v / t}, {"q": "mL/min"}, v=volume, t=time)["q"]
    expected = uncertainties.ufloat(132.5, volume.u) / uncertainties.ufloat(5, time.u)
    assert found.value == pytest.approx(expected.nominal_value)
    assert found.u == pytest.approx(expected.std_dev, rel=1e-3)


def test_curved_functions_come_close_to_the_reference_library() -> None:
    pressure, density = parse("100 ± 2 MPa"), parse("820 ± 10 kg/m3")
    found = propagate(lambda p, r: {"v": math.sqrt(2e6 * p / r)}, {"v": ""}, p=pressure, r=density)["v"]
    expected = umath.sqrt(2e6 * uncertainties.ufloat(100, pressure.u) / uncertainties.ufloat(820, density.u))
    assert found.u == pytest.approx(expected.std_dev, rel=1e-2)


def test_a_square_near_zero_keeps_an_uneven_interval() -> None:
    """First order would give no width at all at the lowest point of a parabola."""
    found = propagate(lambda x: {"y": x * x}, {"y": ""}, x=parse("0 ± 1 V"))["y"]
    assert (found.value, found.low) == (0.0, 0.0)
    assert found.high == pytest.approx(1.0)  # 95 % of |x| lie within 1, so 95 % of its squares do


def test_members_of_a_list_vary_each_alone() -> None:
    parts = (parse("10 ± 1 mL"), parse("20 ± 1 mL"))
    found = propagate(lambda parts: {"sum": sum(parts)}, {"sum": "mL"}, parts=parts)["sum"]
    assert (found.value, found.high - found.value) == (30.0, pytest.approx(2**0.5))


def test_what_is_given_as_a_float_is_exact() -> None:
    assert propagate(lambda x, n: {"y": n * x}, {"y": ""}, x=Estimate.of(1.0, ""), n=3.0)["y"] == Estimate(3.0, "", 3.0, 3.0)


@pytest.mark.parametrize(("value", "low", "high"), [(math.nan, 0, 1), (1, 0, math.inf), (2, 0, 1)])
def test_an_estimate_that_is_none_cannot_be_made(value: float, low: float, high: float) -> None:
    with pytest.raises(ValueError, match=r"not finite|outside its interval"):
        Estimate(value, "bar", low, high)


def test_no_estimate_is_made_of_a_bound() -> None:
    with pytest.raises(PluginError, match="is only a bound, and no estimate can be made of it"):
        Estimate.from_reading(Reading.of(100, "mL", bound="above"))
