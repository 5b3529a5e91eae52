"""How a capture is written: delimiter, decimal mark, where the header, the units and the rows stand."""

from __future__ import annotations

import csv
import re
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from ..errors import InputError, Problem
from . import clock
from .cells import read_number
from .labels import columns_of, is_unit, is_units_row
from .model import Column
from .source import Line, Source, head_as_lines

LOOKED_AT = 300  # lines from the head: enough to see the rows, cheap enough for a small file
_DELIMITERS = (";", "\t", ",", "|", " ", "")
NAMES = {";": "semicolon", "\t": "tab", ",": "comma", "|": "bar (|)", " ": "blanks", "": "none (a single column)"}
_COMMENT = ("#", "//", "%", "!", "*", "'")
_SEPARATOR_LINE = re.compile(r"sep=(.)", re.IGNORECASE)


@dataclass(frozen=True)
class Layout:
    """What `recognise` found. `width`: cells in a row; `clock`: numbers of the columns that hold clock times."""

    delimiter: str
    decimal: str
    width: int
    columns: tuple[Column, ...]
    header_line: int | None
    units_line: int | None
    first_data_line: int
    clock: tuple[int, ...]
    preamble: tuple[str, ...]
    comments: int
    sample: tuple[tuple[str, ...], ...]  # the first rows' cells
    notes: tuple[str, ...]


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


@dataclass(frozen=True)
class _Guess:
    """One way to read the lines: how many rows it makes of them, each with `numbers` cells that are values."""

    delimiter: str
    decimal: str
    rows: tuple[tuple[Line, tuple[str, ...]], ...]
    width: int
    numbers: float
    header_fits: bool


def recognise(source: Source, delimiter: str | None = None, decimal: str | None = None) -> Layout:
    """How a file is written, from its head. Raises InputError where there are no rows, or two ways to read them."""
    lines = _filled(head_as_lines(source, LOOKED_AT))
    hint = _SEPARATOR_LINE.fullmatch(lines[0].text.strip()) if lines else None
    if hint:
        delimiter = delimiter or hint[1]
    best = _best(_guesses(lines, delimiter, decimal), source.name)
    mark = decimal or _decimal_mark(lines, best) or _decimal_mark(_filled(head_as_lines(source)), best, last=True)
    return _describe(lines, best, mark, source.name)


def _filled(lines: Sequence[Line]) -> list[Line]:
    return [line for line in lines if line.text.strip("\0\x1a \t")]


def _guesses(lines: Sequence[Line], delimiter: str | None, decimal: str | None) -> list[_Guess]:
    quoted = any('"' in line.text for line in lines)
    found = []
    half = len(lines) // 2
    there = [each for each in _DELIMITERS if each in ("", " ") or sum(each in line.text for line in lines[half:]) * 2 >= half]
    for each in there if delimiter is None else (delimiter,):
        for mark in (".", ",") if decimal is None else (decimal,):
            if each != mark or quoted:  # "12,5","3,4" keeps both apart by quotes
                found.append(_guess(lines, each, mark, delimiter is not None))
    return [guess for guess in found if guess.rows]


def _guess(lines: Sequence[Line], delimiter: str, decimal: str, forced: bool) -> _Guess:
    rows = []
    for line in lines:
        if not is_comment(line.text, delimiter):
            cells = tuple(split(line.text, delimiter))
            if _is_row(cells, decimal):
                rows.append((line, cells))
    if not rows:
        return _Guess(delimiter, decimal, (), 0, 0.0, False)
    width = Counter(len(cells) for _, cells in rows).most_common(1)[0][0]
    rows = _without_strays(lines, [row for row in rows if len(row[1]) == width], delimiter, decimal)
    if width == 1 and delimiter and not forced:
        return _Guess(delimiter, decimal, (), 0, 0.0, False)
    numbers = sum(kind_of(cell, decimal) in ("number", "clock") for _, cells in rows for cell in cells) / len(rows)
    before = [line.text for line in lines if line.number < rows[0][0].number]
    fits = bool(before) and _fits(before[-1].lstrip("#%/ "), delimiter, width)
    return _Guess(delimiter, decimal, tuple(rows), width, numbers, fits)


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


def kind_of(cell: str, decimal: str) -> str:
    """ "number", "clock", "missing" (over-range marks too) or "text"."""
    _, kind = read_number(cell, decimal)
    if kind != "unreadable":
        return "number" if kind == "number" else "missing"
    if clock.match(cell):
        return "clock"
    return "number" if _OPEN.fullmatch(cell) else "text"


# 1,234: a number whichever the decimal mark is; which, is settled over all cells
_OPEN = re.compile(r"[+-]?\d+[.,]\d+")


def _best(guesses: list[_Guess], file: str) -> _Guess:
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


def _rank(guess: _Guess) -> tuple[bool, int, float]:
    # "12,5" as one number and as two cells: the header knows; a single column only if nothing else will do
    return guess.header_fits, len(guess.rows), 0.0 if {guess.delimiter} <= {",", ""} else guess.numbers


# one or two figures after it, or more than three; a zero or more than three figures before it; beside the other mark
_COMMA_IS_MARK = re.compile(
    r"[+-]?(\d*,(\d{1,2}|\d{4,})|0\d*,\d+|\d{4,},\d+|[1-9]\d{0,2}(\.\d{3})+,\d*|\d+,\d*[eE].*|,\d+)")
_POINT_IS_MARK = re.compile(
    r"[+-]?(\d*\.(\d{1,2}|\d{4,})|0\d*\.\d+|\d{4,}\.\d+|[1-9]\d{0,2}(,\d{3})+\.\d*|[1-9]\d{0,2}(,\d{3}){2,}|"
    r"\d+\.\d*[eE].*|\.\d+)")
_COMMA_OPEN = re.compile(r"[+-]?[1-9]\d{0,2},\d{3}")


def _decimal_mark(lines: Sequence[Line], guess: _Guess, last: bool = False) -> str:
    """The decimal mark that the numbers themselves prove; "" where more of the file may settle it, if this is not the `last`.

    Raises InputError where the numbers leave it open, or prove both.
    """
    commas: list[tuple[int, str]] = []
    points: list[tuple[int, str]] = []
    unsure: list[tuple[int, str]] = []
    for line in lines:
        for cell in split(line.text, guess.delimiter) if "," in line.text or "." in line.text else ():
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


def _describe(lines: Sequence[Line], best: _Guess, decimal: str, file: str) -> Layout:
    above = [line for line in lines if line.number < best.rows[0][0].number]
    remarks = [line for line in above if is_comment(line.text, best.delimiter)]
    named, units, notes = _header(above, remarks, best)
    header = _cells(named, best) if named else [""] * best.width
    labels = _fit_width(header, best, named, file)
    columns = columns_of(labels, _padded(_cells(units, best), best.width) if units else None)
    sample = tuple(cells for _, cells in best.rows[:50])
    clocks = tuple(number for number in range(1, best.width + 1) if _is_clock(row[number - 1] for row in sample))
    taken = {line.number for line in (named, units) if line}
    first = next((line.number for line in above if line.number > max(taken, default=0) and _is_missing_row(line, best)),
                 best.rows[0][0].number)
    preamble = tuple(line.text.strip() for line in above
                     if line.number not in taken and line not in remarks and line.number < first)
    return Layout(best.delimiter, decimal, best.width, columns, named.number if named else None,
                  units.number if units else None, first, clocks, preamble[:20],
                  len([line for line in remarks if line.number not in taken]), sample, tuple(notes))


def _cells(line: Line, guess: _Guess) -> list[str]:
    text = line.text.strip().lstrip("#%/!") if is_comment(line.text, guess.delimiter) else line.text
    cells = split(text, guess.delimiter)
    if guess.delimiter == " " and len(cells) != guess.width:
        wide = re.split(r"\s{2,}", text.strip())  # labels of several words, parted by two blanks or more
        cells = wide if len(wide) == guess.width else cells
    return cells


def _header(
    above: Sequence[Line], remarks: Sequence[Line], guess: _Guess
) -> tuple[Line | None, Line | None, list[str]]:
    """The line of labels and the line of units, if any: among the last lines above the rows, of the same width."""
    plain = [line for line in above if line not in remarks][-6:]
    fitting = [line for line in plain if _could_be_header(_cells(line, guess), guess.width, guess.decimal)]
    notes = []
    if not fitting and remarks and len(_cells(remarks[-1], guess)) == guess.width > 1:
        fitting = [line for line in remarks if len(_cells(line, guess)) == guess.width]
        notes.append(f"The labels stand in a comment line ({fitting[-1].number}).")
    for place in range(len(fitting) - 1, 0, -1):
        if is_units_row(_cells(fitting[place], guess)):
            return fitting[place - 1], fitting[place], notes
    return (fitting[-1] if fitting else None), None, notes


def _could_be_header(cells: list[str], width: int, decimal: str) -> bool:
    named = any(kind_of(cell, decimal) == "text" for cell in cells)
    return named and len(cells) >= width - 1 and (width > 1 or len(cells) == 1)


def _is_missing_row(line: Line, guess: _Guess) -> bool:
    """Whether a line above the first numbers is a row already, of cells marked as missing."""
    cells = split(line.text, guess.delimiter)
    return len(cells) == guess.width and any(cells) and all(kind_of(cell, guess.decimal) == "missing" for cell in cells)


def _padded(cells: list[str], width: int) -> list[str]:
    return (cells + [""] * width)[:width]


def _fit_width(header: list[str], guess: _Guess, named: Line | None, file: str) -> list[str]:
    while len(header) > guess.width and not header[-1]:
        header = header[:-1]
    unnamed = guess.width - len(header)
    empty = all(not cell for _, cells in guess.rows for cell in cells[len(header):])
    if unnamed < 0 or (unnamed > 0 and not empty):
        line = f" (line {named.number})" if named else ""
        raise InputError.one("capture", file, f"names {len(header)} columns{line} but its rows hold {guess.width}",
                             "make the header fit the rows")
    return _padded(header, guess.width)


def _is_clock(cells: Iterable[str]) -> bool:
    filled = [cell for cell in cells if read_number(cell)[1] == "unreadable"]
    return bool(filled) and sum(clock.match(cell) is not None for cell in filled) > 0.5 * len(filled)
