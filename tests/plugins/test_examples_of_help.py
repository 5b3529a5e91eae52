"""What the help proposes is a healthy vehicle: pasted all together, none of it condemns a part."""

from __future__ import annotations

from typing import Any

import pytest

from baybook import calculate
from baybook.fields import Flag
from baybook.registry import registry
from baybook.result import Result

SETS: dict[str, dict[str, Any]] = {
    "returns": {"volumes": ["30 mL", "31 mL", "29 mL", "33 mL"]},
    "coil": {"part": "injector"},
    "regulator": {"where": "inlet", "meter_counts": "low"},
}
"""A valid set of readings that the examples of all other options are pasted beside."""
LEFT_OUT = {
    "returns": (),
    "coil": (),
    "regulator": tuple(f"outlet_{what}" for what in (
        "duty", "usual_duty", "commanded_duty", "current", "expected_current", "wire_voltage"
    )),
}  # fmt: skip
"""What belongs to a valve that this set does not have."""


def examples(name: str, *without: str) -> dict[str, Any]:
    """The example of every option as the help shows it, but for yes and no."""
    parameters = [p for p in registry().calculator(name).parameters if not isinstance(p.field, Flag)]
    return {p.name: p.field.example() for p in parameters if p.name not in without and p.field.example()}


def condemned(result: Result) -> list[str]:
    verdicts = [verdict.what for verdict in result.verdicts if verdict.verdict == "outside"]
    return verdicts + [finding.statement for finding in result.findings if finding.strength in ("indicated", "proven")]


@pytest.mark.parametrize("name", SETS)
def test_all_examples_together_condemn_nothing(name: str) -> None:
    result = calculate(name, **(examples(name, *LEFT_OUT[name]) | SETS[name]))
    assert condemned(result) == []
    assert result.verdicts or name == "regulator"
    assert [verdict.what for verdict in result.verdicts if verdict.verdict != "within"] == []
    assert result.outputs.get("pressure_state", "on target") == "on target"
    assert result.outputs.get("points_at", "neither yet") == "neither yet"


@pytest.mark.parametrize("limit", ["flow_limit", "median_limit", "others_limit", "mean_limit"])
def test_each_example_of_a_limit_finds_the_example_s_injectors_within(limit: str) -> None:
    given = examples("returns")
    result = calculate("returns", **SETS["returns"], time=given["time"], **{limit: given[limit]})
    assert {verdict.verdict for verdict in result.verdicts} == {"within"}


def test_the_outlet_s_examples_condemn_nothing_either() -> None:
    inlet = [name for name in examples("regulator") if name.startswith("inlet_") and name != "inlet_at_rest"]
    result = calculate("regulator", **(examples("regulator", *inlet) | {"where": "outlet", "meter_counts": "low"}))
    assert condemned(result) == []
