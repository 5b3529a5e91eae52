"""Groups of inputs: declared and handed on together, typed one by one."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, NamedTuple

import pytest

from baybook.api import (
    MAKERS_DATA,
    Calculator,
    Estimate,
    Example,
    InputError,
    Output,
    Problem,
    Reading,
    Result,
    calculator,
    duration,
    volume,
)
from baybook.rules import involved


class Collected(NamedTuple):
    """What ran out, and in which time."""

    amount: Annotated[Reading, volume("what ran out", above="0 mL")]
    time: Annotated[Reading, duration("how long", above="0 s", default="60 ± 0 s")]
    spilt: Annotated[Reading | None, volume("what was spilt", at_least="0 mL")]


def less_than_all(collected: Collected) -> Iterator[Problem]:
    """No more is spilt than ran out."""
    if collected.spilt and collected.spilt.number("mL") > collected.amount.number("mL"):
        yield Problem("spilt", collected.spilt.text, "is more than ran out", "give the smaller volume")


def declared() -> Calculator:
    """A calculator with a group between two inputs of its own."""

    @calculator(
        title="Rate", stage="supply", side="hydraulic", proves="how fast it runs", outputs={"rate": Output("flow", "rate")},
        cautions=[MAKERS_DATA], sources=["plain arithmetic"],
        examples=[Example({"first": "1 s", "amount": "1 L"}, {"rate": (1000.0, "mL/min", 1e-9)}, "plain arithmetic")],
        rules=(less_than_all,),
    )  # fmt: skip
    def rate(
        first: Annotated[Reading, duration("before")],
        collected: Collected,
        last: Annotated[Reading | None, duration("after")],
    ) -> Result:
        """Work out how fast it runs."""
        assert last is None
        return Result({"rate": Estimate.of(collected.amount.number("mL") / collected.time.number("min"), "mL/min")})

    return rate


def test_each_input_of_a_group_is_one_of_the_calculators_in_its_place() -> None:
    found = declared().parameters
    assert [p.name for p in found] == ["first", "amount", "time", "spilt", "last"]
    assert [p.required for p in found] == [True, True, False, False, False]
    assert declared()(first="1 s", amount="500 mL", time="30 s")["rate"].value == 1000.0
    assert declared()(first="1 s", amount="1 L").inputs["time"]["text"] == "60 ± 0 s"


def test_a_rule_may_take_the_group_and_is_about_its_inputs() -> None:
    rate = declared()
    assert involved(rate, less_than_all) == {"amount", "time", "spilt"}
    with pytest.raises(InputError, match=r'spilt: "2 L" is more than ran out'):
        rate(first="1 s", amount="1 L", spilt="2 L")
