"""The result of two readings, or of the two ends of a fall that was over before its record was."""

from __future__ import annotations

from typing import NamedTuple

from baybook.api import Message, Result
from baybook.dataclass import replace

from ..inputs.rail import Pair, Rail
from ..inputs.wanted import Wanted
from ..result.findings import Doubt
from ..result.outcome import Seen, outcome
from ..result.steps import MiddleValues
from .estimate import estimate
from .readings import TwoReadings

NO_LAW = Message("Two readings cannot tell the law of the leak. A capture, or a temperature at the end, narrows the interval.")


class Also(NamedTuple):
    """What is known beside the two readings."""

    notes: tuple[Message, ...] = (NO_LAW,)
    doubts: tuple[Doubt, ...] = ()
    stops: Message | None = None
    """That the pressure stopped to fall with the second of them."""
    later: tuple[Pair, Pair] | None = None
    """Pressure and time of a further reading, at the time that is asked for, or before it the last."""


ALONE = Also()


def leaks(start: Pair, end: Pair, time: Pair, rail: Rail) -> bool:
    """Whether that fall is more than cooling makes (97.5 %); as `from_two`."""
    found = estimate(TwoReadings(start=start, end=end, time=time, **rail.in_units()), rail.fuel_model())
    return start[0] - end[0] > found.cooling_pressure_drop.high


def from_two(start: Pair, end: Pair, time: Pair, rail: Rail, wanted: Wanted, also: Also = ALONE) -> Result:
    """The leak from a first and a last reading (MPa gauge and s, with standard uncertainties).

    Raises InputError for a fuel that cannot be used.
    """
    fuel = rail.fuel_model()
    reference, _, after = wanted.in_units()
    readings = TwoReadings(start=start, end=end, time=time, reference=reference, after=after, **rail.in_units())
    found = estimate(readings, fuel)
    if also.later:
        there = estimate(replace(readings, end=also.later[0], time=also.later[1], after=also.later[1][0]), fuel)
        found = found._replace(after_draws=there.after_draws, fall_draws=there.fall_draws)
    seen = Seen(
        outputs={"law": "unknown"},
        mean=found.mean_pressure,
        end=end[0],
        fell=end[0] < start[0],
        leaks=also.stops is not None or found.leak_at_line.low > 0.0,
        tight=False,
        doubts=also.doubts,
        notes=also.notes,
        middle=MiddleValues(start[0], end[0], time[0], found.cooling_pressure_drop.value),
        flows=end[0] > readings.back_pressure[0],
        read_after=(also.later or (end, time))[1][0],
        stops=also.stops,
    )
    return outcome(found, rail, wanted, fuel, seen)
