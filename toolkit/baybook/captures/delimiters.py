"""A line into cells, and what kind of thing a cell holds."""

from __future__ import annotations

import csv
import re
from functools import lru_cache

from . import clock
from .cells import read_number

NAMES = {";": "semicolon", "\t": "tab", ",": "comma", "|": "bar (|)", " ": "blanks", "": "none (a single column)"}
_COMMENT = ("#", "//", "%", "!", "*", "'")


def split(text: str, delimiter: str) -> list[str]:
    """The cells of a line, quotes obeyed, blanks around them left off."""
    if delimiter == " ":
        return text.replace('"', "").split() or [""]
    if not delimiter:
        return [text.strip().strip('"')]
    cells = _unquoted(text, delimiter) if '"' in text else text.split(delimiter)
    return [cell.strip() for cell in cells]


def _unquoted(text: str, delimiter: str) -> list[str]:
    try:
        return next(csv.reader([text], delimiter=delimiter, skipinitialspace=delimiter != "\t"), []) or [""]
    except csv.Error:  # a cell beyond all bounds
        return text.split(delimiter)


def is_comment(text: str, delimiter: str) -> bool:
    """Whether a line is a remark: #, //, %, ! and so on first, or ; where that does not part the cells."""
    start = text.lstrip()
    if not start.startswith(_COMMENT):
        return start.startswith(";") and delimiter != ";"
    first, parted, _ = start.partition(delimiter or "\n")
    a_mark = read_number(first)[1] != "unreadable" and (parted or any(letter.isalpha() for letter in first))
    return not a_mark  # #N/A and #### are cells of a row


@lru_cache(maxsize=8192)
def kind_of(cell: str, decimal: str) -> str:
    """ "number", "clock" (a date before it too), "date", "missing" (over-range marks too), "empty" or "text"."""
    _, kind = read_number(cell, decimal)
    if kind != "unreadable":
        return "number" if kind == "number" else "missing" if cell else "empty"
    time = clock.match(cell)
    if time:
        return "date" if clock.is_date(time) else "clock"
    return "number" if _OPEN.fullmatch(cell) else "text"


# 1,234 or 1.003.000: a number whichever the decimal mark is; which, is settled over all cells
_OPEN = re.compile(r"[+-]?\d+(?:[.,]\d+|(?:,\d{3}){2,}|(?:\.\d{3}){2,})")
