"""Quantities known as draws or as bounds: judged by what is certain of them, told as estimates or as bounds."""

from __future__ import annotations

from dataclasses import replace
from typing import Annotated

import pytest

from baybook.api import (
    MAKERS_DATA,
    AtLeast,
    Calculator,
    Draws,
    Estimate,
    Example,
    Output,
    Reading,
    Result,
    SpecRange,
    calculator,
    joined,
    judge,
    judge_each,
    readings,
    spec_range,
)
from baybook.draws import chances, rounded, side_of
from baybook.errors import PluginError


def limit(low: float | None, high: float | None) -> SpecRange:
    return SpecRange(low, high, "mL/min", kind="flow")


@pytest.mark.parametrize(
    ("low", "high", "verdict", "way"),
    [
        (None, 45.0, "outside", "above"),
        (None, 60.0, "undecided", ""),
        (40.0, None, "within", ""),
        (60.0, None, "undecided", ""),
    ],
)
def test_a_bound_is_judged_by_what_is_certain(low: float | None, high: float | None, verdict: str, way: str) -> None:
    """At least 50: certainly above 45 and above 40; whether it lies above or below 60 nobody knows (arithmetic)."""
    found = judge("flow", AtLeast(Estimate.of(50.0, "mL/min", 0.5)), limit(low, high))
    assert (found.verdict, found.way) == (verdict, way)
    assert found.measured is None and found.bound == "at least 50 mL/min"
    assert found.probability is not None and (verdict != "undecided" or found.probability == 0.5)


def test_a_bound_beyond_a_limit_is_not_rounded_onto_it() -> None:
    """153.7 rounded down to two digits is 150, which 150 allows."""
    assert AtLeast(Estimate.of(153.7, "mL/min")).bound(150.0) == "at least 153 mL/min"
    assert AtLeast(Estimate.of(153.7, "mL/min")).bound() == "at least 150 mL/min"
    assert Draws([1.0] * 20, "%", most=[93.4] * 20, told=False).bound(low=True) == "at most 94 %"
    assert Draws([float("inf")] * 20, "%", told=False).bound() == "beyond any number"


def test_draws_of_a_least_and_a_most_are_certain_of_neither_between() -> None:
    """A tenth of the draws lies from 1 to 9 and nine tenths from 4 to 6 (arithmetic)."""
    draws = Draws([1.0] * 10 + [4.0] * 90, "mL/min", most=[9.0] * 10 + [6.0] * 90)
    assert (draws.below(7.0), draws.above(3.0), draws.within(4.0, 6.0)) == pytest.approx((0.9, 0.9, 0.9))
    assert judge("flow", draws, limit(4.0, 6.0)).probability == 0.5
    assert judge("flow", draws, limit(0.0, 10.0)).verdict == "within"


def test_draws_hold_a_value_that_lies_beside_them() -> None:
    assert Draws([1.0, 2.0, 3.0], "%", value=0.5).estimate() == Estimate(0.5, "%", 0.5, 3.0)


def given(**outputs: object) -> Calculator:
    @calculator(
        title="T", stage="delivery", side="hydraulic", proves="p", cautions=[MAKERS_DATA], sources=["common practice"],
        outputs={
            "flow": Output("flow", "of each", each="injector", always=False),
            "all": Output("flow", "of all", unit="L/h", always=False),
        },
        examples=[Example({"volumes": ["1 mL", "2 mL"]}, {"flow": ((1.0, 2.0), "mL/min", 1)}, "arithmetic")],
    )  # fmt: skip
    def drawn(
        volumes: Annotated[tuple[Reading, ...], readings("volume", "caught of each")],
        flow_limit: Annotated[SpecRange | None, spec_range("flow", "largest", judges="flow")],
        total_limit: Annotated[SpecRange | None, spec_range("flow", "largest of all", judges="all")],
    ) -> Result:
        """Do it."""
        return Result({})

    return replace(drawn, function=lambda **values: Result(outputs))  # type: ignore[arg-type]


def test_a_calculator_may_give_draws_and_bounds_and_the_core_tells_and_judges_them() -> None:
    """Draws are told as estimates in the declared unit, a bound is a gap; both are judged by what they know."""
    skew = Draws([6.0] * 97 + [60.0] * 3, "mL/min")
    made = given(flow=(skew, AtLeast(Estimate.of(50.0, "mL/min"))), all=skew)
    result = made(volumes="1 mL; 2 mL", flow_limit="max 45 mL/min", total_limit="max 10 mL/min")
    first, second = result.vector("flow")
    assert first == Estimate(6.0, "mL/min", 6.0, 60.0, kind="flow") and second is None
    assert result["all"].unit.symbol == "L/h" and result["all"].value == pytest.approx(0.36)
    assert [(v.output, v.index, v.verdict, v.probability) for v in result.verdicts] == [
        ("flow", 1, "within", pytest.approx(0.97)),
        ("flow", 2, "outside", 0.0),
        ("all", None, "within", pytest.approx(0.97)),
    ]
    assert result.verdicts[1].bound == "at least 50 mL/min"
    bound = given(all=AtLeast(Estimate.of(50.0, "mL/min")))(volumes="1 mL", total_limit="max 45 mL/min")
    assert "All: at least 50 mL/min is outside at most 45 mL/min" in bound.findings[0].statement
    assert list(given(flow=(AtLeast(Estimate.of(1.0, "mL/min")), None))(volumes="1 mL").outputs) == []


def test_a_vector_is_judged_without_its_gaps() -> None:
    found = judge_each("flow", (Estimate.of(1.0, "mL/min"), None, Estimate.of(9.0, "mL/min")), limit(None, 5.0))
    assert [(verdict.index, verdict.verdict, verdict.way) for verdict in found] == [(1, "within", ""), (3, "outside", "above")]


def test_several_texts_are_one_message() -> None:
    assert joined(["a {b}", "c"]) == "a {b}; c" and joined(["a"]) == "a"


@pytest.mark.parametrize(("value", "down", "up"), [
    (1.57, 1.5, 1.6), (1.0, 1.0, 1.0), (9.96, 9.9, 10.0), (23.7, 23.0, 24.0), (237.0, 230.0, 240.0), (0.157, 0.15, 0.16),
    (0.0, 0.0, 0.0), (-3.0, 0.0, 0.0), (2378.0, 2300.0, 2400.0),
])  # fmt: skip
def test_a_bound_has_two_digits_and_is_never_more_than_is_known(value: float, down: float, up: float) -> None:
    """By hand."""
    assert (rounded(value), rounded(value, up=True)) == pytest.approx((down, up), rel=1e-12)


def test_a_bound_gets_the_digits_that_show_that_it_lies_beyond() -> None:
    """By hand: only those, and none where two are enough, or where nothing lies beyond; an end has to be."""
    assert rounded(1537.0, beyond=1500.0) == 1530.0
    assert rounded(1537.0, beyond=1530.0) == 1537.0
    assert rounded(1537.0, beyond=1400.0) == 1500.0
    assert rounded(1537.0, beyond=1600.0) == 1500.0
    assert rounded(1537.0, beyond=1537.0) == 1500.0
    assert rounded(50.0000001, beyond=50.0) == 50.0


def test_weighted_draws_by_hand() -> None:
    """3 with weight 1, 1 with weight 2, 2 with weight 1; half the weight lies at 1."""
    draws = Draws([3.0, 1.0, 2.0], "%", weights=[1.0, 2.0, 1.0])
    assert [draws.quantile(share) for share in (0.0, 0.5, 0.51, 0.75, 0.76, 1.0)] == [1.0, 1.0, 2.0, 2.0, 3.0, 3.0]
    assert (draws.below(1.0), draws.below(2.0), draws.below(4.0)) == (0.0, 0.5, 1.0)
    assert (draws.above(1.0), draws.above(2.0), draws.above(3.0)) == (0.5, 0.25, 0.0)
    assert (draws.within(1.0, 2.0), draws.within(None, 2.0), draws.within(2.0, None)) == (0.75, 0.75, 0.5)
    both = Draws([3.0, 1.0, 2.0], "%", weights=[1.0, 2.0, 1.0], most=[4.0, 5.0, 2.5], told=False)
    assert (both.below(4.0), both.within(1.0, 5.0), both.within(2.0, None), both.within(None, 4.0)) == (0.25, 1.0, 0.5, 0.5)


@pytest.mark.parametrize(
    ("values", "weights"),
    [([], None), ([1.0, float("inf")], None), ([1.0, 2.0], [1.0]), ([1.0, 2.0], [1.0, -1.0]), ([1.0], [0.0]),
     ([1.0], [float("inf")])],
)  # fmt: skip
def test_draws_that_are_none_are_refused(values: list[float], weights: list[float] | None) -> None:
    with pytest.raises(PluginError, match="draws have to be finite"):
        Draws(values, "%", weights)
    assert Draws([1.0, 2.0], "%", [0.0, 1.0]).below(1.5) == 0.0


def test_an_estimate_of_draws_leaves_out_two_and_a_half_per_cent_on_either_side() -> None:
    """Of 1 to 200 the fifth and the 195th; a value beyond is drawn to the end, a declared best value draws the end out."""
    draws = Draws([float(n) for n in range(1, 201)], "%")
    assert draws.estimate() == Estimate(100.0, "%", 5.0, 195.0)
    assert draws.estimate(199.0).value == 195.0 and draws.estimate(1.0).value == 5.0 and draws.estimate(50.0).value == 50.0
    assert replace(draws, value=199.0).estimate() == Estimate(199.0, "%", 5.0, 199.0)


def test_on_which_side_with_95_per_cent() -> None:
    """By counting 1 to 100."""
    draws = Draws([float(n) for n in range(1, 101)], "%")
    assert chances(draws, 2.0, 98.0) == pytest.approx((0.01, 0.97, 0.02))
    assert side_of(draws, 2.0, 98.0) == 0 and side_of(draws, None, 5.0) == 1 and side_of(draws, 96.0, None) == -1
    assert side_of(draws, None, 6.0) is None and side_of(draws, 95.0, None) is None
    assert chances(draws, None, None) == (0.0, 1.0, 0.0)
    least = AtLeast(Estimate.of(50.0, "%", 0.5))
    assert (least.below(1e9), least.within(None, 1e9), least.within(40.0, 1e9)) == (0.0, 0.0, 0.0)
    assert least.within(40.0, None) == pytest.approx(1.0) and side_of(least, 40.0, None) == 0
