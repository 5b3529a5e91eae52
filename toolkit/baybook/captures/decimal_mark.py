"""Whether a comma or a point is the decimal mark: what the numbers themselves prove, and nothing else."""

from __future__ import annotations

import re
from collections.abc import Sequence

from ..errors import InputError, Problem
from .source import Line
from .splitting import split

# one or two figures after it, or more than three; a zero or more than three figures before it; beside the other mark
_COMMA_IS_MARK = re.compile(
    r"[+-]?(\d*,(\d{1,2}|\d{4,})|0\d*,\d+|\d{4,},\d+|[1-9]\d{0,2}(\.\d{3})+,\d*|\d+,\d*[eE].*|,\d+)")
_POINT_IS_MARK = re.compile(
    r"[+-]?(\d*\.(\d{1,2}|\d{4,})|0\d*\.\d+|\d{4,}\.\d+|[1-9]\d{0,2}(,\d{3})+\.\d*|[1-9]\d{0,2}(,\d{3}){2,}|"
    r"\d+\.\d*[eE].*|\.\d+)")
_COMMA_OPEN = re.compile(r"[+-]?[1-9]\d{0,2},\d{3}")


def decimal_mark(lines: Sequence[Line], delimiter: str, last: bool = False) -> str:
    """The decimal mark that the numbers themselves prove; "" where more of the file may settle it, if this is not the `last`.

    Raises InputError where the numbers leave it open, or prove both.
    """
    commas: list[tuple[int, str]] = []
    points: list[tuple[int, str]] = []
    unsure: list[tuple[int, str]] = []
    for line in lines:
        for cell in split(line.text, delimiter) if "," in line.text or "." in line.text else ():
            for pattern, found in ((_COMMA_IS_MARK, commas), (_POINT_IS_MARK, points), (_COMMA_OPEN, unsure)):
                if pattern.fullmatch(cell):
                    found.append((line.number, cell))
    if commas and points and min(len(commas), len(points)) > 0.02 * max(len(commas), len(points)):
        raise _mark_error(f'is written with both marks: "{commas[0][1]}" (line {commas[0][0]}), '
                          f'"{points[0][1]}" (line {points[0][0]})')
    if unsure and not commas and not points:
        if not last:
            return ""
        raise _mark_error(f'cannot be told from "{unsure[0][1]}" (line {unsure[0][0]}): it may be a thousand or a fraction')
    return "," if len(commas) > len(points) else "."


def _mark_error(why: str) -> InputError:
    return InputError([Problem("decimal", None, why, "say which: --decimal point or --decimal comma")])
