"""One rule for a verdict, from an estimate or from draws."""

import json
import math
import random

import pytest
from scipy.stats import norm

from baybook.draws import Draws
from baybook.errors import PluginError
from baybook.estimate import Estimate
from baybook.kinds import KINDS
from baybook.result import Verdict, judge
from baybook.spec import SpecRange, parse_spec
from baybook.text import verdict_lines


def test_a_poor_meter_in_the_middle_of_a_narrow_range_decides_nothing() -> None:
    """ISO 14253-1:2017: non-conformity needs the value beyond one limit by the guard band, not a small chance to conform."""
    verdict = judge("x", Estimate.of(3.0, "ohm", 1.0), SpecRange(2.99, 3.01, "ohm"))
    assert verdict.verdict == "undecided"
    assert verdict.probability == pytest.approx(norm.cdf(0.01) - norm.cdf(-0.01), rel=1e-6)


@pytest.mark.parametrize(("value", "word"), [(3.01 + 1.66, "outside"), (3.01 + 1.63, "undecided"), (2.99 - 1.66, "outside")])
def test_outside_is_one_side_exceeded_with_95_percent(value: float, word: str) -> None:
    """One-sided 95 % of a normal lies 1.6449 standard uncertainties beyond the limit (scipy.stats.norm.ppf)."""
    assert judge("x", Estimate.of(value, "ohm", 1.0), SpecRange(2.99, 3.01, "ohm")).verdict == word


def test_both_ends_of_a_range_belong_to_it() -> None:
    for value in (2.0, 3.0):
        assert judge("x", Estimate.of(value, "ohm"), SpecRange(2.0, 3.0, "ohm")).verdict == "within"
    assert judge("x", Estimate.of(1.999, "ohm"), SpecRange(2.0, 3.0, "ohm")).verdict == "outside"


def test_draws_give_verdict_probability_and_interval_alike() -> None:
    """Draws of a log-normal against its distribution function (scipy.stats.norm of the logarithm)."""
    chance = random.Random(1)
    draws = Draws([math.exp(chance.gauss(0, 1)) for _ in range(20000)], "mL/min")
    verdict = judge("flow", draws, parse_spec("<= 2 mL/min", KINDS["flow"]))
    assert verdict.probability == pytest.approx(norm.cdf(math.log(2)), abs=0.01)
    estimate = draws.estimate()
    assert (estimate.low, estimate.high) == pytest.approx((math.exp(-1.96), math.exp(1.96)), rel=0.05)
    assert judge("flow", draws, parse_spec("<= 120 mL/h", KINDS["flow"])).probability == verdict.probability


def test_weights_count() -> None:
    draws = Draws([1.0, 2.0, 3.0], "bar", weights=[1.0, 0.0, 99.0])
    assert (draws.below(2.5), draws.above(2.5)) == pytest.approx((0.01, 0.99))
    assert (draws.quantile(0.5), draws.estimate().low) == (3.0, 3.0)
    assert judge("p", draws, SpecRange(None, 2.5, "bar")).verdict == "outside"
    even = Draws(range(1, 101), "bar")
    assert (even.quantile(0.025), even.quantile(0.5), even.quantile(0.975)) == (3.0, 50.0, 98.0)
    assert [even.estimate(value).value for value in (None, 1.0, 40.0, 200.0)] == [50.0, 3.0, 40.0, 98.0]


def test_a_probability_never_leaves_0_to_1() -> None:
    draws = Draws([0.1] * 10, "bar", weights=[0.1] * 10)  # ten tenths add up to less or more than one
    verdict = judge("p", draws, SpecRange(0.0, 1.0, "bar"))
    assert 0.0 <= verdict.probability <= 1.0


@pytest.mark.parametrize(
    ("values", "weights"),
    [((), None), ((math.nan,), None), ((1.0,), (0.0,)), ((1.0,), (-1.0,)), ((1.0, 2.0), (1.0,))],
)
def test_what_are_no_draws_is_refused(values: tuple[float, ...], weights: tuple[float, ...] | None) -> None:
    with pytest.raises(PluginError, match="draws have to be finite"):
        Draws(values, "bar", weights)


def test_a_verdict_is_checked_when_it_is_made() -> None:
    limit = SpecRange(None, 6.0, "mL/min")
    with pytest.raises(PluginError, match="a verdict on flow is 'maybe'; use one of within, outside, undecided"):
        Verdict("flow", "maybe", 0.5, limit)  # type: ignore[arg-type]  # what is tested
    for probability in (math.nan, -0.01, 1.0000001):
        with pytest.raises(PluginError, match="has the probability"):
            Verdict("flow", "within", probability, limit)
    assert json.dumps(Verdict("flow", "within", 1.0, limit).to_dict(), allow_nan=False)


def test_a_chance_is_never_rounded_to_certainty() -> None:
    class One:
        verdicts = (Verdict("flow", "within", 0.99951, SpecRange(None, 6.0, "mL/min")),)

    assert "chance to conform over 99.9 %" in verdict_lines(One())[-1]  # type: ignore[arg-type]  # all that it reads
