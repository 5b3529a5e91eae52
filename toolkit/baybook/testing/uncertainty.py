"""The check that uncertainty reaches the outputs: a wider input never narrows one, and some input widens one."""

from __future__ import annotations

from ..declare import Calculator
from ..reading import Reading
from ..result import Result
from .trying import changed, numbers, quantities, worked

FACTOR = 3.0
SLACK = 1e-3  # of the width: what finite differences and integration leave
MOVES = 1.01  # a width has to grow by more than this to count as widened


def propagates(calculator: Calculator) -> list[str]:
    """Each reading of each example, one at a time, three times as wide."""
    found: list[str] = []
    widened = numeric = False
    for number, example in enumerate(calculator.examples):
        base = worked(calculator, number)
        numeric = numeric or bool(numbers(base))
        for name, field, given in quantities(calculator, example):
            wider = [_wider(reading) for reading in given]
            result = changed(calculator, example, name, wider if field.many else wider[0])
            grown = _growth(base, result)
            found += [
                f"{name} three times as wide narrows {output} to {ratio:.6f} of its width"
                for output, ratio in grown.items()
                if ratio < 1 - SLACK
            ]
            widened = widened or any(ratio > MOVES for ratio in grown.values())
    if numeric and not widened:
        found.append("no input's uncertainty reaches any output; use propagate(), or build Estimates with an interval")
    return found


def _wider(reading: Reading) -> Reading:
    """The same reading, three times as uncertain; an exact one to one per cent."""
    u = reading.u * FACTOR if reading.u > 0 else 0.01 * (abs(reading.value) or 1.0)
    return Reading(reading.value, reading.unit, reading.kind, u)


def _growth(base: Result, result: Result) -> dict[str, float]:
    """For each output, its width over its width before."""
    after = numbers(result)
    grown = {}
    for name, estimate in numbers(base).items():
        if name in after:
            before, now = estimate.high - estimate.low, after[name].high - after[name].low
            tiny = 1e-12 * max(abs(estimate.value), 1e-300)
            grown[name] = (now + tiny) / (before + tiny)
    return grown
