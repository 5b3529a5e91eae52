"""The delimiter: every one that could be is tried on the first lines, and the one that makes rows of them is taken."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from ..errors import InputError
from .labels import is_unit
from .source import Line
from .splitting import is_comment, kind_of, split

_DELIMITERS = (";", "\t", ",", "|", " ", "")


@dataclass(frozen=True)
class Guess:
    """One way to read the lines: how many rows it makes of them, each with `numbers` cells that are values."""

    delimiter: str
    decimal: str
    rows: tuple[tuple[Line, tuple[str, ...]], ...]
    width: int
    numbers: float
    header_fits: bool


def guesses(lines: Sequence[Line], delimiter: str | None, decimal: str | None) -> list[Guess]:
    """The ways to read the lines that find rows in them; None: any delimiter, any decimal mark."""
    quoted = any('"' in line.text for line in lines)
    found = []
    half = len(lines) // 2
    there = [each for each in _DELIMITERS if each in ("", " ") or sum(each in line.text for line in lines[half:]) * 2 >= half]
    for each in there if delimiter is None else (delimiter,):
        for mark in (".", ",") if decimal is None else (decimal,):
            if each != mark or quoted:  # "12,5","3,4" keeps both apart by quotes
                found.append(_guess(lines, each, mark, delimiter is not None))
    return [guess for guess in found if guess.rows]


def _guess(lines: Sequence[Line], delimiter: str, decimal: str, forced: bool) -> Guess:
    rows = []
    for line in lines:
        if not is_comment(line.text, delimiter):
            cells = tuple(split(line.text, delimiter))
            if _is_row(cells, decimal):
                rows.append((line, cells))
    if not rows:
        return Guess(delimiter, decimal, (), 0, 0.0, False)
    width = Counter(len(cells) for _, cells in rows).most_common(1)[0][0]
    rows = _without_strays(lines, [row for row in rows if len(row[1]) == width], delimiter, decimal)
    if width == 1 and delimiter and not forced:
        return Guess(delimiter, decimal, (), 0, 0.0, False)
    numbers = sum(kind_of(cell, decimal) in ("number", "clock") for _, cells in rows for cell in cells) / len(rows)
    before = [line.text for line in lines if line.number < rows[0][0].number]
    fits = bool(before) and _fits(before[-1].lstrip("#%/ "), delimiter, width)
    return Guess(delimiter, decimal, tuple(rows), width, numbers, fits)


def _fits(header: str, delimiter: str, width: int) -> bool:
    """Whether a header parts into as many cells. Nothing parts "Rail, bar"; a comma does part "Time,Rail"."""
    cells = split(header, delimiter)
    if not delimiter:
        return not any(each in header for each in (";", "\t", ",", "|"))
    label_and_unit = delimiter == "," and width == 2 and len(cells) == 2 and is_unit(cells[1]) and not is_unit(cells[0])
    return len(cells) == width and not label_and_unit


_Rows = list[tuple[Line, tuple[str, ...]]]


def _without_strays(lines: Sequence[Line], rows: _Rows, delimiter: str, decimal: str) -> _Rows:
    """The rows without a few above a line of labels: figures in a preamble may look like a row."""
    width = len(rows[0][1])
    for line in lines:
        before = [row for row in rows if row[0].number < line.number]
        if len(before) > 3 or line.number > rows[-1][0].number:
            break
        if before and 2 * len(before) < len(rows) and _is_label_line(line.text, width, delimiter, decimal):
            rows = rows[len(before):]
    return rows


def _is_label_line(text: str, width: int, delimiter: str, decimal: str) -> bool:
    cells = [] if is_comment(text, delimiter) else split(text, delimiter)
    return len(cells) == width and any(cells) and all(kind_of(cell, decimal) == "text" for cell in cells if cell)


def _is_row(cells: Sequence[str], decimal: str) -> bool:
    """Whether most cells are values: a line of text with one number in it is no row."""
    kinds = [kind_of(cell, decimal) for cell in cells]
    values = kinds.count("number") + kinds.count("clock")
    texts = kinds.count("text")
    if kinds[0] == "text":  # most often a key and its value
        return values > texts
    return values > 0 and values + kinds.count("missing") >= texts


def best_of(guesses: list[Guess], file: str) -> Guess:
    """The likeliest. Raises InputError where there is none, or where two are as likely."""
    if not guesses:
        raise InputError.one("capture", file, "has no row of numbers", "give a file with a header and at least one row")
    most = max(len(guess.rows) for guess in guesses)
    close = [guess for guess in guesses if 2 * len(guess.rows) >= most]
    ranked = sorted(close, key=_rank, reverse=True)  # stable: the order of the delimiters settles a tie
    first = ranked[0]
    other = next((guess for guess in ranked[1:] if guess.delimiter != first.delimiter and _rank(guess) == _rank(first)), None)
    if other and {first.delimiter, other.delimiter} == {",", ""}:
        example = first.rows[0][0].text
        raise InputError.one("decimal", example, "has a comma that may part two columns or be the decimal mark",
                             "say which: --decimal point or --decimal comma")
    return first


def _rank(guess: Guess) -> tuple[bool, int, float]:
    # "12,5" as one number and as two cells: the header knows; a single column only if nothing else will do
    return guess.header_fits, len(guess.rows), 0.0 if {guess.delimiter} <= {",", ""} else guess.numbers
