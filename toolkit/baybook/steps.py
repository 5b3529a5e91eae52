"""The worked steps of a result, as they follow from the declared formulas."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING, Any

from .dataclass import replace
from .errors import PluginError
from .estimate import Estimate
from .reading import Reading
from .step import Shown, Step

if TYPE_CHECKING:
    from .declare import Calculator
    from .result import Value

FUNCTIONS = frozenset({"abs", "arctan", "cos", "exp", "ln", "log", "max", "min", "sin", "sqrt", "π"})
"""What stands in a formula and is no symbol of a quantity."""


def left_side(formula: str) -> str:
    """What the formula is of: `p` of `p = rho · g · h`."""
    return formula.partition("=")[0].strip()


def symbols_of(formula: str) -> tuple[str, ...]:
    """The symbols on the right side of a formula, in order, each once."""
    found: dict[str, None] = {}
    word = ""
    for char in f"{formula.partition('=')[2]} ":
        if char.isalnum() or char == "_":
            word += char
            continue
        if word and not word[0].isdigit() and word not in FUNCTIONS:
            found[word] = None
        word = ""
    return tuple(found)


def completed_steps(
    calculator: Calculator, values: Mapping[str, Any], outputs: Mapping[str, Value], steps: Iterable[Step]
) -> tuple[Step, ...]:
    """The steps with what the declaration says of them, and one for each declared formula whose symbols are all known.

    Raises PluginError for a step by a name that no declared formula has, or with a symbol that nothing is known of.
    """
    known = _known(calculator, values, outputs)
    given = [step if step.formula else _by_name(calculator, step, known, outputs) for step in steps]
    taken = {left_side(step.formula) for step in given}
    derived = [
        _filled(calculator, Step(left_side(formula)), formula, known, outputs)
        for formula in calculator.formulas
        if left_side(formula) not in taken
        and _output_of(calculator, left_side(formula)) in outputs
        and symbols_of(formula)
        and all(symbol in known for symbol in symbols_of(formula))
    ]
    if not derived and all(step.formula for step in steps):
        return tuple(given)
    order = [left_side(formula) for formula in calculator.formulas]
    return tuple(sorted([*given, *derived], key=lambda step: _place(order, left_side(step.formula))))


def _place(order: list[str], left: str) -> int:
    return order.index(left) if left in order else len(order)


def _output_of(calculator: Calculator, left: str) -> str:
    return next((name for name, output in calculator.outputs.items() if left in (output.symbol, name)), "")


def _by_name(calculator: Calculator, step: Step, known: Mapping[str, Any], outputs: Mapping[str, Value]) -> Step:
    declared = calculator.outputs.get(step.what)
    left = declared.symbol if declared else step.what
    formula = next((formula for formula in calculator.formulas if left_side(formula) == left), None)
    if formula is None:
        raise PluginError(f"{calculator.words()} has the step {step.what!r}, which no declared formula is of")
    return _filled(calculator, step, formula, known, outputs)


def _filled(calculator: Calculator, step: Step, formula: str, known: Mapping[str, Any], outputs: Mapping[str, Value]) -> Step:
    name = _output_of(calculator, left_side(formula))
    found = step.result or outputs.get(name, "")
    if isinstance(found, tuple):
        raise PluginError(f"{calculator.words()}: the step {step.what!r} is of a vector; say of which number: result=")
    wanted = {symbol: {**known, **step.numbers}.get(symbol) for symbol in symbols_of(formula)}
    missing = [symbol for symbol, value in wanted.items() if value is None]
    if missing:
        raise PluginError(f"{calculator.words()}: the step {step.what!r} lacks {', '.join(missing)}; give it in numbers=")
    title = step.title or (calculator.outputs[name].help if name else step.what)
    return replace(step, what=title, formula=formula, numbers=wanted, result=found)


def _known(calculator: Calculator, values: Mapping[str, Any], outputs: Mapping[str, Value]) -> dict[str, Shown]:
    """What stands for each symbol: inputs as they were typed, temperatures in the unit of the formulas, and outputs."""
    found: dict[str, Shown] = {}
    for parameter in calculator.parameters:
        value = values.get(parameter.name)
        symbol = parameter.field.symbol or parameter.name
        if isinstance(value, Reading) and not value.bound:
            found[symbol] = value.to(value.kind.unit) if value.unit.offset else value
        elif isinstance(value, int) and not isinstance(value, bool):
            found[symbol] = str(value)
    for name, output in calculator.outputs.items():
        value = outputs.get(name)
        if isinstance(value, Estimate):
            found[output.symbol or name] = value
    return found
