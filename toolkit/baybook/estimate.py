"""Estimates: worked-out quantities with a 95 % interval, from numbers, from a reading or from draws."""

from __future__ import annotations

import math

from . import numbers, units
from .dataclass import dataclass, field, replace
from .errors import PluginError
from .kinds import Kind
from .quantity import fits, narrower, resolve
from .reading import COVERAGE, Reading
from .units import Unit


@dataclass(frozen=True, init=False)
class Estimate:
    """A value in `unit` with its 95 % interval from `low` to `high`, which need not be symmetric.

    unit: an object, or a symbol ("" for a pure number). kind: of quantity, or its name; None where the symbol is that of
    several families (K) and nothing has decided yet: the declared output and a spec range do, and until then it is not
    converted. at_least: what the quantity cannot be below, in the same unit; the interval ends there. assumed: half a unit of
    the last digit that was typed, where nothing else is known of the uncertainty; else 0. origin: the reading or estimate that
    this is the same as.

    Raises ValueError when made with a value that is not finite or lies outside its interval, PluginError for an unknown unit
    or one that does not fit the kind.
    """

    value: float
    unit: Unit
    low: float
    high: float
    kind: Kind | None
    at_least: float | None
    assumed: float
    origin: object = field(compare=False, repr=False)

    def __init__(
        self,
        value: float,
        unit: Unit | str,
        low: float,
        high: float,
        kind: Kind | str | None = None,
        at_least: float | None = None,
        assumed: float = 0.0,
        origin: object = None,
    ) -> None:
        found, known = resolve(unit, kind)
        if at_least is not None:
            value, low, high = (max(number, at_least) for number in (value, low, high))
        _check(value, found, low, high)
        given = (value, found, low, high, known, at_least, assumed, origin or self)
        self.__dict__.update(zip(self.__match_args__, given, strict=True))

    @classmethod
    def of(
        cls, value: float, unit: Unit | str, u: float = 0.0, *, kind: Kind | str | None = None, at_least: float | None = None
    ) -> Estimate:
        """From a value and its standard uncertainty, taken as normal.

        >>> rise = Estimate.of(10, "K", 0.5, kind="temperature difference").to("°F")
        >>> round(rise.value, 1), round(rise.low, 1), round(rise.high, 1)  # 1.8 °F each; 1.96 standard uncertainties
        (18.0, 16.2, 19.8)
        """
        return cls(value, unit, value - COVERAGE * u, value + COVERAGE * u, kind, at_least)

    @classmethod
    def from_reading(cls, reading: Reading) -> Estimate:
        """A reading as it stands. Raises PluginError for one that is only a bound."""
        if reading.bound:
            raise PluginError(f"{reading.text} is only a bound, and no estimate can be made of it")
        assumed = reading.widest if reading.assumed else 0.0
        return cls(
            reading.value, reading.unit, *reading.interval, reading.kind, reading.possible[0], assumed, reading.origin
        )  # fmt: skip

    @property
    def u(self) -> float:
        """The standard uncertainty: the interval's width over 2 times 1.96."""
        return (self.high - self.low) / (2 * COVERAGE)

    def to(self, unit: Unit | str) -> Estimate:
        """The same estimate in another unit of its family.

        Raises units.UnknownUnit, ValueError for one of another family, PluginError while its kind is open.
        """
        target = units.find(unit, self.unit.family) if isinstance(unit, str) else unit
        if target is self.unit:
            return self
        if self.kind is None:
            raise PluginError(f"{self.unit.symbol} may be of more than one kind; make the estimate with kind=")
        value, low, high = (units.convert(number, self.unit, target) for number in (self.value, self.low, self.high))
        floor = None if self.at_least is None else units.convert(self.at_least, self.unit, target)
        assumed = units.convert_width(self.assumed, self.unit, target)
        return Estimate(value, target, low, high, self.kind, floor, assumed, self.origin)

    def of_kind(self, kind: Kind) -> Estimate:
        """The same estimate as one of `kind`; raises PluginError where it is of another."""
        if self.kind is None:
            return replace(self, unit=resolve(self.unit.symbol, kind)[0], kind=kind)
        if not fits(self.kind, kind):
            raise PluginError(f"{self.show()} is of the kind {self.kind.name}, not {kind.name}")
        return self if self.kind is kind else replace(self, kind=narrower(self.kind, kind))

    def below(self, limit: float) -> float:
        """The probability that the quantity lies below `limit`: two normal halves, one for each side of the value."""
        return _normal_below(self, limit)

    def above(self, limit: float) -> float:
        """The probability that the quantity lies above `limit`."""
        half = (self.high - self.value) if limit >= self.value else (self.value - self.low)
        return 1.0 - _normal_below(self, limit) if half > 0 else float(self.value > limit)

    def show(self) -> str:
        """Value and unit, rounded to two significant digits of the half-width; of an assumed one the number and its width."""
        unit = "" if self.unit.symbol == "1" else self.unit.symbol
        if self.assumed:
            return numbers.assumed_shown(self.value, self.assumed, unit)
        return f"{numbers.show(self.value, numbers.rounding_width(self.low, self.high))} {unit}".strip()

    def show_interval(self) -> str:
        """The 95 % interval, rounded alike; "" where it has no width, or one that was assumed."""
        width = numbers.rounding_width(self.low, self.high)
        if width <= 0 or self.assumed:
            return ""
        return f"{numbers.show(self.low, width)} … {numbers.show(self.high, width)}"


def _check(value: float, unit: Unit, low: float, high: float) -> None:
    if not all(map(math.isfinite, (value, low, high))):
        raise ValueError(f"not finite: {value} {unit.symbol} from {low} to {high}")
    slack = 1e-9 * max(abs(low), abs(high), 1e-300)
    if not low - slack <= value <= high + slack:
        raise ValueError(f"{value} {unit.symbol} lies outside its interval {low} to {high}")


def _normal_below(estimate: Estimate, limit: float) -> float:
    if estimate.at_least is not None and limit <= estimate.at_least:
        return 0.0  # nothing lies there
    half = (estimate.high - estimate.value) if limit >= estimate.value else (estimate.value - estimate.low)
    if half <= 0:
        return float(estimate.value < limit)
    return 0.5 * math.erfc((estimate.value - limit) / half * COVERAGE / math.sqrt(2))
