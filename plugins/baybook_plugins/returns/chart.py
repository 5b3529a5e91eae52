"""The chart of the returns card: one injector against the median of the others."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from baybook.api import Plot, Series
from baybook_physics.comparison import medians_of_others

SHARES = (100.0, 150.0, 200.0)
"""Lines in % where no limit is known: equal, half as much again, twice."""
LARGEST = 100.0
"""Where the chart ends in mL without readings: a usual cylinder (common practice, no source)."""


def charts(known: Mapping[str, Any]) -> tuple[Plot, ...]:
    """Lines of equal ratio, the limit's where it is known, and each injector's point where its volume is."""
    volumes = [reading.number("mL") for reading in known.get("volumes", ()) if reading is not None and not reading.bound]
    medians = medians_of_others(volumes) if len(volumes) > 2 else []
    limit = known["median_limit"].to("%") if "median_limit" in known else None
    shares = [share for share in (limit.low, limit.high) if share is not None] if limit else list(SHARES)
    end = 1.2 * max(medians) if any(medians) else LARGEST
    lines = [Series(f"{share:g} %", (0.0, end), (0.0, end * share / 100)) for share in shares]
    points = [Series("each injector", medians, volumes, "points")] if medians else []
    title = "One injector against the median of the others"
    return (Plot(title, "median of the others", "mL", "this injector", "mL", (*lines, *points)),)
