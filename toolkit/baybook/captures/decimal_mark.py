"""Whether a comma or a point is the decimal mark: what the numbers themselves prove, and nothing else."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from ..errors import InputError, Problem
from .delimiters import split
from .source import Line


def _proof(mark: str, other: str) -> re.Pattern[str]:
    """What only a decimal `mark` explains.

    One or two figures after it, or more than three; a zero or more than three figures before it; thousands parted by the
    other mark, by two of them or by one beside it. 0,000 is zero whichever the mark is, and proves nothing.
    """
    d, o = re.escape(mark), re.escape(other)
    return re.compile(
        rf"[+-]?(\d*{d}(\d{{1,2}}|\d{{4,}})|0\d*{d}(?!000$)\d+|\d{{4,}}{d}\d+|[1-9]\d{{0,2}}({o}\d{{3}})+{d}\d*|"
        rf"[1-9]\d{{0,2}}({o}\d{{3}}){{2,}}|\d+{d}\d*[eE].*|{d}\d+)",
        re.ASCII,
    )


_PROOFS = {",": _proof(",", "."), ".": _proof(".", ",")}
_THOUSANDS = {
    mark: re.compile(rf"[+-]?[1-9]\d{{0,2}}(\{other}\d{{3}})+(\{mark}\d*|\{other}\d{{3}})", re.ASCII)
    for mark, other in ((",", "."), (".", ","))
}
# a comma with three figures after it may part thousands; a point is a decimal point unless something speaks against it
_COMMA_OPEN = re.compile(r"[+-]?[1-9]\d{0,2},\d{3}", re.ASCII)
_POINT_OPEN = re.compile(r"[+-]?[1-9]\d{0,2}\.\d{3}", re.ASCII)


def decimal_mark(lines: Sequence[Line], delimiter: str, last: bool = False) -> tuple[str, bool]:
    """The decimal mark that the numbers themselves prove, and whether some have their thousands parted.

    "" where more of the file may settle it, if this is not the `last`. Raises InputError where the numbers leave it open, or
    prove both.
    """
    found: dict[str, list[tuple[int, str]]] = {",": [], ".": []}
    unsure: list[tuple[int, str]] = []
    grouped = dict.fromkeys(found, False)
    for line in lines:
        for cell in split(line.text, delimiter) if "," in line.text or "." in line.text else ():
            for mark, pattern in _PROOFS.items():
                if pattern.fullmatch(cell):
                    found[mark].append((line.number, cell))
                    grouped[mark] = grouped[mark] or bool(_THOUSANDS[mark].fullmatch(cell))
            if _COMMA_OPEN.fullmatch(cell):
                unsure.append((line.number, cell))
    commas, points = found[","], found["."]
    if commas and points and min(len(commas), len(points)) > 0.02 * max(len(commas), len(points)):
        raise _mark_error(
            f'is written with both marks: "{commas[0][1]}" (line {commas[0][0]}), "{points[0][1]}" (line {points[0][0]})'
        )
    if not commas and not points:
        unsure += _thousands_by_points(lines, delimiter)
    if unsure and not commas and not points:
        if not last:
            return "", False
        raise _mark_error(f'cannot be told from "{unsure[0][1]}" (line {unsure[0][0]}): it may be a thousand or a fraction')
    mark = "," if len(commas) > len(points) else "."
    return mark, grouped[mark]


def _thousands_by_points(lines: Sequence[Line], delimiter: str) -> list[tuple[int, str]]:
    """Cells such as 1.200 in a column whose other numbers have no decimals: there a point may part thousands.

    A recorder prints one column with one count of decimals, so 1.200 beside 990 is hardly a fraction. A zero tells nothing.
    """
    pointed: dict[int, tuple[int, str]] = {}
    whole: set[int] = set()
    for line in lines:
        for column, cell in enumerate(split(line.text, delimiter)):
            if _POINT_OPEN.fullmatch(cell):
                pointed.setdefault(column, (line.number, cell))
            elif cell.lstrip("+-").isdigit() and cell.strip("+-0"):
                whole.add(column)
    return [pointed[column] for column in sorted(pointed.keys() & whole)]


def refuse_thousands(marks: Iterable[tuple[str, int]], decimal: str) -> None:
    """Raise InputError where cells that gave no number, with their lines, show that the decimal mark is the other one.

    Far down in a file 1.003.000 may be the first to show that 903.000 was 903 thousand. Cells have a point for the mark.
    """
    for text, line in marks:
        if re.fullmatch(r"[+-]?[1-9]\d{0,2}(\.\d{3}){2,}", text, re.ASCII):
            written = text.replace(".", ",") if decimal == "," else text
            raise _mark_error(f'is not what it seemed: "{written}" (line {line}) has its thousands parted')


def _mark_error(why: str) -> InputError:
    return InputError([Problem("decimal", None, why, "say which: --decimal point or --decimal comma")])
