"""Rows into numbers: whole blocks by numpy's reader, single cells and lines with care where it will not take them.

Three steps, each for what the one before leaves: a block of plain numbers goes to `numpy.loadtxt` as it is; cells that
hold something else are found by their bytes, read one by one, and blanked for the reader; lines of another shape are taken
out and read with the csv rules. So the usual file costs little more than the bare read, and a dirty one not much more.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from .cells import OVER_RANGE_FROM, read_number
from .clock import Clock
from .layout import is_comment, split
from .source import Block, open_bytes

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from .model import Floats

LF = 10
_SWAP = bytes.maketrans(b".,", b",.")
_LEAF = 32  # rows; below this, cell by cell


@dataclass(frozen=True)
class Plan:
    """What is read: the delimiter ("" for one column), decimal mark and width of rows, and the wanted columns from 0.

    clock: places in `wanted` that hold clock times, with the room in bytes for one; keep_bad: an unreadable line still
    takes its place in time (there is a sample rate and no time column).
    """

    delimiter: str
    decimal: str
    width: int
    wanted: tuple[int, ...]
    clock: dict[int, int]
    keep_bad: bool
    decode: Callable[[bytes], str]


@dataclass
class Tally:
    """What was left out so far. Lines: why -> [count, first line, example]; cells: (place, kind) -> [count, line, marks]."""

    lines: dict[str, tuple[int, int, str]] = field(default_factory=dict)
    marks: dict[tuple[int, str], Counter[str]] = field(default_factory=dict)
    first: dict[tuple[int, str], int] = field(default_factory=dict)

    def line(self, why: str, number: int, text: str) -> None:
        """Count a line left out."""
        count, first, example = self.lines.get(why, (0, number, text))
        self.lines[why] = (count + 1, first, example)

    def cell(self, place: int, kind: str, line: int, text: str, count: int = 1) -> None:
        """Count cells of the wanted column at `place` that gave no number."""
        self.marks.setdefault((place, kind), Counter())[text[:30]] += count
        self.first[place, kind] = min(line, self.first.get((place, kind), line))


@dataclass(frozen=True)
class Rows:
    """Rows read from a block: an array of shape (n,) for each wanted column, and the line number of each row."""

    values: list[Floats]
    lines: NDArray[np.int64] | range


class Reader:
    """Turns blocks into rows by a plan, and keeps the tally."""

    def __init__(self, plan: Plan) -> None:
        self.plan, self.tally, self.clock = plan, Tally(), Clock()
        self.sep = ord(plan.delimiter) if plan.delimiter else LF
        self.dtype = [(f"c{place}", f"S{plan.clock[place]}" if place in plan.clock else "f8")
                      for place in range(len(plan.wanted))]
        self.quoted_marks = plan.delimiter == "," == plan.decimal

    def read(self, block: Block) -> Rows:
        """The rows of a block of whole lines."""
        import numpy as np

        data = self._plain(block.data)
        figures = np.frombuffer(data, np.uint8)
        seps = np.flatnonzero((figures == self.sep) | (figures == LF))
        count = block.data.count(b"\n")
        if self._regular(figures, seps, count) and not self._has_remarks(data):
            values = self._quick(data, count)
            if values is None:
                values = self._patched(data, range(block.first_line, block.first_line + count))
            return Rows(values, range(block.first_line, block.first_line + count))
        return self._irregular(block, data, figures, seps)

    def _plain(self, data: bytes) -> bytes:
        """The block with a decimal point, single blanks and no quotes. Lines stay lines."""
        if self.plan.delimiter == " ":
            data = re.sub(rb"[ \t]+", b" ", data)
            data = re.sub(rb"(?m)^ | $", b"", data)
        if self.quoted_marks:
            data = re.sub(rb'"([^"\n]*)"', lambda quoted: quoted[1].replace(b",", b"."), data)
        elif self.plan.decimal == ",":
            data = data.translate(_SWAP)
        return data.replace(b'"', b"") if b'"' in data else data

    def _regular(self, figures: NDArray[np.uint8], seps: NDArray[np.int64], count: int) -> bool:
        """Whether each line has exactly the cells of a row."""
        width = self.plan.width
        return len(seps) == count * width and bool((figures[seps[width - 1::width]] == LF).all())

    def _has_remarks(self, data: bytes) -> bool:
        return any(data.startswith(mark) or b"\n" + mark in data for mark in _REMARKS)

    def _quick(self, data: bytes, count: int) -> list[Floats] | None:
        """The block as numpy reads it, or None where it will not."""
        rows = self._load(self._fill_empty(data))
        return None if rows is None or len(rows) != count else self._columns(rows)

    def _fill_empty(self, data: bytes) -> bytes:
        """`nan` into empty cells, which the reader refuses."""
        sep = self.plan.delimiter.encode()
        if not sep or not (sep + sep in data or sep + b"\n" in data or b"\n" + sep in data or data.startswith(sep)):
            return data
        data = data.replace(sep + sep, sep + b"nan" + sep).replace(sep + sep, sep + b"nan" + sep)
        data = data.replace(sep + b"\n", sep + b"nan\n").replace(b"\n" + sep, b"\nnan" + sep)
        return b"nan" + data if data.startswith(sep) else data

    def _load(self, data: bytes) -> Any:
        import numpy as np

        try:
            return np.loadtxt(open_bytes(data), self.dtype, comments=None, delimiter=self.plan.delimiter or None,
                              usecols=self.plan.wanted, encoding="latin-1", ndmin=1)
        except ValueError:
            return None

    def _columns(self, rows: Any) -> list[Floats]:
        import numpy as np

        return [self.clock.many(np.ascontiguousarray(rows[name])) if place in self.plan.clock
                else np.ascontiguousarray(rows[name]) for place, (name, _) in enumerate(self.dtype)]

    def _patched(self, data: bytes, lines: Sequence[int]) -> list[Floats]:
        """As `_quick`, after the cells that hold no plain number were read with care and blanked. Lines are regular."""
        import numpy as np

        data = self._fill_empty(data)
        figures = np.frombuffer(bytearray(data), np.uint8)
        seps = np.flatnonzero((figures == self.sep) | (figures == LF))
        odd = self._odd_cells(figures, seps)
        known = [(cell, self._odd_value(data, seps, cell, lines)) for cell in odd]
        for cell in odd:
            start, end = self._span(seps, cell)
            figures[start:end] = 32
            figures[start] = 48
        values = self._bisect(figures.tobytes(), seps, lines)
        for cell, value in known:
            values[self.plan.wanted.index(cell % self.plan.width)][cell // self.plan.width] = value
        return values

    def _odd_cells(self, figures: NDArray[np.uint8], seps: NDArray[np.int64]) -> list[int]:
        """Places (row * width + column) of wanted cells with bytes that no plain number has."""
        import numpy as np

        plain = np.zeros(256, bool)
        plain[list(b"0123456789.+-eE ")] = True
        plain[[self.sep, LF]] = True
        strange = ~plain[figures]
        follows = np.append(figures[1:], np.uint8(LF))
        strange |= (figures == ord("-")) & ((follows < 46) | (follows > 57))  # a dash that is no sign
        cells = np.unique(np.searchsorted(seps, np.flatnonzero(strange)))
        numeric = [column for place, column in enumerate(self.plan.wanted) if place not in self.plan.clock]
        return [int(cell) for cell in cells[np.isin(cells % self.plan.width, numeric)]]

    def _span(self, seps: NDArray[np.int64], cell: int) -> tuple[int, int]:
        return (int(seps[cell - 1]) + 1 if cell else 0), int(seps[cell])

    def _odd_value(self, data: bytes, seps: NDArray[np.int64], cell: int, lines: Sequence[int]) -> float:
        start, end = self._span(seps, cell)
        row, column = divmod(cell, self.plan.width)
        return self._value(data[start:end], self.plan.wanted.index(column), lines[row])

    def _value(self, text: bytes, place: int, line: int) -> float:
        """One cell, its decimal mark already a point."""
        value, kind = read_number(self.plan.decode(text), ".")
        if kind != "number":
            self.tally.cell(place, kind, line, self.plan.decode(text).strip())
        return value

    def _bisect(self, data: bytes, seps: NDArray[np.int64], lines: Sequence[int]) -> list[Floats]:
        """Rows by the reader, halved where it refuses until the few bad ones are left, which are read cell by cell."""
        import numpy as np

        rows = self._load(data)
        if rows is not None and len(rows) == len(lines):
            return self._columns(rows)
        if len(lines) <= _LEAF:
            return self._by_cell(data, lines)
        half = len(lines) // 2
        cut = int(seps[half * self.plan.width - 1]) + 1
        first = self._bisect(data[:cut], seps, lines[:half])
        second = self._bisect(data[cut:], seps[half * self.plan.width:] - cut, lines[half:])
        return [np.concatenate(pair) for pair in zip(first, second, strict=True)]

    def _by_cell(self, data: bytes, lines: Sequence[int]) -> list[Floats]:
        texts = [line.split(bytes([self.sep])) for line in data.split(b"\n")[: len(lines)]]
        return self._from_cells(texts, lines)

    def _from_cells(self, rows: Sequence[Sequence[bytes]], lines: Sequence[int]) -> list[Floats]:
        import numpy as np

        return [
            np.array([self.clock.one(self.plan.decode(row[column])) if place in self.plan.clock
                      else self._value(row[column], place, line) for row, line in zip(rows, lines, strict=True)], dtype=float)
            for place, column in enumerate(self.plan.wanted)
        ]

    def _irregular(
        self, block: Block, data: bytes, figures: NDArray[np.uint8], seps: NDArray[np.int64]
    ) -> Rows:
        """A block with lines of another shape: those are looked at one by one, the others go on together."""
        import numpy as np

        ends = np.flatnonzero(figures[seps] == LF)
        good = np.diff(ends, prepend=-1) == self.plan.width
        starts = np.append(0, seps[ends][:-1] + 1)
        good &= ~np.isin(figures[np.minimum(starts, len(figures) - 1)], _REMARK_BYTES)
        lengths = np.diff(seps[ends], prepend=-1)
        kept = figures[np.repeat(good, lengths)].tobytes()
        numbers = np.arange(block.first_line, block.first_line + len(good))
        odd = self._odd_lines(block, np.flatnonzero(~good))
        values = self._good_lines(kept, numbers[good])
        if not odd:
            return Rows(values, numbers[good])
        lines = np.concatenate([numbers[good], np.array([line for line, _ in odd])])
        extra = self._from_cells([cells for _, cells in odd], [line for line, _ in odd])
        order = np.argsort(lines, kind="stable")
        return Rows([np.concatenate(pair)[order] for pair in zip(values, extra, strict=True)], lines[order])

    def _good_lines(self, data: bytes, lines: NDArray[np.int64]) -> list[Floats]:
        import numpy as np

        if not len(lines):
            return [np.empty(0) for _ in self.plan.wanted]
        quick = self._quick(data, len(lines))
        return self._patched(data, [int(line) for line in lines]) if quick is None else quick

    def _odd_lines(self, block: Block, places: NDArray[np.int64]) -> list[tuple[int, list[bytes]]]:
        """(line number, cells) of the odd lines that are rows after all; the others go to the tally."""
        texts = block.data.split(b"\n")
        rows = []
        for place in places:
            text, number = self.plan.decode(texts[place]), block.first_line + int(place)
            why, cells = self._odd_line(text)
            if why:
                self.tally.line(why, number, text.strip()[:80])
            if cells:
                rows.append((number, [self._point(cell) for cell in cells]))
        return rows

    def _odd_line(self, text: str) -> tuple[str, list[str]]:
        """Why a line is left out ("" if it is not), and its cells if it keeps a place."""
        blank_row = [""] * self.plan.width if self.plan.keep_bad else []
        if not text.strip("\0\x1a \t" + self.plan.delimiter):
            return ("blank line", blank_row if self.plan.width == 1 else [])
        if is_comment(text, self.plan.delimiter):
            return "comment line", []
        cells = split(text, self.plan.delimiter)
        while len(cells) > self.plan.width and not cells[-1]:
            cells.pop()
        if len(cells) == self.plan.width:
            return "", cells
        return ("too few columns" if len(cells) < self.plan.width else "too many columns"), blank_row

    def _point(self, cell: str) -> bytes:
        return cell.encode().translate(_SWAP) if self.plan.decimal == "," else cell.encode()


_REMARK_BYTES = list(b"#%!*'")
_REMARKS = tuple(bytes([byte]) for byte in _REMARK_BYTES) + (b"//",)


def over_range(values: Floats) -> NDArray[np.bool_]:
    """Where values stand for "beyond the range": infinite, or the huge numbers that instruments send for it. Shape (n,)."""
    import numpy as np

    return np.asarray(np.abs(values) >= OVER_RANGE_FROM)
