"""What stands for more in a typed input: a range by its name, an instrument behind @, a bare number with its usual unit."""

from __future__ import annotations

import os
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from ..errors import InputError
from ..fields import Limits, Quantity, Readings
from ..settings_folder import settings_folder
from .arguments import near

if TYPE_CHECKING:
    from pathlib import Path

    from ..declare import Calculator
    from ..fields import Field


def written_out(calculator: Calculator, given: Mapping[str, Any]) -> dict[str, Any]:
    """The inputs with the spec book's ranges, the shop's instruments and units put in. Raises InputError for unknown names."""
    if not any(_stands_for_more(_field(calculator, name), value) for name, value in given.items()):
        return dict(given)
    from ..jobs.resolution import with_uncertainty
    from ..shop import book, shop, spec_of

    kept = shop()

    def of(name: str, value: Any) -> Any:
        field = _field(calculator, name)
        if isinstance(field, Limits) and _is_name(value):
            return spec_of(_named(name, str(value), book(), "range nor one of the spec book"))
        value = _with_unit(calculator, name, field, value, kept.units)
        texts, tool = parted(value)
        if not tool:
            return value
        found = _named(name, tool, kept.instruments, "instrument of the shop")
        told = [with_uncertainty(text, found) for text in texts]
        return told if isinstance(field, Readings) else told[0]

    return {name: of(name, value) for name, value in given.items()}


def in_sheet(path: Path, calculator: Calculator, given: Mapping[str, Any]) -> dict[str, Any]:
    """The inputs as the sheet holds them: its own ranges and instruments by name, those of the shop put in.

    Raises InputError for unknown names.
    """
    from ..jobs.sheet import read_sheet

    sheet = read_sheet(path)
    specs, tools = {spec.name for spec in sheet.specs}, {tool.name for tool in sheet.instruments}
    own: dict[str, Any] = {}
    for name, value in given.items():
        field = _field(calculator, name)
        texts, tool = parted(value) if isinstance(field, Quantity) else ([], "")
        if isinstance(field, Limits) and isinstance(value, str) and value.strip() in specs:
            own[name] = {"spec": value.strip()}
        elif tool in tools and tool:
            own[name] = {"reading": texts if isinstance(field, Readings) else texts[0], "instrument": tool}
    return {**written_out(calculator, {name: value for name, value in given.items() if name not in own}), **own}


def parted(value: Any) -> tuple[list[str], str]:
    """The readings of an input, and the instrument that is named behind @; "" where none is."""
    from ..list_text import parts, with_unit

    items = [value] if isinstance(value, str) else list(value) if isinstance(value, list | tuple) else []
    if not any(isinstance(item, str) and "@" in item for item in items):
        return [], ""
    tools = [item.partition("@")[2].strip() for item in items if "@" in item]
    bare = [item.partition("@")[0].strip() for item in items]
    return (with_unit(bare) if len(bare) > 1 else parts(bare[0])), tools[-1]


def _field(calculator: Calculator, name: str) -> Field | None:
    return next((p.field for p in calculator.parameters if name == p.name or name in p.field.aliases), None)


def _stands_for_more(field: Field | None, value: Any) -> bool:
    texts = [value] if isinstance(value, str) else value if isinstance(value, list) else []
    if isinstance(field, Limits):
        return _is_name(value)
    return isinstance(field, Quantity) and any(isinstance(text, str) and ("@" in text or _is_bare(text)) for text in texts)


def _is_bare(text: str) -> bool:
    return any(character.isdigit() for character in text) and not any(
        character.isalpha() or character in "%°" for character in text
    )


def _is_name(value: Any) -> bool:
    """Whether it may be a range by its name: text without a digit where a limit should stand, or a name known as such."""
    if not isinstance(value, str) or not value.strip():
        return False
    if not any(character.isdigit() for character in value):
        return True
    if not os.path.exists(os.path.join(settings_folder(), "specs.toml")):
        return False
    from ..shop import book

    return value.strip() in book()


def _named(input: str, label: str, among: Mapping[str, Any], what: str) -> Any:
    label = label.strip()
    if label not in among:
        option = "--" + input.replace("_", "-")
        raise InputError.one(
            option, label, f"is no {what}", near(label, among, "baybook spec list and baybook shop show tell them")
        )
    return among[label]


def _with_unit(calculator: Calculator, name: str, field: Field | None, value: Any, units: Mapping[str, str]) -> Any:
    """Bare numbers with the unit that is kept for the input, or for its kind of quantity."""
    if not isinstance(field, Quantity) or field.kind is None:
        return value
    unit = units.get(f"{calculator.name}.{name}") or units.get(field.kind.name) or units.get(field.kind.family) or ""
    if not unit:
        return value
    from ..list_text import parts

    texts = [value] if isinstance(value, str) else list(value)
    if not all(isinstance(text, str) for text in texts) or not all(
        _is_bare(text.partition("@")[0]) or text == "-" for text in texts
    ):
        return value
    told = [item if item == "-" else _behind(item, unit) for text in texts for item in (parts(text) if field.many else [text])]
    return told if field.many else told[0]


def _behind(item: str, unit: str) -> str:
    head, mark, tool = item.partition("@")
    return f"{head.strip()} {unit}{mark}{tool}"
