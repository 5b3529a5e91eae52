"""Leak against pressure drop of a shut rail, worked out by the calculator `hold` point by point."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from baybook.cards.build import charts_of
from baybook.cards.data import Card, Cell, Number, Section, Table
from baybook.registry import registry
from baybook_cards.general.common import JET, PRACTICE, RUNNING, number


def known_of(inputs: Mapping[str, Any]) -> dict[str, Any]:
    """What `card` takes, from the inputs of `hold`: readings, and the fuel's name."""
    return {name: inputs[name] for name in ("volume", "start", "time", "fuel") if name in inputs}


def card(known: Mapping[str, Any] | None = None) -> Card:
    """The chart; `known` may hold this vehicle's `volume`, `start` and `time` as readings, and `fuel`.

    A start that the fuel model does not reach is left out.
    """
    hold, given = registry().calculator("hold"), dict(known or {})
    found = charts_of(hold, given) or charts_of(hold, {name: value for name, value in given.items() if name != "start"})
    chart = replace(found[0], priority=2)
    drops, first = chart.series[0].x[1:], chart.series[0]
    points = list(zip(first.x, first.y, strict=True))[1:]
    few = [(drop, leak) for drop, leak in points if drop in (20, 50, 100)] or points
    in_short = Section(
        chart.title,
        short=tuple(f"{first.label}, {drop:g} bar less: {leak:.2g} mL/min" for drop, leak in few),
        priority=1,
    )
    rows: list[tuple[Cell, ...]] = [
        (number(drop, "bar"), *(Number(line.y[place], 3) for line in chart.series)) for place, drop in enumerate(drops, 1)
    ]
    table = Table("In numbers, mL/min", ("drop", *(line.label for line in chart.series)), tuple(rows), priority=3)
    return Card(
        name="leak-chart",
        title="Shut rail: leak against pressure drop",
        stage="storage",
        side="hydraulic",
        cautions=(JET, RUNNING),
        proves="How much the whole shut high-pressure side loses; not where.",
        front=(chart, READ),
        back=(in_short, table, MIND),
        sources=("Worked out by the calculator hold with its fuel model, no cooling, exact readings", PRACTICE),
        limits_origin="none on this card; the largest leak allowed comes from the data for this vehicle",
        command="baybook hold --ask",
    )


READ = Section(
    "How to read it",
    items=(
        "Find the volume of rail, pipes and sensor; go across to the pressure drop, up to the line.",
        "Twice the time for the same drop: half the leak.",
        "The chart knows no uncertainty: for a verdict use the calculator.",
    ),
    priority=3,
)
MIND = Section(
    "Mind",
    items=(
        "Fuel that cools makes pressure fall without any leak: let the rail settle, read its temperature.",
        "Air in the fuel makes the same leak look smaller.",
        "The first seconds hold waves: start to count when the reading is steady.",
    ),
    priority=3,
)
