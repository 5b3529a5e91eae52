"""A small JSON Schema validator: as much of draft 2020-12 as Baybook's own schemas use, so that a check needs no library."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

_TYPES: dict[str, Any] = {
    "object": Mapping, "array": list, "string": str, "boolean": bool, "null": type(None),
    "number": (int, float), "integer": int,
}  # fmt: skip
KEYWORDS = frozenset({
    "$schema", "title", "description", "examples", "default", "type", "enum", "minimum", "maximum", "properties", "required",
    "additionalProperties", "items", "anyOf",
})  # fmt: skip


def faults(value: Any, schema: Mapping[str, Any], place: str = "it") -> list[str]:
    """What in `value` the schema does not allow, a line each. Raises ValueError for a schema with a keyword unknown here."""
    if unknown := set(schema) - KEYWORDS:
        raise ValueError(f"the schema of {place} has keywords that this validator does not know: {sorted(unknown)}")
    if "anyOf" in schema and all(faults(value, form, place) for form in schema["anyOf"]):
        return [f"{place} fits none of the allowed forms: {value!r:.80}"]
    return [*_of_itself(value, schema, place), *_of_parts(value, schema, place)]


def _of_itself(value: Any, schema: Mapping[str, Any], place: str) -> Iterator[str]:
    wanted = schema.get("type", list(_TYPES))
    if not any(_is(value, word) for word in ([wanted] if isinstance(wanted, str) else wanted)):
        yield f"{place} is {value!r:.80}, not {wanted}"
    if "enum" in schema and value not in schema["enum"]:
        yield f"{place} is {value!r:.80}, not one of {schema['enum']}"
    if _is(value, "number") and not schema.get("minimum", value) <= value <= schema.get("maximum", value):
        yield f"{place} is {value!r}, beyond its limits"


def _is(value: Any, word: str) -> bool:
    if isinstance(value, bool):
        return word == "boolean"
    return isinstance(value, _TYPES[word]) or (word == "integer" and isinstance(value, float) and value.is_integer())


def _of_parts(value: Any, schema: Mapping[str, Any], place: str) -> Iterator[str]:
    if isinstance(value, Mapping):
        known = schema.get("properties", {})
        yield from (f"{place} lacks {name}" for name in schema.get("required", ()) if name not in value)
        for name, part in value.items():
            other = schema.get("additionalProperties", {})
            if name not in known and other is False:
                yield f"{place} has {name}, which is not allowed"
            else:
                yield from faults(part, known.get(name, other or {}), f"{place}.{name}")
    if isinstance(value, list) and "items" in schema:
        for number, part in enumerate(value):
            yield from faults(part, schema["items"], f"{place}[{number}]")
