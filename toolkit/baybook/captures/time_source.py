"""Where the time comes from: a sample rate, a column, a date and a clock, or the interval that the file itself states."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from itertools import pairwise
from statistics import median_low

from ..dataclass import dataclass, replace
from ..errors import Problem
from . import clock
from .cells import read_number
from .channels import Mapped, candidates, listed, two_units
from .delimiters import kind_of
from .labels import unknown_unit
from .layout import Layout
from .model import Column
from .quantities import second_factor

# a column of one of these, alone, is the time whatever its label; an hour or a minute may be how long something took
_TIMES = (
    "s",
    "sec",
    "secs",
    "second",
    "seconds",
    "ms",
    "msec",
    "millisecond",
    "milliseconds",
    "us",
    "µs",
    "μs",
    "usec",
    "microseconds",
    "sek",
    "sekunden",
    "millis",
    "micros",
)
_ALIKE = 0.01  # of the interval that the preamble states, for a column to count in it
_OPEN_SHORT = "may be hours and minutes or minutes and seconds"


@dataclass(frozen=True)
class TimeSource:
    """column: of the time or, with an interval_s, of the rows' numbers; date: a column of dates beside a clock.

    rate_hz: the user's; interval_s, start_s: the file's own, where rows are counted; short: how 10:15 is read, see
    `clock.Clock`.
    """

    column: Column | None = None
    date: Column | None = None
    short: str = ""
    rate_hz: float | None = None
    interval_s: float | None = None
    start_s: float = 0.0

    @property
    def counts_rows(self) -> bool:
        """Whether the time is the place of a row, so that a row that cannot be read must keep it."""
        return self.column is None


def time_source(mapped: Mapped, layout: Layout, unit: str | None, rate: float | None) -> TimeSource:
    """The source of the time; what is unclear is added to the problems of `mapped`, what was inferred to its notes."""
    if rate is not None:
        if layout.clock or candidates(_filled(layout, layout.columns), "t"):
            mapped.notes.append("The file's own time column is not used: a sample rate was given.")
        return TimeSource(rate_hz=rate)
    named = mapped.channels.get("t")
    if named is None and layout.counted:
        return _counted(mapped, layout)
    column = named or _found(mapped, layout)
    if column is None:
        return _by_interval(mapped, layout)
    mapped.channels["t"] = column
    if column.number in (*layout.clock, *layout.dates):
        return _by_clock(mapped, layout, column, unit)
    mapped.channels["t"] = column = _with_unit(mapped, layout, column, unit)
    return TimeSource(column)


def _counted(mapped: Mapped, layout: Layout) -> TimeSource:
    """From the start and the increment in the header; by the column of row numbers where there is one."""
    start, interval = layout.counted or (0.0, 0.0)
    number = next((column for column in layout.columns if column.unit.lower() == "sequence"), None)
    how = f'the numbers in "{number.name}"' if number else "the rows"
    mapped.notes.append(f"t is counted from {how}: start {start:g} s, increment {interval:g} s, as the header states them.")
    if number:
        mapped.channels["t"] = number
    return TimeSource(number, interval_s=interval, start_s=start)


def _found(mapped: Mapped, layout: Layout) -> Column | None:
    """The time by its label, as the only column of clock times, by its unit, or by the interval that the file states."""
    taken = {column.number for column in mapped.channels.values()}
    free = [column for column in _filled(layout, layout.columns) if column.number not in taken]
    clocks = [column for column in free if column.number in layout.clock]
    named = [column for column in candidates(free, "t") if not (clocks and column.number in layout.dates)]
    for fits, why in (
        (named, ""),
        (clocks, "the only column of clock times"),
        ([column for column in free if _is_time_by_unit(column, layout)], "the only column with a unit of time"),
        ([column for column in free if _keeps_interval(column, layout)], "which rises by the interval that the file states"),
        ([column for column in free if column.number in layout.dates], "the only column of dates"),
    ):
        if len(fits) == 1:
            if why:
                mapped.notes.append(f't is read from "{fits[0].name}", {why}.')
            return fits[0]
        if fits:
            pair = _left_of_all(fits, mapped)
            if pair:
                mapped.notes.append(f't is read from "column {pair.number}", the time beside the channels that are read.')
                return pair
            mapped.problems.append(_question(layout, "more than one column could be the time", fits))
            return Column(0, "")
    return None


def _left_of_all(fits: Sequence[Column], mapped: Mapped) -> Column | None:
    """Where each signal has its own time of the same label before it: that of the channels read, if they share one."""
    if len({column.label for column in fits}) > 1 or not mapped.channels or fits[0].number != 1:
        return None
    near = {
        max((each.number for each in fits if each.number < column.number), default=0) for column in mapped.channels.values()
    }
    return next((column for column in fits if near == {column.number}), None)


def _filled(layout: Layout, columns: Sequence[Column]) -> list[Column]:
    """The columns without those that hold words rather than numbers, clock times or dates."""
    kinds = {
        column.number: Counter(kind_of(row[column.number - 1], layout.decimal) for row in layout.sample) for column in columns
    }
    return [
        column
        for column in columns
        if kinds[column.number]["text"] <= sum(kinds[column.number][kind] for kind in ("number", "clock", "date"))
    ]


def _numbers(column: Column, layout: Layout) -> list[float]:
    cells = [read_number(row[column.number - 1], layout.decimal, layout.told) for row in layout.sample]
    return [value for value, kind in cells if kind == "number"]


def _is_time_by_unit(column: Column, layout: Layout) -> bool:
    if column.unit.strip().lower() not in _TIMES or column.unit in ("mS", "MS"):
        return False
    numbers = _numbers(column, layout)
    return len(numbers) < 2 or (all(before <= after for before, after in pairwise(numbers)) and numbers[0] < numbers[-1])


def _step(column: Column, layout: Layout) -> float | None:
    """The step by which a column rises or falls from row to row, but for a few; None where it keeps to none."""
    numbers = _numbers(column, layout)
    steps = [after - before for before, after in pairwise(numbers)]
    step = median_low(steps) if steps else 0.0
    alike = sum(abs(each - step) <= _ALIKE * abs(step) for each in steps)
    return step if step and 3 * alike >= 2 * len(steps) else None


def _keeps_interval(column: Column, layout: Layout) -> bool:
    interval, step = layout.timing.interval, _step(column, layout)
    return bool(interval and step and layout.timing.unit) and abs(abs(step or 0) - (interval or 0)) <= _ALIKE * (interval or 0)


def _by_interval(mapped: Mapped, layout: Layout) -> TimeSource:
    """From the interval above the rows, where no column could be the time."""
    timing = layout.timing
    factor = second_factor(timing.unit) if timing.unit else None
    stepping = any(abs(_step(column, layout) or 1) != 1 for column in layout.columns)  # a step of 1 counts rows
    if timing.interval is None or factor is None or timing.mixed or stepping:
        mapped.problems.append(_question(layout, "no column is plainly the time", layout.columns))
        return TimeSource()
    interval, start = timing.interval * factor, (timing.start or 0.0) * factor
    mapped.notes.append(f"No column is the time; the rows follow each other in {interval:g} s, as the lines above them state.")
    return TimeSource(interval_s=interval, start_s=start)


def _question(layout: Layout, why: str, fits: Sequence[Column]) -> Problem:
    return Problem(
        "t",
        None,
        why + layout.timing.hint,
        'say which: --column t="…" with one of ' + listed(fits) + "; or give the sample rate: --rate 1000Hz",
    )


def _by_clock(mapped: Mapped, layout: Layout, column: Column, option: str | None) -> TimeSource:
    """A clock, with the dates in its own cells or in a column beside it."""
    if option and option not in clock.SHORT:
        mapped.notes.append(f"t: the unit {option} is not used, the column holds clock times.")
    cells = [clock.match(row[column.number - 1]) for row in layout.sample]
    found = [cell for cell in cells if cell]
    dates = (
        []
        if any(cell["date"] for cell in found)
        else [layout.columns[number - 1] for number in layout.dates if number != column.number]
    )
    if len(dates) > 1:
        beside = [each for each in dates if abs(each.number - column.number) == 1]
        dates = beside if len(beside) == 1 else dates
    if len(dates) > 1:
        mapped.notes.append("No date is used: more than one column holds dates, " + listed(dates) + ".")
    date = dates[0] if len(dates) == 1 else None
    if date:
        mapped.notes.append(f't: the dates in "{date.name}" belong to the clock times in "{column.name}".')
    own = any(cell["date"] for cell in found)
    return TimeSource(column, column if own else date, _short(mapped, column, found, bool(own or date), option))


def _short(mapped: Mapped, column: Column, found: Sequence[re.Match[str]], dated: bool, option: str | None) -> str:
    """How two numbers alone are read: told, by the date beside them, by their size, or asked for."""
    if option in clock.SHORT:
        return str(option)
    short = [cell for cell in found if clock.is_short(cell)]
    if not short or dated:
        return "hh:mm" if dated else ""
    for each in clock.SHORT:
        if each in column.header.lower() or each == column.unit.lower():
            return each
    if any(int(cell["large"]) > 23 for cell in short):
        return "mm:ss"
    mapped.problems.append(
        Problem("t", short[0].string.strip(), _OPEN_SHORT, "say which: --channel-unit t=hh:mm or --channel-unit t=mm:ss")
    )
    return ""


def _with_unit(mapped: Mapped, layout: Layout, column: Column, option: str | None) -> Column:
    """The column of numbers with its unit: told, from the header, or from the lines above the rows."""
    if column.number == 0:  # there is a question already
        return column
    if option:
        column = replace(column, unit=option, unit_from="option")
    if not column.unit:
        column = replace(column, unit=_own_unit(column) or layout.timing.unit, unit_from="preamble")
        if column.unit:
            source = f'its label "{column.header}"' if _own_unit(column) else "the lines above the rows"
            mapped.notes.append(f"t: the unit {column.unit} is taken from {source}.")
    if not column.unit:
        mapped.problems.append(
            Problem(
                "t",
                column.name,
                "has no unit in the file" + layout.timing.hint,
                "give it: --channel-unit t=s, or t=ms, or t=us",
            )
        )
        return column
    if problem := two_units("t", column):
        mapped.problems.append(problem)
    if column.unit_from == "end of label":
        mapped.notes.append(f't: the unit {column.unit} is taken from the end of the label "{column.header}".')
    if second_factor(column.unit) is None:
        _refuse_unit(mapped, column)
    return column


def _own_unit(column: Column) -> str:
    """A unit that the whole label is, or its brackets hold: millis; Time (uS)."""
    return next(
        (text for text in (unknown_unit(column.header), column.label) if text and len(text) > 1 and second_factor(text)), ""
    )


def _refuse_unit(mapped: Mapped, column: Column) -> None:
    from ..errors import Refused
    from .quantities import check

    try:
        check(column.unit, "time")
    except Refused as refused:
        mapped.problems.append(Problem("unit of t", column.unit, refused.why, refused.hint))
