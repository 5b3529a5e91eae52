"""How much of a file is read: a small packed file may hold more rows than memory, or a hundred million lines of rubbish."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..errors import InputError

if TYPE_CHECKING:
    from .rows import Plan, Rows, Tally

# 80 MB, and a calculator takes five times that for a moment, so that 500 MB do: one channel at 10 kHz for eight minutes
MOST_VALUES = 10_000_000
MOST_UNREAD = 200_000  # lines or cells that give nothing, where they are more than those that give something
MOST_COLUMNS = 1_000
_BLANK = 4  # blank lines to a row: some loggers write one or two after each


def check_width(file: str, columns: int) -> None:
    """Raise InputError for rows of more columns than a logger has channels."""
    if columns > MOST_COLUMNS:
        hint = "export fewer channels, or look at its rows with a text editor"
        raise InputError.one("capture", file, f"has {columns} columns, more than {MOST_COLUMNS}", hint)


class Bounds:
    """Checks what was read so far, block by block."""

    def __init__(self, file: str, plan: Plan, tally: Tally) -> None:
        self.file, self.plan, self.tally = file, plan, tally
        self.without_time = 0

    def check(self, rows: Rows, count: int) -> None:
        """Raise InputError where the next `rows`, `count` so far, are too many, or most of the file cannot be used."""
        import numpy as np

        columns = len(self.plan.wanted) + (self.plan.time is None)  # a rate makes the times that the file has not
        if count * columns > MOST_VALUES:
            raise InputError.one(
                "capture",
                self.file,
                f"holds more than {MOST_VALUES // columns:,} rows".replace(",", " "),
                "cut the recording, log at a lower rate, or name fewer columns",
            )
        if self.plan.time is not None:
            self.without_time += int(np.isnan(rows.values[self.plan.time]).sum())
        lines = {why: tallied[0] for why, tallied in self.tally.lines.items()}
        blank = lines.pop("blank line", 0)
        unread = sum(lines.values()) + self.without_time
        cells = max((sum(texts.values()) for (_, kind), texts in self.tally.marks.items() if kind == "unreadable"), default=0)
        useful = count - self.without_time
        found = (("lines", unread, useful), ("cells of a column", cells, count - cells), ("blank lines", blank, _BLANK * count))
        for what, many, much in found:
            if many > MOST_UNREAD and many > much:
                raise InputError.one(
                    "capture",
                    self.file,
                    f"gives nothing in {many} {what} so far, more than it gives",
                    "look at its rows with a text editor, or name another column",
                )
