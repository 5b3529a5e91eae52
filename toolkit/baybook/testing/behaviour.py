"""Checks by running: examples, limits, bad input, the same each time, another unit, JSON."""

from __future__ import annotations

import functools
import io
import json
from collections.abc import Callable, Iterator
from contextlib import redirect_stdout
from typing import Any

from .. import numbers
from ..completion import declared_output
from ..declaration import Expected, Output
from ..declare import Calculator
from ..errors import InputError, Refused
from ..estimate import Estimate
from ..execution import run
from ..fields import Limits, Quantity
from ..reading import Reading
from ..result import Result
from ..schema import inputs_schema, result_schema
from .examples import changed, differences, limits_given, other_unit, quantities, worked
from .validate import faults

SENSELESS: tuple[Any, ...] = (
    "",
    "abc",
    "nan bar",
    "1e999 bar",
    "9**9**9",
    "350",
    "350 widgets",
    "± 5 bar",
    "\x00",
    "<script>",
    "5" * 200,
    -1,
    [],
    {},
)


def examples(calculator: Calculator) -> list[str]:
    """Each expected output is there, and within the tolerance that the example states."""
    found = []
    for number, example in enumerate(calculator.examples):
        result = worked(calculator, number)
        for name, expected in example.outputs.items():
            found += [f"example {number + 1}: {fault}" for fault in _example_fault(result, name, expected)]
        found += [
            f"example {number + 1} lacks the output {name}, which is declared for every result"
            for name in _missing(calculator, result)
        ]
    return found


def _example_fault(result: Result, name: str, expected: Expected) -> Iterator[str]:
    if name not in result.outputs:
        yield f"{name} is not among the outputs"
    elif isinstance(expected, str):
        if result.outputs[name] != expected:
            yield f"{name} is {result.outputs[name]!r} where the source says {expected!r}"
    elif isinstance(expected[0], int | float):
        yield from _value_fault(name, result[name], expected[0], expected)
    elif len(expected[0]) != len(result.vector(name)):
        yield f"{name} has {len(result.vector(name))} values where the source has {len(expected[0])}"
    else:
        for number, (value, got) in enumerate(zip(expected[0], result.vector(name), strict=True), 1):
            yield from _value_fault(f"{name} {number}", got, value, expected)


def _value_fault(name: str, found: Estimate | None, value: float | None, expected: tuple[Any, str, float]) -> Iterator[str]:
    _, unit, tolerance = expected
    if value is None or found is None:
        if value is not None or found is not None:
            yield f"{name} is {found} where the source says {value}"
        return
    got = found.to(unit).value
    if not abs(got - value) <= tolerance * (abs(value) or 1.0):
        yield f"{name} is {got:.9g} {unit} where the source says {value:.9g} {unit} within {tolerance:g} of it"


def _missing(calculator: Calculator, result: Result) -> list[str]:
    given: list[Output | None] = [declared_output(calculator, name) for name in result.outputs]
    return [name for name, output in calculator.outputs.items() if output.always and not any(output is one for one in given)]


def limits(calculator: Calculator) -> list[str]:
    """On both sides of every limit, and at it; a value outside is refused by the calculator, with the input's name."""
    found = []
    for parameter in calculator.parameters:
        if isinstance(parameter.field, Quantity | Limits):
            for text, allowed in _at_limits(parameter.field):
                if _taken(parameter.field, text) != allowed:
                    found.append(f"input {parameter.name}: {text} is {'refused' if allowed else 'taken'}")
                if not allowed:
                    found += _not_refused(calculator, parameter.name, [text] * 8 if parameter.field.many else text)
    return found


def _at_limits(field: Quantity | Limits) -> Iterator[tuple[str, bool]]:
    """(text, whether it must be taken) just inside each limit, at it, and just outside."""
    for limit, allows, words in field.limits():
        step = 1e-6 * max(abs(limit.value), 1.0)
        for value in (limit.value - step, limit.value, limit.value + step):
            unit = limit.unit.symbol
            number, beyond = (numbers.unmistakable(f"{end:.12g}") for end in (value, value + 2.0 * max(abs(value), 1.0)))
            if isinstance(field, Quantity):
                text = f"{number} ± 0 {unit}"
            else:  # a range that has the ends which it needs
                text = {"low": f">= {number} {unit}", "both": f"{number} to {beyond} {unit}"}.get(
                    field.needs, f"<= {number} {unit}"
                )
            inside = bool(allows(value, limit.value))
            others = all(
                test(value, other.to(limit.unit.symbol).value) for other, test, said in field.limits() if said != words
            )
            yield text, inside and others
    if isinstance(field, Limits) and field.largest and field.kind:
        yield f">= {field.kind.example}", False


def _taken(field: Quantity | Limits, text: str) -> bool:
    parse: Callable[[Any], Any] = field.parse
    if isinstance(field, Quantity) and field.many:  # a field of several readings is tried on one of them
        parse = functools.partial(Quantity.parse, field)
    try:
        parse(text)
    except Refused:
        return False
    return True


def _not_refused(calculator: Calculator, name: str, raw: Any) -> list[str]:
    example = calculator.examples[0]
    try:
        changed(calculator, example, name, raw)
    except InputError as error:
        named = any(problem.input == name for problem in error.problems)
        return [] if named else [f"input {name}: {raw} is refused without naming it: {error}"]
    return [f"input {name}: {raw} is worked with"]


def bad_input(calculator: Calculator) -> list[str]:
    """Only InputError may come of it, and with every wrong or missing input at once."""
    found: list[str] = []
    required = [parameter.name for parameter in calculator.parameters if parameter.required]
    found += _refused(calculator, {}, required, "nothing at all")
    found += _refused(calculator, dict.fromkeys(required, "abc?"), _readable(calculator, required), "abc? everywhere")
    found += _refused(
        calculator, {**calculator.examples[0].inputs, "no_such_input": "1 bar"}, ["no_such_input"], "an unknown input"
    )
    for parameter in calculator.parameters:
        for raw in SENSELESS:
            try:
                parameter.field.parse(raw)
            except Refused:
                pass
            except Exception as error:
                found.append(f"input {parameter.name}: {raw!r:.40} raises {type(error).__name__}: {error}")
        if isinstance(parameter.field, Quantity) and parameter.field.kind:
            wrong = "1 ± 0 A" if parameter.field.kind.family != "current" else "1 ± 0 V"
            if _taken(parameter.field, wrong):
                found.append(f"input {parameter.name}: {wrong} is taken for {parameter.field.kind.name}")
    return found


def _readable(calculator: Calculator, names: list[str]) -> list[str]:
    """Those of the names for which "abc?" is certainly wrong."""
    return [name for name in names if isinstance(calculator.parameter(name).field, Quantity | Limits)]


def _refused(calculator: Calculator, raw: dict[str, Any], names: list[str], what: str) -> list[str]:
    try:
        run(calculator, raw)
    except InputError as error:
        told = {problem.input for problem in error.problems}
        return [f"given {what}, it says nothing about {name}" for name in names if name not in told]
    except Exception as error:
        return [f"given {what}, it raises {type(error).__name__}: {error}"]
    return [f"given {what}, it works without {', '.join(names)}"] if names else []


def repeatable(calculator: Calculator) -> list[str]:
    """Two runs are equal to the last digit, and standard output stays empty."""
    found = []
    for number, example in enumerate(calculator.examples, 1):
        printed = io.StringIO()
        with redirect_stdout(printed):
            one, other = (run(calculator, example.inputs) for _ in range(2))
        if one.to_dict() != other.to_dict():
            found.append(f"example {number} gives another result the second time")
        if printed.getvalue():
            found.append(f"example {number} prints {printed.getvalue()!r:.60}; put it into the result's notes")
    return found


def unit_change(calculator: Calculator) -> list[str]:
    """Each reading and each spec range, one at a time, in another unit of its family."""
    found = []
    for number, example in enumerate(calculator.examples):
        base = worked(calculator, number)
        for name, field, given in quantities(calculator, example):
            unit = other_unit(given[0].unit.symbol, given[0].unit.family)
            if unit:
                converted = [_plainly(reading.to(unit)) for reading in given]
                result = changed(calculator, example, name, converted if field.many else converted[0])
                found += [f"{name} in {unit}: {fault}" for fault in differences(base, result)]
        for name, spec in limits_given(calculator, example):
            unit = other_unit(spec.unit.symbol, spec.unit.family)
            if unit:
                found += [
                    f"{name} in {unit}: {fault}"
                    for fault in differences(base, changed(calculator, example, name, spec.to(unit)))
                ]
    return found


def _plainly(reading: Reading) -> Reading:
    """The reading as if it had been typed so."""
    return Reading(reading.value, reading.unit, reading.kind, reading.u, assumed=reading.assumed)


def json_shape(calculator: Calculator) -> list[str]:
    """The result as JSON, the inputs as JSON, and the inputs of a result fed back."""
    found = []
    for number, example in enumerate(calculator.examples):
        result = worked(calculator, number)
        told = json.loads(json.dumps(result.to_dict(), allow_nan=False))
        found += faults(told, result_schema(), f"the result of example {number + 1}")
        given = json.loads(json.dumps(dict(example.inputs)))
        found += faults(given, inputs_schema(calculator), f"the input of example {number + 1}")
        again = differences(result, run(calculator, told["inputs"]))
        found += [f"example {number + 1}, its result's inputs given again: {fault}" for fault in again]
    return found
