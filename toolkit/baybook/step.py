"""One worked step: a formula, the same with its numbers put in, what comes out."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from . import numbers
from .dataclass import dataclass, field
from .estimate import Estimate
from .message import Message, shown
from .reading import Reading
from .spec import SpecRange

if TYPE_CHECKING:
    from .message import Said

Shown = Estimate | Reading | SpecRange | float | str


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
