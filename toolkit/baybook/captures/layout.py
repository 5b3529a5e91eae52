"""How a capture is written: delimiter, decimal mark, where the header, the units and the rows stand."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence

from ..dataclass import dataclass, replace
from .cells import read_number
from .decimal_mark import decimal_mark
from .delimiters import is_comment, kind_of, split
from .header import Header, cells_of, header_of
from .labels import columns_of, split_brackets
from .model import Column, Dropped
from .preamble import Timing, timing_of
from .quantities import second_factor
from .source import Line, Source, head_as_lines
from .table import DELIMITERS, Guess, best_of, guesses, refuse_no_table

LOOKED_AT = 300  # lines from the head: enough to see the rows, cheap enough for a small file
_SEPARATOR_LINE = re.compile(r"sep=(.)", re.IGNORECASE)


@dataclass(frozen=True)
class Layout:
    """What `recognise` found. `width`: cells in a row; `clock`, `dates`: numbers of the columns that hold clock times or dates.

    counted: start and increment in s, where the header states them; left_out: lines with numbers above the rows.
    """

    delimiter: str
    decimal: str
    width: int
    columns: tuple[Column, ...]
    header_line: int | None
    units_line: int | None
    first_data_line: int
    clock: tuple[int, ...]
    dates: tuple[int, ...]
    preamble: tuple[str, ...]
    comments: int
    sample: tuple[tuple[str, ...], ...]  # the first rows' cells
    notes: tuple[str, ...]
    timing: Timing
    counted: tuple[float, float] | None
    left_out: tuple[Dropped, ...]
    labels: str  # their line
    told: bool  # the decimal mark was given, or is proved by thousands


def recognise(source: Source, delimiter: str | None = None, decimal: str | None = None) -> Layout:
    """How a file is written, from its head. Raises InputError where there are no rows, or two ways to read them."""
    lines = _filled(head_as_lines(source, LOOKED_AT))
    hint = _SEPARATOR_LINE.fullmatch(lines[0].text.strip()) if lines else None
    if hint:
        delimiter = delimiter or hint[1]
        lines = lines[1:]
    found = guesses(lines, delimiter, decimal)
    if not found or max(len(guess.rows) for guess in found) < 3:  # a long preamble
        lines = _filled(head_as_lines(source))[bool(hint) :]
        found = guesses(lines, delimiter, decimal)
    best = best_of(found, source.name)
    refuse_no_table(best, lines, source.name)
    mark, grouped = (decimal, True) if decimal else decimal_mark([line for line, _ in best.rows], best.delimiter)
    if not mark:
        first = best.rows[0][0].number
        later = [line for line in _filled(head_as_lines(source)) if line.number >= first]
        mark, grouped = decimal_mark(later, best.delimiter, last=True)
    return _describe(lines, replace(best, decimal=mark), source.name, grouped)


def _filled(lines: Sequence[Line]) -> list[Line]:
    return [line for line in lines if line.text.strip("\0\x1a \t")]


def _describe(lines: Sequence[Line], best: Guess, file: str, told: bool) -> Layout:
    above = [line for line in lines if line.number < best.rows[0][0].number]
    header = header_of(above, best, file)
    sample = tuple(cells for _, cells in best.rows[:50])
    named, units = header.named, header.units_line
    taken = {line.number for line in (named, units) if line}
    remarks = [line for line in above if is_comment(line.text, best.delimiter)]
    first = next(
        (line.number for line in above if line.number > max(taken, default=0) and _is_missing_row(line, best)),
        best.rows[0][0].number,
    )
    rest = [line for line in above if line.number not in taken and line.number < first]
    preamble = tuple(line.text.strip() for line in rest if line not in remarks)
    beside = [split(line.text, best.delimiter) for line in lines[:LOOKED_AT] if line.number >= first]
    keyed = [*(_keyed(line, best) for line in rest), *(row[:2] for row in beside if _is_keyed(row, best.decimal))]
    return Layout(
        best.delimiter,
        best.decimal,
        best.width,
        columns_of(header.labels, header.units),
        named.number if named else None,
        units.number if units else None,
        first,
        _columns_with("clock", sample, best),
        _columns_with("date", sample, best),
        preamble[:20],
        len([line for line in remarks if line.number not in taken]),
        sample,
        header.notes,
        timing_of(keyed, best.decimal),
        _counted(header, best.decimal),
        _left_out([line for line in rest if taken and line not in remarks and line.number > max(taken)], best),
        named.text.strip() if named else "",
        told,
    )


def _keyed(line: Line, best: Guess) -> list[str]:
    """The cells of a preamble line, by a delimiter of its own where that of the rows does not part it."""
    cells = cells_of(line, best)
    if best.delimiter not in ("", " ") and len(cells) > 1:
        return cells
    text = line.text.strip().lstrip("#%/! ")
    other = next((each for each in DELIMITERS[:4] if each in text), "")
    return split(text, other)


def _is_keyed(row: Sequence[str], decimal: str) -> bool:
    return len(row) > 2 and kind_of(row[0], decimal) == "text" and bool(row[1])


def _is_missing_row(line: Line, guess: Guess) -> bool:
    """Whether a line above the first numbers is a row already, of cells marked as missing."""
    cells = split(line.text, guess.delimiter)
    return (
        len(cells) == guess.width and any(cells) and all(kind_of(cell, guess.decimal) in ("missing", "empty") for cell in cells)
    )


def _columns_with(wanted: str, sample: Sequence[Sequence[str]], best: Guess) -> tuple[int, ...]:
    """The numbers of the columns in which most cells that are no numbers are of this kind, and numbers are few."""
    found = []
    for place in range(best.width):
        kinds = Counter(kind_of(row[place], best.decimal) for row in sample)
        if 2 * kinds[wanted] > sum(kinds[kind] for kind in ("number", "clock", "date", "text")):
            found.append(place + 1)
    return tuple(found)


def _counted(header: Header, decimal: str) -> tuple[float, float] | None:
    """Start and increment in s from the labels beyond the columns, and the cells under them."""
    found = {}
    for label, cell in header.beyond.items():
        word, unit = split_brackets(label)
        value, kind = read_number(cell, decimal)
        if kind == "number":
            found[word.strip().lower()] = value * (second_factor(unit or "s") or 1.0)
    if found.get("increment", 0.0) <= 0:
        return None
    return found.get("start", 0.0), found["increment"]


def _left_out(lines: Sequence[Line], best: Guess) -> tuple[Dropped, ...]:
    """Lines with numbers between the header and the rows, of another width or kind."""
    numbered = [
        line
        for line in lines
        if any(kind_of(cell, best.decimal) in ("number", "clock") for cell in split(line.text, best.delimiter))
    ]
    if not numbered:
        return ()
    return (
        Dropped("line above the rows that is unlike them", len(numbered), numbered[0].number, numbered[0].text.strip()[:80]),
    )
