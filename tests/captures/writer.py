"""Writes one recording in any dialect, so that what is read back can be compared with what was meant."""

from __future__ import annotations

import gzip
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

RAIL, COOLANT = "Rail pressure", "Kühlmittel"


@dataclass(frozen=True)
class Dialect:
    """How to write. time: s, ms, us, clock, dated or none; units: [], (), row, option or ending; mark: for a missing value."""

    delimiter: str = ","
    decimal: str = "."
    encoding: str = "utf-8"
    bom: bool = False
    newline: str = "\n"
    time: str = "s"
    units: str = "[]"
    comments: str = ""
    preamble: bool = False
    mark: str = ""
    packed: bool = False
    last_newline: bool = True
    blank_lines: bool = False
    trailing_delimiter: bool = False
    trimmed: bool = False  # no zeros at the end of a number


@dataclass(frozen=True)
class Recording:
    """Whole numbers: time in ms, rail in hundredths of a bar (None where missing), coolant in tenths of a degree."""

    ms: Sequence[int]
    rail: Sequence[int | None]
    coolant: Sequence[int]


def write(path: Path, recording: Recording, dialect: Dialect) -> Path:
    """The recording as a file."""
    lines = [*_above(dialect), *_header(dialect)]
    for row, (ms, rail, coolant) in enumerate(zip(recording.ms, recording.rail, recording.coolant, strict=True)):
        pressure = dialect.mark if rail is None else _trim(_decimals(rail, 2, dialect), dialect)
        time = [] if dialect.time == "none" else [_time(ms, dialect)]
        lines.append(_join([*time, pressure, _trim(_decimals(coolant, 1, dialect), dialect)], dialect))
        if dialect.blank_lines and row % 3 == 1:
            lines.append("")
    text = dialect.newline.join(lines) + (dialect.newline if dialect.last_newline else "")
    data = text.encode(dialect.encoding)
    if dialect.bom:
        data = "\ufeff".encode(dialect.encoding) + data
    path.write_bytes(gzip.compress(data) if dialect.packed else data)
    return path


def _above(dialect: Dialect) -> list[str]:
    lines = [f"{dialect.comments} workshop recorder, 3 channels"] if dialect.comments else []
    if dialect.preamble:
        lines += [_join(["Model", "bench recorder"], dialect), _join(["Record length", "2500"], dialect), ""]
    return lines


def _header(dialect: Dialect) -> list[str]:
    unit = {"s": "s", "ms": "ms", "us": "µs"}.get(dialect.time, "")
    labels = [("Zeit", unit), (RAIL, "bar"), (COOLANT, "°C")]
    if dialect.time == "none":
        labels = labels[1:]
    if dialect.units == "row":
        return [_join([label for label, _ in labels], dialect), _join([unit for _, unit in labels], dialect)]
    styles = {"[]": "{} [{}]", "()": "{} ({})", "ending": "{} / {}", "option": "{}"}
    return [_join([styles[dialect.units].format(label, unit) if unit else label for label, unit in labels], dialect)]


def _join(cells: Sequence[str], dialect: Dialect) -> str:
    quoted = [f'"{cell}"' if dialect.delimiter in cell else cell for cell in cells]
    return dialect.delimiter.join(quoted) + (dialect.delimiter if dialect.trailing_delimiter else "")


def _decimals(number: int, places: int, dialect: Dialect) -> str:
    sign, number = ("-" if number < 0 else ""), abs(number)
    return f"{sign}{number // 10**places}{dialect.decimal}{number % 10**places:0{places}d}"


def _trim(number: str, dialect: Dialect) -> str:
    return number.rstrip("0").rstrip(dialect.decimal) if dialect.trimmed else number


def _time(ms: int, dialect: Dialect) -> str:
    if dialect.time == "ms":
        return _decimals(ms * 10, 1, dialect)
    if dialect.time == "us":
        return str(ms * 1000)
    if dialect.time in ("clock", "dated"):
        days, rest = divmod(ms, 86_400_000)
        seconds, ms = divmod(rest, 1000)
        clock = f"{seconds // 3600:02d}:{seconds // 60 % 60:02d}:{seconds % 60:02d}{dialect.decimal}{ms:03d}"
        return clock if dialect.time == "clock" else f"2024-02-{28 + days:02d} {clock}"
    return _decimals(ms * 10, 4, dialect)
