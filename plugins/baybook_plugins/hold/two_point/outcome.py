"""The result of two readings."""

from __future__ import annotations

from baybook.api import Message, Reading, Result

from ..inputs.rail import Rail, pair
from ..inputs.wanted import Wanted
from ..result.outcome import Seen, outcome
from ..result.steps import MiddleValues
from .estimate import estimate
from .readings import TwoReadings

NO_LAW = Message("Two readings cannot tell the law of the leak. A capture, or a temperature at the end, narrows the interval.")


def from_two(start: Reading, end: Reading, time: Reading, rail: Rail, wanted: Wanted) -> Result:
    """The leak from a first and a last reading. Raises InputError for a fuel that cannot be used."""
    fuel = rail.fuel_model()
    reference, _, after = wanted.in_units()
    readings = TwoReadings(
        start=pair(start, "MPa"),
        end=pair(end, "MPa"),
        time=pair(time, "s"),
        reference=reference,
        after=after,
        **rail.in_units(),
    )
    found = estimate(readings, fuel)
    (first, _), (last, _) = readings.start, readings.end
    seen = Seen(
        outputs={"law": "unknown"},
        mean=found.mean_pressure,
        end=last,
        fell=last < first,
        leaks=found.leak_at_line.low > 0.0,
        tight=False,
        doubts=(),
        notes=(NO_LAW,),
        middle=MiddleValues(first, last, readings.time[0], found.cooling_pressure_drop.value),
        flows=last > readings.back_pressure[0],
        read_after=readings.time[0],
    )
    return outcome(found, rail, wanted, fuel, seen)
