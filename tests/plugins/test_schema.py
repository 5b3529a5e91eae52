"""The JSON Schemas: every real result and every example's inputs fit them; a result that does not is refused.

Reference library: jsonschema (an independent validator of draft 2020-12) beside the kit's own small one.
"""

from __future__ import annotations

import copy
import json
from collections.abc import Callable
from typing import Any

import jsonschema
import pytest

from baybook.declare import Calculator
from baybook.registry import registry
from baybook.schema import inputs_schema, result_schema
from baybook.testing.validate import faults

from .conftest import Site

NAMES = [listed.name for listed in registry().listed()]


def result_of(calculator: Calculator) -> dict[str, Any]:
    told: dict[str, Any] = json.loads(json.dumps(calculator(**calculator.examples[0].inputs).to_dict(), allow_nan=False))
    return told


def fits(value: object, schema: dict[str, Any]) -> bool:
    return bool(jsonschema.Draft202012Validator(schema).is_valid(value))


def test_the_schemas_are_schemas() -> None:
    jsonschema.Draft202012Validator.check_schema(result_schema())
    for name in NAMES:
        jsonschema.Draft202012Validator.check_schema(inputs_schema(registry().calculator(name)))


@pytest.mark.parametrize("name", NAMES)
def test_every_calculators_result_and_inputs_fit(name: str) -> None:
    calculator = registry().calculator(name)
    told = result_of(calculator)
    assert fits(told, result_schema()) and faults(told, result_schema()) == []
    for example in calculator.examples:
        given = json.loads(json.dumps(dict(example.inputs)))
        assert fits(given, inputs_schema(calculator)) and faults(given, inputs_schema(calculator)) == []
    assert fits(told["inputs"], inputs_schema(calculator)), "a result's inputs may be given again"


DAMAGE: dict[str, Callable[[dict[str, Any]], object]] = {
    "no findings": lambda told: told.pop("findings"),
    "an extra part": lambda told: told.update(extra=1),
    "a number as text": lambda told: next(iter(told["outputs"].values())).update(low="1"),
    "an output without unit": lambda told: next(iter(told["outputs"].values())).pop("unit"),
    "a verdict of another word": lambda told: told["verdicts"].append(
        {
            "what": "x",
            "verdict": "good",
            "probability": 1.0,
            "range": {"low": 0, "high": 1, "unit": "bar", "source": "", "text": ""},
        }
    ),
    "a probability above 1": lambda told: told["verdicts"].append(
        {
            "what": "x",
            "verdict": "within",
            "probability": 1.1,
            "range": {"low": 0, "high": 1, "unit": "bar", "source": "", "text": ""},
        }
    ),
    "a note that is no text": lambda told: told["notes"].append(7),
    "a flag as number": lambda told: next(iter(told["inputs"].values())).update(assumed=1),
    "a stage that is none": lambda told: told["findings"].append(
        {"stage": "ignition", "side": "control", "statement": "x", "strength": "proven", "next_test": ""}
    ),
}


@pytest.mark.parametrize("damage", DAMAGE)
def test_a_damaged_result_is_refused_by_both_validators(damage: str) -> None:
    told = result_of(registry().calculator("convert"))
    assert fits(told, result_schema())
    broken = copy.deepcopy(told)
    DAMAGE[damage](broken)
    assert not fits(broken, result_schema())
    assert faults(broken, result_schema())


@pytest.mark.parametrize(
    ("given", "allowed"),
    [
        ({"reading": "1 bar"}, True),
        ({"reading": {"text": "1 bar"}}, True),
        ({"reading": {"value": 1.0, "unit": "bar", "u95": 0.1}}, True),
        ({"reading": {"value": 1.0}}, False),
        ({"reading": 1.0}, False),
        ({}, False),
        ({"reading": "1 bar", "widgets": 3}, False),
        ({"reading": "1 bar", "cylinders": 4}, True),
        ({"reading": "1 bar", "cylinders": 4.5}, False),
        ({"reading": "1 bar", "cylinders": 99}, False),
        ({"reading": "1 bar", "cylinders": None}, True),
    ],
)
def test_inputs_fit_where_the_calculator_would_take_them(given: dict[str, Any], allowed: bool) -> None:
    schema = inputs_schema(registry().calculator("convert"))
    assert fits(given, schema) == allowed
    assert (faults(given, schema) == []) == allowed


def test_the_small_validator_refuses_a_keyword_that_it_does_not_know() -> None:
    with pytest.raises(ValueError, match="patternProperties"):
        faults({}, {"patternProperties": {}})


def test_the_command_prints_both_and_names_a_near_calculator(site: Site) -> None:
    assert json.loads(site.run("schema").stdout) == result_schema()
    assert json.loads(site.run("schema", "convert").stdout)["required"] == ["reading"]
    assert site.run("schema", "convrt", code=2).stderr.splitlines()[-1] == (
        '"convrt" is not a calculator that is known; did you mean convert?'
    )
