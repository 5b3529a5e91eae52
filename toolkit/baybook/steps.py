"""Worked steps: a formula, the same with its numbers put in, what comes out. They follow from the declared formulas."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

from . import numbers
from .errors import PluginError
from .estimate import Estimate
from .message import Message, shown
from .reading import Reading
from .spec import SpecRange

if TYPE_CHECKING:
    from .declare import Calculator
    from .message import Said
    from .result import Value

Shown = Estimate | Reading | SpecRange | float | str
FUNCTIONS = frozenset({"abs", "arctan", "cos", "exp", "ln", "log", "max", "min", "sin", "sqrt", "π"})
"""What stands in a formula and is no symbol of a quantity."""


@dataclass(frozen=True)
class Step:
    """One worked step: a formula in its source's symbols, the same with the numbers put in, and what comes out.

    what: its title; without a formula it is the left side of a declared formula, or the output that this is the formula of,
        and all else comes from the declaration and the result.
    numbers: what stands for each symbol: readings, estimates, spec ranges, floats or text; with a declared formula only what
        is neither an input nor an output. A symbol is replaced where it stands alone, longest first.
    title: where the step is given by its formula's left side and is to be called otherwise than the output.
    """

    what: str
    formula: str = ""
    numbers: Mapping[str, Any] = field(default_factory=dict)
    result: Shown = ""
    title: str = ""

    def put_in(self) -> str:
        """The formula with its numbers, with as many digits as it takes for the printed result to come out of them."""
        left, equals, right = self.formula.partition("=")
        texts = {symbol: working_number(value, self.result) for symbol, value in self.numbers.items()}
        return _replace(right if equals else left, texts).strip()

    def to_dict(self, said: Said = Message.to_dict) -> dict[str, Any]:
        """For JSON; said: what stands there for a message."""
        return {
            "what": said(Message.of(self.what)), "formula": self.formula, "numbers": self.put_in(),
            "result": shown(self.result),
        }  # fmt: skip


def working_number(value: Any, result: Shown) -> str:
    """A number of a step: as it is shown elsewhere where that is enough, else one digit finer than the result."""
    if not isinstance(value, Estimate | Reading | float):
        return shown(value)
    number = value if isinstance(value, float) else value.value
    unit = "" if isinstance(value, float) or value.unit.symbol == "1" else f" {value.unit.symbol}"
    if isinstance(value, float):
        text = numbers.plain(value, 5)
    elif isinstance(value, Reading):
        text = numbers.split_number(value.show())[0]
    else:
        text = numbers.show(number, 0.0 if value.assumed else (value.high - value.low) / 2)
    if abs(float(text) - number) > _slack(number, unit.strip(), result):
        text = next(t for t in (numbers.plain(number, d) for d in range(2, 18)) if _close(t, number, unit.strip(), result))
    return text + unit


def _close(text: str, number: float, unit: str, result: Shown) -> bool:
    return abs(float(text) - number) <= _slack(number, unit, result) or f"{number:.16g}" == text


def _slack(number: float, unit: str, result: Shown) -> float:
    """By how much a number may be off in a step: half a unit of one digit more than the printed result has."""
    text = numbers.split_number(shown(result))[0] if isinstance(result, Estimate | Reading | float) else ""
    mantissa, _, exponent = text.partition("e")
    digits = mantissa.lstrip("+-").replace(".", "").lstrip("0")
    share = 0.5 * abs(number) * 10.0 ** -(max(len(digits), 2) + 1)
    same_unit = isinstance(result, Estimate | Reading) and result.unit.symbol == unit
    if not text or not same_unit:
        return share
    return min(share, 0.05 * 10.0 ** (int(exponent or 0) - len(mantissa.partition(".")[2])))


def _replace(formula: str, texts: Mapping[str, str]) -> str:
    out, at = [], 0
    symbols = sorted(texts, key=len, reverse=True)
    while at < len(formula):
        symbol = next((s for s in symbols if formula.startswith(s, at) and _alone(formula, at, len(s))), None)
        out.append(texts[symbol] if symbol else formula[at])
        at += len(symbol) if symbol else 1
    return "".join(out)


def _alone(formula: str, at: int, length: int) -> bool:
    before, after = formula[at - 1 : at], formula[at + length : at + length + 1]
    return not (before.isalnum() or before == "_") and not (after.isalnum() or after == "_")


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


def _filled(
    calculator: Calculator, step: Step, formula: str, known: Mapping[str, Any], outputs: Mapping[str, Value]
) -> Step:
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
