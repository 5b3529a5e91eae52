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
        data = tomllib.loads(text, parse_float=Typed)
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


class Typed(float):
    """A number that was typed without quotes: as text it is what was typed, so that 2.50 keeps its digits."""

    def __new__(cls, text: str) -> Typed:
        """The number of that text, which is kept."""
        made = super().__new__(cls, text)
        made.text = str(text)  # a copy is made of the number
        return made

    text: str

    def __str__(self) -> str:
        return self.text


def fault(text: str, message: str) -> tuple[str, str]:
    """(what is wrong, what would do) for the reader's message on the text; the line is named and shown."""
    found = re.search(r"\(at line (\d+)", message)
    lines = text.splitlines()
    number = int(found[1]) if found else len(lines)
    twice = re.search(r"Cannot (?:overwrite a value|declare \('(.*?)',)", message)
    number = _opened(lines[:number], message) or number
    while number > 1 and number <= len(lines) and not lines[number - 1].strip():
        number -= 1
    line = lines[number - 1].strip() if 0 < number <= len(lines) else ""
    shown = f'line {number}, "{line[:60]}"' if line else f"line {number}"
    return f"cannot be read at {shown}", _cure(line, twice)


def _opened(lines: list[str], message: str) -> int:
    """The number of the line that begins a list or a text which is never closed, where the reader stumbled over a later one."""
    if 'Expected "\'"' in message:
        return next((at for at, line in enumerate(lines, 1) if line.partition("=")[2].strip().count("'") % 2), 0)
    if "Unclosed array" not in message:
        return 0
    return next((at for at in range(len(lines), 0, -1) if "[" in lines[at - 1].partition("=")[2]), 0)


def _cure(line: str, twice: re.Match[str] | None) -> str:
    if line.startswith(("//", ";", "--", "/*")) or re.search(r"[\"'\]}\w]\s*//", line):
        return "a remark begins with #"
    if any(mark in line for mark in "„“”‚‘’«»"):
        return f"use straight quotes; {TEXT}"
    if line in ("[steps]", "[step]", "[[step]]") or (twice and twice[1] in ("steps", "step")):
        return "each step begins with [[steps]], its inputs with [steps.inputs]"
    if line.startswith("["):
        return _cure_of_heading(line, twice)
    key, equals, value = (part.strip() for part in line.partition("="))
    return _cure_of_value(key, value, twice) if equals else f"write a name, = and its value; {TEXT}"


def _cure_of_heading(line: str, twice: re.Match[str] | None) -> str:
    name = line.strip("[] ")
    if not line.isascii():
        return f'put a name with other letters than a to z into quotes: ["{name}"]'.replace('["specs.', '[specs."')
    if line.count("[") != line.count("]"):
        return f"write {'[[steps]]' if name == 'steps' else f'[{name}]'}"
    return f"{line} is there twice; put its lines below the first" if twice else f"write {line} on a line of its own"


def _cure_of_value(key: str, value: str, twice: re.Match[str] | None) -> str:
    if twice:
        return f"{key} is there twice; take one line out"
    if not key.startswith(('"', "'")):
        if not key.isascii():
            return f'put a name with other letters than a to z into quotes: "{key}" = …'
        if " " in key:
            return f"a name has no spaces; write {key.replace(' ', '_')} = …"
    if "\\" in value:
        return "write / instead of \\, or put the text in single quotes"
    if value.startswith("["):
        return _cure_of_list(value)
    if value.count('"') % 2 or value.count("'") % 2:
        return f"a quote is missing; {TEXT}"
    if re.match(r"[-+]?\d", value):
        return f"a number with a unit or a comma is text; {TEXT}"
    if value.startswith('"') and value[-1:] not in ('"', "]", "}"):
        return f"the unit belongs inside the quotes; {TEXT}"
    if value.lower() in ("true", "yes", "ja", "no", "nein", "false", "on", "off"):
        return "write true or false"
    return 'write { name = "text", name = "text" }' if value.startswith("{") else TEXT


def _cure_of_list(value: str) -> str:
    if value.count('"') % 2:
        return f"a quote is missing; {TEXT}"
    if re.search(r'"\s+"', value):
        return "put a comma between two entries of a list"
    if value.count("[") != value.count("]"):
        return "the list is not closed; put a ] behind its last entry"
    return 'each entry stands in straight quotes: ["30 mL", "31 mL"]'
