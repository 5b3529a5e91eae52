"""Rows into numbers: whole blocks by numpy's reader, single cells and lines with care where it will not take them.

Three steps, each for what the one before leaves: a block of plain numbers goes to `numpy.loadtxt` as it is; cells that
hold something else are found by their bytes, read one by one, and blanked for the reader; lines of another shape are taken
out and read with the csv rules. So the usual file costs little more than the bare read, and a dirty one not much more.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from io import BytesIO
from typing import TYPE_CHECKING, Any

from . import odd
from .blocks import Block
from .cells import OVER_RANGE_FROM, read_number
from .clock import Clock
from .odd import LF
from .rows import Plan, Rows, Tally
from .splitting import is_comment, split

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from .model import Floats
    from .rows import Lines

_REMARKS = b"#%!*'/"
_SWAP_TEXT = str.maketrans(".,", ",.")
_LEAF = 32  # rows; below this, cell by cell


class Reader:
    """Turns blocks into rows by a plan, and keeps the tally."""

    def __init__(self, plan: Plan) -> None:
        self.plan, self.tally, self.clock = plan, Tally(), Clock()
        self.sep = ord(plan.delimiter) if plan.delimiter else LF
        self.dtype = [(f"c{place}", f"S{plan.clock[place]}" if place in plan.clock else "f8")
                      for place in range(len(plan.wanted))]
        self.remarks = list(_REMARKS if plan.delimiter == ";" else _REMARKS + b";")
        self.dirty = False  # a block held something that numpy would not read
        self.numeric = [column for place, column in enumerate(plan.wanted) if place not in plan.clock]

    def read(self, block: Block) -> Rows:
        """The rows of a block of whole lines."""
        import numpy as np

        if block.cut and self._is_cut_off(block):
            return Rows([np.empty(0) for _ in self.plan.wanted], [])
        data = odd.plain(block.data, self.plan.delimiter, self.plan.decimal)
        figures = np.frombuffer(data, np.uint8)
        seps = odd.cell_ends(figures, self.sep)
        count = block.data.count(b"\n")
        if self._regular(figures, seps, count):
            lines = range(block.first_line, block.first_line + count)
            rows = Rows(self._alike(data, seps, lines), lines)
        else:
            rows = self._irregular(block, data, figures, seps)
        self._take_out_over_range(rows)
        return rows

    def _is_cut_off(self, block: Block) -> bool:
        """Whether the file's last line, without a line end, was broken off: fewer cells or decimals than any row has."""
        text = self.plan.decode(block.data).strip("\n\0\x1a ")
        cells = split(text, self.plan.delimiter)
        _, mark, decimals = cells[-1].partition(self.plan.decimal)
        short = self.plan.decimals is not None and len(decimals) < self.plan.decimals and cells[-1][-1:] in f"0123456789{mark}"
        if is_comment(text, self.plan.delimiter) or not (len(cells) < self.plan.width or short):
            return False
        self.tally.line("cut off at the end of the file", block.first_line, text[:80])
        return True

    def _regular(self, figures: NDArray[np.uint8], seps: NDArray[np.int64], count: int) -> bool:
        """Whether each line has exactly the cells of a row, and none is a remark."""
        import numpy as np

        ends = seps[self.plan.width - 1::self.plan.width]
        if len(seps) != count * self.plan.width or (figures[ends] != LF).any():
            return False
        if self.plan.width == 1 and (np.diff(seps, prepend=-1) == 1).any():
            return False  # blank lines, which the reader would skip
        return figures[0] not in self.remarks and not np.isin(figures[ends[:-1] + 1], self.remarks).any()

    def _alike(self, data: bytes, seps: NDArray[np.int64], lines: Lines) -> list[Floats]:
        """The values of lines that all have the shape of a row; `seps`: where their cells end."""
        import numpy as np

        empty = np.diff(seps, prepend=-1) == 1
        if empty.any():
            data = odd.fill_empty(data, seps[empty])
        if not self.dirty:
            rows = self._load(data)
            if rows is not None and len(rows) == len(lines):
                return self._columns(rows)
            self.dirty = True  # from here on cells are looked at first: a failed read costs as much as a good one
        return self._patched(data, lines)

    def _load(self, data: bytes) -> Any:
        import numpy as np

        try:
            return np.loadtxt(BytesIO(data), self.dtype, comments=None, delimiter=self.plan.delimiter or None,
                              usecols=self.plan.wanted, encoding="latin-1", ndmin=1)
        except ValueError:
            return None

    def _columns(self, rows: Any) -> list[Floats]:
        import numpy as np

        return [self.clock.many(np.ascontiguousarray(rows[name])) if place in self.plan.clock
                else np.ascontiguousarray(rows[name]) for place, (name, _) in enumerate(self.dtype)]

    def _patched(self, data: bytes, lines: Lines) -> list[Floats]:
        """The values of regular lines, after the cells that hold no plain number were read with care and blanked."""
        import numpy as np

        figures = np.frombuffer(bytearray(data), np.uint8)
        seps = odd.cell_ends(figures, self.sep)
        cells = odd.odd_cells(figures, seps, self.sep, self.plan.width, self.numeric)
        starts, ends = np.where(cells > 0, seps[cells - 1] + 1, 0), seps[cells]
        texts = [data[start:end] for start, end in zip(starts.tolist(), ends.tolist(), strict=True)]
        lengths = ends - starts
        figures[np.repeat(ends - np.cumsum(lengths), lengths) + np.arange(lengths.sum())] = ord(" ")
        figures[starts] = ord("0")
        values = self._bisect(figures.tobytes(), seps, lines)
        for place, column in enumerate(self.plan.wanted):
            here = np.flatnonzero(cells % self.plan.width == column)
            rows = cells[here] // self.plan.width
            values[place][rows] = self._odd_values([texts[each] for each in here], place, lines, rows)
        return values

    def _odd_values(self, texts: list[bytes], place: int, lines: Lines, rows: NDArray[np.int64]) -> list[float]:
        """The numbers in odd cells of one column, NaN where there is none; each text is looked at once."""
        first = {text: each for each, text in reversed(list(enumerate(texts)))}
        known = {text: self._value(self.plan.decode(text), place, int(lines[int(rows[first[text]])]), count)
                 for text, count in Counter(texts).items()}
        return [known[text] for text in texts]

    def _value(self, text: str, place: int, line: int, count: int = 1) -> float:
        """The number in a cell, its decimal mark already a point; what is none goes to the tally."""
        value, kind = read_number(text)
        if kind != "number":
            self.tally.cell(place, kind, line, text.strip(), count)
        return value

    def _bisect(self, data: bytes, seps: NDArray[np.int64], lines: Lines) -> list[Floats]:
        """Rows by the reader, halved where it refuses until the few bad ones are left, which are read cell by cell."""
        import numpy as np

        rows = self._load(data)
        if rows is not None and len(rows) == len(lines):
            return self._columns(rows)
        if len(lines) <= _LEAF:
            texts = [self.plan.decode(line).split(chr(self.sep)) for line in data.split(b"\n")[: len(lines)]]
            return self._by_cell(texts, lines)
        half = len(lines) // 2
        cut = int(seps[half * self.plan.width - 1]) + 1
        first = self._bisect(data[:cut], seps, lines[:half])
        second = self._bisect(data[cut:], seps[half * self.plan.width:] - cut, lines[half:])
        return [np.concatenate(pair) for pair in zip(first, second, strict=True)]

    def _by_cell(self, rows: Sequence[Sequence[str]], lines: Lines) -> list[Floats]:
        import numpy as np

        return [
            np.array([self.clock.one(row[column]) if place in self.plan.clock else self._value(row[column], place, int(line))
                      for row, line in zip(rows, lines, strict=True)], dtype=float)
            for place, column in enumerate(self.plan.wanted)
        ]

    def _irregular(
        self, block: Block, data: bytes, figures: NDArray[np.uint8], seps: NDArray[np.int64]
    ) -> Rows:
        """A block with lines of another shape: those are looked at one by one, the others go on together."""
        import numpy as np

        ends = np.flatnonzero(figures[seps] == LF)
        good = np.diff(ends, prepend=-1) == self.plan.width
        lengths = np.diff(seps[ends], prepend=-1)
        good &= lengths > 1
        good &= ~np.isin(figures[seps[ends] + 1 - lengths], self.remarks)
        numbers = np.arange(block.first_line, block.first_line + len(good))
        kept = figures[np.repeat(good, lengths)].tobytes()
        values = [np.empty(0) for _ in self.plan.wanted]
        if kept:
            values = self._alike(kept, odd.cell_ends(np.frombuffer(kept, np.uint8), self.sep), numbers[good])
        late = self._odd_lines(block, np.flatnonzero(~good))
        if not late:
            return Rows(values, numbers[good])
        lines = np.concatenate([numbers[good], np.array([line for line, _ in late])])
        extra = self._by_cell([cells for _, cells in late], [line for line, _ in late])
        order = np.argsort(lines, kind="stable")
        return Rows([np.concatenate(pair)[order] for pair in zip(values, extra, strict=True)], lines[order])

    def _odd_lines(self, block: Block, places: NDArray[np.int64]) -> list[tuple[int, list[str]]]:
        """(line number, cells) of the odd lines that are rows after all; the others go to the tally."""
        import numpy as np

        ends = np.flatnonzero(np.frombuffer(block.data, np.uint8) == LF)
        rows = []
        for place in places.tolist():
            start, number = (int(ends[place - 1]) + 1 if place else 0), block.first_line + place
            text = self.plan.decode(block.data[start:int(ends[place])])
            why, cells = self._odd_line(text)
            if why:
                self.tally.line(why, number, text.strip()[:80])
            if cells:
                rows.append((number, [cell.translate(_SWAP_TEXT) if self.plan.decimal == "," else cell for cell in cells]))
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

    def _take_out_over_range(self, rows: Rows) -> None:
        """NaN for infinite values and for the huge numbers that instruments send when a signal is beyond the range."""
        import numpy as np

        for place, values in enumerate(rows.values):
            if place not in self.plan.clock:
                over = np.flatnonzero(np.abs(values) >= OVER_RANGE_FROM)
                if len(over):
                    self.tally.cell(place, "over range", int(rows.lines[over[0]]), f"{values[over[0]]:g}", len(over))
                    values[over] = np.nan
