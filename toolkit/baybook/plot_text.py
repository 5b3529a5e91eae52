"""A plot in a terminal, of plain letters that every encoding has. Imported only where one is asked for."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from .columns import width, wrap
from .language import ENGLISH
from .message import Message

if TYPE_CHECKING:
    from .language import Language
    from .result import Plot, Series

ROWS = 12
"""Lines of the graph itself: with its axes and the answer behind it, one screen."""
MARKS = ".*o+x#"
"""By series, in order; the later lies over the earlier."""
BAND = ":"
ORDER = ("band", "line", "points")
"""What is drawn first lies below."""
Span = tuple[float, float]


def plot_lines(plot: Plot, language: Language = ENGLISH, rows: int = ROWS) -> list[str]:
    """Title with the unit, the graph between its axes, and what each letter means."""
    xs = _span(value for series in plot.series for value in series.x)
    ys = _span(value for series in plot.series for value in (*series.y, *series.y2))
    title = f"{_said(plot.title, language)}: {_said(plot.y_label, language)} ({plot.y_unit})"
    if xs is None or ys is None:
        return [*wrap(title), f"  {language.text('no numbers to draw')}"]
    marks = _marks(plot.series)
    labels = _row_labels(ys, rows, language)
    columns = width() - len(labels[0]) - 4
    cells = [[" "] * columns for _ in range(rows)]
    for series, mark in sorted(zip(plot.series, marks, strict=True), key=lambda pair: ORDER.index(pair[0].style)):
        _draw(cells, series, mark, xs, ys)
    graph = [f"  {label}|{''.join(row).rstrip()}" for label, row in zip(labels, cells, strict=True)]
    start = " " * (len(labels[0]) + 2)
    left, right = (language.figures(f"{end:.4g}") for end in xs)
    right = f"{right} {plot.x_unit}".rstrip()
    key = ", ".join(f"{mark} {_said(series.label, language)}" for series, mark in zip(plot.series, marks, strict=True))
    return [
        *wrap(title), *graph, f"{start}+{'-' * columns}", f"{start} {left}{right.rjust(columns - len(left))}".rstrip(),
        *wrap(f"{_said(plot.x_label, language)}; {key}", start, start),
    ]  # fmt: skip


def _said(text: str, language: Language) -> str:
    return Message.of(text).text(language)


def _marks(series: Sequence[Series]) -> list[str]:
    """A letter for each: bands have their own, the others one after the other."""
    own = iter(MARKS * len(series))
    return [BAND if one.style == "band" else next(own) for one in series]


def _span(values: Iterator[float]) -> Span | None:
    """Smallest and largest, a little apart where they are one; None where there are no numbers."""
    found = list(values)
    if not found:
        return None
    low, high = min(found), max(found)
    return (low, high) if high > low else (low - (abs(low) * 0.05 or 1.0), high + (abs(high) * 0.05 or 1.0))


def _row_labels(ys: Span, rows: int, language: Language) -> list[str]:
    """What stands before the rows: the values of the top, the middle and the bottom one."""
    step = (ys[1] - ys[0]) / (rows - 1)
    digits = max(3, math.ceil(math.log10(max(abs(ys[0]), abs(ys[1])) / (ys[1] - ys[0]))) + 3)
    told = {row: language.figures(f"{ys[1] - row * step:.{digits}g}") for row in (0, rows // 2, rows - 1)}
    longest = max(map(len, told.values()))
    return [told.get(row, "").rjust(longest) + " " for row in range(rows)]


def _draw(cells: list[list[str]], series: Series, mark: str, xs: Span, ys: Span) -> None:
    if series.style == "band":
        for column, low in _course(series.x, series.y, xs, len(cells[0])):
            high = dict(_course(series.x, series.y2, xs, len(cells[0]))).get(column, low)
            for row in range(_row(high, ys, len(cells)), _row(low, ys, len(cells)) + 1):
                cells[row][column] = mark
        return
    course = _course(series.x, series.y, xs, len(cells[0])) if series.style == "line" else _points(series, xs, len(cells[0]))
    for column, value in course:
        cells[_row(value, ys, len(cells))][column] = mark


def _row(value: float, ys: Span, rows: int) -> int:
    return min(max(round((ys[1] - value) / (ys[1] - ys[0]) * (rows - 1)), 0), rows - 1)


def _column(value: float, xs: Span, columns: int) -> int:
    return min(max(round((value - xs[0]) / (xs[1] - xs[0]) * (columns - 1)), 0), columns - 1)


def _points(series: Series, xs: Span, columns: int) -> Iterator[tuple[int, float]]:
    for x, y in zip(series.x, series.y, strict=False):
        yield _column(x, xs, columns), y


def _course(x: Sequence[float], y: Sequence[float], xs: Span, columns: int) -> Iterator[tuple[int, float]]:
    """A line's values in each column from one of its points to the next."""
    before: tuple[int, float] | None = None
    for at, value in zip(x, y, strict=False):
        column = _column(at, xs, columns)
        if before is not None and abs(column - before[0]) > 1:
            first, start = before
            for between in range(min(first, column) + 1, max(first, column)):
                yield between, start + (value - start) * (between - first) / (column - first)
        yield column, value
        before = (column, value)
