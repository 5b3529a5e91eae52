"""Text in the columns of a terminal: how wide it is, lines broken between words, tables. Light: on the fastest path."""

from __future__ import annotations

from . import units

TYPE_CHECKING = False
if TYPE_CHECKING:
    from collections.abc import Sequence

NARROWEST, WIDEST, PIPED = 60, 120, 80
"""Columns: what a terminal's width is held between, and what is taken where the text goes elsewhere."""


def width() -> int:
    """The columns to write in: the terminal's (or COLUMNS), from 60 to 120; 80 where the text goes elsewhere."""
    import os
    import sys

    columns = os.environ.get("COLUMNS", "")
    if columns.isdigit() and int(columns):
        return min(max(int(columns), NARROWEST), WIDEST)
    try:
        return min(max(os.get_terminal_size(sys.stdout.fileno()).columns, NARROWEST), WIDEST)
    except (OSError, ValueError, AttributeError):
        return PIPED


def table(rows: Sequence[tuple[str, ...]], indent: str = "  ") -> list[str]:
    """Rows in columns as wide as their longest cell, two spaces between; the last column is broken where it has to be."""
    return [line for lines in row_lines(rows, indent) for line in lines]


def row_lines(rows: Sequence[tuple[str, ...]], indent: str = "  ") -> list[list[str]]:
    """The same with the lines of each row by themselves."""
    if not rows:
        return []
    widths = [max(len(row[column]) for row in rows) for column in range(len(rows[0]) - 1)]
    lines = []
    for row in rows:
        start = indent + "".join(cell.ljust(width) + "  " for cell, width in zip(row, widths, strict=False))
        if len(start) + len(row[-1]) <= width() or len(start) > width() - 20:
            lines.append([(start + row[-1]).rstrip()])
        else:
            lines.append(wrap(row[-1], " " * len(start), start))
    return lines


def output_rows(outputs: list[tuple[str, str, str]]) -> list[str]:
    """Lines for (name, value with unit, interval) of each output; long words are broken, not left to widen the columns."""
    names = max((len(name) for name, _, _ in outputs), default=0)
    values = max((len(value) for _, value, interval in outputs if interval), default=0)
    lines = []
    for name, value, interval in outputs:
        start = f"  {name.ljust(names)}  "
        line = f"{start}{value.ljust(values)}  95 %: {interval}"
        if not interval:
            lines += wrap(value, " " * len(start), start)
        else:
            below = f"95 %: {interval}"
            indent = " " * max(min(len(start), width() - len(below)), 0)
            lines += [line] if len(line) <= width() else [f"{start}{value}", indent + below]
    return lines


def wrap(text: str, indent: str = "  ", first: str | None = None) -> list[str]:
    """The text broken at spaces, but never between a number and its unit; `first` stands before its first line and `indent`
    before the others."""
    lines, line = [], indent if first is None else first
    start, columns = True, width()
    for word in _unbroken(text.split()):
        if not start and len(line) + 1 + len(word) > columns:
            lines.append(line)
            line, start = indent, True
        line += word if start else f" {word}"
        start = False
    return [*lines, line]


def _unbroken(words: list[str]) -> list[str]:
    """The words, with what belongs to a number kept beside it: its unit, its ±, the other end of its interval."""
    found: list[str] = []
    for word in words:
        before = found[-1] if found else ""
        if before and _belongs(before, word):
            found[-1] = f"{before} {word}"
        else:
            found.append(word)
    return found


def _belongs(before: str, word: str) -> bool:
    """Whether the word stays on the line of what is before it."""
    last, bare = before.rpartition(" ")[2].lower().lstrip("(["), word.rstrip(".,;:)]?")
    if word in _BETWEEN or last in _BETWEEN or (last in _BEFORE_NUMBER and word[:1].isdigit()):
        return True
    return before[-1].isdigit() and (bool(units.families_of(bare)) or bare in ("to", "bis", "assumed", "angenommen"))


_BETWEEN = ("±", "…")
_BEFORE_NUMBER = ("to", "bis", "max", "min", "most", "least", "<=", ">=", "höchstens", "mindestens")
