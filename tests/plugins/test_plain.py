"""A calculator's command is read from its option table: without the library and with it alike, and once."""

from __future__ import annotations

import contextlib
import dataclasses
from collections.abc import Callable, Mapping
from typing import Any

import pytest

from baybook.cli.arrangement import typed_values
from baybook.cli.calculators import command_for
from baybook.cli.direct import answer
from baybook.cli.main import run
from baybook.cli.options import command_options
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
    "extra", [[], ["--json"], ["--steps"], ["--fail-on", "undecided"], ["--fail-on=outside"]], ids=lambda extra: "".join(extra)
)
def test_both_ways_print_the_same(
    calculator: Calculator, number: int, extra: list[str], capsys: pytest.CaptureFixture[str]
) -> None:
    arguments = [*typed(calculator, calculator.examples[number].inputs), *extra]
    code = answer(arguments)
    short = capsys.readouterr()
    assert (code, short) == (run(arguments), capsys.readouterr())
    assert short.out


@pytest.mark.parametrize("calculator", CALCULATORS, ids=lambda calculator: calculator.name)
def test_the_library_has_the_options_of_the_table_and_no_other(calculator: Calculator) -> None:
    parameters = command_for(calculator).params
    table = {option.name: option for option in command_options(calculator)}
    assert [parameter.name for parameter in parameters] == list(table)
    for parameter in parameters:
        option = table[parameter.name]
        assert parameter.param_type_name == ("argument" if option.positional else "option")
        assert option.positional or parameter.opts == [option.spelling]
        assert (parameter.help, parameter.metavar or "") == (option.help, option.metavar)
        assert getattr(parameter, "is_flag", False) == option.switch
        assert (parameter.nargs == -1 or parameter.multiple) == option.many


@pytest.mark.parametrize(
    "arguments",
    [["convert", "--help"], ["convert", "-h"], ["coil", "--reading", "3 ohm", "-h"], ["convert"], ["job", "run"], ["-x"], []],
)
def test_help_and_the_cores_commands_are_left_to_the_library(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert answer(arguments) is None
    assert capsys.readouterr() == ("", "")


REFUSED = {
    "no unit": (["convert", "3 widgets"], 'READING: "3 widgets" has a unit that is not known, "widgets"'),
    "kind": (["coil", "--reading", "3 bar"], '--reading: "3 bar" is a pressure'),
    "option": (
        ["convert", "3 bar", "--ambiant", "1 bar"],
        '"--ambiant" is not an option of this command; did you mean --ambient?',
    ),
    "option first": (["convert", "--ambiant", "1 bar", "3 bar"], '"--ambiant" is not an option of this command'),
    "short option": (["convert", "3 bar", "-x"], '"-x" is not an option of this command; --help lists them'),
    "no value": (["convert", "3 bar", "--ambient"], "--ambient: is given without a value"),
    "option for value": (["convert", "3 bar", "--ambient", "--json"], "--ambient"),
    "switch": (["convert", "3 bar", "--steps=yes"], '--steps: "yes" is not wanted: the option takes no value'),
    "words": (["convert", "3 bar", "psi", "more"], '"more" is one word too many for this command'),
    "unit": (
        ["hold", "--start", "1000", "baar", "--end", "900 bar"],
        '--start: "1000 baar" has a unit that is not known, "baar"; did you mean bar',
    ),
    "quote": (
        ["hold", "--start", "1000 bar --end 900 bar"],
        '--start: "1000 bar --end 900 bar" holds an option; a quote is missing',
    ),
    "verdict": (["convert", "3 bar", "--fail-on", "never"], '--fail-on: "never" is not a verdict to fail on; use outside or'),
    "file": (["convert", "--from", "nothing.json"], '--from: "nothing.json" cannot be read: No such file'),
}


@pytest.mark.parametrize(("arguments", "line"), REFUSED.values(), ids=list(REFUSED))
def test_what_is_wrong_is_refused_in_the_same_words(
    arguments: list[str], line: str, capsys: pytest.CaptureFixture[str]
) -> None:
    as_json = "--json" in arguments
    with pytest.raises(InputError) as refused:
        answer(arguments)
    assert str(refused.value).startswith(line)
    assert run(arguments) == refused.value.exit_code == 2
    told = capsys.readouterr()
    assert told.out if as_json else told.err == f"{refused.value}\n"


def test_a_number_for_an_option_and_a_unit_for_a_place_are_no_pieces_of_one_reading(capsys: pytest.CaptureFixture[str]) -> None:
    arguments = ["convert", "10 mm3/stroke", "--engine-speed", "800 rpm", "--cylinders", "4", "mL/min"]
    assert (answer(arguments), capsys.readouterr().out.split()[0]) == (0, "mL/min")


@pytest.mark.parametrize("way", [answer, run])
def test_a_reading_below_zero_is_no_option(way: Callable[[list[str]], int], capsys: pytest.CaptureFixture[str]) -> None:
    """-40 °C is -40 °F, by definition of the two scales."""
    assert way(["convert", "-40 ± 0 °C", "°F"]) == 0
    assert capsys.readouterr().out.split()[:2] == ["°F", "-40"]


@pytest.mark.parametrize("way", [answer, run])
@pytest.mark.parametrize("reading", ["3 ohm", "3 widgets", "3", "3 bar"])
def test_a_calculator_is_called_once_at_most(
    way: Callable[[list[str]], int], reading: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    calls = []
    calculator = registry().calculator("coil")
    counted = dataclasses.replace(calculator, function=lambda **inputs: calls.append(1) or calculator.function(**inputs))
    monkeypatch.setattr(type(registry()), "calculator", lambda self, name: counted)
    with contextlib.suppress(InputError):
        way(["coil", "--reading", reading, "--temperature", "20 °C"])
    assert len(calls) == (reading == "3 ohm"), capsys.readouterr()


def test_a_verdict_to_fail_on_gives_the_same_exit_code_both_ways(capsys: pytest.CaptureFixture[str]) -> None:
    arguments = ["coil", "--reading", "9 ± 0.1 ohm", "--temperature", "20 °C", "--limit", "2 to 3 ohm", "--fail-on", "outside"]
    codes = answer(arguments), run(arguments)
    assert codes == (3, 3), capsys.readouterr()


def test_several_readings_are_taken_in_the_order_typed() -> None:
    options = command_options(registry().calculator("returns"))
    given = typed_values(options, ["--volumes", "1 mL; 2 mL", "--time", "3 s", "--volumes=3 mL"])
    assert given == {"volumes": ["1 mL; 2 mL", "3 mL"], "time": "3 s"}


def test_inputs_of_a_file_need_no_library(tmp_path: Any, capsys: pytest.CaptureFixture[str]) -> None:
    file = tmp_path / "inputs.json"
    file.write_text('{"reading": "1 ± 0 psi", "to": "kPa"}', encoding="utf-8")
    assert answer(["convert", "--from", str(file)]) == 0
    assert capsys.readouterr().out.split()[:2] == ["kPa", "6.89476"]
