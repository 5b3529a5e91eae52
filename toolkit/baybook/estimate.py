"""Estimates: worked-out quantities with a 95 % interval, and how uncertainty reaches them."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from . import numbers, units
from .reading import COVERAGE, Reading


@dataclass(frozen=True)
class Estimate:
    """A value in `unit` (a unit's symbol, or "" for a pure number) with its 95 % interval from `low` to `high`.

    The interval need not be symmetric. Raises ValueError when made with a value that is not finite or lies outside it.
    """

    value: float
    unit: str
    low: float
    high: float

    def __post_init__(self) -> None:
        if not all(map(math.isfinite, (self.value, self.low, self.high))):
            raise ValueError(f"not finite: {self.value} {self.unit} from {self.low} to {self.high}")
        slack = 1e-9 * max(abs(self.low), abs(self.high), 1e-300)
        if not self.low - slack <= self.value <= self.high + slack:
            raise ValueError(f"{self.value} {self.unit} lies outside its interval {self.low} to {self.high}")

    @classmethod
    def of(cls, value: float, unit: str, u: float = 0.0) -> Estimate:
        """From a value and its standard uncertainty, taken as normal."""
        return cls(value, unit, value - COVERAGE * u, value + COVERAGE * u)

    @classmethod
    def from_reading(cls, reading: Reading) -> Estimate:
        """A reading as it stands."""
        return cls.of(reading.value, reading.unit.symbol, reading.u)

    @property
    def u(self) -> float:
        """The standard uncertainty: the interval's width over 2 times 1.96."""
        return (self.high - self.low) / (2 * COVERAGE)

    def to(self, symbol: str) -> Estimate:
        """The same estimate in another unit of its family. Raises units.UnknownUnit or ValueError."""
        target = units.find(symbol)
        source = units.find(self.unit, target.family)
        target = units.find(symbol, source.family)
        value, low, high = (units.convert(number, source, target) for number in (self.value, self.low, self.high))
        return Estimate(value, target.symbol, low, high)

    def below(self, limit: float) -> float:
        """The probability that the quantity lies below `limit`: two normal halves, one for each side of the value."""
        half = (self.high - self.value) if limit >= self.value else (self.value - self.low)
        if half <= 0:
            return 1.0 if self.value <= limit else 0.0
        return 0.5 * math.erfc((self.value - limit) / half * COVERAGE / math.sqrt(2))

    def show(self) -> str:
        """Value and unit, rounded to two significant digits of the half-width."""
        return f"{numbers.show(self.value, self.u * COVERAGE)} {'' if self.unit == '1' else self.unit}".strip()

    def show_interval(self) -> str:
        """The 95 % interval, rounded alike; "" where it has no width."""
        width = self.u * COVERAGE
        if width <= 0:
            return ""
        return f"{numbers.show(self.low, width)} … {numbers.show(self.high, width)}"


Input = Reading | Estimate | float | Sequence["Reading | Estimate | float"]


def propagate(function: Callable[..., Any], units: Mapping[str, str], /, **inputs: Input) -> dict[str, Estimate]:
    """Work out `function` at the inputs' values and give every output its 95 % interval.

    function: pure; takes each input as a float (a tuple of floats for a sequence), in the unit that the input has;
        returns a mapping or a named tuple of floats.
    units: for each output, the unit's symbol ("" for a pure number). Outputs not named here are left out.
    inputs: readings and estimates are varied, each alone, by its standard uncertainty up and down; floats are exact.
        An error that several readings share is an input of its own.

    The changes up and down are added in squares, each side for itself (JCGM 100:2008, 5.1.3 note 2, taken to both sides so
    that a curved function keeps an uneven interval); the inputs count as independent. Raises what `function` raises.
    """
    slots = _slots(inputs)
    centre = _values(function, inputs, {})
    up = dict.fromkeys(units, 0.0)
    down = dict.fromkeys(units, 0.0)
    for slot, (value, below, above) in slots.items():
        high = _values(function, inputs, {slot: value + above})
        low = _values(function, inputs, {slot: value - below})
        for name in units:
            changes = (high[name] - centre[name], low[name] - centre[name])
            up[name] += max(*changes, 0.0) ** 2
            down[name] += min(*changes, 0.0) ** 2
    return {
        name: Estimate(
            centre[name], unit, centre[name] - COVERAGE * down[name] ** 0.5, centre[name] + COVERAGE * up[name] ** 0.5
        )
        for name, unit in units.items()
    }


Slot = tuple[str, int | None]


def _slots(inputs: Mapping[str, Input]) -> dict[Slot, tuple[float, float, float]]:
    """(value, standard uncertainty down, up) of everything that is to be varied, by its place."""
    slots = {}
    for name, given in inputs.items():
        for place, item in enumerate(given) if isinstance(given, Sequence) else [(None, given)]:
            if isinstance(item, Reading) and item.u > 0:
                slots[name, place] = (item.value, item.u, item.u)
            elif isinstance(item, Estimate) and item.u > 0:
                slots[name, place] = (
                    item.value, (item.value - item.low) / COVERAGE, (item.high - item.value) / COVERAGE,
                )  # fmt: skip
    return slots


def _values(function: Callable[..., Any], inputs: Mapping[str, Input], moved: Mapping[Slot, float]) -> Mapping[str, float]:
    arguments = {
        name: tuple(_number(item, moved.get((name, place))) for place, item in enumerate(given))
        if isinstance(given, Sequence)
        else _number(given, moved.get((name, None)))
        for name, given in inputs.items()
    }
    result = function(**arguments)
    found: Mapping[str, float] = result if isinstance(result, Mapping) else result._asdict()
    return found


def _number(item: Reading | Estimate | float, moved: float | None) -> float:
    if moved is not None:
        return moved
    return item.value if isinstance(item, Reading | Estimate) else item
