"""Graphs and ladders of a card, as numbers."""

from __future__ import annotations

from dataclasses import dataclass
from math import isfinite
from typing import TYPE_CHECKING, Literal

from baybook.cautions import CardDataError

if TYPE_CHECKING:
    from baybook.result import Plot

Scale = Literal["linear", "log"]
SeriesStyle = Literal["line", "points", "band", "dashed"]
Priority = Literal[1, 2, 3, 4]
"""1 goes on every size, 2 down to A6, 3 down to A5, 4 on A4 alone."""


@dataclass(frozen=True, slots=True)
class Axis:
    """An axis: label, unit, scale, and the range shown (`None`: from the data)."""

    label: str
    unit: str = ""
    scale: Scale = "linear"
    low: float | None = None
    high: float | None = None


@dataclass(frozen=True, slots=True)
class Series:
    """Points of a chart. A `band` lies between `y` and `y_high`; the others use `y` alone. All the same length."""

    label: str
    x: tuple[float, ...]
    y: tuple[float, ...]
    style: SeriesStyle = "line"
    y_high: tuple[float, ...] = ()

    def __post_init__(self) -> None:
        if len(self.x) != len(self.y):
            raise CardDataError(f"series {self.label!r}: {len(self.x)} x values and {len(self.y)} y values")
        if not all(isfinite(number) for numbers in (self.x, self.y, self.y_high) for number in numbers):
            raise CardDataError(f"series {self.label!r}: a number is not finite")
        if self.style == "band" and len(self.y_high) != len(self.x):
            raise CardDataError(f"series {self.label!r}: a band needs one upper value for each x")


@dataclass(frozen=True, slots=True)
class Chart:
    """A graph made of numbers that a calculator gave."""

    title: str
    x: Axis
    y: Axis
    series: tuple[Series, ...]
    note: str = ""
    priority: Priority = 3

    @classmethod
    def from_plot(cls, plot: Plot) -> Chart:
        """What a calculator drew. Raises CardDataError where x and y are not of one length."""
        series = tuple(Series(s.label, tuple(s.x), tuple(s.y), s.style, tuple(s.y2)) for s in plot.series)
        return cls(plot.title, Axis(plot.x_label, plot.x_unit), Axis(plot.y_label, plot.y_unit), series)


@dataclass(frozen=True, slots=True)
class Rung:
    """One scale of a ladder: `factor` is how many of its units make one unit of the first scale."""

    unit: str
    factor: float


@dataclass(frozen=True, slots=True)
class Ladder:
    """Unit scales side by side on one common length, so that a level line converts; `low` to `high` in the first unit."""

    title: str
    rungs: tuple[Rung, ...]
    low: float
    high: float
    scale: Scale = "log"
    note: str = ""
    priority: Priority = 2

    def __post_init__(self) -> None:
        if not self.low < self.high or (self.scale == "log" and self.low <= 0):
            raise CardDataError(f"ladder {self.title!r}: can't run from {self.low} to {self.high}")
