"""Reading a capture: the file recognised, its columns settled, its rows read in pieces, its time put in order."""

from __future__ import annotations

import os
from collections.abc import Collection, Mapping, Sequence
from typing import TYPE_CHECKING

from ..dataclass import dataclass
from ..errors import InputError, Problem
from .blocks import blocks
from .bounds import Bounds, check_width
from .channels import Mapped
from .choice import settle
from .layout import Layout, recognise
from .model import Capture, Column, Dropped, Report
from .outcome import (
    channel_of,
    dialect_of,
    missing_cells,
    refuse_empty,
    refuse_labels_again,
    refuse_mostly_unread,
    source_notes,
)
from .row_parser import Reader
from .rows import LineNumbers, Plan
from .source import Progress, Source, open_source
from .time_axis import TimeReading
from .time_source import TimeSource

if TYPE_CHECKING:
    from .model import Floats


_ENOUGH = 5  # rows with equally many decimals, to call a last line without a line end and with fewer broken off


def read_capture(
    path: str | os.PathLike[str],
    columns: Mapping[str, str] | None = None,
    units: Mapping[str, str] | None = None,
    *,
    wanted: Collection[str] = (),
    also: Collection[str] = (),
    sample_rate_hz: float | None = None,
    decimal: str | None = None,
    delimiter: str | None = None,
    encoding: str | None = None,
    on_progress: Progress | None = None,
) -> Capture:
    """Read a recording from a text file of any common dialect, packed with gzip or not.

    columns: channel -> label of its column ("t" for time; "column 3" for the third). units: channel -> unit, before the
    file's own. wanted: channels that must be there; one that is not in `columns` is settled by its label or asked for.
    also: channels that are read where a label settles them. With no channel named, wanted or in `also`, every known one that
    a label settles. sample_rate_hz: instead of a time column.
    decimal: "." or ","; delimiter, encoding: to overrule what would be recognised. on_progress(done, total): in bytes.

    The memory used is that of the channels read, and a few megabytes; a file of more values than `bounds` takes is refused.
    Every doubtful thing is a note in the report.
    Raises InputError, all problems at once: no such file, no text, no rows, a column, unit or time that cannot be told.
    """
    columns, units = dict(columns or {}), dict(units or {})
    _check_options(columns, sample_rate_hz, decimal, delimiter)
    source = open_source(path, encoding)
    with source.raw:
        layout = recognise(source, delimiter, decimal)
        check_width(source.name, layout.width)
        mapped, time_from = settle(layout, columns, units, wanted, sample_rate_hz, also)
        return _read(source, layout, mapped, time_from, on_progress)


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
    """The rows as they stand in the file: an array for each place that is read, by its name, and each row's line."""

    values: dict[str, Floats]
    lines: LineNumbers


def _read(source: Source, layout: Layout, mapped: Mapped, time_from: TimeSource, on_progress: Progress | None) -> Capture:
    channels = {name: column for name, column in mapped.channels.items() if name != "t"}
    reading = TimeReading(layout, time_from)
    order = [*reading.columns, *channels]
    reader = Reader(_plan(source, layout, reading, [*reading.columns.values(), *channels.values()]))
    raw = _collect(source, layout, reader, order, on_progress)
    if not raw.lines.rows:
        raise InputError.one("capture", source.name, "has no row that can be read", "look at its rows with a text editor")
    refuse_mostly_unread(
        raw.lines.rows,
        reading.without(raw.values),
        reader.tally,
        order,
        channels,
        source.name,
        "" if layout.told else layout.decimal,
    )
    if reading.undated:
        refuse_labels_again(reader.tally, order, channels, source.name)
    axis, time = reading.axis(raw.values, raw.lines, [raw.values[name] for name in channels])
    dropped = [*layout.left_out, *(Dropped(why, *tallied) for why, tallied in reader.tally.lines.items()), *axis.dropped]
    in_place = len(axis.rows) == raw.lines.rows and not axis.moved
    values = {name: raw.values[name] if in_place else raw.values[name][axis.rows] for name in channels}
    missing = missing_cells(raw.values, raw.lines, reader.tally, order, channels)
    refuse_empty(values, channels, reader.tally, order)
    notes = [*source_notes(source), *layout.notes, *mapped.notes, *axis.notes]
    report = Report(
        source.name,
        dialect_of(source, layout),
        layout.columns,
        mapped.channels,
        len(axis.rows),
        time,
        tuple(sorted(dropped, key=lambda each: each.first_line)),
        missing,
        tuple(notes),
    )
    found = {name: channel_of(name, column, values[name]) for name, column in channels.items()}
    return Capture(axis.time, time.start_offset_s, found, report)


def _plan(source: Source, layout: Layout, reading: TimeReading, columns: Sequence[Column]) -> Plan:
    wanted = tuple(column.number - 1 for column in columns)
    texts = {
        place: (max(len(row[wanted[place]]) for row in layout.sample) + 6, reads) for place, reads in enumerate(reading.texts)
    }
    whole = layout.sample[:-1] if source.whole else layout.sample  # the last line may be the broken one
    decimals = {len(row[-1].partition(layout.decimal)[2]) for row in whole}
    fixed = decimals.pop() if len(decimals) == 1 and len(whole) >= _ENOUGH else None
    return Plan(
        layout.delimiter,
        layout.decimal,
        layout.width,
        wanted,
        texts,
        reading.source.counts_rows,
        fixed,
        layout.told,
        0 if reading.columns else None,
        layout.labels,
        source.decode,
    )


def _collect(source: Source, layout: Layout, reader: Reader, order: Sequence[str], on_progress: Progress | None) -> _Raw:
    """All rows. Parts are joined column by column and let go, so that the peak is little more than the outcome."""
    import numpy as np

    parts: list[list[Floats]] = [[] for _ in order]
    lines = LineNumbers()
    bounds = Bounds(source.name, reader.plan, reader.tally)
    for block in blocks(source, layout.first_data_line - 1, on_progress):
        rows = reader.read(block)
        lines.add(rows.lines)
        bounds.check(rows, lines.rows)
        for part, values in zip(parts, rows.values, strict=True):
            part.append(values)
    joined = {}
    for name, part in zip(order, parts, strict=True):
        joined[name] = np.concatenate(part) if part else np.empty(0)
        part.clear()
    return _Raw(joined, lines)
