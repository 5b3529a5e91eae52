"""The check that uncertainty reaches the outputs: a wider input never narrows one, and some input widens one."""

from __future__ import annotations

from ..declaration import Example
from ..declare import Calculator
from ..reading import Reading
from ..result import Result
from .examples import changed, numbers, quantities, worked

FACTORS = (3.0, 9.0)
SLACK = 1e-3  # of the width: what finite differences and integration leave
MOVES = 1.01  # a width has to grow by more than this to count as widened


def propagates(calculator: Calculator) -> list[str]:
    """Each reading of each example, one at a time, three and nine times as wide.

    An output counts as narrowed when it is so both times: an interval that is sampled may shrink a little by chance, while
    what truly shrinks does so the more, the wider the input.
    """
    found: list[str] = []
    widened = numeric = False
    for number, example in enumerate(calculator.examples):
        numeric = numeric or bool(numbers(worked(calculator, number)))
        for name, field, given in quantities(calculator, example):
            growth = _widths(calculator, example, name, given, many=field.many)
            found += [
                f"{name} three times as wide narrows {output} to {first:.6f} of its width, nine times to {second:.6f}"
                for output, (first, second) in growth.items()
                if max(first, second) < 1 - SLACK
            ]
            widened = widened or any(first > MOVES for first, _ in growth.values())
    if numeric and not widened:
        found.append("no input's uncertainty reaches any output; use propagate(), or build Estimates with an interval")
    return found


def _widths(
    calculator: Calculator, example: Example, name: str, given: list[Reading], *, many: bool
) -> dict[str, tuple[float, float]]:
    """For each output its width with one input three and nine times as wide, over that with the input as it is."""
    put = [[_as_wide(reading, factor) for reading in given] for factor in (1.0, *FACTORS)]
    base, *wider = [changed(calculator, example, name, items if many else items[0]) for items in put]
    three, nine = (_growth(base, result) for result in wider)
    return {output: (three[output], nine[output]) for output in three if output in nine}


def _as_wide(reading: Reading, factor: float) -> Reading:
    """The reading, `factor` times as uncertain; an exact one counts as known to a third of a per cent.

    Not from exact to uncertain: an interval that is sampled changes a little with the mere number of uncertain inputs.
    """
    u = (reading.u or (abs(reading.value) or 1.0) / 300) * factor
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
