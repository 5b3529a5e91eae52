"""The short way prints and refuses as the ordinary way does, and leaves to it whatever is unusual."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

import pytest

from baybook.cli.main import run
from baybook.cli.plain import answer, plain_inputs
from baybook.declare import Calculator
from baybook.errors import InputError
from baybook.registry import registry

CALCULATORS = [registry().calculator(listed.name) for listed in registry().listed()]
EXAMPLES = [(calculator, number) for calculator in CALCULATORS for number in range(len(calculator.examples))]


def typed(calculator: Calculator, inputs: Mapping[str, Any]) -> list[str]:
    """The inputs as a person would type them."""
    arguments = [calculator.name]
    for parameter in calculator.parameters:
        given = inputs.get(parameter.name, ())
        for value in given if isinstance(given, list | tuple) else [given]:
            arguments += [str(value)] if parameter.field.positional else ["--" + parameter.name.replace("_", "-"), str(value)]
    return arguments


@pytest.mark.parametrize(("calculator", "number"), EXAMPLES, ids=lambda value: getattr(value, "name", value))
@pytest.mark.parametrize(
    "extra", [[], ["--json"], ["--steps"], ["--fail-on", "undecided"]], ids=lambda extra: "".join(extra[:1])
)
def test_both_ways_print_the_same(
    calculator: Calculator, number: int, extra: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    arguments = [*typed(calculator, calculator.examples[number].inputs), *extra]
    code = answer(arguments)
    short = capsys.readouterr()
    assert (code, short) == (run(arguments), capsys.readouterr())
    assert short.out


@pytest.mark.parametrize(
    "arguments",
    [
        ["convert", "--help"], ["convert", "300 bar", "psi", "more"], ["convert", "300 bar", "--to", "psi"], ["convert"],
        ["convert", "300 bar", "--ambient"], ["convert", "300 bar", "--ambient", "--json"],
        ["convert", "300 bar", "--ambient=1 bar"], ["convert", "1 bar", "--ambient", "1 bar", "--ambient", "2 bar"],
        ["convert", "300 bar", "--fail-on", "never"], ["convert", "--ask"], ["convert", "--from", "-"], ["job", "run"],
        ["convert", "-0.3 bar"], ["-x"], [],
    ],
)  # fmt: skip
def test_what_is_unusual_is_left_alone(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert answer(arguments) is None
    assert capsys.readouterr() == ("", "")


@pytest.mark.parametrize("typed", [["convert", "3 widgets"], ["coil", "--reading", "3 bar", "--json"]])
def test_what_is_wrong_is_refused_in_the_same_words(typed: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(InputError) as refused:
        answer(typed)
    assert run(typed) == refused.value.exit_code
    told = capsys.readouterr()
    assert (json.loads(told.out) if "--json" in typed else told.err) == (
        refused.value.to_dict() if "--json" in typed else f"{refused.value}\n"
    )


def test_a_verdict_to_fail_on_gives_the_same_exit_code_both_ways(capsys: pytest.CaptureFixture[str]) -> None:
    arguments = ["coil", "--reading", "9 ± 0.1 ohm", "--temperature", "20 °C", "--limit", "2 to 3 ohm", "--fail-on", "outside"]
    codes = answer(arguments), run(arguments)
    assert codes == (3, 3), capsys.readouterr()


def test_several_readings_are_taken_in_the_order_typed() -> None:
    calculator = registry().calculator("returns")
    given = plain_inputs(calculator, ["--volumes", "1 mL; 2 mL", "--time", "3 s", "--volumes", "3 mL"])
    assert given == {"volumes": ["1 mL; 2 mL", "3 mL"], "time": "3 s"}
