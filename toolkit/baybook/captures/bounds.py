"""How much of a file is read: a small packed file may hold more rows than memory, or a hundred million lines of rubbish."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ..errors import InputError

if TYPE_CHECKING:
    from .rows import Plan, Rows, Tally

MOST_VALUES = 20_000_000  # 160 MB, 500 MB for a moment: a channel at 10 kHz for a quarter of an hour and more
MOST_UNREAD = 200_000  # lines or cells that give nothing, where they are more than those that give something


class Bounds:
    """Checks what was read so far, block by block."""

    def __init__(self, file: str, plan: Plan, tally: Tally) -> None:
        self.file, self.plan, self.tally = file, plan, tally
        self.without_time = 0

    def check(self, rows: Rows, count: int) -> None:
        """Raise InputError where the next `rows`, `count` so far, are too many, or most of the file cannot be used."""
        import numpy as np

        if count * len(self.plan.wanted) > MOST_VALUES:
            raise InputError.one(
                "capture",
                self.file,
                f"holds more than {MOST_VALUES // len(self.plan.wanted):,} rows".replace(",", " "),
                "cut the recording, or name fewer columns",
            )
        if self.plan.time is not None:
            self.without_time += int(np.isnan(rows.values[self.plan.time]).sum())
        unread = sum(tallied[0] for why, tallied in self.tally.lines.items() if why != "blank line") + self.without_time
        cells = max((sum(texts.values()) for (_, kind), texts in self.tally.marks.items() if kind == "unreadable"), default=0)
        for what, many in (("lines", unread), ("cells of a column", cells)):
            if many > MOST_UNREAD and 2 * many > count + unread - self.without_time:
                raise InputError.one(
                    "capture",
                    self.file,
                    f"gives nothing in {many} {what} so far, more than it gives",
                    "look at its rows with a text editor, or name another column",
                )
