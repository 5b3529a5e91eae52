"""Inputs that are not typed as options: of a JSON file, of a capture and its columns."""

from __future__ import annotations

import sys
from collections.abc import Mapping
from typing import Any

from ..errors import InputError


def capture_input(
    file: str, column: list[str] | None, channel_unit: list[str] | None, rate: str | None, decimal: str | None
) -> dict[str, Any]:
    """A capture's raw input, as a CaptureRequest reads it. Raises InputError for a pair that is none."""
    columns, units = pairs("--column", column), pairs("--channel-unit", channel_unit)
    return {"file": file, "columns": columns, "units": units, "rate": rate, "decimal": decimal}


def pairs(option: str, texts: list[str] | None) -> dict[str, str]:
    """What `--column rail="Rail pressure"` and its like say: channel -> text. Raises InputError."""
    found = {}
    for text in texts or ():
        name, equals, value = text.partition("=")
        if not equals or not name.strip() or not value.strip():
            raise InputError.one(option, text, "is not a channel and its label", 'give both, such as rail="Rail pressure"')
        if name.strip() in found:
            raise InputError.one(option, text, f"names {name.strip()} a second time", "leave one of them out")
        found[name.strip()] = value.strip()
    return found


LARGEST = 20_000_000  # bytes; an earlier result with its plots is a hundredth of it
_FORM = 'give {"start": "350 bar", …}'


def inputs_from(path: str) -> dict[str, Any]:
    """Inputs of a JSON file (`-`: standard input): a mapping of inputs, or an earlier result. Raises InputError."""
    import json

    from ..small_files import is_deep_data

    text = _json_text(path)
    if not text.strip():
        where = "standard input holds nothing" if path == "-" else "is empty"
        raise InputError.one("--from", None if path == "-" else path, where, "give the inputs as JSON")
    try:
        data = json.loads(text, object_pairs_hook=_once_each)
    except (ValueError, RecursionError) as error:
        at = f" in line {error.lineno}" if isinstance(error, json.JSONDecodeError) else ""
        raise InputError.one("--from", path, f"is not JSON{at}", _FORM) from error
    if is_deep_data(data):
        raise InputError.one("--from", path, "has lists within lists too deep for inputs", _FORM)
    if isinstance(data, Mapping) and isinstance(data.get("inputs"), Mapping):
        data = data["inputs"]
    if not isinstance(data, Mapping):
        raise InputError.one("--from", path, "has no inputs", _FORM)
    return {name: value for name, value in data.items() if value is not None}


def _once_each(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    """A mapping in which no name stands twice: the last would win in silence."""
    found = dict(pairs)
    if len(found) < len(pairs):
        names = [name for name, _ in pairs]
        twice = next(name for name in names if names.count(name) > 1)
        raise InputError.one("--from", twice, "is given twice", "leave one of them out")
    return found


def _json_text(path: str) -> str:
    """The text of the file, or of standard input (`-`), as far as inputs can be long. Raises InputError."""
    from ..small_files import read_small

    if path != "-":
        content = read_small(path, input="--from", hint="", largest=LARGEST)
    else:
        bare = getattr(sys.stdin, "buffer", None)  # a stream of a test has none
        content = bare.read(LARGEST + 1) if bare else sys.stdin.read().encode()
        if len(content) > LARGEST:
            raise InputError.one("--from", path, "is too large for inputs", "give the inputs as JSON")
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise InputError.one("--from", path, "is not text in UTF-8", "save it as UTF-8") from error
