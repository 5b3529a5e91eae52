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
