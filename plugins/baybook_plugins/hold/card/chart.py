"""The chart of the hold card: the leak over the fall of pressure, worked out by the calculator point by point."""

from __future__ import annotations

from functools import lru_cache

from baybook.api import Calculator, InputError, Known, Message, Plot, Reading, Series

TITLE = "Leaks at most, as collected, from {start} bar, in {seconds} s"
LINE = "{volume} mL"

VOLUMES = (15.0, 25.0, 40.0)
"""Rail, pipes and sensor together, in mL, where they are not known: a spread of usual ones (common practice, no source)."""
DROPS = (5.0, 10.0, 20.0, 50.0, 100.0, 150.0, 200.0)
"""Falls of pressure in bar."""
START = 350.0
"""Where the pressure starts in bar, where that is not known: about what is left after idling (common practice, no source)."""


def charts(known: Known) -> tuple[Plot, ...]:
    """The most that can leak, as collected, for this volume, start, time and fuel where known: all of the fall taken for leak,
    as if nothing cooled, and exact readings. Cooling may be all of a small fall; the calculator takes it off.

    None for a start beyond the fuel model. Raises InputError for a fuel that cannot be used.
    """
    volumes = (known["volume"].number("mL"),) if "volume" in known else VOLUMES
    start = known["start"].number("bar") if "start" in known else START
    seconds, fuel = known.taken("time").number("s"), known.taken("fuel")
    drops = [drop for drop in DROPS if drop < start] or [start * share for share in (0.1, 0.2, 0.5)]
    try:
        leaks = [[leak(known.calculator, volume, drop, start, fuel) * HOUR / seconds for drop in drops] for volume in volumes]
    except InputError as error:
        if any(problem.input != "start" for problem in error.problems):
            raise
        return ()
    lines = [
        Series(Message(LINE, volume=volume), (0.0, *drops), (0.0, *found)) for volume, found in zip(volumes, leaks, strict=True)
    ]
    title = Message(TITLE, start=start, seconds=seconds)
    return (Plot(title, "pressure drop", "bar", "leak at most", "mL/min", tuple(lines)),)


HOUR = 3600.0
"""s, in which all of the cooling by expansion is made good; in a shorter time more leaks by the ratio of the times."""


@lru_cache(maxsize=256)
def leak(hold: Calculator, volume: float, drop: float, start: float, fuel: str) -> float:
    """Leak in mL/min of a rail that falls from `start` by `drop` bar in an hour, as warm as the calculator takes it."""
    exact = {"volume": (volume, "mL"), "start": (start, "bar"), "end": (start - drop, "bar"), "time": (HOUR, "s")}
    readings = {name: Reading.of(value, unit) for name, (value, unit) in exact.items()}
    warm = hold.taken("temperature", {})
    result = hold(**readings, temperature=Reading.of(warm.number("°C"), "°C", kind="temperature"), fuel=fuel, heat="none")
    return result["leak_collected"].to("mL/min").value
