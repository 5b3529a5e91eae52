"""What the checks share: a calculator's examples, worked out with one input put differently, and results compared."""

from __future__ import annotations

import functools
from collections.abc import Iterator
from typing import Any

from .. import units
from ..declaration import Example
from ..declare import Calculator
from ..estimate import Estimate
from ..execution import read_inputs, run
from ..fields import Quantity
from ..reading import Reading
from ..result import Result
from ..spec import SpecRange

CLOSE = 1e-6  # of the value or of the interval's width, whichever is larger: rounding of a unit's factor, no more


@functools.lru_cache(maxsize=64)
def worked(calculator: Calculator, number: int) -> Result:
    """The result of the example of that number."""
    return run(calculator, calculator.examples[number].inputs)


def changed(calculator: Calculator, example: Example, name: str, value: Any) -> Result:
    """The result of the example with one input put in another way."""
    return run(calculator, {**example.inputs, name: value})


def quantities(calculator: Calculator, example: Example) -> Iterator[tuple[str, Quantity, list[Reading]]]:
    """(name, field, readings) of every reading that the example works with, defaults included; no list with gaps or bounds."""
    values = read_inputs(calculator, example.inputs)
    for parameter in calculator.parameters:
        value = values.get(parameter.name)
        if isinstance(parameter.field, Quantity) and value is not None and value != ():
            given = list(value) if parameter.field.many else [value]
            if all(reading is not None and not reading.bound for reading in given):
                yield parameter.name, parameter.field, given


def limits_given(calculator: Calculator, example: Example) -> Iterator[tuple[str, SpecRange]]:
    """(name, range) of every spec range of the example."""
    values = read_inputs(calculator, example.inputs)
    yield from ((name, value) for name, value in values.items() if isinstance(value, SpecRange))


def other_unit(symbol: str, family: str) -> str | None:
    """A unit of the same family and of another size; None where there is none."""
    own = units.find(symbol, family)
    others = [unit for unit in units.in_family(family) if (unit.factor, unit.offset) != (own.factor, own.offset)]
    # about ten times as large or small: far enough to show a fault, near enough to be typed by a person
    nearest = min(others, key=lambda unit: abs(_ratio(unit.factor, own.factor) - 10), default=None)
    return nearest.symbol if nearest else None


def _ratio(one: float, other: float) -> float:
    return max(one, other) / min(one, other)


def numbers(result: Result) -> dict[str, Estimate]:
    """The outputs that are quantities, those of a vector with their number."""
    found: dict[str, Estimate] = {}
    for name, value in result.outputs.items():
        if isinstance(value, Estimate):
            found[name] = value
        elif isinstance(value, tuple):
            found.update({f"{name} {number}": item for number, item in enumerate(result.vector(name), 1) if item is not None})
    return found


def differences(one: Result, other: Result) -> list[str]:
    """Where two results that should be equal are not."""
    if set(one.outputs) != set(other.outputs):
        return [f"gives the outputs {', '.join(sorted(other.outputs))} instead of {', '.join(sorted(one.outputs))}"]
    found = [
        f"{name} becomes {other.outputs[name]}"
        for name, value in one.outputs.items()
        if isinstance(value, str) and value != other.outputs[name]
    ]
    if numbers(one).keys() != numbers(other).keys():
        return [*found, "other numbers of a vector are measured"]
    for name, estimate in numbers(one).items():
        found += _different(name, estimate, numbers(other)[name])
    words = [[(v.what, v.verdict) for v in result.verdicts] for result in (one, other)]
    if words[0] != words[1]:
        found.append(f"the verdicts become {words[1]}")
    said = [[(f.stage, f.side, f.strength) for f in result.findings] for result in (one, other)]
    if said[0] != said[1]:
        found.append(f"the findings become {said[1]}")
    return found


def _different(name: str, one: Estimate, other: Estimate) -> list[str]:
    same = other.to(one.unit)
    allowed = CLOSE * max(abs(one.value), one.high - one.low)
    pairs = ((one.value, same.value), (one.low, same.low), (one.high, same.high))
    if all(abs(a - b) <= allowed for a, b in pairs):
        return []
    return [f"{name} becomes {_shown(same)} instead of {_shown(one)}"]


def _shown(estimate: Estimate) -> str:
    return f"{estimate.value:.9g} {estimate.unit.symbol} ({estimate.low:.9g} … {estimate.high:.9g})"
