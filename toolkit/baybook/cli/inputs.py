"""Inputs that are not typed as options: of a JSON file, of a capture and its columns, asked one by one."""

from __future__ import annotations

import sys
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from ..errors import InputError, Refused
from .options import default_words
from .output import complain

if TYPE_CHECKING:
    from ..declare import Calculator, Parameter


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
        found[name.strip()] = value.strip()
    return found


def inputs_from(path: str) -> dict[str, Any]:
    """Inputs of a JSON file (`-`: standard input): a mapping of inputs, or an earlier result. Raises InputError."""
    import json

    try:
        if path == "-":
            data = json.load(sys.stdin)
        else:
            with open(path, encoding="utf-8-sig") as file:
                data = json.load(file)
    except OSError as error:
        raise InputError.one("--from", path, f"cannot be read: {error.strerror}") from error
    except (ValueError, RecursionError) as error:
        raise InputError.one("--from", path, f"is not JSON: {error}") from error
    if isinstance(data, Mapping) and isinstance(data.get("inputs"), Mapping):
        data = data["inputs"]
    if not isinstance(data, Mapping):
        raise InputError.one("--from", path, "has no inputs", 'give {"start": "350 bar", …}')
    return {name: value for name, value in data.items() if value is not None}


ENOUGH = "."


def asked(calculator: Calculator, raw: Mapping[str, Any]) -> dict[str, Any]:
    """Ask on the terminal for every input that is not given; what cannot be used is asked again.

    Enter alone leaves an optional input out; a dot leaves out every optional one that is still to come. Raises InputError where
    the answers end before the questions.
    """
    answers = dict(raw)
    enough = False
    how = f"Enter leaves out what is optional, {ENOUGH} leaves out all the rest of it; Ctrl-C stops."
    complain(f"{calculator.title}. {how}")
    for parameter in calculator.in_order:
        if parameter.name in answers or (enough and not parameter.required):
            continue
        answer = _asked_one(parameter)
        enough = enough or answer == ENOUGH
        if answer not in (None, ENOUGH):
            answers[parameter.name] = answer
    return answers


def _line_typed() -> str:
    """The next line of standard input; "" at its end, and where it cannot be read. Ctrl-C leaves the question's line first."""
    try:
        return sys.stdin.readline()
    except (OSError, UnicodeDecodeError):
        return ""
    except KeyboardInterrupt:
        complain("")
        raise


def _asked_one(parameter: Parameter) -> str | None:
    optional = "" if parameter.required else default_words(parameter) or " [optional]"
    while True:
        complain(f"{parameter.field.help} ({parameter.field.example()}){optional}: ", end="")
        line = _line_typed()
        if not line:
            complain("")  # the question stands alone on its line
            hint = f"answer each, or {ENOUGH} to leave out what is optional"
            raise InputError.one("--ask", None, "the input ended before every question was answered", hint)
        text = line.strip()
        if not text and not parameter.required:
            return None
        if text == ENOUGH and not parameter.required:
            return ENOUGH
        try:
            parameter.field.parse(text)
        except Refused as error:
            complain(f'  "{text}" {error}')
            continue
        return text
