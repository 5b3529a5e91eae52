"""Fields for readings: one, several, and the range that the user types in."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from ..errors import Refused
from ..kinds import KINDS, Kind
from ..reading import Reading, article, parse
from ..result import reading_record
from ..spec import SpecRange, parse_spec
from .base import Field


@dataclass(frozen=True)
class Quantity(Field):
    """A reading of a kind, within limits written as readings ("0 s"). `kind` None takes any kind.

    exact: for a setting or a stated error, not a reading: typed without ± it is taken as exact, not to half its last digit.
    """

    kind: Kind | None = field(default=None, kw_only=True)
    above: str | None = field(default=None, kw_only=True)
    at_least: str | None = field(default=None, kw_only=True)
    below: str | None = field(default=None, kw_only=True)
    at_most: str | None = field(default=None, kw_only=True)
    usual: str = field(default="", kw_only=True)
    exact: bool = field(default=False, kw_only=True)

    def parse(self, raw: Any) -> Reading:
        """The reading. Raises Refused for text that is not one, a unit that does not fit and a value beyond a limit."""
        reading = self._checked(raw) if isinstance(raw, Reading) else parse(self._text(raw), self.kind)
        for limit, allowed, words in self.limits():
            if not allowed(reading.number(limit.unit.symbol), limit.value):
                raise Refused("is not possible here", f"give a value {words} {limit.text}")
        if self.exact and reading.assumed:
            return Reading(reading.value, reading.unit, reading.kind, text=reading.text)
        return reading

    def limits(self) -> list[tuple[Reading, Any, str]]:
        """(limit, test of value and limit, words) of every limit that is set."""
        return _limits(self.kind, self.above, self.at_least, self.below, self.at_most)

    def _checked(self, reading: Reading) -> Reading:
        if self.kind and reading.unit.family != self.kind.family:
            raise Refused(f"is {article(reading.kind.name)}", f"give {article(self.kind.name)}, such as {self.example()}")
        return reading

    def _text(self, raw: Any) -> str:
        if isinstance(raw, Mapping) and isinstance(raw.get("text"), str):
            return str(raw["text"])
        if isinstance(raw, Mapping) and "value" in raw and "unit" in raw:
            spread = f" ± {raw['u95']}" if "u95" in raw else ""
            return f"{raw['value']}{spread} {raw['unit']}"
        if not isinstance(raw, str):
            raise Refused("is not a reading", f"give text with a unit, such as {self.example()}")
        return raw

    def record(self, value: Reading) -> dict[str, Any]:
        """Text, value, unit and interval."""
        return reading_record(value)

    def example(self) -> str:
        """The usual reading, or one of the kind."""
        return self.usual or (self.kind.example if self.kind else "350 bar")


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
class Readings(Quantity):
    """Several readings of one kind, such as one for each injector."""

    at_least_count: int = field(default=1, kw_only=True)
    at_most_count: int = field(default=64, kw_only=True)
    many = True

    def parse(self, raw: Any) -> tuple[Reading, ...]:  # type: ignore[override]  # one field, several values
        """The readings of a list, or of text with semicolons or slashes between. Raises Refused; it names the bad one."""
        items = self._items(raw)
        if not self.at_least_count <= len(items) <= self.at_most_count:
            would_do = f"give {self.at_least_count} to {self.at_most_count}, such as {self.example()}; {self.example()}"
            raise Refused(f"has {len(items)} reading{'s' * (len(items) != 1)}", would_do)
        return tuple(self._one(place, item) for place, item in enumerate(items, 1))

    def _one(self, place: int, item: Any) -> Reading:
        try:
            return super().parse(item)
        except Refused as error:
            raise Refused(f"has a reading {place} that {error.why}", error.would_do) from error

    def _items(self, raw: Any) -> list[Any]:
        if isinstance(raw, str):
            raw = [raw]
        if isinstance(raw, Mapping) and isinstance(raw.get("value"), Sequence):
            raw = raw["value"]
        if not isinstance(raw, Sequence):
            raise Refused("is not a list of readings", f"give {self.example()}; {self.example()}")
        items: list[Any] = []
        for item in raw:
            items += [part.strip() for part in item.split(";") if part.strip()] if isinstance(item, str) else [item]
        return items

    def record(self, value: tuple[Reading, ...]) -> dict[str, Any]:  # type: ignore[override]  # see parse
        """Each reading's record, in order."""
        records = [reading_record(reading) for reading in value]
        return {
            "text": "; ".join(reading.text for reading in value), "value": records, "unit": "", "low": None, "high": None,
            "assumed": any(reading.assumed for reading in value),
        }  # fmt: skip

    def schema(self) -> dict[str, Any]:
        """A list of strings."""
        return {"type": "array", "items": {"type": "string"}, "description": self.help}


@dataclass(frozen=True)
class Limits(Field):
    """A spec range of a kind, that the user types in. `largest`: with an upper end alone.

    Each end has to be above the reading written as `above`, and at least that written as `at_least`.
    """

    kind: Kind = field(default_factory=lambda: KINDS["pressure"], kw_only=True)
    above: str | None = field(default=None, kw_only=True)
    at_least: str | None = field(default=None, kw_only=True)
    largest: bool = field(default=False, kw_only=True)
    usual: str = field(default="", kw_only=True)

    def parse(self, raw: Any) -> SpecRange:
        """The range. Raises Refused, also for an end that cannot be or is not wanted."""
        spec = parse_spec(raw, self.kind)
        if self.largest and spec.low is not None:
            raise Refused("has a lower end", f"give the largest value alone, such as {self.example()}")
        for limit, allowed, words in self.limits():
            here = spec.to(limit.unit.symbol)
            if not all(allowed(end, limit.value) for end in (here.low, here.high) if end is not None):
                raise Refused("is not possible here", f"give limits {words} {limit.text}, such as {self.example()}")
        return spec

    def limits(self) -> list[tuple[Reading, Any, str]]:
        """As a quantity's, for each end of the range."""
        return _limits(self.kind, self.above, self.at_least)

    def record(self, value: SpecRange) -> dict[str, Any]:
        """Text, limits and source."""
        return {
            "text": str(value), "value": None, "unit": value.unit, "low": value.low, "high": value.high, "assumed": False,
            "source": value.source,
        }  # fmt: skip

    def example(self) -> str:
        """The usual range, or an upper limit of the kind."""
        return self.usual or f"<= {self.kind.example}"

    def schema(self) -> dict[str, Any]:
        """Text, or a mapping of range and source."""
        mapping = {
            "type": "object",
            "required": ["range"],
            "properties": {"range": {"type": "string"}, "source": {"type": "string"}},
        }
        return {"anyOf": [{"type": "string"}, mapping], "description": self.help}
