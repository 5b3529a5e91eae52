"""Leak against pressure drop of a shut rail, worked out by the calculator `hold` point by point."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from baybook.cards.data import Axis, Card, Cell, Chart, Number, Section, Series, Table
from baybook.result import Result
from baybook.running import calculate
from baybook_cards.general.common import JET, PRACTICE, RUNNING, number

VOLUMES = (15, 25, 40)
"""Rail, pipes and sensor together, in mL: a spread of usual ones (common practice, no source)."""
DROPS = (5, 10, 20, 50, 100, 150, 200)
"""Pressure drops in bar."""
START, SECONDS, TEMPERATURE = 350, 30, 40
"""Where the blank chart starts (bar), how long it waits (s), how warm the rail is (°C)."""


def leak(volume: float, drop: float, start: float, seconds: float, fuel: str) -> float:
    """Leak in mL/min, as collected, of a rail that falls from `start` by `drop` bar in `seconds`, without cooling."""
    result: Result = calculate(
        "hold", volume=f"{volume:g} ± 0 mL", start=f"{start:g} ± 0 bar", end=f"{start - drop:g} ± 0 bar",
        time=f"{seconds:g} ± 0 s", temperature=f"{TEMPERATURE} ± 0 °C", fuel=fuel, heat="none",
    )  # fmt: skip
    return result["leak_collected"].to("mL/min").value


def known_of(inputs: Mapping[str, Any]) -> dict[str, float | str]:
    """What `card` takes, from the inputs of `hold`: readings, and the fuel's name."""
    units = {"volume": "mL", "start": "bar", "time": "s"}
    found: dict[str, float | str] = {name: inputs[name].number(unit) for name, unit in units.items() if name in inputs}
    return found | ({"fuel": str(inputs["fuel"])} if "fuel" in inputs else {})


def card(known: Mapping[str, float | str] | None = None) -> Card:
    """The chart; `known` may hold this vehicle's `volume` (mL), `start` (bar), `time` (s) and `fuel`."""
    given = dict(known or {})
    volumes = (float(given["volume"]),) if "volume" in given else VOLUMES
    start, seconds = float(given.get("start", START)), float(given.get("time", SECONDS))
    fuel = str(given.get("fuel", "diesel"))
    drops = [drop for drop in DROPS if drop < start]
    leaks = {volume: [leak(volume, drop, start, seconds, fuel) for drop in drops] for volume in volumes}
    chart = Chart(
        f"Leak as collected, from {start:g} bar, in {seconds:g} s",
        Axis("pressure drop", "bar", low=0),
        Axis("leak", "mL/min", low=0),
        tuple(Series(f"{v:g} mL", (0.0, *map(float, drops)), (0.0, *leaks[v])) for v in volumes),
        priority=2,
    )
    few = [(drop, amount) for drop, amount in zip(drops, leaks[volumes[0]], strict=True) if drop in (20, 50, 100)]
    in_short = Section(
        f"Leak as collected, from {start:g} bar, in {seconds:g} s",
        short=tuple(f"{volumes[0]:g} mL, {drop} bar less: {amount:.2g} mL/min" for drop, amount in few),
        priority=1,
    )
    rows: list[tuple[Cell, ...]] = []
    for index, drop in enumerate(drops):
        rows.append((Number(drop, 0, "bar"), *(Number(leaks[volume][index], 3) for volume in volumes)))
    table = Table("In numbers, mL/min", ("drop", *(number(volume, "mL") for volume in volumes)), tuple(rows), priority=3)
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
