"""The outputs of a result as they are declared: units, order, kinds, vectors."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .draws import AtLeast, Draws
from .errors import PluginError
from .estimate import Estimate
from .kinds import KINDS
from .quantity import resolve
from .reading import Reading
from .result import Result

if TYPE_CHECKING:
    from .declaration import Output
    from .declare import Calculator
    from .draws import Known
    from .result import Given, Value


def completed_outputs(calculator: Calculator, result: Result) -> dict[str, Value]:
    """The outputs in their declared units and in the declared order. Raises PluginError where they are not as declared.

    Draws are told as estimates; what cannot be told as a number is a gap in a vector, and else left out.
    """
    given = {name: told for name, value in result.outputs.items() if (told := _told(value)) is not None}
    declared = {name: _declared(calculator, name) for name in given}
    order = list(calculator.outputs.values())
    names = sorted(declared, key=lambda name: next(at for at, output in enumerate(order) if output is declared[name]))
    found = {name: _as_declared(calculator, name, declared[name], given[name]) for name in names}
    _check_lengths(calculator, found)
    return found


def _told(value: Given) -> Value | None:
    if isinstance(value, tuple):
        items = tuple(None if item is None else _number(item) for item in value)
        return None if items != value and not any(items) else items
    return value if isinstance(value, str) else _number(value)


def _number(item: Known | Reading) -> Estimate | None:
    """What is told of it as a number; None where that is a bound alone."""
    if isinstance(item, Draws | AtLeast):
        return item.estimate() if item.told else None
    return Estimate.from_reading(item) if isinstance(item, Reading) else item


def _declared(calculator: Calculator, name: str) -> Output:
    declared = declared_output(calculator, name)
    if declared is None:
        raise PluginError(f"{calculator.words()} returned the output {name!r}, which it does not declare")
    return declared


def _as_declared(calculator: Calculator, name: str, declared: Output, value: Value) -> Value:
    fits = str if declared.kind == "word" else tuple if declared.each else Estimate
    if not isinstance(value, fits):
        said = f"{declared.kind} for each {declared.each}" if declared.each else declared.kind
        raise PluginError(f"{calculator.words()} declares {name!r} as {said} and returned {value!r}")
    if isinstance(value, str):
        return value
    try:
        if isinstance(value, tuple):
            return tuple(None if item is None else _in_unit(declared, item) for item in value)
        return _in_unit(declared, value)
    except (PluginError, ValueError, AttributeError) as error:
        raise PluginError(f"{calculator.words()}, output {name!r}: {error}") from error


def _in_unit(declared: Output, value: Estimate) -> Estimate:
    if declared.kind != "any":
        value = value.of_kind(KINDS[declared.kind])
    if value.kind is None:
        raise PluginError(f"{value.unit.symbol} may be of more than one kind; make the estimate with kind=")
    if declared.shown_unit():
        value = value.to(resolve(declared.shown_unit(), value.kind)[0])
    if declared.at_least is None or value.at_least is not None:
        return value
    return Estimate(value.value, value.unit, value.low, value.high, value.kind, declared.at_least, value.assumed, value.origin)


def _check_lengths(calculator: Calculator, outputs: dict[str, Value]) -> None:
    """Raise PluginError where vectors of the same `each` have not as many numbers, or none that was measured."""
    lengths: dict[str, int] = {}
    for name, value in outputs.items():
        if isinstance(value, tuple):
            each = calculator.outputs[name].each
            if lengths.setdefault(each, len(value)) != len(value) or not any(item is not None for item in value):
                raise PluginError(f"{calculator.words()}, output {name!r}: one for each {each} is wanted, None for a gap")


def declared_output(calculator: Calculator, name: str) -> Output | None:
    """The declaration of an output, `{unit}` standing for any unit; None where there is none."""
    return calculator.outputs.get(name, calculator.outputs.get("{unit}"))
