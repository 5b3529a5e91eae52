"""Reading a capture: the file recognised, its columns settled, its rows read in pieces, its time put in order."""

from __future__ import annotations

import os
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ..errors import InputError, Problem
from . import quantities, times
from .blocks import blocks
from .bulk import Reader
from .channels import Mapped
from .layout import Layout, recognise
from .model import Capture, Column, Dropped, Report, TimeAxis
from .outcome import channel_of, dialect_of, missing_cells, refuse_empty, source_notes
from .rows import LineNumbers, Plan
from .settling import settle
from .source import Progress, Source, open_source

if TYPE_CHECKING:
    from .model import Floats


_ENOUGH = 5  # rows with equally many decimals, to call a last line without a line end and with fewer broken off


def read_capture(
    path: str | os.PathLike[str],
    columns: Mapping[str, str] | None = None,
    units: Mapping[str, str] | None = None,
    *,
    wanted: Collection[str] = (),
    sample_rate_hz: float | None = None,
    decimal: str | None = None,
    delimiter: str | None = None,
    encoding: str | None = None,
    on_progress: Progress | None = None,
) -> Capture:
    """Read a recording from a text file of any common dialect, packed with gzip or not.

    columns: channel -> label of its column ("t" for time; "column 3" for the third). units: channel -> unit, before the
    file's own. wanted: channels that must be there; one that is not in `columns` is settled by its label or asked for.
    With no channel named or wanted, every known one that a label settles. sample_rate_hz: instead of a time column.
    decimal: "." or ","; delimiter, encoding: to overrule what would be recognised. on_progress(done, total): in bytes.

    The memory used is that of the channels read, and a few megabytes. Every doubtful thing is a note in the report.
    Raises InputError, all problems at once: no such file, no text, no rows, a column, unit or time that cannot be told.
    """
    columns, units = dict(columns or {}), dict(units or {})
    _check_options(columns, sample_rate_hz, decimal, delimiter)
    source = open_source(path, encoding)
    with source.raw:
        layout = recognise(source, delimiter, decimal)
        mapped = settle(layout, columns, units, wanted, sample_rate_hz)
        return _read(source, layout, mapped, sample_rate_hz, on_progress)


def _check_options(columns: Mapping[str, str], rate: float | None, decimal: str | None, delimiter: str | None) -> None:
    problems = []
    if decimal not in (None, ".", ","):
        problems.append(Problem("decimal", decimal, "is not a decimal mark", "give point or comma"))
    if delimiter is not None and (len(delimiter) > 1 or delimiter.isalnum() or delimiter in ('"', ".", "-", "+")):
        problems.append(Problem("delimiter", delimiter, "cannot part columns", "give one of , ; | a tab or a blank"))
    if rate is not None and not 0 < rate < 1e12:
        problems.append(Problem("rate", rate, "is not a sample rate", "give one above zero, such as 1000Hz"))
    if rate is not None and "t" in columns:
        problems.append(Problem("rate", rate, f'is given as well as the time column "{columns["t"]}"', "give one of the two"))
    if problems:
        raise InputError(problems)


@dataclass(frozen=True)
class _Raw:
    """The rows as they stand in the file: an array for each wanted column, and each row's line."""

    values: list[Floats]
    lines: LineNumbers


def _read(
    source: Source, layout: Layout, mapped: Mapped, rate: float | None, on_progress: Progress | None
) -> Capture:
    channels = {name: column for name, column in mapped.channels.items() if name != "t"}
    order = [*(["t"] if "t" in mapped.channels else []), *channels]
    reader = Reader(_plan(source, layout, [mapped.channels[name] for name in order], rate is not None))
    raw = _collect(source, layout, reader, on_progress)
    if not raw.lines.rows:
        raise InputError.one("capture", source.name, "has no row that can be read", "look at its rows with a text editor")
    signals = dict(zip(order, raw.values, strict=True))
    axis, time = _time(source, layout, mapped, signals, raw.lines, reader, rate)
    dropped = [Dropped(why, *tallied) for why, tallied in reader.tally.lines.items()] + axis.dropped
    in_place = len(axis.rows) == raw.lines.rows and not axis.notes
    values = {name: signals[name] if in_place else signals[name][axis.rows] for name in channels}
    missing = missing_cells(signals, raw.lines, reader.tally, order)
    refuse_empty(values, channels, reader.tally, order)
    notes = [*source_notes(source), *layout.notes, *mapped.notes, *axis.notes]
    report = Report(source.name, dialect_of(source, layout), layout.columns, mapped.channels, len(axis.rows), time,
                    tuple(sorted(dropped, key=lambda each: each.first_line)), missing, tuple(notes))
    found = {name: channel_of(name, column, values[name]) for name, column in channels.items()}
    return Capture(axis.time, time.start_offset_s, found, report)


def _plan(source: Source, layout: Layout, columns: Sequence[Column], keep_bad: bool) -> Plan:
    wanted = tuple(column.number - 1 for column in columns)
    room = {place: max(len(row[index]) for row in layout.sample) + 6
            for place, index in enumerate(wanted) if index + 1 in layout.clock}
    whole = layout.sample[:-1] if source.whole else layout.sample  # the last line may be the broken one
    decimals = {len(row[-1].partition(layout.decimal)[2]) for row in whole}
    fixed = decimals.pop() if len(decimals) == 1 and len(whole) >= _ENOUGH else None
    return Plan(layout.delimiter, layout.decimal, layout.width, wanted, room, keep_bad, fixed, layout.told, source.decode)


def _collect(source: Source, layout: Layout, reader: Reader, on_progress: Progress | None) -> _Raw:
    """All rows. Parts are joined column by column and let go, so that the peak is little more than the outcome."""
    import numpy as np

    parts: list[list[Floats]] = [[] for _ in reader.plan.wanted]
    lines = LineNumbers()
    for block in blocks(source, layout.first_data_line - 1, on_progress):
        rows = reader.read(block)
        lines.add(rows.lines)
        for part, values in zip(parts, rows.values, strict=True):
            part.append(values)
    joined = []
    for part in parts:
        joined.append(np.concatenate(part) if part else np.empty(0))
        part.clear()
    return _Raw(joined, lines)


def _time(
    source: Source, layout: Layout, mapped: Mapped, signals: Mapping[str, Floats], lines: LineNumbers,
    reader: Reader, rate: float | None,
) -> tuple[times.Axis, TimeAxis]:
    """The rows in the order of time, with their times from the first, and what the report says of it."""
    import numpy as np

    column = mapped.channels.get("t")
    if column is None:
        assert rate is not None
        axis = times.Axis(range(lines.rows), np.arange(lines.rows) / rate)
        return axis, _axis_report("sample rate", "", "", "", 0.0, axis, lines)
    seconds, kind, notes = _seconds(column, layout, signals["t"], reader)
    channels = [values for name, values in signals.items() if name != "t"]
    axis = times.in_order(seconds, lines, channels, column.name)
    axis.notes[:0] = notes
    start = float(axis.time[0])
    axis.time -= start
    first = _first_time(layout, column) if axis.rows[0] == 0 else ""
    return axis, _axis_report(kind, column.name, "" if "clock" in kind else column.unit, first, start, axis, lines)


def _seconds(column: Column, layout: Layout, read: Floats, reader: Reader) -> tuple[Floats, str, list[str]]:
    if column.number not in layout.clock:
        factor, _ = quantities.convert(column.unit, "s")
        # divided by 1000, 9995 ms are 9.995 s to the last bit; times 0.001 they are not
        return (read if factor == 1.0 else read * factor if factor > 1.0 else read / round(1 / factor)), "number", []
    notes = []
    if reader.clock.undecided:
        notes.append("The dates leave open which figure is the day; only the time of day is used.")
    if reader.clock.dated:
        return read, "date and clock", notes
    seconds, midnights = times.past_midnight(read)
    if midnights:
        notes.append("The clock passes midnight; the time goes on from there.")
    return seconds, "clock", notes


def _first_time(layout: Layout, column: Column) -> str:
    """The first row's time as the file writes it."""
    return layout.sample[0][column.number - 1]


def _axis_report(
    kind: str, column: str, unit: str, start: str, offset: float, axis: times.Axis, lines: LineNumbers
) -> TimeAxis:
    beat = times.rhythm(axis.time, axis.rows, lines)
    duration = float(axis.time[-1] - axis.time[0])
    return TimeAxis(kind, column, unit, start, offset, duration, beat.interval_s, beat.regular, beat.count, beat.gaps,
                    beat.rows_lost)
