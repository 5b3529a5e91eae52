"""Rows into numbers: whole blocks by numpy's reader, single cells and lines with care where it will not take them.

Each step is for what the one before leaves: columns of equally many decimals are read at once from their bytes; others go
to `numpy.loadtxt`; cells that hold no plain number are found by their bytes, read one by one, and blanked for the reader;
lines of another shape are taken out and read with the csv rules. So no file costs much more than numpy's bare read.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from io import BytesIO
from typing import TYPE_CHECKING, Any

from . import cell_bytes
from .blocks import Block
from .cell_bytes import LF
from .cells import OVER_RANGE_FROM, read_number
from .delimiters import is_comment, split
from .fixed_point import fixed_point
from .rows import LABELS_AGAIN, Plan, Rows, Tally

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
        self.plan, self.tally = plan, Tally()
        self.sep = ord(plan.delimiter) if plan.delimiter else LF
        self.remarks = list(_REMARKS if plan.delimiter == ";" else _REMARKS + b";")
        self.dirty = False  # a block held something that numpy would not read
        self.numeric = [place for place in range(len(plan.wanted)) if place not in plan.texts]

    def read(self, block: Block) -> Rows:
        """The rows of a block of whole lines."""
        import numpy as np

        if block.cut and self._is_cut_off(block):
            return Rows([np.empty(0) for _ in self.plan.wanted], [])
        data = cell_bytes.plain(block.data, self.plan.delimiter, self.plan.decimal)
        figures = np.frombuffer(data, np.uint8)
        seps = cell_bytes.cell_ends(figures, self.sep)
        count = block.data.count(b"\n")
        if self._regular(figures, seps, count):
            lines = range(block.first_line, block.first_line + count)
            rows = Rows(self._alike(data, seps, lines), lines)
        else:
            rows = self._irregular(block, figures, seps)
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

        ends = seps[self.plan.width - 1 :: self.plan.width]
        if len(seps) != count * self.plan.width or (figures[ends] != LF).any():
            return False
        if self.plan.width == 1 and (np.diff(seps, prepend=-1) == 1).any():
            return False  # blank lines, which the reader would skip
        return figures[0] not in self.remarks and not np.isin(figures[ends[:-1] + 1], self.remarks).any()

    def _alike(self, data: bytes, seps: NDArray[np.int64], lines: Lines) -> list[Floats]:
        """The values of lines that all have the shape of a row; `seps`: where their cells end."""
        import numpy as np

        empty = np.diff(seps, prepend=-1) == 1
        figures = np.frombuffer(data, np.uint8)
        values = {place: self._fixed(figures, seps, place, empty) for place in self.numeric}
        self._tally_empty(empty, [place for place in self.numeric if values[place] is not None], lines)
        rest = [place for place in range(len(self.plan.wanted)) if values.get(place) is None]
        if rest:
            filled = cell_bytes.fill_empty(data, seps[empty]) if empty.any() else data
            values |= zip(rest, self._others(filled, lines, rest, empty), strict=True)
        return [value for _, value in sorted(values.items()) if value is not None]

    def _fixed(self, figures: NDArray[np.uint8], seps: NDArray[np.int64], place: int, skip: NDArray[np.bool_]) -> Floats | None:
        """A column of equally many decimals, NaN in the cells to be skipped; None where it is another."""
        import numpy as np

        column, width = self.plan.wanted[place], self.plan.width
        ends = seps[column::width]
        starts = seps[column - 1 :: width] + 1 if column else np.append(0, seps[width - 1 : -1 : width] + 1)
        return fixed_point(figures, starts, ends, skip[column::width])

    def _tally_empty(self, empty: NDArray[np.bool_], places: Sequence[int], lines: Lines) -> None:
        """Count the empty cells of columns that were read without them."""
        import numpy as np

        for place in places:
            here = np.flatnonzero(empty[self.plan.wanted[place] :: self.plan.width])
            if len(here):
                self.tally.cell(place, "missing", int(lines[int(here[0])]), "", len(here))

    def _others(self, data: bytes, lines: Lines, places: Sequence[int], empty: NDArray[np.bool_]) -> list[Floats]:
        """The columns that are not as plain as that, by numpy's reader; in cells that were `empty` stands nan."""
        if not self.dirty:
            rows = self._load(data, places)
            if rows is not None and len(rows) == len(lines):
                return self._columns(rows, places)
            self.dirty = True  # from here on cells are looked at first: a failed read costs as much as a good one
        return self._patched(data, lines, places, empty)

    def _load(self, data: bytes, places: Sequence[int]) -> Any:
        import numpy as np

        dtype = [(f"c{place}", f"S{self.plan.texts[place][0]}" if place in self.plan.texts else "f8") for place in places]
        try:
            return np.loadtxt(
                BytesIO(data),
                dtype,
                comments=None,
                delimiter=self.plan.delimiter or None,
                usecols=[self.plan.wanted[place] for place in places],
                encoding="latin-1",
                ndmin=1,
            )
        except ValueError:
            return None

    def _columns(self, rows: Any, places: Sequence[int]) -> list[Floats]:
        import numpy as np

        found = [np.ascontiguousarray(rows[f"c{place}"]) for place in places]
        return [
            self.plan.texts[place][1].many(each) if place in self.plan.texts else each
            for place, each in zip(places, found, strict=True)
        ]

    def _patched(self, data: bytes, lines: Lines, places: Sequence[int], empty: NDArray[np.bool_]) -> list[Floats]:
        """The columns, after the cells that hold no plain number were read with care and blanked."""
        import numpy as np

        figures = np.frombuffer(bytearray(data), np.uint8)
        seps = cell_bytes.cell_ends(figures, self.sep)
        columns = [self.plan.wanted[place] for place in places if place in self.numeric]
        cells = cell_bytes.odd_cells(figures, seps, self.sep, self.plan.width, columns)
        starts, ends = np.where(cells > 0, seps[cells - 1] + 1, 0), seps[cells]
        lasts = np.where(empty[cells], starts, ends)
        texts = [data[start:end] for start, end in zip(starts.tolist(), lasts.tolist(), strict=True)]
        skip = np.zeros(len(seps), bool)
        skip[cells] = True
        values = {place: self._fixed(figures, seps, place, skip) for place in places if place in self.numeric}
        rest = [place for place in places if values.get(place) is None]
        if rest:
            cell_bytes.blank(figures, starts, ends)
            values |= zip(rest, self._bisect(figures.tobytes(), seps, lines, rest), strict=True)
        found = [value for _, value in sorted(values.items()) if value is not None]
        for place, value in zip(places, found, strict=True):
            here = np.flatnonzero(cells % self.plan.width == self.plan.wanted[place])
            rows = cells[here] // self.plan.width
            value[rows] = self._odd_values([texts[each] for each in here], place, lines, rows)
        return found

    def _odd_values(self, texts: list[bytes], place: int, lines: Lines, rows: NDArray[np.int64]) -> list[float]:
        """The numbers in odd cells of one column, NaN where there is none; each text is looked at once."""
        first = {text: each for each, text in reversed(list(enumerate(texts)))}
        known = {
            text: self._value(self.plan.decode(text), place, int(lines[int(rows[first[text]])]), count)
            for text, count in Counter(texts).items()
        }
        return [known[text] for text in texts]

    def _value(self, text: str, place: int, line: int, count: int = 1) -> float:
        """The number in a cell, its decimal mark already a point; what is none goes to the tally."""
        value, kind = read_number(text, told=self.plan.told)
        if kind != "number":
            self.tally.cell(place, kind, line, text.strip(), count)
        return value

    def _bisect(self, data: bytes, seps: NDArray[np.int64], lines: Lines, places: Sequence[int]) -> list[Floats]:
        """Rows by the reader, halved where it refuses until the few bad ones are left, which are read cell by cell."""
        import numpy as np

        rows = self._load(data, places)
        if rows is not None and len(rows) == len(lines):
            return self._columns(rows, places)
        if len(lines) <= _LEAF:
            texts = [self.plan.decode(line).split(chr(self.sep)) for line in data.split(b"\n")[: len(lines)]]
            return self._by_cell(texts, lines, places)
        half = len(lines) // 2
        cut = int(seps[half * self.plan.width - 1]) + 1
        first = self._bisect(data[:cut], seps, lines[:half], places)
        second = self._bisect(data[cut:], seps[half * self.plan.width :] - cut, lines[half:], places)
        return [np.concatenate(pair) for pair in zip(first, second, strict=True)]

    def _by_cell(self, rows: Sequence[Sequence[str]], lines: Lines, places: Sequence[int]) -> list[Floats]:
        import numpy as np

        return [
            np.array(
                [self._cell(row[self.plan.wanted[place]], place, int(line)) for row, line in zip(rows, lines, strict=True)],
                dtype=float,
            )
            for place in places
        ]

    def _cell(self, text: str, place: int, line: int) -> float:
        return self.plan.texts[place][1].one(text) if place in self.plan.texts else self._value(text, place, line)

    def _irregular(self, block: Block, figures: NDArray[np.uint8], seps: NDArray[np.int64]) -> Rows:
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
            values = self._alike(kept, cell_bytes.cell_ends(np.frombuffer(kept, np.uint8), self.sep), numbers[good])
        late = self._odd_lines(block, np.flatnonzero(~good & ~self._count_blank(lengths, numbers)))
        if not late:
            return Rows(values, numbers[good])
        lines = np.concatenate([numbers[good], np.array([line for line, _ in late])])
        extra = self._by_cell([cells for _, cells in late], [line for line, _ in late], range(len(self.plan.wanted)))
        order = np.argsort(lines, kind="stable")
        return Rows([np.concatenate(pair)[order] for pair in zip(values, extra, strict=True)], lines[order])

    def _count_blank(self, lengths: NDArray[np.int64], numbers: NDArray[np.int64]) -> NDArray[np.bool_]:
        """Which lines are empty, now counted: some files have one after each row. In a single column they may be rows."""
        import numpy as np

        blank = (lengths == 1) & (self.plan.width > 1)
        if blank.any():
            self.tally.line("blank line", int(numbers[np.argmax(blank)]), "", int(blank.sum()))
        return np.asarray(blank)

    def _odd_lines(self, block: Block, places: NDArray[np.int64]) -> list[tuple[int, list[str]]]:
        """(line number, cells) of the odd lines that are rows after all; the others go to the tally."""
        import numpy as np

        ends = np.flatnonzero(np.frombuffer(block.data, np.uint8) == LF)
        rows = []
        for place in places.tolist():
            start, number = (int(ends[place - 1]) + 1 if place else 0), block.first_line + place
            text = self.plan.decode(block.data[start : int(ends[place])])
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
        if text.strip() == self.plan.labels:
            return LABELS_AGAIN, []
        cells = split(text, self.plan.delimiter)
        while len(cells) > self.plan.width and not cells[-1]:
            cells.pop()
        if len(cells) == self.plan.width:
            return "", cells
        if not any(each.isdigit() for each in text):
            return "line of words", []
        return ("too few columns" if len(cells) < self.plan.width else "too many columns"), blank_row

    def _take_out_over_range(self, rows: Rows) -> None:
        """NaN for infinite values and for the huge numbers that instruments send when a signal is beyond the range."""
        import numpy as np

        for place, values in enumerate(rows.values):
            if place not in self.plan.texts:
                over = np.flatnonzero(np.abs(values) >= OVER_RANGE_FROM)
                if len(over):
                    self.tally.cell(place, "over range", int(rows.lines[over[0]]), f"{values[over[0]]:g}", len(over))
                    values[over] = np.nan
