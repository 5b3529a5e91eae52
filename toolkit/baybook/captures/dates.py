"""Dates: gathered while rows are read, and counted as days once all have been seen.

Which figure is the day and which the month is decided once for a column, from all its dates: see `decide`.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import date
from itertools import pairwise
from typing import TYPE_CHECKING

from ..dataclass import dataclass
from .clock import DATE, layouts

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from .model import Floats

_BEGIN = re.compile(rf"\s*({DATE})(?!\d)", re.ASCII)
# places of year, month and day
ORDERS = {"year first": (0, 1, 2), "day first": (2, 1, 0), "month first": (2, 0, 1)}
_FEW = 0.02  # of the rows may hold a date that cannot be


class Dates:
    """Reads the dates that texts begin with as codes: places in `texts`, the different dates in order of appearance."""

    def __init__(self) -> None:
        self._codes: dict[str, int] = {}

    @property
    def texts(self) -> list[str]:
        """The different dates."""
        return list(self._codes)

    def one(self, text: str) -> float:
        """The code of the date; NaN where there is none."""
        found = _BEGIN.match(text.strip('"'))
        return float(self._codes.setdefault(found[1], len(self._codes))) if found else float("nan")

    def many(self, texts: NDArray[np.bytes_]) -> Floats:
        """The code for each of `texts`, shape (n,)."""
        import numpy as np

        codes = np.full(len(texts), np.nan)
        for rows, figures, text in layouts(texts):
            found = _BEGIN.match(text.strip('"'))
            if found is None:
                continue
            start = text.index(found[1])
            dates = np.ascontiguousarray(figures[:, start : start + len(found[1])]).view(f"S{len(found[1])}").ravel()
            changes = np.append(0, np.flatnonzero(dates[1:] != dates[:-1]) + 1)  # a date stays for many rows
            runs = [self.one(each.decode("latin-1")) for each in dates[changes]]
            codes[rows] = np.repeat(runs, np.diff(np.append(changes, len(dates))))
        return codes


@dataclass(frozen=True)
class Decision:
    """days: a count for each code, None for a date that cannot be; empty where dates are not used. `note`: what to say."""

    days: Sequence[int | None]
    note: str = ""
    open: bool = False


def day_number(text: str, order: str) -> int | None:
    """The day as a count under an order; None where there is no such day."""
    parts = re.split(r"[-/.,]", text)
    if len(parts[0]) == 4:
        order = "year first"
    elif len(parts[2]) == 4 and order == "year first":
        return None
    year, month, day = (int(parts[place]) for place in ORDERS[order])
    try:
        return date(year + (2000 if year < 70 else 1900) if year < 100 else year, month, day).toordinal()
    except ValueError:
        return None


def decide(texts: Sequence[str], sequence: Sequence[int], counts: Sequence[int]) -> Decision:
    """Which order the dates have, from all of them together.

    texts: the different dates; sequence: their places in the order of rows, each change once; counts: rows of each.
    The order under which every date is possible; among several the one in which days follow each other, or the only one in
    which they rise. A point between the figures is a hint alone.
    """
    days = {order: [day_number(text, order) for text in texts] for order in ORDERS}
    rows = sum(counts)
    bad = {order: sum(count for day, count in zip(found, counts, strict=True) if day is None) for order, found in days.items()}
    able = [order for order in ORDERS if bad[order] <= _FEW * rows]
    if not able:
        return Decision((), open=True)
    whole = [order for order in able if bad[order] == 0] or able
    fits = {order: _fit([days[order][place] for place in sequence]) for order in able}
    best = max(fits[order] for order in whole)
    chosen = [order for order in whole if fits[order] == best and _differ(days[order], days[whole[0]], order == whole[0])]
    if len(chosen) == 1 and best == max(fits.values()):
        return Decision(days[chosen[0]])
    if len(texts) == 1:
        return Decision((), "The dates leave open which figure is the day; only the time of day is used.")
    if all(re.search("[.,]", text) for text in texts) and "day first" in chosen and best > 0:
        spans = {order: _span(days[order]) for order in chosen}
        if spans["day first"] == min(spans.values()):
            return Decision(
                days["day first"],
                "The dates are taken as day, month, year, as points part them; nothing else in the file says so.",
            )
    return Decision((), open=True)


def _differ(mine: Sequence[int | None], first: Sequence[int | None], same: bool) -> bool:
    """Whether an order says anything other than the first one: 05/05/2024 is one day whichever it is."""
    return same or list(mine) != list(first)


def _fit(days: Sequence[int | None]) -> int:
    """2 where the days follow each other, 1 where they rise or fall throughout, else 0; a few may be out of place."""
    known = [day for day in days if day is not None]
    steps = [after - before for before, after in pairwise(known) if after != before]
    if not steps:
        return 2
    way = max((1, -1), key=lambda sign: sum(step * sign > 0 for step in steps))
    if sum(step * way < 0 for step in steps) > _FEW * len(steps):
        return 0
    return 2 if 2 * sum(step == way for step in steps) > len(steps) else 1


def _span(days: Sequence[int | None]) -> int:
    known = [day for day in days if day is not None]
    return max(known) - min(known)
