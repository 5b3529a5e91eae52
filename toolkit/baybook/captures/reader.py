"""Reading a capture: the file recognised, its columns settled, its rows read in pieces, its time put in order."""

from __future__ import annotations

import os
from collections.abc import Collection, Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from ..errors import InputError, Problem, Refused
from . import quantities, times
from .bulk import LineNumbers, Plan, Reader, Tally
from .channels import Mapped, assign, candidates, listed
from .layout import Layout, recognise
from .model import Capture, Channel, Column, Dialect, Dropped, Missing, Report, TimeAxis
from .source import Progress, Source, blocks, line_end, open_source

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from .model import Floats


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
        mapped = _settle(source, layout, columns, units, wanted, sample_rate_hz)
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


def _settle(
    source: Source, layout: Layout, columns: Mapping[str, str], units: Mapping[str, str], wanted: Collection[str],
    rate: float | None,
) -> Mapped:
    """The column of each channel and, without a sample rate, of time. Raises InputError with all problems."""
    looked_for = [name for name in wanted if name != "t"]
    mapped = assign(layout.columns, columns, units, looked_for)
    if rate is not None:
        if mapped.channels.pop("t", None):
            mapped.notes = [note for note in mapped.notes if not note.startswith("t is read")]
            mapped.notes.append("The file's own time column is not used: a sample rate was given.")
    elif "t" not in columns:
        _find_time(mapped, layout)
    if "t" in mapped.channels:
        mapped.channels["t"] = _time_unit(mapped, layout, units.get("t"))
    if mapped.problems:
        raise InputError(mapped.problems)
    if not mapped.channels.keys() - {"t"}:
        mapped.questions.append(Problem("column", None, "no channel is known by its label", 'say which: --column rail="…" '
                                        "with one of " + listed(layout.columns)))
    if rate is not None and not mapped.channels:
        raise InputError(mapped.questions)
    mapped.notes += [f"{question}." for question in mapped.questions]
    return mapped


def _find_time(mapped: Mapped, layout: Layout) -> None:
    """Time by the label's words, or as the only column of clock times; else a problem."""
    mapped.channels.pop("t", None)
    mapped.notes = [note for note in mapped.notes if not note.startswith("t is read")]
    mapped.questions = [question for question in mapped.questions if question.input != "t"]
    taken = {column.number for column in mapped.channels.values()}
    named = [column for column in candidates(layout.columns, "t") if column.number not in taken]
    clocks = [layout.columns[number - 1] for number in layout.clock if number not in taken]
    fits = named or clocks
    if len(fits) == 1:
        mapped.channels["t"] = fits[0]
        if not named:
            mapped.notes.append(f't is read from "{fits[0].name}", the only column of clock times.')
        return
    why = "more than one column could be the time" if fits else "no column is plainly the time"
    mapped.problems.append(Problem("t", None, why, 'say which: --column t="…" with one of '
                                   + listed(fits or layout.columns) + "; or give the sample rate: --rate 1000Hz"))


def _time_unit(mapped: Mapped, layout: Layout, option: str | None) -> Column:
    column = mapped.channels["t"]
    if column.number in layout.clock:
        if option:
            mapped.notes.append(f"t: the unit {option} is not used, the column holds clock times.")
        return column
    if option:
        column = replace(column, unit=option, unit_from="option")
    if not column.unit:
        mapped.problems.append(Problem("t", column.name, "has no unit in the file",
                                       "give it: --channel-unit t=s, or t=ms, or t=us"))
        return column
    if column.unit_from == "end of label":
        mapped.notes.append(f't: the unit {column.unit} is taken from the end of the label "{column.header}".')
    try:
        quantities.check(column.unit, "time")
    except Refused as refused:
        mapped.problems.append(Problem("unit of t", column.unit, refused.why, refused.would_do))
    return column


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
    missing = _missing(values, axis.rows, raw.lines, reader.tally, order)
    _refuse_empty(values, channels, reader.tally, order)
    notes = [*source_notes(source), *layout.notes, *mapped.notes, *axis.notes]
    report = Report(source.name, dialect_of(source, layout), layout.columns, mapped.channels, len(axis.rows), time,
                    tuple(sorted(dropped, key=lambda each: each.first_line)), missing, tuple(notes))
    found = {name: _channel(name, column, values[name]) for name, column in channels.items()}
    return Capture(axis.time, time.start_offset_s, found, report)


def _plan(source: Source, layout: Layout, columns: Sequence[Column], keep_bad: bool) -> Plan:
    wanted = tuple(column.number - 1 for column in columns)
    room = {place: max(len(row[index]) for row in layout.sample) + 6
            for place, index in enumerate(wanted) if index + 1 in layout.clock}
    whole = layout.sample[:-1] if source.whole else layout.sample  # the last line may be the broken one
    decimals = {len(row[-1].partition(layout.decimal)[2]) for row in whole}
    fixed = decimals.pop() if len(decimals) == 1 and len(whole) > 1 else None
    return Plan(layout.delimiter, layout.decimal, layout.width, wanted, room, keep_bad, fixed, source.decode)


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


def _missing(
    values: Mapping[str, Floats], rows: NDArray[np.int64] | range, lines: LineNumbers, tally: Tally, order: Sequence[str]
) -> tuple[Missing, ...]:
    """Cells without a number, channel by channel; those with a mark of their own apart from the empty ones."""
    import numpy as np

    found = []
    for name, column in values.items():
        place = order.index(name)
        marked = 0
        for kind in ("over range", "unreadable"):
            marks = tally.marks.get((place, kind))
            if marks:
                count = sum(marks.values())
                marked += count
                found.append(Missing(name, count, tally.first[place, kind], kind, _commonest(marks)))
        empty = np.flatnonzero(np.isnan(column))
        if len(empty) > marked:
            marks = tally.marks.get((place, "missing"))
            first = lines[rows[empty[0]]]
            if marked:
                first = tally.first.get((place, "missing"), first)
            found.append(Missing(name, len(empty) - marked, first, "missing", _commonest(marks) if marks else ()))
    return tuple(found)


def _commonest(marks: Mapping[str, int]) -> tuple[str, ...]:
    return tuple(sorted(marks, key=lambda mark: -marks[mark])[:3])


def _refuse_empty(
    values: Mapping[str, Floats], channels: Mapping[str, Column], tally: Tally, order: Sequence[str]
) -> None:
    import numpy as np

    problems = []
    for name, column in values.items():
        if np.isnan(column).all():
            marks = next((tally.marks[place, kind] for place, kind in tally.marks
                          if place == order.index(name) and kind == "unreadable"), None)
            seen = f' (there is "{_commonest(marks)[0]}")' if marks else ""
            problems.append(Problem(name, channels[name].name, f"holds no number at all{seen}", "name another column"))
    if problems:
        raise InputError(problems)


def _channel(name: str, column: Column, values: Floats) -> Channel:
    unit, reference = quantities.split_reference(column.unit)
    with suppress(Refused):  # a unit of a channel that Baybook does not know: its text is all there is
        unit = quantities.check(unit, "")
    return Channel(name, column.label, unit, values, reference)


_ENCODINGS = {"utf-8": "UTF-8", "utf-16-le": "UTF-16", "utf-16-be": "UTF-16 (big-endian)", "utf-32-le": "UTF-32",
              "utf-32-be": "UTF-32 (big-endian)"}


def dialect_of(source: Source, layout: Layout) -> Dialect:
    """What a report says of how the file is written."""
    encoding = _ENCODINGS.get(source.encoding, source.encoding) + (" with byte-order mark" if source.mark else "")
    return Dialect(encoding, source.compressed, layout.delimiter, layout.decimal, line_end(source.head), layout.header_line,
                   layout.units_line, layout.first_data_line, layout.preamble, layout.comments)


def source_notes(source: Source) -> list[str]:
    """What was inferred or lost on the way to text."""
    notes = []
    if source.encoding == "cp1252":
        notes.append("The text is not UTF-8; it is read as cp1252.")
    if source.cut_short:
        notes.append("The packed file is cut short; what came before is read.")
    return notes
