"""The chart of the hold card: the leak over the fall of pressure, worked out by the calculator point by point."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache
from typing import Any

from baybook.api import InputError, Plot, Series

VOLUMES = (15.0, 25.0, 40.0)
"""Rail, pipes and sensor together, in mL, where they are not known: a spread of usual ones (common practice, no source)."""
DROPS = (5.0, 10.0, 20.0, 50.0, 100.0, 150.0, 200.0)
"""Falls of pressure in bar."""
START, SECONDS, TEMPERATURE = 350.0, 30.0, 40
"""Where the pressure starts (bar) and how long it falls (s) where that is not known, and how warm the rail is (°C)."""


def charts(known: Mapping[str, Any]) -> tuple[Plot, ...]:
    """The leak as collected, for this volume, start, time and fuel where they are known; exact readings, no cooling.

    None for a start beyond the fuel model. Raises InputError for a fuel that cannot be used.
    """
    volumes = (known["volume"].number("mL"),) if "volume" in known else VOLUMES
    start = known["start"].number("bar") if "start" in known else START
    seconds = known["time"].number("s") if "time" in known else SECONDS
    drops = [drop for drop in DROPS if drop < start] or [start * share for share in (0.1, 0.2, 0.5)]
    fuel = known.get("fuel", "diesel")
    try:
        leaks = [[leak(volume, drop, start, seconds, fuel) for drop in drops] for volume in volumes]
    except InputError as error:
        if any(problem.input != "start" for problem in error.problems):
            raise
        return ()
    lines = [
        Series(f"{volume:g} mL", (0.0, *drops), (0.0, *found))
        for volume, found in zip(volumes, leaks, strict=True)
    ]
    title = f"Leak as collected, from {start:g} bar, in {seconds:g} s"
    return (Plot(title, "pressure drop", "bar", "leak", "mL/min", tuple(lines)),)


@lru_cache(maxsize=256)
def leak(volume: float, drop: float, start: float, seconds: float, fuel: str) -> float:
    """Leak in mL/min of a rail that falls from `start` by `drop` bar in `seconds`."""
    from .calculator import hold

    result = hold(
        volume=f"{volume:g} ± 0 mL", start=f"{start:g} ± 0 bar", end=f"{start - drop:g} ± 0 bar", time=f"{seconds:g} ± 0 s",
        temperature=f"{TEMPERATURE} ± 0 °C", fuel=fuel, heat="none",
    )  # fmt: skip
    return result["leak_collected"].to("mL/min").value
