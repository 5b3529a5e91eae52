"""Fields for a reading, and for the range that the user types in."""

from __future__ import annotations

import operator
from collections.abc import Mapping
from typing import Any

from ..dataclass import dataclass, field
from ..errors import Refused
from ..kinds import KINDS, Kind, article
from ..message import Message
from ..numbers import Ambiguous
from ..quantity import fits, narrower
from ..reading import Reading, from_numbers, parse
from ..result import reading_record
from ..spec import SpecRange, parse_any_range, parse_spec
from .base import Field

FAR = "{given} is far from what is usual here ({low} to {high}); check number and unit."


@dataclass(frozen=True)
class Quantity(Field):
    """A reading of a kind, within limits written as readings ("0 s"). `kind` None takes any kind.

    exact: for a setting or a stated error, not a reading: typed without ± it is taken as exact, not to half its last digit.
    usual_range: the smallest and the largest that is usual here ("5 mL", "200 mL"); beyond it the result says so first.
    overload: the yes-or-no input that is meant where `OL` is given, as a meter shows beyond its range.
    """

    kind: Kind | None = field(default=None, kw_only=True)
    above: str | None = field(default=None, kw_only=True)
    at_least: str | None = field(default=None, kw_only=True)
    below: str | None = field(default=None, kw_only=True)
    at_most: str | None = field(default=None, kw_only=True)
    usual: str = field(default="", kw_only=True)
    exact: bool = field(default=False, kw_only=True)
    usual_range: tuple[str, str] | None = field(default=None, kw_only=True)
    overload: str = field(default="", kw_only=True)

    def parse(self, raw: Any) -> Reading:
        """The reading. Raises Refused for text that is not one, a unit that does not fit and a value beyond a limit."""
        reading = self._checked(raw) if isinstance(raw, Reading) else self._read(raw)
        for limit, allowed, words in self.limits():
            if not allowed(reading.number(limit.unit), limit.value):
                raise Refused("is not possible here", f"give a value {words} {limit.text}")
        if self.exact and reading.assumed:
            return Reading(reading.value, reading.unit, reading.kind, text=reading.text)
        return reading.within(*self._possible(reading))

    def limits(self) -> list[tuple[Reading, Any, str]]:
        """(limit, test of value and limit, words) of every limit that is set."""
        return _limits(self.kind, self.above, self.at_least, self.below, self.at_most)

    def _possible(self, reading: Reading) -> tuple[float | None, float | None]:
        """The highest lower and the lowest upper limit, in the reading's unit."""
        ends = [(parse(text, self.kind).number(reading.unit), low) for text, low in (
            (self.above, True), (self.at_least, True), (self.below, False), (self.at_most, False),
        ) if text is not None]  # fmt: skip
        lows, highs = [end for end, low in ends if low], [end for end, low in ends if not low]
        return max(lows, default=None), min(highs, default=None)

    def doubts(self, value: Any) -> list[str]:
        """A line where the reading is beyond the usual range."""
        if self.usual_range is None:
            return []
        low, high = (parse(text, self.kind) for text in self.usual_range)
        if low.number(value.unit) <= value.value <= high.number(value.unit):
            return []
        return [Message(FAR, given=value.text, low=low.text, high=high.text)]

    def _checked(self, reading: Reading) -> Reading:
        if self.kind and not fits(reading.kind, self.kind):
            raise Refused(f"is {article(reading.kind.name)}", f"give {article(self.kind.name)}, such as {self.example()}")
        if not self.kind or reading.kind is self.kind:
            return reading
        return reading.of_kind(narrower(reading.kind, self.kind))

    def _read(self, raw: Any) -> Reading:
        if isinstance(raw, Mapping) and isinstance(raw.get("text"), str):
            raw = raw["text"]
        if isinstance(raw, Mapping) and "value" in raw and "unit" in raw:
            return from_numbers(raw["value"], str(raw["unit"]), raw.get("u95"), self.kind)
        if not isinstance(raw, str):
            raise Refused("is not a reading", f"give text with a unit, such as {self.example()}")
        try:
            return parse(raw, self.kind)
        except Ambiguous:
            reading = parse(raw, self.kind, plain=True)
            if "±" in raw or not self._is_decimal(reading):
                raise
            return reading

    def _is_decimal(self, reading: Reading) -> bool:
        """Whether the value is possible and usual here, and a thousand times as much is not: `2.345 ohm` of a coil."""
        ends = [(limit, allowed) for limit, allowed, _ in self.limits()]
        for text, test in zip(self.usual_range or (), (operator.ge, operator.le), strict=False):
            ends.append((parse(text, self.kind), test))

        def fits(value: float) -> bool:
            return all(test(Reading(value, reading.unit, reading.kind).number(end.unit), end.value) for end, test in ends)

        return fits(reading.value) and not fits(1000 * reading.value)

    def record(self, value: Reading) -> dict[str, Any]:
        """Text, value, unit and interval."""
        return reading_record(value)

    def example(self) -> str:
        """The usual reading, the default, or one of the kind."""
        default = self.default if isinstance(self.default, str) else ""
        return self.usual or default or (self.kind.example if self.kind else "350 bar")


def _limits(
    kind: Kind | None, above: str | None, at_least: str | None, below: str | None = None, at_most: str | None = None
) -> list[tuple[Reading, Any, str]]:
    tests = (
        (above, lambda value, limit: value > limit, "above"),
        (at_least, lambda value, limit: value >= limit, "of at least"),
        (below, lambda value, limit: value < limit, "below"),
        (at_most, lambda value, limit: value <= limit, "of at most"),
    )
    return [(parse(text, kind), test, words) for text, test, words in tests if text is not None]


@dataclass(frozen=True)
class Limits(Field):
    """A spec range of a kind, that the user types in. `largest`: with an upper end alone. `kind` None takes any kind.

    Each end has to be above the reading written as `above`, and at least that written as `at_least`. needs: the end that the
    range has to have, "low", "high" or "both", for beyond it lies the fault. judges: the output that
    it is the limit of; the core judges it, each of a vector, where the calculator's own result does not.
    """

    kind: Kind | None = field(default_factory=lambda: KINDS["pressure"], kw_only=True)
    above: str | None = field(default=None, kw_only=True)
    at_least: str | None = field(default=None, kw_only=True)
    largest: bool = field(default=False, kw_only=True)
    needs: str = field(default="", kw_only=True)
    of_vehicle: bool = field(default=True, kw_only=True)
    judges: str = field(default="", kw_only=True)
    usual: str = field(default="", kw_only=True)

    def parse(self, raw: Any) -> SpecRange:
        """The range. Raises Refused, also for an end that cannot be or is not wanted."""
        if self.kind is None:
            return parse_any_range(raw)
        spec = parse_spec(raw, self.kind, self.example(), upper=self.largest, needs=self.needs)
        if self.largest and spec.low is not None:
            raise Refused("has a lower end", f"give the largest value alone, such as {self.example()}")
        for limit, allowed, words in self.limits():
            here = spec.to(limit.unit)
            if not all(allowed(end, limit.value) for end in (here.low, here.high) if end is not None):
                raise Refused("is not possible here", f"give limits {words} {limit.text}, such as {self.example()}")
        return spec

    def limits(self) -> list[tuple[Reading, Any, str]]:
        """As a quantity's, for each end of the range."""
        return _limits(self.kind, self.above, self.at_least)

    def record(self, value: SpecRange) -> dict[str, Any]:
        """Text, limits and source."""
        return {
            "text": str(value), "value": None, "unit": value.unit.symbol, "low": value.low, "high": value.high,
            "assumed": False, "source": value.source,
        }  # fmt: skip

    def example(self) -> str:
        """The usual range, or an upper limit of the kind."""
        return self.usual or f"max {self.kind.example if self.kind else '350 bar'}"

    def schema(self) -> dict[str, Any]:
        """Text, or a mapping of range and source."""
        mapping = {
            "type": "object",
            "required": ["range"],
            "properties": {"range": {"type": "string"}, "source": {"type": "string"}},
        }
        return {"anyOf": [{"type": "string"}, mapping], "description": self.help}
