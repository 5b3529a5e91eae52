"""The times of the rows: which columns they are read from, and the time axis that these make."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from ..dataclass import replace
from ..errors import InputError
from . import quantities, times
from .clock import DAY, HOUR, Clock
from .dates import Dates, decide
from .layout import Layout
from .model import Column, TimeAxis
from .rows import LineNumbers
from .time_source import TimeSource

if TYPE_CHECKING:
    from .model import Floats


class TimeReading:
    """columns: those to read for the time, by name, before the channels; texts: what reads them, a clock and a date."""

    def __init__(self, layout: Layout, source: TimeSource) -> None:
        self.layout, self.source = layout, source
        self.columns: dict[str, Column] = {}
        self.texts: list[Clock | Dates] = []
        self.clock, self.dates = Clock(source.short), Dates()
        if source.column:
            self.columns["t"] = source.column
            if source.column.number in (*layout.clock, *layout.dates):
                self.texts.append(self.clock)
                if source.date:
                    self.columns["t date"] = source.date
                    self.texts.append(self.dates)

    @property
    def undated(self) -> bool:
        """Whether rows are counted, or have a clock without a date: then nothing tells how long a pause was."""
        return self.source.counts_rows or (bool(self.texts) and self.source.date is None)

    def without(self, read: Mapping[str, Floats]) -> int:
        """How many rows have no readable time."""
        import numpy as np

        return int(np.any([np.isnan(read[name]) for name in self.columns], axis=0).sum()) if self.columns else 0

    def axis(self, read: Mapping[str, Floats], lines: LineNumbers, channels: list[Floats]) -> tuple[times.Axis, TimeAxis]:
        """The rows in the order of time, with their times from the first, and what the report says of it."""
        import numpy as np

        column, rate, interval = self.source.column, self.source.rate_hz, self.source.interval_s
        if column is None:
            count = np.arange(lines.rows, dtype=np.float64)
            axis = times.Axis(range(lines.rows), count / rate if rate else count * (interval or 1.0))
            return axis, _report("sample rate" if rate else "interval", "", "", "", self.source.start_s, axis, lines)
        seconds, kind, notes = self._seconds(column, read)
        axis = times.in_order(seconds, lines, channels, column.name)
        axis.notes[:0] = notes
        start = float(axis.time[0])
        axis.time -= start
        first = self.layout.sample[0][column.number - 1] if axis.rows[0] == 0 else ""
        found = _report(kind, column.name, column.unit if kind == "number" else "", first, start, axis, lines)
        date = self.columns.get("t date", column)
        return axis, replace(found, date_column=None if date.number == column.number else date.number)

    def _seconds(self, column: Column, read: Mapping[str, Floats]) -> tuple[Floats, str, list[str]]:
        """The time of each row in s, where it comes from, and notes."""
        if self.source.interval_s is not None:
            return self.source.start_s + read["t"] * self.source.interval_s, "interval", []
        if not self.texts:
            factor = quantities.second_factor(column.unit) or 1.0
            # divided by 1000, 9995 ms are 9.995 s to the last bit; times 0.001 they are not
            seconds = read["t"] if factor == 1.0 else read["t"] * factor if factor > 1.0 else read["t"] / round(1 / factor)
            return seconds, "number", []
        if self.source.date:
            return self._dated(column, read["t"], read["t date"])
        return self._going_on(column, read["t"], [])

    def _going_on(self, column: Column, clock: Floats, notes: list[str]) -> tuple[Floats, str, list[str]]:
        """Clock times without dates: past midnight, or past the hour where no hours are written."""
        if self.clock.hourless:
            seconds, hours = times.going_on(clock, HOUR)
            others = [each for each in self.layout.columns if each.number in self.layout.clock and each.number != column.number]
            if hours and others:
                raise InputError.one(
                    "t",
                    column.name,
                    "begins again after each hour: it holds minutes and seconds alone",
                    f'name another column, such as --column t="{others[0].name}"',
                )
            if hours:
                notes = [*notes, "The clock has no hours and passes the hour; the time goes on from there."]
            return seconds, "clock", notes
        seconds, midnights = times.going_on(clock, DAY)
        if midnights:
            notes = [*notes, "The clock passes midnight; the time goes on from there."]
        return seconds, "clock", notes

    def _dated(self, column: Column, clock: Floats, codes: Floats) -> tuple[Floats, str, list[str]]:
        """Clock times and dates, once it is decided which figure of the dates is the day."""
        import numpy as np

        known = np.flatnonzero(~np.isnan(codes) & ~np.isnan(clock))
        if not len(known):
            return np.where(np.isnan(codes), np.nan, clock), "clock", []
        here = codes[known].astype(np.int64)
        changes = np.append(0, np.flatnonzero(np.diff(here)) + 1)
        counts = np.bincount(here, minlength=len(self.dates.texts))
        decision = decide(self.dates.texts, here[changes].tolist(), counts.tolist())
        notes = [decision.note] if decision.note else []
        if decision.open:
            dates = self.dates.texts
            raise InputError.one(
                "t",
                self.columns["t date"].name,
                f'leaves open which figure of its dates is the day, "{dates[0]}" to "{dates[-1]}"',
                "write them as 2024-03-05, or give the sample rate: --rate",
            )
        if not decision.days:
            return self._going_on(column, clock, notes)
        days = np.array([np.nan if day is None else day for day in decision.days], float)
        days -= days[here[~np.isnan(days[here])][0]]
        seconds = np.full(len(clock), np.nan)
        seconds[known] = days[here] * DAY + clock[known]
        return seconds, "date and clock", notes


def _report(kind: str, column: str, unit: str, start: str, offset: float, axis: times.Axis, lines: LineNumbers) -> TimeAxis:
    beat = times.rhythm(axis.time, axis.rows, lines)
    duration = float(axis.time[-1] - axis.time[0])
    return TimeAxis(
        kind, column, unit, start, offset, duration, beat.interval_s, beat.regular, beat.count, beat.gaps, beat.rows_lost
    )
