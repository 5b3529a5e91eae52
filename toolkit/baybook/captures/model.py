"""What a capture is, and what was found out while it was read. Plain data: no numerical library loads with it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from ..dataclass import dataclass
from ..errors import InputError, Refused

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from ..kinds import Kind
    from ..units import Unit

    Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Column:
    """One column of the file: its `number` from 1, the label without its unit, the unit as written, and where that stood."""

    number: int
    label: str
    unit: str = ""
    unit_from: str = ""  # "brackets", "units row", "end of label", "option" or ""
    header: str = ""  # the header cell as it stands in the file

    @property
    def name(self) -> str:
        """What a person calls it: the label, or "column 3" where there is none."""
        return self.label or f"column {self.number}"


@dataclass(frozen=True)
class Dialect:
    """How the file is written. Line numbers count from 1; None where there is no such line."""

    encoding: str
    compressed: bool
    delimiter: str  # "" for a single column, " " for any run of blanks
    decimal: str
    line_end: str
    header_line: int | None
    units_line: int | None
    first_data_line: int
    preamble: tuple[str, ...] = ()
    comments: int = 0


@dataclass(frozen=True)
class Dropped:
    """Lines or rows that were left out, and why; `first_line` is where the first stood."""

    why: str
    count: int
    first_line: int
    example: str = ""


@dataclass(frozen=True)
class Missing:
    """Cells of a channel without a usable number. `marks` are the texts that stood there, the commonest first."""

    channel: str
    count: int
    first_line: int
    why: str = "missing"  # or "over range", "unreadable"
    marks: tuple[str, ...] = ()


@dataclass(frozen=True)
class Gap:
    """A hole in the recording: where it starts (s from the first row), how long, and about how many rows it lacks."""

    start_s: float
    length_s: float
    rows: int
    line: int


@dataclass(frozen=True)
class TimeAxis:
    """Where the time comes from. Times in seconds.

    kind: "number", "clock", "date and clock", "sample rate", or "interval" where the file itself states that of its rows.
    """

    kind: str
    column: str
    unit: str
    start: str  # as the file writes it
    start_offset_s: float
    duration_s: float
    interval_s: float | None  # median; None for a single row
    regular: bool
    gap_count: int = 0
    gaps: tuple[Gap, ...] = ()  # the longest few, in the order of time
    rows_lost: int = 0
    date_column: int | None = None  # number of the column of dates beside the clock


@dataclass(frozen=True)
class Report:
    """What was recognised (`dialect`, `columns`, `channels`, `time`), what was left out (`dropped`, `missing`), and `notes`."""

    file: str
    dialect: Dialect
    columns: tuple[Column, ...]
    channels: Mapping[str, Column]
    rows: int
    time: TimeAxis
    dropped: tuple[Dropped, ...] = ()
    missing: tuple[Missing, ...] = ()
    notes: tuple[str, ...] = ()

    def to_dict(self) -> dict[str, Any]:
        """The same for JSON."""
        from dataclasses import asdict

        return asdict(self)


@dataclass(frozen=True, eq=False)
class Channel:
    """A recorded signal: `values` of shape (n,), NaN where missing, in `unit`, of a `kind`, both as a reading has them.

    Both are None where the file gives no unit that is known; `written` is what it gives.
    """

    name: str
    label: str
    unit: Unit | None
    kind: Kind | None
    values: Floats
    written: str = ""

    @property
    def reference(self) -> str:
        """ "gauge" or "absolute" where the file says so of a pressure, else ""."""
        return self.kind.reference if self.kind else ""

    @property
    def symbol(self) -> str:
        """The unit's symbol, or what the file has for one."""
        return self.unit.symbol if self.unit else self.written

    def to(self, symbol: str) -> Floats:
        """The values in another unit of the same family, shape (n,); differences are converted as differences.

        Raises InputError where the units do not fit, or a gauge pressure is asked for as an absolute one or the other way.
        """
        from ..reading import find_unit
        from ..units import convert

        if self.unit is None or self.kind is None:
            raise InputError.one(
                self.name, self.written or None, "has no unit that is known", f"give it: --channel-unit {self.name}=…"
            )
        try:
            target, reference = find_unit(symbol, self.unit.family)
        except Refused as refused:
            raise InputError.one(self.name, self.symbol, refused.why, refused.hint) from refused
        if target.family != self.unit.family:
            raise InputError.one(
                self.name, self.symbol, f"is a unit of {self.unit.family}, not of {target.family}", "ask for " + self.kind.name
            )
        if reference and reference != self.reference:
            raise InputError.one(self.name, self.symbol, f"is not said to be {reference}", f"ask for {self.kind.name}")
        if target is self.unit:
            return self.values
        # as units.convert, for all at once
        zero = convert(0.0, self.unit, target)
        return self.values * (self.unit.factor / target.factor) + zero

    def gauge(self, symbol: str) -> Floats:
        """The same of a pressure above ambient: one that was logged as absolute is less by a standard atmosphere.

        Raises InputError as `to` does.
        """
        from ..units import convert, find

        ambient = convert(1.0, find("atm"), find(symbol)) if self.reference == "absolute" else 0.0
        return self.to(symbol) - ambient


@dataclass(frozen=True, eq=False)
class Capture:
    """A recording: `time` of shape (n,) in s from its first row, rising; its channels by name; and the report.

    start_offset_s is what the file's own clock showed at the first row, in s.
    """

    time: Floats
    start_offset_s: float
    channels: Mapping[str, Channel]
    report: Report

    def channel(self, name: str) -> Channel:
        """The channel of this name. Raises InputError naming the columns that could be it."""
        if name in self.channels:
            return self.channels[name]
        columns = ", ".join(f'"{column.name}"' for column in self.report.columns)
        raise InputError.one(
            name,
            None,
            f"no column of {self.report.file} is known to be it",
            f'say which: --column {name}="…" with one of {columns}',
        )

    def to_dict(self) -> dict[str, Any]:
        """The report for JSON."""
        return self.report.to_dict()
