"""Read a TOML file that a person wrote: a job sheet, the shop's settings. What is wrong is told with its line and the cure."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import Any

from .errors import InputError
from .small_files import DEEPEST, is_deep, is_deep_data, read_small

TEXT = 'text stands in straight quotes: "3,4 ohm"'
HINT = "give the job sheet's file name"


def load_toml(path: Path, *, input: str = "", hint: str = HINT) -> dict[str, Any]:
    """The file's TOML. Raises InputError with the line and column of a fault. input: what the errors name the file by."""
    return toml_of(read_small(path, input=input, hint=hint), path, input=input)


def toml_of(content: bytes, path: Path, *, input: str = "") -> dict[str, Any]:
    """The TOML that the bytes of the file at `path` hold. Raises InputError with the line and column of a fault."""
    text = text_of(content, path, input=input)
    deep = InputError.one(input, path, f"has keys or lists within each other more than {DEEPEST} deep", "write them plainly")
    if is_deep(text):
        raise deep
    try:
        data = tomllib.loads(text)
    except (ValueError, RecursionError) as error:  # a number of thousands of digits is no TOMLDecodeError
        why, cure = fault(text, str(error))
        raise InputError.one(input, path, why, cure) from error
    if is_deep_data(data):
        raise deep
    return data


def text_of(content: bytes, path: Path, *, input: str = "") -> str:
    """The text of the bytes, without a byte-order mark and with LF at the ends of lines. Raises InputError."""
    try:
        return content.decode("utf-8-sig").replace("\r\n", "\n")
    except UnicodeDecodeError as error:
        raise InputError.one(input, path, "is not text in UTF-8", "save it as UTF-8") from error


def fault(text: str, message: str) -> tuple[str, str]:
    """(what is wrong, what would do) for the reader's message on the text; the line is named and shown."""
    found = re.search(r"\(at line (\d+)", message)
    lines = text.splitlines()
    number = int(found[1]) if found else len(lines)
    twice = re.search(r"Cannot (?:overwrite a value|declare \('(.*?)',)", message)
    while number > 1 and number <= len(lines) and not lines[number - 1].strip():
        number -= 1
    line = lines[number - 1].strip() if 0 < number <= len(lines) else ""
    shown = f'line {number}, "{line[:60]}"' if line else f"line {number}"
    return f"cannot be read at {shown}", _cure(line, lines[: number - 1], message, twice)


def _cure(line: str, before: list[str], message: str, twice: re.Match[str] | None) -> str:
    key, equals, value = (part.strip() for part in line.partition("="))
    if line.startswith(("//", ";", "--", "/*")):
        return "a remark begins with #"
    if any(mark in line for mark in "„“”‚‘’«»"):
        return f"use straight quotes; {TEXT}"
    if line in ("[steps]", "[step]", "[[step]]") or (twice and twice[1] in ("steps", "step")):
        return "each step begins with [[steps]], its inputs with [steps.inputs]"
    if line.startswith("[") and not line.isascii():
        return f'put a name with other letters than a to z into quotes: ["{line.strip("[] ")}"]'.replace('["specs.', '[specs."')
    if equals and not key.isascii() and not key.startswith(('"', "'")):
        return f'put a name with other letters than a to z into quotes: "{key}" = …'
    if equals and twice:
        return f"{key} is there twice; take one line out"
    if equals and value.count('"') % 2:
        return f"a quote is missing; {TEXT}"
    if equals and re.match(r"[-+]?\d", value):
        return f"a number with a unit or a comma is text; {TEXT}"
    if equals and value.startswith('"') and value.rstrip()[-1:] not in ('"', "]", "}"):
        return f"the unit belongs inside the quotes; {TEXT}"
    if equals and not value.startswith(('"', "'", "[", "{")):
        return TEXT
    return "mend that line"
