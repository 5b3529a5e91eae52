"""What a calculator's parameter may be: the second half of its `Annotated[type, field]`.

A field says what is given, in which kind of quantity, within which physical limits, and reads it from text or JSON. From it
come the command's option, the prompt, the JSON Schema and the card's readings table.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from .errors import Refused
from .kinds import KINDS, Kind
from .reading import Reading, article, parse
from .result import reading_record
from .spec import SpecRange, parse_spec


@dataclass(frozen=True)
class Field:
    """The base of all fields. help: what is given, for a person; symbol: for formulas and cards."""

    help: str
    symbol: str = field(default="", kw_only=True)
    positional: bool = field(default=False, kw_only=True)

    many = False  # a field that takes several values

    def parse(self, raw: Any) -> Any:
        """The value of text or JSON. Raises Refused."""
        raise NotImplementedError

    def record(self, value: Any) -> dict[str, Any]:
        """What a result's JSON tells about this input."""
        return {"text": str(value), "value": value, "unit": "", "low": None, "high": None, "assumed": False}

    def example(self) -> str:
        """Text that would do."""
        return ""

    def schema(self) -> dict[str, Any]:
        """The JSON Schema of the input."""
        return {"type": "string", "description": self.help}


@dataclass(frozen=True)
class Quantity(Field):
    """A reading of a kind, within limits written as readings ("0 s"). `kind` None takes any kind."""

    kind: Kind | None = field(default=None, kw_only=True)
    above: str | None = field(default=None, kw_only=True)
    at_least: str | None = field(default=None, kw_only=True)
    below: str | None = field(default=None, kw_only=True)
    at_most: str | None = field(default=None, kw_only=True)
    usual: str = field(default="", kw_only=True)

    def parse(self, raw: Any) -> Reading:
        """The reading. Raises Refused for text that is not one, a unit that does not fit and a value beyond a limit."""
        reading = self._checked(raw) if isinstance(raw, Reading) else parse(self._text(raw), self.kind)
        for limit, allowed, words in self.limits():
            if not allowed(reading.number(limit.unit.symbol), limit.value):
                raise Refused("is not possible here", f"give a value {words} {limit.text}")
        return reading

    def limits(self) -> list[tuple[Reading, Any, str]]:
        """(limit, test of value and limit, words) of every limit that is set."""
        tests = (
            (self.above, lambda value, limit: value > limit, "above"),
            (self.at_least, lambda value, limit: value >= limit, "of at least"),
            (self.below, lambda value, limit: value < limit, "below"),
            (self.at_most, lambda value, limit: value <= limit, "of at most"),
        )
        return [(parse(text, self.kind), test, words) for text, test, words in tests if text is not None]

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
    """A spec range of a kind, that the user types in."""

    kind: Kind = field(default_factory=lambda: KINDS["pressure"], kw_only=True)

    def parse(self, raw: Any) -> SpecRange:
        """The range. Raises Refused."""
        return parse_spec(raw, self.kind)

    def record(self, value: SpecRange) -> dict[str, Any]:
        """Text, limits and source."""
        return {
            "text": str(value), "value": None, "unit": value.unit, "low": value.low, "high": value.high, "assumed": False,
            "source": value.source,
        }  # fmt: skip

    def example(self) -> str:
        """An upper limit of the kind."""
        return f"<= {self.kind.example}"

    def schema(self) -> dict[str, Any]:
        """Text, or a mapping of range and source."""
        mapping = {
            "type": "object",
            "required": ["range"],
            "properties": {"range": {"type": "string"}, "source": {"type": "string"}},
        }
        return {"anyOf": [{"type": "string"}, mapping], "description": self.help}


@dataclass(frozen=True)
class Choice(Field):
    """One of several words; `words` maps each to what it means."""

    words: Mapping[str, str] = field(default_factory=dict, kw_only=True)

    def parse(self, raw: Any) -> str:
        """The word, however it is cased, or its beginning where that fits one alone. Raises Refused with the choices."""
        text = str(raw.get("text", "") if isinstance(raw, Mapping) else raw).strip().lower()
        fits = [word for word in self.words if word == text] or [word for word in self.words if text and word.startswith(text)]
        if len(fits) == 1:
            return fits[0]
        raise Refused("is not one of the choices", f"use {', '.join(self.words)}")

    def example(self) -> str:
        """The first word."""
        return next(iter(self.words), "")

    def schema(self) -> dict[str, Any]:
        """An enumeration."""
        return {"enum": list(self.words), "description": self.help}


@dataclass(frozen=True)
class Count(Field):
    """A whole number, exact."""

    at_least: int = field(default=1, kw_only=True)
    at_most: int = field(default=1000, kw_only=True)

    def parse(self, raw: Any) -> int:
        """The number. Raises Refused."""
        text = str(raw.get("text", "") if isinstance(raw, Mapping) else raw).strip()
        if isinstance(raw, bool) or not (text.isascii() and text.lstrip("-").isdigit() and len(text) <= 12):
            raise Refused("is not a whole number", f"give one, such as {self.example()}")
        if not self.at_least <= int(text) <= self.at_most:
            raise Refused("is not possible here", f"give a whole number from {self.at_least} to {self.at_most}")
        return int(text)

    def example(self) -> str:
        """A number within the limits."""
        return str(min(max(4, self.at_least), self.at_most))

    def schema(self) -> dict[str, Any]:
        """An integer within its limits."""
        return {"type": "integer", "minimum": self.at_least, "maximum": self.at_most, "description": self.help}


@dataclass(frozen=True)
class Flag(Field):
    """Yes or no."""

    def parse(self, raw: Any) -> bool:
        """The truth of a JSON boolean, or of yes and no. Raises Refused."""
        raw = raw.get("value") if isinstance(raw, Mapping) else raw
        text = str(raw).strip().lower()
        if text not in ("yes", "no", "true", "false"):
            raise Refused("is neither yes nor no", "give yes or no")
        return text in ("yes", "true")

    def record(self, value: bool) -> dict[str, Any]:
        """As yes or no."""
        return {**super().record(value), "text": "yes" if value else "no"}

    def example(self) -> str:
        """Yes."""
        return "yes"

    def schema(self) -> dict[str, Any]:
        """A boolean."""
        return {"type": "boolean", "description": self.help}


@dataclass(frozen=True)
class Text(Field):
    """A short text."""

    at_most: int = field(default=200, kw_only=True)

    def parse(self, raw: Any) -> str:
        """The text without space around it. Raises Refused for none and for too much."""
        text = str(raw.get("text", "") if isinstance(raw, Mapping) else raw).strip()
        if not text or len(text) > self.at_most:
            raise Refused("is empty" if not text else f"is longer than {self.at_most} characters", "give a short text")
        return text

    def example(self) -> str:
        """Any text."""
        return "text"


@dataclass(frozen=True)
class CaptureFile(Field):
    """A logged signal: a file, and which of its columns is which channel.

    channels: for each channel that is wanted, the kind of quantity it holds.
    """

    channels: Mapping[str, Kind] = field(default_factory=dict, kw_only=True)

    def parse(self, raw: Any) -> Any:
        """A CaptureRequest: nothing is opened before the calculator asks. Raises Refused."""
        from .captures.request import CaptureRequest

        return CaptureRequest.parse(raw, self.channels)

    def record(self, value: Any) -> dict[str, Any]:
        """The file and its columns, so that it can be given again."""
        return {**super().record(str(value)), "value": value.to_dict()}

    def example(self) -> str:
        """A file name."""
        return "hold.csv"

    def schema(self) -> dict[str, Any]:
        """A path, or a mapping of file, columns, units and rate."""
        return {"type": ["string", "object"], "description": self.help}


@dataclass(frozen=True)
class FuelName(Field):
    """A fuel by name, or a TOML file that describes one."""

    def parse(self, raw: Any) -> str:
        """The name, which is looked up when the calculator asks for the fuel. Raises Refused with the names there are."""
        from .registry import registry

        text = str(raw.get("text", "") if isinstance(raw, Mapping) else raw).strip()
        known = registry().fuel_names()
        if text in known or text.endswith(".toml"):
            return text
        raise Refused("is not a fuel that is known", f"use {', '.join(known)}, or a file ending in .toml")

    def example(self) -> str:
        """The usual fuel."""
        return "diesel"


def _quantity(kind: str) -> Callable[..., Quantity]:
    def make(help: str, **options: Any) -> Quantity:
        return Quantity(help, kind=KINDS[kind], **options)

    make.__doc__ = f"A field for {article(kind)}. Options: symbol, above, at_least, below, at_most, usual, positional."
    return make


# one function for each kind, so that a declaration reads like a sentence
gauge_pressure = _quantity("gauge pressure")
absolute_pressure = _quantity("absolute pressure")
pressure_difference = _quantity("pressure difference")
duration = _quantity("time")
volume = _quantity("volume")
flow = _quantity("flow")
delivery_per_stroke = _quantity("delivery per stroke")
displacement = _quantity("displacement")
temperature = _quantity("temperature")
temperature_difference = _quantity("temperature difference")
kinematic_viscosity = _quantity("kinematic viscosity")
dynamic_viscosity = _quantity("dynamic viscosity")
density = _quantity("density")
speed = _quantity("speed")
frequency = _quantity("frequency")
resistance = _quantity("resistance")
voltage = _quantity("voltage")
current = _quantity("current")
inductance = _quantity("inductance")
ratio = _quantity("ratio")
length = _quantity("length")


def any_quantity(help: str, **options: Any) -> Quantity:
    """A field for a reading of any kind."""
    return Quantity(help, **options)


def spec_range(kind: str, help: str, **options: Any) -> Limits:
    """A field for a spec range of the kind of that name ("flow")."""
    return Limits(help, kind=KINDS[kind], **options)


def readings(kind: str, help: str, **options: Any) -> Readings:
    """A field for several readings of the kind of that name. Options also: at_least_count, at_most_count."""
    return Readings(help, kind=KINDS[kind], **options)
