"""The check that limits are judged and that a verdict reaches the job, whatever the calculator itself says of it."""

from __future__ import annotations

from ..declare import Calculator, Parameter
from ..errors import InputError
from ..estimate import Estimate
from ..execution import run
from ..fields import Limits
from ..result import Result
from ..spec import SpecRange
from .examples import changed, worked


def reaches(calculator: Calculator) -> list[str]:
    """Each limit that says what it judges, put far below and far above the example's output; one that says nothing, as an
    example has it; and the examples as they are."""
    found = [fault for number in range(len(calculator.examples)) for fault in _unheard(calculator, worked(calculator, number))]
    for parameter in calculator.parameters:
        if isinstance(parameter.field, Limits) and parameter.field.judges:
            found += _tried(calculator, parameter, parameter.field.judges)
        elif isinstance(parameter.field, Limits) and not _tells(calculator, parameter):
            found.append(f"{parameter.name} changes nothing in any example; say judges=, or show in one what it is for")
    return list(dict.fromkeys(found))


def _tells(calculator: Calculator, parameter: Parameter) -> bool:
    """Whether an example that gives the limit would say less without it."""
    given = [example for example in calculator.examples if parameter.name in example.inputs]
    return any(
        _said(run(calculator, example.inputs))
        != _said(run(calculator, {name: text for name, text in example.inputs.items() if name != parameter.name}))
        for example in given
    )


def _said(result: Result) -> tuple[object, ...]:
    return result.verdicts, result.findings, result.answers, tuple(result.outputs)


def _tried(calculator: Calculator, parameter: Parameter, output: str) -> list[str]:
    value = next((value for number in range(len(calculator.examples)) if (value := _first(calculator, number, output))), None)
    if value is None:
        return [f"no example has the output {output}, which {parameter.name} judges"]
    found = []
    for wanted, side in (("outside", -1), ("within", 1)):
        reach = 20 * (value.high - value.low) + abs(value.value)
        spec = SpecRange(None, value.value + side * reach, value.unit, "the check of the interface", kind=value.kind)
        try:
            number = next(n for n in range(len(calculator.examples)) if _first(calculator, n, output))
            result = changed(calculator, calculator.examples[number], parameter.name, spec)
        except InputError:  # no limit that could be typed
            continue
        said = [verdict.verdict for verdict in result.verdicts if verdict.output == output]
        if wanted not in said:
            found.append(f"{parameter.name} at {spec.show()}: {output} of {value.show()} is not called {wanted}")
        found += _unheard(calculator, result)
    return found


def _first(calculator: Calculator, number: int, output: str) -> Estimate | None:
    result = worked(calculator, number)
    value = result.outputs.get(output)
    if isinstance(value, tuple):
        return next((item for item in result.vector(output) if item is not None), None)
    return value if isinstance(value, Estimate) else None


def _unheard(calculator: Calculator, result: Result) -> list[str]:
    """A result whose verdicts a job would not see."""
    if "any" in (calculator.stage, calculator.side) or not any(v.verdict == "outside" for v in result.verdicts):
        return []
    if any(finding.strength != "cleared" for finding in result.findings):
        return []
    return ["a verdict is outside, and no finding says so; leave the findings to the core, or add one"]
