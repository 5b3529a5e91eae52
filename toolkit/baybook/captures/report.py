"""A capture's report in words, line by line."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from .delimiters import NAMES
from .inspection import Inspection
from .model import Column, Dialect, Gap, Missing, Report, TimeAxis

_DECIMAL = {".": "point", ",": "comma"}


def describe(report: Report) -> list[str]:
    """The lines to print for a capture that was read."""
    return [
        f"{report.file}: {_count(report.rows, 'row')}",
        "",
        "Recognised",
        *_indented(_dialect(report.dialect)),
        *_indented(_time(report.time)),
        *_indented(_columns(report.columns, _uses(report))),
        *_section("Left out", [_left_out(each.count, each.why, each.first_line, each.example) for each in report.dropped]),
        *_section("Missing values", [_missing(each) for each in report.missing]),
        *_section("Notes", list(report.notes)),
    ]


def _uses(report: Report) -> dict[int, str]:
    dates = {report.time.date_column: "t"} if report.time.date_column else {}
    return dates | {column.number: name for name, column in report.channels.items()}


def describe_inspection(found: Inspection) -> list[str]:
    """The lines to print for a file that was only looked at."""
    about = "" if found.exact else "about "
    return [
        f"{found.file}: {about}{_count(found.rows, 'row')}",
        "",
        "Recognised",
        *_indented(_dialect(found.dialect)),
        *_indented(_columns(found.columns, {column.number: name for name, column in found.channels.items()})),
        *_section("Open", list(found.questions)),
        *_section("Notes", list(found.notes)),
    ]


def _dialect(dialect: Dialect) -> list[str]:
    lines = [
        f"text: {dialect.encoding}, lines end in {dialect.line_end}" + (", packed with gzip" if dialect.compressed else ""),
        f"columns parted by: {NAMES.get(dialect.delimiter, dialect.delimiter)}; decimal mark: {_DECIMAL[dialect.decimal]}",
        f"labels: {_line(dialect.header_line)}; units: {_units(dialect)}; first row: line {dialect.first_data_line}",
    ]
    above = len(dialect.preamble)
    if above or dialect.comments:
        lines.append(f"above the rows: {_count(dialect.comments, 'comment line')}, {_count(above, 'other line')}")
    return lines


def _line(number: int | None) -> str:
    return "none" if number is None else f"line {number}"


def _units(dialect: Dialect) -> str:
    return "not in a row of their own" if dialect.units_line is None else f"line {dialect.units_line}"


def _time(time: TimeAxis) -> list[str]:
    source = {
        "number": f'time: "{time.column}" in {time.unit}',
        "clock": f'time: "{time.column}", a clock',
        "date and clock": f'time: "{time.column}", a date and a clock',
        "sample rate": "time: from the sample rate given",
        "interval": "time: counted from " + (f'"{time.column}"' if time.column else "the rows"),
    }[time.kind]
    start = f", starts at {time.start}" if time.start else ""
    lines = [f"{source}{start}; {time.duration_s:.6g} s long"]
    if time.interval_s is not None:
        lines.append(f"interval: {_seconds(time.interval_s)}" + ("" if time.regular else ", irregular"))
    if time.gap_count:
        lines.append(f"gaps: {time.gap_count}, about {_count(time.rows_lost, 'row')} lacking; " + _longest(time.gaps))
    return lines


def _longest(gaps: Sequence[Gap]) -> str:
    gap = max(gaps, key=lambda each: each.length_s)
    return f"the longest {_seconds(gap.length_s)} after {gap.start_s:.6g} s (line {gap.line})"


def _seconds(seconds: float) -> str:
    for factor, unit in ((1.0, "s"), (1e-3, "ms"), (1e-6, "µs")):
        if seconds >= 0.9995 * factor:
            return f"{seconds / factor:.4g} {unit}"
    return f"{seconds:.4g} s"


def _columns(columns: Sequence[Column], channels: dict[int, str]) -> list[str]:
    width = max(len(column.name) for column in columns)
    lines = ["columns:"]
    for column in columns:
        unit = f"[{column.unit}]" if column.unit else ""
        use = f"-> {channels[column.number]}" if column.number in channels else "(not used)"
        lines.append(f"  {column.number:2d}  {column.name:<{width}}  {unit:<8} {use}")
    return lines


def _left_out(count: int, why: str, line: int, example: str) -> str:
    return f"{count} x {why}, first in line {line}" + (f': "{example}"' if example else "")


def _missing(missing: Missing) -> str:
    marks = ", ".join(f'"{mark}"' if mark else "empty" for mark in missing.marks)
    return f"{missing.channel}: {missing.count} {missing.why}, first in line {missing.first_line}" + (
        f" ({marks})" if marks else ""
    )


def _section(title: str, lines: Sequence[str]) -> list[str]:
    return ["", title, *_indented(lines)] if lines else []


def _indented(lines: Iterable[str]) -> list[str]:
    return [f"  {line}" for line in lines]


def _count(number: int, noun: str) -> str:
    return f"{number} {noun}" + ("" if number == 1 else "s")
