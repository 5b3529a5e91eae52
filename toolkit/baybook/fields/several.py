"""The field for several readings of one kind, such as one for each injector."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from ..dataclass import dataclass, field
from ..errors import Refused
from ..list_text import ABOVE, NOT_MEASURED, parts, with_unit
from ..reading import Reading
from ..result import reading_record
from .quantities import Quantity


@dataclass(frozen=True)
class Readings(Quantity):
    """Several readings of one kind, such as one for each injector; their numbers are their places.

    gaps: whether `-` may stand for one that was not measured; it becomes None. bounds: whether one may be given as more than
    a value (`> 100 mL`, a cylinder that ran over); it becomes a reading with `bound` "above". usual: one reading, or several.
    """

    at_least_count: int = field(default=1, kw_only=True)
    at_most_count: int = field(default=64, kw_only=True)
    gaps: bool = field(default=False, kw_only=True)
    bounds: bool = field(default=False, kw_only=True)
    many = True

    def parse(self, raw: Any) -> tuple[Reading | None, ...]:  # type: ignore[override]  # one field, several values
        """The readings of a list, or of text, see `list_text.parts`. Raises Refused; it names the bad one."""
        items = self._items(raw)
        if not self.at_least_count <= len(items) <= self.at_most_count:
            hint = f"give {self.at_least_count} to {self.at_most_count}, such as {self.example()}"
            raise Refused(f"has {len(items)} reading{'s' * (len(items) != 1)}", hint)
        found = tuple(self._one(place, item) for place, item in enumerate(items, 1))
        if all(reading is None for reading in found):
            raise Refused("has no reading at all", f"give those that were measured, such as {self._single()}; -")
        return found

    def example(self) -> str:
        """The usual readings; where one is declared, twice that."""
        shown = super().example()
        return shown if len(parts(shown)) > 1 else f"{shown}; {shown}"

    def _single(self) -> str:
        return parts(self.example())[0]

    def _one(self, place: int, item: Any) -> Reading | None:
        text = item.get("text") if isinstance(item, Mapping) else item
        text = text.strip() if isinstance(text, str) else text
        if item is None or text in NOT_MEASURED:
            if self.gaps:
                return None
            raise Refused(f"has no reading {place}", f"every one is needed here, such as {self._single()}")
        if text == "":
            hint = "write - for one that was not measured" if self.gaps else "every one is needed here"
            raise Refused(f"has nothing at place {place}", hint)
        word = next((word for word in ABOVE if isinstance(text, str) and text.lower().startswith(word)), None)
        try:
            return super().parse(item) if word is None else self._bound(str(text), word)
        except Refused as error:
            raise Refused(f"has a reading {place} that {error.why}", error.hint) from error

    def _bound(self, text: str, word: str) -> Reading:
        if not self.bounds:
            raise Refused("is only a bound", f"give what was read, such as {self._single()}")
        value = super().parse(text[len(word) :])
        return Reading(value.value, value.unit, value.kind, value.u, assumed=value.assumed, text=text, bound="above")

    def _items(self, raw: Any) -> list[Any]:
        if isinstance(raw, Mapping) and isinstance(raw.get("value"), Sequence):
            raw = raw["value"]
        if isinstance(raw, Sequence) and len(raw) == 1 and isinstance(raw[0], str):
            raw = raw[0]
        if isinstance(raw, str):
            return list(parts(raw))
        if not isinstance(raw, Sequence):
            raise Refused("is not a list of readings", f"give text, such as {self.example()}")
        if not all(isinstance(item, str) for item in raw):
            return list(raw)
        return list(with_unit([part.strip() for item in raw for part in item.split(";")]))

    def doubts(self, value: Any) -> list[str]:
        """A line for each reading beyond the usual range."""
        found: list[str] = []
        for reading in value:
            found += super().doubts(reading) if reading is not None and not reading.bound else []
        return found

    def record(self, value: tuple[Reading | None, ...]) -> dict[str, Any]:  # type: ignore[override]  # see parse
        """Each reading's record, in order."""
        return {
            "text": "; ".join("-" if reading is None else reading.text for reading in value),
            "value": [_record(reading) for reading in value], "unit": "", "low": None, "high": None,
            "assumed": any(reading is not None and reading.assumed for reading in value),
        }  # fmt: skip

    def schema(self) -> dict[str, Any]:
        """A list of strings."""
        return {"type": "array", "items": {"type": "string"}, "description": self.help}


def _record(reading: Reading | None) -> dict[str, Any]:
    if reading is not None:
        return reading_record(reading)
    return {"text": "-", "value": None, "unit": "", "low": None, "high": None, "assumed": False}
