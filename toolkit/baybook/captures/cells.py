"""One cell of text: a number, a mark for a missing or an over-range value, or something that cannot be read."""

from __future__ import annotations

import re
from typing import Literal

Kind = Literal["number", "missing", "over range", "unreadable"]
NAN = float("nan")

_NUMBER = re.compile(r"[+-]?(?:\d+(?:\.\d*)?|\.\d+)(?:[eE][+-]?\d+)?", re.ASCII)
# common practice, no source: what loggers and meters write for no value and for one beyond the range
_MISSING = re.compile(
    r"|-+|\?+|\*+|\.+|[+-]?nan|#?n/?a|#?n\.?a\.?|null|none|nil|no ?data|no ?value|invalid|missing|err(or)?|"
    r"[+-]?1\.#(qnan|snan|ind)\d*|#value!|#nv|#-?\d+|k\.?a\.?",
    re.IGNORECASE,
)
_OVER = re.compile(
    r"[+-]?(o\.?l\.?|o?vld|ovl|ovr|over|under|overrange|underrange|(over|under)[ _-](range|load|flow)|overload|overflow|"
    r"underflow|inf|infinity|1\.#inf\d*|∞)|#{2,}|[<>]+ ?[+-]?[\d.,]*|sat(urated)?|clip(ped)?",
    re.IGNORECASE,
)
# SCPI-99 vol. 1, 7.2.1.4: 9.9E37 stands for infinity, 9.91E37 for not a number (from memory)
OVER_RANGE_FROM = 9.89e37


def read_number(text: str, decimal: str = ".", told: bool = False) -> tuple[float, Kind]:
    """The value in `text` and what kind of cell it is; NaN unless it is a number.

    told: which the decimal mark is was said, or is proved by thousands, so the other one, before three figures, parts those.

    >>> read_number("1.234,5", ",")
    (1234.5, 'number')
    >>> read_number("n/a")
    (nan, 'missing')
    """
    text = text.strip().strip('"').strip().replace("\u2212", "-")
    plain = text if decimal == "." else _swap(text)
    if _NUMBER.fullmatch(plain) or (_TOLD if told else _GROUPED).fullmatch(plain):
        value = float(plain.replace(",", ""))
        return (value, "number") if abs(value) < OVER_RANGE_FROM else (NAN, "over range")
    if _MISSING.fullmatch(text):
        return NAN, "missing"
    return NAN, "over range" if _OVER.fullmatch(text) else "unreadable"


# a single group, 1,234, could as well be a decimal mark: it takes a second group or a decimal mark to be sure
_GROUPED = re.compile(r"[+-]?[1-9]\d{0,2}(?:(?:,\d{3})+\.\d*|(?:,\d{3}){2,})", re.ASCII)
_TOLD = re.compile(r"[+-]?(?:[1-9]\d{0,2}(?:,\d{3})+(?:\.\d*)?|0(?:,000)+)", re.ASCII)

_SWAPPED = str.maketrans(".,", ",.")


def _swap(text: str) -> str:
    return text.translate(_SWAPPED)
