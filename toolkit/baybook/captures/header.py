"""The lines of labels and of units above the rows, and what stands in them beside the rows' columns."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from ..dataclass import dataclass, field
from ..errors import InputError
from .channels import names_a_channel
from .delimiters import is_comment, kind_of, split
from .labels import bare_unit, is_units_row, split_brackets
from .source import Line
from .table import Guess

_NEAR = 6  # lines of words looked at above the rows
_COUNTING = re.compile(r"start|increment", re.IGNORECASE)


@dataclass(frozen=True)
class Header:
    """`labels` and `units` (None without a row of them) for each column of the rows; `beyond`: label -> the cell under it."""

    named: Line | None
    units_line: Line | None
    labels: tuple[str, ...]
    units: tuple[str, ...] | None
    beyond: Mapping[str, str] = field(default_factory=dict)
    notes: tuple[str, ...] = ()


def cells_of(line: Line, guess: Guess) -> list[str]:
    """A line's cells by the guess, the mark of a comment left off."""
    text = line.text.strip().lstrip("#%/!") if is_comment(line.text, guess.delimiter) else line.text
    cells = split(text, guess.delimiter)
    if guess.delimiter == " " and len(cells) != guess.width:
        wide = re.split(r"\s{2,}", text.strip())  # labels of several words, parted by two blanks or more
        cells = wide if len(wide) == guess.width else cells
    return cells


def header_of(above: Sequence[Line], guess: Guess, file: str) -> Header:
    """The header of a table. Raises InputError where the nearest labels are too few for its columns."""
    used = max(place for _, cells in guess.rows for place in range(guess.width) if cells[place]) + 1
    remarks = [line for line in above if is_comment(line.text, guess.delimiter)]
    words = [line for line in above if line not in remarks and _has_words(cells_of(line, guess), guess.decimal)][-_NEAR:]
    named, units, notes = _lines(words, remarks, guess, used)
    if named is None:
        _refuse_narrow(words, guess, used, file)
        return Header(None, None, ("",) * guess.width, None)
    labels = _stripped(cells_of(named, guess))
    below = cells_of(units, guess) if units else []
    beyond = {
        label: (below[place] if place < len(below) else "")
        for place, label in enumerate(labels)
        if place >= max(used, guess.width if not _counts(labels, used) else used)
    }
    notes += _beyond_notes(beyond, guess, named, labels, file)
    below = [
        cell if place < used or place not in range(len(labels)) or labels[place] not in beyond else ""
        for place, cell in enumerate(below)
    ]
    kept = [label if label not in beyond or place < used else "" for place, label in enumerate(labels)]
    return Header(
        named,
        units,
        tuple(_padded(kept, guess.width)),
        tuple(_padded(below, guess.width)) if units else None,
        beyond,
        tuple(notes),
    )


def _counts(labels: Sequence[str], used: int) -> bool:
    return any(_COUNTING.fullmatch(split_brackets(label)[0].strip()) for label in labels[used:])


def _beyond_notes(beyond: Mapping[str, str], guess: Guess, named: Line, labels: Sequence[str], file: str) -> list[str]:
    surplus = [label for label in beyond if not _COUNTING.fullmatch(split_brackets(label)[0].strip())]
    for label in surplus:
        if split_brackets(label)[1] or bare_unit(beyond[label]) or names_a_channel(label):
            raise InputError.one(
                "capture",
                file,
                f"names {len(labels)} columns (line {named.number}) but its rows hold {guess.width}",
                "make the header fit the rows",
            )
    listed = ", ".join(f'"{label}"' for label in surplus)
    return [f"The last labels have no column under them and are left out: {listed}."] if surplus else []


def _lines(
    words: Sequence[Line], remarks: Sequence[Line], guess: Guess, used: int
) -> tuple[Line | None, Line | None, list[str]]:
    """The line of labels and the line of units, if any."""
    fitting = [line for line in words if _fits(cells_of(line, guess), used)]
    notes = []
    if not fitting and remarks and len(cells_of(remarks[-1], guess)) == guess.width > 1:
        fitting = [line for line in remarks if len(cells_of(line, guess)) == guess.width]
        notes.append(f"The labels stand in a comment line ({fitting[-1].number}).")
    for place in range(len(fitting) - 1, 0, -1):
        if is_units_row(cells_of(fitting[place], guess)[:used]):
            return fitting[place - 1], fitting[place], notes
    pure = [line for line in fitting if not _half_values(cells_of(line, guess), guess.decimal)]
    named = pure or fitting
    return (named[-1] if named else None), None, notes


def _has_words(cells: Sequence[str], decimal: str) -> bool:
    return any(kind_of(cell, decimal) == "text" for cell in cells)


def _half_values(cells: Sequence[str], decimal: str) -> bool:
    kinds = [kind_of(cell, decimal) for cell in cells if cell]
    return 2 * sum(kind in ("number", "clock", "date") for kind in kinds) >= len(kinds)


def _fits(cells: Sequence[str], used: int) -> bool:
    """Whether a line has a cell for each column that the rows use; a title in a single column has but one cell."""
    filled = sum(bool(cell) for cell in cells)
    return len(cells) >= used and (filled > 1 or used == 1 == len(_stripped(list(cells)))) and 2 * filled >= used


def _refuse_narrow(words: Sequence[Line], guess: Guess, used: int, file: str) -> None:
    last = _stripped(cells_of(words[-1], guess)) if words else []
    if len(last) == used - 1 and len(last) > 1 and not _half_values(last, guess.decimal):
        raise InputError.one(
            "capture",
            file,
            f"names {len(last)} columns (line {words[-1].number}) but its rows hold {used}",
            "make the header fit the rows",
        )


def _stripped(cells: list[str]) -> list[str]:
    while len(cells) > 1 and not cells[-1]:
        cells = cells[:-1]
    return cells


def _padded(cells: Sequence[str], width: int) -> list[str]:
    return ([*cells] + [""] * width)[:width]
