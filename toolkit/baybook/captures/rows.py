"""What is read of a file, row by row, and the tally of what is not."""

from __future__ import annotations

from array import array
from bisect import bisect_right
from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING

from ..dataclass import dataclass, field

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from .clock import Clock
    from .dates import Dates
    from .model import Floats

    Lines = range | NDArray[np.int64] | Sequence[int]


LABELS_AGAIN = "line of labels again"
UNLIKE = ("too few columns", "too many columns")  # why a line with something in it is no row


@dataclass(frozen=True)
class Plan:
    """What is read: the delimiter ("" for one column), decimal mark and width of rows, and the wanted columns from 0.

    texts: places in `wanted` that hold clock times or dates, with the room in bytes for one and what reads them; keep_bad: an
    unreadable line still takes its place in time (it is the rows that are counted); decimals: how many the last column always
    has, if so; told: which the decimal mark is was said or proved, so that the other one parts thousands; time: the place of
    the time, if it is in the file; labels: the line of labels, which may stand in the file again.
    """

    delimiter: str
    decimal: str
    width: int
    wanted: tuple[int, ...]
    texts: Mapping[int, tuple[int, Clock | Dates]]
    keep_bad: bool
    decimals: int | None
    told: bool
    time: int | None
    labels: str
    decode: Callable[[bytes], str]


@dataclass
class Tally:
    """What was left out so far. Lines: why -> [count, first line, example]; cells: (place, kind) -> [count, line, marks]."""

    lines: dict[str, tuple[int, int, str]] = field(default_factory=dict)
    marks: dict[tuple[int, str], Counter[str]] = field(default_factory=dict)
    first: dict[tuple[int, str], int] = field(default_factory=dict)

    def line(self, why: str, number: int, text: str, count: int = 1) -> None:
        """Count lines left out, the first of them at `number`."""
        before, first, example = self.lines.get(why, (0, number, text))
        self.lines[why] = (before + count, min(first, number), example)

    def cell(self, place: int, kind: str, line: int, text: str, count: int = 1) -> None:
        """Count cells of the wanted column at `place` that gave no number."""
        self.marks.setdefault((place, kind), Counter())[text[:30]] += count
        self.first[place, kind] = min(line, self.first.get((place, kind), line))


class LineNumbers:
    """The line of each row, kept as runs of lines that follow each other: a clean file of millions of rows has one.

    Where a line is left out after each row there are as many runs as rows: two numbers each, as bare as they can be.
    """

    def __init__(self) -> None:
        self.rows, self._starts, self._lines = 0, array("q", [0]), array("q", [0])

    def add(self, lines: Lines) -> None:
        """Append the lines of the next rows."""
        import numpy as np

        numbers = np.asarray(lines, np.int64)
        due = self._lines[-1] + self.rows - self._starts[-1]
        begins = np.flatnonzero(np.diff(numbers, prepend=due - 1) != 1)
        self._starts.frombytes((begins + self.rows).tobytes())
        self._lines.frombytes(numbers[begins].tobytes())
        self.rows += len(numbers)

    def __getitem__(self, row: int) -> int:
        """The line of a row."""
        run = bisect_right(self._starts, row) - 1
        return self._lines[run] + int(row) - self._starts[run]


@dataclass(frozen=True)
class Rows:
    """Rows read from a block: an array of shape (n,) for each wanted column, and the line number of each row."""

    values: list[Floats]
    lines: Lines
