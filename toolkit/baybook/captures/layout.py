"""How a capture is written: delimiter, decimal mark, where the header, the units and the rows stand."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from ..errors import InputError
from . import clock
from .cells import read_number
from .decimal_mark import decimal_mark
from .guessing import Guess, best_of, guesses
from .labels import columns_of, is_units_row
from .model import Column
from .source import Line, Source, head_as_lines
from .splitting import is_comment, kind_of, split

LOOKED_AT = 300  # lines from the head: enough to see the rows, cheap enough for a small file
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
    told: bool = False  # the decimal mark was given, not recognised


def recognise(source: Source, delimiter: str | None = None, decimal: str | None = None) -> Layout:
    """How a file is written, from its head. Raises InputError where there are no rows, or two ways to read them."""
    lines = _filled(head_as_lines(source, LOOKED_AT))
    hint = _SEPARATOR_LINE.fullmatch(lines[0].text.strip()) if lines else None
    if hint:
        delimiter = delimiter or hint[1]
    best = best_of(guesses(lines, delimiter, decimal), source.name)
    mark = decimal or decimal_mark(lines, best.delimiter)
    if not mark:
        mark = decimal_mark(_filled(head_as_lines(source)), best.delimiter, last=True)
    return replace(_describe(lines, best, mark, source.name), told=decimal is not None)


def _filled(lines: Sequence[Line]) -> list[Line]:
    return [line for line in lines if line.text.strip("\0\x1a \t")]


def _describe(lines: Sequence[Line], best: Guess, decimal: str, file: str) -> Layout:
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


def _cells(line: Line, guess: Guess) -> list[str]:
    text = line.text.strip().lstrip("#%/!") if is_comment(line.text, guess.delimiter) else line.text
    cells = split(text, guess.delimiter)
    if guess.delimiter == " " and len(cells) != guess.width:
        wide = re.split(r"\s{2,}", text.strip())  # labels of several words, parted by two blanks or more
        cells = wide if len(wide) == guess.width else cells
    return cells


def _header(
    above: Sequence[Line], remarks: Sequence[Line], guess: Guess
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


def _is_missing_row(line: Line, guess: Guess) -> bool:
    """Whether a line above the first numbers is a row already, of cells marked as missing."""
    cells = split(line.text, guess.delimiter)
    return len(cells) == guess.width and any(cells) and all(kind_of(cell, guess.decimal) == "missing" for cell in cells)


def _padded(cells: list[str], width: int) -> list[str]:
    return (cells + [""] * width)[:width]


def _fit_width(header: list[str], guess: Guess, named: Line | None, file: str) -> list[str]:
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
