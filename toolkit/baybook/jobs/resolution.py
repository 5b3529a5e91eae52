"""What an input of a sheet names put in its place: a spec range by its name, an instrument's uncertainty by its label."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from ..numbers import split_number
from ..reading import without_mark

if TYPE_CHECKING:
    from ..fields import Field


def resolve(value: Any, specs: Mapping[str, dict[str, str]], tools: Mapping[str, dict[str, str]]) -> Any:
    """An input with its spec range or its instrument's uncertainty put in."""
    if isinstance(value, list):
        return [resolve(item, specs, tools) for item in value]
    if not isinstance(value, Mapping):
        return value
    if "spec" in value:
        return dict(_spec(str(value["spec"]), specs))
    if "reading" in value:
        tool = _known("instrument", str(value["instrument"]), tools) if "instrument" in value else None
        if isinstance(value["reading"], list):
            return [with_uncertainty(str(text), tool) for text in value["reading"]]
        return with_uncertainty(str(value["reading"]), tool)
    return dict(value)


def is_range(value: Any, field: Field | None, specs: Mapping[str, dict[str, str]]) -> bool:
    """Whether a limit's text is the name of one of the sheet's ranges, as it may be typed at the command line."""
    from ..fields import Limits

    return isinstance(field, Limits) and isinstance(value, str) and value.strip() in specs


def _spec(label: str, specs: Mapping[str, dict[str, str]]) -> dict[str, str]:
    """The sheet's own range of that name, else that of the spec book."""
    if label in specs:
        return specs[label]
    from ..shop import book, spec_of

    entries = book()
    return spec_of(entries[label]) if label in entries else _known("spec", label, specs)


def _known(what: str, label: str, among: Mapping[str, dict[str, str]]) -> dict[str, str]:
    if label not in among:
        raise LookupError(what, label, tuple(among))
    return among[label]


def with_uncertainty(text: str, tool: Mapping[str, str] | None) -> str:
    """The reading with its instrument's uncertainty; one that was typed with the reading stays.

    One without a unit is left as it is, to be refused: the instrument's would make 2 min of "2" two seconds.
    """
    typed = any(mark in text for mark in ("±", "+-", "+/-"))
    unit = split_number(text)[1]
    if tool is None or typed or not unit:
        return text
    width = without_mark(tool["uncertainty"])
    of_reading = " of reading" if unit.startswith("%") and width.endswith("%") else ""  # else they are percentage points
    return f"{text} ± {width}{of_reading}"
