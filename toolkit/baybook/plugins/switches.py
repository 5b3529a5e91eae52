"""Switch plugins off and on by name: a line each in a small file that a person may edit too. Nothing is imported for it."""

from __future__ import annotations

import os

from ..errors import InputError
from . import index

HEADER = "# plugins or packages that Baybook does without, a name each line\n"


def switch_off(name: str) -> None:
    """Note the name. Raises InputError where the file cannot be written."""
    if name not in index.switched_off_in_file():
        _write([*_lines(), name])


def switch_on(name: str) -> bool:
    """Forget the name; whether it was there. Raises InputError where the file cannot be written."""
    lines = _lines()
    kept = [line for line in lines if line.strip() != name]
    if len(kept) == len(lines):
        return False
    _write(kept)
    return True


def _lines() -> list[str]:
    try:
        with open(index.switch_file(), encoding="utf-8", errors="replace") as file:
            return file.read().splitlines()
    except OSError:
        return HEADER.splitlines()


def _write(lines: list[str]) -> None:
    path = index.switch_file()
    scratch = f"{path}.{os.getpid()}"
    try:
        os.makedirs(os.path.dirname(path), exist_ok=True)
        with open(scratch, "w", encoding="utf-8") as file:
            file.write("".join(f"{line}\n" for line in lines))
        os.replace(scratch, path)
    except OSError as error:
        raise InputError.one(
            "", path, f"cannot be written: {error.strerror}", "BAYBOOK_WITHOUT=NAME does the same for one command"
        ) from error
