"""An x-y graph as inline SVG: `layout` turns a `Chart` into places on the paper, the template `plot.svg` draws them.

One unit of the drawing is one millimetre, so that letter heights on paper are known.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from baybook_cards import ticks as tick

if TYPE_CHECKING:
    from baybook.cards.data import Axis, Chart, Series
    from baybook_cards.language import Language

LETTER_WIDTH = 0.58
"""Mean advance of a letter over the font size, a little generous; places labels without loading the font."""
HALF = 0.5
"""Room beside the first and the last of what is counted. What is compared thing by thing stands on zero, so that alike looks
alike."""
DASHES = ("", "3 1.4", "1 1.2", "5 1.2 1 1.2")
MARKS = ("circle", "square", "triangle", "diamond")


class PlotError(ValueError):
    """A chart that can't be drawn: no points, or a value that its scale can't show."""


@dataclass(frozen=True, slots=True)
class Tick:
    """A tick: place along its axis in mm and its label."""

    at: float
    label: str


@dataclass(frozen=True, slots=True)
class Trace:
    """A series on the paper: polygon or polyline points, marks, its ink number and dash."""

    label: str
    style: str
    points: str
    marks: tuple[tuple[float, float], ...]
    mark: str
    ink: int
    dash: str


@dataclass(frozen=True, slots=True)
class Legend:
    """A legend entry under the graph."""

    x: float
    y: float
    trace: Trace


@dataclass(frozen=True, slots=True)
class Plot:
    """Everything the template needs, in millimetres from the upper left corner."""

    title: str
    width: float
    height: float
    left: float
    top: float
    right: float
    bottom: float
    text: float
    x_label: str
    y_label: str
    x_ticks: tuple[Tick, ...]
    y_ticks: tuple[Tick, ...]
    traces: tuple[Trace, ...]
    legend: tuple[Legend, ...]


@dataclass(frozen=True, slots=True)
class _Span:
    """An axis mapped to a stretch of paper from `start` to `end` (mm)."""

    low: float
    high: float
    scale: str
    start: float
    end: float

    def at(self, value: float) -> float:
        if self.scale == "log":
            share = math.log(value / self.low) / math.log(self.high / self.low)
        else:
            share = (value - self.low) / (self.high - self.low)
        return round(self.start + share * (self.end - self.start), 3)


def _axis_range(axis: Axis, values: list[float], title: str, counted: bool = False) -> tuple[float, float]:
    """The range shown: the declared ends, else those of the data, rounded outward; of what is counted, half a place more."""
    finite = [value for value in values if math.isfinite(value)]
    if len(finite) != len(values) or not finite:
        raise PlotError(f"chart {title!r}: {axis.label}: no points, or one that is not a finite number")
    low = axis.low if axis.low is not None else min(finite)
    high = axis.high if axis.high is not None else max(finite)
    if axis.scale == "log" and min(low, *finite) <= 0:
        raise PlotError(f"chart {title!r}: {axis.label}: a logarithmic axis can't show {min(low, *finite):g}")
    wide_low, wide_high = (low - HALF, high + HALF) if counted else tick.widened(low, high, axis.scale)
    return (low if axis.low is not None else wide_low), (high if axis.high is not None else wide_high)


def _ticks(span: _Span, spacing: float, language: Language, counted: bool = False) -> tuple[Tick, ...]:
    count = max(2, int(abs(span.end - span.start) / spacing))
    if counted:
        count = min(count, max(1, int(span.high - span.low)))
    chosen = (tick.log_ticks if span.scale == "log" else tick.linear_ticks)(span.low, span.high, count)
    if span.scale == "log":
        return tuple(Tick(span.at(value), language.number(value, tick.decimals_for([value]))) for value in chosen)
    decimals = tick.decimals_for(chosen)
    return tuple(Tick(span.at(value), language.number(value, decimals)) for value in chosen)


def _outline(series: Series) -> list[tuple[float, float]]:
    forward = list(zip(series.x, series.y, strict=True))
    return forward + list(zip(series.x, series.y_high, strict=True))[::-1] if series.style == "band" else forward


def _trace(series: Series, index: int, x: _Span, y: _Span) -> Trace:
    places = [(x.at(a), y.at(b)) for a, b in _outline(series)]
    return Trace(
        label=series.label,
        style=series.style,
        points=" ".join(f"{a:g},{b:g}" for a, b in places),
        marks=tuple(places) if series.style == "points" else (),
        mark=MARKS[index % len(MARKS)],
        ink=index % len(DASHES),
        dash=DASHES[1] if series.style == "dashed" else DASHES[index % len(DASHES)],
    )


def _legend(traces: list[Trace], left: float, right: float, top: float, text: float) -> tuple[Legend, ...]:
    """Entries set in lines between `left` and `right`, starting at `top`."""
    entries, x, y = [], left, top
    for trace in traces:
        width = 7 + len(trace.label) * text * LETTER_WIDTH + 3
        if x > left and x + width > right:
            x, y = left, y + text * 1.45
        entries.append(Legend(x, round(y, 3), trace))
        x = round(x + width, 3)
    return tuple(entries)


def _counted(chart: Chart) -> bool:
    """Whether the axis across counts things: no unit, and points at whole numbers alone."""
    places = [place for series in chart.series if series.style == "points" for place in series.x]
    return not chart.x.unit and chart.x.scale == "linear" and bool(places) and all(place == int(place) for place in places)


def _with_unit(axis: Axis) -> str:
    return f"{axis.label} ({axis.unit})" if axis.unit else axis.label


def height_of(width: float, text: float) -> float:
    """Height in mm of a chart that is `width` mm wide, with letters of font size `text` mm."""
    return round(min(width * 0.5, 80) + text * 3, 3)


def layout(chart: Chart, width: float, height: float, text: float, language: Language) -> Plot:
    """Place `chart` on `width` by `height` mm with letters of font size `text` mm.

    Raises `PlotError` when there is nothing to draw or a logarithmic axis meets a value of zero or less.
    """
    counted = _counted(chart)
    placed = [s for s in chart.series if s.style == "points"] if counted else chart.series
    x_range = _axis_range(chart.x, [v for s in placed for v in s.x], chart.title, counted)
    y_values = [v for s in chart.series for v in (*s.y, *s.y_high)]
    y_range = _axis_range(chart.y, [*y_values, 0.0] if counted and chart.y.scale == "linear" else y_values, chart.title)
    named = [series for series in chart.series if series.label]
    lines = len({entry.y for entry in _legend([_trace_stub(series) for series in named], 0, width, 0, text)}) if named else 0
    top = round(text * 2.1, 3)
    bottom = round(height - text * (2.9 + 1.45 * lines) - 0.6, 3)
    y = _Span(*y_range, chart.y.scale, bottom, top)
    y_ticks = _ticks(y, text * 2.2, language)
    left = round(max(len(t.label) for t in y_ticks) * text * LETTER_WIDTH + 2.2, 3)
    last = len(_ticks(_Span(*x_range, chart.x.scale, left, width), text * 4, language, counted)[-1].label)
    right = round(width - max(1.0, last * text * LETTER_WIDTH / 2), 3)
    x = _Span(*x_range, chart.x.scale, left, right)
    traces = [_trace(series, index, x, y) for index, series in enumerate(chart.series)]
    shown = [trace for trace in traces if trace.label]
    return Plot(
        title=chart.title,
        width=width,
        height=height,
        left=left,
        top=top,
        right=right,
        bottom=bottom,
        text=text,
        x_label=_with_unit(chart.x),
        y_label=_with_unit(chart.y),
        x_ticks=_ticks(x, text * 4, language, counted),
        y_ticks=y_ticks,
        traces=tuple(traces),
        legend=_legend(shown, 0, width, bottom + text * 3.9, text),
    )


def _trace_stub(series: Series) -> Trace:
    return Trace(series.label, series.style, "", (), "circle", 0, "")
