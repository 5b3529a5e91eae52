"""The most that a shut rail leaks for a drop of pressure, worked out by the calculator `hold` point by point, no cooling."""

from __future__ import annotations

from typing import Any

from baybook.api import HIGH_PRESSURE, RUNNING_ENGINE, Known, Message
from baybook.cards.data import Card, Cell, Chart, Number, Section, Table
from baybook.dataclass import replace

from ..calculator import hold
from .chart import charts

SHORT = "{volume}, {drop} bar less: at most {leak} mL/min"
UPPER_BOUND = Section(
    "At most",
    "At most this leaks, as if nothing cooled. Part of every fall is cooling, and of a small fall all of it may be.",
    priority=2,
    large=True,
)


def card(**inputs: Any) -> Card:
    """The chart, for this vehicle's `volume`, `start`, `time` and `fuel` where the calculator's inputs hold them.

    A start that the fuel model does not reach is left out. Raises what the calculator's chart raises.
    """
    known = Known(hold, {name: inputs[name] for name in ("volume", "start", "time", "fuel") if name in inputs})
    plot = (charts(known) or charts(Known(hold, {name: value for name, value in known.items() if name != "start"})))[0]
    chart = replace(Chart.from_plot(plot), priority=2)
    drops, first = chart.series[0].x[1:], chart.series[0]
    points = list(zip(first.x, first.y, strict=True))[1:]
    few = [(drop, leak) for drop, leak in points if drop in (20, 50, 100)] or points
    in_short = Section(
        chart.title,
        short=tuple(Message(SHORT, volume=first.label, drop=drop, leak=float(f"{leak:.2g}")) for drop, leak in few),
        priority=1,
    )
    rows: list[tuple[Cell, ...]] = [
        (Number.plain(drop, "bar"), *(Number(line.y[place], 3) for line in chart.series)) for place, drop in enumerate(drops, 1)
    ]
    heads = ("drop", *(line.label for line in chart.series))
    table = Table(Message("{title}, in mL/min", title=plot.title), heads, tuple(rows), priority=3)
    return Card(
        name="leak-chart",
        title="Shut rail: the most that it leaks, from the pressure drop",
        stage="storage",
        side="hydraulic",
        cautions=(HIGH_PRESSURE, RUNNING_ENGINE),
        proves="How much the whole shut high-pressure side loses at most; not where, and not how much of it cooled.",
        front=(UPPER_BOUND, chart, READ),
        back=(in_short, table, MIND),
        sources=(
            "Worked out by the calculator hold with its fuel model, no cooling, exact readings",
            "Common practice, no source",
        ),
        limits_origin="none on this card; the largest leak allowed comes from the data for this vehicle",
        command="baybook hold --ask",
        catalogue="baybook_plugins.hold",
    )


READ = Section(
    "How to read it",
    items=(
        "From the pressure drop up to the line of your volume (rail, pipes and sensor), then left to the leak.",
        "Twice the time for the same drop: half the leak.",
        "The chart knows no uncertainty: for a verdict use the calculator.",
    ),
    priority=3,
)
MIND = Section(
    "Mind",
    items=(
        "Only where the data say that the rail stays shut after the stop.",
        "Fuel that cools makes pressure fall without any leak: a thermometer fixed at proven zero, read from a distance.",
        "Air in the fuel makes the same leak look smaller.",
        "The first seconds hold waves: start to count when the reading is steady.",
    ),
    priority=2,
)
