"""Read a small file that a person or a program wrote: bounded in size and depth, and never waited for."""

from __future__ import annotations

import os
import re
import stat
from typing import Any

from .errors import InputError

LARGEST = 2_000_000  # bytes; a sheet is typed by hand
DEEPEST = 50  # keys within keys, lists within lists
_DOTTED = re.compile(rf"""(?<![\w"'.-])[\w"'-]++(?:[ \t]*\.[ \t]*[\w"'-]++){{{DEEPEST},}}""")


def read_small(
    path: str | os.PathLike[str], *, input: str = "", hint: str = "give the name of a file", largest: int = LARGEST
) -> bytes:
    """The bytes of the file, at most `largest`. input: what the errors name it by.

    Raises InputError where it is larger, is no file (a pipe would be waited for, a device has no end), or cannot be read.
    """
    try:
        if not stat.S_ISREG(os.stat(path).st_mode) and not os.path.isdir(path):
            raise InputError.one(input, path, "is no file: it may have no end", hint)
        with open(path, "rb") as file:
            content = file.read(largest + 1)
    except OSError as error:
        raise InputError.one(input, path, f"cannot be read: {error.strerror}", hint) from error
    except ValueError as error:  # a NUL in the name
        raise InputError.one(input, path, "cannot be the name of a file", hint) from error
    if len(content) > largest:
        raise InputError.one(input, path, "is too large for what a person types", hint)
    return content


def is_deep(text: str) -> bool:
    """Whether a TOML text names keys within keys deeper than `DEEPEST`, which costs its square in memory."""
    return _DOTTED.search(text) is not None


def is_deep_data(data: Any) -> bool:
    """Whether lists and tables lie in each other deeper than `DEEPEST`."""
    level = [data]
    for _ in range(DEEPEST):
        level = [part for item in level for part in _parts(item)]
        if not level:
            return False
    return True


def _parts(item: Any) -> list[Any]:
    return list(item.values()) if isinstance(item, dict) else item if isinstance(item, list) else []
